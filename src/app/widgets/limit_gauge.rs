//! A figure against its limit: verdict, name and value; below, where it
//! stands on a scale, by how much, and the limit itself.

use crate::app::theme::{Tokens, regular, semibold, text};
use crate::app::widgets::paint;
use crate::app::widgets::verdict::{self, Verdict};
use egui::accesskit::Role;
use egui::{Align, Id, Painter, Rect, Response, Sense, Stroke, Ui, WidgetInfo, pos2};

/// Height of the row.
#[cfg(test)]
pub(crate) const HEIGHT: f32 = 42.0;
/// Length of the scale.
pub(crate) const SCALE: f32 = 118.0;
const NAME_X: f32 = 23.0;
const NAME_Y: f32 = 13.0;
const SCALE_Y: f32 = 30.0;
/// From the scale's left to the words that say by how much.
const WORD_GAP: f32 = 12.0;
/// Below this width the row is in the narrow column.
const NARROW: f32 = 320.0;
/// Length of the scale there.
const SCALE_NARROW: f32 = 92.0;

/// The span that a limit allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Span {
    /// From nothing up to this.
    AtMost(f64),
    /// From this upward.
    AtLeast(f64),
    /// From one to the other.
    Between(f64, f64),
}

impl Span {
    /// Where `value` stands on the scale, 0 at its left and 1 at its right.
    ///
    /// A span with two ends takes the middle half of the scale, one that
    /// begins at nothing its first three tenths, one without an upper end its
    /// right half. What lies beyond the scale stands at its end.
    #[must_use]
    pub(crate) fn place(self, value: f64) -> f64 {
        let share = match self {
            Self::AtMost(high) => 0.3 * value / high,
            Self::AtLeast(low) => 0.5 * value / low,
            Self::Between(low, high) => 0.25 + 0.5 * (value - low) / (high - low),
        };
        if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 }
    }

    /// The allowed span on the scale, and which of its ends has a stop.
    fn bar(self) -> (f32, f32, bool, bool) {
        match self {
            Self::AtMost(_) => (0.0, 0.3, false, true),
            Self::AtLeast(_) => (0.5, 1.0, true, false),
            Self::Between(..) => (0.25, 0.75, true, true),
        }
    }
}

/// A figure against its limit, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LimitGauge<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// How it stands.
    pub verdict: Verdict,
    /// "Squish, tightest is 5".
    pub name: &'a str,
    /// "0.98 mm"; "not measured".
    pub value: &'a str,
    /// "0.08 to spare", "0.04 over", "too near to call"; without a value "no
    /// verdict until it is measured". Where it does not fit, the verdict's own
    /// short word stands in its place.
    pub word: &'a str,
    /// "0.90 to 1.50".
    pub limit: &'a str,
    /// The figure and the span that it should keep to; none without a value.
    pub scale: Option<(f64, Span)>,
    /// Tooltip: where the limit comes from.
    pub source: &'a str,
}

