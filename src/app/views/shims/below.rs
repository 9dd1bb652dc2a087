//! Below the choices: whether what was computed and what was read agree with
//! the shims as they lie now, and the cautions of this decision.

use super::{say, title};
use crate::app::command::Command;
use crate::app::theme::{regular, text};
use crate::app::views::{Drawer, Shown};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::project::Construction;
use crate::study::cautions::{self, Decision};
use crate::study::shims::{Closing, closing};
use egui::accesskit::Role;
use egui::{Id, Sense, Ui, WidgetInfo, vec2};

/// Closes the loop: the deck computed with the shims that lie under each
/// barrel, against the one that was read.
pub fn loop_ui(ui: &mut Ui, shown: &Shown<'_>, out: &mut Vec<Command>) {
    if shown.project().engine.construction == Construction::Block {
        return;
    }
    let t = shown.t;
    let Some(head) = shown.question().cylinders.get(shown.cylinder).map(|c| c.head) else { return };
    title(ui, "As the shims lie now", t);
    let members = shown.question().cylinders.iter().enumerate().filter(|(_, c)| c.head == head);
    let closings: Vec<(&str, Closing<'_>)> = members
        .filter_map(|(place, c)| Some((c.label.as_str(), closing(shown.question(), shown.answers(), place)?)))
        .collect();
    for (label, closing) in &closings {
        say(ui, &format!("{label}: {}", closing.sentence(shown.units())), t);
    }
    if closings.iter().any(|(_, closing)| !matches!(closing, Closing::Read(_))) {
        ui.horizontal_wrapped(|ui| {
            let words = "Fit the shims, clamp the barrels as they will run, and measure.";
            say(ui, words, t);
            if Button::plain(Id::unique("to readings"), "To the readings").with_key("F4").add(ui, t).clicked()
            {
                out.push(Command::Show(Drawer::Readings));
            }
        });
    }
}

/// The cautions of this decision.
pub fn cautions_ui(ui: &mut Ui, shown: &Shown<'_>) {
    let t = shown.t;
    title(ui, "Before you fit or turn", t);
    for caution in cautions::beside(Decision::Shim, &shown.question().build, None) {
        let room = ui.available_width() - 12.0;
        let galley = paint::wrapped(ui.painter(), caution.text, regular(text::CAPTION), t.ink2, room);
        let size = vec2(ui.available_width(), galley.size().y);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        ui.painter().circle_filled(rect.left_top() + vec2(3.0, 8.0), 2.0, t.ink2);
        ui.painter().galley(rect.left_top() + vec2(12.0, 0.0), galley, t.ink2);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, caution.text));
    }
}
