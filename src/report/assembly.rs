//! The assembly log: the checklist of the bench with what was read, who did
//! it and when; and what was written down beside it.

use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::schema::BenchStep;
use crate::study::bench::checklist;
use crate::study::cautions::Decision;

const LEAD: &str = "Filled in during the work, not after it. Torques are the maker's figures as the builder gave them; \
    this program offers none. Stages that the maker does not state are common practice.";
const NOT_BEGUN: &str = "No checklist was begun at the bench. The steps below follow from how the engine is built; strike \
    through what does not apply.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut blocks = Vec::new();
    let proposed;
    let steps = if c.project.bench.is_empty() {
        blocks.push(Block::Paragraph(NOT_BEGUN.to_owned()));
        proposed = checklist(c.question);
        &proposed
    } else {
        &c.project.bench
    };
    for chapter in steps.chunk_by(|a, b| a.chapter == b.chapter) {
        blocks.push(Block::Table(table(chapter)));
    }
    blocks.push(Block::Table(log(c)));
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Notes(c.beside(&[Decision::Torque, Decision::TurningOver, Decision::FirstRun])));
    Section {
        title: "Assembly log".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Checklist of the bench",
        blocks,
    }
}

fn table(steps: &[BenchStep]) -> Table {
    let heading = steps.first().map_or("", |step| step.chapter.as_str());
    let heading = if heading.is_empty() { "Steps" } else { heading };
    let mut table = Table::new(
        heading,
        "Steps of the job with reading or torque, initials and time",
        [
            Column::pen("Done", 9.0),
            Column::left("Step").growing(),
            Column::pen("Reading, torque", 36.0),
            Column::pen("By", 12.0),
            Column::pen("When", 27.0),
        ],
    )
    .to_fill_in(7.0);
    for step in steps {
        let torque = step.torque.as_ref().map(|torque| {
            let source =
                if torque.source.is_empty() { String::new() } else { format!(" ({})", torque.source) };
            format!("{}{source}", torque.stages_text())
        });
        let read: Vec<String> =
            torque.into_iter().chain([step.reading.clone()]).filter(|text| !text.is_empty()).collect();
        table.row([
            Cell::text(if step.done { "×" } else { "" }),
            Cell::text(step.what.as_str()),
            Cell::strong(read.join("; ")),
            Cell::text(step.who.as_str()),
            Cell::text(step.when.as_str()),
        ]);
    }
    table
}

fn log(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Written down",
        "What was done and decided, in order",
        [Column::left("When"), Column::left("Who"), Column::left("What").growing()],
    );
    for entry in &c.project.log {
        table.row([
            Cell::text(entry.date.as_str()),
            Cell::text(entry.who.as_str()),
            Cell::text(entry.text.as_str()),
        ]);
    }
    table
}
