//! What the entry field and the rule do under the hand and the keyboard.

use crate::app::theme::{Theme, Tokens};
use crate::app::widgets::field::{Check, QuantityField};
use crate::app::widgets::gallery::{check, harness, meaning};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::slider::{Slider, snapped};
use egui::accesskit::Role;
use egui::{Event, Id, Key, Modifiers, Pos2, Rect, Ui, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

/// A document of one number, and everything that the field asked for.
#[derive(Default)]
struct Doc {
    text: String,
    typed: Vec<String>,
    steps: Vec<f64>,
}

const FIELD: Rect = Rect { min: pos2(20.0, 20.0), max: pos2(102.0, 42.0) };

fn field_ui(ui: &mut Ui, t: &Tokens, doc: &mut Doc) {
    let id = Id::unique("field under test");
    let field = QuantityField {
        id,
        name: "Bore",
        value: &doc.text,
        unit: "mm",
        known: ProvenanceMark::Measured,
        moved: false,
        struck: false,
        check: &check,
        meaning: &meaning,
    };
    let out = field.show(ui, FIELD, t);
    if let Some(text) = out.committed {
        doc.text.clone_from(&text);
        doc.typed.push(text);
    }
    if out.steps != 0.0 {
        doc.steps.push(out.steps);
    }
    let other = Rect::from_min_size(pos2(20.0, 60.0), vec2(60.0, 20.0));
    ui.put(other, egui::Button::new("Elsewhere"));
}

fn with_field() -> Harness<'static, Doc> {
    let doc = Doc { text: "86.123456789".into(), ..Doc::default() };
    let mut h = harness(Theme::Paper, vec2(160.0, 100.0), doc, field_ui);
    h.run();
    h
}

fn focus(h: &mut Harness<'_, Doc>) {
    h.get_by_role_and_label(Role::TextInput, "Bore").focus();
    h.run();
}

fn leave(h: &mut Harness<'_, Doc>) {
    h.get_by_role_and_label(Role::Button, "Elsewhere").focus();
    h.run();
}

fn typed(h: &mut Harness<'_, Doc>, text: &str) {
    h.event(Event::Text(text.into()));
    h.run();
}

fn shown(h: &Harness<'_, Doc>) -> String {
    h.get_by_role_and_label(Role::TextInput, "Bore").value().unwrap_or_default()
}

fn said(h: &Harness<'_, Doc>) -> String {
    h.get_by_role_and_label(Role::TextInput, "Bore")
        .accesskit_node()
        .data()
        .description()
        .unwrap_or("")
        .to_owned()
}

#[test]
fn visiting_the_field_changes_nothing() {
    let mut h = with_field();
    focus(&mut h);
    leave(&mut h);
    h.get_by_role_and_label(Role::TextInput, "Bore").click();
    h.run();
    h.key_press(Key::ArrowLeft);
    h.run();
    h.key_press(Key::Enter);
    leave(&mut h);
    assert_eq!(h.state().text, "86.123456789");
    assert!(h.state().typed.is_empty());
}

#[test]
fn enter_takes_the_text_once_and_keeps_the_keyboard() {
    let mut h = with_field();
    focus(&mut h);
    typed(&mut h, "87.5");
    assert!(h.state().typed.is_empty(), "nothing is taken while it is typed");
    h.key_press(Key::Enter);
    h.run();
    assert!(h.get_by_role_and_label(Role::TextInput, "Bore").is_focused());
    h.key_press(Key::Enter);
    leave(&mut h);
    assert_eq!(h.state().typed, ["87.5"]);
}

#[test]
fn leaving_the_field_takes_the_text_once() {
    let mut h = with_field();
    focus(&mut h);
    typed(&mut h, "88");
    leave(&mut h);
    h.run_steps(5);
    assert_eq!(h.state().typed, ["88"]);
}

