//! The curves against crank angle: below the top, volume, ratio so far, with
//! one cursor that is the crank angle. Dragging in any plot turns the crank.

use super::ViewContext;
use crate::app::command::{Action, Command};
use crate::app::icons::Icon;
use crate::app::layout::Curves;
use crate::app::memo::{Memo, Revision};
use crate::app::session::Session;
use crate::app::theme::{regular, semibold, space, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::quantity::{Kind, UnitChoice, write};
use crate::study::curves::at;
use crate::study::{Answers, CurvePoint};
use egui::{Align, Color32, Id, Rangef, Rect, Sense, Ui, UiBuilder, pos2, vec2};
use egui_plot::{AxisHints, GridMark, Line, LineStyle, Plot, PlotPoint, PlotPoints, Points, VLine};

/// Width of the column with the crank angle.
const ANGLE_COLUMN: f32 = 112.0;
/// Shares of the three plots in the width that is left.
const SHARES: [f32; 3] = [0.305, 0.305, 0.39];

/// Which quantity a plot shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Plotted {
    Position,
    Volume,
    Ratio,
}

impl Plotted {
    const ALL: [Self; 3] = [Self::Position, Self::Volume, Self::Ratio];

    fn index(self) -> usize {
        self as usize
    }

    fn title(self) -> &'static str {
        match self {
            Self::Position => "Below the top",
            Self::Volume => "Volume",
            Self::Ratio => "Ratio so far",
        }
    }

    /// The title where there is only so much room beside the value.
    fn title_in(self, width: f32) -> &'static str {
        match self {
            Self::Position if width < 135.0 => "Below",
            Self::Position if width < 165.0 => "Below top",
            _ => self.title(),
        }
    }

    /// The value in the unit that the person reads in.
    fn of(self, point: &CurvePoint, units: &UnitChoice) -> f64 {
        match self {
            Self::Position => units.unit(Kind::Length).from_base(point.position_mm),
            Self::Volume => units.unit(Kind::Volume).from_base(point.volume_cc),
            Self::Ratio => point.ratio,
        }
    }

    fn written(self, point: &CurvePoint, shown: &ViewContext<'_>) -> (String, &'static str) {
        let of = |kind, base, decimals| {
            let written = write(kind, base, decimals, shown.units());
            (written.number, written.unit)
        };
        match self {
            Self::Position => of(Kind::Length, point.position_mm, None),
            Self::Volume => of(Kind::Volume, point.volume_cc, None),
            Self::Ratio => (format!("{:.2}", point.ratio), ""),
        }
    }
}

/// The points of the plots, kept until the answers change.
#[derive(Default)]
pub(crate) struct CurvesView {
    present: Memo<PointsKey, CurvePoints>,
    reference: Memo<PointsKey, CurvePoints>,
}

/// Of which answers, which cylinder, and in which units.
type PointsKey = (Revision, usize, UnitChoice);

/// The points of the three curves of one cylinder.
type CurvePoints = [Vec<PlotPoint>; 3];

impl CurvesView {
    /// Returns the points of the present curves and of those of the state of
    /// comparison.
    fn points(&mut self, session: &Session, cylinder: usize) -> (&CurvePoints, &CurvePoints) {
        let units = session.project().units;
        let points = |answers: &Answers| {
            let curve = answers.cylinders.get(cylinder).and_then(|answer| answer.solved());
            let curve = curve.map_or(&[][..], |solved| &solved.curve);
            Plotted::ALL.map(|plotted| {
                curve.iter().map(|p| PlotPoint::new(p.angle_deg, plotted.of(p, &units))).collect()
            })
        };
        let key = |revision| (revision, cylinder, units);
        let reference = session.reference();
        (
            self.present.get(key(session.revision()), |_| points(session.answers())),
            self.reference.get(key(reference.revision), |_| points(&reference.answers)),
        )
    }
}

