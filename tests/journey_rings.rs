//! Ring gaps, driven through the real window by pointer and by key alone:
//! duty chosen, gaps typed and filed step by step, turned around the bore and
//! put back; grooves, heat, pegs and ports.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod harness;

use crowndeck::advise::rings::{Stage, Verdict};
use crowndeck::schema::Role as Gap;
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use harness::{
    Tested, at_keyboard, key, replace_in, says, scroll_and_click, type_over, undo, window_on_copy,
};

/// The window on a copy of a demo with the panel of rings open.
fn panel(demo: &str) -> (tempfile::TempDir, Tested) {
    let (folder, mut harness) = window_on_copy(demo);
    key(&mut harness, Press::F6);
    (folder, harness)
}

/// Chooses from a list: opens it and presses one of its lines.
fn choose(harness: &mut Tested, list: &str, option: &str) {
    scroll_and_click(harness, list);
    harness.get_by(|node| node.label().is_some_and(|label| label == option)).click();
    harness.run();
}

/// Goes on with the tabulator until the keyboard is at something whose name
/// begins so.
fn tab_to(harness: &mut Tested, name: &str) {
    for _ in 0..250 {
        if at_keyboard(harness).starts_with(name) {
            return;
        }
        harness.key_press(Press::Tab);
        harness.run();
    }
    assert_eq!(at_keyboard(harness), name, "the keyboard never comes there");
}

fn gap_of(harness: &Tested, ring: usize, cylinder: &str) -> crowndeck::advise::rings::GapAnswer {
    harness.state().session().rings().gap(ring, cylinder).unwrap().clone()
}

fn angle(harness: &Tested, gap: Gap) -> f64 {
    let places = &harness.state().session().rings().places;
    places.iter().find(|place| place.role == gap).unwrap().angle_deg
}

#[test]
fn a_top_ring_is_filed_step_by_step_and_never_past() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    assert!(says(&harness, "File in one direction, from the outer face inward"), "the caution stands there");
    assert!(says(&harness, "Wear eye protection"));
    // 86.01 × 0.0045 by hand: 0.387 mm.
    let wanted = harness.state().session().rings().gap(0, "1").unwrap().wanted_mm;
    assert!((wanted - 86.01 * 0.0045).abs() < 1e-9, "{wanted}");
    replace_in(&mut harness, "Top ring, filed", "0.34 mm");
    let gap = harness.state().session().rings().gap(0, "1").unwrap().clone();
    let Verdict::File { remove_mm, next } = gap.verdict else { panic!("{:?}", gap.verdict) };
    assert!((remove_mm - (wanted - 0.34)).abs() < 1e-9 && next.stop_at_mm <= wanted + 1e-9, "never past");
    assert!(says(&harness, "File 0.05 mm in all, to 0.39 mm."), "{:?}", gap.verdict);
    let step = harness.state().session().history().undo_label().unwrap().to_owned();
    assert_eq!(step, "Top ring, cylinder 1, filed: 0.34 mm");
    // The keyboard stays with the ring that is being filed: its next step
    // stands there, as words and as a picture.
    assert!(harness.get_by_role_and_label(Role::TextInput, "Top ring, filed").accesskit_node().is_focused());
    assert!(says(
        &harness,
        "one end, in one direction, from the outer face inward: 0.34 now; 0.36 stop and measure; 0.39 wanted, never past"
    ));
    replace_in(&mut harness, "Top ring, filed", "nonsense");
    assert!(says(&harness, "Not taken"), "a sentence, and the reading stays");
    // A slip of the unit is questioned, not swallowed.
    replace_in(&mut harness, "Top ring, filed", "14");
    assert!(says(&harness, "A gap of 14 mm is far from that of any ring. Did you mean 14 thou?"));
    assert!(matches!(gap_of(&harness, 0, "1").now, Some((Stage::Filed, mm)) if (mm - 0.34).abs() < 1e-9));
    // All in one frame, as a slow machine has it: nothing is typed twice.
    harness.get_by_role_and_label(Role::TextInput, "Second ring, final").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Press::A);
    harness.run();
    let typed = Event::Text("0.35 mm".into());
    let enter = |pressed| Event::Key {
        key: Press::Enter,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    harness.input_mut().events.extend([typed, enter(true), enter(false)]);
    harness.run();
    assert!(matches!(gap_of(&harness, 1, "1").now, Some((Stage::Final, mm)) if (mm - 0.35).abs() < 1e-9));
    assert_eq!(at_keyboard(&harness), "Oil rail, final");
    key(&mut harness, Press::Tab);
    assert_eq!(gap_of(&harness, 2, "1").stages.final_mm, None);
    replace_in(&mut harness, "Top ring, final", "26 thou");
    let gap = harness.state().session().rings().gap(0, "1").unwrap().clone();
    assert!(matches!(gap.now, Some((Stage::Final, mm)) if (mm - 26.0 * 0.0254).abs() < 1e-9));
    assert!(matches!(gap.verdict, Verdict::TooWide { .. }), "too wide is told as well: {:?}", gap.verdict);
    assert!(says(&harness, "Too wide"));
}

