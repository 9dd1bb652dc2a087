//! What the engine is asked to do: its use, speeds, fuel, and what goes up and
//! down.

use super::{EngineView, LINE, ViewContext, head, line, say};
use crate::app::command::Command;
use crate::app::theme::{semibold, text};
use crate::app::widgets::choice::SegmentedChoice;
use crate::app::widgets::text_field::TextField;
use crate::project::Edit;
use crate::schema::{Duty, DutyField, Usage};
use egui::{Id, RichText, Ui};

/// Width of the field for a number.
const NUMBER: f32 = 96.0;

pub(super) fn duty_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut EngineView, out: &mut Vec<Command>) {
    let help = "What the engine is asked to do. Limits are proposed by its use, its fuel and its rods.";
    head(ui, "Use, speed, fuel and rods", help, shown);
    usage_ui(ui, shown, out);
    for field in DutyField::ALL {
        field_ui(ui, shown, view, field, out);
    }
    for finding in shown.project().check().iter().filter(|finding| finding.place == "duty") {
        ui.label(
            RichText::new(format!("{finding}; {}", finding.hint))
                .font(semibold(text::CAPTION))
                .color(shown.t.warn),
        );
    }
}

fn usage_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let duty = &shown.project().duty;
    let all: Vec<Option<Usage>> = std::iter::once(None).chain(Usage::ALL.map(Some)).collect();
    let names: Vec<String> =
        all.iter().map(|usage| usage.map_or("not said", Usage::name).to_owned()).collect();
    let picked = line(ui, "Use", shown, |ui| {
        let chosen = all.iter().position(|&usage| usage == duty.usage);
        SegmentedChoice { id: Id::unique("engine use"), name: "Use", options: &names, chosen }
            .show(ui, 220.0, shown.t)
    });
    if let Some(&usage) = picked.and_then(|i| all.get(i)) {
        out.push(Command::Edit(Edit::SetDuty(Box::new(Duty { usage, ..duty.clone() })), None));
    }
}

fn field_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut EngineView,
    field: DutyField,
    out: &mut Vec<Command>,
) {
    let duty = &shown.project().duty;
    let (title, value) = (field.title(), duty.text(field));
    let typed = line(ui, title, shown, |ui| {
        let unit = field.unit();
        let mut input = TextField::line(Id::unique(("duty", title)), title, &value).hint(field.example());
        if !unit.is_empty() {
            input = input.width(NUMBER);
        }
        let output = input.show(ui, shown.t);
        if output.response.gained_focus() {
            output.response.scroll_to_me(None);
        }
        if !unit.is_empty() {
            ui.ctx().accesskit_node_builder(output.response.id, |node| node.set_description(unit));
            ui.allocate_ui(egui::vec2(60.0, LINE), |ui| {
                ui.horizontal_centered(|ui| say(ui, unit, shown));
            });
        }
        output.response.on_hover_text(field.meaning());
        output.committed
    });
    if let Some(typed) = typed {
        let mut changed = duty.clone();
        match changed.give(field, &typed) {
            Ok(()) => {
                view.duty_fault = None;
                out.push(Command::Edit(Edit::SetDuty(Box::new(changed)), None));
            }
            Err(error) => view.duty_fault = Some((field, format!("Not taken. {error}"))),
        }
    }
    if let Some((_, why)) = view.duty_fault.as_ref().filter(|(of, _)| *of == field) {
        ui.label(RichText::new(why).font(semibold(text::CAPTION)).color(shown.t.warn));
    }
}