#[test]
fn escape_puts_back_what_was_there() {
    let mut h = with_field();
    focus(&mut h);
    typed(&mut h, "12");
    assert_eq!(shown(&h), "12");
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(shown(&h), "86.123456789");
    leave(&mut h);
    assert!(h.state().typed.is_empty());
}

#[test]
fn a_second_escape_leaves_the_field() {
    let mut h = with_field();
    focus(&mut h);
    h.key_press(Key::Escape);
    h.run();
    assert!(!h.get_by_role_and_label(Role::TextInput, "Bore").is_focused());
}

#[test]
fn a_text_that_is_refused_stays_with_its_sentence() {
    let mut h = with_field();
    focus(&mut h);
    typed(&mut h, "86 furlongs");
    h.key_press(Key::Enter);
    leave(&mut h);
    h.run_steps(3);
    assert_eq!(shown(&h), "86 furlongs");
    assert!(said(&h).contains("is not a length"), "{}", said(&h));
    assert_eq!(h.state().text, "86.123456789", "the old value stays in the engine");
    focus(&mut h);
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(shown(&h), "86.123456789");
    assert!(!said(&h).contains("is not a length"));
}

#[test]
fn a_slip_is_asked_about_and_a_second_enter_takes_the_offer() {
    let mut h = with_field();
    focus(&mut h);
    typed(&mut h, "0.014");
    h.key_press(Key::Enter);
    h.run();
    assert!(h.state().typed.is_empty());
    assert!(said(&h).contains("Did you mean 0.014 in?"), "{}", said(&h));
    h.key_press(Key::Enter);
    h.run();
    assert_eq!(h.state().typed, ["0.014 in"]);
}

#[test]
fn a_slip_that_was_left_is_not_swallowed() {
    let mut h = with_field();
    focus(&mut h);
    typed(&mut h, "0.014");
    leave(&mut h);
    h.run_steps(3);
    assert!(h.state().typed.is_empty());
    assert!(said(&h).contains("Did you mean"));
}

#[test]
fn arrows_step_with_shift_a_fifth_and_with_ctrl_ten() {
    let mut h = with_field();
    focus(&mut h);
    h.key_press(Key::ArrowUp);
    h.run();
    h.key_press(Key::ArrowDown);
    h.run();
    h.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::ArrowUp);
    h.run();
    assert_eq!(h.state().steps, [1.0, -1.0, -0.2, 10.0]);
    assert!(h.get_by_role_and_label(Role::TextInput, "Bore").is_focused());
}

/// The wheel steps the field that has the keyboard, and no other.
#[test]
fn the_wheel_steps_only_where_the_keyboard_is() {
    let mut h = with_field();
    let over = h.get_by_role_and_label(Role::TextInput, "Bore").rect().center();
    let roll = |h: &mut Harness<'_, Doc>, y: f32, modifiers: Modifiers| {
        h.hover_at(over);
        h.run();
        let delta = vec2(0.0, y);
        let unit = egui::MouseWheelUnit::Line;
        let phase = egui::TouchPhase::Move;
        let source = egui::MouseWheelSource::Wheel;
        h.event(Event::MouseWheel { unit, delta, phase, source, modifiers });
        // The toolkit rolls on for some frames.
        h.run_steps(15);
    };
    roll(&mut h, 1.0, Modifiers::NONE);
    assert!(h.state().steps.is_empty(), "a visit changes nothing");
    focus(&mut h);
    roll(&mut h, 1.0, Modifiers::NONE);
    roll(&mut h, -2.0, Modifiers::SHIFT);
    assert_eq!(h.state().steps, [1.0, -0.4]);
}

#[test]
fn after_a_step_typing_replaces_the_new_value() {
    let mut h = with_field();
    focus(&mut h);
    h.key_press(Key::ArrowUp);
    h.run();
    h.state_mut().text = "86.2".into();
    h.run();
    assert_eq!(shown(&h), "86.2");
    typed(&mut h, "90");
    assert_eq!(shown(&h), "90");
}

