//! The work order: which part goes where, how far chambers are opened, which
//! gasket, and what the machinist takes off.

use crate::advise::budget::Budget;
use crate::advise::cuts::{Cut, Goal as CutGoal, Where, both_units, cuts};
use crate::advise::gaskets::{Offered, choose, graded};
use crate::advise::matching::{Goal, Opening, Swap, open, pair, swap};
use crate::engine::Key;
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::context::Context;
use crate::report::section::{Block, Section};
use crate::report::table::{Cell, Column, Field, Table};
use crate::report::wording::{gap, joined, ratio};
use crate::schema::limit::{Limit, LimitId};
use crate::study::Question;
use crate::study::build::{Construction, Cycle};
use crate::study::cautions::Decision;
use crate::study::level::{Level, top};
use crate::study::verdict::TOUCH;
use crate::study::words::plain;

const LEAD: &str = "What can be done to the parts: pair them, match the chambers, choose the gasket, cut. Each part of this \
    sheet, and each cut, is computed from the engine as it stands now and is one way, not one of several to add up. \
    Do one, measure, enter what it gave, and print the sheet again before the next.";
const CUT_RULES: &str = "The machinist has the last word on what a part can lose. Measure each part again before it is cut \
    and again after; the least thickness that must remain is the maker's figure. After a cut check valve to piston, \
    pushrod or chain length and the timing, and fill the chambers again.";
/// Looks of the searches: beyond that the sheet says that nothing is proved.
const MAX_NODES: u64 = 60_000;

pub(crate) fn section(c: &Context<'_>) -> Section {
    let mut blocks = pairing(c);
    blocks.extend(chambers(c));
    blocks.extend(gaskets(c));
    blocks.extend(machining(c));
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
fn said(heading: &str, sentence: String) -> Vec<Block> {
    vec![Block::Heading(heading.to_owned()), Block::Paragraph(format!("{sentence}."))]
}

fn pairing(c: &Context<'_>) -> Vec<Block> {
    const HEADING: &str = "Pairing before shims";
    let found = match pair(c.question, &c.project.pairing_locks(), &mut Budget::new(MAX_NODES, &|| false)) {
        Ok(found) => found,
        Err(why) => return said(HEADING, why),
    };
    let told = found.sentence(&c.units);
    if !found.moves() {
        return said(HEADING, told.trim_end_matches('.').to_owned());
    }
    let mut table = Table::new(
        HEADING,
        "Which rod, piston and barrel goes into each hole, by the cylinder it comes from",
        [
            Column::left("Hole of cylinder"),
            Column::left("Rod from"),
            Column::left("Piston from"),
            Column::left("Barrel from"),
            Column::right("Deck now, no shim"),
            Column::right("Deck then, no shim"),
        ],
    );
    for (hole, seat) in found.seats.iter().enumerate() {
        let from = |place: usize| {
            if place == hole { Cell::text("stays") } else { Cell::strong(c.label(place)) }
        };
        let deck = |decks: &[f64]| {
            let mm = decks.get(hole).copied().unwrap_or_default();
            Cell::text(joined(gap(mm, None, &c.units))).of(mm)
        };
        table.row([
            Cell::text(c.label(hole)),
            from(seat.rod),
            from(seat.piston),
            from(seat.barrel),
            deck(&found.now.decks_mm),
            deck(&found.then.decks_mm),
        ]);
    }
    vec![
        Block::Table(table),
        Block::Paragraph(format!(
            "{told} Look at the clearance of each piston in its new bore before it is moved; matched weights and marks \
             stay together."
        )),
    ]
}

fn chambers(c: &Context<'_>) -> Vec<Block> {
    const HEADING: &str = "Chambers";
    // To the wanted ratio where all can be opened to it; else to each other.
    let opens = |all: &[Opening]| all.iter().all(|o| o.open_cc >= 0.0);
    let wanted = open(c.question, Goal::Wanted).ok().filter(|all| opens(all));
    let (goal, told) = match wanted {
        Some(all) => ("to the wanted ratio", Ok(all)),
        None => ("so that all ratios are that of the lowest", open(c.question, Goal::Ratios)),
    };
    let all = match told {
        Ok(all) => all,
        Err(why) => return said(HEADING, why),
    };
    let fields = [&CYLINDER, &HOLDS, &OPEN_BY, &TO_HOLD, &TOLERANCE, &RATIO_NOW, &RATIO_THEN, &FILLED_AFTER];
    let table = openings(c.question, &c.units, &all, &format!("Chambers, opened {goal}"), &fields);
    let mut blocks = vec![Block::Table(table)];
    if let Ok(found) = swap(c.question, &mut Budget::new(MAX_NODES, &|| false))
        && found.then < found.now - 1e-9
    {
        let (moves, what) = (swap_moves(c.question, &found), swap_measure(c.question));
        blocks.push(Block::Paragraph(format!(
            "If the heads can be swapped, that comes first: {}. It brings {what} from {:.2} to {:.2} without any cut.",
            moves,
            found.now,
            found.then
        )));
    }
    blocks
}

/// Returns what a swap of heads brings nearer together.
pub(crate) fn swap_measure(question: &Question) -> &'static str {
    if question.target.is_some() {
        "the worst distance from the wanted ratio"
    } else {
        "the difference of the ratios"
    }
}

