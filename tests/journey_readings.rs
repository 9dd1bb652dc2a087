//! From readings at the bench to the comparison of two routes, in the real
//! window, by keyboard; the traps of the demo engines are found by the
//! program.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod harness;

use crowndeck::engine::Key;
use crowndeck::reading::{Cause, Subject};
use crowndeck::study::routes::{Finding, Route};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers};
use egui_kittest::kittest::Queryable as _;
use harness::{Tested, at_keyboard, key, replace_in, says, type_text, window_on_copy};

/// The panel on a copy of a demo engine.
fn readings_of(demo: &str, cylinder: usize) -> (Tested, tempfile::TempDir) {
    let (folder, mut harness) = window_on_copy(demo);
    for _ in 0..cylinder {
        key(&mut harness, Press::CloseBracket);
    }
    key(&mut harness, Press::F4);
    (harness, folder)
}

/// All values of the deck of a cylinder, in mm, and whether they count.
fn decks(harness: &Tested, cylinder: &str) -> Vec<(f64, bool)> {
    let readings = &harness.state().session().project().readings;
    let own = readings.iter().filter(|r| r.cylinder == cylinder && r.of == Subject::Deck);
    own.flat_map(|r| r.values.iter().map(|v| (v.value.base(), v.struck.is_none()))).collect()
}

#[test]
fn values_are_typed_one_after_the_other_and_each_is_one_step() {
    let (mut harness, _folder) = readings_of("sorrendel-f6", 0);
    let before = decks(&harness, "1").len();
    harness.get_by_role_and_label(Role::TextInput, "Front, next value").focus();
    harness.run();
    type_text(&mut harness, "1.10");
    type_text(&mut harness, "1.11");
    let after = decks(&harness, "1");
    assert_eq!(after.len(), before + 2);
    assert!(after.contains(&(1.1, true)) && after.contains(&(1.11, true)), "{after:?}");
    // What is no length is refused, and nothing is entered.
    type_text(&mut harness, "3 cc");
    assert_eq!(decks(&harness, "1").len(), before + 2);
}

/// One deck of cylinder 4 was written down in inches.
#[test]
fn the_inch_slip_is_named_struck_out_by_enter_and_comes_back_by_undo() {
    let (mut harness, _folder) = readings_of("oldermoor-t4", 3);
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
    let (harness, _folder) = readings_of("tarnbeck-ft62", 1);
    let odd = &harness.state().session().answers().cylinders[1].odd;
    let chamber = Subject::Dimension(Key::ChamberVolume);
    assert!(odd.iter().any(|(of, odd)| *of == chamber && odd.cause == Cause::Bubble), "{odd:?}");
}

