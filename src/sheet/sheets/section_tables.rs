//! The tables of the section page, for files that hold nothing but tables.
//! On paper the page is laid out by itself.

use crate::engine::Key;
use crate::sheet::binder::Context;
use crate::sheet::flow::{Item, Sheet};
use crate::sheet::table::{Cell, Column, Table};
use crate::sheet::wording::{typed, word};

pub(crate) fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
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
    Sheet {
        title: format!("Cylinder {}, section", c.label(c.cylinder)),
        heading: String::new(),
        lead: String::new(),
        kind: "Section",
        scale: String::new(),
        items: vec![Item::Table(table)],
    }
}
