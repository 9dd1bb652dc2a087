//! The ground under what belongs together, and its caption line.

use crate::app::theme::{Tokens, radius, regular, semibold, space, text, width};
use crate::app::widgets::paint;
use egui::{Align, Painter, Pos2, Rect, StrokeKind, pos2, vec2};

/// Paints the ground of a panel. In high contrast, where board and panel are
/// of one colour, it gets an outline.
pub fn paint_panel(painter: &Painter, rect: Rect, t: &Tokens) {
    painter.rect_filled(rect, radius::PANEL, t.panel);
    if t.panel == t.board {
        painter.rect_stroke(rect, radius::PANEL, t.stroke(width::REST, t.line2), StrokeKind::Inside);
    }
}

/// The room inside a panel.
#[must_use]
pub fn inside(rect: Rect) -> Rect {
    rect.shrink(space::INNER)
}

/// A divider from edge to edge of `rect`'s width, at `y`.
pub fn divider(painter: &Painter, rect: Rect, y: f32, t: &Tokens) {
    paint::hline(painter, rect.left(), rect.right(), y, t.stroke(width::REST, t.line));
}

/// A caption at the left and a number with its small unit at the right, on
/// one baseline around `middle`.
pub fn caption_and_number(
    painter: &Painter,
    rect: Rect,
    middle: f32,
    words: (&str, &str, &str),
    size: f32,
    t: &Tokens,
) {
    let (caption, number, unit) = words;
    let baseline = paint::baseline_for_middle(middle, size);
    number_with_unit(painter, pos2(rect.right(), baseline), number, unit, size, t);
    paint::text(painter, pos2(rect.left(), baseline), Align::Min, caption, regular(text::BODY), t.ink2);
}

/// A heavy number with its small unit, right-aligned on a baseline.
pub fn number_with_unit(
    painter: &Painter,
    right: Pos2,
    number: &str,
    unit: &str,
    size: f32,
    t: &Tokens,
) -> Rect {
    let mut end = right;
    let mut covered = Rect::NOTHING;
    if !unit.is_empty() {
        covered = paint::text(painter, right, Align::Max, unit, regular(text::BODY), t.ink3);
        end.x = covered.left() - 3.0;
    }
    covered.union(paint::text(painter, end, Align::Max, number, semibold(size), t.ink))
}

/// Steps a panel back under the board, on purpose below the contrast of text;
/// it must come back whole as soon as it is pointed at or focused. In high
/// contrast nothing steps back.
pub fn step_back(painter: &Painter, rect: Rect, t: &Tokens) {
    if t.panel != t.board {
        painter.rect_filled(rect.expand2(vec2(0.5, 0.5)), radius::PANEL, t.board.gamma_multiply(0.62));
    }
}
