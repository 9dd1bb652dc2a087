//! The binder drawer: the page of the chosen cylinder, its paper, and where it
//! goes.

use super::Shown;
use super::right::RightView;
use crate::app::command::{Command, Named};
use crate::app::theme::{regular, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::sheet::Paper;
use egui::{Id, Sense, Ui, vec2};

/// Shows the drawer.
pub fn binder_ui(ui: &mut Ui, shown: &Shown<'_>, view: &mut RightView, out: &mut Vec<Command>) {
    let t = shown.t;
    let say = |ui: &mut Ui, words: &str| {
        let galley = paint::wrapped(ui.painter(), words, regular(text::BODY), t.ink2, ui.available_width());
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), galley.size().y + 10.0), Sense::hover());
        ui.painter().galley(rect.min, galley, t.ink2);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, words));
    };
    let label = shown.cylinder_label().to_owned();
    say(
        ui,
        &format!(
            "One page for cylinder {label}: the section at a stated scale with its details and a bar to check \
             the printer, figures, volumes term by term, dimensions and how each is known, cautions."
        ),
    );
    ui.spacing_mut().item_spacing = vec2(8.0, 8.0);
    ui.horizontal(|ui| {
        for paper in [Paper::A4, Paper::Letter] {
            let name =
                if view.paper == paper { format!("{} ✓", paper.name()) } else { paper.name().to_owned() };
            let name = name.replace(" ✓", ", chosen");
            let button = Button::plain(Id::unique(("paper", paper.name())), &name);
            if button.add(ui, t).clicked() {
                view.paper = paper;
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        let print = Button::primary(Id::unique("print"), "Print…")
            .tooltip("Opens the page in the system's viewer; print from there at 100 %");
        if print.add(ui, t).clicked() {
            out.push(Command::Named(Named::Print));
        }
        if Button::plain(Id::unique("save pdf"), "Save as PDF…").add(ui, t).clicked() {
            out.push(Command::Named(Named::SavePdf));
        }
        if Button::plain(Id::unique("save svg"), "Save as SVG…").add(ui, t).clicked() {
            out.push(Command::Named(Named::SaveSvg));
        }
    });
    ui.add_space(4.0);
    say(ui, "Print at 100 %, not fitted to the page, then lay a rule on the 50 mm bar.");
    say(ui, "The page is computed from what was typed. The maker's and the machinist's figures come first.");
}
