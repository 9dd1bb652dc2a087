//! The base gaskets of a two-stroke as a ladder: each height with its squish
//! and ports, and next to it the same squish by the head instead, which leaves
//! the ports alone. A change plan needs both columns (trade knowledge).

use super::ports::{Port, on_base};
use crate::advise::what_if::{WhatIf, over};
use crate::engine::{Dims, Engine, Key, num::PI};
use crate::schema::limit::LimitId;
use crate::study::question::Question;
use crate::study::verdict::{Judgement, TOUCH, Verdict};

/// Greatest number of pieces under a barrel where no limit says otherwise
/// (common practice).
const PIECES: u32 = 3;
/// Greatest number of rungs: beyond that nobody reads a table.
const RUNGS: usize = 400;

/// The effect of one way of getting a squish.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Effect {
    /// The cylinder with this change.
    pub engine: Engine,
    /// The port; `None` where its closing is not known.
    pub port: Option<Port>,
    /// Limits that would be broken.
    pub broken: Vec<Judgement>,
    /// Whether a limit that is held rests on a value that nobody measured.
    pub unmeasured: bool,
}

/// One height of the base stack.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rung {
    /// Thickness of each piece, mm, thickest first.
    pub pieces: Vec<f64>,
    /// All pieces together, mm.
    pub height_mm: f64,
    /// Difference from the stack fitted now, mm: the barrel goes up by this.
    pub lift_mm: f64,
    /// Under the barrel: moves ports and squish. `None` where the engine could
    /// not exist.
    pub by_base: Option<Effect>,
    /// The same squish by head gasket or a cut of the head: moves squish and
    /// volume only.
    pub by_head: Option<Effect>,
}

impl Rung {
    /// Returns whether every limit is held with these pieces.
    #[must_use]
    pub(crate) fn holds(&self) -> bool {
        self.by_base.as_ref().is_some_and(|effect| effect.broken.is_empty())
    }
}

/// All heights that the pieces to hand give under one cylinder.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ladder {
    /// Index of the cylinder.
    pub cylinder: usize,
    /// The present port.
    pub now: Option<Port>,
    /// Lowest first; the one fitted now is always among them.
    pub rungs: Vec<Rung>,
    /// Index of the rung that holds every limit and comes nearest to the wanted
    /// ratio (without one, to the least squish).
    pub best: Option<usize>,
    /// What has to be known first, a sentence each.
    pub missing: Vec<String>,
}

