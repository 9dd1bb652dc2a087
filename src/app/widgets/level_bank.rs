//! All cylinders, worst first: under each head its barrels as stools with
//! their tops at their height, on a band as high as the tolerance.

use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict;
use egui::accesskit::Role;
use egui::{
    Align, Color32, Id, Painter, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

/// Points for a millimetre of height.
pub(crate) const POINTS_PER_MM: f32 = 300.0;
/// Height that the widget takes.
#[cfg(test)]
pub(crate) const HEIGHT: f32 = 117.0;
/// From the top: middle of the heads' line, of the band, top of the cells.
const HEAD_Y: f32 = 7.0;
const BAND_Y: f32 = 39.0;
const CELL_Y: f32 = 61.0;
const CELL: f32 = 56.0;
/// How far a stool's top may go up and down before it stands at the end.
const UP: f32 = 20.0;
const DOWN: f32 = 17.0;

/// One cylinder.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Barrel<'a> {
    /// "5".
    pub label: &'a str,
    /// Height of its top above the median under the same head, in mm.
    pub offset_mm: f64,
    /// It lies outside the tolerance.
    pub outside: bool,
    /// "0.98".
    pub squish: &'a str,
    /// "9.17".
    pub ratio: &'a str,
}

/// One head and the barrels under it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Head<'a> {
    /// "Right bank".
    pub name: &'a str,
    /// "level 0.07"; "no level to keep".
    pub level: &'a str,
    /// How its level stands.
    /// None for a head with no level to keep.
    pub verdict: Option<Verdict>,
    /// Height of the tolerance band in mm; none for a lone head.
    pub tolerance_mm: Option<f64>,
    /// Its barrels, worst first.
    pub barrels: &'a [Barrel<'a>],
}

/// The heads, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LevelBank<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Heads, worst first.
    pub heads: &'a [Head<'a>],
    /// Label of the cylinder that the sheet shows.
    pub chosen: &'a str,
}

impl LevelBank<'_> {
    /// Shows the heads in `rect`, which should be 117 points high; gives back
    /// the label of the cylinder that was chosen.
    pub(crate) fn show(&self, ui: &Ui, rect: Rect, t: &Tokens) -> Option<String> {
        let count = self.heads.len().max(1) as f32;
        let gap = if self.heads.len() > 3 { 8.0 } else { 16.0 };
        let column = (rect.width() - gap * (count - 1.0)) / count;
        let mut chosen = None;
        let mut focused = None;
        for (i, head) in self.heads.iter().enumerate() {
            let left = rect.left() + (column + gap) * i as f32;
            let area = Rect::from_min_size(pos2(left, rect.top()), vec2(column, rect.height()));
            // the level may run into the gap before the next head
            let spare = if i + 1 < self.heads.len() { gap - 5.0 } else { 0.0 };
            self.head_ui(ui.painter(), area, spare, head, t);
            let widest = if head.barrels.len() == 1 { 112.0 } else { 96.0 };
            let pitch = (column / head.barrels.len().max(1) as f32).min(widest);
            for (k, barrel) in head.barrels.iter().enumerate() {
                let cell = Rect::from_min_size(
                    pos2(left + pitch * k as f32, rect.top() + CELL_Y),
                    vec2(pitch, CELL),
                );
                let response = self.barrel_ui(ui, cell, head, barrel, t);
                if response.clicked() {
                    chosen = Some(barrel.label.to_owned());
                }
                if response.has_focus() {
                    focused = Some(cell);
                }
            }
        }
        if let Some(cell) = focused {
            paint::focus_ring(ui.painter(), cell, radius::BUTTON, t);
        }
        chosen
    }

    fn head_ui(&self, painter: &Painter, area: Rect, spare: f32, head: &Head<'_>, t: &Tokens) {
        let y = area.top() + HEAD_Y;
        let inset = if head.verdict.is_some() { 18.0 } else { 0.0 };
        if let Some(verdict) = head.verdict {
            verdict.paint(painter, pos2(area.left() + 6.5, y), 13.0, t);
        }
        let name = paint::fitted(painter, head.name, semibold(text::CAPTION), t.ink, area.width() - inset);
        let baseline = paint::baseline_for_middle(y, text::CAPTION);
        let named = paint::place(painter, pos2(area.left() + inset, baseline), Align::Min, name, t.ink);
        let (font, color) = if head.verdict.is_some_and(Verdict::alarms) {
            (semibold(text::CAPTION), t.warn)
        } else {
            (regular(text::CAPTION), t.ink2)
        };
        let room = area.right() + spare - named.right() - 5.0;
        let level = paint::line(painter, head.level, font, color);
        if level.size().x <= room {
            paint::place(painter, pos2(named.right() + 5.0, baseline), Align::Min, level, color);
        }
        if let Some(tolerance) = head.tolerance_mm.filter(|v| v.is_finite() && *v >= 0.0) {
            let half = (tolerance as f32 * POINTS_PER_MM / 2.0).min(UP);
            let middle = area.top() + BAND_Y;
            let band = Rect::from_min_max(
                pos2(area.left(), paint::snap(painter, middle - half)),
                pos2(area.right(), paint::snap(painter, middle + half)),
            );
            if t.line != t.ink {
                painter.rect_filled(band, 0.0, t.line);
            }
            let edge = Stroke::new(width::REST, t.line2);
            paint::hline(painter, band.left(), band.right(), band.top(), edge);
            paint::hline(painter, band.left(), band.right(), band.bottom() - edge.width, edge);
        }
    }

    fn barrel_ui(&self, ui: &Ui, cell: Rect, head: &Head<'_>, barrel: &Barrel<'_>, t: &Tokens) -> Response {
        let reach = Rect::from_min_max(pos2(cell.left(), cell.top() - UP - DOWN), cell.max);
        let response = ui.interact(reach, self.id.with((head.name, barrel.label)), Sense::click());
        let painter = ui.painter();
        paint_stool(painter, cell, barrel, t);
        let chosen = barrel.label == self.chosen;
        if chosen {
            let stroke = t.stroke(width::HEAVY, t.accent);
            painter.rect(cell, radius::BUTTON, t.accent_tint, stroke, StrokeKind::Inside);
        } else if response.hovered() {
            let stroke = t.stroke(width::REST, t.ink2);
            painter.rect_stroke(cell, radius::BUTTON, stroke, StrokeKind::Inside);
        }
        let x = cell.center().x;
        for (words, y, font, color) in [
            (barrel.label, 13.0, semibold(text::PANEL), t.ink),
            (barrel.squish, 30.0, semibold(14.0), t.ink),
            (barrel.ratio, 45.5, regular(text::CAPTION), t.ink2),
        ] {
            paint::text_mid(painter, pos2(x, cell.top() + y), Align::Center, words, font, color);
        }
        response.widget_info(|| {
            let place = if barrel.outside { ", not level" } else { "" };
            let words =
                format!("Cylinder {}: squish {}, ratio {}{place}", barrel.label, barrel.squish, barrel.ratio);
            WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), chosen, words)
        });
        response
    }
}

