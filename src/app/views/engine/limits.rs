//! The limits that the engine is judged by, each with who says so.

use super::{EngineView, LIMIT_NAME, LINE, ViewContext, head, line_of, say};
use crate::app::command::Command;
use crate::app::theme::{semibold, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::text_field::TextField;
use crate::project::Edit;
use crate::quantity::Kind;
use crate::schema::limit::{COMMON_PRACTICE, LimitId, LimitText, Measure};
use egui::{Id, RichText, Ui};

/// Width of the field for a value.
const VALUE: f32 = 96.0;

pub(super) fn limits_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut EngineView, out: &mut Vec<Command>) {
    let help = "The maker's figures come first, then the machinist's. An empty value switches a limit off; \
                without a source it counts as common practice. What is proposed here counts once it is taken.";
    head(ui, "Limits", help, shown);
    for id in LimitId::in_file() {
        limit_ui(ui, shown, view, id, out);
    }
}

fn limit_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut EngineView,
    id: LimitId,
    out: &mut Vec<Command>,
) {
    let given = shown.project().limits.text(id);
    let (value, source) = given.as_ref().map_or(("", ""), |g| (g.value.as_str(), g.source.as_str()));
    let title = id.row().name;
    line_of(ui, LIMIT_NAME, title, shown, |ui| {
        let field = TextField::line(Id::unique(("limit value", title)), title, value)
            .hint(example(id.measure()))
            .width(VALUE);
        let output = field.show(ui, shown.t);
        output.response.on_hover_text(id.row().meaning);
        if let Some(typed) = output.committed {
            let to = (!typed.is_empty()).then(|| LimitText { value: typed, source: source.to_owned() });
            give(shown, view, id, to, out);
        }
        if given.is_some() {
            let says = format!("Source of {}", title.to_lowercase());
            let field = TextField::line(Id::unique(("limit source", title)), &says, source);
            if let Some(typed) = field.hint(COMMON_PRACTICE).show(ui, shown.t).committed {
                give(shown, view, id, Some(LimitText { value: value.to_owned(), source: typed }), out);
            }
        } else {
            ui.allocate_ui(egui::vec2(40.0, LINE), |ui| {
                ui.centered_and_justified(|ui| say(ui, "off", shown));
            });
        }
    });
    for proposed in shown.project().proposals(shown.question(), id) {
        proposal_ui(ui, shown, id, &proposed, out);
    }
    if let Some((_, why)) = view.limit_fault.as_ref().filter(|(of, _)| *of == id) {
        ui.label(RichText::new(why).font(semibold(text::CAPTION)).color(shown.t.warn));
    }
}

/// What is proposed for an engine of this kind, by whom, and one button that
/// takes it. Nothing is judged by it until it is taken.
fn proposal_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    id: LimitId,
    proposed: &LimitText,
    out: &mut Vec<Command>,
) {
    ui.horizontal_top(|ui| {
        let label = format!("Take {}", proposed.value);
        let says = format!("{label} for {}: {}", id.row().name.to_lowercase(), proposed.source);
        let button = Button::plain(Id::unique(("limit proposed", id, &proposed.source)), &label);
        if button.add(ui, shown.t).accessible_name(&says).clicked() {
            out.push(Command::Edit(Edit::SetLimit { id, to: Some(proposed.clone()) }, None));
        }
        ui.vertical(|ui| {
            ui.add_space(3.0);
            say(ui, &proposed.source, shown);
        });
    });
}

/// Asks for the limit, or says beside the field why it can't be one.
fn give(
    shown: &ViewContext<'_>,
    view: &mut EngineView,
    id: LimitId,
    to: Option<LimitText>,
    out: &mut Vec<Command>,
) {
    let tried = shown.project().limits.clone().give(id, to.as_ref());
    view.limit_fault = tried.err().map(|error| (id, format!("Not taken: {error}; {}", error.hint())));
    if view.limit_fault.is_none() {
        out.push(Command::Edit(Edit::SetLimit { id, to }, None));
    }
}

/// What such a limit looks like.
fn example(measure: Measure) -> &'static str {
    match measure {
        Measure::Of(Kind::Volume) => "0.5 cc",
        Measure::Of(_) => "1.00 mm",
        Measure::Ratio => "ratio",
        Measure::Speed => "m/s",
        Measure::Count => "pieces",
    }
}
