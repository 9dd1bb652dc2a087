//! The real window, worked by role and label as a person works it: what every
//! test of the window uses.
#![allow(dead_code, clippy::unwrap_used, reason = "each test file uses its part; a test fails by panicking")]

use crowndeck::app::Window;
use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// The window under test.
pub(crate) type Tested = Harness<'static, Window>;

/// The window of a small laptop.
pub(crate) const SMALL: Vec2 = vec2(1280.0, 720.0);
/// The window of a usual screen.
pub(crate) const USUAL: Vec2 = vec2(1440.0, 900.0);

/// Opens the window on the built-in example, or on a file.
pub(crate) fn window_on(size: Vec2, density: f32, file: Option<PathBuf>) -> Tested {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(density)
        .with_step_dt(0.02)
        .with_max_steps(20)
        .build_eframe(move |cc| Window::new(cc, file.as_deref()));
    harness.run();
    harness
}

/// Opens the window on the built-in example.
pub(crate) fn window_of(size: Vec2) -> Tested {
    window_on(size, 1.0, None)
}

/// Opens the small window on a copy of a demo, named as its file without the
/// ending: what is kept beside a file goes with the folder.
pub(crate) fn window_on_copy(demo: &str) -> (tempfile::TempDir, Tested) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(format!("{demo}.ron"));
    std::fs::copy(format!("demo-projects/{demo}.ron"), &path).unwrap();
    let harness = window_on(SMALL, 1.0, Some(path));
    (folder, harness)
}

/// Whether a text that the accessibility tree carries holds these words: a
/// name or a value.
pub(crate) fn says(harness: &Tested, words: &str) -> bool {
    let has = |text: Option<String>| text.is_some_and(|text| text.contains(words));
    harness.query_all(by().predicate(|_| true)).any(|node| {
        let node = node.accesskit_node();
        has(node.label()) || has(node.value())
    })
}

/// As [`says`], or a description.
pub(crate) fn says_or_describes(harness: &Tested, words: &str) -> bool {
    let mut all = harness.query_all(by().predicate(|_| true));
    let described = all.any(|node| {
        node.accesskit_node().data().description().is_some_and(|description| description.contains(words))
    });
    described || says(harness, words)
}

/// Waits until the window says these words, of what is made beside it.
pub(crate) fn wait_for(harness: &mut Tested, words: &str) {
    let start = Instant::now();
    while !says(harness, words) {
        assert!(start.elapsed() < Duration::from_secs(60), "the window never says ‘{words}’");
        std::thread::sleep(Duration::from_millis(5));
        harness.step();
    }
    harness.run();
}

/// The name of what has the keyboard; empty where nothing has.
pub(crate) fn at_keyboard(harness: &Tested) -> String {
    let focused = harness.query_all(by().predicate(|node| node.is_focused())).next();
    focused.and_then(|node| node.accesskit_node().label()).unwrap_or_default()
}

/// Presses a key.
pub(crate) fn key(harness: &mut Tested, key: Key) {
    harness.key_press(key);
    harness.run();
}

/// Puts the keyboard somewhere.
pub(crate) fn focus(harness: &mut Tested, role: Role, name: &str) {
    harness.get_by_role_and_label(role, name).focus();
    harness.run();
}

/// Presses a button with the pointer.
pub(crate) fn click(harness: &mut Tested, button: &str) {
    harness.get_by_role_and_label(Role::Button, button).click();
    harness.run();
}

/// The same, wherever the button has to be scrolled to.
pub(crate) fn scroll_and_click(harness: &mut Tested, button: &str) {
    harness.get_by_role_and_label(Role::Button, button).scroll_to_me();
    harness.run();
    click(harness, button);
}

/// Presses a button as a screen reader does.
pub(crate) fn activate(harness: &mut Tested, button: &str) {
    harness.get_by_role_and_label(Role::Button, button).click_accesskit();
    harness.run();
}

/// Presses a button with the keyboard.
pub(crate) fn enter(harness: &mut Tested, button: &str) {
    focus(harness, Role::Button, button);
    key(harness, Key::Enter);
}

/// Types a text and Enter where the keyboard is.
pub(crate) fn type_text(harness: &mut Tested, text: &str) {
    harness.event(Event::Text(text.into()));
    harness.run();
    key(harness, Key::Enter);
}

/// Types over what stands where the keyboard is.
pub(crate) fn type_over(harness: &mut Tested, text: &str) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    type_text(harness, text);
}

/// Types into a field as a person does: to the field, the text, Enter.
pub(crate) fn type_into(harness: &mut Tested, field: &str, text: &str) {
    focus(harness, Role::TextInput, field);
    type_text(harness, text);
}

/// Types over what stands in a field.
pub(crate) fn replace_in(harness: &mut Tested, field: &str, text: &str) {
    focus(harness, Role::TextInput, field);
    type_over(harness, text);
}

/// Takes a step back by its key.
pub(crate) fn undo(harness: &mut Tested) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
}
