//! True size: how long a millimetre is on this screen. No system says so
//! reliably, so the person lays a ruler on the screen and moves the end of a
//! bar until it is as long as its label says.

use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::button::Button;
use crate::app::widgets::grip::{Handle, HandleOutput};
use crate::app::widgets::paint;
use crate::quantity::LengthUnit;
use egui::{Align, Id, Rect, Ui, UiBuilder, pos2, vec2};
use serde::{Deserialize, Serialize};

/// A screen point as the toolkit means it: 96 to the inch (the reference
/// pixel of CSS, and the logical inch of Windows). What a screen really
/// has is only known after it was matched.
const USUAL_POINTS_PER_MM: f64 = 96.0 / 25.4;

/// One press of an arrow key changes the bar by this much, points.
const STEP: f64 = 1.0;

/// How many pixels a millimetre has on this screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Ruler {
    /// As matched to a ruler; none before that.
    pixels_per_mm: Option<f64>,
}

impl Ruler {
    /// Whether somebody matched the screen to a ruler.
    #[must_use]
    pub(super) fn is_matched(&self) -> bool {
        self.pixels_per_mm.is_some()
    }

    /// Points of the screen in one millimetre, at this many pixels per point.
    #[must_use]
    pub(super) fn points_per_mm(&self, pixels_per_point: f32) -> f64 {
        match self.pixels_per_mm {
            Some(pixels) if pixels.is_finite() && pixels > 0.5 => pixels / f64::from(pixels_per_point),
            _ => USUAL_POINTS_PER_MM,
        }
    }

    /// Says how many points a millimetre has.
    pub(super) fn match_to(&mut self, points_per_mm: f64, pixels_per_point: f32) {
        if points_per_mm.is_finite() && points_per_mm > 0.5 {
            self.pixels_per_mm = Some(points_per_mm * f64::from(pixels_per_point));
        }
    }
}

/// What was done with the bar.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Matched {
    /// The new length of a millimetre, points.
    pub points_per_mm: Option<f64>,
    /// The person is done.
    pub done: bool,
}

/// Shows the bar at the foot of the sheet.
pub(super) fn ruler_ui(
    ui: &mut Ui,
    frame: Rect,
    ruler: &Ruler,
    start: &mut Option<f64>,
    shown: &ViewContext<'_>,
) -> Matched {
    let t = shown.t;
    let now = ruler.points_per_mm(ui.ctx().pixels_per_point());
    let (length_mm, name) = round(f64::from(frame.width()) - 150.0, now, shown.units().length);
    let height = 104.0;
    let rect = Rect::from_min_max(
        pos2(frame.left() + 10.0, frame.bottom() - height - 10.0),
        pos2(frame.right() - 10.0, frame.bottom() - 10.0),
    );
    let mut matched = Matched::default();
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        let painter = ui.painter().clone();
        painter.rect_filled(rect, radius::BUTTON, t.sheet);
        painter.rect_stroke(rect, radius::BUTTON, t.stroke(width::HEAVY, t.accent), egui::StrokeKind::Inside);
        let title = format!("Lay a ruler on the screen: make this bar {name} long");
        paint::text(&painter, rect.min + vec2(14.0, 24.0), Align::Min, &title, semibold(text::PANEL), t.ink);
        let help = "Drag the end, or use the arrow keys. True size then holds on this screen, at this zoom of the window or any other.";
        let galley = paint::wrapped(&painter, help, regular(text::CAPTION), t.ink2, rect.width() - 120.0);
        painter.galley(rect.min + vec2(14.0, 32.0), galley, t.ink2);
        let left = rect.left() + 14.0;
        let y = rect.bottom() - 16.0;
        #[expect(clippy::cast_possible_truncation, reason = "points on a screen need no more than f32")]
        let end = left + (length_mm * now) as f32;
        bar(ui, left, end, y, t);
        let output = handle(ui, pos2(end, y - 4.0), &name, now, t);
        matched = moved(&output, start, now, length_mm);
        let button = Button::primary(Id::unique("ruler done"), "It matches");
        let size = button.size(&painter, t);
        let place = Rect::from_min_size(pos2(rect.right() - size.x - 12.0, rect.top() + 10.0), size);
        matched.done = button.show(ui, place, t).clicked();
    });
    matched
}

/// The longest round length that has room, mm, and its name.
fn round(room: f64, points_per_mm: f64, unit: LengthUnit) -> (f64, String) {
    let inches = unit != LengthUnit::Mm;
    let (mm, name): (f64, fn(f64) -> String) =
        if inches { (25.4, |n| format!("{n} in")) } else { (10.0, |n| format!("{} mm", n * 10.0)) };
    let count = [10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0].into_iter().find(|n| n * mm * points_per_mm <= room);
    let count = count.unwrap_or(1.0);
    (count * mm, name(count))
}

fn bar(ui: &Ui, left: f32, right: f32, y: f32, t: &Tokens) {
    let painter = ui.painter();
    let stroke = t.stroke(width::FRAME, t.ink);
    paint::hline(painter, left, right, y - 4.0, stroke);
    for i in 0_u8..=10 {
        let x = left + (right - left) * f32::from(i) / 10.0;
        let tall = if i.is_multiple_of(5) { 12.0 } else { 6.0 };
        paint::vline(painter, x, y - tall, y, t.stroke(1.0, t.ink));
    }
}

fn handle(ui: &mut Ui, at: egui::Pos2, name: &str, now: f64, t: &Tokens) -> HandleOutput {
    let value = format!("{now:.3} points per mm");
    Handle {
        id: Id::unique("ruler end"),
        center: at,
        way: vec2(1.0, 0.0),
        name: &format!("End of the bar that should be {name} long"),
        flag: name,
        flag_second: "drag or arrows",
        value_text: &value,
    }
    .show(ui, t)
}

fn moved(output: &HandleOutput, start: &mut Option<f64>, now: f64, length_mm: f64) -> Matched {
    if output.response.drag_started() {
        *start = Some(now);
    }
    let from = start.unwrap_or(now);
    let points_per_mm = if output.put_back {
        Some(from)
    } else if output.steps != 0.0 {
        Some(now + output.steps * STEP / length_mm)
    } else {
        output.dragged.filter(|_| output.response.dragged()).map(|by| from + f64::from(by) / length_mm)
    };
    if !output.response.dragged() {
        *start = None;
    }
    Matched { points_per_mm, done: false }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matched_screen_keeps_its_millimetre_at_any_zoom_of_the_window() {
        let mut ruler = Ruler::default();
        assert!((ruler.points_per_mm(1.0) * 25.4 - 96.0).abs() < 1e-12 && !ruler.is_matched());
        ruler.match_to(4.2, 1.5);
        assert!((ruler.points_per_mm(1.5) - 4.2).abs() < 1e-12);
        assert!((ruler.points_per_mm(3.0) - 2.1).abs() < 1e-12);
        ruler.match_to(f64::NAN, 1.0);
        assert!((ruler.points_per_mm(1.5) - 4.2).abs() < 1e-12);
    }

    #[test]
    fn the_bar_is_round_in_the_persons_unit() {
        assert_eq!(round(500.0, 3.78, LengthUnit::Mm), (100.0, "100 mm".to_owned()));
        assert_eq!(round(300.0, 3.78, LengthUnit::InchDecimal).1, "3 in");
    }
}
