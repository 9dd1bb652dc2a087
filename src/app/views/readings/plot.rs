//! All values of one thing on one scale, with their mean and its ±. Readings
//! that are not in the mean are rings; struck ones are crossed.

use super::ViewContext;
use crate::app::theme::{regular, text};
use crate::app::widgets::paint;
use crate::quantity::Unit;
use crate::reading::Evaluation;
use egui::layers::ShapeIdx;
use egui::{Align, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};

/// Height that the scale needs below the lines.
pub(super) const AXIS: f32 = 24.0;
const DOT: f32 = 3.4;
/// Dots that would lie on each other are set apart by this much.
const APART: f32 = 7.0;

/// How a value is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// It is in the mean.
    Counts,
    /// It tells of the rock, or of a floating barrel.
    Beside,
    /// It stands out, and nobody decided yet.
    Odd,
    /// It was struck out.
    Struck,
}

/// One value.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    /// The height of its line.
    pub y: f32,
    /// In the base unit.
    pub value: f64,
    /// How it is shown.
    pub sort: Sort,
}

/// The width that the plot takes of `width`.
pub(super) fn room(width: f32) -> f32 {
    (width * 0.30).clamp(140.0, 230.0)
}

/// Shows the plot in `rect`, its band in the place that was kept for it.
pub(super) fn plot_ui(
    ui: &Ui,
    rect: Rect,
    ground: ShapeIdx,
    marks: &[Mark],
    evaluation: Option<&Evaluation>,
    unit: Unit,
    shown: &ViewContext<'_>,
) {
    let t = shown.t;
    let painter = ui.painter();
    let estimate = evaluation.and_then(|e| e.estimate.as_ref());
    let mean = estimate.map(|e| (unit.from_base(e.value), unit.from_base(e.uncertainty().expanded())));
    let values = marks.iter().map(|mark| unit.from_base(mark.value));
    let ends = mean.map(|(mean, u)| [mean - u, mean + u]);
    let Some((low, high)) = span(values.chain(ends.into_iter().flatten())) else { return };
    #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
    let at = |value: f64| rect.left() + 8.0 + ((value - low) / (high - low)) as f32 * (rect.width() - 16.0);
    let first = marks.iter().map(|mark| mark.y).fold(f32::INFINITY, f32::min) - 15.0;
    let axis = rect.bottom() - AXIS + 3.0;
    if let Some((mean, u)) = mean {
        let band = Rect::from_min_max(pos2(at(mean - u), first), pos2(at(mean + u), axis));
        painter.set(ground, Shape::rect_filled(band, 0.0, t.line));
        paint::vline(painter, at(mean) - 0.75, first, axis, Stroke::new(1.5, t.ink));
    }
    paint::hline(painter, rect.left(), rect.right(), axis, t.stroke(1.0, t.line2));
    let (step, decimals) = step(low, high);
    let mut tick = (low / step).ceil() * step;
    // A span holds a handful of steps.
    for _ in 0..8 {
        if tick > high {
            break;
        }
        let x = at(tick);
        paint::vline(painter, x, axis, axis + 4.0, t.stroke(1.0, t.line2));
        let words = crate::study::words::plain(tick, decimals);
        let at = pos2(x, axis + 15.0);
        paint::text(painter, at, Align::Center, &words, regular(text::LEAST), t.ink3);
        tick += step;
    }
    let mut placed: Vec<Pos2> = Vec::new();
    for mark in marks {
        let x = at(unit.from_base(mark.value));
        let below = |y: f32| placed.iter().any(|p| (p.x - x).abs() < APART && (p.y - y).abs() < APART - 1.0);
        let mut y = mark.y;
        // Three on each other; the rest lie where they lie.
        for lift in [0.0, -APART, APART] {
            if !below(mark.y + lift) {
                y = mark.y + lift;
                break;
            }
        }
        let center = pos2(x, y);
        placed.push(center);
        match mark.sort {
            Sort::Counts => {
                painter.circle_filled(center, DOT, t.ink);
            }
            Sort::Beside => {
                painter.circle(center, DOT + 0.4, t.panel, Stroke::new(1.2, t.ink2));
            }
            Sort::Odd => {
                let r = 6.0;
                let corners = vec![
                    center + vec2(0.0, -r),
                    center + vec2(r, 0.0),
                    center + vec2(0.0, r),
                    center + vec2(-r, 0.0),
                ];
                painter.add(Shape::convex_polygon(corners, t.warn_tint, t.stroke(1.6, t.warn)));
            }
            Sort::Struck => {
                let r = 3.6;
                let stroke = Stroke::new(1.3, t.ink2);
                painter.line_segment([center + vec2(-r, -r), center + vec2(r, r)], stroke);
                painter.line_segment([center + vec2(-r, r), center + vec2(r, -r)], stroke);
            }
        }
    }
}

/// The ends of the scale, with some room on both sides; none of no value.
fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let finite = values.filter(|v| v.is_finite());
    let (low, high) = finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    if low > high {
        return None;
    }
    let least = 1e-3 * low.abs().max(high.abs()).max(1e-6);
    let room = ((high - low) * 0.08).max(least / 2.0);
    Some((low - room, high + room))
}

/// The distance of ticks, so that at most four lie within the span, and the
/// decimals that tell them apart.
fn step(low: f64, high: f64) -> (f64, u8) {
    use crate::engine::num::{log10, pow};
    let rough = (high - low) / 3.5;
    let power = log10(rough).floor();
    let unit = pow(10.0, power);
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|times| times * unit >= rough).unwrap_or(10.0);
    let step = times * unit;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0 to 6")]
    let decimals = (-log10(step * 1.000_001).floor()).clamp(0.0, 6.0) as u8;
    (step, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_has_round_ticks_and_room_beside_its_ends() {
        let (low, high) = span([1.11, 1.2, 1.17].into_iter()).unwrap();
        assert!(low < 1.11 && high > 1.2);
        let (step, decimals) = step(low, high);
        assert!((step - 0.05).abs() < 1e-12, "{step}");
        assert_eq!(decimals, 2);
        assert!(span(std::iter::empty()).is_none() && span([f64::NAN].into_iter()).is_none());
        let (low, high) = span([33.8, 33.8].into_iter()).unwrap();
        assert!(low < 33.8 && 33.8 < high && super::step(low, high).0 > 0.0);
    }
}
