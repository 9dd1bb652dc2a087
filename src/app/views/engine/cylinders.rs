//! Cylinders, heads and banks: what they are called, which stand under one head,
//! which heads are level, one more and one less.

use super::{ViewContext, head, line, say};
use crate::app::command::Command;
use crate::app::icons::Icon;
use crate::app::theme::{regular, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::choice::SegmentedChoice;
use crate::app::widgets::text_field::TextField;
use crate::project::{Assembly, Edit};
use egui::{Id, RichText, Ui};

/// Width of a label of a cylinder or head.
const LABEL: f32 = 84.0;
/// The most cylinders of an engine.
const MOST: usize = 16;

pub(super) fn cylinders_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let engine = &shown.project().engine;
    head(ui, "Cylinders and heads", "Readings and rings follow a cylinder that gets another name.", shown);
    let heads: Vec<String> = engine.heads.iter().map(|head| head.label.clone()).collect();
    for (index, cylinder) in engine.cylinders.iter().enumerate() {
        let name = format!("Cylinder {}", cylinder.label);
        line(ui, &name, shown, |ui| {
            let field = TextField::line(Id::unique(("cylinder label", index)), &name, &cylinder.label);
            if let Some(to) = field.width(LABEL).show(ui, shown.t).committed {
                out.push(Command::Edit(Edit::RenameCylinder { from: cylinder.label.clone(), to }, None));
            }
            ui.label(RichText::new("under head").font(regular(text::CAPTION)).color(shown.t.ink2));
            let choice = SegmentedChoice {
                id: Id::unique(("cylinder head", index)),
                name: &format!("Head of cylinder {}", cylinder.label),
                options: &heads,
                chosen: heads.iter().position(|label| *label == cylinder.head),
            };
            if let Some(label) = choice.show(ui, 92.0, shown.t).and_then(|i| heads.get(i)) {
                let what = format!("Cylinder {} under head {label}", cylinder.label);
                rebuilt(what, engine.under(&cylinder.label, label), out);
            }
            let remove = format!("Remove cylinder {}", cylinder.label);
            let words = Button::plain(Id::unique(("cylinder remove", index)), "Remove")
                .enabled(engine.cylinders.len() > 1)
                .tooltip("With its readings and rings; undo brings all back");
            let response = words.add(ui, shown.t);
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::accesskit::Role::Button, engine.cylinders.len() > 1, &remove)
            });
            if response.clicked() {
                out.push(Command::Edit(Edit::RemoveCylinder(cylinder.label.clone()), None));
            }
        });
    }
    for (index, one) in engine.heads.iter().enumerate() {
        let name = format!("Head {}", one.label);
        line(ui, &name, shown, |ui| {
            let field = TextField::line(Id::unique(("head label", index)), &name, &one.label);
            if let Some(to) = field.width(LABEL).show(ui, shown.t).committed {
                out.push(Command::Edit(Edit::RenameHead { from: one.label.clone(), to }, None));
            }
            let mut level = one.level;
            let says = format!("Barrels under head {} must stand level", one.label);
            if ui.checkbox(&mut level, "barrels must stand level").accessible_name(says).changed() {
                let what =
                    format!("Head {}: {}", one.label, if level { "level" } else { "need not be level" });
                rebuilt(what, engine.with_level(&one.label, level), out);
            }
        });
    }
    for (index, bank) in engine.banks.iter().enumerate() {
        let name = format!("Bank {}", bank.label);
        line(ui, &name, shown, |ui| {
            let field = TextField::line(Id::unique(("bank label", index)), &name, &bank.label);
            if let Some(to) = field.width(LABEL).show(ui, shown.t).committed {
                out.push(Command::Edit(Edit::RenameBank { from: bank.label.clone(), to }, None));
            }
            let under = engine.cylinders.iter().filter(|c| c.bank.as_deref() == Some(bank.label.as_str()));
            let labels: Vec<&str> = under.map(|c| c.label.as_str()).collect();
            let noun = if labels.len() == 1 { "cylinder" } else { "cylinders" };
            let words = format!("{noun} {}, {}", labels.join(", "), bank.stands.words());
            ui.label(RichText::new(words).font(regular(text::CAPTION)).color(shown.t.ink2));
        });
    }
    ui.horizontal(|ui| {
        let more = engine.cylinders.len() < MOST;
        let button = Button::plain(Id::unique("add cylinder"), "Add a cylinder")
            .with_icon(Icon::Plus)
            .enabled(more)
            .tooltip("Under the head of the last one; move it with the list beside it");
        if button.add(ui, shown.t).clicked() {
            rebuilt("Add a cylinder".into(), engine.with_cylinder(), out);
        }
        let idle = engine.heads.iter().any(|head| engine.under_head(&head.label).next().is_none());
        let button = Button::plain(Id::unique("add head"), "Add a head")
            .with_icon(Icon::Plus)
            .enabled(!idle)
            .tooltip(if idle { "One head is over no cylinder yet" } else { "Then move cylinders under it" });
        if button.add(ui, shown.t).clicked() {
            rebuilt("Add a head".into(), engine.with_head(), out);
        }
    });
    if engine.cylinders.len() >= MOST {
        say(ui, "Sixteen cylinders are the most.", shown);
    }
}

fn rebuilt(what: String, engine: Assembly, out: &mut Vec<Command>) {
    out.push(Command::Edit(Edit::SetEngine { what, engine: Box::new(engine) }, None));
}
