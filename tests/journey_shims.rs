//! The choice of shims, driven through the real window by keyboard and by
//! name: asked, taken, put under the barrels, and the loop not closed before
//! somebody reads again.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod harness;

use crowndeck::engine::Key;
use crowndeck::study::level;
use egui::Key as Press;
use egui::accesskit::Role;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use harness::{Tested, enter, key, replace_in, says, wait_for, window_on_copy};

/// What the window says when a choice lies under the barrels.
const FITTED: &str = "These lie under the barrels now. Measure again.";
/// What it says of a reading near the expected one.
const AGREES: &str = "they agree, within what was measured";
/// What it says where no pairing is better.
const UNMOVED: &str = "Every part stays where it is";

/// The window on a copy of a demo with the drawer of shims open and its answer there.
fn panel(name: &str) -> (tempfile::TempDir, Tested) {
    panel_that_says(name, "Proved among")
}

/// The same, waiting for these words.
fn panel_that_says(demo: &str, words: &str) -> (tempfile::TempDir, Tested) {
    let (folder, mut harness) = window_on_copy(demo);
    harness.key_press(Press::F5);
    wait_for(&mut harness, words);
    (folder, harness)
}

/// The spread of the tops under the head of a cylinder, mm.
fn spread(harness: &Tested, head: usize) -> f64 {
    let project = harness.state().session().project();
    let question = harness.state().session().question();
    let tops = (0..question.cylinders.len())
        .filter(|place| question.cylinders[*place].head == head)
        .map(|place| level::top(&project.dims(place).unwrap()).unwrap());
    level::Level::of(tops.collect()).unwrap().spread
}

fn shims(harness: &Tested) -> Vec<f64> {
    let project = harness.state().session().project();
    let all = 0..project.engine.cylinders.len();
    all.map(|place| project.dims(place).unwrap().filled(Key::BaseShim).unwrap()).collect()
}

#[test]
fn both_heads_of_the_flat_six_get_level_barrels() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    let before = shims(&harness);
    assert!(says(&harness, "Level comes first"), "the caution stands where the choice is made");
    enter(&mut harness, "Fit choice 1 to barrels 1, 2, 3");
    wait_for(&mut harness, FITTED);
    assert!(
        says(&harness, "not over what lies there now: read it again"),
        "nothing is confirmed by an old reading"
    );
    enter(&mut harness, "Head R");
    wait_for(&mut harness, "Fit choice 1 to barrels 4, 5, 6");
    enter(&mut harness, "Fit choice 1 to barrels 4, 5, 6");
    wait_for(&mut harness, FITTED);
    // The invented engine's tolerance; its shims by the reference choices.
    for head in 0..2 {
        assert!(spread(&harness, head) <= 0.03 + 1e-9, "{}", spread(&harness, head));
    }
    let expected = [0.15, 0.15, 0.15, 0.15, 0.20, 0.15];
    for (now, expected) in shims(&harness).into_iter().zip(expected) {
        assert!((now - expected).abs() < 1e-9, "{now} against {expected}");
    }
    // Read again over them, as expected: the loop closes.
    for (label, deck) in [("4", "1.07"), ("5", "1.05"), ("6", "1.10")] {
        replace_in(&mut harness, &format!("Deck read with these shims, cylinder {label}"), deck);
    }
    for read in
        ["Read 1.07 mm below, expected", "Read 1.05 mm below, expected", "Read 1.10 mm below, expected"]
    {
        assert!(says(&harness, read), "{read}");
    }
    assert!(says(&harness, AGREES));
    // One step each: three readings, two choices.
    for _ in 0..5 {
        undo(&mut harness);
    }
    assert_eq!(shims(&harness), before);
    assert!(!harness.state().session().history().is_changed());
}

#[test]
fn another_choice_can_be_taken_than_the_first() {
    let (_folder, mut harness) = panel("tarnbeck-ft62");
    let second = harness
        .query_all_by_role(Role::RadioButton)
        .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Choice 2:")))
        .unwrap();
    second.focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    enter(&mut harness, "Fit choice 2 to barrel 1");
    wait_for(&mut harness, FITTED);
    assert!((shims(&harness)[0] - 0.75).abs() < 1e-9, "0.25 and 0.50: {:?}", shims(&harness));
    assert_eq!(step(&harness), "Fit choice 2 to barrel 1");
}

/// Opens a section of the drawer.
fn unfold(harness: &mut Tested, name: &str) {
    harness
        .query_all_by_role(Role::DisclosureTriangle)
        .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with(name)))
        .unwrap()
        .focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
}

fn step(harness: &Tested) -> String {
    harness.state().session().history().undo_label().unwrap_or_default().to_owned()
}

/// Out of any field, which has an undo of its own, and a step back.
fn undo(harness: &mut Tested) {
    key(harness, Press::Escape);
    harness::undo(harness);
}