/// A stool: the top at the barrel's height, two legs down to its cell. One
/// that would leave the picture stands at its end with an arrow.
fn paint_stool(painter: &Painter, cell: Rect, barrel: &Barrel<'_>, t: &Tokens) {
    let offset = if barrel.offset_mm.is_finite() { barrel.offset_mm as f32 * POINTS_PER_MM } else { 0.0 };
    let shown = offset.clamp(-DOWN, UP);
    let top = paint::snap(painter, cell.top() - CELL_Y + BAND_Y - shown);
    let (seat, leg) = if barrel.outside { (t.warn, t.warn.gamma_multiply(0.7)) } else { (t.ink, t.line2) };
    let x = cell.center().x;
    let half = cell.width() / 2.0 - 7.0;
    for side in [-1.0, 1.0] {
        let at = paint::snap(painter, x + side * (half - 3.0) - 1.0);
        paint_leg(painter, at, top + 4.0, cell.top(), leg);
    }
    let rect = Rect::from_min_max(
        pos2(paint::snap(painter, x - half), top),
        pos2(paint::snap(painter, x + half), top + 4.0),
    );
    painter.rect_filled(rect, 0.0, seat);
    if (offset - shown).abs() > 0.5 {
        let way = if offset > 0.0 { -1.0 } else { 1.0 };
        let tip = pos2(x, if way < 0.0 { top - 6.0 } else { top + 10.0 });
        let corners = vec![tip, tip + vec2(-3.5, -way * 4.5), tip + vec2(3.5, -way * 4.5)];
        painter.add(Shape::convex_polygon(corners, seat, Stroke::NONE));
    }
}

fn paint_leg(painter: &Painter, x: f32, from: f32, to: f32, color: Color32) {
    if to > from {
        painter.rect_filled(Rect::from_min_max(pos2(x, from), pos2(x + 2.0, to)), 0.0, color);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::theme::Theme;
    use crate::app::widgets::gallery::harness;
    use egui::Key;
    use egui_kittest::kittest::Queryable as _;

    #[test]
    fn a_cylinder_is_chosen_by_pointer_and_by_key() {
        let mut h =
            harness(Theme::Paper, vec2(360.0, 130.0), String::from("5"), |ui, t, chosen: &mut String| {
                let barrel = |label, offset_mm| Barrel {
                    label,
                    offset_mm,
                    outside: label == "5",
                    squish: "1.06",
                    ratio: "9.16",
                };
                // one barrel lies far below the picture, one height is no number
                let barrels = [barrel("5", -4.0), barrel("4", f64::NAN), barrel("6", 0.01)];
                let heads = [Head {
                    name: "Right bank",
                    level: "level 4.01",
                    verdict: Some(Verdict::Over),
                    tolerance_mm: Some(0.03),
                    barrels: &barrels,
                }];
                let bank = LevelBank { id: Id::unique("bank under test"), heads: &heads, chosen };
                let rect = Rect::from_min_size(pos2(4.0, 4.0), vec2(350.0, HEIGHT));
                if let Some(next) = bank.show(ui, rect, t) {
                    *chosen = next;
                }
            });
        h.get_by_label("Cylinder 5: squish 1.06, ratio 9.16, not level");
        h.get_by_label("Cylinder 4: squish 1.06, ratio 9.16").click();
        h.run();
        assert_eq!(h.state(), "4");
        h.get_by_label("Cylinder 6: squish 1.06, ratio 9.16").focus();
        h.run();
        h.key_press(Key::Enter);
        h.run();
        assert_eq!(h.state(), "6");
    }
}