/// Shows the panel.
pub(crate) fn curves_ui(
    ui: &mut Ui,
    rect: Rect,
    shown: &ViewContext<'_>,
    view: &mut CurvesView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    ui.painter().rect_filled(rect, crate::app::theme::radius::PANEL, t.panel);
    let points = view.points(shown.session, shown.cylinder);

    let inner = rect.shrink2(vec2(space::INNER, space::NEAR));
    let column = Rect::from_min_size(inner.min, vec2(ANGLE_COLUMN - space::INNER, inner.height()));
    if shown.layout.plots == Curves::AngleLine {
        angle_line_ui(ui, inner, shown, out);
        return;
    }
    angle_ui(ui, column, shown, out);
    if shown.engine().is_none() {
        let at = pos2(rect.left() + ANGLE_COLUMN + space::NEAR, inner.top() + 12.0);
        let words = "The curves follow the drawing.";
        paint::text(ui.painter(), at, Align::Min, words, regular(text::BODY), t.ink2);
        return;
    }
    let mut left = rect.left() + ANGLE_COLUMN + space::NEAR;
    let plots_width = inner.right() - left;
    let (which, shares): (&[Plotted], [f32; 3]) = match shown.layout.plots {
        Curves::One => (&[Plotted::Ratio], [1.0, 1.0, 1.0]),
        _ => (&Plotted::ALL, SHARES),
    };
    for &plotted in which {
        let share = shares.get(plotted.index()).copied().unwrap_or(1.0);
        let width = plots_width * share;
        // Between two plots, so that the ends of their scales stand apart.
        let gap = if plotted == Plotted::Ratio { 0.0 } else { space::GROUP };
        let plot = Rect::from_min_size(pos2(left, inner.top()), vec2(width - gap, inner.height()));
        plot_ui(ui, plot, plotted, shown, points, out);
        left += width;
    }
}

/// The angle, the place of the piston in words, and the buttons.
fn angle_ui(ui: &mut Ui, rect: Rect, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let painter = ui.painter().clone();
    paint::text(
        &painter,
        rect.left_top() + vec2(0.0, 12.0),
        Align::Min,
        "Crank angle",
        regular(text::BODY),
        t.ink2,
    );
    let number = degrees(shown.crank_deg);
    paint::text(&painter, rect.left_top() + vec2(0.0, 40.0), Align::Min, &number, semibold(26.0), t.ink);
    paint::text(
        &painter,
        rect.left_top() + vec2(0.0, 57.0),
        Align::Min,
        &place(shown),
        regular(text::CAPTION),
        t.ink2,
    );
    let top = rect.top() + 68.0;
    let size = vec2(28.0, 26.0);
    let buttons = [
        (Icon::Left, Action::CrankBack, "Crank back by a degree"),
        (Icon::Play, Action::PlayCrank, "Turn the crank slowly, or stop"),
        (Icon::Right, Action::CrankOn, "Crank on by a degree"),
    ];
    for (i, (icon, command, name)) in (0_u8..).zip(buttons) {
        let at = pos2(rect.left() + f32::from(i) * (size.x + space::TIGHT), top);
        if Button::icon(Id::unique(("crank button", i)), icon, name)
            .show(ui, Rect::from_min_size(at, size), t)
            .clicked()
        {
            out.push(Command::Action(command));
        }
    }
    if rect.height() > 128.0 {
        let button = Rect::from_min_size(pos2(rect.left(), top + size.y + 6.0), vec2(92.0, 26.0));
        if Button::plain(Id::unique("to the top"), "To the top").show(ui, button, t).clicked() {
            out.push(Command::Action(Action::CrankToTop));
        }
    }
}

/// Everything on one line, in the least window.
fn angle_line_ui(ui: &mut Ui, rect: Rect, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let painter = ui.painter().clone();
    let mid = rect.center().y;
    let line = format!("Crank {}, {}", degrees(shown.crank_deg), place(shown));
    paint::text_mid(&painter, pos2(rect.left(), mid), Align::Min, &line, regular(text::BODY), t.ink);
    let mut spoken = line;
    if let Some((engine, _)) = shown.engine() {
        let point = at(engine, shown.crank_deg);
        let words: Vec<String> = Plotted::ALL
            .iter()
            .map(|p| {
                let (number, unit) = p.written(&point, shown);
                format!("{} {number} {unit}", p.title().to_lowercase())
            })
            .collect();
        spoken = format!("{spoken}, {}", words.join(", "));
        paint::text_mid(
            &painter,
            pos2(rect.right(), mid),
            Align::Max,
            &words.join("   "),
            regular(text::CAPTION),
            t.ink2,
        );
    }
    let strip = ui.interact(rect, ui.scope_id().with("crank strip"), Sense::drag());
    strip.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &spoken));
    if strip.dragged() {
        out.push(Command::SetCrank(shown.crank_deg + f64::from(strip.drag_delta().x)));
    }
}

/// "12.5°", with a true minus.
#[must_use]
pub(crate) fn degrees(angle: f64) -> String {
    format!("{angle:.1}°").replace('-', "\u{2212}")
}