#[test]
fn limits_clamp_castings_and_aim_are_edited_in_place_each_as_one_step() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    assert!(says(&harness, "Level line and shims: barrel 1: 0.15, top lowest"), "the picture in words");
    unfold(&mut harness, "Limits and aim");
    let before = harness.state().session().project().as_ref().clone();
    for (name, typed, told) in [
        ("Squish, at least, limit for shims", "nonsense", None),
        ("Squish, at least, limit for shims", "40 thou", Some("Squish, at least: ")),
        ("Ratio wanted, limit for shims", "9.1", Some("Ratio wanted: ")),
        ("Pieces under a barrel, at most, limit for shims", "2", Some("Pieces under a barrel, at most: ")),
        ("Engagement, limit for shims", "12 mm", Some("Clamp thread: 12 mm")),
    ] {
        replace_in(&mut harness, name, typed);
        match told {
            None => assert!(says(&harness, "Not taken"), "{name} takes ‘{typed}’"),
            Some(told) => {
                assert!(step(&harness).starts_with(told), "{name}: {}", step(&harness));
                undo(&mut harness);
            }
        }
    }
    enter(&mut harness, "Most even decks");
    assert!(step(&harness).starts_with("Choose shims"), "{}", step(&harness));
    undo(&mut harness);
    replace_in(&mut harness, "Casting of barrel 1", "A");
    assert_eq!(step(&harness), "Casting of barrel 1");
    undo(&mut harness);
    assert_eq!(*harness.state().session().project().as_ref(), before);
}

#[test]
fn a_pairing_is_taken_with_its_readings_and_undone_as_one_step() {
    let (_folder, mut harness) = panel("tarnbeck-ft62");
    let before = harness.state().session().project().as_ref().clone();
    unfold(&mut harness, "Pairing of parts");
    wait_for(&mut harness, "Decks without shims differ by");
    assert!(says(&harness, "It is proved that no pairing is better"));
    enter(&mut harness, "Pair the parts so");
    wait_for(&mut harness, UNMOVED);
    assert_eq!(step(&harness), "Pair the parts");
    let after = harness.state().session().project().as_ref().clone();
    assert_ne!(after.engine, before.engine);
    assert_eq!(after.readings.len(), before.readings.len(), "nothing is deleted");
    undo(&mut harness);
    assert_eq!(*harness.state().session().project().as_ref(), before);
    // With both rods, pistons and barrels locked nothing moves.
    for part in ["Rod", "Piston", "Barrel"] {
        let name = harness
            .query_all_by_role(Role::Button)
            .find_map(|n| {
                n.accesskit_node().label().filter(|l| l.starts_with(&format!("{part} for hole 1: ")))
            })
            .unwrap();
        enter(&mut harness, &name);
    }
    wait_for(&mut harness, UNMOVED);
}

#[test]
fn chambers_are_opened_as_a_trial() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    unfold(&mut harness, "Chambers");
    enter(&mut harness, "All hold the same");
    enter(&mut harness, "Put them into the engine as a trial");
    assert_eq!(step(&harness), "Try opened chambers");
    let project = harness.state().session().project();
    for place in 0..6 {
        assert_eq!(
            project.dims(place).unwrap().get(Key::ChamberVolume),
            Some(59.3),
            "the largest of the six"
        );
    }
}

#[test]
fn a_cut_is_tried_in_the_engine_and_undone() {
    let (_folder, mut harness) = panel("tarnbeck-ft62");
    let before = harness.state().session().project().as_ref().clone();
    unfold(&mut harness, "Cut instead");
    enter(&mut harness, "face of the case");
    replace_in(&mut harness, "Static ratio then, wanted of the cut", "8.2");
    assert!(says(&harness, "Face of the case, 1: take off"), "what to take off");
    assert!(says(&harness, " in); measured from the crank centre line"), "in both units, with its datum");
    enter(&mut harness, "Put it into the engine as a trial");
    assert_eq!(step(&harness), "Try a cut: face of the case");
    let dims = harness.state().session().project().dims(0).unwrap();
    let ratio = crowndeck::engine::Engine::new(dims).unwrap().figures().static_ratio;
    assert!((ratio - 8.2).abs() < 2e-3, "{ratio}");
    undo(&mut harness);
    assert_eq!(*harness.state().session().project().as_ref(), before);
}

#[test]
fn a_gasket_is_chosen_for_the_tractor_by_limits_and_by_the_piston_that_stands_highest() {
    let (_folder, mut harness) = panel_that_says("oldermoor-t4", "1.20 mm crushed");
    let before = harness.state().session().project().as_ref().clone();
    assert!(harness.query_by_label_contains("Fit choice").is_none(), "no shim goes under a block");
    assert!(
        says(&harness, "A thicker head gasket lowers the ratio"),
        "the caution stands where it is chosen"
    );
    enter(&mut harness, "Fit it: 1.80 mm crushed");
    assert_eq!(step(&harness), "Fit head gasket ‘1.80 mm crushed’");
    for place in 0..4 {
        let dims = harness.state().session().project().dims(place).unwrap();
        assert_eq!((dims.get(Key::GasketThickness), dims.get(Key::GasketBore)), (Some(1.8), Some(94.0)));
    }
    undo(&mut harness);
    assert_eq!(*harness.state().session().project().as_ref(), before);
    // The maker grades them: the piston that stands highest chooses.
    enter(&mut harness, "Change the list of gaskets…");
    replace_in(&mut harness, "Piston stand of gasket 1", "0.60 to 0.10");
    assert!(says(&harness, "holds nothing: the lower stand comes first"));
    replace_in(&mut harness, "Piston stand of gasket 1", "-2 to -0.5 mm");
    replace_in(&mut harness, "Piston stand of gasket 2", "-0.5 to 0.5 mm");
    wait_for(&mut harness, "and chooses for the whole block: ‘1.50 mm crushed’");
    replace_in(&mut harness, "Crushed thickness of gasket 1", "0");
    assert!(says(&harness, "can't be fitted: give a length above 0"));
}

