//! Lines to sign on.

use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::study::cautions::Decision;

const LEAD: &str =
    "Whoever signs has done it or has seen it done. A line that does not apply is struck through.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let lines = [
        "Measured: every reading in this binder was taken by me, with the instruments named.",
        "Machined: the faces named in this binder were cut by me, and measured afterwards.",
        "Decided: the parts fitted under and over each cylinder are those of this binder.",
        "Assembled: by the assembly log, to the maker's values, order and state of lubrication.",
        "Turned over by hand: two full turns, plugs out, without resistance, before any starter.",
        "Checked by a second person.",
    ];
    let mut blocks = vec![Block::Signatures(lines.map(str::to_owned).to_vec())];
    blocks.push(Block::Notes(c.beside(&[Decision::TurningOver, Decision::FirstRun])));
    Section {
        title: "Signatures".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "To be signed",
        blocks,
    }
}
