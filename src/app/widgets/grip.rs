//! Knurled grips: the thumb of the rule slider and the handles on the drawing.

use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::widgets::{paint, slider};
use egui::accesskit::Role;
use egui::{
    Align, Color32, CursorIcon, Id, Pos2, Rect, Response, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
    pos2, vec2,
};

/// Size of a slider's thumb.
pub(crate) const THUMB: Vec2 = vec2(12.0, 13.0);
/// Size of a handle that moves up and down; one that moves sideways is turned.
pub(crate) const HANDLE: Vec2 = vec2(16.0, 11.0);
/// Area in which a handle takes the pointer.
pub(crate) const HIT: Vec2 = vec2(28.0, 28.0);

/// How a grip looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hold {
    /// Untouched.
    Rest,
    /// Pointed at, focused, or its value has moved.
    Lit,
    /// In the hand.
    Held,
}

/// Paints a grip; its knurls lie across the longer side of travel: three
/// strokes upright for a thumb that slides sideways, flat for a handle that
/// moves up and down.
pub(crate) fn paint_grip(ui: &Ui, rect: Rect, hold: Hold, upright_knurls: bool, ground: Color32, t: &Tokens) {
    let (fill, outline, knurls) = match hold {
        Hold::Rest => (ground, t.ink2, t.ink2),
        Hold::Lit => (t.accent_tint, t.accent, t.accent),
        Hold::Held => (t.accent, t.accent, t.on_accent),
    };
    let painter = ui.painter();
    painter.rect_filled(rect, radius::GRIP, fill);
    painter.rect_stroke(rect, radius::GRIP, t.stroke(width::FRAME, outline), StrokeKind::Middle);
    let stroke = Stroke::new(1.0, knurls);
    let c = rect.center();
    for offset in [-3.0, 0.0, 3.0] {
        if upright_knurls {
            paint::vline(painter, c.x + offset - 0.5, c.y - 3.0, c.y + 3.0, stroke);
        } else {
            paint::hline(painter, c.x - 4.5, c.x + 4.5, c.y + offset - 0.5, stroke);
        }
    }
}

/// A handle on the drawing.
#[derive(Clone, Debug)]
pub(crate) struct Handle<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Where it stands, in points.
    pub center: Pos2,
    /// The way in which it moves for a larger value, length 1.
    pub way: Vec2,
    /// What it moves, for screen readers: "Base shim".
    pub name: &'a str,
    /// What its flag says at rest and in the hand: "shim 0.25".
    pub flag: &'a str,
    /// Second line of the flag: "drag or arrows", in the hand "+0.20".
    pub flag_second: &'a str,
    /// Its value, for screen readers: "0.25 mm".
    pub value_text: &'a str,
}

/// What was done with a handle.
#[derive(Clone, Debug)]
pub(crate) struct HandleOutput {
    /// egui's response.
    pub response: Response,
    /// Points that the pointer has gone since the press, along the handle's
    /// way.
    pub dragged: Option<f32>,
    /// Steps that the arrow keys asked for: whole steps, with Shift a fifth.
    pub steps: f64,
    /// Escape during the drag: put back what was there at the press.
    pub put_back: bool,
}

