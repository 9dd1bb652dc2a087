//! The large view for a teacher, in sight.

use super::ViewContext;
use super::lessons::step::{Letters, large_step_ui};
use crate::app::command::Command;
use crate::app::presenter::{Places, SMALLEST, capitals_of, distance_m, wanted_letters};
use crate::app::theme::{regular, text};
use crate::app::widgets::{paint, panel};
use egui::accesskit::Role;
use egui::{Id, Sense, Ui, UiBuilder, WidgetInfo};

/// From one try to the next the letters become smaller by this.
const SHRINK: f32 = 0.94;

/// Shows the step beside the drawing, and the line with the keys. `screen` is
/// how many points a millimetre of the screen has, and whether somebody
/// matched that to a ruler. How far the step reaches beyond its room, points.
pub(crate) fn presenter_ui(
    ui: &mut Ui,
    places: &Places,
    shown: &ViewContext<'_>,
    screen: (f64, bool),
    out: &mut Vec<Command>,
) -> f32 {
    let t = shown.t;
    let mut letters = wanted_letters(screen.0);
    let mut overflow = 0.0;
    if let Some(playing) = shown.lesson {
        panel::paint_panel(ui.painter(), places.step, t);
        let inner = panel::inside(places.step);
        // The largest letters with which all of the step is in sight.
        while letters > SMALLEST
            && Letters::large(letters).wants(ui.painter(), playing, inner.width()) > inner.height()
        {
            letters = (letters * SHRINK).max(SMALLEST);
        }
        ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("large step"), |ui| {
            overflow = large_step_ui(ui, playing, Letters::large(letters), t, out);
        });
    }
    let capitals = capitals_of(letters, screen.0);
    let mut words = String::new();
    if shown.lesson.is_some() {
        words = format!(
            "Capitals {capitals:.1} mm, for reading from {:.1} m{}.  Page up, page down: step.  1 to 9: answer.  S: show it.  ",
            distance_m(capitals),
            if screen.1 { "" } else { " if this screen has its usual size" }
        );
    }
    words.push_str("Left, right: crank.  T: towers.  Esc: back to the window");
    let galley = paint::fitted(ui.painter(), &words, regular(text::LEAST), t.ink2, places.foot.width());
    ui.painter().galley(places.foot.min, galley, t.ink2);
    let response = ui.interact(places.foot, Id::unique("large view keys"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
    overflow
}
