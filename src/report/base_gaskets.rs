//! The base gaskets of a two-stroke as a ladder: each height with its squish
//! and its ports, and the same squish had by the head.

use crate::advise::gaskets::{Effect, Rung};
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::table::{Cell, Column, Table};
use crate::study::words::plain;

/// A height as it stands in the ladder.
#[derive(Clone, Copy)]
pub(crate) struct Step<'a> {
    /// What comes of it.
    pub rung: &'a Rung,
    /// Whether it is the best one.
    pub best: bool,
    /// Whether it lies there now.
    pub fitted: bool,
}

/// Returns the heights, a row each with what is heard of it.
pub(crate) fn ladder_table<'a>(units: &UnitChoice, steps: impl IntoIterator<Item = Step<'a>>) -> Table {
    let mut table = Table::new(
        "",
        "Each height of the base gaskets with squish, ratio and ports, and the same squish by the head",
        [
            Column::left("Base"),
            Column::right("Squish"),
            Column::right("Ratio / trapped"),
            Column::right("Opens"),
            Column::right("closes"),
            Column::right("open"),
            Column::right("By head: ratio"),
        ],
    );
    for step in steps {
        let (words, spoken) = told(units, step);
        table.row(words.map(Cell::text));
        table.spoken.push(spoken);
    }
    table
}

/// The cells of a row, and what is heard of it.
fn told(units: &UnitChoice, Step { rung, best, fitted }: Step<'_>) -> ([String; 7], String) {
    let base_height = write(Kind::Length, rung.height_mm, None, units);
    let mark = match (best, fitted) {
        (true, true) => ", best, fitted",
        (true, false) => ", best",
        (false, true) => ", fitted",
        (false, false) => "",
    };
    let pieces = match rung.pieces.len() {
        0 => String::new(),
        count => format!(" in {count}"),
    };
    let squish = |effect: &Effect| {
        write(Kind::Length, effect.engine.figures().squish_clearance, None, units).to_string()
    };
    let ratio = |effect: &Effect| {
        let f = effect.engine.figures();
        let trapped = f.effective_ratio.map_or_else(String::new, |ratio| format!(" / {}", plain(ratio, 2)));
        plain(f.static_ratio, 2) + &trapped
    };
    let none = || "–".to_owned();
    let base = rung.by_base.as_ref();
    let port = base.and_then(|effect| effect.port);
    let angle = |of: Option<f64>| of.map_or_else(none, |deg| format!("{}°", plain(deg, 1)));
    let words = [
        format!("{base_height}{pieces}{mark}"),
        base.map_or_else(|| "meets".to_owned(), squish),
        base.map_or_else(none, ratio),
        angle(port.map(|port| port.opens_deg)),
        angle(port.map(|port| port.closes_deg)),
        angle(port.map(|port| port.open_for_deg())),
        rung.by_head.as_ref().map_or_else(none, ratio),
    ];
    let broken: Vec<String> = base
        .map_or_else(Vec::new, |effect| effect.broken.iter().map(|judged| judged.sentence(units)).collect());
    let spoken = format!(
        "{}: squish {}, ratio {}, port opens {} after and closes {} before top dead centre, open for {}; the same squish \
         by the head: ratio {}. {}",
        words[0],
        words[1],
        words[2],
        words[3],
        words[4],
        words[5],
        words[6],
        broken.join(". ")
    );
    (words, spoken)
}