/// Returns the ladder of one cylinder. `pieces` are (thickness mm, how many,
/// soft).
///
/// A stack is any choice of the pieces to hand that keeps the limits of pieces;
/// of several that are equally high the one of fewest pieces represents all.
#[must_use]
pub(crate) fn ladder(question: &Question, cylinder: usize, pieces: &[(f64, u32, bool)]) -> Ladder {
    let empty = |why: String| Ladder { cylinder, now: None, rungs: vec![], best: None, missing: vec![why] };
    let Some(input) = question.cylinders.get(cylinder) else {
        return empty("There is no such cylinder".to_owned());
    };
    let engine = match Engine::new(input.dims) {
        Ok(engine) => engine,
        Err(faults) => {
            return empty(faults.first().map_or_else(String::new, ToString::to_string));
        }
    };
    let mut missing = Vec::new();
    let now = Port::of(&engine);
    if now.is_none() {
        missing.push(
            "Port closing is not given: what the base gasket does to the ports can't be told".to_owned(),
        );
    }
    let usable: Vec<_> = pieces.iter().copied().filter(|p| p.0 > 0.0 && p.1 > 0).collect();
    if usable.is_empty() {
        missing.push("No base gasket is listed: give each thickness and how many there are".to_owned());
    }
    let fitted = input.dims.filled(Key::BaseShim).unwrap_or(0.0);
    let count = |id, default| question.limits.value(id).map_or(default, whole);
    let (least, most) = (count(LimitId::PiecesMin, 0), count(LimitId::PiecesMax, PIECES));
    let mut stacks = heights(&usable, least, most, count(LimitId::SoftPiecesMax, most));
    if !stacks.iter().any(|(height, _)| (height - fitted).abs() <= TOUCH) {
        stacks.push((fitted, Vec::new()));
    }
    stacks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rungs: Vec<Rung> = stacks
        .into_iter()
        .map(|(height_mm, pieces)| rung(question, cylinder, &engine, now, height_mm - fitted, pieces))
        .collect();
    let distance = |rung: &Rung| {
        let effect = rung.by_base.as_ref()?;
        let figures = effect.engine.figures();
        Some(match question.target {
            Some(target) => (figures.static_ratio - target.get()).abs(),
            None => figures.squish_clearance,
        })
    };
    let best = rungs
        .iter()
        .enumerate()
        .filter(|(_, rung)| rung.holds() && !rung.pieces.is_empty())
        .filter_map(|(i, rung)| Some((i, distance(rung)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(i, _)| i);
    Ladder { cylinder, now, rungs, best, missing }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count, clamped to 0")]
fn whole(count: f64) -> u32 {
    count.max(0.0) as u32
}

/// Returns every height that some choice of the pieces gives, with its fewest
/// pieces.
fn heights(pieces: &[(f64, u32, bool)], least: u32, most: u32, soft_most: u32) -> Vec<(f64, Vec<f64>)> {
    // (height, pieces, soft ones), grown by one sort of piece after another.
    let mut stacks: Vec<(f64, Vec<f64>, u32)> = vec![(0.0, Vec::new(), 0)];
    for &(thickness, count, soft) in pieces {
        let mut grown = stacks.clone();
        for (height, under, softs) in &stacks {
            let mut stack = under.clone();
            let (mut top, mut softs) = (*height, *softs);
            for _ in 0..count {
                stack.push(thickness);
                top += thickness;
                softs += u32::from(soft);
                if stack.len() > most as usize || softs > soft_most {
                    break;
                }
                grown.push((top, stack.clone(), softs));
            }
        }
        grown.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.len().cmp(&b.1.len())));
        // Equal heights of equally many pieces serve alike.
        grown.dedup_by(|b, a| (a.0 - b.0).abs() <= TOUCH && a.1.len() == b.1.len() && a.2 <= b.2);
        grown.truncate(RUNGS * 8);
        stacks = grown;
    }
    stacks.retain(|(_, stack, _)| stack.len() >= least as usize);
    stacks.sort_by(|a, b| {
        let same = (a.0 - b.0).abs() <= TOUCH;
        let height = if same { std::cmp::Ordering::Equal } else { a.0.total_cmp(&b.0) };
        height.then(a.1.len().cmp(&b.1.len()))
    });
    stacks.dedup_by(|b, a| (a.0 - b.0).abs() <= TOUCH);
    stacks.truncate(RUNGS);
    let thickest_first = |mut stack: Vec<f64>| {
        stack.sort_by(|a, b| b.total_cmp(a));
        stack
    };
    stacks.into_iter().map(|(height, stack, _)| (height, thickest_first(stack))).collect()
}

fn rung(
    question: &Question,
    cylinder: usize,
    engine: &Engine,
    now: Option<Port>,
    lift_mm: f64,
    pieces: Vec<f64>,
) -> Rung {
    let dims = engine.dims();
    let fitted = dims.filled(Key::BaseShim).unwrap_or(0.0);
    let crank = &engine.figures().crank;
    let lifted = now.and_then(|port| port.lifted(crank, lift_mm));
    let effect = |dims: Dims, port: Option<Port>| {
        let would = WhatIf::evaluate(question, cylinder, dims).ok()?;
        let mut broken: Vec<Judgement> = would.broken().cloned().collect();
        broken.sort_by(|a, b| over(b).total_cmp(&over(a)));
        let unmeasured = would.judged.iter().any(|j| matches!(j.verdict, Verdict::Unknown { .. }));
        Some(Effect { engine: would.engine, port, broken, unmeasured })
    };
    let based = on_base(dims, (fitted + lift_mm).max(0.0));
    Rung {
        pieces,
        height_mm: fitted + lift_mm,
        lift_mm,
        by_base: effect(based, lifted),
        by_head: by_head(dims, lift_mm).and_then(|dims| effect(dims, now)),
    }
}

/// Returns the dimensions with the head raised by `lift_mm` (lowered where
/// below 0): by another gasket where there is one and it stays above 0, else by
/// setting the band back and with it the slice of chamber between the sealing
/// face and the band, which spans the bore. `None` where the band would come
/// out of the face.
fn by_head(dims: &Dims, lift_mm: f64) -> Option<Dims> {
    let value = |key| dims.filled(key).unwrap_or(0.0);
    let gasket = value(Key::GasketThickness);
    if gasket > 0.0 && gasket + lift_mm > 0.0 {
        return Some(dims.with(Key::GasketThickness, gasket + lift_mm));
    }
    let step = value(Key::HeadStep) + lift_mm;
    if step < 0.0 && lift_mm < 0.0 {
        return None;
    }
    let bore = value(Key::Bore);
    let slice_cc = PI / 4.0 * bore * bore * lift_mm / 1000.0;
    let chamber = value(Key::ChamberVolume) + slice_cc;
    Some(dims.with(Key::HeadStep, step).with(Key::ChamberVolume, chamber))
}
