//! Which rod, piston and barrel goes into each hole, before any shim.

use super::work_order::{MAX_NODES, said};
use crate::advise::budget::Budget;
use crate::advise::matching::pair;
use crate::report::context::Context;
use crate::report::section::Block;
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{gap, joined};

/// Returns which part goes where.
pub(super) fn blocks(c: &Context<'_>) -> Vec<Block> {
    const HEADING: &str = "Pairing before shims";
    let found = match pair(c.question, &c.project.pairing_locks(), &mut Budget::new(MAX_NODES, &|| false)) {
        Ok(found) => found,
        Err(why) => return said(HEADING, why),
    };
    let told = found.sentence(&c.units);
    if !found.moves() {
        return said(HEADING, told.trim_end_matches('.').to_owned());
    }
    let mut table = Table::new(
        HEADING,
        "Which rod, piston and barrel goes into each hole, by the cylinder it comes from",
        [
            Column::left("Hole of cylinder"),
            Column::left("Rod from"),
            Column::left("Piston from"),
            Column::left("Barrel from"),
            Column::right("Deck now, no shim"),
            Column::right("Deck then, no shim"),
        ],
    );
    for (hole, seat) in found.seats.iter().enumerate() {
        let from = |place: usize| {
            if place == hole { Cell::text("stays") } else { Cell::strong(c.label(place)) }
        };
        let deck = |decks: &[f64]| {
            let mm = decks.get(hole).copied().unwrap_or_default();
            Cell::text(joined(gap(mm, None, &c.units))).of(mm)
        };
        table.row([
            Cell::text(c.label(hole)),
            from(seat.rod),
            from(seat.piston),
            from(seat.barrel),
            deck(&found.now.decks_mm),
            deck(&found.then.decks_mm),
        ]);
    }
    vec![
        Block::Table(table),
        Block::Paragraph(format!(
            "{told} Look at the clearance of each piston in its new bore before it is moved; matched weights and marks \
             stay together."
        )),
    ]
}
