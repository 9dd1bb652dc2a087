//! The journeys of a builder, driven through the real window: found by role
//! and label, typed, dragged, then numbers asserted.
#![expect(clippy::expect_used, clippy::unwrap_used, reason = "a test fails by panicking")]

mod harness;

use crowndeck::engine::{Figures, Key};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use harness::{SMALL, Tested, says_or_describes, type_into, window_on};
use std::path::PathBuf;

/// A copy of a demo: what a window writes beside its file goes with the folder.
fn copied(folder: &tempfile::TempDir, demo: &str) -> &'static str {
    let path = folder.path().join(format!("{demo}.ron"));
    std::fs::copy(format!("demo-projects/{demo}.ron"), &path).unwrap();
    Box::leak(path.to_str().unwrap().to_owned().into_boxed_str())
}

fn window(size: Vec2, file: Option<&'static str>) -> Tested {
    window_on(size, 1.0, file.map(PathBuf::from))
}

fn small(file: Option<&'static str>) -> Tested {
    window(SMALL, file)
}

fn figures(harness: &Tested) -> Figures {
    let window = harness.state();
    let (engine, present) = window.session().shown_engine(window.cylinder()).expect("an engine");
    assert!(present, "the engine must be the present one");
    *engine.figures()
}

fn value(harness: &Tested, key: Key) -> f64 {
    let window = harness.state();
    window.session().project().dims(window.cylinder()).unwrap().filled(key).unwrap()
}

fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual} against {expected}");
}

/// Journey 1, first minute: an engine at once; the shim is pulled, the gap
/// opens, the ratio falls, undo brings it back.
#[test]
fn a_newcomer_pulls_the_shim_and_undoes_it() {
    let mut harness = small(None);
    let before = figures(&harness);
    near(before.deck_clearance, 1.2, 1e-9);
    assert!(says_or_describes(&harness, "1.20 mm below"), "the deck stands in words on the sheet");
    harness.get_by_role_and_label(Role::Slider, "Base shim, on the drawing").focus();
    harness.run();
    for _ in 0..2 {
        harness.key_press(Press::ArrowUp);
        harness.run();
    }
    let after = figures(&harness);
    near(after.deck_clearance, before.deck_clearance + 0.1, 1e-9);
    assert!(after.static_ratio < before.static_ratio);
    assert!(says_or_describes(&harness, "1.30 mm below"));
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
    // Each arrow was a press of its own; two steps back give the start.
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
    assert_eq!(figures(&harness), before);
    assert!(!harness.state().session().history().is_changed());
}

/// A drag is one step, the ghost's figures stay, and Escape puts back.
#[test]
fn a_drag_on_the_rule_is_one_step() {
    let mut harness = small(None);
    harness.get_by_role_and_label(Role::TextInput, "Rod length").focus();
    harness.run();
    let before = figures(&harness);
    let rule = harness.get_by_role_and_label(Role::Slider, "Rod length").rect();
    let from = rule.center();
    harness.drag_at(from);
    harness.run();
    for step in 1..=6_u8 {
        harness.hover_at(from - vec2(f32::from(step) * 4.0, 0.0));
        harness.run();
    }
    harness.drop_at(from - vec2(24.0, 0.0));
    harness.run();
    let after = figures(&harness);
    assert!(after.deck_clearance > before.deck_clearance, "a shorter rod opens the gap");
    let label = harness.state().session().history().undo_label().expect("a step").to_owned();
    assert!(label.starts_with("Rod length"), "{label}");
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
    assert_eq!(figures(&harness), before, "one step back undoes the whole drag");
}

/// Journey 2, my engine: values as they stand on the parts.
#[test]
fn values_are_typed_as_they_are_written_on_the_parts() {
    let mut harness = small(None);
    type_into(&mut harness, "Base shim", "43 thou");
    near(value(&harness, Key::BaseShim), 43.0 * 0.0254, 1e-12);
    type_into(&mut harness, "Base shim", "1,1 mm");
    near(value(&harness, Key::BaseShim), 1.1, 1e-12);
    type_into(&mut harness, "Bore", "3 5/32 in");
    near(value(&harness, Key::Bore), 101.0 / 32.0 * 25.4, 1e-9);
    type_into(&mut harness, "Chamber volume", "35.5 cc");
    near(value(&harness, Key::ChamberVolume), 35.5, 1e-12);
    // What was typed stays as it was typed.
    let shown = harness.get_by_role_and_label(Role::TextInput, "Bore").value().unwrap_or_default();
    assert!(shown.contains("3 5/32"), "{shown}");
}

