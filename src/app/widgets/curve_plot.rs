//! One curve against the crank angle, with the kept curve behind it, marked
//! angles, and the cursor. Dragging in it turns the crank.

use crate::app::theme::{Tokens, regular, text};
use crate::app::widgets::{paint, panel, plot_cursor, rule};
use egui::accesskit::Role;
use egui::{Align, CursorIcon, Id, Painter, Pos2, Rect, Response, Sense, Shape, Ui, WidgetInfo, pos2};
use std::ops::RangeInclusive;

/// Around the plot: room for the numbers at the left, the title above, the
/// angles below, and air at the right.
const LEFT: f32 = 28.0;
const TOP: f32 = 28.0;
const BOTTOM: f32 = 20.0;
const RIGHT: f32 = 10.0;
/// Middle of the title's line.
const TITLE_Y: f32 = 11.0;

/// The upright axis.
#[derive(Clone, Copy, Debug)]
pub struct Axis<'a> {
    /// Value at the foot of the plot.
    pub foot: f64,
    /// Value at its top; less than the foot where the value grows downward.
    pub top: f64,
    /// Values with a line, and what is written beside it.
    pub ticks: &'a [(f64, &'a str)],
}

/// A plot, for one frame.
#[derive(Clone, Debug)]
pub struct CurvePlot<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// "Below the top".
    pub title: &'a str,
    /// The value at the cursor, and its unit: "37.0", "mm".
    pub value: (&'a str, &'a str),
    /// Crank angle of the cursor, in degrees, and the curve's value there.
    pub cursor: (f64, Option<f64>),
    /// Angles from the left to the right edge, in degrees.
    pub angles: RangeInclusive<f64>,
    /// Angles with a line, and what is written below it.
    pub angle_ticks: &'a [(f64, &'a str)],
    /// The upright axis.
    pub axis: Axis<'a>,
    /// The curve: angle and value.
    pub curve: &'a [[f64; 2]],
    /// The curve of the kept state.
    pub kept: &'a [[f64; 2]],
    /// Marked angles and their words.
    pub marks: &'a [(f64, &'a str)],
}

/// What was done with a plot.
#[derive(Clone, Debug)]
pub struct PlotOutput {
    /// egui's response.
    pub response: Response,
    /// The crank angle that the pointer asks for: whole degrees, with Alt
    /// tenths.
    pub angle: Option<f64>,
    /// Steps that the arrow keys asked for: whole steps, with Shift a fifth.
    pub steps: f64,
}

