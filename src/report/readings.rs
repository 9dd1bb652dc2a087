//! Every reading as it was read, with its instrument; what was struck out
//! stays visible.

use crate::quantity::{Kind, write};
use crate::reading::{DeckPlace, Estimate, Evaluation, Reading, State, Subject, evaluate};
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table, Words};
use crate::study::cautions::Decision;
use crate::study::words;

const LEAD: &str = "Raw values in the order in which they were read, as they were written down. What is crossed out \
    was read and does not count; nothing is deleted.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut blocks = Vec::new();
    if c.project.readings.is_empty() {
        blocks.push(Block::Paragraph(
            "No reading was entered. Every figure of this binder rests on typed values alone.".to_owned(),
        ));
    } else {
        blocks.push(Block::Table(raw(c)));
        blocks.push(Block::Table(means(c)));
        blocks.push(Block::Table(routes(c)));
    }
    if !c.project.instruments.is_empty() {
        blocks.push(Block::Table(instruments(c)));
    }
    blocks.push(Block::Notes(c.beside(&[Decision::Record])));
    Section {
        title: "Readings".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Raw readings",
        blocks,
    }
}

/// A subject at the start of a sentence.
pub(crate) fn subject(of: &Subject) -> String {
    super::context::capital(&of.name())
}

/// A value as it was written down: a gap in words.
fn value(of: &Subject, text: &str) -> String {
    match (of, text.strip_prefix(['-', '\u{2212}'])) {
        (Subject::Deck, Some(proud)) => format!("{proud} proud"),
        _ => text.replace('-', "\u{2212}"),
    }
}

/// A mean in words.
fn mean(of: &Subject, base: f64, c: &Context<'_>) -> String {
    match of {
        Subject::Deck => words::gap(base, None, &c.units),
        of => write(of.kind(), base, None, &c.units).to_string(),
    }
}

fn place(place: &DeckPlace) -> String {
    match place {
        DeckPlace::Crank(angle) => return format!("{} on overlap", angle.words()),
        DeckPlace::PinAxisFront => "pin axis, front",
        DeckPlace::PinAxisRear => "pin axis, rear",
        DeckPlace::PinAxis => "pin axis",
        DeckPlace::Thrust => "thrust side",
        DeckPlace::Antithrust => "anti-thrust side",
        DeckPlace::ThrustAxis => "across the pin",
        DeckPlace::Top => "top",
        DeckPlace::Middle => "middle",
        DeckPlace::Bottom => "bottom",
        DeckPlace::Other(words) => words,
    }
    .to_owned()
}

fn state(state: State) -> &'static str {
    match state {
        State::HeldByHand => "held by hand",
        State::Clamped => "clamped",
        State::FinalTorque => "final torque",
        State::Loose => "loose",
    }
}

/// The name of an instrument, or its id where it is not listed.
fn instrument(c: &Context<'_>, reading: &Reading) -> String {
    let Some(id) = &reading.instrument else { return "not noted".to_owned() };
    c.project.instrument(id).map_or_else(|| id.clone(), |instrument| instrument.name.clone())
}

/// Values one after the other; a unit that all of them carry stands once.
fn listed(values: &[String]) -> String {
    let split: Option<Vec<_>> = values.iter().map(|value| value.rsplit_once(' ')).collect();
    match split.as_deref() {
        Some([(_, unit), rest @ ..]) if !rest.is_empty() && rest.iter().all(|(_, other)| other == unit) => {
            let numbers: Vec<&str> = split.iter().flatten().map(|&(number, _)| number).collect();
            format!("{} {unit}", numbers.join(", "))
        }
        _ => values.join(", "),
    }
}

/// The raw values of a reading, and those that are struck out with why.
pub(crate) fn values(reading: &Reading) -> Cell {
    let counted: Vec<String> = reading
        .values
        .iter()
        .filter(|v| v.struck.is_none())
        .map(|v| value(&reading.of, v.value.text()))
        .collect();
    let mut cell = Cell::strong(listed(&counted));
    for struck in &reading.values {
        if let Some(why) = &struck.struck {
            let text = value(&reading.of, struck.value.text());
            cell = cell.and(Words { text, strong: false, struck: true });
            if !why.is_empty() {
                cell = cell.and(Words { text: format!("does not count: {why}"), ..Words::default() });
            }
        }
    }
    cell
}

