//! The tables of the section page, for files that hold nothing but tables.
//! On paper the page is laid out by itself.

use crate::engine::Key;
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{typed, word};

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut table = Table::new(
        "Dimensions",
        "The dimensions of the cylinder as they were typed, and how each is known",
        [
            Column::left("Dimension"),
            Column::left("Value"),
            Column::number("In base unit", ""),
            Column::left("Known"),
        ],
    );
    for key in Key::all() {
        let Some((entry, _)) = c.project.engine.entry(c.cylinder, key) else { continue };
        table.row([
            Cell::text(key.name()),
            Cell::text(typed(key, &entry.value)),
            Cell::text(entry.value.base().to_string()).of(entry.value.base()),
            Cell::text(word(entry.known)),
        ]);
    }
    Section {
        title: format!("Cylinder {}, section", c.label(c.cylinder)),
        heading: String::new(),
        lead: String::new(),
        kind: "Section",
        blocks: vec![Block::Table(table)],
    }
}