#[test]
fn a_makers_figure_rules_and_says_whose_it_is() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    replace_in(&mut harness, "Top ring, gap wanted", "0.42 mm");
    let ring = &harness.state().session().project().rings[0];
    assert_eq!(ring.source, "the maker's figure");
    assert!((harness.state().session().rings().gap(0, "1").unwrap().wanted_mm - 0.42).abs() < 1e-9);
    replace_in(&mut harness, "Top ring, gap wanted", "0.0065");
    let wanted = harness.state().session().rings().gap(0, "1").unwrap().wanted_mm;
    assert!((wanted - 86.01 * 0.0065).abs() < 1e-9, "a small bare number is a part of the bore: {wanted}");
    replace_in(&mut harness, "Top ring, gap wanted", "wide");
    assert!(says(&harness, "is no gap: type a part of the bore"));
}

#[test]
fn a_gap_is_turned_by_key_and_warned_of_where_it_stands_in_line() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    let (top, second) = (Gap::Compression(1), Gap::Compression(2));
    let start = angle(&harness, top);
    assert!(harness.state().session().rings().warnings.is_empty(), "the rule's places are clear");
    for _ in 0..40 {
        let name = format!("Gap of the top ring, {:.0}°", angle(&harness, top));
        harness.get_by_role_and_label(Role::Slider, &name).focus();
        harness.run();
        harness.key_press(Press::ArrowRight);
        harness.run();
        if (angle(&harness, top) - angle(&harness, second)).abs() < 20.0 {
            break;
        }
    }
    assert!((angle(&harness, top) - angle(&harness, second)).abs() < 20.0);
    let warning = harness.state().session().rings().warnings[0].sentence();
    assert!(says(&harness, &warning), "in words, not by colour alone: {warning}");
    harness.get_by_role_and_label(Role::Button, "Top ring by the rule").focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    assert_eq!(angle(&harness, top), start);
    undo(&mut harness);
    assert!((angle(&harness, top) - angle(&harness, second)).abs() < 20.0, "one step back");
}

#[test]
fn the_pegged_ring_of_the_two_stroke_keeps_its_place() {
    let (_folder, mut harness) = panel("zunnar-k123");
    assert!(says(&harness, "pegged"));
    let before = harness.state().session().rings().places.clone();
    let name = format!("Gap of the {}, {:.0}°", before[0].role.name(), before[0].angle_deg);
    harness.get_by_role_and_label(Role::Slider, &name).focus();
    harness.run();
    harness.key_press(Press::ArrowRight);
    harness.run();
    assert_eq!(harness.state().session().rings().places, before);
    replace_in(&mut harness, "Top ring, filed", "0.23 mm");
    assert!(says(&harness, "0.03 mm"), "0.26 wanted, 0.23 there");
    let gap = harness.state().session().rings().gap(0, "1").unwrap().clone();
    assert!(matches!(gap.verdict, Verdict::File { remove_mm, .. } if (remove_mm - 0.030).abs() < 1e-3));
}

