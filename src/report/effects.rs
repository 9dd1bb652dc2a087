//! What moves what, one table.

use crate::engine::Group;
use crate::quantity::{Kind, write};
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::study::answers::{Consequence, consequences_of};
use crate::study::cautions::Decision;
use crate::study::{Effect, Outputs, Solved, words};

const LEAD: &str = "What one sensible step more of each dimension does, everything else left alone, and how far that \
    dimension alone would have to move to reach the wanted ratio.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let label = c.label(c.cylinder);
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    let blocks = match solved {
        Some(solved) => vec![
            Block::Table(moves(c, solved)),
            Block::Heading("Cautions".to_owned()),
            Block::Notes(c.beside(&[Decision::Ratio])),
        ],
        None => vec![Block::Paragraph("Nothing to tell: this cylinder can't exist as it stands.".to_owned())],
    };
    Section {
        title: format!("Cylinder {label}, what moves what"),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Effects of dimensions",
        blocks,
    }
}

fn moves(c: &Context<'_>, solved: &Solved) -> Table {
    let alone = match c.question.target {
        Some(target) => format!("Alone to {}", words::plain(target.get(), 2)),
        None => "No ratio wanted".to_owned(),
    };
    let mut table = Table::new(
        "One step more",
        "For each dimension one step and what it does to deck, squish, clearance volume and ratio",
        [
            Column::left("Dimension"),
            Column::left("One step"),
            Column::number("Deck clearance", "mm"),
            Column::number("Squish", "mm"),
            Column::number("Clearance volume", "cc"),
            Column::number("Static ratio", ""),
            Column::right(alone),
            Column::left("But").growing(),
        ],
    );
    table.close = true;
    let now = Outputs::of_engine(&solved.engine);
    let mut rows: Vec<(&Effect, Outputs)> = solved
        .effects
        .iter()
        .filter(|e| e.key.row().group != Group::Timing)
        .map(|e| (e, change(e, &now)))
        .collect();
    rows.sort_by(|(_, a), (_, b)| b.static_ratio.abs().total_cmp(&a.static_ratio.abs()));
    let units = &c.units;
    for (effect, change) in rows {
        let gap = |mm: f64| Cell::text(words::gap_change(mm, None, units)).of(mm);
        let cc = units.unit(Kind::Volume).from_base(change.clearance_volume_cc);
        let (alone, but) = alone_to(c, effect);
        table.row([
            Cell::text(effect.key.name()),
            Cell::text(write(effect.key.kind(), effect.step, None, units).to_string()),
            gap(change.deck_clearance_mm),
            gap(change.squish_clearance_mm),
            Cell::text(words::change(cc, 2)).of(change.clearance_volume_cc),
            Cell::strong(words::change(change.static_ratio, 3)).of(change.static_ratio),
            Cell::text(alone),
            Cell::text(but),
        ]);
    }
    table
}

/// What one step does: computed anew, or along the slope where the step
/// leads to an impossible engine.
fn change(effect: &Effect, now: &Outputs) -> Outputs {
    let of =
        |after: Option<f64>, now: f64, slope: f64| after.map_or(slope * effect.step, |after| after - now);
    let after = effect.after_step.as_ref();
    Outputs {
        deck_clearance_mm: of(
            after.map(|a| a.deck_clearance_mm),
            now.deck_clearance_mm,
            effect.slope.deck_clearance_mm,
        ),
        squish_clearance_mm: of(
            after.map(|a| a.squish_clearance_mm),
            now.squish_clearance_mm,
            effect.slope.squish_clearance_mm,
        ),
        clearance_volume_cc: of(
            after.map(|a| a.clearance_volume_cc),
            now.clearance_volume_cc,
            effect.slope.clearance_volume_cc,
        ),
        static_ratio: of(after.map(|a| a.static_ratio), now.static_ratio, effect.slope.static_ratio),
    }
}

/// How far the dimension alone would have to move, and what stands against
/// it.
fn alone_to(c: &Context<'_>, effect: &Effect) -> (String, String) {
    if c.question.target.is_none() {
        return (String::new(), String::new());
    }
    let Some(to) = effect.to_target else { return ("cannot".to_owned(), String::new()) };
    let written = write(effect.key.kind(), to.change, None, &c.units);
    let sign = if to.change > 0.0 { "+" } else { "" };
    let (low, high) = effect.key.row().plausible;
    let but = match consequences_of(c.question, c.cylinder, effect.key, to.value) {
        Consequence::Faults(faults) => faults.first().map(|fault| fault.why.clone()),
        Consequence::Limits(judged) => judged
            .first()
            .map(|judged| format!("{} {}", judged.what.name().to_lowercase(), judged.value_text(&c.units))),
    };
    let outside = || (to.value < low || to.value > high).then(|| "out of all sense".to_owned());
    (format!("{sign}{written}"), but.or_else(outside).unwrap_or_default())
}
