//! The rings of one piston as lines of a bench table: what is wanted, what was
//! read at each stage.

use super::{RingsView, typed};
use crate::advise::rings::Stage;
use crate::app::command::Command;
use crate::app::theme::{regular, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::row;
use crate::app::widgets::button::{Button, Kind as Look};
use crate::app::widgets::paint;
use crate::app::widgets::text_field::{TextField, TextOutput};
use crate::quantity::Quantity;
use egui::{Align, Id, Rect, Ui, UiBuilder, pos2, vec2};

const LINE: f32 = 33.0;
/// The height of a button beside the fields, which are a little taller.
const BUTTON: f32 = 30.0;
const HEAD: f32 = 18.0;
const STAGES: [(Stage, &str); 3] =
    [(Stage::Delivered, "as delivered"), (Stage::Filed, "filed"), (Stage::Final, "final")];

/// Left end and width of: ring, wanted, the three stages.
fn columns(line: Rect) -> [Rect; 5] {
    const SHARES: [f32; 5] = [0.22, 0.27, 0.17, 0.17, 0.17];
    let mut left = line.left();
    SHARES.map(|share| {
        let width = line.width() * share;
        let cell = Rect::from_min_size(pos2(left, line.top()), vec2(width - 6.0, line.height()));
        left += width;
        cell
    })
}

/// The identity of a field; Enter leads to the next one.
fn field(ring: usize, stage: usize) -> Id {
    Id::unique(("ring gap", ring, stage))
}

/// Shows all rings of the piston in hand.
pub(super) fn gaps_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let line = row(ui, HEAD);
    let cylinder = format!("Cylinder {}", shown.cylinder_label());
    let heads = [&cylinder, "wanted", "as delivered", "filed", "final"];
    for (cell, words) in columns(line).into_iter().zip(heads) {
        let at = pos2(cell.left() + 1.0, cell.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, words, regular(text::CAPTION), t.ink2);
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    for ring in 0..shown.project().rings.len() {
        line_ui(ui, shown, view, ring, out);
    }
    ui.spacing_mut().item_spacing.y = 5.0;
    ui.add_space(2.0);
}

/// A field in its cell; pressed or filled it takes its ring in hand.
fn cell_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    ring: usize,
    cell: Rect,
    field: TextField<'_>,
) -> TextOutput {
    let place = Rect::from_min_size(cell.min, vec2(cell.width(), LINE - 2.0));
    let field = field.width(cell.width());
    let output = ui.scope_builder(UiBuilder::new().max_rect(place), |ui| field.show(ui, shown.t)).inner;
    // The tabulator only passes through: what it passes is not in hand.
    if output.response.clicked() || output.committed.is_some() {
        view.ring = ring;
    }
    if output.response.gained_focus() {
        output.response.scroll_to_me(None);
    }
    output
}

/// Shows one ring.
fn line_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, index: usize, out: &mut Vec<Command>) {
    let study = shown.session.rings();
    let (Some(ring), Some(asked)) = (shown.project().rings.get(index), study.asked.rings.get(index)) else {
        return;
    };
    let label = shown.cylinder_label();
    let title = ring.title();
    let fitted = ring.fitted.iter().find(|fitted| fitted.cylinder == label);
    let line = row(ui, LINE);
    let [of_ring, of_wanted, first, second, third] = columns(line);

    let kind = if view.ring == index { Look::Chosen } else { Look::Plain };
    let numbered = format!("{} {title}", index + 1);
    let button = Button { kind, ..Button::plain(Id::unique(("ring", index)), &numbered) };
    let place = Rect::from_min_size(of_ring.min, vec2(of_ring.width(), BUTTON));
    if button.show(ui, place, shown.t).clicked() {
        view.ring = index;
    }

    let rule = asked.wanted.rule(shown.units());
    let name = format!("{title}, gap wanted");
    let wanted = TextField::line(Id::unique(("wanted gap", index)), &name, &rule);
    if let Some(text) = cell_ui(ui, shown, view, index, of_wanted, wanted).committed {
        match typed::wanted(shown, &text) {
            Ok((gap, source)) => view.take(shown.project().wanted_gap_edit(index, gap, source), out),
            Err(why) => view.fault = Some(why),
        }
    }

    for (place, ((stage, words), cell)) in STAGES.into_iter().zip([first, second, third]).enumerate() {
        let value = fitted.and_then(|fitted| match stage {
            Stage::Delivered => fitted.delivered.as_ref(),
            Stage::Filed => fitted.filed.as_ref(),
            Stage::Final => fitted.fitted.as_ref(),
        });
        let name = format!("{title}, {words}");
        let value = value.map_or("", Quantity::text);
        let read = TextField::line(field(index, place), &name, value);
        let Some(text) = cell_ui(ui, shown, view, index, cell, read).committed else { continue };
        match typed::gap(shown, &text, (field(index, place), &mut view.asked)) {
            Ok(gap) => {
                view.take(shown.project().gap_edit(index, label, stage, gap), out);
                // The same stage of the next ring: type, Enter, next. A ring
                // that is being filed stays in hand: its next step stands
                // below.
                let rings = shown.project().rings.len().max(1);
                let next = if stage == Stage::Filed { index } else { (index + 1) % rings };
                view.next = Some(field(next, place));
                ui.ctx().request_repaint();
            }
            Err(why) => view.fault = Some(why),
        }
    }
}
