//! From readings at the bench to the comparison of two routes, in the real
//! window, by keyboard; the traps of the demo engines are found by the
//! program.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use crowndeck::app::Window;
use crowndeck::engine::Key;
use crowndeck::reading::{Cause, Subject};
use crowndeck::study::routes::{Finding, Route};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

/// The drawer on a copy of a demo engine: unsaved work is kept beside a file.
fn readings_of(file: &'static str, cylinder: usize) -> (Harness<'static, Window>, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("engine.ron");
    std::fs::copy(file, &copy).unwrap();
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 720.0))
        .with_step_dt(0.02)
        .with_max_steps(20)
        .build_eframe(move |cc| Window::new(cc, Some(&copy)));
    harness.run();
    for _ in 0..cylinder {
        harness.key_press(Press::CloseBracket);
        harness.run();
    }
    harness.key_press(Press::F4);
    harness.run();
    (harness, folder)
}

fn type_and_enter(harness: &mut Harness<'_, Window>, text: &str) {
    harness.event(Event::Text(text.into()));
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
}

/// All values of the deck of a cylinder, in mm, and whether they count.
fn decks(harness: &Harness<'_, Window>, cylinder: &str) -> Vec<(f64, bool)> {
    let readings = &harness.state().session().project().readings;
    let own = readings.iter().filter(|r| r.cylinder == cylinder && r.of == Subject::Deck);
    own.flat_map(|r| r.values.iter().map(|v| (v.value.base(), v.struck.is_none()))).collect()
}

#[test]
fn values_are_typed_one_after_the_other_and_each_is_one_step() {
    let (mut harness, _folder) = readings_of("demo-projects/sorrendel-f6.ron", 0);
    let before = decks(&harness, "1").len();
    harness.get_by_role_and_label(Role::TextInput, "Front, next value").focus();
    harness.run();
    type_and_enter(&mut harness, "1.10");
    type_and_enter(&mut harness, "1.11");
    let after = decks(&harness, "1");
    assert_eq!(after.len(), before + 2);
    assert!(after.contains(&(1.1, true)) && after.contains(&(1.11, true)), "{after:?}");
    // What is no length is refused, and nothing is entered.
    type_and_enter(&mut harness, "3 cc");
    assert_eq!(decks(&harness, "1").len(), before + 2);
}

/// One deck of cylinder 4 was written down in inches.
#[test]
fn the_inch_slip_is_named_struck_out_by_enter_and_comes_back_by_undo() {
    let (mut harness, _folder) = readings_of("demo-projects/oldermoor-t4.ron", 3);
    let odd = harness.state().session().answers().cylinders[3].odd.clone();
    let slip = odd.iter().find(|(of, _)| *of == Subject::Deck).unwrap();
    assert_eq!(slip.1.cause, Cause::InchSlip);
    assert!((slip.1.read - 0.014).abs() < 1e-12, "{:?}", slip.1);
    harness.get_by_role_and_label(Role::TextInput, "Reason").focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    assert!(decks(&harness, "4").contains(&(0.014, false)), "{:?}", decks(&harness, "4"));
    assert!(harness.state().session().answers().cylinders[3].odd.is_empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
    assert!(decks(&harness, "4").contains(&(0.014, true)), "nothing is lost");
}

/// The second chamber of the flat twin: 33.8, 33.8 and 32.9.
#[test]
fn the_air_bubble_is_named() {
    let (harness, _folder) = readings_of("demo-projects/tarnbeck-ft62.ron", 1);
    let odd = &harness.state().session().answers().cylinders[1].odd;
    let chamber = Subject::Dimension(Key::ChamberVolume);
    assert!(odd.iter().any(|(of, odd)| *of == chamber && odd.cause == Cause::Bubble), "{odd:?}");
}

/// The rod of cylinder 3 is short; with the length of the others the chain
/// and the reading part.
#[test]
fn a_rod_taken_for_a_longer_one_makes_the_routes_part() {
    let (mut harness, _folder) = readings_of("demo-projects/oldermoor-t4.ron", 2);
    let deck = |harness: &Harness<'_, Window>| {
        let solved = harness.state().session().answers().cylinders[2].solved().unwrap().routes.clone();
        solved.into_iter().find(|check| check.route == Route::Deck).unwrap()
    };
    assert_eq!(deck(&harness).finding, Finding::Agree);
    harness.get_by_role_and_label(Role::TextInput, "Rod length").focus();
    harness.run();
    type_and_enter(&mut harness, "195");
    let check = deck(&harness);
    assert_eq!(check.finding, Finding::Part);
    let rod = check.explanations.iter().find(|e| e.key == Key::RodLength).unwrap();
    assert!((rod.change + 0.21).abs() < 0.01, "{rod:?}");
    harness.get_by_role_and_label(Role::Button, "Two routes").focus();
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
    let sentence = format!("{}.", check.sentence(&harness.state().session().project().units));
    assert!(harness.query_by_label(&sentence).is_some(), "{sentence}");
}