/// The whole of the job on the flat six with the pointer: duty, what is to be
/// filed and how, another bore, either school, where the gaps stand.
#[test]
fn the_flat_six_by_pointer() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    choose(&mut harness, "Wanted gap by duty: by duty …", "hard use, air-cooled: bore × 0.0050");
    let gap = gap_of(&harness, 0, "1");
    assert!((gap.wanted_mm - 86.01 * 0.0050).abs() < 1e-9, "{}", gap.wanted_mm);
    assert!(says(&harness, "Wanted by: hard use, air-cooled, common practice"));
    // 0.43005 − 0.30: 0.13 in all, the first cut leaves two thou.
    assert!(says(
        &harness,
        "File 0.13 mm in all, to 0.43 mm. Next take 0.08 mm off, stop at 0.38 mm and measure."
    ));
    undo(&mut harness);

    // Another bore from the table of all.
    scroll_and_click(&mut harness, "Second ring, cylinder 4: file 0.09 mm 0.34 to 0.43");
    assert!(says(&harness, "Second ring in cylinder 4"));
    assert!(says(
        &harness,
        "second wider, so that no gas is trapped between the rings. The other school has 0.34 mm."
    ));
    choose(&mut harness, "Wanted gap by duty: by duty …", "second smaller: bore × 0.0040");
    let gap = gap_of(&harness, 1, "4");
    assert!((gap.wanted_mm - 86.01 * 0.0040).abs() < 1e-9);
    assert!(says(&harness, "second smaller. The newer school has 0.43 mm"));
    assert!(matches!(gap.verdict, Verdict::Leave { .. }), "0.34 reaches 0.344: {:?}", gap.verdict);

    // The top gap is dragged half way round, onto the second one.
    let (top, second) = (Gap::Compression(1), Gap::Compression(2));
    let start = angle(&harness, top);
    let name = format!("Gap of the top ring, {start:.0}°");
    harness.get_by_role_and_label(Role::Slider, &name).scroll_to_me();
    harness.run();
    let from = harness.get_by_role_and_label(Role::Slider, &name).rect().center();
    let plan = by()
        .role(Role::Image)
        .predicate(|node| node.label().is_some_and(|label| label.starts_with("Bore from above")));
    let centre = harness.get(plan).rect().center();
    let reach = (from - centre).length();
    let to = |deg: f64| {
        let (sin, cos) = crowndeck::engine::num::sin_cos(deg.to_radians());
        centre + vec2(sin as f32, -cos as f32) * reach
    };
    harness.drag_at(from);
    harness.run();
    for deg in [60.0, 120.0, 180.0, angle(&harness, second)] {
        harness.hover_at(to(deg));
        harness.run();
    }
    harness.drop_at(to(angle(&harness, second)));
    harness.run();
    assert_eq!(angle(&harness, top), angle(&harness, second), "dragged in steps of five degrees");
    assert!(says(
        &harness,
        "The gaps of top ring and second ring stand in line, 0° apart: turn one of them away."
    ));
    assert_eq!(
        harness.state().session().history().undo_label().unwrap(),
        "Gap of the top ring to 205°, 6:50"
    );
    undo(&mut harness);
    assert_eq!(angle(&harness, top), start, "the whole drag is one step");
}

/// The same by key alone: from the tabulator to the last gap.
#[test]
fn the_flat_six_by_keyboard_alone() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    tab_to(&mut harness, "Top ring, filed");
    type_over(&mut harness, "0.34 mm");
    assert!(matches!(gap_of(&harness, 0, "1").verdict, Verdict::File { .. }));
    type_over(&mut harness, "0.385 mm");
    assert!(matches!(gap_of(&harness, 0, "1").verdict, Verdict::Leave { .. }));
    tab_to(&mut harness, "Top ring, final");
    type_over(&mut harness, "0.385 mm");
    assert_eq!(at_keyboard(&harness), "Second ring, final", "type, Enter, next ring");
    // A gap around the bore.
    tab_to(&mut harness, "Gap of the second ring");
    let before = angle(&harness, Gap::Compression(2));
    key(&mut harness, Press::ArrowLeft);
    assert_eq!(angle(&harness, Gap::Compression(2)), before - 5.0);
    harness.key_press_modifiers(Modifiers::ALT, Press::ArrowRight);
    harness.run();
    assert_eq!(angle(&harness, Gap::Compression(2)), before - 4.0, "with Alt by one degree");
    tab_to(&mut harness, "Second ring by the rule");
    key(&mut harness, Press::Enter);
    assert_eq!(angle(&harness, Gap::Compression(2)), before);
    // The page of grooves.
    tab_to(&mut harness, "In the groove");
    key(&mut harness, Press::Enter);
    tab_to(&mut harness, "Second ring");
    key(&mut harness, Press::Enter);
    tab_to(&mut harness, "Second ring, back clearance");
    type_over(&mut harness, "0.10 mm");
    assert!(says(&harness, "Back clearance 0.10 mm, tight: a flush ring has 0.13 mm or more behind it"));
    tab_to(&mut harness, "Second ring, side clearance");
    type_over(&mut harness, "0.16 mm");
    assert!(says(&harness, "Side clearance 0.16 mm, worn: new parts have 0.02 to 0.07 mm"));
}

/// Read with leaves of a known ± in a bore that is worn there.
#[test]
fn a_gap_has_its_instrument_and_its_place_in_the_bore() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    replace_in(&mut harness, "Top ring, filed", "0.40 mm");
    assert!(matches!(gap_of(&harness, 0, "1").verdict, Verdict::Leave { .. }));
    choose(&mut harness, "Gaps read with: read with …", "Straightedge and feeler gauges, ±0.03 mm");
    let doubt = gap_of(&harness, 0, "1").stages.doubt_mm.unwrap();
    // Half the spread 0.03 and a step of 0.05: more than 0.03, less than 0.1.
    assert!((0.03..0.1).contains(&doubt), "{doubt}");
    assert!(says(&harness, "Too near to call"), "0.40 ± {doubt} against 0.387 is no verdict");
    undo(&mut harness);
    assert_eq!(gap_of(&harness, 0, "1").stages.doubt_mm, None, "instrument and choice are one step");

    replace_in(&mut harness, "Top ring, depth at which it was read", "25 mm");
    replace_in(&mut harness, "Top ring, width of the bore where it was read", "86.03 mm");
    // 0.40 − π·0.02 = 0.337.
    let (_, now) = gap_of(&harness, 0, "1").now.unwrap();
    assert!((now - (0.40 - 0.02 * std::f64::consts::PI)).abs() < 1e-9, "{now}");
    assert!(says(&harness, "read where the bore is 86.03 mm"));
    assert!(matches!(gap_of(&harness, 0, "1").verdict, Verdict::File { .. }), "the bore that counts is told");
    let fitted = &harness.state().session().project().rings[0].fitted[0];
    assert_eq!(fitted.depth.as_ref().unwrap().text(), "25 mm");
}