impl LimitGauge<'_> {
    /// Shows the row in `rect`; a click means that the user asks about it.
    pub(crate) fn show(&self, ui: &Ui, rect: Rect, t: &Tokens) -> Response {
        let response = ui.interact(rect, self.id, Sense::click());
        let painter = ui.painter();
        let middle = rect.top() + NAME_Y;
        self.verdict.paint(painter, pos2(rect.left() + 7.5, middle), verdict::SIZE, t);

        let known = self.scale.is_some();
        let font = if known { semibold(text::VALUE) } else { regular(text::BODY) };
        let color = if known { t.ink } else { t.ink2 };
        let value = paint::text_mid(painter, pos2(rect.right(), middle), Align::Max, self.value, font, color);
        let left = rect.left() + NAME_X;
        let name = paint::fitted(painter, self.name, regular(text::BODY), t.ink, value.left() - left - 6.0);
        paint::place(
            painter,
            pos2(left, paint::baseline_for_middle(middle, text::BODY)),
            Align::Min,
            name,
            t.ink,
        );

        let y = rect.top() + SCALE_Y;
        let limit = paint::text_mid(
            painter,
            pos2(rect.right(), y - 0.5),
            Align::Max,
            self.limit,
            regular(text::CAPTION),
            t.ink3,
        );
        let (word_x, word_font, word_color) = match self.scale {
            Some((value, span)) => {
                // In the narrow column the scale gives way to the words.
                let scale = if rect.width() < NARROW { SCALE_NARROW } else { SCALE };
                self.paint_scale(painter, (left, left + scale), y, value, span, t);
                (left + scale + WORD_GAP, semibold(text::CAPTION), self.verdict.word_color(t))
            }
            None => (left, regular(text::CAPTION), t.ink3),
        };
        let room = limit.left() - word_x - 5.0;
        let whole = paint::line(painter, self.word, word_font.clone(), word_color);
        let word = if whole.size().x <= room {
            whole
        } else {
            paint::fitted(painter, self.verdict.short(), word_font, word_color, room)
        };
        let baseline = paint::baseline_for_middle(y - 0.5, text::CAPTION);
        paint::place(painter, pos2(word_x, baseline), Align::Min, word, word_color);

        if response.has_focus() {
            paint::focus_ring(painter, rect.shrink2(egui::vec2(0.0, 2.0)), 3.0, t);
        }
        response.widget_info(|| {
            let words = format!(
                "{}: {}, {}, {}, limit {}",
                self.name,
                self.value,
                self.verdict.word(),
                self.word,
                self.limit
            );
            WidgetInfo::labeled(Role::Button, ui.is_enabled(), words)
        });
        if self.source.is_empty() { response } else { response.on_hover_text(self.source) }
    }

    fn paint_scale(
        &self,
        painter: &Painter,
        from_to: (f32, f32),
        y: f32,
        value: f64,
        span: Span,
        t: &Tokens,
    ) {
        let (from, to, low_stop, high_stop) = span.bar();
        let (left, width) = (from_to.0, from_to.1 - from_to.0);
        let x = |share: f32| left + width * share;
        let bar = Rect::from_min_max(pos2(x(from), y - 2.5), pos2(x(to), y + 3.5));
        if t.line == t.ink {
            painter.rect_stroke(bar, 0.0, Stroke::new(1.0, t.ink), egui::StrokeKind::Inside);
        } else {
            painter.rect_filled(bar, 0.0, t.line);
        }
        paint::hline(painter, left, left + width, y, Stroke::new(1.0, t.ink2));
        for (share, stop) in [(from, low_stop), (to, high_stop)] {
            if stop {
                paint::vline(painter, x(share) - 0.5, y - 4.5, y + 5.5, t.stroke(1.0, t.ink2));
            }
        }
        let color = if self.verdict == Verdict::Over { t.warn } else { t.ink };
        paint::pointer_down(painter, pos2(x(span.place(value) as f32), y + 0.5), 4.4, 7.6, color);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_the_span_stand_at_the_ends_of_its_bar() {
        for (span, value, want) in [
            (Span::AtMost(0.03), 0.03, 0.3),
            (Span::AtMost(0.03), 0.07, 0.7),
            (Span::AtMost(0.03), 5.0, 1.0),
            (Span::AtLeast(1.5), 1.5, 0.5),
            (Span::AtLeast(1.5), 0.0, 0.0),
            (Span::Between(0.9, 1.5), 0.9, 0.25),
            (Span::Between(0.9, 1.5), 1.5, 0.75),
            (Span::Between(0.9, 1.5), -3.0, 0.0),
        ] {
            assert!((span.place(value) - want).abs() < 1e-12, "{span:?} {value}");
        }
    }

    #[test]
    fn a_span_of_no_width_still_gives_a_place() {
        assert_eq!(Span::AtMost(0.0).place(0.0), 0.0);
        assert_eq!(Span::Between(1.0, 1.0).place(1.0), 0.0);
    }
}
