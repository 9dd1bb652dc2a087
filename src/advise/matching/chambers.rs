//! Opening of chambers so that they match, and swaps of heads among the
//! barrels.

use super::even::{Problem, Way, solve, whole};
use super::parts::Part;
use crate::advise::budget::Budget;
use crate::engine::{Dims, Engine, Key};
use crate::schema::limit::LimitId;
use crate::study::Question;

/// The goal of opening the chambers. Metal is only ever taken away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Goal {
    /// All hold as much as the largest.
    Volumes,
    /// All cylinders have the ratio of the one with the lowest.
    #[default]
    Ratios,
    /// All cylinders have the wanted ratio.
    Wanted,
}

/// The spread of chambers where no limit says otherwise, cc (common practice).
const SPREAD: f64 = 1.0;

/// The opening of one chamber.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Index of its cylinder.
    pub cylinder: usize,
    /// Its present volume, cc.
    pub now_cc: f64,
    /// Volume to open it by, cc; below 0 where it already holds too much.
    pub open_cc: f64,
    /// Greatest error of the opening, cc: for the ratio to keep its tolerance,
    /// and half the spread that chambers may have, for two may be off to
    /// opposite sides. Where no such limit is set, 1 cc is taken (common
    /// practice for road engines; half of it for performance).
    pub tolerance_cc: f64,
    /// The present static ratio.
    pub ratio_now: f64,
    /// The static ratio after opening.
    pub ratio_then: f64,
}

impl Opening {
    /// Returns its volume after opening, cc.
    #[must_use]
    pub fn leave_cc(&self) -> f64 {
        self.now_cc + self.open_cc
    }
}

/// Returns the opening of each chamber.
///
/// From the ratio R = S/V + 1 with swept volume S and clearance volume V follow
/// the volume of a ratio, V = S/(R − 1), and its error, dV = S/(R − 1)²·dR.
///
/// # Errors
/// A sentence that says what has to be given or corrected first.
pub(crate) fn open(question: &Question, goal: Goal) -> Result<Vec<Opening>, String> {
    let mut engines = Vec::new();
    for cylinder in &question.cylinders {
        let engine = Engine::new(cylinder.dims).map_err(|faults| {
            let why = faults.first().map_or_else(String::new, ToString::to_string);
            format!("Cylinder {}: {why}", cylinder.label)
        })?;
        engines.push(engine);
    }
    let wanted = match goal {
        Goal::Wanted => question.target.map(|t| t.get()),
        _ => engines.iter().map(|e| e.figures().static_ratio).min_by(f64::total_cmp),
    };
    let Some(wanted) = wanted else {
        return Err(match goal {
            Goal::Wanted => "No ratio is wanted: give one in the limits".into(),
            _ => "There is no cylinder".into(),
        });
    };
    let held = |e: &Engine| e.dims().get(Key::ChamberVolume).unwrap_or(0.0);
    let largest = engines.iter().map(held).fold(f64::NEG_INFINITY, f64::max);
    let one = |(cylinder, engine): (usize, &Engine)| {
        let figures = engine.figures();
        let swept = figures.clearance_volume * (figures.static_ratio - 1.0);
        let open_cc = match goal {
            Goal::Volumes => largest - held(engine),
            Goal::Ratios | Goal::Wanted => swept / (wanted - 1.0) - figures.clearance_volume,
        };
        let ratio_then = swept / (figures.clearance_volume + open_cc) + 1.0;
        let of_ratio = question.limits.value(LimitId::RatioTolerance);
        let of_ratio = of_ratio.map(|dr| swept / ((ratio_then - 1.0) * (ratio_then - 1.0)) * dr);
        let of_spread = question.limits.value(LimitId::ChamberSpread).unwrap_or(SPREAD) / 2.0;
        Opening {
            cylinder,
            now_cc: held(engine),
            open_cc,
            tolerance_cc: of_ratio.map_or(of_spread, |cc| cc.min(of_spread)),
            ratio_now: figures.static_ratio,
            ratio_then,
        }
    };
    Ok(engines.iter().enumerate().map(one).collect())
}

/// A swap of heads.
#[derive(Clone, Debug, PartialEq)]
pub struct Swap {
    /// For each position of a head the head that goes there.
    pub heads: Vec<usize>,
    /// The present worst distance from the wanted ratio; without one, the
    /// spread of the ratios of the engine.
    pub now: f64,
    /// The same after the swap.
    pub then: f64,
    /// Whether it is proved that none is better.
    pub proved: bool,
}

/// Returns the best positions of the heads. A head can go where another with as
/// many chambers is, over barrels of the same bore; its chambers keep their
/// order.
///
/// # Errors
/// A sentence that says what has to be given or corrected first.
pub(crate) fn swap(question: &Question, budget: &mut Budget<'_>) -> Result<Swap, String> {
    let under: Vec<Vec<Dims>> = (0..question.heads.len())
        .map(|head| question.cylinders.iter().filter(|c| c.head == head).map(|c| c.dims).collect())
        .collect();
    let mut problem = Problem::default();
    let mut stands = Vec::new();
    for (place, cylinders) in under.iter().enumerate() {
        let mut ways = Vec::new();
        for (from, chambers) in under.iter().enumerate() {
            if chambers.len() != cylinders.len() {
                continue;
            }
            let ratio = |(dims, chamber): (&Dims, &Dims)| {
                let bores = [dims.get(Key::Bore)?, chamber.get(Key::Bore)?];
                if (bores[0] - bores[1]).abs() > 0.5 {
                    return None;
                }
                let mut dims = *dims;
                for key in Part::Chamber.keys() {
                    dims.set(key, chamber.get(key));
                }
                Some(Engine::new(dims).ok()?.figures().static_ratio)
            };
            let ratios: Option<Vec<f64>> = cylinders.iter().zip(chambers).map(ratio).collect();
            let Some(ratios) = ratios.filter(|ratios| !ratios.is_empty()) else { continue };
            // Distances from the wanted ratio are counted from 0.
            let values = ratios.iter().map(|r| question.target.map_or(*r, |t| (r - t.get()).abs()));
            let (low, high) =
                values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| (l.min(v), m.max(v)));
            let low = if question.target.is_some() { 0.0 } else { low };
            let moved = u32::from(from != place);
            ways.push(Way { uses: [from; 3], low: whole(low), high: whole(high), top: None, moved });
        }
        let Some(now) = ways.iter().find(|way| way.moved == 0) else {
            let label = question.heads.get(place).map_or("", |h| h.label.as_str());
            return Err(format!(
                "A cylinder under head {label} can't be computed as it stands: put its dimensions right first"
            ));
        };
        stands.push(*now);
        problem.places.push(ways);
    }
    if !problem.places.iter().any(|ways| ways.len() > 1) {
        return Err("No head can go where another stands: there is nothing to swap".into());
    }
    let spread = |ways: &[Way]| {
        let low = ways.iter().map(|w| w.low).min().unwrap_or(0);
        let high = ways.iter().map(|w| w.high).max().unwrap_or(0);
        (high - low) as f64 / 1e9
    };
    let found = solve(&problem, &stands, budget);
    let ways = found.ways.unwrap_or_else(|| stands.clone());
    Ok(Swap {
        heads: ways.iter().map(|way| way.uses[0]).collect(),
        now: spread(&stands),
        then: spread(&ways),
        proved: found.proved,
    })
}
