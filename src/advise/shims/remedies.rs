//! What else could make a choice possible: what each barrel wants, a shim to
//! buy, another gasket, work on the head, a cut.

use super::answer::HeadCase;
use super::choice::{ShimChoice, choice};
use super::question::ShimQuestion;
use super::search::{Bounds, find};
use super::stock::pm;
use super::table::StackTable;
use super::why::first;
use crate::advise::budget::Budget;
use crate::engine::{Engine, Key};
use crate::schema::Margin;
use crate::schema::limit::LimitId;

/// Base shims as they are commonly sold, mm (common practice).
const SOLD_MM: [f64; 12] = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.80, 1.0, 1.5, 2.0];

/// Base shims as they are commonly sold in thousandths of an inch (common
/// practice).
const SOLD_THOU: [f64; 8] = [5.0, 7.0, 10.0, 20.0, 30.0, 40.0, 60.0, 90.0];

/// Steps in which another gasket or a cut is tried, mm, and how many.
const STEP_MM: f64 = 0.05;
const STEPS: u32 = 20;

/// Steps in which another chamber is tried, as a part of its volume.
const CHAMBER_STEP: f64 = 0.005;

/// What one barrel wants of shims, whatever is in the drawer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShimRange {
    /// The place of the cylinder.
    pub cylinder: usize,
    /// The least height that its own limits allow, mm; may be below 0.
    pub low_mm: f64,
    /// The limit that wants it; none where it is only that there is no shim
    /// below 0.
    pub low_by: Option<LimitId>,
    /// The greatest height that its own limits allow, mm; may be below 0, and
    /// infinite.
    pub high_mm: f64,
    /// The limit that wants it.
    pub high_by: Option<LimitId>,
}

impl ShimRange {
    /// Whether some shim, of whatever thickness, holds the barrel's own
    /// limits.
    #[must_use]
    pub fn can_be_met(&self) -> bool {
        self.low_mm <= self.high_mm && self.high_mm >= 0.0
    }
}

/// Something other than the drawer that makes a choice possible.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// Buy shims.
    Buy {
        /// Their thickness, mm.
        mm: f64,
        /// In thousandths of an inch, where it is sold by those.
        thou: Option<f64>,
        /// How many are needed.
        count: u32,
        /// The choice then.
        choice: ShimChoice,
    },
    /// Head gaskets of another crushed thickness, for the whole head.
    Gasket {
        /// Thicker by this, mm; thinner where it is below 0.
        change_mm: f64,
        /// The choice then.
        choice: ShimChoice,
    },
    /// Chambers of another volume, all under the head alike.
    Chamber {
        /// Larger by this, cc; smaller where it is below 0.
        change_cc: f64,
        /// The choice then.
        choice: ShimChoice,
    },
    /// A cut off the top of every barrel, or off the deck.
    CutAll {
        /// How deep, mm.
        cut_mm: f64,
        /// The choice then.
        choice: ShimChoice,
    },
    /// Barrels cut down to the lowest.
    CutLevel {
        /// The place of each cylinder that is cut, and how deep, mm.
        cuts: Vec<(usize, f64)>,
        /// The choice then.
        choice: ShimChoice,
    },
}

