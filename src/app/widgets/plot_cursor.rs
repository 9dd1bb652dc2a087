//! What lies over a curve: the cursor at the crank angle with its ring on the
//! curve, and dotted lines with words along them at marked angles.

use crate::app::theme::{Tokens, regular, text};
use crate::app::widgets::paint;
use egui::epaint::TextShape;
use egui::{Painter, Pos2, Rect, Shape, pos2};
use std::f32::consts::TAU;

/// Paints the cursor through `on_curve` over the height of `plot`.
pub fn paint_cursor(painter: &Painter, plot: Rect, on_curve: Pos2, t: &Tokens) {
    let x = paint::snap(painter, on_curve.x - 0.5);
    paint::vline(painter, x, plot.top(), plot.bottom(), t.stroke(1.4, t.accent));
    painter.circle(on_curve, 4.3, t.panel, t.stroke(1.8, t.accent));
}

/// Paints a dotted upright line at `x` with `words` along it, read from the
/// right, on the left of the line where there is room and else on its right.
pub fn paint_marked_angle(painter: &Painter, plot: Rect, x: f32, words: &str, t: &Tokens) {
    let stroke = t.stroke(1.2, t.ink2);
    painter.extend(Shape::dashed_line(&[pos2(x, plot.top()), pos2(x, plot.bottom())], stroke, 2.0, 3.0));
    let galley = paint::line(painter, words, regular(text::LEAST), t.ink2);
    let size = galley.size();
    let left = if x - size.y - 3.0 > plot.left() { x - size.y - 2.0 } else { x + 2.0 };
    let bottom = (plot.top() + (plot.height() + size.x) / 2.0).min(plot.bottom() - 2.0);
    painter.add(TextShape::new(pos2(left, bottom), galley, t.ink2).with_angle(-TAU / 4.0));
}
