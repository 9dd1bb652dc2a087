//! What the engine can't be drawn without and nobody gave yet, and what
//! counts as nothing meanwhile; each name leads to its field.

use super::{ViewContext, head};
use crate::app::command::Command;
use crate::app::views::missing::{lead_ui, missing, uncounted};
use egui::Ui;

/// How many dimensions are missing, each counted once.
pub(super) fn count(shown: &ViewContext<'_>) -> usize {
    missing(shown).len()
}

pub(super) fn missing_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let missing = missing(shown);
    if !missing.is_empty() {
        let words = if missing.len() == 1 { "1 dimension is missing" } else { "Dimensions are missing" };
        head(ui, words, "The engine is drawn once they are there. Press a name to type its value.", shown);
        ui.horizontal_wrapped(|ui| {
            for (key, cylinder) in missing {
                lead_ui(ui, "drawer", key, cylinder, shown, out);
            }
        });
    }
    let uncounted = uncounted(shown);
    if !uncounted.is_empty() {
        head(ui, "Not given", "Each counts as nothing until it is given.", shown);
        ui.horizontal_wrapped(|ui| {
            for key in uncounted {
                lead_ui(ui, "drawer", key, shown.cylinder, shown, out);
            }
        });
    }
}
