//! The cap of a key, beside what the key does.

use crate::app::theme::{Tokens, radius, semibold, text, width};
use crate::app::widgets::paint;
use egui::{Align, Painter, Pos2, Rect, StrokeKind, vec2};

/// Height of a cap.
pub(crate) const HEIGHT: f32 = 18.0;

/// How wide the cap of `key` is.
#[must_use]
pub(crate) fn width_of(painter: &Painter, key: &str, t: &Tokens) -> f32 {
    let galley = paint::line(painter, key, semibold(text::LEAST), t.ink2);
    (galley.size().x + 11.0).max(HEIGHT).ceil()
}

/// Paints the cap with its right edge and middle at `right_middle`.
pub(crate) fn paint_cap(painter: &Painter, right_middle: Pos2, key: &str, t: &Tokens) -> Rect {
    let size = vec2(width_of(painter, key, t), HEIGHT);
    let rect = paint::around(painter, right_middle - vec2(size.x / 2.0, 0.0), size);
    painter.rect(rect, radius::FIELD, t.key, t.stroke(width::REST, t.line2), StrokeKind::Inside);
    paint::text_mid(painter, rect.center(), Align::Center, key, semibold(text::LEAST), t.ink2);
    rect
}