fn raw(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "As read",
        "Every reading with place, raw values, instrument and how the parts were held",
        [
            Column::left("Cylinder"),
            Column::left("What"),
            Column::left("Where"),
            Column::left("Values").growing(),
            Column::left("Instrument"),
            Column::left("Held, shim, date, note"),
        ],
    );
    table.close = true;
    for reading in &c.project.readings {
        let shim = reading.shim.as_ref().map(|shim| format!("shim {}", shim.text()));
        let notes = [
            reading.state.map(|held| state(held).to_owned()),
            shim,
            Some(reading.date.clone()),
            Some(reading.note.clone()),
        ];
        let notes: Vec<String> = notes.into_iter().flatten().filter(|note| !note.is_empty()).collect();
        table.row([
            Cell::text(reading.cylinder.as_str()),
            Cell::text(subject(&reading.of)),
            Cell::text(reading.place.as_ref().map(place).unwrap_or_default()),
            values(reading),
            Cell::text(instrument(c, reading)),
            Cell::text(notes.join("; ")),
        ]);
    }
    table
}

/// What the readings of a project come to; a doubt that overflows is none
/// that can be told.
pub(crate) fn evaluations(c: &Context<'_>) -> Vec<Evaluation> {
    evaluate(&c.project.readings, &c.project.instruments).unwrap_or_default()
}

/// The expanded uncertainty of an estimate in its own unit.
pub(crate) fn plus_minus(of: &Subject, estimate: &Estimate, c: &Context<'_>) -> String {
    let expanded = estimate.uncertainty().expanded();
    format!("±{}", words::small(of.kind(), expanded, &c.units))
}

fn means(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Means",
        "The mean of each thing that was read, with its doubt and what to know about it",
        [
            Column::left("Cylinder"),
            Column::left("What"),
            Column::right("Mean"),
            Column::right("Uncertainty"),
            Column::left("To know").growing(),
        ],
    );
    table.close = true;
    for evaluation in evaluations(c) {
        let of = &evaluation.of;
        let estimate = evaluation.estimate.as_ref();
        let odd = evaluation.odd.iter().map(|odd| odd.sentence(of, &c.units));
        let remarks = evaluation.remarks.iter().map(|remark| remark.sentence(of, &c.units));
        let least = evaluation.least_at.iter().map(|angle| format!("Least {} on overlap", angle.words()));
        let notes: Vec<String> = least.chain(odd).chain(remarks).collect();
        table.row([
            Cell::text(evaluation.cylinder.as_str()),
            Cell::text(subject(of)),
            estimate.map_or_else(|| Cell::text("–"), |e| Cell::strong(mean(of, e.value, c))),
            Cell::text(estimate.map(|e| plus_minus(of, e, c)).unwrap_or_default()),
            Cell::text(notes.join(". ")),
        ]);
    }
    table
}

fn routes(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Two routes to one thing",
        "What was computed held against what was read on the assembled parts",
        [Column::left("Cylinder"), Column::left("What"), Column::left("Finding").growing()],
    );
    for (input, answer) in c.question.cylinders.iter().zip(&c.answers.cylinders) {
        for check in answer.solved().map_or(&[][..], |solved| &solved.routes) {
            table.row([
                Cell::text(input.label.as_str()),
                Cell::text(check.route.name()),
                Cell::text(check.sentence(&c.units)),
            ]);
        }
    }
    table
}

fn instruments(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Instruments",
        "The instruments, their step, their repeatability and what is known about them",
        [
            Column::left("Instrument"),
            Column::right("Step"),
            Column::right("Repeats within"),
            Column::left("Checked, and notes").growing(),
        ],
    );
    for instrument in &c.project.instruments {
        let repeats = instrument.repeatability.as_ref().map(|half| format!("±{}", half.text()));
        table.row([
            Cell::text(instrument.name.as_str()),
            Cell::text(instrument.step.text()),
            Cell::text(repeats.unwrap_or_else(|| "not stated".to_owned())),
            Cell::text(instrument.note.as_str()),
        ]);
    }
    table
}

/// Whether what is read is a volume of the space above the piston.
pub(crate) fn is_fill(of: &Subject) -> bool {
    of.kind() == Kind::Volume
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_that_all_values_carry_stands_once() {
        let list = |values: &[&str]| listed(&values.iter().map(|&v| v.to_owned()).collect::<Vec<_>>());
        assert_eq!(list(&["1.09 mm", "1.10 mm"]), "1.09, 1.10 mm");
        assert_eq!(list(&["1.09 mm", "43 thou"]), "1.09 mm, 43 thou");
        assert_eq!(list(&["3 1/2 in", "3 5/8 in"]), "3 1/2, 3 5/8 in");
        assert_eq!(list(&["1.09 mm"]), "1.09 mm");
        assert_eq!(list(&[]), "");
    }
}
