//! The chamber log: every fill of every chamber, and room for those that are
//! not done yet.

use super::readings::{evaluations, is_fill, plus_minus, subject, values};
use crate::engine::Key;
use crate::quantity::{Kind, write};
use crate::reading::Subject;
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{typed, word};
use crate::study::cautions::Decision;

const LEAD: &str = "Chambers filled under a flat plate on the sealing face, with the plug that will run. Fill each three \
    times; one low fill among others is most often a bubble, one high one a leak.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let blocks = vec![
        Block::Table(fills(c)),
        Block::Table(by_hand(c)),
        Block::Table(standing(c)),
        Block::Heading("Cautions".to_owned()),
        Block::Notes(c.beside(&[Decision::Filling])),
    ];
    Section {
        title: "Chamber log".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Fills",
        blocks,
    }
}

fn fills(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Fills as read",
        "Every fill with its mean, spread and doubt",
        [
            Column::left("Cylinder"),
            Column::left("What"),
            Column::left("Fills").growing(),
            Column::right("Mean"),
            Column::right("Spread"),
            Column::right("Uncertainty"),
        ],
    );
    for evaluation in evaluations(c).iter().filter(|evaluation| is_fill(&evaluation.of)) {
        let mut of_it = c
            .project
            .readings
            .iter()
            .filter(|reading| reading.cylinder == evaluation.cylinder && reading.of == evaluation.of);
        let mut cell = of_it.next().map(values).unwrap_or_default();
        for more in of_it {
            cell.words.extend(values(more).words);
        }
        let volume = |cc: f64| write(evaluation.of.kind(), cc, None, &c.units).to_string();
        let spread = evaluation
            .places
            .iter()
            .filter_map(|place| place.spread)
            .fold(None, |most: Option<f64>, s| Some(most.map_or(s, |most| most.max(s))));
        let estimate = evaluation.estimate.as_ref();
        table.row([
            Cell::text(evaluation.cylinder.as_str()),
            Cell::text(subject(&evaluation.of)),
            cell,
            estimate.map_or_else(|| Cell::text("–"), |e| Cell::strong(volume(e.value))),
            Cell::text(spread.map(volume).unwrap_or_default()),
            Cell::text(estimate.map(|e| plus_minus(&evaluation.of, e, c)).unwrap_or_default()),
        ]);
    }
    table
}

/// Room for the fills of chambers that were never filled.
fn by_hand(c: &Context<'_>) -> Table {
    let filled = |label: &str| {
        let chamber = Subject::Dimension(Key::ChamberVolume);
        c.project.readings.iter().any(|reading| reading.cylinder == label && reading.of == chamber)
    };
    let mut table = Table::new(
        "To fill in",
        "Chambers that were not filled yet",
        [
            Column::left("Cylinder"),
            Column::pen("Fill 1", 22.0),
            Column::pen("Fill 2", 22.0),
            Column::pen("Fill 3", 22.0),
            Column::pen("Mean", 20.0),
            Column::pen("Plug fitted", 18.0),
            Column::pen("Date, initials", 24.0).growing(),
        ],
    )
    .to_fill_in(8.5);
    for input in c.question.cylinders.iter().filter(|input| !filled(&input.label)) {
        table.row([Cell::text(input.label.as_str())]);
    }
    table
}

/// The volumes with which the figures were computed.
fn standing(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Volumes that the figures use",
        "The volumes as they were typed, and how each is known",
        [
            Column::left("Cylinder"),
            Column::left("What").growing(),
            Column::number("Volume", "cc"),
            Column::left("Known"),
        ],
    );
    table.close = true;
    for (i, input) in c.question.cylinders.iter().enumerate() {
        for key in Key::all().filter(|key| key.kind() == Kind::Volume) {
            let Some((entry, _)) = c.project.engine.entry(i, key) else { continue };
            let side = match (key, entry.value.base()) {
                (Key::CrownVolume, cc) if cc < 0.0 => ", a dome",
                (Key::CrownVolume, cc) if cc > 0.0 => ", a dish",
                _ => "",
            };
            table.row([
                Cell::text(input.label.as_str()),
                Cell::text(format!("{}{side}", key.name())),
                Cell::strong(typed(key, &entry.value)).of(entry.value.base()),
                Cell::text(word(entry.known)),
            ]);
        }
    }
    table
}
