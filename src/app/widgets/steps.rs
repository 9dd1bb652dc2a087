//! Steps that a value is moved by with keys and wheel: a step, with Shift a
//! fifth of one, with Ctrl (on a Mac Command) ten.

use egui::{Event, Id, InputState, Key, Modifiers, MouseWheelUnit, Rect, Ui};

/// A fine step against a step.
pub(crate) const FINE: f64 = 0.2;
/// A coarse step against a step.
pub(crate) const COARSE: f64 = 10.0;
/// So many points of a wheel without notches are a step.
const POINTS: f32 = 40.0;

/// Takes the presses of these keys; each with the way in which it goes.
pub(crate) fn of_keys(input: &mut InputState, keys: &[(Key, f64)]) -> f64 {
    let mut steps = 0.0;
    for &(key, way) in keys {
        // Those with a modifier first: without it the key would match too.
        steps += way * FINE * count(input.count_and_consume_key(Modifiers::SHIFT, key));
        steps += way * COARSE * count(input.count_and_consume_key(Modifiers::COMMAND, key));
        steps += way * count(input.count_and_consume_key(Modifiers::NONE, key));
    }
    steps
}

/// Takes what the wheel was turned over `rect`; away from the hand raises.
pub(crate) fn of_wheel(ui: &Ui, id: Id, rect: Rect) -> f64 {
    let is_over = ui.rect_contains_pointer(rect);
    if !is_over {
        return 0.0;
    }
    let rest = ui.data(|d| d.get_temp::<f32>(id.with("wheel"))).unwrap_or(0.0);
    let (steps, rest) = ui.input_mut(|input| {
        let mut whole = 0.0;
        let mut turned = rest;
        input.events.retain(|event| {
            let Event::MouseWheel { unit, delta, modifiers, .. } = event else { return true };
            // With Shift some systems turn the wheel sideways.
            let by = if delta.y == 0.0 { delta.x } else { delta.y };
            turned += match unit {
                MouseWheelUnit::Point => by / POINTS,
                MouseWheelUnit::Line | MouseWheelUnit::Page => by,
            };
            let full = turned.trunc();
            turned -= full;
            let size = if modifiers.shift {
                FINE
            } else if modifiers.command {
                COARSE
            } else {
                1.0
            };
            whole += f64::from(full) * size;
            false
        });
        // Nothing else is rolled by it.
        input.smooth_scroll_delta = egui::Vec2::ZERO;
        (whole, turned)
    });
    ui.data_mut(|d| d.insert_temp(id.with("wheel"), rest));
    steps
}

fn count(n: usize) -> f64 {
    f64::from(u16::try_from(n).unwrap_or(u16::MAX))
}