/// What each barrel under a head wants.
///
/// The squish grows by the shim. The clearance volume grows by bore area ×
/// shim, so the shim that gives a ratio R is (swept/(R − 1) − clearance
/// without a shim)/bore area; this is the identity t/S = (CR1 − CR2)/((CR1 −
/// 1)(CR2 − 1)) solved for t.
pub(super) fn shim_ranges(ask: &ShimQuestion, head: usize) -> Vec<ShimRange> {
    let wish = |place: usize| {
        let input = ask.question.cylinders.get(place)?;
        let f = Engine::unchecked_figures(&input.dims.with(Key::BaseShim, 0.0))?;
        let doubt = if ask.margin == Margin::Uncertainty {
            input.doubt
        } else {
            crate::study::ExpandedUncertainty::default()
        };
        let (u_squish, u_ratio) = (doubt.squish_clearance.unwrap_or(0.0), doubt.static_ratio.unwrap_or(0.0));
        let limit = |rule| ask.limit(rule, head);
        // cc over mm² is mm over 1000.
        let shim_for = |ratio: f64| {
            (ratio > 1.0).then(|| (f.swept / (ratio - 1.0) - f.clearance_volume) * 1000.0 / f.bore_area)
        };
        let around = |sign: f64| {
            let (target, tolerance) = (ask.question.target?, limit(LimitId::RatioTolerance)?);
            shim_for(target.get() + sign * (tolerance - u_ratio))
        };
        let lows = [
            (LimitId::SquishMin, limit(LimitId::SquishMin).map(|l| l + u_squish - f.squish_clearance)),
            (LimitId::RatioTolerance, around(1.0)),
            (LimitId::RatioCeiling, limit(LimitId::RatioCeiling).and_then(|l| shim_for(l - u_ratio))),
        ];
        let highs = [
            (LimitId::SquishMax, limit(LimitId::SquishMax).map(|l| l - u_squish - f.squish_clearance)),
            (LimitId::RatioTolerance, around(-1.0)),
            (LimitId::ThreadMin, ask.clamp.map(|c| c.engagement_mm + c.with_shim_mm - c.least_mm)),
        ];
        let known =
            |all: [(LimitId, Option<f64>); 3]| all.into_iter().filter_map(|(rule, v)| Some((rule, v?)));
        let low = known(lows).max_by(|a, b| a.1.total_cmp(&b.1));
        let high = known(highs).min_by(|a, b| a.1.total_cmp(&b.1));
        Some(ShimRange {
            cylinder: place,
            low_mm: low.map_or(0.0, |(_, v)| v).max(0.0),
            low_by: low.filter(|(_, v)| *v > 0.0).map(|(rule, _)| rule),
            high_mm: high.map_or(f64::INFINITY, |(_, v)| v),
            high_by: high.map(|(rule, _)| rule),
        })
    };
    ask.under(head).into_iter().filter_map(wish).collect()
}

/// What else could make a choice possible under the head of the case.
pub(super) fn remedies(case: &HeadCase<'_>, budget: &mut Budget<'_>) -> Vec<Remedy> {
    let mut all = Vec::new();
    all.extend(buy(case, budget));
    all.extend(cut_level(case, budget));
    all.extend(nearest(STEPS, &[1.0, -1.0], |sign, step| {
        let change = sign * f64::from(step) * STEP_MM;
        let choice = changed(case, budget, Key::GasketThickness, |_| change)?;
        Some(Remedy::Gasket { change_mm: change, choice })
    }));
    all.extend(nearest(STEPS, &[1.0, -1.0], |sign, step| {
        let part = sign * f64::from(step) * CHAMBER_STEP;
        // The same for all, by the largest, in whole tenths of a cc.
        let largest = chambers(case).fold(0.0, f64::max);
        let change = (part * largest * 10.0).round() / 10.0;
        if change == 0.0 {
            return None;
        }
        let choice = changed(case, budget, Key::ChamberVolume, |_| change)?;
        Some(Remedy::Chamber { change_cc: change, choice })
    }));
    all.extend(nearest(STEPS, &[1.0], |_, step| {
        let cut = f64::from(step) * STEP_MM;
        let choice = changed(case, budget, top_key(case.solver.ask), |_| -cut)?;
        Some(Remedy::CutAll { cut_mm: cut, choice })
    }));
    all
}

/// What is cut: the barrel, or the deck of a block.
fn top_key(ask: &ShimQuestion) -> Key {
    match ask.question.build.construction {
        crate::study::build::Construction::Barrels => Key::BarrelLength,
        crate::study::build::Construction::Block => Key::CaseHeight,
    }
}

fn members(case: &HeadCase<'_>) -> Vec<usize> {
    let solver = case.solver;
    solver.heads(&[case.group]).into_iter().flat_map(|head| solver.ask.under(head)).collect()
}

fn chambers(case: &HeadCase<'_>) -> impl Iterator<Item = f64> {
    let ask = case.solver.ask;
    members(case).into_iter().filter_map(|m| ask.question.cylinders.get(m)?.dims.filled(Key::ChamberVolume))
}

/// The smallest step that helps, in either direction.
fn nearest(steps: u32, signs: &[f64], mut try_it: impl FnMut(f64, u32) -> Option<Remedy>) -> Option<Remedy> {
    (1..=steps).find_map(|step| signs.iter().find_map(|sign| try_it(*sign, step)))
}

