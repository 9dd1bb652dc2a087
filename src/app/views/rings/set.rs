//! The set of rings itself: which rings a piston has, what they are made of,
//! the gap that they are sold with, their pegs, the ports that they pass; and
//! what is said of the second ring.

use super::{RingsView, capital, ports, say, title, typed};
use crate::advise::rings::{SCHOOLS, WhichRing};
use crate::app::command::Command;
use crate::app::theme::{regular, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::row;
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::text_field::TextField;
use crate::project::{NewRing, RingLength};
use crate::quantity::Quantity;
use egui::{Align, Id, Rect, Ui, UiBuilder, pos2, vec2};

const LINE: f32 = 33.0;

/// Left end and width of: name, metal, gap as sold, peg, the button.
fn columns(line: Rect) -> [Rect; 5] {
    const SHARES: [f32; 5] = [0.19, 0.32, 0.165, 0.165, 0.16];
    let mut left = line.left();
    SHARES.map(|share| {
        let width = line.width() * share;
        let cell = Rect::from_min_size(pos2(left, line.top()), vec2(width - 6.0, line.height() - 2.0));
        left += width;
        cell
    })
}

/// Shows the set.
pub(super) fn set_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let project = shown.project();
    title(ui, "The rings of one piston, from the top", t);
    ui.spacing_mut().item_spacing.y = 0.0;
    if !project.rings.is_empty() {
        let line = row(ui, 18.0);
        let heads = ["Ring", "made of, form of its face", "gap as sold", "peg at", ""];
        for (cell, words) in columns(line).into_iter().zip(heads) {
            let at = pos2(cell.left() + 1.0, line.center().y);
            paint::text_mid(ui.painter(), at, Align::Min, words, regular(text::CAPTION), t.ink2);
        }
    }
    for index in 0..project.rings.len() {
        ring_ui(ui, shown, view, index, out);
    }
    ui.spacing_mut().item_spacing.y = 5.0;
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        for (kind, words) in [
            (NewRing::Compression, "Add a compression ring"),
            (NewRing::Rails, "Add oil rails"),
            (NewRing::OnePiece, "Add a one-piece oil ring"),
        ] {
            if Button::plain(Id::unique(words), words).add(ui, t).clicked() {
                view.take(Some(project.add_ring_edit(project.new_ring(kind))), out);
            }
        }
    });
    say(ui, "A peg: degrees from the front end of the pin, clockwise as the piston is seen from above.", t);
    ports::ports_ui(ui, shown, view, out);
    let compression = shown.session.rings().asked.which.iter().filter(|which| **which != WhichRing::Oil);
    if compression.count() < 2 {
        return;
    }
    title(ui, "The second ring: two schools", t);
    for school in &SCHOOLS {
        say(ui, &format!("{} ({}): {}", capital(school.name), school.source, school.why), t);
    }
    say(
        ui,
        "Either is taken under Gaps, by duty, with the second ring in hand. The ring maker's sheet rules.",
        t,
    );
}

fn ring_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, index: usize, out: &mut Vec<Command>) {
    let t = shown.t;
    let project = shown.project();
    let Some(ring) = project.rings.get(index) else { return };
    let line = row(ui, LINE);
    let [of_name, of_metal, of_sold, of_peg, of_button] = columns(line);
    let title = ring.title();
    let name = format!("{} {title}", index + 1);
    let at = pos2(of_name.left() + 1.0, of_name.center().y);
    paint::text_mid(ui.painter(), at, Align::Min, &name, regular(text::BODY), t.ink);
    let field_ui = |ui: &mut Ui, cell: Rect, field: TextField<'_>| {
        let field = field.width(cell.width());
        ui.scope_builder(UiBuilder::new().max_rect(cell), |ui| field.show(ui, t)).inner.committed
    };
    let name = format!("{title}, made of");
    let metal =
        TextField::line(Id::unique(("ring metal", index)), &name, &ring.material).hint("grey cast iron");
    if let Some(words) = field_ui(ui, of_metal, metal) {
        view.take(project.ring_material_edit(index, &words), out);
    }
    let name = format!("{title}, gap as sold");
    let value = RingLength::SoldGap.of(ring).map_or("", Quantity::text);
    if let Some(text) = field_ui(ui, of_sold, TextField::line(Id::unique(("sold gap", index)), &name, value))
    {
        match typed::length(shown, &text, "A gap") {
            Ok(gap) => view.take(project.ring_length_edit(index, RingLength::SoldGap, gap), out),
            Err(why) => view.fault = Some(why),
        }
    }
    let name = format!("{title}, its peg");
    let value = ring.peg.as_ref().map_or("", Quantity::text);
    let peg = TextField::line(Id::unique(("peg", index)), &name, value).hint("none");
    if let Some(text) = field_ui(ui, of_peg, peg) {
        match typed::angle(&text) {
            Ok(at) => view.take(project.peg_edit(index, at), out),
            Err(why) => view.fault = Some(why),
        }
    }
    let words = format!("Remove {}", title.to_lowercase());
    let button = Button::plain(Id::unique(("remove ring", index)), "Remove").tooltip(&words);
    let size = button.size(ui.painter(), t);
    let place = Rect::from_min_size(of_button.min, size);
    if button.show(ui, place, t).accessible_name(&words).clicked() {
        view.take(project.remove_ring_edit(index), out);
    }
}