/// Where the piston is, in words.
fn place(shown: &ViewContext<'_>) -> String {
    let angle = shown.crank_deg;
    if angle == 0.0 {
        "at the top".into()
    } else if angle.abs() >= 180.0 {
        "half a turn on".into()
    } else if angle < 0.0 {
        "before the top".into()
    } else {
        "after the top".into()
    }
}

fn plot_ui(
    ui: &mut Ui,
    rect: Rect,
    plotted: Plotted,
    shown: &ViewContext<'_>,
    points: (&CurvePoints, &CurvePoints),
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let painter = ui.painter().clone();
    let point = shown.engine().map(|(engine, _)| at(engine, shown.crank_deg));
    let (number, unit) =
        point.as_ref().map_or_else(|| ("–".to_owned(), ""), |point| plotted.written(point, shown));
    let unit_rect = paint::text(
        &painter,
        pos2(rect.right() - space::NEAR, rect.top() + 12.0),
        Align::Max,
        unit,
        regular(text::CAPTION),
        t.ink2,
    );
    let gap = if unit.is_empty() { 0.0 } else { 4.0 };
    let number_rect = paint::text(
        &painter,
        pos2(unit_rect.left() - gap, rect.top() + 12.0),
        Align::Max,
        &number,
        semibold(15.0),
        t.ink,
    );
    // The value goes before the title where there is not room for both.
    let room = number_rect.left() - space::TIGHT - rect.left();
    let title = paint::fitted(&painter, plotted.title_in(rect.width()), regular(text::BODY), t.ink2, room);
    paint::place(&painter, rect.left_top() + vec2(0.0, 12.0), Align::Min, title, t.ink2);

    let area = Rect::from_min_max(rect.left_top() + vec2(0.0, 18.0), rect.right_bottom());
    let name = spoken_curve(plotted, shown);
    let builder = UiBuilder::new().max_rect(area).accessibility_label(name);
    ui.scope_builder(builder, |ui| {
        let visuals = ui.visuals_mut();
        visuals.override_text_color = Some(t.ink3);
        ui.style_mut().text_styles.insert(egui::TextStyle::Body, regular(text::LEAST));
        ui.style_mut().text_styles.insert(egui::TextStyle::Small, regular(text::LEAST));
        let invert = plotted == Plotted::Position;
        let response = Plot::new(("curve", plotted.index()))
            .width(area.width())
            .height(area.height())
            .allow_drag(false)
            .allow_zoom(false)
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .allow_axis_zoom_drag(false)
            .allow_double_click_reset(false)
            .show_x(false)
            .show_y(false)
            .show_background(false)
            .invert_y(invert)
            .default_x_bounds(-180.0, 180.0)
            .set_margin_fraction(vec2(0.0, 0.05))
            .grid_color(t.line)
            .grid_fade(0.0)
            .cursor_color(Color32::TRANSPARENT)
            .x_grid_spacer(|_| {
                (-2..=2).map(|n| GridMark { value: f64::from(n) * 90.0, step_size: 90.0 }).collect()
            })
            .y_grid_spacer(move |input| nice_marks(input.bounds.0, input.bounds.1, plotted))
            .custom_x_axes(vec![
                AxisHints::new_x().label_spacing(LABELS_APART).formatter(|mark, _| angle_label(mark.value)),
            ])
            .custom_y_axes(vec![
                AxisHints::new_y()
                    .label_spacing(LABELS_APART)
                    .min_thickness(26.0)
                    .formatter(|mark, _| minus(mark.value)),
            ])
            .show(ui, |plot| {
                let curve = |points: &CurvePoints| points.get(plotted.index()).cloned().unwrap_or_default();
                let (present, reference) = (curve(points.0), curve(points.1));
                if reference != present && !reference.is_empty() {
                    let ghost = Line::new("kept", PlotPoints::Owned(reference))
                        .color(t.ghost)
                        .width(1.4)
                        .style(LineStyle::Dashed { length: 6.0 });
                    plot.line(ghost.allow_hover(false));
                }
                plot.line(
                    Line::new("now", PlotPoints::Owned(present)).color(t.ink).width(1.9).allow_hover(false),
                );
                plot.vline(
                    VLine::new("crank", shown.crank_deg).color(t.accent).width(1.4).allow_hover(false),
                );
                if let Some(point) = &point {
                    let at = [shown.crank_deg, plotted.of(point, shown.units())];
                    plot.points(Points::new("here", at).radius(4.4).color(t.accent).allow_hover(false));
                    plot.points(Points::new("here", at).radius(2.8).color(t.panel).allow_hover(false));
                }
                let pointer = plot.pointer_coordinate();
                (pointer, plot.response().is_pointer_button_down_on())
            });
        if let (Some(pointer), true) = response.inner {
            out.push(Command::SetCrank(snapped(pointer.x)));
        }
    });
}