/// Heat, with the figures worked out by hand: π·B·(1 + α_b·ΔT_b) −
/// (π·B − g)·(1 + α_r·ΔT_r), steel in an aluminium bore.
#[test]
fn heat_closes_a_gap_and_the_one_that_just_closes_is_told() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    scroll_and_click(&mut harness, "Hot");
    scroll_and_click(&mut harness, "Assume temperatures");
    replace_in(&mut harness, "Temperature, ring at work, °C", "320");
    replace_in(&mut harness, "Temperature, bore at work, °C", "120");
    let hot = gap_of(&harness, 0, "1").hot.unwrap();
    let around = std::f64::consts::PI * 86.01;
    let (of_ring, of_bore) = (1.0 + 10.44e-6 * 300.0, 1.0 + 21.5e-6 * 100.0);
    assert!((hot.wanted_mm - (around * of_bore - (around - 0.387_045) * of_ring)).abs() < 1e-9, "{hot:?}");
    assert!((hot.closes_at_mm - (around - around * of_bore / of_ring)).abs() < 1e-9, "{hot:?}");
    assert!(says(&harness, "a cold gap of 0.26 mm would just close"), "{hot:?}");
    assert!(
        says(&harness, "Top ring: carbon steel, 10.4 millionths per kelvin (DOE-HDBK-1017/2-93"),
        "its source"
    );
    assert!(says(&harness, "an assumption too"));
    replace_in(&mut harness, "Barrel, made of", "grey cast iron");
    assert!(gap_of(&harness, 0, "1").hot.unwrap().wanted_mm < 0.0, "an iron barrel grows less");
    assert!(says(&harness, "meet hot and press"));
}

/// The two-stroke: its peg over a port is told, in the window and by key.
#[test]
fn a_peg_and_the_ports_of_the_two_stroke_by_keyboard_alone() {
    let (_folder, mut harness) = panel("zunnar-k123");
    assert!(says(&harness, "top ring 236°, 7:50, pegged"));
    tab_to(&mut harness, "The set");
    key(&mut harness, Press::Enter);
    tab_to(&mut harness, "Top ring, its peg");
    type_over(&mut harness, "75");
    assert!(says(&harness, "The gap of the top ring is pegged at 75°, on the exhaust port"));
    // The port is moved off it instead.
    tab_to(&mut harness, "exhaust port, middle at");
    type_over(&mut harness, "120 deg");
    assert!(harness.state().session().rings().warnings.is_empty());
    assert!(!says(&harness, "on the exhaust port"));
    tab_to(&mut harness, "exhaust port, wide");
    type_over(&mut harness, "wide");
    assert!(says(&harness, "Not taken"));
    tab_to(&mut harness, "Add a port");
    key(&mut harness, Press::Enter);
    assert_eq!(harness.state().session().project().ring_layout.ports.len(), 7);
}

/// A set is begun in the window where there is none.
#[test]
fn a_set_of_rings_is_entered_in_the_window() {
    let (_folder, mut harness) = panel("zunnar-k123");
    scroll_and_click(&mut harness, "The set");
    scroll_and_click(&mut harness, "Remove top ring");
    assert!(harness.state().session().project().rings.is_empty());
    scroll_and_click(&mut harness, "Add a compression ring");
    scroll_and_click(&mut harness, "Add oil rails");
    scroll_and_click(&mut harness, "Add a compression ring");
    let names: Vec<_> = harness.state().session().project().rings.iter().map(|ring| ring.title()).collect();
    assert_eq!(names, ["Top ring", "Second ring", "Oil rail"]);
    replace_in(&mut harness, "Second ring, made of", "grey cast iron");
    scroll_and_click(&mut harness, "Gaps");
    replace_in(&mut harness, "Oil rail, as delivered", "0.30 mm");
    assert!(
        says(&harness, "0.08 mm too tight for a ring that is not filed")
            || says(&harness, "too tight by 0.08 mm")
    );
}