impl CurvePlot<'_> {
    /// Shows the plot in `rect`.
    pub fn show(&self, ui: &mut Ui, rect: Rect, t: &Tokens) -> PlotOutput {
        let plot = Rect::from_min_max(
            pos2(rect.left() + LEFT, rect.top() + TOP),
            pos2(rect.right() - RIGHT, rect.bottom() - BOTTOM),
        );
        let response = ui
            .interact(plot.expand(4.0), self.id, Sense::drag())
            .on_hover_cursor(CursorIcon::ResizeHorizontal);
        if response.drag_started() {
            response.request_focus();
        }
        let steps = rule::arrow_steps(ui, &response);
        let dragged = response.interact_pointer_pos().filter(|_| response.dragged());
        let angle = dragged.map(|at| {
            let step = if ui.input(|i| i.modifiers.alt) { 0.1 } else { 1.0 };
            rule::snapped(self.angle_at(at.x, plot), step)
        });
        let angle = angle.filter(|a| *a != self.cursor.0);

        self.paint_axes(ui.painter(), plot, t);
        let clip = ui.painter().with_clip_rect(plot.expand(2.0).intersect(ui.clip_rect()));
        let ghost = t.stroke(1.4, t.ghost);
        for line in self.lines(self.kept, plot) {
            clip.extend(Shape::dashed_line(&line, ghost, 6.0, 3.0));
        }
        for line in self.lines(self.curve, plot) {
            clip.line(line, t.stroke(1.9, t.ink));
        }
        for (angle, words) in self.marks {
            plot_cursor::paint_marked_angle(ui.painter(), plot, self.x_of(*angle, plot), words, t);
        }
        let (at, value) = self.cursor;
        if let Some(value) = value.filter(|v| v.is_finite() && at.is_finite()) {
            let on_curve = pos2(self.x_of(at, plot), self.y_of(value, plot));
            plot_cursor::paint_cursor(ui.painter(), plot.expand2(egui::vec2(0.0, 6.0)), on_curve, t);
        }
        self.paint_title(ui.painter(), rect, t);
        if response.has_focus() {
            paint::focus_ring(ui.painter(), plot.expand(2.0), 0.0, t);
        }
        response
            .widget_info(|| WidgetInfo::slider(ui.is_enabled(), at, format!("Crank angle, {}", self.title)));
        ui.ctx().accesskit_node_builder(self.id, |node| {
            node.set_role(Role::Slider);
            node.set_value(format!("{at:.1}°: {} {}", self.value.0, self.value.1));
            node.set_min_numeric_value(*self.angles.start());
            node.set_max_numeric_value(*self.angles.end());
        });
        PlotOutput { response, angle, steps }
    }

    fn x_of(&self, angle: f64, plot: Rect) -> f32 {
        let share = (angle - self.angles.start()) / (self.angles.end() - self.angles.start());
        plot.left() + plot.width() * share as f32
    }

    fn y_of(&self, value: f64, plot: Rect) -> f32 {
        let share = (value - self.axis.foot) / (self.axis.top - self.axis.foot);
        plot.bottom() - plot.height() * share as f32
    }

    /// The angle at `x`, kept within the plot.
    fn angle_at(&self, x: f32, plot: Rect) -> f64 {
        let share = f64::from((x - plot.left()) / plot.width()).clamp(0.0, 1.0);
        self.angles.start() + share * (self.angles.end() - self.angles.start())
    }

    /// A curve in points on the screen, broken where it is no number.
    fn lines(&self, curve: &[[f64; 2]], plot: Rect) -> Vec<Vec<Pos2>> {
        let mut lines = vec![Vec::new()];
        for [angle, value] in curve {
            let at = pos2(self.x_of(*angle, plot), self.y_of(*value, plot));
            if !(at.x.is_finite() && at.y.is_finite()) {
                lines.push(Vec::new());
            } else if let Some(line) = lines.last_mut() {
                line.push(at);
            }
        }
        lines.retain(|line| line.len() > 1);
        lines
    }

    fn paint_axes(&self, painter: &Painter, plot: Rect, t: &Tokens) {
        let grid = egui::Stroke::new(1.0, t.line.gamma_multiply(if t.line == t.ink { 0.45 } else { 1.0 }));
        for (value, words) in self.axis.ticks {
            let y = self.y_of(*value, plot);
            if y.is_finite() && plot.expand(1.0).y_range().contains(y) {
                paint::hline(painter, plot.left(), plot.right(), y - 0.5, grid);
                let at = pos2(plot.left() - 6.0, y);
                paint::text_mid(painter, at, Align::Max, words, regular(text::LEAST), t.ink3);
            }
        }
        for (angle, words) in self.angle_ticks {
            let x = self.x_of(*angle, plot);
            if x.is_finite() && plot.expand(1.0).x_range().contains(x) {
                paint::vline(painter, x - 0.5, plot.top(), plot.bottom(), grid);
                let at = pos2(x, plot.bottom() + 9.5);
                paint::text_mid(painter, at, Align::Center, words, regular(text::LEAST), t.ink3);
            }
        }
        paint::hline(painter, plot.left(), plot.right(), plot.bottom(), t.stroke(1.0, t.line2));
    }

    fn paint_title(&self, painter: &Painter, rect: Rect, t: &Tokens) {
        let baseline = paint::baseline_for_middle(rect.top() + TITLE_Y, text::PANEL);
        let right = pos2(rect.right() - RIGHT, baseline);
        let value = panel::number_with_unit(painter, right, self.value.0, self.value.1, text::PANEL, t);
        let room = value.left() - rect.left() - 6.0;
        let title = paint::fitted(painter, self.title, regular(text::DIMENSION), t.ink2, room);
        paint::place(painter, pos2(rect.left(), baseline), Align::Min, title, t.ink2);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::theme::Theme;
    use crate::app::widgets::gallery::harness;
    use egui::{Key, vec2};
    use egui_kittest::kittest::Queryable as _;

    const AREA: Rect = Rect { min: pos2(10.0, 10.0), max: pos2(228.0, 150.0) };

    fn plot(angle: f64, curve: &[[f64; 2]]) -> CurvePlot<'_> {
        CurvePlot {
            id: Id::unique("plot under test"),
            title: "Below the top",
            value: ("0.0", "mm"),
            cursor: (angle, Some(0.0)),
            angles: -180.0..=180.0,
            angle_ticks: &[(-180.0, "−180"), (0.0, "0°"), (180.0, "180")],
            axis: Axis { foot: 75.0, top: 0.0, ticks: &[(0.0, "0"), (40.0, "40")] },
            curve,
            kept: &[],
            marks: &[(-125.0, "intake shuts")],
        }
    }

    #[test]
    fn dragging_in_a_plot_turns_the_crank_by_whole_degrees() {
        // the plot is 180 points wide from x = 38: half a point a degree
        let mut h = harness(Theme::Paper, vec2(240.0, 160.0), 0.0, |ui, t, angle: &mut f64| {
            let out = plot(*angle, &[]).show(ui, AREA, t);
            if let Some(asked) = out.angle {
                *angle = asked;
            }
            *angle += out.steps;
        });
        h.drag_at(pos2(128.0 + 10.2, 80.0));
        h.run();
        assert_eq!(*h.state(), 20.0);
        h.hover_at(pos2(900.0, 80.0));
        h.run();
        assert_eq!(*h.state(), 180.0);
        h.drop_at(pos2(128.0, 80.0));
        h.run();
        h.get_by_role_and_label(Role::Slider, "Crank angle, Below the top").focus();
        h.run();
        let before = *h.state();
        h.key_press(Key::ArrowLeft);
        h.run();
        assert_eq!(*h.state(), before - 1.0);
    }

    #[test]
    fn a_curve_is_broken_where_it_is_no_number() {
        let curve =
            [[-10.0, 1.0], [0.0, 2.0], [10.0, f64::NAN], [20.0, 3.0], [30.0, 4.0], [40.0, f64::INFINITY]];
        let lines = plot(0.0, &curve).lines(&curve, AREA);
        assert_eq!(lines.iter().map(Vec::len).collect::<Vec<_>>(), [2, 2]);
    }

    #[test]
    fn a_value_that_grows_downward_lies_lower() {
        let p = plot(0.0, &[]);
        assert_eq!(p.y_of(0.0, AREA), AREA.top());
        assert!(p.y_of(40.0, AREA) > p.y_of(20.0, AREA));
    }
}
