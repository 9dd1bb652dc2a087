//! What the painters share: text on a baseline, dashes, the focus ring.

use crate::app::icons::arc;
use crate::app::theme::{Tokens, width};
use egui::text::{LayoutJob, TextWrapping};
use egui::{
    Align, Color32, FontId, Galley, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2,
};
use std::sync::Arc;

/// Height of digits and capitals as a part of the text size. Source: the OS/2
/// table of IBM Plex Sans, sCapHeight 698 of 1000.
pub(crate) const CAP: f32 = 0.698;

/// Lays out one line.
#[must_use]
pub(crate) fn line(painter: &Painter, text: &str, font: FontId, color: Color32) -> Arc<Galley> {
    painter.layout_no_wrap(text.to_owned(), font, color)
}

/// Lays out one line no wider than `max_width`, cut with `…` where it would be.
#[must_use]
pub(crate) fn fitted(
    painter: &Painter,
    text: &str,
    font: FontId,
    color: Color32,
    max_width: f32,
) -> Arc<Galley> {
    let mut job = LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap = TextWrapping { max_width, max_rows: 1, break_anywhere: true, ..TextWrapping::default() };
    painter.layout_job(job)
}

/// Lays out text in as many lines as it needs within `max_width`.
#[must_use]
pub(crate) fn wrapped(
    painter: &Painter,
    text: &str,
    font: FontId,
    color: Color32,
    max_width: f32,
) -> Arc<Galley> {
    painter.layout(text.to_owned(), font, color, max_width)
}

/// Where the baseline of the first line lies below the top of the galley.
#[must_use]
pub(crate) fn baseline_of(galley: &Galley) -> f32 {
    let first = galley.rows.first();
    first.and_then(|row| row.glyphs.first().map(|glyph| row.pos.y + glyph.pos.y)).unwrap_or(0.0)
}

/// Baseline that centres digits of `size` points on `middle`.
#[must_use]
pub(crate) fn baseline_for_middle(middle: f32, size: f32) -> f32 {
    middle + CAP * size / 2.0
}

/// Paints a galley with its first baseline at `at.y` and its left, middle or
/// right at `at.x`; gives back what it covers.
pub(crate) fn place(painter: &Painter, at: Pos2, align: Align, galley: Arc<Galley>, color: Color32) -> Rect {
    let size = galley.size();
    let left = match align {
        Align::Min => at.x,
        Align::Center => at.x - size.x / 2.0,
        Align::Max => at.x - size.x,
    };
    let top = snap(painter, at.y) - baseline_of(&galley);
    let rect = Rect::from_min_size(pos2(left, top), size);
    painter.galley(rect.min, galley, color);
    rect
}

/// Paints one line of text with its baseline at `at.y`.
pub(crate) fn text(
    painter: &Painter,
    at: Pos2,
    align: Align,
    words: &str,
    font: FontId,
    color: Color32,
) -> Rect {
    let galley = line(painter, words, font, color);
    place(painter, at, align, galley, color)
}

/// Paints one line of text with its digits centred on `at.y`.
pub(crate) fn text_mid(
    painter: &Painter,
    at: Pos2,
    align: Align,
    words: &str,
    font: FontId,
    color: Color32,
) -> Rect {
    let baseline = baseline_for_middle(at.y, font.size);
    text(painter, pos2(at.x, baseline), align, words, font, color)
}

/// The nearest edge between two pixels.
#[must_use]
pub(crate) fn snap(painter: &Painter, v: f32) -> f32 {
    let ppp = painter.pixels_per_point();
    (v * ppp).round() / ppp
}

/// A horizontal line of whole pixels whose upper edge is nearest to `y`.
pub(crate) fn hline(painter: &Painter, x0: f32, x1: f32, y: f32, stroke: Stroke) {
    if stroke.width > 0.0 {
        let top = snap(painter, y);
        let rect = Rect::from_min_max(pos2(x0, top), pos2(x1, top + stroke.width));
        painter.rect_filled(rect, 0.0, stroke.color);
    }
}

/// A vertical line of whole pixels whose left edge is nearest to `x`.
pub(crate) fn vline(painter: &Painter, x: f32, y0: f32, y1: f32, stroke: Stroke) {
    if stroke.width > 0.0 {
        let left = snap(painter, x);
        let rect = Rect::from_min_max(pos2(left, y0), pos2(left + stroke.width, y1));
        painter.rect_filled(rect, 0.0, stroke.color);
    }
}

/// The ring around what the keyboard acts on: 2 wide, 2 away.
pub(crate) fn focus_ring(painter: &Painter, rect: Rect, corner: f32, t: &Tokens) {
    let ring = rect.expand(width::FOCUS_OUT);
    let stroke = t.stroke(width::FOCUS, t.accent);
    painter.rect_stroke(ring, corner + width::FOCUS_OUT, stroke, StrokeKind::Middle);
}

/// A dashed outline that lies inside `rect`.
pub(crate) fn dashed_rect(painter: &Painter, rect: Rect, corner: f32, stroke: Stroke, on: f32, off: f32) {
    let r = rect.shrink(stroke.width / 2.0);
    let inner = r.shrink(corner);
    let mut path = Vec::new();
    for (center, from) in [
        (inner.left_top(), 0.5),
        (inner.right_top(), 0.75),
        (inner.right_bottom(), 1.0),
        (inner.left_bottom(), 1.25),
    ] {
        path.extend(arc(center, corner, from, from + 0.25));
    }
    path.extend(path.first().copied());
    painter.extend(Shape::dashed_line(&path, stroke, on, off));
}

/// A ring of `dashes` equal dashes and gaps.
pub(crate) fn dashed_ring(painter: &Painter, center: Pos2, radius: f32, stroke: Stroke, dashes: u8) {
    let share = 1.0 / f32::from(dashes.max(1));
    for i in 0..dashes {
        let from = (f32::from(i) - 0.19) * share;
        painter.line(arc(center, radius, from, from + 0.38 * share), stroke);
    }
}

/// A filled triangle that points down at `tip`.
pub(crate) fn pointer_down(painter: &Painter, tip: Pos2, half: f32, height: f32, color: Color32) {
    let corners = vec![tip, tip + vec2(-half, -height), tip + vec2(half, -height)];
    painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
}

/// Lines of one direction across `rect`, `pitch` apart; `rising` from the
/// lower left to the upper right.
pub(crate) fn hatch(painter: &Painter, rect: Rect, pitch: f32, rising: bool, stroke: Stroke) {
    let clipped = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let step = pitch * std::f32::consts::SQRT_2;
    let mut x = rect.left() - rect.height();
    while x < rect.right() {
        let (from, to) = if rising { (rect.bottom(), rect.top()) } else { (rect.top(), rect.bottom()) };
        clipped.line_segment([pos2(x, from), pos2(x + rect.height(), to)], stroke);
        x += step;
    }
}

/// The rectangle of `size` around `center`, on whole pixels.
#[must_use]
pub(crate) fn around(painter: &Painter, center: Pos2, size: Vec2) -> Rect {
    let min = center - size / 2.0;
    Rect::from_min_size(pos2(snap(painter, min.x), snap(painter, min.y)), size)
}
