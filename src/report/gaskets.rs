//! The head gaskets that are listed, each tried under every head.

use crate::advise::gaskets::{Offered, choose, graded};
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::context::Context;
use crate::report::section::Block;
use crate::report::table::{Cell, Column, Table};
use crate::report::wording::{joined, ratio};
use crate::study::Question;

/// Returns every gasket tried under every head, and the one of its class.
pub(super) fn blocks(c: &Context<'_>) -> Vec<Block> {
    const HEADING: &str = "Head gasket";
    let offered: Vec<Offered> = c.project.gaskets.iter().map(Offered::from).collect();
    if offered.is_empty() {
        return Vec::new();
    }
    let mut table = Table::new(
        HEADING,
        "Every gasket that is listed, tried under every head, best first",
        [
            Column::left("Head"),
            Column::left("Gasket"),
            Column::right("Crushed"),
            Column::right("Least squish"),
            Column::right("Ratio"),
            Column::left("Why").growing(),
        ],
    );
    let mut notes = Vec::new();
    for choice in choose(c.question, &offered) {
        for tried in &choice.tried {
            let Some(gasket) = offered.get(tried.offer) else { continue };
            let name = if tried.fitted { format!("{}, fitted", gasket.name) } else { gasket.name.clone() };
            let span = tried.ratio.map(|(low, high)| {
                let (low, high) = (joined(ratio(low, None)), joined(ratio(high, None)));
                if low == high { low } else { format!("{low} to {high}") }
            });
            let best = choice.best().is_some_and(|best| best.offer == tried.offer);
            table.row([
                Cell::text(c.head_label(choice.head)),
                if best { Cell::strong(name) } else { Cell::text(name) },
                Cell::text(write(Kind::Length, gasket.crushed_mm, None, &c.units).to_string()),
                Cell::text(tried.squish.map_or_else(
                    || "–".to_owned(),
                    |(least, _)| write(Kind::Length, least, None, &c.units).to_string(),
                )),
                Cell::text(span.unwrap_or_else(|| "–".to_owned())),
                Cell::text(tried.why(c.question, &c.units)),
            ]);
        }
        notes.extend(choice.missing);
    }
    notes.dedup();
    let mut blocks = vec![Block::Table(table)];
    notes.extend(by_class(c.question, &offered, &c.units).unwrap_or_else(Some));
    blocks.extend(notes.into_iter().map(|note| Block::Paragraph(format!("{note}."))));
    blocks
}

/// Returns which gasket the piston that stands highest chooses, without a full
/// stop; `None` where they are not graded.
///
/// # Errors
/// Why no class is chosen, while a deck is not known.
pub(crate) fn by_class(
    question: &Question,
    offered: &[Offered],
    units: &UnitChoice,
) -> Result<Option<String>, String> {
    let label = |place: usize| question.cylinders.get(place).map_or("", |input| input.label.as_str());
    let by_class = graded(question, offered).map_err(|unknown| {
        let labels: Vec<&str> = unknown.into_iter().map(label).collect();
        format!("No class is chosen while the deck of cylinder {} is not known", labels.join(", "))
    })?;
    Ok(by_class.map(|by_class| by_class.sentence(question, offered, units)))
}
