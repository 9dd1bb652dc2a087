//! How a dimension is known: a full disc, a ring, or a dashed ring with a
//! stroke missing. The shape says it, the tooltip says by what.

use crate::app::theme::{Tokens, width};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{Id, Pos2, Rect, Response, Sense, Stroke, Ui, Vec2, WidgetInfo};

/// Diameter of the mark, in points.
pub(crate) const DIAMETER: f32 = 8.4;

/// How a dimension is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ProvenanceMark {
    /// Measured on the part.
    Measured,
    /// Taken from a book or guessed.
    Assumed,
    /// Not known: what depends on it has no figure.
    Missing,
}

impl ProvenanceMark {
    /// The word that always goes with the shape.
    #[must_use]
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Assumed => "assumed",
            Self::Missing => "missing",
        }
    }
}

/// Paints the mark around `center`.
pub(crate) fn paint_mark(ui: &Ui, center: Pos2, known: ProvenanceMark, t: &Tokens) {
    let painter = ui.painter();
    match known {
        ProvenanceMark::Measured => {
            painter.circle_filled(center, DIAMETER / 2.0, t.ink);
        }
        ProvenanceMark::Assumed => {
            let stroke = t.stroke(width::FRAME, t.ink2);
            painter.circle_stroke(center, DIAMETER / 2.0 - width::FRAME / 2.0, stroke);
        }
        ProvenanceMark::Missing => {
            paint::dashed_ring(painter, center, DIAMETER / 2.0 + 0.4, Stroke::new(1.2, t.warn), 7);
            paint::vline(painter, center.x - 0.75, center.y - 2.5, center.y + 2.5, Stroke::new(1.5, t.warn));
        }
    }
}

/// The mark with its tooltip: by what it was measured and how well, or where
/// the assumption comes from. Pressed, it asks for the next way of knowing.
pub(crate) fn show(
    ui: &Ui,
    center: Pos2,
    id: Id,
    name: &str,
    known: ProvenanceMark,
    how: &str,
    t: &Tokens,
) -> Response {
    let response = ui.interact(Rect::from_center_size(center, Vec2::splat(16.0)), id, Sense::click());
    paint_mark(ui, center, known, t);
    if response.has_focus() {
        paint::focus_ring(
            ui.painter(),
            Rect::from_center_size(center, Vec2::splat(DIAMETER)),
            DIAMETER / 2.0,
            t,
        );
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{name}, {}", known.word())));
    if how.is_empty() { response.on_hover_text(known.word()) } else { response.on_hover_text(how) }
}
