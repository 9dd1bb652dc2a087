//! The two towers, to a standard scale.

use crate::engine::{Key, Stack};
use crate::report::context::Context;
use crate::report::section::{Block, Picture, Section};
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{typed, word};
use crate::scene::cylinder::parts_input;
use crate::study::cautions::Decision;

const LEAD: &str = "How high the piston reaches beside how high the cylinder stands, from one floor, the crank \
    centre. What is left over is the deck clearance. Heights are to scale, widths mean nothing.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let label = c.label(c.cylinder);
    let mut blocks = Vec::new();
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    let drawn = solved.map(|solved| parts_input(&c.project.engine, &solved.engine));
    if let Some(Err(fault)) = drawn {
        blocks.push(Block::Paragraph(format!("Nothing is drawn. {fault}")));
    } else if drawn.is_some() {
        blocks.push(Block::Picture(Picture::Towers));
        blocks.push(Block::Table(chain(c)));
        blocks.push(Block::Notes(
            c.beside(&[Decision::Squish]).into_iter().filter(|note| note.text.contains("deck")).collect(),
        ));
    } else {
        blocks.push(Block::Paragraph("Nothing is drawn: this cylinder can't exist as it stands.".to_owned()));
    }
    Section {
        title: format!("Cylinder {label}, two towers"),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Chain of dimensions",
        blocks,
    }
}

/// The parts of both towers, as they were typed.
fn chain(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "The chain",
        "The dimensions that make up both towers, and how each is known",
        [
            Column::left("Tower"),
            Column::left("Dimension").growing(),
            Column::number("Value", "mm"),
            Column::left("Known"),
        ],
    );
    for key in Key::stack() {
        let Some((entry, _)) = c.project.engine.entry(c.cylinder, key) else { continue };
        let which = if key.row().stack == Stack::Top { "tower" } else { "reach" };
        table.row([
            Cell::text(which),
            Cell::text(key.name()),
            Cell::strong(typed(key, &entry.value)).of(entry.value.base()),
            Cell::text(word(entry.known)),
        ]);
    }
    table
}