#[test]
fn a_clicked_field_is_edited_in_place() {
    let mut h = with_field();
    h.get_by_role_and_label(Role::TextInput, "Bore").click();
    h.run();
    h.key_press(Key::End);
    h.run();
    typed(&mut h, "1");
    assert_eq!(shown(&h), "86.1234567891");
}

#[test]
fn the_check_of_these_tests_refuses_what_is_no_number() {
    assert!(matches!(check("abc"), Check::Refused(_)));
    assert_eq!(check("86.5"), Check::Fine);
}

/// A document of one number under a rule.
struct Slid {
    value: f64,
    sets: Vec<f64>,
    drags: usize,
}

const LINE: Rect = Rect { min: pos2(20.0, 30.0), max: pos2(220.0, 30.0) };

fn rule_ui(ui: &mut Ui, t: &Tokens, doc: &mut Slid) {
    let words = format!("{} mm", doc.value);
    let rule = Slider {
        name: "Base shim",
        value_text: &words,
        value: doc.value,
        range: 0.0..=2.0,
        step: 0.1,
        kept: Some(0.5),
    };
    let out = rule.show(ui, Id::unique("rule under test"), LINE, t);
    doc.drags += usize::from(out.response.drag_stopped());
    if let Some(value) = out.set {
        doc.value = value;
        doc.sets.push(value);
    }
}

fn with_rule(value: f64) -> Harness<'static, Slid> {
    let mut h = harness(Theme::Paper, vec2(240.0, 60.0), Slid { value, sets: Vec::new(), drags: 0 }, rule_ui);
    h.run();
    h
}

/// Where a value stands on the line: 100 points a millimetre.
fn at(value: f32) -> Pos2 {
    pos2(20.0 + 100.0 * value, 30.0)
}

fn rule_focus(h: &mut Harness<'_, Slid>) {
    h.get_by_role_and_label(Role::Slider, "Base shim").focus();
    h.run();
}

#[test]
fn dragging_the_thumb_gives_whole_steps() {
    let mut h = with_rule(0.25);
    h.drag_at(at(0.27));
    h.run();
    assert!(h.state().sets.is_empty(), "pressing alone moves nothing: {:?}", h.state().sets);
    h.hover_at(at(0.58));
    h.run();
    assert_eq!(h.state().value, 0.6);
    h.hover_at(at(9.0));
    h.run();
    assert_eq!(h.state().value, 2.0, "the pointer leads to the end of the range, not beyond");
    h.drop_at(at(0.9));
    h.run();
    assert_eq!(h.state().drags, 1);
}

#[test]
fn a_trembling_hand_does_not_round_a_measured_value() {
    let mut h = with_rule(0.254);
    h.drag_at(at(0.25));
    h.run();
    h.hover_at(at(0.27));
    h.run();
    h.drop_at(at(0.27));
    h.run();
    assert_eq!(h.state().value, 0.254);
}

/// A field and a rule on one value, as they stand in a row.
fn both_ui(ui: &mut Ui, t: &Tokens, value: &mut f64) {
    let text = value.to_string();
    let field = QuantityField {
        id: Id::unique("field beside the rule"),
        name: "Base shim",
        value: &text,
        unit: "mm",
        known: ProvenanceMark::Measured,
        moved: false,
        struck: false,
        check: &check,
        meaning: &meaning,
    };
    let typed = field.show(ui, Rect::from_min_size(pos2(60.0, 40.0), vec2(82.0, 22.0)), t).committed;
    let rule = Slider {
        name: "Base shim",
        value_text: &text,
        value: *value,
        range: 0.0..=2.0,
        step: 0.1,
        kept: None,
    };
    let set = rule.show(ui, Id::unique("rule beside the field"), LINE, t).set;
    if let Some(next) = typed.and_then(|text| text.parse().ok()).or(set) {
        *value = next;
    }
}

