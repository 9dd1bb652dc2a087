//! What the pages of the panel are made of.

use crate::app::theme::{Tokens, radius, regular, width};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{Color32, FontId, Id, Painter, Rect, Response, Sense, StrokeKind, Ui, WidgetInfo, vec2};

/// A paragraph that a screen reader reads, in as many lines as it needs.
pub(super) fn paragraph(ui: &mut Ui, words: &str, font: FontId, color: Color32, below: f32) -> Response {
    let galley = paint::wrapped(ui.painter(), words, font, color, ui.available_width());
    let size = vec2(ui.available_width(), galley.size().y + below);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    ui.painter().galley(rect.min, galley, color);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    response
}

/// A caution: its words beside a dot, in the second ink.
pub(super) fn caution(ui: &mut Ui, words: &str, size: f32, t: &Tokens) {
    let galley = paint::wrapped(ui.painter(), words, regular(size), t.ink2, ui.available_width() - 14.0);
    let size = vec2(ui.available_width(), galley.size().y + 6.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let bar = Rect::from_min_size(rect.min + vec2(2.0, 1.0), vec2(3.0, galley.size().y));
    ui.painter().rect_filled(bar, 1.0, t.warn);
    ui.painter().galley(rect.min + vec2(14.0, 0.0), galley, t.ink2);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("Caution: {words}")));
}

/// How a choice of a question stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tried {
    /// Not taken yet.
    Not,
    /// Taken, and right.
    Right,
    /// Taken, and wrong.
    Wrong,
}

/// Around the words of a choice, and the room of its mark.
const PAD: f32 = 8.0;
const MARK: f32 = 24.0;

/// Marks grow with the letters, but not below their usual size.
fn times(size: f32) -> f32 {
    (size / 15.0).max(1.0)
}

/// How tall a choice becomes.
#[must_use]
pub(super) fn choice_height(painter: &Painter, words: &str, size: f32, width: f32) -> f32 {
    let room = width - MARK * times(size) - 2.0 * PAD;
    let galley = paint::wrapped(painter, words, regular(size), Color32::BLACK, room);
    (galley.size().y + 9.0).max(28.0)
}

/// A choice: a button as wide as the panel, with as many lines as it needs.
pub(super) fn choice(ui: &mut Ui, id: Id, words: &str, tried: Tried, size: f32, t: &Tokens) -> Response {
    let k = times(size);
    let mark = MARK * k;
    let room = ui.available_width() - mark - 2.0 * PAD;
    let galley = paint::wrapped(ui.painter(), words, regular(size), t.ink, room);
    let height = choice_height(ui.painter(), words, size, ui.available_width());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    ui.add_space(4.0);
    let response = ui.interact(rect, id, Sense::click());
    let painter = ui.painter();
    let (fill, outline) = match tried {
        Tried::Not if response.hovered() => (t.field, t.stroke(width::REST, t.ink)),
        Tried::Not => (t.field, t.stroke(width::REST, t.line2)),
        Tried::Right => (t.accent_tint, t.stroke(width::HEAVY, t.accent)),
        Tried::Wrong => (t.panel, t.stroke(width::REST, t.line2)),
    };
    painter.rect(rect, radius::BUTTON, fill, outline, StrokeKind::Inside);
    let centre = rect.left_center() + vec2(PAD + 7.0 * k, 0.0);
    painter.circle_stroke(
        centre,
        6.0 * k,
        t.stroke(width::FRAME, if tried == Tried::Right { t.accent } else { t.ink2 }),
    );
    match tried {
        Tried::Right => {
            painter.circle_filled(centre, 3.0 * k, t.accent);
        }
        Tried::Wrong => {
            painter.line_segment(
                [centre - vec2(3.5 * k, 0.0), centre + vec2(3.5 * k, 0.0)],
                t.stroke(width::FRAME, t.ink2),
            );
        }
        Tried::Not => {}
    }
    let top = rect.center().y - galley.size().y / 2.0;
    painter.galley(egui::pos2(rect.left() + PAD + mark, top), galley, t.ink);
    if response.has_focus() {
        paint::focus_ring(painter, rect, radius::BUTTON, t);
    }
    response.widget_info(|| {
        let state = match tried {
            Tried::Not => "",
            Tried::Right => ", chosen, right",
            Tried::Wrong => ", chosen, not right",
        };
        WidgetInfo::selected(Role::Button, true, tried != Tried::Not, format!("{words}{state}"))
    });
    response
}