/// Journey 2 from the start: a new engine, nothing given, each missing
/// dimension named until the section stands.
#[test]
fn a_new_engine_is_built_up_from_nothing() {
    let mut harness = small(None);
    harness.key_press_modifiers(Modifiers::COMMAND, Press::N);
    harness.run();
    harness.get_by_role_and_label(Role::Button, "Separate barrels").click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, "More cylinders").click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, "Begin now").click();
    harness.run();
    assert_eq!(harness.state().session().project().engine.cylinders.len(), 2);
    assert!(harness.state().session().shown_engine(0).is_none());
    assert!(says_or_describes(&harness, "Still missing"), "what is missing is named");
    for (name, text) in [
        ("Case height", "4.5 in"),
        ("Barrel length", "97.85 mm"),
        ("Stroke", "2.9134 in"),
        ("Rod length", "130"),
        ("Compression height", "34,5 mm"),
        ("Bore", "3.3858 in"),
        ("Chamber volume", "60 cc"),
    ] {
        type_into(&mut harness, name, text);
    }
    // 114.3 + 97.85 − (37.00018 + 130 + 34.5).
    near(figures(&harness).deck_clearance, 10.649_82, 1e-4);
    assert!(!says_or_describes(&harness, "Still missing"));
}

#[test]
fn a_slip_of_the_unit_is_asked_about_and_nonsense_is_refused() {
    let mut harness = small(None);
    let before = figures(&harness);
    type_into(&mut harness, "Bore", "3.15");
    assert_eq!(figures(&harness), before, "not swallowed");
    assert!(says_or_describes(&harness, "Did you mean 3.15 in?"));
    harness.key_press(Press::Escape);
    harness.run();
    type_into(&mut harness, "Bore", "-86");
    assert_eq!(figures(&harness), before);
    assert!(says_or_describes(&harness, "above 0"));
    harness.key_press(Press::Escape);
    harness.run();
    assert_eq!(figures(&harness), before);
    assert_eq!(harness.state().session().history().undo_label(), None);
}

#[test]
fn an_impossible_engine_keeps_the_last_picture_and_says_what_would_do() {
    let mut harness = small(None);
    type_into(&mut harness, "Compression height", "39 mm");
    let window = harness.state();
    let (_, present) = window.session().shown_engine(0).expect("the last possible one");
    assert!(!present);
    assert!(says_or_describes(&harness, "the crown rim meets the head"));
    harness.key_press(Press::Escape);
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Press::Z);
    harness.run();
    near(figures(&harness).deck_clearance, 1.2, 1e-9);
}

/// Journey 4, what moves what: the table tells what each dimension alone
/// would have to do, and its word holds when it is typed in.
#[test]
fn the_table_of_effects_keeps_its_word() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = small(Some(copied(&folder, "tarnbeck-ft62")));
    harness.key_press(Press::F3);
    harness.run();
    assert!(says_or_describes(&harness, "alone +"), "some dimension reaches the wanted ratio");
    let solved =
        |harness: &Tested| harness.state().session().answers().cylinders[0].solved().unwrap().clone();
    let chamber =
        solved(&harness).effects.iter().find(|e| e.key == Key::ChamberVolume).unwrap().to_target.unwrap();
    type_into(&mut harness, "Chamber volume", &format!("{} cc", chamber.value));
    let target = harness.state().session().question().target.unwrap().get();
    near(figures(&harness).static_ratio, target, 1e-9);
}

/// The crank turns with the keys and comes back to the top.
#[test]
fn the_crank_turns_and_comes_back() {
    let mut harness = small(None);
    for _ in 0..3 {
        harness.key_press(Press::Period);
        harness.run();
    }
    assert_eq!(harness.state().crank_deg(), 3.0);
    assert!(says_or_describes(&harness, "3.0°"));
    harness.key_press(Press::Home);
    harness.run();
    assert_eq!(harness.state().crank_deg(), 0.0);
}

