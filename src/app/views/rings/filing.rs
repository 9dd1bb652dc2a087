//! The ring in hand: what is said of its gap, who wants it so, how it was read,
//! the way to file it, and what to mind before the file is taken up.

use super::choices::{duty_ui, instrument_ui};
use super::{RingsView, bullet, say, typed, warn};
use crate::advise::rings::{Verdict, WhichRing, second_sentence, wear_sentence};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::picture::{self, paint_list};
use crate::app::widgets::text_field::TextField;
use crate::drawing::pens::Pens;
use crate::drawing::rings::filing::filing;
use crate::quantity::Quantity;
use crate::scene::rings::{filing_input, filing_words};
use egui::accesskit::Role;
use egui::{Id, Label, RichText, Sense, Ui, Vec2, WidgetInfo, vec2};

const PICTURE: Vec2 = vec2(360.0, 134.0);

/// What is said of oil rings.
const OIL: &str = "Oil rings are not filed. Steel rails have 0.38 mm (0.015 in) or more; one-piece rings down to 0.25 mm \
    where their maker says so. Rails stand 45° to either side of where the expander's ends meet.";

/// Where in the bore the gaps of the ring in hand were read.
fn where_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let index = view.ring;
    let Some(ring) = shown.project().rings.get(index) else { return };
    let label = shown.cylinder_label();
    let title = ring.title();
    let fitted = ring.fitted.iter().find(|fitted| fitted.cylinder == label);
    say(ui, "Read at a depth of", shown.t);
    let value = fitted.and_then(|fitted| fitted.depth.as_ref()).map_or("", Quantity::text);
    let name = format!("{title}, depth at which it was read");
    let depth = TextField::line(Id::unique(("read depth", index)), &name, value).hint("25 mm");
    if let Some(text) = depth.width(76.0).show(ui, shown.t).committed {
        match typed::length(shown, &text, "A depth") {
            Ok(depth) => view.take(shown.project().read_depth_edit(index, label, depth), out),
            Err(why) => view.fault = Some(why),
        }
    }
    say(ui, "where the bore is wide", shown.t);
    let value = fitted.and_then(|fitted| fitted.read_where.as_ref()).map_or("", Quantity::text);
    let name = format!("{title}, width of the bore where it was read");
    let bore = TextField::line(Id::unique(("read where", index)), &name, value).hint("as counts");
    if let Some(text) = bore.width(92.0).show(ui, shown.t).committed {
        match typed::length(shown, &text, "A bore") {
            Ok(bore) => view.take(shown.project().read_where_edit(index, label, bore), out),
            Err(why) => view.fault = Some(why),
        }
    }
}

/// What is to be done with the ring in hand, in one sentence.
pub(super) fn sentence_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &RingsView) {
    let study = shown.session.rings();
    let Some(gap) = study.gap(view.ring, shown.cylinder_label()) else { return };
    let sentence = gap.sentence(shown.units());
    if matches!(gap.verdict, Verdict::TooTight { .. } | Verdict::TooWide { .. }) {
        warn(ui, &sentence, shown.t);
    } else {
        ui.label(RichText::new(sentence).font(semibold(text::DIMENSION)).color(shown.t.ink));
    }
}

/// Shows the ring in hand.
pub(super) fn filing_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let units = shown.units();
    let study = shown.session.rings();
    let (Some(ring), Some(gap)) =
        (shown.project().rings.get(view.ring), study.gap(view.ring, shown.cylinder_label()))
    else {
        return;
    };
    let heading = format!("{} in cylinder {}", ring.title(), gap.cylinder);
    ui.label(RichText::new(heading).font(semibold(text::PANEL)).color(t.ink));
    ui.horizontal(|ui| {
        duty_ui(ui, shown, view, out);
        instrument_ui(ui, shown, view, out);
    });
    ui.horizontal_wrapped(|ui| where_ui(ui, shown, view, out));
    let source = format!("Wanted by: {}", ring.source);
    ui.add(Label::new(RichText::new(source).font(regular(text::CAPTION)).color(t.ink2)));
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        if let Some(input) = filing_input(gap, units) {
            let size = vec2(PICTURE.x.min(0.62 * ui.available_width()), PICTURE.y);
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            let area = picture::area(rect.shrink(6.0));
            paint_list(ui, rect, &filing(&input, area, &Pens::SCREEN).list, t);
            let words = filing_words(&input);
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
        }
        ui.vertical(|ui| {
            ui.set_max_width(ui.available_width());
            for caution in &study.cautions {
                bullet(ui, caution.text, t);
            }
        });
    });
    if let Some(elsewhere) = gap.elsewhere(units) {
        say(ui, &elsewhere, t);
    } else {
        say(ui, &wear_sentence(units), t);
    }
    match study.asked.which.get(view.ring) {
        Some(WhichRing::Oil) => say(ui, OIL, t),
        Some(WhichRing::Second) => {
            if let Some(top) = study.gap(0, &gap.cylinder) {
                say(ui, &second_sentence(top.wanted_mm, gap.wanted_mm, gap.bore_mm, units), t);
            }
        }
        _ => {}
    }
}
