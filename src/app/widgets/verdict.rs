//! Verdicts: a shape that never stands without its word.

use crate::app::theme::{Tokens, regular, semibold};
use crate::app::widgets::paint;
use egui::{Align, Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

/// How a figure stands to its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Verdict {
    /// Inside the limit, beyond its own ±.
    Inside,
    /// Nothing was measured, so there is no verdict.
    Unknown,
    /// The limit lies inside the ±: too near to call.
    Close,
    /// The limit is broken.
    Over,
}

impl Verdict {
    /// The word where the caller has none that says more.
    #[must_use]
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Unknown => "not measured",
            Self::Close => "too near to call",
            Self::Over => "over",
        }
    }

    /// The word where there is little room.
    #[must_use]
    pub(crate) fn short(self) -> &'static str {
        match self {
            Self::Close => "too near",
            Self::Inside | Self::Unknown | Self::Over => self.word(),
        }
    }

    /// Colour of the word: brick where something is wrong or may be.
    #[must_use]
    pub(crate) fn word_color(self, t: &Tokens) -> Color32 {
        if self.alarms() { t.warn } else { t.ink }
    }

    /// A limit is broken or near.
    #[must_use]
    pub(crate) fn alarms(self) -> bool {
        matches!(self, Self::Close | Self::Over)
    }

    /// Paints the shape around `center`, `size` points across. The caller
    /// paints the word.
    pub(crate) fn paint(self, painter: &Painter, center: Pos2, size: f32, t: &Tokens) {
        let at = |x: f32, y: f32| center + vec2(x, y) * size;
        match self {
            Self::Inside => {
                painter.circle_stroke(center, size / 2.0 - 0.7, t.stroke(1.4, t.ink2));
                let tick = vec![at(-0.205, 0.02), at(-0.04, 0.19), at(0.225, -0.185)];
                painter.line(tick, t.stroke(1.6, t.ink2));
            }
            Self::Unknown => {
                paint::dashed_ring(painter, center, size / 2.0 - 0.7, t.stroke(1.4, t.ink2), 12);
            }
            Self::Close => {
                let corners = vec![at(0.0, -0.44), at(0.46, 0.37), at(-0.46, 0.37)];
                painter.add(Shape::closed_line(corners, t.stroke(1.5, t.warn)));
            }
            Self::Over => {
                let corners = vec![at(0.0, -0.51), at(0.51, 0.0), at(0.0, 0.51), at(-0.51, 0.0)];
                painter.add(Shape::convex_polygon(corners, t.warn, Stroke::NONE));
                let bar = paint::around(painter, center, vec2((size * 0.44).round(), 2.0));
                painter.rect_filled(bar, 0.0, t.on_warn);
            }
        }
    }
}

/// Size of the shape beside words of the usual size.
pub(crate) const SIZE: f32 = 14.6;
/// From the middle of the shape to its word.
pub(crate) const WORD_X: f32 = 15.5;

/// Paints shape and word from `left_middle` on; heavy where it alarms.
pub(crate) fn with_word(
    painter: &Painter,
    left_middle: Pos2,
    verdict: Verdict,
    word: &str,
    size: f32,
    t: &Tokens,
) -> Rect {
    let center = left_middle + vec2(SIZE / 2.0, 0.0);
    verdict.paint(painter, center, SIZE, t);
    let font = if verdict.alarms() { semibold(size) } else { regular(size) };
    let words = pos2(center.x + WORD_X, left_middle.y);
    let rect = paint::text_mid(painter, words, Align::Min, word, font, verdict.word_color(t));
    rect.union(Rect::from_center_size(center, Vec2::splat(SIZE)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_comes_last_when_verdicts_are_sorted() {
        let mut v = [Verdict::Over, Verdict::Inside, Verdict::Close, Verdict::Unknown];
        v.sort_unstable();
        assert_eq!(v, [Verdict::Inside, Verdict::Unknown, Verdict::Close, Verdict::Over]);
    }

    #[test]
    fn every_verdict_has_a_word_of_its_own() {
        let words = [Verdict::Over, Verdict::Inside, Verdict::Close, Verdict::Unknown].map(Verdict::word);
        for (i, a) in words.iter().enumerate() {
            assert!(!a.is_empty() && !words[i + 1..].contains(a));
            assert!(!a.eq_ignore_ascii_case("ok"));
        }
    }
}
