//! Notes on the dimensions of the chosen cylinder: where a value comes from,
//! or anything else to remember about it.

use super::{ViewContext, head, line};
use crate::app::command::Command;
use crate::app::widgets::text_field::TextField;
use crate::engine::Key;
use crate::project::{Edit, Origin};
use egui::{Id, Ui};

pub(super) fn notes_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let label = shown.cylinder_label();
    let help = format!(
        "Where a value comes from, or anything to remember. What all cylinders share has one note; the rest is of \
         cylinder {label}."
    );
    head(ui, "Notes on dimensions", &help, shown);
    for key in Key::all() {
        let Some((entry, origin)) = shown.entry(key) else { continue };
        let name = key.row().short;
        let spoken = match origin {
            Origin::Nominal => format!("Note on {}", key.name().to_lowercase()),
            Origin::Own => format!("Note on {}, cylinder {label}", key.name().to_lowercase()),
        };
        let typed = line(ui, name, shown, |ui| {
            let id = Id::unique(("note on", label, key.index()));
            let output = TextField::line(id, &spoken, &entry.note).show(ui, shown.t);
            if output.response.gained_focus() {
                output.response.scroll_to_me(None);
            }
            output.committed
        });
        if let Some(note) = typed {
            out.push(Command::Edit(Edit::NoteDimension { scope: shown.scope(key), key, note }, None));
        }
    }
}
