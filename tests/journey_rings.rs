//! Ring gaps, driven through the real window by name and by key: typed, filed
//! step by step, turned around the bore and put back.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use crowndeck::app::Window;
use crowndeck::study::given::Role as Gap;
use crowndeck::study::rings::{Stage, Verdict};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};

/// The window on a copy of a demo with the drawer of rings open.
fn drawer(name: &str) -> (tempfile::TempDir, Harness<'static, Window>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::copy(format!("demo-projects/{name}"), &path).unwrap();
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 720.0))
        .with_step_dt(0.02)
        .with_max_steps(20)
        .build_eframe(move |cc| Window::new(cc, Some(&path)));
    harness.run();
    harness.key_press(Press::F6);
    harness.run();
    (folder, harness)
}

fn says(harness: &Harness<'_, Window>, words: &str) -> bool {
    let has = |text: Option<String>| text.is_some_and(|text| text.contains(words));
    harness.query_all(by().predicate(|_| true)).any(|node| {
        let node = node.accesskit_node();
        has(node.label()) || has(node.value())
    })
}

fn type_into(harness: &mut Harness<'_, Window>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Press::A);
    harness.event(Event::Text(text.into()));
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
}

fn undo(harness: &mut Harness<'_, Window>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
}

#[test]
fn a_top_ring_is_filed_step_by_step_and_never_past() {
    let (_folder, mut harness) = drawer("sorrendel-f6.ron");
    assert!(says(&harness, "File in one direction, from the outer face inward"), "the caution stands there");
    assert!(says(&harness, "Wear eye protection"));
    // 86.01 × 0.0045 by hand: 0.387 mm.
    let wanted = harness.state().session().rings().gap(0, "1").unwrap().wanted_mm;
    assert!((wanted - 86.01 * 0.0045).abs() < 1e-9, "{wanted}");
    type_into(&mut harness, "Top ring, filed", "0.34 mm");
    let gap = harness.state().session().rings().gap(0, "1").unwrap().clone();
    let Verdict::File { remove_mm, next } = gap.verdict else { panic!("{:?}", gap.verdict) };
    assert!((remove_mm - (wanted - 0.34)).abs() < 1e-9 && next.stop_at_mm <= wanted + 1e-9, "never past");
    assert!(says(&harness, "File 0.05 mm in all, to 0.39 mm."), "{:?}", gap.verdict);
    let step = harness.state().session().history().undo_label().unwrap().to_owned();
    assert_eq!(step, "Top ring, cylinder 1, filed: 0.34 mm");
    // The keyboard went on to the same stage of the next ring.
    let next = harness.get_by_role_and_label(Role::TextInput, "Second ring, filed");
    assert!(next.accesskit_node().is_focused());
    type_into(&mut harness, "Top ring, filed", "nonsense");
    assert!(says(&harness, "Not taken"), "a sentence, and the reading stays");
    type_into(&mut harness, "Top ring, final", "26 thou");
    let gap = harness.state().session().rings().gap(0, "1").unwrap().clone();
    assert!(matches!(gap.now, Some((Stage::Final, mm)) if (mm - 26.0 * 0.0254).abs() < 1e-9));
    assert!(matches!(gap.verdict, Verdict::TooWide { .. }), "too wide is told as well: {:?}", gap.verdict);
    assert!(says(&harness, "Too wide"));
}

#[test]
fn a_makers_figure_rules_and_says_whose_it_is() {
    let (_folder, mut harness) = drawer("sorrendel-f6.ron");
    type_into(&mut harness, "Top ring, gap wanted", "0.42 mm");
    let ring = &harness.state().session().project().rings[0];
    assert_eq!(ring.source, "the maker's figure");
    assert!((harness.state().session().rings().gap(0, "1").unwrap().wanted_mm - 0.42).abs() < 1e-9);
    type_into(&mut harness, "Top ring, gap wanted", "0.0065");
    let wanted = harness.state().session().rings().gap(0, "1").unwrap().wanted_mm;
    assert!((wanted - 86.01 * 0.0065).abs() < 1e-9, "a small bare number is a part of the bore: {wanted}");
    type_into(&mut harness, "Top ring, gap wanted", "wide");
    assert!(says(&harness, "is no gap: type a part of the bore"));
}

#[test]
fn a_gap_is_turned_by_key_and_warned_of_where_it_stands_in_line() {
    let (_folder, mut harness) = drawer("sorrendel-f6.ron");
    let angle = |harness: &Harness<'_, Window>, gap: Gap| {
        let places = &harness.state().session().rings().places;
        places.iter().find(|place| place.role == gap).unwrap().angle_deg
    };
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
    harness.get_by_role_and_label(Role::Button, "By the rule").focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    assert_eq!(angle(&harness, top), start);
    undo(&mut harness);
    assert!((angle(&harness, top) - angle(&harness, second)).abs() < 20.0, "one step back");
}

#[test]
fn the_pegged_ring_of_the_two_stroke_keeps_its_place() {
    let (_folder, mut harness) = drawer("zunnar-k123.ron");
    assert!(says(&harness, "pegged"));
    let before = harness.state().session().rings().places.clone();
    let name = format!("Gap of the {}, {:.0}°", before[0].role.name(), before[0].angle_deg);
    harness.get_by_role_and_label(Role::Slider, &name).focus();
    harness.run();
    harness.key_press(Press::ArrowRight);
    harness.run();
    assert_eq!(harness.state().session().rings().places, before);
    type_into(&mut harness, "Top ring, filed", "0.23 mm");
    assert!(says(&harness, "0.03 mm"), "0.26 wanted, 0.23 there");
    let gap = harness.state().session().rings().gap(0, "1").unwrap().clone();
    assert!(matches!(gap.verdict, Verdict::File { remove_mm, .. } if (remove_mm - 0.030).abs() < 1e-3));
}
