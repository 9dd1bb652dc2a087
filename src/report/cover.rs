//! The cover: which engine, what was decided, what is in the binder.

use crate::engine::Key;
use crate::project::Cooling;
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{gap, joined, ratio, typed};
use crate::study::{Verdict, words};

pub(crate) fn section(c: &Context<'_>, contents: &[(String, usize)]) -> Section {
    let project = c.project;
    let mut blocks = vec![identity(c)];
    if !project.notes.trim().is_empty() {
        blocks.push(Block::Heading("Notes".to_owned()));
        blocks.push(Block::Paragraph(project.notes.clone()));
    }
    blocks.push(Block::Table(decision(c)));
    blocks.push(Block::Paragraph(standing(c)));
    if !contents.is_empty() {
        blocks.push(Block::Table(listed(contents)));
    }
    Section {
        title: "Cover and contents".to_owned(),
        heading: project.title.clone(),
        lead: super::context::DEFERS.to_owned(),
        kind: "Cover",
        blocks,
    }
}

/// A table of two columns without heads: what it is, and what it says.
fn facts(heading: &str, summary: &str, rows: impl IntoIterator<Item = (String, String)>) -> Block {
    let mut table = Table::new(heading, summary, [Column::left(""), Column::left("").growing()]);
    for (name, says) in rows {
        if !says.is_empty() {
            table.row([Cell::text(name), Cell::strong(says)]);
        }
    }
    Block::Table(table)
}

fn identity(c: &Context<'_>) -> Block {
    let project = c.project;
    let engine = &project.engine;
    let nominal =
        |key: Key| engine.nominal.get(key).map(|entry| typed(key, &entry.value)).unwrap_or_default();
    let cooling = match engine.cooling {
        Cooling::Air => "air-cooled",
        Cooling::Water => "water-cooled",
    };
    let plural =
        |count: usize, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
    let material = |name: &str, says: &str| {
        if says.is_empty() { None } else { Some(format!("{name}: {says}")) }
    };
    let m = &engine.materials;
    let materials = [
        material("case", &m.case),
        material(if engine.construction.is_block() { "block" } else { "barrels" }, &m.barrel),
        material("heads", &m.head),
        material("head gasket", &m.gasket),
        material("pistons", &m.piston),
    ];
    let rpm =
        |rpm: Option<f64>| rpm.map(|rpm| format!("{} a minute", words::plain(rpm, 0))).unwrap_or_default();
    facts(
        "The engine",
        "What the engine is",
        [
            ("Name".to_owned(), project.title.clone()),
            ("Number on the case".to_owned(), project.serial.clone()),
            ("Owner".to_owned(), project.owner.clone()),
            (
                "Built".to_owned(),
                format!(
                    "{}, {cooling}, {} under {}",
                    engine.construction.name().to_lowercase(),
                    plural(engine.cylinders.len(), "cylinder"),
                    plural(engine.heads.len(), "head")
                ),
            ),
            ("Use".to_owned(), project.duty.usage.map(|usage| usage.name().to_owned()).unwrap_or_default()),
            ("Bore, nominal".to_owned(), nominal(Key::Bore)),
            ("Stroke, nominal".to_owned(), nominal(Key::Stroke)),
            ("Materials".to_owned(), materials.into_iter().flatten().collect::<Vec<_>>().join("; ")),
            ("Fuel".to_owned(), project.duty.fuel.clone()),
            ("Working speed".to_owned(), rpm(project.duty.rated_rpm)),
            ("Never above".to_owned(), rpm(project.duty.max_rpm)),
        ],
    )
}

