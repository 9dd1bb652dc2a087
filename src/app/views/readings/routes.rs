//! Two routes to the same thing, held against each other: what each says,
//! how far apart they are, whether their doubts explain it, and which
//! dimension would.

use super::parts::{caption, divide, row, say};
use super::{Page, ReadingsView, ViewContext};
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::quantity::write;
use crate::reading::Subject;
use crate::study::routes::{Crosscheck, Finding, Route};
use crate::study::words;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, Stroke, Ui, WidgetInfo, pos2};

/// How many dimensions are told that would explain a difference.
const EXPLANATIONS: usize = 4;

/// Shows the page.
pub(super) fn routes_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ReadingsView) {
    let t = shown.t;
    let label = shown.cylinder_label();
    caption(ui, "A part that was measured wrongly shows when the same thing is found in a second way.", t);
    let Some(solved) = shown.solved() else {
        caption(ui, &format!("Cylinder {label} can't exist as its dimensions stand."), t);
        return;
    };
    for route in Route::ALL {
        divide(ui, 12.0, t);
        let title = format!("{}, cylinder {label}", route.name());
        say(ui, &title, semibold(text::BODY), t.ink);
        match solved.routes.iter().find(|check| check.route == route) {
            Some(check) => check_ui(ui, check, shown),
            None => missing_ui(ui, route, shown, view),
        }
    }
}

/// What is read for the second route.
fn subject(route: Route) -> Subject {
    match route {
        Route::Deck => Subject::Deck,
        Route::Solder => Subject::Squish,
        Route::WholeFill => Subject::WholeFill,
    }
}

/// A route that was not gone yet, and the way to go it.
fn missing_ui(ui: &mut Ui, route: Route, shown: &ViewContext<'_>, view: &mut ReadingsView) {
    let of = subject(route);
    let line = row(ui, 30.0);
    let button = Button::plain(Id::unique(("go route", route.name())), "Read it");
    let size = button.size(ui.painter(), shown.t);
    let rect = Rect::from_min_size(pos2(line.right() - size.x, line.top() + 1.0), size);
    let words = format!("The {} was not read on the assembled parts yet", of.name());
    let galley = paint::fitted(
        ui.painter(),
        &words,
        regular(text::DIMENSION),
        shown.t.ink2,
        rect.left() - line.left() - 8.0,
    );
    let baseline = paint::baseline_for_middle(line.center().y, text::DIMENSION);
    paint::place(ui.painter(), pos2(line.left(), baseline), Align::Min, galley, shown.t.ink2);
    ui.interact(line, ui.scope_id().with(("not gone", route.name())), Sense::hover())
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
    let spoken = format!("Read it: {}", of.name());
    if button.show(ui, rect, shown.t).accessible_name(&spoken).clicked() {
        view.ask(shown.cylinder_label(), of);
        view.page = Page::Readings;
    }
}

