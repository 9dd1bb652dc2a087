//! The ring in hand in its groove: drawn to scale, its clearances to be
//! entered, how they stand, which ring it is and which way up it goes.

use super::{RingsView, say, title, typed, warn, which_ui};
use crate::advise::rings::{
    BACK_LEAST_MM, ClearanceVerdict, WHICH_IS_WHICH, back_sentence, side_sentence, way_up,
};
use crate::app::command::Command;
use crate::app::views::ViewContext;
use crate::app::views::picture::{self, paint_list};
use crate::app::widgets::text_field::TextField;
use crate::drawing::pens::Pens;
use crate::drawing::rings::groove::groove;
use crate::engine::Key;
use crate::project::RingLength;
use crate::quantity::Quantity;
use crate::scene::rings::groove_input;
use egui::accesskit::Role;
use egui::{Id, Sense, Ui, WidgetInfo, vec2};

const LENGTHS: [(RingLength, &str); 4] = [
    (RingLength::Side, "by feeler, all round"),
    (RingLength::Back, "face flush"),
    (RingLength::Height, "along the bore"),
    (RingLength::Thickness, "face to back"),
];
/// Height of the picture, where that much is seen at once.
const PICTURE: f32 = 184.0;

/// Shows the page.
pub(super) fn groove_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    which_ui(ui, shown, view);
    let index = view.ring;
    let Some(ring) = shown.project().rings.get(index) else { return };
    ui.horizontal_wrapped(|ui| {
        for (which, hint) in LENGTHS {
            let name = format!("{}, {}", ring.title(), which.name());
            ui.vertical(|ui| {
                ui.set_width(126.0);
                say(ui, which.name(), t);
                let value = which.of(ring).map_or("", Quantity::text);
                let field = TextField::line(Id::unique(("ring length", index, which.name())), &name, value);
                if let Some(text) = field.hint(hint).width(120.0).show(ui, t).committed {
                    match typed::length(shown, &text, "A clearance") {
                        Ok(length) => view.take(shown.project().ring_length_edit(index, which, length), out),
                        Err(why) => view.fault = Some(why),
                    }
                }
            });
        }
    });
    let study = shown.session.rings();
    match &ring.side_clearance {
        Some(side) => {
            if let Some((row, verdict)) = study.asked.side(index, side.base(), study.diesel) {
                let sentence = side_sentence(side.base(), row, shown.units());
                if matches!(verdict, ClearanceVerdict::Tight | ClearanceVerdict::Worn) {
                    warn(ui, &sentence, t);
                } else {
                    say(ui, &sentence, t);
                }
            }
        }
        None => say(ui, "Side clearance not measured: a feeler between ring and flank, all round.", t),
    }
    match &ring.back_clearance {
        Some(back) if back.base() < BACK_LEAST_MM - 1e-9 => {
            warn(ui, &back_sentence(back.base(), shown.units()), t);
        }
        Some(back) => say(ui, &back_sentence(back.base(), shown.units()), t),
        None => {
            say(ui, "Back clearance not measured: the ring in its groove, its face flush with the land.", t)
        }
    }
    picture_ui(ui, shown, index);
    title(ui, "Which ring it is, and which way up", t);
    if let Some(which) = study.asked.which.get(index) {
        for words in way_up(*which, &format!("{} {}", ring.name, ring.material)) {
            say(ui, words, t);
        }
    }
    say(ui, WHICH_IS_WHICH, t);
}

/// The ring in its groove, magnified.
fn picture_ui(ui: &mut Ui, shown: &ViewContext<'_>, ring: usize) {
    let bore = shown.value(Key::Bore).unwrap_or(0.0);
    let size = vec2(ui.available_width(), PICTURE);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let Some(input) = groove_input(shown.project(), ring, bore).filter(|_| bore > 0.0) else { return };
    let area = picture::area(rect.shrink(4.0));
    paint_list(ui, rect, &groove(&input, area, &Pens::SCREEN).list, shown.t);
    let measure =
        |name: &str, text: &str| format!("{name} {}", if text.is_empty() { "not measured" } else { text });
    let words = format!(
        "A ring in its groove: {}, {}, {}, {}",
        measure("height", &input.height.text),
        measure("thickness", &input.thickness.text),
        measure("side clearance", &input.side.text),
        measure("back clearance", &input.back.text)
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
}
