//! What is still open, and every caution that belongs to this engine.

use super::context::{capital, grouped, weight};
use crate::engine::{Key, Provenance};
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::section::{Note, Weight};
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{typed, word};
use crate::study::cautions::Decision;

const LEAD: &str = "What is broken, too near to call, not measured or not yet explained. Close each before the engine is \
    closed, and write down how.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut blocks = vec![Block::Heading("Limits".to_owned()), Block::Notes(limits(c))];
    let look = to_look_at(c);
    if !look.is_empty() {
        blocks.push(Block::Heading("To look at".to_owned()));
        blocks.push(Block::Notes(look));
    }
    blocks.push(Block::Table(not_measured(c)));
    blocks.push(Block::Heading("How each was closed".to_owned()));
    blocks.push(Block::Lines(4));
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Notes(c.beside(&Decision::ALL)));
    Section {
        title: "Open items and cautions".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Open items",
        blocks,
    }
}

/// Limits that are broken, too near, or without a verdict.
fn limits(c: &Context<'_>) -> Vec<Note> {
    let told = grouped(c, 1).into_iter().map(|(of, judged)| Note {
        weight: weight(&judged.verdict),
        text: format!("{}: {}.", capital(&of), judged.sentence(&c.units)),
    });
    let mut told: Vec<Note> = told.collect();
    if told.is_empty() {
        let text = "No limit is broken, near or without a verdict.".to_owned();
        told.push(Note { weight: Weight::Standing, text });
    }
    told
}

/// What looks wrong, cylinder by cylinder, and cylinders that can't exist.
fn to_look_at(c: &Context<'_>) -> Vec<Note> {
    let mut told = Vec::new();
    for (i, answer) in c.answers.cylinders.iter().enumerate() {
        let label = c.label(i);
        if let Err(faults) = &answer.result {
            for fault in faults {
                told.push(Note { weight: Weight::Broken, text: format!("Cylinder {label}: {fault}.") });
            }
        }
        for text in c.answers.to_look_at(i, &c.units) {
            told.push(Note { weight: Weight::Close, text: format!("Cylinder {label}: {text}.") });
        }
    }
    told
}

/// Dimensions that were never measured, all cylinders with the same value in
/// one row.
fn not_measured(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Not measured",
        "Dimensions that the figures use and that nobody measured, by cylinder",
        [
            Column::left("Dimension"),
            Column::right("Value"),
            Column::left("Known"),
            Column::left("Cylinders"),
            Column::left("How it is measured").growing(),
        ],
    );
    table.close = true;
    let engine = &c.project.engine;
    for key in Key::all() {
        let mut rows: Vec<(String, Provenance, Vec<&str>)> = Vec::new();
        for i in 0..engine.cylinders.len() {
            let Some((entry, _)) = engine.entry(i, key) else { continue };
            if entry.known == Provenance::Measured {
                continue;
            }
            let value = typed(key, &entry.value);
            match rows.iter_mut().find(|(text, known, _)| *text == value && *known == entry.known) {
                Some((_, _, labels)) => labels.push(c.label(i)),
                None => rows.push((value, entry.known, vec![c.label(i)])),
            }
        }
        for (value, known, labels) in rows {
            let all = labels.len() == engine.cylinders.len();
            table.row([
                Cell::text(key.name()),
                Cell::text(value),
                Cell::text(word(known)),
                Cell::text(if all { "all".to_owned() } else { labels.join(", ") }),
                Cell::text(key.row().measure),
            ]);
        }
    }
    table
}