/// Save, change, open again: what comes back is what was saved.
#[test]
fn a_project_is_saved_and_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let mut harness = small(None);
    type_into(&mut harness, "Base shim", "20 thou");
    let saved = figures(&harness);
    harness.key_press_modifiers(Modifiers::COMMAND, Press::S);
    harness.run();
    // No file yet: a path is asked for; it is replaced by ours.
    harness.get_by_role_and_label(Role::TextInput, "Path of the file").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Press::A);
    harness.event(Event::Text(path.display().to_string()));
    harness.run();
    harness.get_by_role_and_label(Role::Button, "Save").click();
    harness.run();
    assert!(path.exists(), "{:?}", harness.state().status());
    assert!(!harness.state().session().history().is_changed());
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("20 thou"), "typed units stay in the file");
    type_into(&mut harness, "Base shim", "40 thou");
    assert_ne!(figures(&harness), saved);
    let again = crowndeck::project::load(&path).unwrap();
    assert_eq!(again.dims(0).unwrap().get(Key::BaseShim), Some(20.0 * 0.0254));
}

/// The page goes to a file from the window, as PDF and as SVG.
#[test]
fn the_page_is_written_from_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = small(None);
    harness.key_press(Press::F7);
    harness.run();
    for (button, name, starts) in [("Save as PDF…", "page.pdf", "%PDF"), ("Page as SVG…", "page.svg", "<svg")]
    {
        let path = folder.path().join(name);
        if starts == "<svg" {
            harness.get_by_role_and_label(Role::Button, "Other files…").click();
            harness.run();
        }
        harness.get_by_role_and_label(Role::Button, button).click();
        harness.run();
        harness.get_by_role_and_label(Role::TextInput, "Path of the file").focus();
        harness.run();
        harness.key_press_modifiers(Modifiers::COMMAND, Press::A);
        harness.event(Event::Text(path.display().to_string()));
        harness.run();
        harness.get_by_role_and_label(Role::Button, "Save").click();
        harness.run();
        // It is made beside the window.
        for _ in 0..500 {
            if path.exists() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
        harness.run();
        let written = std::fs::read(&path).unwrap_or_default();
        assert!(written.starts_with(starts.as_bytes()), "{name}: {:?}", harness.state().status());
    }
}

#[test]
fn a_damaged_file_is_told_with_its_line_and_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("broken.ron");
    std::fs::write(&path, "(format: 1,\n title: \"x\",\n engine: (\n").unwrap();
    let before = std::fs::read(&path).unwrap();
    let path: &'static str = Box::leak(path.display().to_string().into_boxed_str());
    let harness = small(Some(path));
    let status = harness.state().status().expect("a sentence");
    assert!(status.warns && status.text.contains("line"), "{}", status.text);
    assert_eq!(std::fs::read(path).unwrap(), before);
}

/// The bar's buttons answer the pointer.
#[test]
fn the_bar_answers_the_pointer() {
    let mut harness = small(None);
    let units = harness.get_by_role_and_label(Role::Button, "mm").rect().center();
    harness.hover_at(units);
    harness.run();
    harness.drag_at(units);
    harness.run();
    harness.drop_at(units);
    harness.run();
    let units = harness.state().session().project().units;
    assert_ne!(units, crowndeck::quantity::UnitChoice::default(), "{units:?}");
    let menu = harness.get_by_role_and_label(Role::Button, "Project menu, Tarnbeck FT-62 •").rect().center();
    harness.hover_at(menu);
    harness.run();
    harness.drag_at(menu);
    harness.run();
    harness.drop_at(menu);
    harness.run();
    assert!(says_or_describes(&harness, "Save as"));
}

/// An idle window repaints nothing.
#[test]
fn an_idle_window_repaints_nothing() {
    let mut harness = small(None);
    harness.run();
    let delay = harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
    assert_eq!(delay, std::time::Duration::MAX);
}

/// Every size that the layout is made for shows every demo without a fault.
#[test]
fn every_demo_opens_at_every_size() {
    for file in ["tarnbeck-ft62", "oldermoor-t4", "brackwell-s7", "zunnar-k123", "sorrendel-f6"] {
        let folder = tempfile::tempdir().unwrap();
        let path = copied(&folder, file);
        for size in [vec2(1024.0, 640.0), vec2(1280.0, 720.0), vec2(1920.0, 1080.0)] {
            let harness = window(size, Some(path));
            assert!(harness.state().status().is_none(), "{file}: {:?}", harness.state().status());
            assert!(figures(&harness).static_ratio > 1.0);
        }
    }
}