/// The choice with a dimension of every cylinder of the group changed, in its
/// base unit.
fn changed(
    case: &HeadCase<'_>,
    budget: &mut Budget<'_>,
    key: Key,
    change: impl Fn(usize) -> f64,
) -> Option<ShimChoice> {
    let mut ask = case.solver.ask.clone();
    for member in members(case) {
        let input = ask.question.cylinders.get_mut(member)?;
        let value = input.dims.filled(key)? + change(member);
        input.dims.set(key, Some(value));
        // The deck that was read moves with the tower; what was read of the
        // part before the work is no longer its size.
        if matches!(key, Key::BarrelLength | Key::CaseHeight)
            && let Some(read) = input.dims.get(Key::MockupDeck)
        {
            input.dims.set(Key::MockupDeck, Some(read + change(member)));
        }
    }
    let table = StackTable::of(&ask, &ask.stock, ask.pieces_most());
    let picked = first(&ask, &table, case, case.counts, budget)?;
    Some(choice(&ask, &table, case.head, &picked))
}

/// The fewest shims of one thickness, as they are sold, that would do.
fn buy(case: &HeadCase<'_>, budget: &mut Budget<'_>) -> Option<Remedy> {
    let ask = case.solver.ask;
    if ask.pieces_most() == 0 {
        return None;
    }
    let sold: Vec<(f64, Option<f64>)> = if ask.inch_stock {
        SOLD_THOU.iter().map(|thou| (thou * 0.0254, Some(*thou))).collect()
    } else {
        SOLD_MM.iter().map(|mm| (*mm, None)).collect()
    };
    let most = u32::try_from(members(case).len()).unwrap_or(u32::MAX);
    let mut best: Option<(u32, f64, Remedy)> = None;
    for (thickness, thou) in sold {
        let fewer = best.as_ref().map_or(most, |(count, ..)| *count);
        let Some((count, choice)) = (1..=fewer).find_map(|count| {
            let (ask, counts) = with_more(case, thickness, count);
            let table = StackTable::of(&ask, &ask.stock, ask.pieces_most());
            let solver =
                super::answer::Solver { ask: &ask, table: &table, group_of: case.solver.group_of.clone() };
            let problem = solver.problem(&[case.group], &counts, case.even);
            find(&problem, &Bounds::open(&problem), budget).ok()??;
            let picked = first(&ask, &table, case, &counts, budget)?;
            Some((count, choice(&ask, &table, case.head, &picked)))
        }) else {
            continue;
        };
        let error = choice.worst_ratio_error.unwrap_or(0.0);
        let is_better = best.as_ref().is_none_or(|(n, e, _)| count < *n || (count == *n && error < *e));
        if is_better {
            best = Some((count, error, Remedy::Buy { mm: thickness, thou, count, choice }));
        }
    }
    best.map(|(_, _, way)| way)
}

/// The question with more shims of one thickness, and the counts that are
/// left for this head.
fn with_more(case: &HeadCase<'_>, thickness: f64, count: u32) -> (ShimQuestion, Vec<u32>) {
    let old = case.solver.ask;
    let mut ask = old.clone();
    ask.stock = old.stock.with(thickness, count);
    let counts = ask.stock.foils().iter().map(|foil| {
        let same = |l: &super::Foil| pm(l.mm) == pm(foil.mm) && l.soft == foil.soft;
        let taken = old.stock.foils().iter().zip(case.counts).find(|(l, _)| same(l));
        foil.count - taken.map_or(0, |(l, left)| l.count - left)
    });
    let counts = counts.collect();
    (ask, counts)
}

/// Barrels cut down to the lowest of the head.
fn cut_level(case: &HeadCase<'_>, budget: &mut Budget<'_>) -> Option<Remedy> {
    let ask = case.solver.ask;
    ask.limit(LimitId::Level, case.head)?;
    let under = ask.under(case.head);
    let top = |place: &usize| case.solver.table.tops.get(*place).copied();
    let lowest = under.iter().filter_map(top).min()?;
    let cut = |place: usize| super::stock::mm(top(&place).unwrap_or(lowest) - lowest);
    let cuts: Vec<(usize, f64)> =
        under.iter().map(|place| (*place, cut(*place))).filter(|(_, cut)| *cut > 0.0).collect();
    if cuts.is_empty() {
        return None;
    }
    let choice = changed(case, budget, top_key(ask), |place| -cut(place))?;
    Some(Remedy::CutLevel { cuts, choice })
}
