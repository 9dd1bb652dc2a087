//! The words of the trade, the handout of a lesson and the view for a
//! teacher, in the real window and as files.

use crowndeck::app::Window;
use crowndeck::app::views::Drawer;
use crowndeck::app::window::field_id;
use crowndeck::engine::Key;
use crowndeck::lesson::{glossary, place_of};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers, PointerButton, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

type Tested = Harness<'static, Window>;

fn window(size: Vec2, density: f32) -> Tested {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(density)
        .with_step_dt(0.02)
        .with_max_steps(20)
        .build_eframe(|cc| Window::new(cc, None));
    harness.run();
    harness
}

fn press(harness: &mut Tested, key: Press) {
    harness.key_press(key);
    harness.run();
}

fn click(harness: &mut Tested, button: &str) {
    harness.get_by_role_and_label(Role::Button, button).click();
    harness.run();
}

fn focus(harness: &mut Tested, role: Role, name: &str) {
    harness.get_by_role_and_label(role, name).focus();
    harness.run();
}

fn heading(harness: &Tested) -> Option<String> {
    let heading = harness.query_by_role(Role::Heading)?;
    let data = heading.accesskit_node();
    data.label().or_else(|| data.value())
}

/// Every control has a name, and nothing reaches out of the window sideways.
fn is_sound(harness: &Tested, size: Vec2, at: &str) {
    for node in harness.query_all(egui_kittest::kittest::by().predicate(|_| true)) {
        let data = node.accesskit_node();
        let is_control =
            matches!(data.role(), Role::Button | Role::TextInput | Role::CheckBox | Role::Slider);
        let name = data.label().or_else(|| data.value()).unwrap_or_default();
        assert!(!is_control || !name.is_empty(), "{at}: a {:?} without a name", data.role());
        if is_control || data.role() == Role::Label {
            let rect = node.rect();
            assert!(
                rect.left() >= -0.5 && rect.right() <= size.x + 0.5,
                "{at}: {name} reaches out: {rect:?}"
            );
        }
    }
}

#[test]
fn the_key_tells_what_the_keyboard_is_at_and_goes_back_there() {
    let mut harness = window(vec2(1280.0, 720.0), 1.0);
    press(&mut harness, Press::F3);
    focus(&mut harness, Role::TextInput, "Base shim");
    press(&mut harness, Press::F12);
    assert_eq!(heading(&harness).as_deref(), Some("Base shim"));
    assert!(harness.query_by_label_contains("Here: ").is_some());
    // Escape leads back to the drawer and the field.
    press(&mut harness, Press::Escape);
    assert_eq!(heading(&harness), None);
    assert_eq!(harness.state().drawer(), Drawer::Effects);
    assert_eq!(harness.ctx.memory(|memory| memory.focused()), Some(field_id(Key::BaseShim)));
}

#[test]
fn the_label_of_any_control_leads_to_its_word() {
    let mut harness = window(vec2(1440.0, 900.0), 1.0);
    // The fronts of the drawers are controls like all others.
    let front = harness.get_by(|node| {
        node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with("Shims"))
    });
    front.focus();
    harness.run();
    press(&mut harness, Press::F12);
    assert_eq!(heading(&harness).as_deref(), Some("Shim"));
    press(&mut harness, Press::Escape);
    // Nothing to tell: the whole list.
    focus(&mut harness, Role::Button, "Slate");
    press(&mut harness, Press::F12);
    assert!(harness.query_by_role_and_label(Role::TextInput, "Search the words").is_some());
}

#[test]
fn a_word_is_found_by_what_it_is_called_elsewhere_without_a_pointer() {
    let mut harness = window(vec2(1280.0, 720.0), 1.0);
    press(&mut harness, Press::W);
    harness.event(Event::Text("Kolbenbolzen".into()));
    harness.run();
    assert!(harness.query_by_label("Word: Piston pin").is_some());
    assert!(harness.query_by_label("Word: Bore").is_none());
    press(&mut harness, Press::Enter);
    assert_eq!(heading(&harness).as_deref(), Some("Piston pin"));
    // On to a word that belongs to it, and back to all of them.
    click(&mut harness, "Compression height");
    assert_eq!(heading(&harness).as_deref(), Some("Compression height"));
    click(&mut harness, "All words");
    press(&mut harness, Press::ArrowDown);
    let focused = harness.ctx.memory(|memory| memory.focused());
    assert_eq!(focused, Some(egui::Id::unique(("word", place_of("piston_pin").unwrap()))));
    press(&mut harness, Press::Enter);
    assert_eq!(heading(&harness).as_deref(), Some("Piston pin"));
}

#[test]
fn the_other_button_of_the_pointer_asks_what_this_is() {
    let mut harness = window(vec2(1440.0, 900.0), 1.0);
    let at = harness.get_by_role_and_label(Role::TextInput, "Bore").rect().left_center() - vec2(60.0, 0.0);
    harness.hover_at(at);
    harness.run();
    for pressed in [true, false] {
        let button = PointerButton::Secondary;
        harness.event(Event::PointerButton { pos: at, button, pressed, modifiers: Modifiers::NONE });
        harness.run();
    }
    click(&mut harness, "What is this? Bore");
    assert_eq!(heading(&harness).as_deref(), Some("Bore"));
}

#[test]
fn a_lesson_goes_on_where_it_stood_after_a_look_at_the_words() {
    let mut harness = window(vec2(1280.0, 720.0), 1.0);
    press(&mut harness, Press::F1);
    click(&mut harness, "Begin");
    click(&mut harness, "Show me");
    let before = {
        let playing = harness.state().lesson().unwrap();
        (playing.run().step(), playing.run().is_done(), playing.session().history().revision())
    };
    click(&mut harness, "Words");
    assert!(harness.query_by_role_and_label(Role::TextInput, "Search the words").is_some());
    press(&mut harness, Press::Enter);
    click(&mut harness, "Back to the lesson");
    let playing = harness.state().lesson().unwrap();
    let after = (playing.run().step(), playing.run().is_done(), playing.session().history().revision());
    assert_eq!(before, after);
    assert_eq!(heading(&harness).as_deref(), Some(playing.said().title.as_str()));
}

#[test]
fn every_word_has_its_page_in_a_small_window_and_at_twice_the_size() {
    let size = vec2(1280.0, 720.0);
    for density in [1.0, 2.0] {
        // At twice the size the same screen holds half as many points.
        let points = if density > 1.0 { vec2(1024.0, 640.0) } else { size };
        let mut harness = window(points, density);
        press(&mut harness, Press::W);
        is_sound(&harness, points, "the list");
        for term in glossary() {
            focus(&mut harness, Role::TextInput, "Search the words");
            let name = format!("Word: {}", term.name());
            focus(&mut harness, Role::Button, &name);
            press(&mut harness, Press::Enter);
            assert_eq!(heading(&harness).as_deref(), Some(term.name()));
            is_sound(&harness, points, term.id());
            click(&mut harness, "All words");
        }
    }
}
