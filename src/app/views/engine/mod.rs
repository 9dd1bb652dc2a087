//! The engine panel: what the project is called, how the engine is built and
//! used, its cylinders and heads, the limits that it is judged by, notes on its
//! dimensions, and what is still missing.

mod build;
mod cylinders;
mod duty;
mod limits;
mod missing;
mod notes;

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, space, text};
use crate::project::{Edit, TextField as Field};
use crate::schema::DutyField;
use crate::schema::limit::LimitId;
use egui::{Id, RichText, ScrollArea, Ui, vec2};

use crate::app::widgets::text_field::TextField;

/// Width of the names before the fields.
const NAME: f32 = 148.0;
/// The same before limits, whose names are longer.
const LIMIT_NAME: f32 = 232.0;
/// Height of a line with a field.
const LINE: f32 = 26.0;

/// What the panel remembers.
#[derive(Default)]
pub(crate) struct EngineView {
    /// Why the last text of a limit was not taken.
    limit_fault: Option<(LimitId, String)>,
    /// Why the last text of the duty was not taken.
    duty_fault: Option<(DutyField, String)>,
}

impl PanelView for EngineView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        engine_ui(ui, cx, self, out);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        (engine_status(cx), None)
    }
}

fn engine_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut EngineView, out: &mut Vec<Command>) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(space::NEAR, 5.0);
        // The bar of the scroll area stands beside the rows.
        ui.set_max_width(ui.available_width() - 12.0);
        missing::missing_ui(ui, shown, out);
        head(ui, "Project", "", shown);
        for (field, name, lines) in [
            (Field::Title, "Name", 1),
            (Field::Owner, "Owner", 1),
            (Field::Serial, "Serial number", 1),
            (Field::Notes, "Notes", 3),
        ] {
            text_ui(ui, shown, field, name, lines, out);
        }
        build::build_ui(ui, shown, out);
        duty::duty_ui(ui, shown, view, out);
        cylinders::cylinders_ui(ui, shown, out);
        limits::limits_ui(ui, shown, view, out);
        notes::notes_ui(ui, shown, out);
    });
}

/// How much is missing, or how the engine is built, for the closed panel.
fn engine_status(shown: &ViewContext<'_>) -> String {
    match missing::count(shown) {
        0 => shown.project().engine.construction.name().to_lowercase(),
        1 => "1 dimension missing".into(),
        count => format!("{count} dimensions missing"),
    }
}

fn head(ui: &mut Ui, words: &str, help: &str, shown: &ViewContext<'_>) {
    ui.add_space(space::NEAR);
    ui.label(RichText::new(words).font(semibold(text::BODY)).color(shown.t.ink));
    if !help.is_empty() {
        say(ui, help, shown);
    }
}

fn say(ui: &mut Ui, words: &str, shown: &ViewContext<'_>) {
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(shown.t.ink2));
}

/// A line: its name, and what `field` shows in the room beside it.
fn line<R>(ui: &mut Ui, name: &str, shown: &ViewContext<'_>, field: impl FnOnce(&mut Ui) -> R) -> R {
    line_of(ui, NAME, name, shown, field)
}

fn line_of<R>(
    ui: &mut Ui,
    width: f32,
    name: &str,
    shown: &ViewContext<'_>,
    field: impl FnOnce(&mut Ui) -> R,
) -> R {
    ui.horizontal_top(|ui| {
        ui.allocate_ui_with_layout(
            vec2(width, LINE),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(width);
                ui.add(
                    egui::Label::new(RichText::new(name).font(regular(text::BODY)).color(shown.t.ink))
                        .truncate(),
                );
            },
        );
        field(ui)
    })
    .inner
}

fn text_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    field: Field,
    name: &str,
    lines: usize,
    out: &mut Vec<Command>,
) {
    let project = shown.project();
    let value = match field {
        Field::Title => &project.title,
        Field::Owner => &project.owner,
        Field::Serial => &project.serial,
        Field::Notes => &project.notes,
    };
    let id = Id::unique(("project text", name));
    let typed =
        line(ui, name, shown, |ui| TextField::line(id, name, value).lines(lines).show(ui, shown.t).committed);
    if let Some(to) = typed {
        out.push(Command::Edit(Edit::SetText { field, to }, None));
    }
}