impl Handle<'_> {
    /// Shows the handle and says what was done with it. The flag is painted
    /// apart, by [`Handle::paint_flag`], so that it lies over everything.
    pub(crate) fn show(&self, ui: &mut Ui, t: &Tokens) -> HandleOutput {
        let response = ui.interact(Rect::from_center_size(self.center, HIT), self.id, Sense::drag());
        let upright = self.is_upright();
        let cursor = if upright { CursorIcon::ResizeVertical } else { CursorIcon::ResizeHorizontal };
        let response = response.on_hover_and_drag_cursor(cursor);
        if response.drag_started() {
            response.request_focus();
        }
        let steps = slider::arrow_steps(ui, &response);
        let gesture = slider::Gesture::follow(ui, &response);
        let hold = self.hold(&response);
        let size = if upright { HANDLE } else { vec2(HANDLE.y, HANDLE.x) };
        let rect = Rect::from_center_size(self.center, size);
        paint_grip(ui, rect, hold, !upright, t.sheet, t);
        if response.has_focus() && hold != Hold::Held {
            paint::focus_ring(ui.painter(), rect, radius::GRIP, t);
        }
        response.widget_info(|| WidgetInfo::labeled(Role::Slider, ui.is_enabled(), self.name));
        ui.ctx().accesskit_node_builder(self.id, |node| node.set_value(self.value_text));
        let dragged = gesture.delta.map(|by| by.dot(self.way));
        HandleOutput { dragged, steps, put_back: gesture.escaped, response }
    }

    /// Whether it moves up and down rather than sideways.
    fn is_upright(&self) -> bool {
        self.way.y.abs() >= self.way.x.abs()
    }

    /// How the handle looks.
    fn hold(&self, response: &Response) -> Hold {
        if response.dragged() {
            Hold::Held
        } else if response.hovered() || response.has_focus() {
            Hold::Lit
        } else {
            Hold::Rest
        }
    }

    /// Paints the flag beside the handle if it is pointed at, focused or held;
    /// within `bounds`, to the right if there is room.
    pub(crate) fn paint_flag(&self, ui: &Ui, response: &Response, bounds: Rect, t: &Tokens) {
        if self.hold(response) == Hold::Rest {
            return;
        }
        let painter = ui.painter();
        let first = paint::line(painter, self.flag, semibold(text::PANEL), t.ink);
        let second = paint::line(painter, self.flag_second, regular(text::CAPTION), t.ink2);
        let size = vec2(first.size().x.max(second.size().x) + 20.0, 40.0);
        let right = self.center + vec2(18.0, -58.0);
        let left = self.center + vec2(-18.0 - size.x, -58.0);
        let mut min = if right.x + size.x <= bounds.right() { right } else { left };
        min.y = min.y.max(bounds.top());
        let rect = paint::around(painter, min + size / 2.0, size);
        painter.rect_filled(rect, radius::BUTTON, t.sheet);
        painter.rect_stroke(rect, radius::BUTTON, t.stroke(width::HEAVY, t.accent), StrokeKind::Inside);
        paint::place(painter, pos2(rect.left() + 10.0, rect.top() + 18.0), Align::Min, first, t.ink);
        paint::place(painter, pos2(rect.left() + 10.0, rect.top() + 33.0), Align::Min, second, t.ink2);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::theme::Theme;
    use crate::app::widgets::gallery::harness;
    use egui::{Key, Modifiers};
    use egui_kittest::kittest::Queryable as _;

    /// What a handle reported: points dragged, steps, put back.
    #[derive(Default)]
    struct Seen {
        dragged: Vec<f32>,
        steps: Vec<f64>,
        put_back: usize,
    }

    fn handle_ui(ui: &mut Ui, t: &Tokens, seen: &mut Seen) {
        let handle = Handle {
            id: Id::unique("handle under test"),
            center: pos2(60.0, 60.0),
            way: vec2(0.0, -1.0),
            name: "Base shim",
            flag: "shim 0.25",
            flag_second: "drag or arrows",
            value_text: "0.25 mm",
        };
        let out = handle.show(ui, t);
        seen.dragged.extend(out.dragged);
        seen.steps.extend((out.steps != 0.0).then_some(out.steps));
        seen.put_back += usize::from(out.put_back);
    }

    #[test]
    fn a_handle_gives_points_upward_until_escape() {
        let mut h = harness(Theme::Paper, vec2(120.0, 120.0), Seen::default(), handle_ui);
        h.drag_at(pos2(62.0, 62.0));
        h.run();
        h.hover_at(pos2(70.0, 52.0));
        h.run();
        assert_eq!(h.state().dragged.last(), Some(&10.0));
        h.key_press(Key::Escape);
        h.run();
        assert_eq!(h.state().put_back, 1);
        let seen = h.state().dragged.len();
        h.hover_at(pos2(70.0, 30.0));
        h.run();
        assert_eq!(h.state().dragged.len(), seen, "the rest of the drag counts no more");
    }

    #[test]
    fn arrows_step_a_focused_handle() {
        let mut h = harness(Theme::Paper, vec2(120.0, 120.0), Seen::default(), handle_ui);
        h.get_by_role_and_label(Role::Slider, "Base shim").focus();
        h.run();
        h.key_press(Key::ArrowUp);
        h.run();
        h.key_press_modifiers(Modifiers::SHIFT, Key::ArrowDown);
        h.run();
        assert_eq!(h.state().steps, [1.0, -0.2]);
    }
}
