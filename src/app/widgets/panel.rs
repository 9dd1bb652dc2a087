//! The ground under what belongs together, and its caption line.

use crate::app::theme::{Tokens, radius, space, width};
use crate::app::widgets::paint;
use egui::{Painter, Rect, StrokeKind, vec2};

/// Paints the ground of a panel. In high contrast, where board and panel are
/// of one colour, it gets an outline.
pub(crate) fn paint_panel(painter: &Painter, rect: Rect, t: &Tokens) {
    painter.rect_filled(rect, radius::PANEL, t.panel);
    if t.panel == t.board {
        painter.rect_stroke(rect, radius::PANEL, t.stroke(width::REST, t.line2), StrokeKind::Inside);
    }
}

/// The room inside a panel.
#[must_use]
pub(crate) fn inside(rect: Rect) -> Rect {
    rect.shrink(space::INNER)
}

/// A divider from edge to edge of `rect`'s width, at `y`.
pub(crate) fn divider(painter: &Painter, rect: Rect, y: f32, t: &Tokens) {
    paint::hline(painter, rect.left(), rect.right(), y, t.stroke(width::REST, t.line));
}

/// Steps a panel back under the board, on purpose below the contrast of text;
/// it must come back whole as soon as it is pointed at or focused. In high
/// contrast nothing steps back.
pub(crate) fn step_back(painter: &Painter, rect: Rect, t: &Tokens) {
    if t.panel != t.board {
        painter.rect_filled(rect.expand2(vec2(0.5, 0.5)), radius::PANEL, t.board.gamma_multiply(0.62));
    }
}