/// Returns which head goes where: "head R where L is, head L where R is".
pub(crate) fn swap_moves(question: &Question, swap: &Swap) -> String {
    let label = |head: usize| question.heads.get(head).map_or("", |head| head.label.as_str());
    let moved = swap.heads.iter().enumerate().filter(|(place, from)| place != *from);
    let told = moved.map(|(place, &from)| format!("head {} where {} is", label(from), label(place)));
    told.collect::<Vec<_>>().join(", ")
}

/// How far one chamber is opened.
struct Chamber {
    label: String,
    opening: Opening,
    units: UnitChoice,
}

impl Chamber {
    fn volume(&self, cc: f64) -> String {
        write(Kind::Volume, cc, Some(2), &self.units).to_string()
    }

    /// Whether it is not yet larger than it should be, to half of the last
    /// digit shown.
    fn opens(&self) -> bool {
        self.opening.open_cc >= -5e-4
    }

    fn open_by(&self) -> Cell {
        if !self.opens() {
            return Cell::text("–");
        }
        let cc = self.opening.open_cc.max(0.0);
        Cell::strong(self.volume(cc)).of(cc)
    }

    fn to_hold(&self) -> Cell {
        let cc = if self.opens() { self.opening.leave_cc() } else { self.opening.now_cc };
        Cell::strong(self.volume(cc)).of(cc)
    }

    fn ratio_then(&self) -> f64 {
        if self.opens() { self.opening.ratio_then } else { self.opening.ratio_now }
    }
}

// What is told of a chamber, each column once.

const CYLINDER: Field<Chamber> =
    Field { column: || Column::left("Cylinder"), cell: |chamber| Cell::text(chamber.label.as_str()) };
const HOLDS: Field<Chamber> = Field {
    column: || Column::number("Holds", "cc"),
    cell: |chamber| Cell::text(chamber.volume(chamber.opening.now_cc)).of(chamber.opening.now_cc),
};
const OPEN_BY: Field<Chamber> = Field { column: || Column::number("Open by", "cc"), cell: Chamber::open_by };
const TO_HOLD: Field<Chamber> = Field { column: || Column::number("To hold", "cc"), cell: Chamber::to_hold };
const TOLERANCE: Field<Chamber> = Field {
    column: || Column::right("Tolerance"),
    cell: |chamber| Cell::text(format!("±{}", chamber.volume(chamber.opening.tolerance_cc))),
};
const RATIO_NOW: Field<Chamber> = Field {
    column: || Column::number("Ratio now", ""),
    cell: |chamber| Cell::text(plain(chamber.opening.ratio_now, 2)).of(chamber.opening.ratio_now),
};
const RATIO_THEN: Field<Chamber> = Field {
    column: || Column::number("Ratio then", ""),
    cell: |chamber| Cell::text(plain(chamber.ratio_then(), 2)).of(chamber.ratio_then()),
};
const FILLED_AFTER: Field<Chamber> =
    Field { column: || Column::pen("Filled after", 20.0).growing(), cell: |_| Cell::text("") };

fn openings(
    question: &Question,
    units: &UnitChoice,
    all: &[Opening],
    heading: &str,
    fields: &[&Field<Chamber>],
) -> Table {
    let chamber = |opening: &Opening| Chamber {
        label: question.cylinders.get(opening.cylinder).map_or_else(String::new, |c| c.label.clone()),
        opening: opening.clone(),
        units: *units,
    };
    Table::of(heading, "How much to open each chamber", fields, all.iter().map(chamber))
}

/// Returns how far each chamber is opened, a row a chamber with what is heard
/// of it.
pub(crate) fn openings_table(question: &Question, units: &UnitChoice, all: &[Opening]) -> Table {
    let fields = [&CYLINDER, &HOLDS, &OPEN_BY, &TO_HOLD, &TOLERANCE, &RATIO_NOW, &RATIO_THEN];
    let table = openings(question, units, all, "", &fields);
    table.heads(["", "Holds", "Open by", "To hold", "Tolerance", "Ratio now", "Then"]).spoken(|cells| match cells {
        [label, holds, by, to, tolerance, now, then] => format!(
            "Chamber {label} holds {holds}, open by {by}, to hold {to}, tolerance {tolerance}, ratio {now}, then {then}"
        ),
        _ => String::new(),
    })
}

fn gaskets(c: &Context<'_>) -> Vec<Block> {
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
    match graded(c.question, &offered) {
        Ok(Some(by_class)) => notes.push(by_class.sentence(c.question, &offered, &c.units)),
        Ok(None) => {}
        Err(unknown) => {
            let labels: Vec<&str> = unknown.into_iter().map(|i| c.label(i)).collect();
            notes.push(format!(
                "No class is chosen while the deck of cylinder {} is not known",
                labels.join(", ")
            ));
        }
    }
    blocks.extend(notes.into_iter().map(|note| Block::Paragraph(format!("{note}."))));
    blocks
}

/// The cuts that could reach what the limits ask for.
fn machining(c: &Context<'_>) -> Vec<Block> {
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
