//! The work order: which part goes where, how far chambers are opened, which
//! gasket, and what the machinist takes off.

use super::{cuts, gaskets, openings, pairing};
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::study::cautions::Decision;

const LEAD: &str = "What can be done to the parts: pair them, match the chambers, choose the gasket, cut. Each part of this \
    sheet, and each cut, is computed from the engine as it stands now and is one way, not one of several to add up. \
    Do one, measure, enter what it gave, and print the sheet again before the next.";
const CUT_RULES: &str = "The machinist has the last word on what a part can lose. Measure each part again before it is cut \
    and again after; the least thickness that must remain is the maker's figure. After a cut check valve to piston, \
    pushrod or chain length and the timing, and fill the chambers again.";
/// Looks of the searches: beyond that the sheet says that nothing is proved.
pub(super) const MAX_NODES: u64 = 60_000;

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut blocks = pairing::blocks(c);
    blocks.extend(openings::blocks(c));
    blocks.extend(gaskets::blocks(c));
    blocks.extend(cuts::blocks(c));
    blocks.push(Block::Heading("Done".to_owned()));
    blocks.push(Block::Signatures(vec!["Ordered by".to_owned(), "Done by".to_owned()]));
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Paragraph(CUT_RULES.to_owned()));
    blocks.push(Block::Notes(c.beside(&[
        Decision::Ratio,
        Decision::Squish,
        Decision::Valve,
        Decision::Grinding,
        Decision::Filling,
    ])));
    Section {
        title: "Work order".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Work order",
        blocks,
    }
}

/// A heading with one sentence under it.
pub(super) fn said(heading: &str, sentence: String) -> Vec<Block> {
    vec![Block::Heading(heading.to_owned()), Block::Paragraph(format!("{sentence}."))]
}
