//! Valve clearances: a table to fill in at the bench.

use super::readings::plus_minus;
use crate::quantity::{Kind, write};
use crate::reading::{CrankAngle, Subject, Valve};
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::schema::limit::{Judged, LimitId};
use crate::study::cautions::Decision;

const LEAD: &str = "Least distance between piston and valve, measured with clay or an indicator on the valve, on overlap: \
    each valve on its own, not at full lift. Write down the least one of each row.";

/// Crank angles at which the distance is read: every 5° from 15° before to
/// 15° after top dead centre on overlap (common practice).
const ANGLES: [&str; 7] =
    ["15° before", "10° before", "5° before", "top dead centre", "5° after", "10° after", "15° after"];
/// Cylinders side by side in one table: a number in handwriting wants 18 mm.
const BESIDE: usize = 4;

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut blocks = vec![Block::Paragraph(limits(c))];
    blocks.extend(read(c).map(Block::Table));
    let labels: Vec<&str> = c.question.cylinders.iter().map(|input| input.label.as_str()).collect();
    for some in labels.chunks(BESIDE) {
        blocks.push(Block::Table(table(some)));
    }
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Notes(c.beside(&[Decision::Valve])));
    Section {
        title: "Valve clearances".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "To fill in at the bench",
        blocks,
    }
}

fn limits(c: &Context<'_>) -> String {
    let told = [("intake", LimitId::IntakeValveMin), ("exhaust", LimitId::ExhaustValveMin)].map(
        |(name, id)| match c.question.limits.get(id) {
            Some(limit) => {
                let least = write(Kind::Length, limit.base(), None, &c.units);
                format!("{name} at least {least} ({})", limit.support_text())
            }
            None => format!("{name}: no limit set, ask the maker's sheet"),
        },
    );
    format!("Limits: {}.", told.join("; "))
}

/// What was read so far: the least of each valve, the cylinder with the least
/// room first. `None` where nothing was.
fn read(c: &Context<'_>) -> Option<Table> {
    let mut rows: Vec<(f64, [Cell; 6])> = Vec::new();
    for (input, answer) in c.question.cylinders.iter().zip(&c.answers.cylinders) {
        for (valve, what) in [(Valve::Intake, Judged::ValveIntake), (Valve::Exhaust, Judged::ValveExhaust)] {
            let Some(evaluation) = input.measured.evaluation(&Subject::PistonToValve(valve)) else {
                continue;
            };
            let Some(estimate) = &evaluation.estimate else { continue };
            let at = evaluation.least_at.as_ref().map_or("not noted".to_owned(), CrankAngle::words);
            let judged = answer.solved().and_then(|solved| solved.judged.iter().find(|j| j.what == what));
            let verdict = judged.map_or("no limit set".to_owned(), |judged| judged.long_verdict(&c.units));
            let cells = [
                Cell::text(input.label.as_str()),
                Cell::text(valve.name()),
                Cell::strong(write(Kind::Length, estimate.value, None, &c.units).to_string()),
                Cell::text(plus_minus(&evaluation.of, estimate, c)),
                Cell::text(at),
                Cell::text(verdict),
            ];
            rows.push((estimate.value, cells));
        }
    }
    rows.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let columns = [
        Column::left("Cylinder"),
        Column::left("Valve"),
        Column::right("Least"),
        Column::right("Uncertainty"),
        Column::left("At"),
        Column::left("Verdict").growing(),
    ];
    let summary = "The least distance of each valve that was read, the tightest first";
    let mut table = Table::new("Read so far, the tightest first", summary, columns);
    let any = !rows.is_empty();
    rows.into_iter().for_each(|(_, cells)| table.row(cells));
    any.then_some(table)
}

fn table(labels: &[&str]) -> Table {
    let pair = |label: &&str| {
        [
            Column::pen(format!("Cyl. {label}, intake"), 18.0),
            Column::pen(format!("Cyl. {label}, exhaust"), 18.0),
        ]
    };
    let columns = std::iter::once(Column::left("Crank")).chain(labels.iter().flat_map(pair));
    let heading = match labels {
        [one] => format!("Cylinder {one}"),
        labels => format!("Cylinders {}", labels.join(", ")),
    };
    let summary = "Distances of intake and exhaust valve from the piston, to be filled in by hand";
    let mut table = Table::new(heading, summary, columns).to_fill_in(7.5);
    for angle in ANGLES {
        table.row([Cell::text(angle)]);
    }
    table.row([Cell::strong("least")]);
    table
}
