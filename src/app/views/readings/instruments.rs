//! The instruments: what each shows at the least, and how far repeated
//! readings stand from their middle.

use super::parts::{DropDown, ROW, caption, left_of, row, say, text_line};
use super::{ViewContext, typed};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::project::Edit;
use crate::quantity::{Quantity, Unit};
use crate::reading::{Instrument, catalogue};
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// Shows the page; `fault` is what was wrong with the last thing typed.
pub(super) fn instruments_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    fault: &mut Option<String>,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let all = &shown.project().instruments;
    caption(
        ui,
        "The ± is half the spread of repeated readings by one careful hand. Those offered are common practice in a home \
         shop; what you found with your own hands counts more.",
        t,
    );
    let mut changed: Option<Vec<Instrument>> = None;
    if !all.is_empty() {
        head_ui(ui, shown);
    }
    for (index, instrument) in all.iter().enumerate() {
        if let Some(next) = instrument_ui(ui, instrument, shown, fault) {
            let mut list = all.clone();
            match (next, list.get_mut(index)) {
                (Some(next), Some(place)) => *place = next,
                (None, _) => drop(list.remove(index)),
                (Some(_), None) => {}
            }
            changed = Some(list);
        }
    }
    if let Some(fault) = fault {
        say(ui, fault, semibold(text::CAPTION), t.warn);
    }
    let line = row(ui, ROW + 10.0).shrink2(vec2(0.0, 4.0));
    let offered: Vec<Instrument> = catalogue::tools()
        .iter()
        .filter(|tool| !all.iter().any(|known| known.id == tool.id))
        .filter_map(catalogue::Tool::instrument)
        .collect();
    let names: Vec<String> = offered.iter().map(super::conditions::instrument_words).collect();
    let choice = DropDown {
        id: Id::unique("add instrument"),
        name: "Add an instrument from the list",
        shown: "Add from the list …",
        options: &names,
        chosen: None,
        tooltip: "Instruments of a home shop, with an honest ± each",
    };
    if let Some(added) = choice.show(ui, left_of(line, 200.0), t).and_then(|i| offered.get(i)) {
        changed = Some(all.iter().cloned().chain([added.clone()]).collect());
    }
    let mut left = line.left() + 208.0;
    for (words, step) in [("Own length", "0.01 mm"), ("Own volume", "0.1 cc"), ("Own angle", "0.5 deg")] {
        let button = Button::plain(Id::unique(words), words);
        let size = button.size(ui.painter(), t);
        let rect = Rect::from_min_size(pos2(left, line.top() + 1.0), size);
        left = rect.right() + 6.0;
        if button.show(ui, rect, t).clicked()
            && let Ok(step) = Quantity::parse_with_unit(step)
        {
            let free = (1..).map(|n| format!("own {n}")).find(|id| !all.iter().any(|known| known.id == *id));
            let id = free.unwrap_or_default();
            let own = Instrument {
                name: format!("My {id}").replace("own ", "instrument "),
                id,
                repeatability: Some(step.clone()),
                step,
                note: String::new(),
            };
            changed = Some(all.iter().cloned().chain([own]).collect());
        }
    }
    if let Some(list) = changed {
        *fault = None;
        out.push(Command::Edit(Edit::SetInstruments(list), None));
    }
}

/// Left ends and widths of the columns.
fn columns(line: Rect) -> [Rect; 5] {
    let widths = [0.34, 0.15, 0.15, 0.23, 0.13];
    let mut left = line.left();
    widths.map(|share| {
        let width = line.width() * share;
        let cell = Rect::from_min_size(pos2(left, line.top() + 1.0), vec2(width - 6.0, line.height()));
        left += width;
        cell
    })
}

fn head_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let line = row(ui, 20.0);
    let words = ["Instrument", "Step", "Good to ±", "Checked against", ""];
    for (cell, words) in columns(line).into_iter().zip(words) {
        let at = pos2(cell.left(), cell.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, words, regular(text::CAPTION), shown.t.ink2);
    }
}

/// One instrument; what it became if something was changed, none if it is to
/// go.
fn instrument_ui(
    ui: &mut Ui,
    instrument: &Instrument,
    shown: &ViewContext<'_>,
    fault: &mut Option<String>,
) -> Option<Option<Instrument>> {
    let t = shown.t;
    let line = row(ui, ROW + 2.0).shrink2(vec2(0.0, 2.0));
    let [name, step, good, note, rest] = columns(line);
    let id = |what: &str| Id::unique(("instrument", instrument.id.as_str(), what));
    let spoken = |what: &str| format!("{what} of {}", instrument.name);
    let mut next = None;
    if let Some(words) = text_line(ui, name, (id("name"), &spoken("Name"), "what it is"), &instrument.name, t)
        && !words.is_empty()
    {
        next = Some(Instrument { name: words, ..instrument.clone() });
    }
    let unit = instrument.step.unit();
    let step_text = instrument.step.to_string();
    if let Some(words) = text_line(ui, step, (id("step"), &spoken("Step"), "0.01 mm"), &step_text, t) {
        match amount(instrument, &words, unit) {
            Ok(step) => next = Some(Instrument { step, ..instrument.clone() }),
            Err(why) => *fault = Some(format!("Step of {}: {why}", instrument.name)),
        }
    }
    let good_text = instrument.repeatability.as_ref().map(ToString::to_string).unwrap_or_default();
    if let Some(words) = text_line(ui, good, (id("good"), &spoken("±"), "not stated"), &good_text, t) {
        if words.is_empty() {
            next = Some(Instrument { repeatability: None, ..instrument.clone() });
        } else {
            match amount(instrument, &words, unit) {
                Ok(half) => next = Some(Instrument { repeatability: Some(half), ..instrument.clone() }),
                Err(why) => *fault = Some(format!("± of {}: {why}", instrument.name)),
            }
        }
    }
    let hint = (id("note"), &*spoken("Check"), "when, with what");
    if let Some(words) = text_line(ui, note, hint, &instrument.note, t) {
        next = Some(Instrument { note: words, ..instrument.clone() });
    }
    let used =
        shown.project().readings.iter().any(|r| r.instrument.as_deref() == Some(instrument.id.as_str()));
    if used {
        let at = pos2(rest.left(), rest.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, "in use", regular(text::CAPTION), t.ink3);
        return next.map(Some);
    }
    let words = format!("Remove {}", instrument.name);
    let button = Button { tooltip: &words, ..Button::plain(id("remove"), "Remove") };
    let size = button.size(ui.painter(), t).min(rest.size() + vec2(6.0, 4.0));
    let place = Rect::from_min_size(rest.min - vec2(0.0, 1.0), size);
    let clicked = button.show(ui, place, t).accessible_name(&words).clicked();
    if clicked { Some(None) } else { next.map(Some) }
}

/// A step or a ±, of the kind that the instrument reads; without a unit in
/// that of its step.
fn amount(instrument: &Instrument, words: &str, unit: Unit) -> Result<Quantity, String> {
    let value = typed::quantity(instrument.step.kind(), words, unit)?;
    if value.base() < 0.0 { Err("give 0 or more".to_owned()) } else { Ok(value) }
}
