//! Lines to sign on.

use crate::sheet::binder::Context;
use crate::sheet::flow::{Item, Sheet};
use crate::study::cautions::Decision;

const LEAD: &str =
    "Whoever signs has done it or has seen it done. A line that does not apply is struck through.";

pub(crate) fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
    let lines = [
        "Measured: every reading in this binder was taken by me, with the instruments named.",
        "Machined: the faces named in this binder were cut by me, and measured afterwards.",
        "Decided: the parts fitted under and over each cylinder are those of this binder.",
        "Assembled: by the assembly log, to the maker's values, order and state of lubrication.",
        "Turned over by hand: two full turns, plugs out, without resistance, before any starter.",
        "Checked by a second person.",
    ];
    let mut items = vec![Item::Signatures(lines.map(str::to_owned).to_vec())];
    items.push(Item::Cautions(c.beside(&[Decision::TurningOver, Decision::FirstRun])));
    Sheet {
        title: "Signatures".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "To be signed",
        scale: String::new(),
        items,
    }
}