#[test]
fn pressing_the_thumb_does_not_undo_what_was_just_typed() {
    let mut h = harness(Theme::Paper, vec2(240.0, 80.0), 0.25, both_ui);
    h.get_by_role_and_label(Role::TextInput, "Base shim").focus();
    h.run();
    h.event(Event::Text("0.85".into()));
    h.run();
    h.drag_at(at(0.25));
    h.run();
    assert_eq!(*h.state(), 0.85);
    h.drop_at(at(0.25));
    h.run();
    assert_eq!(*h.state(), 0.85);
}

#[test]
fn with_alt_the_drag_is_free_to_a_hundredth_of_a_step() {
    let mut h = with_rule(0.5);
    h.event(Event::ModifiersChanged(Modifiers::ALT));
    h.drag_at(at(0.5));
    h.run();
    h.hover_at(at(0.537));
    h.run();
    assert!((h.state().value - 0.537).abs() < 1e-6, "{}", h.state().value);
}

#[test]
fn pressing_beside_the_thumb_brings_it_there() {
    let mut h = with_rule(0.2);
    h.drag_at(at(1.52));
    h.run();
    assert_eq!(h.state().value, 1.5);
}

#[test]
fn escape_while_dragging_puts_it_back() {
    let mut h = with_rule(0.25);
    h.drag_at(at(0.25));
    h.run();
    h.hover_at(at(1.0));
    h.run();
    assert_eq!(h.state().value, 1.0);
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(h.state().value, 0.25);
    h.hover_at(at(1.4));
    h.run();
    assert_eq!(h.state().value, 0.25, "the rest of the drag counts no more");
    h.drop_at(at(1.4));
    h.run();
    assert_eq!(h.state().value, 0.25);
}

#[test]
fn arrows_move_a_step_and_shift_a_fifth() {
    let mut h = with_rule(0.25);
    rule_focus(&mut h);
    h.key_press(Key::ArrowRight);
    h.run();
    assert_eq!(h.state().value, 0.35);
    h.key_press(Key::ArrowDown);
    h.run();
    assert_eq!(h.state().value, 0.25);
    h.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    h.run();
    assert_eq!(h.state().value, 0.27);
    h.key_press(Key::End);
    h.run();
    assert_eq!(h.state().value, 2.0);
    h.key_press(Key::ArrowRight);
    h.run();
    assert_eq!(h.state().value, 2.0);
    h.key_press(Key::Home);
    h.run();
    assert_eq!(h.state().value, 0.0);
}

#[test]
fn a_value_beyond_the_range_is_left_alone_until_it_is_moved() {
    let mut h = with_rule(3.5);
    h.run_steps(3);
    rule_focus(&mut h);
    h.key_press(Key::ArrowRight);
    h.run();
    assert_eq!(h.state().value, 3.5, "no further out");
    assert!(h.state().sets.is_empty());
    h.key_press(Key::ArrowLeft);
    h.run();
    assert_eq!(h.state().value, 3.4);
}

#[test]
fn a_screen_reader_reads_and_sets_the_rule() {
    let mut h = with_rule(0.25);
    let node = h.get_by_role_and_label(Role::Slider, "Base shim");
    assert_eq!(node.value().as_deref(), Some("0.25 mm"));
    assert_eq!(node.accesskit_node().data().max_numeric_value(), Some(2.0));
    node.set_value_accesskit(1.25);
    h.run();
    assert_eq!(h.state().value, 1.25);
    h.get_by_role_and_label(Role::Slider, "Base shim").increment_accesskit();
    h.run();
    assert_eq!(h.state().value, 1.35);
}

#[test]
fn snapping_gives_round_numbers() {
    for (value, step, want) in [
        (0.299, 0.1, 0.3),
        (86.149, 0.1, 86.1),
        (-0.04, 0.1, 0.0),
        (7.3, 0.25, 7.25),
        (12.4, 5.0, 10.0),
        (1.0, 0.0, 1.0),
    ] {
        assert_eq!(snapped(value, step), want, "{value} by {step}");
    }
}