fn check_ui(ui: &mut Ui, check: &Crosscheck, shown: &ViewContext<'_>) {
    let t = shown.t;
    let units = shown.units();
    let kind = check.route.kind();
    let number = |v: f64| match check.route {
        Route::Deck => words::gap(v, None, units),
        Route::Solder | Route::WholeFill => write(kind, v, None, units).to_string(),
    };
    scale_ui(ui, check, (&number(check.computed), &number(check.read)), shown);
    let expanded = check.comparison.expanded;
    let digits = (expanded > 0.0).then(|| words::two_digits(units.unit(kind).from_base(expanded)));
    let difference = write(kind, check.comparison.difference.abs(), digits, units);
    let mut told = vec![format!("Difference {difference}")];
    if expanded > 0.0 {
        told.push(format!("its expanded uncertainty {}", words::small(kind, expanded, units)));
    }
    if let Some(normalised) = check.comparison.normalised {
        let e = words::plain(normalised, 2);
        told.push(format!("normalised error {e}, up to 1 agrees (ISO/IEC 17043)"));
    }
    caption(ui, &told.join(" · "), t);
    let (shape, colour) = match check.finding {
        Finding::Agree => (Shape::Inside, t.ink),
        Finding::AgreeByPractice => (Shape::Unknown, t.ink),
        Finding::Part => (Shape::Close, t.warn),
    };
    let top = ui.cursor().top();
    let sentence = format!("{}.", check.sentence(units));
    let width = ui.available_width() - 24.0;
    let galley = paint::wrapped(ui.painter(), &sentence, semibold(text::DIMENSION), colour, width);
    let line = row(ui, galley.size().y + 6.0);
    shape.paint(ui.painter(), pos2(line.left() + 9.0, top + 11.0), 15.0, t);
    ui.painter().galley(pos2(line.left() + 24.0, line.top() + 2.0), galley, colour);
    ui.interact(line, ui.scope_id().with(("verdict", check.route.name())), Sense::hover())
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, &sentence));
    for explanation in check.explanations.iter().take(EXPLANATIONS) {
        let key = explanation.key;
        let by = write(key.kind(), explanation.change.abs(), None, units);
        let way = if explanation.change > 0.0 { "more" } else { "less" };
        let times = words::plain(explanation.surprise, 1);
        caption(
            ui,
            &format!("{} {by} {way} would explain it: {times} times what it is doubted by", key.name()),
            t,
        );
    }
    if check.finding != Finding::Part && !check.uncounted.is_empty() {
        let names: Vec<String> = check.uncounted.iter().map(|key| key.name().to_lowercase()).collect();
        caption(ui, &format!("Not counted, because nobody measured it: {}.", words::list(&names)), t);
    }
}

/// Both values on one scale; what their difference may be off by is a band
/// about the one that was read.
fn scale_ui(ui: &mut Ui, check: &Crosscheck, (computed, read): (&str, &str), shown: &ViewContext<'_>) {
    let t = shown.t;
    let rect = row(ui, 52.0);
    let half = check.comparison.expanded;
    let lo = check.computed.min(check.read - half);
    let hi = check.computed.max(check.read + half);
    let room = ((hi - lo) * 0.15).max(1e-6);
    let bar =
        Rect::from_min_max(pos2(rect.left() + 4.0, rect.top()), pos2(rect.right() - 4.0, rect.bottom()));
    #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
    let at = |v: f64| bar.left() + bar.width() * ((v - lo + room) / (hi - lo + 2.0 * room)) as f32;
    let painter = ui.painter();
    let middle = rect.center().y;
    if half > 0.0 {
        let band = Rect::from_min_max(
            pos2(at(check.read - half), middle - 7.0),
            pos2(at(check.read + half), middle + 7.0),
        );
        painter.rect_filled(band, 0.0, t.line);
    }
    paint::hline(painter, bar.left(), bar.right(), middle, t.stroke(1.0, t.line2));
    paint::vline(painter, at(check.read), middle - 8.0, middle + 8.0, Stroke::new(2.0, t.ink));
    painter.circle(pos2(at(check.computed), middle), 4.5, t.panel, Stroke::new(1.6, t.ink));
    let label = |x: f32, y: f32, words: &str| {
        let galley = paint::line(painter, words, regular(text::CAPTION), t.ink2);
        let half = galley.size().x / 2.0;
        let x = x.clamp(bar.left() + half, (bar.right() - half).max(bar.left() + half));
        paint::place(painter, pos2(x, y), Align::Center, galley, t.ink2);
    };
    label(at(check.computed), rect.top() + 13.0, &format!("computed {computed}"));
    label(at(check.read), rect.bottom() - 4.0, &format!("read {read}"));
    let spoken = format!("{}: computed {computed}, read {read}", check.route.name());
    ui.interact(rect, ui.scope_id().with(("scale", check.route.name())), Sense::hover())
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
}
