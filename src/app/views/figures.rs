//! The figures of the chosen cylinder against their limits, and the clearance
//! volume term by term.

use super::ViewContext;
use super::cabinet::shape;
use super::panel::{PanelStatus, PanelView};
use crate::app::command::Command;
use crate::app::explain::{about, about_of};
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::clearance_bar::{ClearanceBar, Term};
use crate::app::widgets::limit_gauge::{LimitGauge, Span};
use crate::app::widgets::verdict::Verdict as Shape;
use crate::app::widgets::{paint, panel};
use crate::quantity::Kind;
use crate::schema::limit::Judged;
use crate::study::verdict::{Judgement, Subject, Verdict};
use crate::study::words;
use egui::{Align, Context, Id, Rect, ScrollArea, Sense, Ui, vec2};

const ROW: f32 = 42.0;

/// The panel; it remembers nothing.
#[derive(Default)]
pub(crate) struct FiguresView;

impl PanelView for FiguresView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, _: &mut Vec<Command>) {
        figures_ui(ui, cx);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        figures_status(cx)
    }

    /// Figures are read, not typed in.
    fn take_keyboard(&mut self, _: &Context) {}
}

/// The shape of the worst verdict among the limits of all cylinders, and how
/// many are broken or near.
fn figures_status(shown: &ViewContext<'_>) -> PanelStatus {
    let count =
        |wanted: fn(&Verdict) -> bool| shown.answers().judged().filter(|j| wanted(&j.verdict)).count();
    let over = count(|verdict| shape(verdict) == Shape::Over);
    let close = count(|verdict| shape(verdict) == Shape::Close);
    match (over, close) {
        (0, 0) => ("no limit broken".into(), None),
        (0, close) => (format!("{close} too near to call"), Some(Shape::Close)),
        (over, 0) => (limits_broken(over), Some(Shape::Over)),
        (over, close) => (format!("{}, {close} close", limits_broken(over)), Some(Shape::Over)),
    }
}

fn limits_broken(count: usize) -> String {
    if count == 1 { "1 limit broken".into() } else { format!("{count} limits broken") }
}

fn figures_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    if shown.engine().is_none() {
        ui.label("There are no figures before the engine can be drawn.");
        return;
    }
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let mut judged: Vec<&Judgement> = shown.answers().judged().filter(|j| concerns(shown, j)).collect();
        judged.sort_by_key(|j| std::cmp::Reverse(j.verdict.severity()));
        for (i, judged) in judged.iter().enumerate() {
            let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
            limit_ui(ui, rect, i, judged, shown);
        }
        ui.add_space(4.0);
        clearance_ui(ui, shown);
        cautions_ui(ui, shown);
    });
}

/// What is judged of this cylinder, of its head, or of the whole engine.
fn concerns(shown: &ViewContext<'_>, judged: &Judgement) -> bool {
    match judged.subject {
        Subject::Engine => true,
        Subject::Head(head) => shown.question().cylinders.get(shown.cylinder).is_some_and(|c| c.head == head),
        Subject::Cylinder(cylinder) => cylinder == shown.cylinder,
    }
}

fn limit_ui(ui: &Ui, rect: Rect, index: usize, judged: &Judgement, shown: &ViewContext<'_>) {
    let units = shown.units();
    let value = judged.value_text(units);
    let name = match (judged.what, shown.question().target) {
        (Judged::RatioWanted, Some(target)) => format!("Ratio, wanted {}", words::plain(target.get(), 2)),
        (what, _) => what.name().to_owned(),
    };
    let word = judged.verdict_text(units);
    let limit = judged.limit_text(units);
    let span = match (judged.low, judged.high) {
        (Some(low), Some(high)) => Some(Span::Between(low, high)),
        (Some(low), None) => Some(Span::AtLeast(low)),
        (None, Some(high)) => Some(Span::AtMost(high)),
        (None, None) => None,
    };
    let may = judged.may_text(units).map(|may| format!("{value}: {may}\n{}", judged.source));
    let known = !matches!(judged.verdict, Verdict::Unknown { .. }) || judged.value.is_some();
    let response = LimitGauge {
        id: Id::unique(("limit", index)),
        verdict: shape(&judged.verdict),
        name: &name,
        value: &value,
        word: &word,
        limit: &limit,
        scale: judged.value.zip(span).filter(|_| known),
        source: may.as_deref().unwrap_or(&judged.source),
    }
    .show(ui, rect, shown.t);
    about_of(&response, judged.what.row().term);
}

fn clearance_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let t = shown.t;
    let Some(solved) = shown.solved() else { return };
    let f = solved.engine.figures();
    let c = &f.clearance;
    let total = shown.written(Kind::Volume, f.clearance_volume);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
    panel::divider(ui.painter(), rect, rect.top(), t);
    paint::text_mid(
        ui.painter(),
        rect.left_center() + vec2(0.0, 3.0),
        Align::Min,
        "Clearance volume",
        regular(text::BODY),
        t.ink2,
    );
    let unit = paint::text_mid(
        ui.painter(),
        rect.right_center() + vec2(0.0, 3.0),
        Align::Max,
        total.unit,
        regular(text::CAPTION),
        t.ink2,
    );
    paint::text_mid(
        ui.painter(),
        unit.left_center() - vec2(4.0, 0.0),
        Align::Max,
        &total.number,
        semibold(16.0),
        t.ink,
    );

    let crown = if c.crown < 0.0 { ("Dome", t.volumes.dome) } else { ("Dish", t.volumes.dome) };
    let terms = [
        ("Chamber", c.chamber, t.volumes.chamber),
        ("Deck", c.deck, t.volumes.deck),
        ("Gasket", c.gasket, t.volumes.gasket),
        (crown.0, c.crown, crown.1),
        ("Pockets", c.pockets, t.volumes.pockets),
        ("Top land", c.top_land, t.volumes.top_land),
    ];
    let labels: Vec<String> = terms
        .iter()
        .map(|(name, cc, _)| format!("{name} {}", shown.written(Kind::Volume, *cc).number))
        .collect();
    let shown_terms: Vec<Term<'_>> = terms
        .iter()
        .zip(&labels)
        .filter(|((_, cc, _), _)| *cc != 0.0)
        .map(|((_, cc, tint), label)| Term { label, cc: *cc, tint: *tint })
        .collect();
    let left_over = format!("{total} left");
    let bar = ClearanceBar { id: Id::unique("clearance"), terms: &shown_terms, left_over: &left_over };
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 88.0), Sense::hover());
    about(ui, rect, "clearance_volume");
    bar.show(ui, rect, t);
}

/// The cautions that the figures call for stand where the figures stand.
fn cautions_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let t = shown.t;
    let Some(solved) = shown.solved() else { return };
    if solved.cautions.is_empty() {
        return;
    }
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
    panel::divider(ui.painter(), rect, rect.top(), t);
    paint::text_mid(
        ui.painter(),
        rect.left_center() + vec2(0.0, 3.0),
        Align::Min,
        "Before you cut or turn",
        semibold(text::BODY),
        t.ink,
    );
    for caution in &solved.cautions {
        let galley = paint::wrapped(
            ui.painter(),
            caution.text,
            regular(text::CAPTION),
            t.ink2,
            ui.available_width() - 12.0,
        );
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), galley.size().y + 5.0), Sense::hover());
        ui.painter().circle_filled(rect.left_top() + vec2(3.0, 8.0), 2.0, t.ink2);
        ui.painter().galley(rect.left_top() + vec2(12.0, 0.0), galley, t.ink2);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, caution.text));
    }
}
