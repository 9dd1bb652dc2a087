//! What the clearance volume is made of: the terms that add, side by side;
//! below, hatched and from the right, what is taken away; left of that a
//! bracket over what is left.

use crate::app::theme::{Tokens, regular, semibold, text, width};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{
    Align, Color32, Id, Painter, Rect, Response, Sense, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};

const BAR: f32 = 24.0;
const TAKEN_GAP: f32 = 4.0;
const TAKEN: f32 = 20.0;
const LEGEND_Y: f32 = 62.0;
const SWATCH: f32 = 11.0;
/// A further line of the legend, for more small terms than one line holds.
pub(crate) const LEGEND_LINE: f32 = 16.0;
/// Height that the widget takes with one line of legend.
#[cfg(test)]
pub(crate) const HEIGHT: f32 = 72.0;
/// Pitch of the hatch over what is taken away.
const PITCH: f32 = 5.6;

/// One term of the clearance volume.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Term<'a> {
    /// Name and value: "Chamber 60.0", "Dome −18.0".
    pub label: &'a str,
    /// The term in cc; below 0 it is taken away.
    pub cc: f64,
    /// Its tint.
    pub tint: Color32,
}

/// The clearance volume and its terms, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ClearanceBar<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// The terms, in the order in which they lie.
    pub terms: &'a [Term<'a>],
    /// "52.8 cc left".
    pub left_over: &'a str,
}

/// A piece of one of the two bars, in parts of the whole width.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    term: usize,
    from: f64,
    to: f64,
}

/// The pieces of the upper bar, and of the lower one from its right end. The
/// upper bar fills the whole width; a term that is no number has no piece.
fn pieces(cc: &[f64]) -> (Vec<Piece>, Vec<Piece>) {
    let total: f64 = cc.iter().filter(|v| **v > 0.0).sum();
    let (mut adds, mut takes) = (Vec::new(), Vec::new());
    let (mut end, mut start) = (0.0, 1.0);
    for (term, v) in cc.iter().enumerate() {
        let share = v / total;
        if !share.is_finite() || share == 0.0 {
            continue;
        }
        if share > 0.0 {
            adds.push(Piece { term, from: end, to: end + share });
            end += share;
        } else {
            let from = (start + share).max(0.0);
            takes.push(Piece { term, from, to: start });
            start = from;
        }
    }
    (adds, takes)
}

impl ClearanceBar<'_> {
    /// Shows the bar in `rect`, which should be 72 points high.
    pub(crate) fn show(&self, ui: &Ui, rect: Rect, t: &Tokens) -> Response {
        let response = ui.interact(rect, self.id, Sense::hover());
        let painter = ui.painter();
        let cc: Vec<f64> = self.terms.iter().map(|term| term.cc).collect();
        let (adds, takes) = pieces(&cc);
        let outline = t.stroke(width::REST, t.ink2);
        let x = |share: f64| paint::snap(painter, rect.left() + rect.width() * share as f32);

        let mut unnamed = Vec::new();
        for piece in &adds {
            let Some(term) = self.terms.get(piece.term) else { continue };
            let right = if piece.to > 1.0 - 1e-9 { rect.right() } else { x(piece.to) + 1.0 };
            let area = Rect::from_min_max(pos2(x(piece.from), rect.top()), pos2(right, rect.top() + BAR));
            painter.rect(area, 0.0, term.tint, outline, StrokeKind::Inside);
            let galley = paint::line(painter, term.label, regular(text::BODY), t.ink);
            if galley.size().x + 12.0 <= area.width() {
                let baseline = paint::baseline_for_middle(area.center().y, text::BODY);
                paint::place(painter, pos2(area.left() + 6.0, baseline), Align::Min, galley, t.ink);
            } else {
                unnamed.push(*term);
            }
        }
        let top = rect.top() + BAR + TAKEN_GAP;
        let mut taken_from = rect.right();
        for piece in &takes {
            let Some(term) = self.terms.get(piece.term) else { continue };
            let right = if piece.to > 1.0 - 1e-9 { rect.right() } else { x(piece.to) + 1.0 };
            let area = Rect::from_min_max(pos2(x(piece.from), top), pos2(right, top + TAKEN));
            taken_from = taken_from.min(area.left());
            if !paint_taken(painter, area, term, t) {
                unnamed.push(*term);
            }
        }
        if !takes.is_empty() {
            let y = (top + TAKEN / 2.0).floor();
            self.paint_bracket(painter, rect.left(), taken_from, y, t);
        }
        legend(painter, rect, &unnamed, t);
        response.widget_info(|| {
            let labels: Vec<&str> = self.terms.iter().map(|term| term.label).collect();
            WidgetInfo::labeled(Role::Image, true, format!("{}: {}", self.left_over, labels.join(", ")))
        });
        response
    }

    fn paint_bracket(&self, painter: &Painter, from: f32, to: f32, y: f32, t: &Tokens) {
        let stroke = t.stroke(width::REST, t.ink2);
        let galley = paint::line(painter, self.left_over, semibold(text::CAPTION), t.ink);
        let half = galley.size().x / 2.0 + 4.0;
        let middle = (from + to) / 2.0;
        paint::vline(painter, from, y - 3.5, y + 4.5, stroke);
        if to - from > 2.0 * half + 8.0 {
            paint::hline(painter, from, middle - half, y, stroke);
            paint::hline(painter, middle + half, to, y, stroke);
            let baseline = paint::baseline_for_middle(y + 0.5, text::CAPTION);
            paint::place(painter, pos2(middle, baseline), Align::Center, galley, t.ink);
        } else {
            paint::hline(painter, from, to, y, stroke);
        }
    }
}