/// The rod of cylinder 3 is short; with the length of the others the chain
/// and the reading part.
#[test]
fn a_rod_taken_for_a_longer_one_makes_the_routes_part() {
    let (mut harness, _folder) = readings_of("oldermoor-t4", 2);
    let deck = |harness: &Tested| {
        let solved = harness.state().session().answers().cylinders[2].solved().unwrap().routes.clone();
        solved.into_iter().find(|check| check.route == Route::Deck).unwrap()
    };
    assert_eq!(deck(&harness).finding, Finding::Agree);
    harness.get_by_role_and_label(Role::TextInput, "Rod length").focus();
    harness.run();
    type_text(&mut harness, "195");
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

/// Goes on with Tab until the keyboard stands at this; how many presses it took.
fn tab_to(harness: &mut Tested, back: bool, label: &str) -> usize {
    for presses in 0..60 {
        if at_keyboard(harness) == label {
            return presses;
        }
        let modifiers = if back { Modifiers::SHIFT } else { Modifiers::NONE };
        harness.key_press_modifiers(modifiers, Press::Tab);
        harness.run();
    }
    panic!("60 presses of Tab do not reach {label}; at {}", at_keyboard(harness));
}

/// The key of the drawer leads into it from elsewhere, and out of it from
/// within.
fn into_readings(harness: &mut Tested) {
    for _ in 0..2 {
        key(harness, Press::F4);
        if at_keyboard(harness) == "Front, next value" {
            return;
        }
    }
    panic!("the keyboard is at {:?}", at_keyboard(harness));
}

/// A deck at four places, each value typed and entered, Enter alone for the
/// next place.
fn type_deck(harness: &mut Tested, front: &[&str], rear: &[&str], across: [&str; 2]) {
    let places = [front, rear, &across[..1], &across[1..]];
    for (place, values) in ["Front", "Rear", "Thrust edge", "Other edge"].into_iter().zip(places) {
        assert_eq!(at_keyboard(harness), format!("{place}, next value"));
        for value in values {
            type_text(harness, value);
        }
        key(harness, Press::Enter);
    }
}

fn deck_of(harness: &Tested, cylinder: usize) -> crowndeck::study::routes::Crosscheck {
    let routes = &harness.state().session().answers().cylinders[cylinder].solved().unwrap().routes;
    routes.iter().find(|check| check.route == Route::Deck).unwrap().clone()
}

/// Goes to the page of two routes and back to the readings; the page says it.
fn two_routes_say(harness: &mut Tested, cylinder: usize) -> Finding {
    tab_to(harness, true, "Two routes");
    key(harness, Press::Enter);
    let check = deck_of(harness, cylinder);
    let sentence = format!("{}.", check.sentence(&harness.state().session().project().units));
    assert!(harness.query_by_label(&sentence).is_some(), "{sentence}");
    into_readings(harness);
    check.finding
}

/// The flat six from nothing but keys: four places of each cylinder are typed,
/// one value in inches by mistake, which is named and struck out; chain and
/// reading are compared.
#[test]
fn the_deck_of_the_flat_six_is_read_and_compared_by_keyboard_alone() {
    let (mut harness, _folder) = readings_of("sorrendel-f6", 0);
    let counted =
        |harness: &Tested, label: &str| decks(harness, label).iter().filter(|(_, counts)| *counts).count();
    for cylinder in 0..6 {
        let label = (cylinder + 1).to_string();
        let before = counted(&harness, &label);
        let deck = harness.state().session().answers().cylinders[cylinder].solved().unwrap();
        let read = deck.routes.iter().find(|r| r.route == Route::Deck).unwrap().read;
        let text = |off: f64| format!("{:.2}", read + off);
        let (front, rear) = ([text(0.0), text(0.01), text(-0.01)], [text(0.01), text(0.0), text(0.0)]);
        let front: Vec<&str> = front.iter().map(String::as_str).collect();
        let mut rear: Vec<&str> = rear.iter().map(String::as_str).collect();
        let slip = format!("{:.3}", read / 25.4);
        if cylinder == 2 {
            rear.push(&slip);
        }
        let (thrust, anti) = (text(-0.06), text(0.06));
        type_deck(&mut harness, &front, &rear, [&thrust, &anti]);
        let added = if cylinder == 2 { 9 } else { 8 };
        assert_eq!(counted(&harness, &label), before + added, "cylinder {label}");
        if cylinder == 2 {
            let odd = &harness.state().session().answers().cylinders[2].odd;
            let slip = odd.iter().find(|(of, _)| *of == Subject::Deck).unwrap();
            assert_eq!(slip.1.cause, Cause::InchSlip, "{odd:?}");
            println!("to the reason: {} presses of Tab", tab_to(&mut harness, false, "Reason"));
            key(&mut harness, Press::Enter);
            assert_eq!(counted(&harness, &label), before + 8);
            into_readings(&mut harness);
        }
        assert_eq!(two_routes_say(&mut harness, cylinder), Finding::Agree, "cylinder {label}");
        assert_eq!(at_keyboard(&harness), "Front, next value");
        key(&mut harness, Press::CloseBracket);
    }
    assert_eq!(at_keyboard(&harness), "Front, next value", "after the last cylinder the first");
}

/// The tractor four by keys: the inch slip that lies in cylinder 4 and the
/// short rod of cylinder 3 are found by the program.
#[test]
fn the_traps_of_the_tractor_four_are_found_by_keyboard_alone() {
    let (mut harness, _folder) = readings_of("oldermoor-t4", 0);
    // The chamber of the first cylinder has a fill with a bubble in it.
    tab_to(&mut harness, false, "Reason");
    key(&mut harness, Press::Enter);
    let chamber = Subject::Dimension(Key::ChamberVolume);
    let odd = |harness: &Tested, i: usize| harness.state().session().answers().cylinders[i].odd.clone();
    assert!(!odd(&harness, 0).iter().any(|(of, _)| *of == chamber), "{:?}", odd(&harness, 0));
    into_readings(&mut harness);
    for _ in 0..3 {
        key(&mut harness, Press::CloseBracket);
    }
    assert_eq!(odd(&harness, 3)[0].1.cause, Cause::InchSlip);
    tab_to(&mut harness, false, "Reason");
    key(&mut harness, Press::Enter);
    assert!(odd(&harness, 3).is_empty());
    into_readings(&mut harness);
    key(&mut harness, Press::OpenBracket);
    assert_eq!(two_routes_say(&mut harness, 2), Finding::Agree);
    // Were the rod as long as the others, the two routes would part.
    key(&mut harness, Press::Slash);
    harness.event(Event::Text("rod length".into()));
    harness.run();
    key(&mut harness, Press::Enter);
    assert_eq!(at_keyboard(&harness), "Rod length");
    type_text(&mut harness, "195");
    assert_eq!(deck_of(&harness, 2).finding, Finding::Part);
    assert_eq!(deck_of(&harness, 2).explanations[0].key, Key::RodLength);
    into_readings(&mut harness);
    assert_eq!(two_routes_say(&mut harness, 2), Finding::Part);
}

fn page(harness: &mut Tested, name: &str) {
    harness.get_by_role_and_label(Role::Button, name).focus();
    harness.run();
    key(harness, Press::Enter);
}

/// The ± of an instrument is changed and the doubt of what was read with it
/// follows; what is no length is refused in a sentence, and nothing is lost.
#[test]
fn an_instrument_is_changed_and_the_doubt_follows() {
    let (mut harness, _folder) = readings_of("sorrendel-f6", 0);
    let doubt = |harness: &Tested| {
        let question = harness.state().session().question().clone();
        let evaluation = question.cylinders[0].measured.evaluation(&Subject::Deck).unwrap().clone();
        evaluation.estimate.unwrap().uncertainty().standard
    };
    let before = doubt(&harness);
    page(&mut harness, "Instruments");
    let id = "indicator";
    let name = |h: &Tested| h.state().session().project().instrument(id).unwrap().name.clone();
    let called = name(&harness);
    let field = format!("± of {called}");
    replace_in(&mut harness, &field, "0.05 mm");
    assert!(doubt(&harness) > 1.5 * before, "{} after {before}", doubt(&harness));
    replace_in(&mut harness, &field, "3 cc");
    assert!(says(&harness, &format!("± of {called}: ")), "the reason is told");
    let good = harness.state().session().project().instrument(id).unwrap().repeatability.clone();
    assert_eq!(good.unwrap().to_string(), "0.05 mm");
    let count = |h: &Tested| h.state().session().project().instruments.len();
    let known = count(&harness);
    page(&mut harness, "Own length");
    assert_eq!(count(&harness), known + 1);
    page(&mut harness, "Remove My instrument 1");
    assert_eq!(count(&harness), known);
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
    assert_eq!(count(&harness), known + 1, "taken away by mistake, and back");
}

/// Stop readings that the mirror would give of a wheel that stands 0.5° late:
/// the middle, to be told in words; then one side alone gives none.
#[test]
fn the_top_is_found_from_readings_on_both_sides() {
    let (mut harness, _folder) = readings_of("oldermoor-t4", 0);
    page(&mut harness, "Top finder");
    let (forward, backward) = ("Turned forward onto the stop, °", "Turned backward onto the stop, °");
    replace_in(&mut harness, forward, "330.5 330.5");
    assert!(!says(&harness, "At top dead centre the wheel shows"), "one side gives no top");
    replace_in(&mut harness, backward, "x");
    assert!(says(&harness, "‘x’ is not a number"));
    replace_in(&mut harness, backward, "30.5; 30,5");
    assert!(
        says(&harness, "At top dead centre the wheel shows 0.50° after its 0"),
        "the middle of −29.5 and 30.5"
    );
    page(&mut harness, "Write it into the bench log");
    assert!(harness.state().session().project().log.iter().any(|e| e.text.contains("0.50° after its 0")));
}

/// Fills of 33.8 cc with a hole of 0.3 cc in the plate: 33.5 cc each, entered
/// as readings of the chamber with what the glass said.
#[test]
fn fills_of_the_burette_become_readings_of_the_chamber() {
    let (mut harness, _folder) = readings_of("sorrendel-f6", 0);
    page(&mut harness, "Burette");
    let fills = "Start and end of a fill, cc";
    replace_in(&mut harness, fills, "0 33.8");
    replace_in(&mut harness, fills, "5");
    assert!(says(&harness, "Give start and end of each draught"));
    replace_in(&mut harness, fills, "1 26 0 8.8");
    replace_in(&mut harness, "Hole in the plate, cc", "0,3");
    assert!(says(&harness, "Each fill, corrected: 33.5 cc · 33.5 cc."));
    let count = |h: &Tested| h.state().session().project().readings.len();
    let before = count(&harness);
    page(&mut harness, "Enter them as readings of the chamber");
    assert_eq!(count(&harness), before + 1);
    let readings = &harness.state().session().project().readings;
    let last = readings.last().unwrap();
    assert_eq!(last.of, Subject::Dimension(Key::ChamberVolume));
    let volumes: Vec<f64> = last.values.iter().map(|v| v.value.base()).collect();
    assert_eq!(volumes, [33.5, 33.5]);
    assert!(
        last.note.contains("0 to 33.8; 1 to 26 and 0 to 8.8") && last.note.contains("hole 0.3 cc"),
        "{}",
        last.note
    );
}
