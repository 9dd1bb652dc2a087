//! How far the chambers are opened to match, and which head goes where.

use super::work_order::{MAX_NODES, said};
use crate::advise::budget::Budget;
use crate::advise::matching::{Goal, Opening, Swap, open, swap};
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::context::Context;
use crate::report::section::Block;
use crate::report::table::{Cell, Column, Field, Table};
use crate::study::Question;
use crate::study::words::plain;

/// Returns how far the chambers are opened, and whether to swap the heads first.
pub(super) fn blocks(c: &Context<'_>) -> Vec<Block> {
    const HEADING: &str = "Chambers";
    // To the wanted ratio where all can be opened to it; else to each other.
    let opens = |all: &[Opening]| all.iter().all(|o| o.open_cc >= 0.0);
    let wanted = open(c.question, Goal::Wanted).ok().filter(|all| opens(all));
    let (goal, told) = match wanted {
        Some(all) => ("to the wanted ratio", Ok(all)),
        None => ("so that all ratios are that of the lowest", open(c.question, Goal::Ratios)),
    };
    let all = match told {
        Ok(all) => all,
        Err(why) => return said(HEADING, why),
    };
    let fields = [&CYLINDER, &HOLDS, &OPEN_BY, &TO_HOLD, &TOLERANCE, &RATIO_NOW, &RATIO_THEN, &FILLED_AFTER];
    let table = openings(c.question, &c.units, &all, &format!("Chambers, opened {goal}"), &fields);
    let mut blocks = vec![Block::Table(table)];
    if let Ok(found) = swap(c.question, &mut Budget::new(MAX_NODES, &|| false))
        && found.then < found.now - 1e-9
    {
        let (moves, what) = (swap_moves(c.question, &found), swap_measure(c.question));
        blocks.push(Block::Paragraph(format!(
            "If the heads can be swapped, that comes first: {}. It brings {what} from {:.2} to {:.2} without any cut.",
            moves,
            found.now,
            found.then
        )));
    }
    blocks
}

/// Returns what a swap of heads brings nearer together.
pub(crate) fn swap_measure(question: &Question) -> &'static str {
    if question.target.is_some() {
        "the worst distance from the wanted ratio"
    } else {
        "the difference of the ratios"
    }
}

/// Returns which head goes where: "head R where L is, head L where R is".
pub(crate) fn swap_moves(question: &Question, swap: &Swap) -> String {
    let label = |head: usize| question.heads.get(head).map_or("", |head| head.label.as_str());
    let moved = swap.heads.iter().enumerate().filter(|(place, from)| place != *from);
    let told = moved.map(|(place, &from)| format!("head {} where {} is", label(from), label(place)));
    told.collect::<Vec<_>>().join(", ")
}

/// How far one chamber is opened.
struct Chamber {
    label: String,
    opening: Opening,
    units: UnitChoice,
}

impl Chamber {
    fn volume(&self, cc: f64) -> String {
        write(Kind::Volume, cc, Some(2), &self.units).to_string()
    }

    /// Whether it is not yet larger than it should be, to half of the last
    /// digit shown.
    fn opens(&self) -> bool {
        self.opening.open_cc >= -5e-4
    }

    fn open_by(&self) -> Cell {
        if !self.opens() {
            return Cell::text("–");
        }
        let cc = self.opening.open_cc.max(0.0);
        Cell::strong(self.volume(cc)).of(cc)
    }

    fn to_hold(&self) -> Cell {
        let cc = if self.opens() { self.opening.leave_cc() } else { self.opening.now_cc };
        Cell::strong(self.volume(cc)).of(cc)
    }

    fn ratio_then(&self) -> f64 {
        if self.opens() { self.opening.ratio_then } else { self.opening.ratio_now }
    }
}

// What is told of a chamber, each column once.

const CYLINDER: Field<Chamber> =
    Field { column: || Column::left("Cylinder"), cell: |chamber| Cell::text(chamber.label.as_str()) };
const HOLDS: Field<Chamber> = Field {
    column: || Column::number("Holds", "cc"),
    cell: |chamber| Cell::text(chamber.volume(chamber.opening.now_cc)).of(chamber.opening.now_cc),
};
const OPEN_BY: Field<Chamber> = Field { column: || Column::number("Open by", "cc"), cell: Chamber::open_by };
const TO_HOLD: Field<Chamber> = Field { column: || Column::number("To hold", "cc"), cell: Chamber::to_hold };
const TOLERANCE: Field<Chamber> = Field {
    column: || Column::right("Tolerance"),
    cell: |chamber| Cell::text(format!("±{}", chamber.volume(chamber.opening.tolerance_cc))),
};
const RATIO_NOW: Field<Chamber> = Field {
    column: || Column::number("Ratio now", ""),
    cell: |chamber| Cell::text(plain(chamber.opening.ratio_now, 2)).of(chamber.opening.ratio_now),
};
const RATIO_THEN: Field<Chamber> = Field {
    column: || Column::number("Ratio then", ""),
    cell: |chamber| Cell::text(plain(chamber.ratio_then(), 2)).of(chamber.ratio_then()),
};
const FILLED_AFTER: Field<Chamber> =
    Field { column: || Column::pen("Filled after", 20.0).growing(), cell: |_| Cell::text("") };

fn openings(
    question: &Question,
    units: &UnitChoice,
    all: &[Opening],
    heading: &str,
    fields: &[&Field<Chamber>],
) -> Table {
    let chamber = |opening: &Opening| Chamber {
        label: question.cylinders.get(opening.cylinder).map_or_else(String::new, |c| c.label.clone()),
        opening: opening.clone(),
        units: *units,
    };
    Table::of(heading, "How much to open each chamber", fields, all.iter().map(chamber))
}

/// Returns how far each chamber is opened, a row a chamber with what is heard
/// of it.
pub(crate) fn openings_table(question: &Question, units: &UnitChoice, all: &[Opening]) -> Table {
    let fields = [&CYLINDER, &HOLDS, &OPEN_BY, &TO_HOLD, &TOLERANCE, &RATIO_NOW, &RATIO_THEN];
    let table = openings(question, units, all, "", &fields);
    table.heads(["", "Holds", "Open by", "To hold", "Tolerance", "Ratio now", "Then"]).spoken(|cells| match cells {
        [label, holds, by, to, tolerance, now, then] => format!(
            "Chamber {label} holds {holds}, open by {by}, to hold {to}, tolerance {tolerance}, ratio {now}, then {then}"
        ),
        _ => String::new(),
    })
}
