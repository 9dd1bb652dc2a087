//! Position, volume and ratio against crank angle, drawn and as a table.

use crate::quantity::{Kind, write};
use crate::report::context::Context;
use crate::report::section::{Block, Curve, Picture, Section};
use crate::report::table::{Cell, Column, Table};
use crate::study::curves::at;
use crate::study::{Solved, words};

const LEAD: &str = "Every angle is degrees after piston top dead centre, as a degree wheel set with a positive stop \
    shows it.";

/// Angles of the table, degrees after top dead centre: close together where
/// the piston hardly moves.
const ANGLES: [f64; 13] = [0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0, 180.0];

pub(crate) fn section(c: &Context<'_>) -> Section {
    let label = c.label(c.cylinder);
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    let blocks = match solved {
        Some(solved) => {
            let drawn = [Curve::Position, Curve::Volume, Curve::Ratio];
            let drawn = drawn.into_iter().map(|curve| Block::Picture(Picture::Curve(curve)));
            drawn.chain([Block::Table(values(c, solved))]).collect()
        }
        None => {
            vec![Block::Paragraph("Nothing is drawn: this cylinder can't exist as it stands.".to_owned())]
        }
    };
    Section {
        title: format!("Cylinder {label}, curves"),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Curves against crank angle",
        blocks,
    }
}

fn values(c: &Context<'_>, solved: &Solved) -> Table {
    let mut table = Table::new(
        "Values",
        "Position, volume and ratio at some crank angles after top dead centre",
        [
            Column::number("Degrees after the top", "deg"),
            Column::number("Below the top", "mm"),
            Column::number("Volume", "cc"),
            Column::number("Ratio so far", ""),
        ],
    );
    table.close = true;
    for angle in ANGLES {
        let point = at(&solved.engine, angle);
        table.row([
            Cell::text(words::plain(angle, 0)).of(angle),
            Cell::text(write(Kind::Length, point.position_mm, None, &c.units).to_string())
                .of(point.position_mm),
            Cell::text(crate::report::wording::volume(point.volume_cc, None, &c.units).0).of(point.volume_cc),
            Cell::text(words::plain(point.ratio, 2)).of(point.ratio),
        ]);
    }
    table
}
