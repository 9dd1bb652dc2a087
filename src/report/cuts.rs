//! What the machinist takes off, so that the limits are held.

use super::work_order::said;
use crate::advise::cuts::{Cut, Goal as CutGoal, Where, both_units, cuts};
use crate::engine::Key;
use crate::quantity::{Kind, write};
use crate::report::context::Context;
use crate::report::section::Block;
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{joined, ratio};
use crate::schema::limit::{Limit, LimitId};
use crate::study::build::{Construction, Cycle};
use crate::study::level::{Level, top};
use crate::study::verdict::TOUCH;

/// Returns the cuts that could reach what the limits ask for.
pub(super) fn blocks(c: &Context<'_>) -> Vec<Block> {
    const HEADING: &str = "Machining";
    let mut table = Table::new(
        HEADING,
        "What to take off, what to leave, from where it is measured",
        [
            Column::left("Goal"),
            Column::left("Part"),
            Column::right("Remove"),
            Column::right("Leave"),
            Column::right("Tolerance"),
            Column::left("Measured").growing(),
        ],
    );
    let mut notes: Vec<String> = Vec::new();
    let build = &c.question.build;
    let block = build.construction == Construction::Block;
    let chamber = &c.project.engine.chamber;
    for head in 0..c.question.heads.len() {
        let under: Vec<usize> =
            c.question.cylinders.iter().enumerate().filter(|(_, i)| i.head == head).map(|(i, _)| i).collect();
        if under.is_empty() {
            continue;
        }
        let level = c.question.heads.get(head).is_some_and(|h| h.level) && !block && under.len() > 1;
        let mut goals: Vec<(String, CutGoal, Where)> = Vec::new();
        let tops = under.iter().filter_map(|&i| top(&c.question.cylinders.get(i)?.dims)).collect();
        let spread = Level::of(tops).map_or(0.0, |level| level.spread);
        let own = c.question.heads.get(head).and_then(|h| h.tolerance.as_ref()).map(Limit::base);
        let allowed = own.or(c.question.limits.value(LimitId::Level)).unwrap_or(0.0);
        if level && spread > allowed + TOUCH {
            goals.push(("level".to_owned(), CutGoal::Level, Where::BarrelTop));
        }
        if let Some(target) = c.question.target {
            let to = format!("ratio {}", joined(ratio(target.get(), None)));
            let goal = CutGoal::Ratio(target.get());
            if block {
                goals.push((to.clone(), goal, Where::BlockDeck));
            } else {
                // Tops under one head that must stay level aren't cut apart.
                if !level {
                    goals.push((to.clone(), goal, Where::BarrelTop));
                }
                goals.push((to.clone(), goal, Where::CaseFace));
            }
            goals.push((to, goal, Where::HeadFace));
        }
        if let Some(most) = c.question.limits.value(LimitId::SquishMax) {
            let to = format!("squish at most {}", write(Kind::Length, most, None, &c.units));
            goals.push((to, CutGoal::Squish(most), if block { Where::BlockDeck } else { Where::CaseFace }));
        }
        for (to, goal, of) in goals {
            match cuts(c.question, &under, of, goal, chamber) {
                Ok(all) => {
                    for cut in all.iter().filter(|cut| cut.remove_mm >= 5e-3) {
                        match broken(c, &to, cut) {
                            Some(why) => notes.push(why),
                            None => table.row(row(c, &to, cut)),
                        }
                    }
                }
                // What a cut can't do is no work for the machinist.
                Err(why) if why.contains("a cut can't do that") => {}
                Err(why) => notes.push(format!("For {to}: {why}.")),
            }
        }
    }
    if table.rows.is_empty() {
        let why = if notes.is_empty() {
            "No cut is needed for what the limits ask".to_owned()
        } else {
            notes.join(" ")
        };
        return said(HEADING, why.trim_end_matches('.').to_owned());
    }
    if build.cycle == Cycle::TwoStroke {
        notes.push("A cut at barrel or case lowers the ports too; a cut of the head leaves them.".to_owned());
    }
    notes.sort();
    notes.dedup();
    let mut blocks = vec![Block::Table(table)];
    blocks.extend(notes.into_iter().map(Block::Paragraph));
    blocks
}

fn row(c: &Context<'_>, to: &str, cut: &Cut) -> [Cell; 6] {
    let labels: Vec<&str> = cut.cylinders.iter().map(|&i| c.label(i)).collect();
    let mut leave = Cell::default();
    for (left, label) in cut.leave.iter().zip(&labels) {
        let text = match left.key {
            Key::ChamberVolume => {
                format!("chamber {label}: {}", write(Kind::Volume, left.value, Some(2), &c.units))
            }
            _ if cut.leave.len() > 1 => format!("{label}: {}", both_units(left.value)),
            _ => {
                leave.words.extend(twice(left.value).words);
                continue;
            }
        };
        leave.words.extend(Cell::text(text).words);
    }
    // Never wider than allowed: rounded down to what a machinist reads.
    let whole = cut.tolerance_mm.map(|mm| (mm * 100.0 + 1e-6).floor() / 100.0).filter(|mm| *mm > 0.0);
    let tolerance = whole.map_or_else(
        || Cell::text("to agree"),
        |mm| {
            let mut cell = twice(mm);
            for words in &mut cell.words {
                words.text.insert(0, '±');
            }
            cell
        },
    );
    let mut remove = twice(cut.remove_mm);
    for words in &mut remove.words {
        words.strong = true;
    }
    [
        Cell::text(to),
        Cell::text(format!("{}, {}", cut.of.name(), labels.join(", "))),
        remove.of(cut.remove_mm),
        leave,
        tolerance,
        Cell::text(cut.of.datum()),
    ]
}

/// A length in millimetres, and below it in inches.
fn twice(mm: f64) -> Cell {
    let text = both_units(mm);
    let (metric, inch) = text.split_once(" (").unwrap_or((text.as_str(), ""));
    let mut cell = Cell::text(metric);
    cell.words.extend(Cell::text(inch.trim_end_matches(')')).words);
    cell
}

/// What a cut would break.
fn broken(c: &Context<'_>, to: &str, cut: &Cut) -> Option<String> {
    let low = c.question.limits.value(LimitId::SquishMin)?;
    let least = cut.then.iter().map(|f| f.squish_clearance).min_by(f64::total_cmp)?;
    (least < low - 1e-9).then(|| {
        format!(
            "For {to} the {} of {} is not cut: squish would come down to {}, below the least of {}.",
            cut.of.name(),
            cut.cylinders.iter().map(|&i| c.label(i)).collect::<Vec<_>>().join(", "),
            write(Kind::Length, least, None, &c.units),
            write(Kind::Length, low, None, &c.units)
        )
    })
}