/// What was decided: the shim under every barrel, and what follows.
fn decision(c: &Context<'_>) -> Table {
    let wanted = match c.question.target {
        Some(target) => format!("As it stands; wanted ratio {}", words::plain(target.get(), 2)),
        None => "As it stands".to_owned(),
    };
    let barrels = c.project.engine.construction.has_barrels();
    let fitted = if barrels { "Base shim" } else { "Head gasket" };
    let mut table = Table::new(
        wanted,
        "What is fitted under or over each cylinder, and what follows",
        [
            Column::left("Cylinder"),
            Column::left("Head"),
            Column::number(fitted, "mm"),
            Column::number("Deck clearance", "mm"),
            Column::number("Squish", "mm"),
            Column::number("Static ratio", ""),
            Column::left("Limits").growing(),
        ],
    );
    for (i, (input, answer)) in c.question.cylinders.iter().zip(&c.answers.cylinders).enumerate() {
        let key = if barrels { Key::BaseShim } else { Key::GasketThickness };
        let entry = c.project.engine.entry(i, key);
        let fitted = match entry {
            Some((entry, _)) => Cell::strong(typed(key, &entry.value)).of(entry.value.base()),
            None => Cell::text("none").of(0.0),
        };
        let names = [Cell::text(input.label.as_str()), Cell::text(c.head_label(input.head)), fitted];
        let Some(solved) = answer.solved() else {
            let none = [Cell::text("–"), Cell::text("–"), Cell::text("–"), Cell::strong("can't exist")];
            table.row(names.into_iter().chain(none));
            continue;
        };
        let f = solved.engine.figures();
        let units = &c.units;
        let squish = crate::report::wording::doubted(
            crate::quantity::Kind::Length,
            f.squish_clearance,
            input.doubt.squish_clearance,
            units,
        );
        let cells = [
            Cell::text(joined(gap(f.deck_clearance, input.doubt.deck_clearance, units))).of(f.deck_clearance),
            Cell::strong(joined(squish)).of(f.squish_clearance),
            Cell::strong(joined(ratio(f.static_ratio, input.doubt.static_ratio))).of(f.static_ratio),
            Cell::text(verdicts(solved.judged.iter().map(|judged| &judged.verdict))),
        ];
        table.row(names.into_iter().chain(cells));
    }
    table
}

/// All verdicts of a cylinder in a few words, the worst first.
fn verdicts<'a>(all: impl Iterator<Item = &'a Verdict>) -> String {
    let mut counts = [0_usize; 4];
    for verdict in all {
        if let Some(count) = counts.get_mut(usize::from(verdict.severity())) {
            *count += 1;
        }
    }
    let words = ["inside", "not measured", "too near to call", "broken"];
    let told = counts.iter().zip(words).rev().filter(|(count, _)| **count > 0);
    let told: Vec<String> = told.map(|(count, word)| format!("{count} {word}")).collect();
    if told.is_empty() { "no limit set".to_owned() } else { told.join(", ") }
}

/// The heads and the engine as a whole in one paragraph.
fn standing(c: &Context<'_>) -> String {
    let mut says = Vec::new();
    for (i, head) in c.answers.heads.iter().enumerate() {
        if let Some(judged) = &head.judged {
            says.push(format!("Head {}: {}.", c.head_label(i), judged.sentence(&c.units)));
        }
    }
    says.extend(c.answers.engine.iter().map(|judged| format!("{}.", judged.sentence(&c.units))));
    let broken = c.answers.judged().filter(|judged| weighs_broken(&judged.verdict)).count();
    says.push(match broken {
        0 => "No limit is broken by what was measured.".to_owned(),
        1 => "One limit is broken; see open items and cautions.".to_owned(),
        broken => format!("{broken} limits are broken; see open items and cautions."),
    });
    says.join(" ")
}

fn weighs_broken(verdict: &Verdict) -> bool {
    super::context::weight(verdict) == crate::report::section::Weight::Broken
}

fn listed(contents: &[(String, usize)]) -> Table {
    let columns = [Column::left(""), Column { least: 12.0, ..Column::right("") }];
    let mut table = Table::new("Contents", "The sheets of this binder and the page each begins on", columns);
    for (title, page) in contents {
        table.row([Cell::text(title.as_str()), Cell::text(page.to_string())]);
    }
    table
}