#[test]
fn a_two_stroke_sees_ports_beside_squish_and_its_port_moves_with_the_barrel() {
    let (_folder, mut harness) = panel("zunnar-k123");
    let port = |harness: &Tested| {
        let dims = harness.state().session().project().dims(0).unwrap();
        (dims.filled(Key::BaseShim).unwrap(), dims.get(Key::PortClosing).unwrap())
    };
    assert!(says(&harness, "port opens 88.4° after") && says(&harness, "the same squish by the head"));
    let before = port(&harness);
    enter(&mut harness, "Fit choice 1 to barrel 1");
    let after = port(&harness);
    // The edge of the port comes down with the barrel: the rising piston
    // covers it earlier, more degrees before the top.
    assert!(after.0 < before.0 && after.1 > before.1, "{before:?} {after:?}");
    assert!((before.1 - after.1).abs() < 2.0, "a few tenths of a millimetre are a degree or less");
    undo(&mut harness);
    assert_eq!(port(&harness), before);
}

#[test]
fn the_flat_twin_closes_over_the_shims_that_were_chosen() {
    let (_folder, mut harness) = panel("tarnbeck-ft62");
    for (head, label) in [("L", "1"), ("R", "2")] {
        if label == "2" {
            enter(&mut harness, &format!("Head {head}"));
        }
        let fit = format!("Fit choice 1 to barrel {label}");
        wait_for(&mut harness, &fit);
        enter(&mut harness, &fit);
        wait_for(&mut harness, FITTED);
        let expected = crowndeck::engine::Engine::new(
            harness.state().session().project().dims(label.parse::<usize>().unwrap() - 1).unwrap(),
        )
        .unwrap()
        .figures()
        .deck_clearance;
        let name = format!("Deck read with these shims, cylinder {label}");
        // A reading far off is told, with what to look for.
        replace_in(&mut harness, &name, &format!("{:.2}", expected + 0.3));
        assert!(says(&harness, "Look for dirt or a burr under the barrel"), "barrel {label}, far off");
        undo(&mut harness);
        replace_in(&mut harness, &name, &format!("{expected:.2}"));
        assert!(says(&harness, AGREES), "barrel {label}");
    }
}

#[test]
fn bad_input_is_told_in_the_drawer_in_a_sentence_each() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    unfold(&mut harness, "Limits and aim");
    replace_in(&mut harness, "Squish, at most, limit for shims", "0.5 mm");
    wait_for(&mut harness, "is above the greatest, 0.50 mm: no shim holds both");
    undo(&mut harness);
    wait_for(&mut harness, "Fit choice 1");
    enter(&mut harness, "Change…");
    replace_in(&mut harness, "Count of shim 1", "0");
    wait_for(&mut harness, "none left");
    replace_in(&mut harness, "Thickness of another shim", "0.20");
    wait_for(&mut harness, "more than once");
    replace_in(&mut harness, "Thickness of another shim", "0");
    assert!(says(&harness, "can't be fitted: give a thickness above 0"));
}

#[test]
fn where_no_choice_exists_it_says_why_and_what_would_help() {
    let (_folder, mut harness) = panel("sorrendel-f6");
    enter(&mut harness, "Change…");
    // Nothing left but one thickness, far too thick.
    for _ in 0..5 {
        enter(&mut harness, "Remove shim 1");
    }
    replace_in(&mut harness, "Thickness of shim 1", "nonsense");
    assert!(says(&harness, "The thickness was not taken"), "a sentence, and the old value stays");
    replace_in(&mut harness, "Thickness of shim 1", "80 thou");
    replace_in(&mut harness, "Count of shim 1", "many");
    assert!(says(&harness, "is no count"));
    replace_in(&mut harness, "Count of shim 1", "3");
    let stock = &harness.state().session().project().shims;
    assert_eq!((stock.len(), stock[0].thickness.text(), stock[0].count), (1, "80 thou", 3));
    wait_for(&mut harness, "No choice holds every limit");
    assert!(says(&harness, "A choice exists with") || says(&harness, "Buy "), "what would help");
    assert!(harness.query_by_label_contains("Fit choice").is_none(), "nothing can be fitted");
    // An empty drawer is told.
    enter(&mut harness, "Remove shim 1");
    wait_for(&mut harness, "The drawer is empty");
}