/// A curve in words: where it is now, between what it runs, and where the kept
/// state stands at the same angle.
fn spoken_curve(plotted: Plotted, shown: &ViewContext<'_>) -> String {
    let Some((engine, _)) = shown.engine() else {
        return format!("{} against crank angle: nothing to draw", plotted.title());
    };
    let value = |engine, angle| {
        let (number, unit) = plotted.written(&at(engine, angle), shown);
        format!("{number} {unit}").trim_end().to_owned()
    };
    let now = shown.crank_deg;
    let mut words = format!(
        "{} against crank angle: {} at {}, {} at the top, {} half a turn on",
        plotted.title(),
        value(engine, now),
        degrees(now),
        value(engine, 0.0),
        value(engine, 180.0)
    );
    if let Some(kept) = shown.reference_solved() {
        let before = value(&kept.engine, now);
        if before != value(engine, now) {
            words = format!("{words}; {}: {before} at {}", shown.reference().name, degrees(now));
        }
    }
    words
}

/// Three or four round numbers within the bounds; a ratio starts at 1.
fn nice_marks(low: f64, high: f64, plotted: Plotted) -> Vec<GridMark> {
    let span = high - low;
    if !(span.is_finite() && span > 0.0) {
        return Vec::new();
    }
    let rough = span / 4.5;
    let decade = crate::engine::num::pow(10.0, crate::engine::num::log10(rough).floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|n| n * decade).into_iter().find(|s| *s >= rough).unwrap_or(rough);
    let start = if plotted == Plotted::Ratio { 1.0 } else { 0.0 };
    let first = ((low - start) / step).ceil();
    // The bounds hold a few steps by construction; the cap is for odd floats.
    (0..12_u8)
        .map(|n| start + (first + f64::from(n)) * step)
        .take_while(|value| *value <= high)
        .map(|value| GridMark { value, step_size: span })
        .collect()
}

/// Points between two marks at which their labels fade in: they are few and
/// short.
const LABELS_APART: Rangef = Rangef { min: 14.0, max: 18.0 };

fn angle_label(angle: f64) -> String {
    if angle == 0.0 { "0°".into() } else { minus(angle) }
}

/// Half degrees: finer than a hand on a wheel.
fn snapped(angle: f64) -> f64 {
    (angle * 2.0).round() / 2.0
}

fn minus(value: f64) -> String {
    format!("{value}").replace('-', "\u{2212}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Key, Provenance};
    use crate::project::{Edit, Scope, demo};
    use crate::quantity::{Kind as Unit, Quantity};
    use std::sync::Arc;

    fn set_shim(session: &mut Session, hundredths: u32) {
        let base = f64::from(hundredths) / 100.0;
        let value = Quantity::rounded(Unit::Length, base, Some(2), &UnitChoice::default()).unwrap();
        let (scope, known) = (Scope::Cylinder("1".into()), Provenance::Measured);
        session.apply(&Edit::SetDimension { scope, key: Key::BaseShim, value, known }, None).unwrap();
    }

    /// Answers that nobody reads any more are freed, and newer ones come to lie
    /// where they lay: what is kept by its place in memory then lies too.
    #[test]
    fn the_curves_are_those_of_the_answers_after_steps_taken_while_they_were_hidden() {
        let (mut session, mut view) = (Session::new(demo(), None), CurvesView::default());
        let mut by_place: Memo<usize, CurvePoints> = Memo::default();
        for hundredths in [51, 53, 55] {
            set_shim(&mut session, hundredths);
        }
        let mut lies = 0;
        let mut look = |session: &Session| {
            let mut fresh = CurvesView::default();
            let expected = fresh.points(session, 0).0;
            assert!(!expected[0].is_empty());
            assert!(view.points(session, 0).0 == expected, "old curves under new figures");
            let place = Arc::as_ptr(session.answers()) as usize;
            lies += usize::from(by_place.get(place, |_| expected.clone()) != expected);
        };
        for _ in 0..200 {
            look(&session);
            session.undo();
            session.undo();
            look(&session);
            session.redo();
            session.redo();
        }
        assert!(lies > 0, "no place in memory was used twice: this test shows nothing here");
    }
}
