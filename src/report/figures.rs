//! The figures of all cylinders with their doubts, and every limit with its
//! verdict.

use super::context::{capital, grouped};
use crate::quantity::Kind;
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{doubted, gap, joined, ratio, volume};
use crate::study::Verdict;
use crate::study::cautions::Decision;

const LEAD: &str = "± is the expanded uncertainty, about 95 %, as far as readings give one; a figure without it rests \
    on values whose doubt nobody knows. The tightest cylinder decides, never the mean.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let blocks = vec![
        Block::Table(figures(c)),
        Block::Table(limits(c)),
        Block::Table(doubts(c)),
        Block::Heading("Cautions".to_owned()),
        Block::Notes(c.beside(&[Decision::Ratio, Decision::Squish])),
    ];
    Section {
        title: "Figures and limits".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Figures",
        blocks,
    }
}

/// The figures, a row for each cylinder.
pub(crate) fn figures(c: &Context<'_>) -> Table {
    let has_effective = c
        .answers
        .cylinders
        .iter()
        .filter_map(|answer| answer.solved())
        .any(|solved| solved.engine.figures().effective_ratio.is_some());
    let mut columns = vec![
        Column::left("Cylinder"),
        Column::number("Deck clearance", "mm"),
        Column::number("Squish", "mm"),
        Column::number("Static ratio", ""),
    ];
    if has_effective {
        columns.push(Column::number("Effective ratio", ""));
    }
    columns.extend([
        Column::number("Clearance volume", "cc"),
        Column::number("Swept volume", "cc"),
        Column::number("True stroke", "mm"),
    ]);
    let mut table = Table::new("Figures", "The figures of each cylinder with their doubts", columns);
    table.close = true;
    let units = &c.units;
    for (input, answer) in c.question.cylinders.iter().zip(&c.answers.cylinders) {
        let mut row = vec![Cell::text(input.label.as_str())];
        match &answer.result {
            Err(faults) => {
                let why: Vec<String> = faults.iter().map(ToString::to_string).collect();
                row.push(Cell::text(format!("can't exist: {}", why.join("; "))));
            }
            Ok(solved) => {
                let (f, doubt) = (solved.engine.figures(), &input.doubt);
                let length = |mm, doubt| joined(doubted(Kind::Length, mm, doubt, units));
                row.push(
                    Cell::strong(joined(gap(f.deck_clearance, doubt.deck_clearance, units)))
                        .of(f.deck_clearance),
                );
                row.push(
                    Cell::strong(length(f.squish_clearance, doubt.squish_clearance)).of(f.squish_clearance),
                );
                row.push(Cell::strong(joined(ratio(f.static_ratio, doubt.static_ratio))).of(f.static_ratio));
                if has_effective {
                    row.push(match f.effective_ratio {
                        Some(value) => Cell::text(joined(ratio(value, doubt.effective_ratio))).of(value),
                        None => Cell::text("–"),
                    });
                }
                let clearance = joined(volume(f.clearance_volume, doubt.clearance_volume, units));
                row.push(Cell::text(clearance).of(f.clearance_volume));
                row.push(Cell::text(joined(volume(f.swept, None, units))).of(f.swept));
                let stroke = f.crank.true_stroke();
                row.push(Cell::text(length(stroke, None)).of(stroke));
            }
        }
        table.row(row);
    }
    table
}

/// Every limit, the broken ones first.
pub(crate) fn limits(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "Limits",
        "Every figure that has a limit, with the verdict and where the limit comes from",
        [
            Column::left("Of"),
            Column::left("What"),
            Column::right("Value"),
            Column::left("Limit"),
            Column::left("Verdict").growing(),
            Column::left("Source"),
        ],
    );
    for (of, judged) in grouped(c, 0) {
        let verdict = judged.may_text(&c.units).unwrap_or_else(|| judged.verdict_text(&c.units));
        let verdict = match judged.verdict {
            Verdict::Over { .. } | Verdict::TooNear => Cell::strong(verdict),
            Verdict::Inside { .. } | Verdict::Unknown { .. } => Cell::text(verdict),
        };
        let value = judged.value_text(&c.units);
        table.row([
            Cell::text(of),
            Cell::text(judged.what.name()),
            if judged.value.is_some() { Cell::strong(value) } else { Cell::text(value) },
            Cell::text(judged.limit_text(&c.units)),
            verdict,
            Cell::text(judged.source.as_str()),
        ]);
    }
    table
}

/// Where the doubts of the drawn cylinder come from.
fn doubts(c: &Context<'_>) -> Table {
    let label = c.label(c.cylinder);
    let mut table = Table::new(
        format!("Where the doubts of cylinder {label} come from"),
        "What each dimension adds to the doubt of each figure",
        [
            Column::left("Figure"),
            Column::left("Mostly from").growing(),
            Column::left("Doubt not known of").growing(),
        ],
    );
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    for propagated in solved.map_or(&[][..], |solved| &solved.uncertain) {
        let mut shares: Vec<_> = propagated.contributions.iter().filter(|from| from.share > 0.005).collect();
        shares.sort_by(|a, b| b.share.total_cmp(&a.share));
        let told = shares.iter().map(|from| {
            format!(
                "{} {} %",
                from.key.name().to_lowercase(),
                crate::study::words::plain(from.share * 100.0, 0)
            )
        });
        let told: Vec<String> = told.collect();
        let uncounted: Vec<String> =
            propagated.uncounted.iter().map(|key| key.name().to_lowercase()).collect();
        table.row([
            Cell::text(capital(propagated.figure.name())),
            Cell::text(if told.is_empty() { "no reading says".to_owned() } else { told.join(", ") }),
            Cell::text(if uncounted.is_empty() { "none".to_owned() } else { uncounted.join(", ") }),
        ]);
    }
    table
}
