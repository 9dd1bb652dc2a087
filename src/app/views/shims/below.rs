//! Below the choices: whether what was computed and what was read agree with
//! the shims as they lie now, and the cautions of this decision.

use super::ShimsView;
use super::limits::notes_ui;
use crate::advise::shims::{Verification, verify};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::views::readings::parts::{caption, row, say};
use crate::app::views::readings::typed;
use crate::app::views::{Panel, ViewContext};
use crate::app::widgets::button::Button;
use crate::app::widgets::field::{self, QuantityField};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::paint;
use crate::clock::today;
use crate::engine::words::gap;
use crate::project::Edit;
use crate::quantity::{Kind, Quantity};
use crate::reading::{DeckPlace, Reading, Subject};
use crate::study::cautions::{self, Decision};
use crate::study::routes::Finding;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// Closes the loop: the deck computed with the shims that lie under each
/// barrel, against the one that was read.
pub(super) fn loop_ui(ui: &mut Ui, shown: &ViewContext<'_>, _: &mut ShimsView, out: &mut Vec<Command>) {
    if shown.project().engine.construction.is_block() {
        return;
    }
    let t = shown.t;
    let Some(head) = shown.question().cylinders.get(shown.cylinder).map(|c| c.head) else { return };
    let members = shown.question().cylinders.iter().enumerate().filter(|(_, c)| c.head == head);
    for (cylinder, _) in members {
        barrel_ui(ui, cylinder, shown, out);
    }
    let words =
        "Fit the shims, clamp the barrels as they will run, read the deck over the pin, front and rear.";
    caption(ui, words, t);
}

/// One barrel's final reading.
fn barrel_ui(ui: &mut Ui, cylinder: usize, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let project = shown.project();
    let Some(label) = project.engine.cylinders.get(cylinder).map(|c| c.label.as_str()) else { return };
    let remeasurement = project.remeasurement(cylinder);
    let answer = shown.answers().cylinders.get(cylinder).and_then(|answer| answer.solved());
    let expected = remeasurement.as_ref().map(|remeasurement| remeasurement.expected_mm);
    let expected = expected.or_else(|| answer.map(|solved| solved.engine.figures().deck_clearance));
    let says = match expected {
        Some(mm) => format!("Barrel {label}: expected {}", gap(mm, None, shown.units())),
        None => format!("Barrel {label}: nothing to expect yet"),
    };
    let line = row(ui, 28.0);
    paint::text_mid(ui.painter(), line.left_center(), Align::Min, &says, regular(text::DIMENSION), t.ink);
    let unit = shown.units().unit(Kind::Length);
    let check = |text: &str| typed::check(&Subject::Deck, text, unit);
    let entry = QuantityField {
        id: Id::unique(("final deck", label)),
        name: &format!("Deck read with these shims, cylinder {label}"),
        value: "",
        unit: unit.symbol(),
        known: if remeasurement.is_some() { ProvenanceMark::Measured } else { ProvenanceMark::Missing },
        moved: false,
        struck: false,
        check: &check,
        meaning: &|_| None,
    };
    let rect = Rect::from_min_size(pos2(line.left() + 230.0, line.top() + 3.0), field::SIZE);
    let done = entry.show(ui, rect, t);
    if let Some(value) = done.committed.and_then(|text| typed::taken(&Subject::Deck, &text, unit)) {
        out.push(Command::Edit(read_deck(shown, label, value), None));
    }
    let id = Id::unique(("readings of", label));
    let name = format!("Readings of cylinder {label}");
    let lead = Button::plain(id, &name).tooltip("All its readings, the odd ones and the uncertainty");
    let size = lead.size(ui.painter(), t);
    let at = Rect::from_min_size(pos2(line.right() - size.x, line.top()), size);
    if lead.show(ui, at, t).clicked() {
        out.push(Command::ShowCylinder(cylinder));
        out.push(Command::Show(Panel::Readings));
    }
    let notes: Vec<field::Note> = done.note.into_iter().collect();
    notes_ui(ui, &notes, shown);
    if let Some(remeasurement) = remeasurement {
        let ink = if remeasurement.finding == Finding::Part { t.warn } else { t.ink };
        say(ui, &remeasurement.sentence(shown.units()), semibold(text::CAPTION), ink);
    } else if let Some(closing @ (Verification::Stale(_) | Verification::NotMeasured)) =
        verify(shown.question(), shown.answers(), cylinder)
    {
        caption(ui, &format!("{label}: {}", closing.sentence(shown.units())), t);
    }
}

/// A value joins the readings that were taken over the same shims in the same
/// way.
fn read_deck(shown: &ViewContext<'_>, label: &str, value: Quantity) -> Edit {
    let project = shown.project();
    let (how, instrument) = project.next_reading(label, &Subject::Deck, &today());
    let reading = how.reading(label, &Subject::Deck, Some(DeckPlace::PinAxis));
    let same = |r: &Reading| Reading { values: Vec::new(), ..r.clone() } == reading;
    if let Some(reading) = project.readings.iter().position(same) {
        return Edit::AddValue { reading, value };
    }
    let mut reading = reading;
    reading.values.push(value.into());
    Edit::AddReading { reading: Box::new(reading), instrument: instrument.map(Box::new) }
}

/// The cautions of this decision.
pub(super) fn cautions_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let t = shown.t;
    let build = &shown.question().build;
    // Under a block gasket and cuts set the gap.
    let decisions: &[Decision] = if shown.project().engine.construction.is_block() {
        &[Decision::Shim, Decision::Squish, Decision::Valve]
    } else {
        &[Decision::Shim]
    };
    let mut all: Vec<&cautions::Caution> = Vec::new();
    for caution in decisions.iter().flat_map(|decision| cautions::cautions_for(*decision, build, None)) {
        if !all.contains(&caution) {
            all.push(caution);
        }
    }
    for caution in all {
        let room = ui.available_width() - 12.0;
        let galley = paint::wrapped(ui.painter(), caution.text, regular(text::CAPTION), t.ink2, room);
        let size = vec2(ui.available_width(), galley.size().y);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        ui.painter().circle_filled(rect.left_top() + vec2(3.0, 8.0), 2.0, t.ink2);
        ui.painter().galley(rect.left_top() + vec2(12.0, 0.0), galley, t.ink2);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, caution.text));
    }
}