/// Paints what is taken away; false if its name did not fit.
fn paint_taken(painter: &Painter, area: Rect, term: &Term<'_>, t: &Tokens) -> bool {
    painter.rect_filled(area, 0.0, term.tint);
    paint::hatch(painter, area, PITCH * t.hatch_pitch, true, t.stroke(width::REST, t.hatch));
    painter.rect_stroke(area, 0.0, t.stroke(width::REST, t.ink2), StrokeKind::Inside);
    let galley = paint::line(painter, term.label, regular(text::CAPTION), t.ink);
    let room = area.width() - 2.0;
    if galley.size().x + 2.0 > room {
        return false;
    }
    let patch = Rect::from_center_size(area.center(), vec2((galley.size().x + 6.0).min(room), TAKEN - 4.0));
    painter.rect_filled(patch, 0.0, term.tint);
    let baseline = paint::baseline_for_middle(area.center().y, text::CAPTION);
    paint::place(painter, pos2(area.center().x, baseline), Align::Center, galley, t.ink);
    true
}

/// Swatches with names, in as many lines as they need.
fn legend(painter: &Painter, rect: Rect, terms: &[Term<'_>], t: &Tokens) {
    let mut at = pos2(rect.left(), rect.top() + LEGEND_Y);
    for term in terms {
        let galley = paint::line(painter, term.label, regular(text::CAPTION), t.ink2);
        let long = SWATCH + 4.0 + galley.size().x;
        if at.x > rect.left() && at.x + long > rect.right() {
            at = pos2(rect.left(), at.y + LEGEND_LINE);
        }
        let swatch = paint::around(painter, pos2(at.x + SWATCH / 2.0, at.y), Vec2::splat(SWATCH));
        painter.rect(swatch, 0.0, term.tint, t.stroke(width::REST, t.ink2), StrokeKind::Inside);
        let baseline = paint::baseline_for_middle(at.y, text::CAPTION);
        paint::place(painter, pos2(swatch.right() + 4.0, baseline), Align::Min, galley, t.ink2);
        at.x += long + 16.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_taken_lies_at_the_right_and_the_rest_is_what_is_left() {
        let (adds, takes) = pieces(&[60.0, 6.4, 4.0, 0.5, -18.0]);
        assert_eq!(adds.len(), 4);
        assert!((adds[3].to - 1.0).abs() < 1e-12);
        assert_eq!(takes[0].to, 1.0);
        // 52.9 of 70.9 cc is left
        assert!((takes[0].from - 52.9 / 70.9).abs() < 1e-12, "{}", takes[0].from);
    }

    #[test]
    fn more_taken_than_there_is_ends_at_the_left() {
        let (_, takes) = pieces(&[10.0, -8.0, -8.0]);
        assert_eq!((takes[0].from, takes[1].from), (1.0 - 0.8, 0.0));
    }

    #[test]
    fn no_terms_and_odd_terms_give_no_pieces() {
        assert_eq!(pieces(&[]), (vec![], vec![]));
        assert_eq!(pieces(&[0.0, f64::NAN]), (vec![], vec![]));
        assert!(pieces(&[-3.0]).1.is_empty());
    }
}
