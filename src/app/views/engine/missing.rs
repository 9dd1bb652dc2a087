//! What the engine can't be drawn without and nobody gave yet; each name
//! leads to its field.

use super::{Shown, head};
use crate::app::command::Command;
use crate::app::widgets::button::Button;
use crate::engine::Key;
use egui::{Id, Ui};

/// How many dimensions are missing, each counted once.
pub(super) fn count(shown: &Shown<'_>) -> usize {
    missing(shown).len()
}

/// The missing dimensions, each with the first cylinder that lacks it.
fn missing(shown: &Shown<'_>) -> Vec<(Key, usize)> {
    let engine = &shown.project().engine;
    let mut found: Vec<(Key, usize)> = Vec::new();
    for cylinder in 0..engine.cylinders.len() {
        for key in engine.missing(cylinder) {
            if !found.iter().any(|(known, _)| *known == key) {
                found.push((key, cylinder));
            }
        }
    }
    found
}

pub(super) fn missing_ui(ui: &mut Ui, shown: &Shown<'_>, out: &mut Vec<Command>) {
    let missing = missing(shown);
    if missing.is_empty() {
        return;
    }
    let words = if missing.len() == 1 { "1 dimension is missing" } else { "Dimensions are missing" };
    head(ui, words, "The engine is drawn once they are there. Press a name to type its value.", shown);
    ui.horizontal_wrapped(|ui| {
        for (key, cylinder) in missing {
            let tip = format!("{}\nHow to measure: {}", key.row().meaning, key.row().measure);
            let button = Button::plain(Id::unique(("missing", key.index())), key.name()).tooltip(&tip);
            if button.add(ui, shown.t).clicked() {
                out.push(Command::ShowCylinder(cylinder));
                out.push(Command::GoTo(key));
            }
        }
    });
}
