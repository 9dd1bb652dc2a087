//! Everything that could lie under a barrel, and what each cylinder would be
//! with it.

use super::question::ShimQuestion;
use super::stock::{Stock, pm};
use crate::advise::gaskets::on_base;
use crate::engine::{Engine, Fault, FaultKind, Key};
use crate::schema::Margin;
use crate::schema::limit::{Judged, LimitId};
use crate::study::level;
use crate::study::measured::Measured;
use crate::study::question::{CylinderInput, ValveReading};
use crate::study::verdict::TOUCH;

/// At most so many different stacks are looked at; where there are more, the
/// answer says that it looked at those of fewer pieces only. Eight pieces of
/// ten thicknesses are 43 758.
const MAX_STACKS: usize = 60_000;

/// At most so many cylinders with a stack are worked out, all together: with
/// more than sixteen cylinders fewer stacks are looked at.
const MAX_LOOKS: usize = 16 * MAX_STACKS;

/// Shims on top of each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Stack {
    /// Places in the stock, in rising order; the same place once a piece.
    pub foils: Vec<usize>,
    /// How many of them are soft.
    pub soft: u32,
}

impl Stack {
    pub(super) fn pieces(&self) -> u32 {
        u32::try_from(self.foils.len()).unwrap_or(u32::MAX)
    }
}

/// One height and every stack that has it, fewest pieces first.
#[derive(Clone, Debug)]
pub(super) struct Height {
    pub pm: i64,
    pub mm: f64,
    pub stacks: Vec<Stack>,
}

/// What one cylinder would be with shims of one height.
#[derive(Clone, Copy, Debug)]
pub(super) struct At {
    /// Rim below the top of the cylinder, mm.
    pub deck: f64,
    /// Rim to head, mm.
    pub squish: f64,
    /// The static ratio.
    pub ratio: f64,
    /// By how much each rule of a single cylinder is broken: above 0 it is.
    excess: [f64; LimitId::COUNT],
}

impl At {
    /// By how much a rule of a single cylinder is broken, in its unit; 0 or
    /// below where it is kept or there is no limit.
    pub(super) fn excess(&self, rule: LimitId) -> f64 {
        self.excess.get(rule as usize).copied().unwrap_or(f64::NEG_INFINITY)
    }
}

/// All heights, and every cylinder at each.
pub(super) struct StackTable {
    /// Lowest first; the first is that of no shim at all.
    pub heights: Vec<Height>,
    /// For each cylinder and height: what it would be; none where the engine
    /// could not exist.
    pub cylinders: Vec<Vec<Option<At>>>,
    /// For each cylinder the height of its top without shims.
    pub tops: Vec<i64>,
    /// For each head the expanded uncertainty of a difference of two tops
    /// that must be kept in hand; 0 where the limits are held as they stand.
    pub level_doubts: Vec<i64>,
    /// The most pieces of the stacks that were looked at, where not all
    /// could be.
    pub cut_short: Option<u32>,
    /// For each cylinder why it can't exist whatever lies under it.
    pub faults: Vec<Vec<Fault>>,
}

impl StackTable {
    /// Everything with up to so many pieces, drawn from `stock`.
    pub(super) fn of(ask: &ShimQuestion, stock: &Stock, pieces_most: u32) -> Self {
        let cylinders = ask.question.cylinders.len().max(1);
        let (stacks, cut_short) = stacks(stock, pieces_most, MAX_STACKS.min(MAX_LOOKS / cylinders));
        let heights = heights(stock, stacks);
        let mut faults = Vec::new();
        let mut cylinders = Vec::new();
        for input in &ask.question.cylinders {
            let (all, why) = cylinder(ask, input, &heights);
            cylinders.push(all);
            faults.push(why);
        }
        let top = |input: &CylinderInput| level::top(&input.dims.with(Key::BaseShim, 0.0)).map_or(0, pm);
        let doubt = |head: &crate::study::HeadInput| match ask.margin {
            Margin::None => 0,
            Margin::Uncertainty => pm(head.doubt.unwrap_or(0.0)),
        };
        Self {
            tops: ask.question.cylinders.iter().map(top).collect(),
            level_doubts: ask.question.heads.iter().map(doubt).collect(),
            heights,
            cylinders,
            cut_short,
            faults,
        }
    }

    /// What a cylinder would be at a height.
    pub(super) fn at(&self, cylinder: usize, height: usize) -> Option<&At> {
        self.cylinders.get(cylinder)?.get(height)?.as_ref()
    }
}

/// Every stack of up to so many pieces that the stock allows under one
/// barrel, fewest pieces first.
fn stacks(stock: &Stock, pieces_most: u32, most: usize) -> (Vec<Stack>, Option<u32>) {
    let foils = stock.foils();
    let mut all = vec![Stack { foils: Vec::new(), soft: 0 }];
    let mut last = 0;
    for pieces in 1..=pieces_most {
        let start = last;
        last = all.len();
        let mut longer = Vec::new();
        for stack in all.get(start..).unwrap_or_default() {
            let from = stack.foils.last().copied().unwrap_or(0);
            for (place, foil) in foils.iter().enumerate().skip(from) {
                let used = stack.foils.iter().filter(|l| **l == place).count();
                if used < foil.count as usize {
                    let mut foils = stack.foils.clone();
                    foils.push(place);
                    longer.push(Stack { foils, soft: stack.soft + u32::from(foil.soft) });
                }
            }
            if all.len() + longer.len() > most {
                return (all, Some(pieces - 1));
            }
        }
        if longer.is_empty() {
            break;
        }
        all.append(&mut longer);
    }
    (all, None)
}

fn heights(stock: &Stock, stacks: Vec<Stack>) -> Vec<Height> {
    let thickness = |place: &usize| stock.foils().get(*place).map_or(0.0, |foil| foil.mm);
    let mut all: Vec<(i64, Stack)> =
        stacks.into_iter().map(|s| (s.foils.iter().map(|l| pm(thickness(l))).sum(), s)).collect();
    // A stable sort: fewest pieces stay first among equals.
    all.sort_by_key(|(pm, _)| *pm);
    let mut heights: Vec<Height> = Vec::new();
    for (pm, stack) in all {
        match heights.last_mut().filter(|height| height.pm == pm) {
            Some(height) => height.stacks.push(stack),
            None => {
                heights.push(Height { pm, mm: stack.foils.iter().map(thickness).sum(), stacks: vec![stack] })
            }
        }
    }
    heights
}

/// One cylinder at every height, and why it can't exist where that holds for
/// all of them.
fn cylinder(ask: &ShimQuestion, input: &CylinderInput, heights: &[Height]) -> (Vec<Option<At>>, Vec<Fault>) {
    let mut faults: Option<Vec<Fault>> = None;
    let mut all = Vec::new();
    for height in heights {
        match Engine::new(on_base(&input.dims, height.mm)) {
            Ok(engine) => all.push(Some(at(ask, input, &engine, height))),
            Err(why) => {
                all.push(None);
                faults.get_or_insert(why);
            }
        }
    }
    // A rim that meets the head is a matter of shims, the rest is not.
    let of_parts = |why: Vec<Fault>| {
        let shims = |fault: &Fault| matches!(fault.kind, FaultKind::Contact | FaultKind::NoClearance);
        why.into_iter().filter(|fault| !shims(fault)).collect()
    };
    let none = all.iter().all(Option::is_none);
    (all, faults.filter(|_| none).map(of_parts).unwrap_or_default())
}

fn at(ask: &ShimQuestion, input: &CylinderInput, engine: &Engine, height: &Height) -> At {
    let f = engine.figures();
    let doubt = match ask.margin {
        Margin::None => crate::study::ExpandedUncertainty::default(),
        Margin::Uncertainty => with_shims(input, height.mm).expanded(engine),
    };
    let (squish, ratio) = (f.squish_clearance, f.static_ratio);
    let (u_squish, u_ratio) = (doubt.squish_clearance.unwrap_or(0.0), doubt.static_ratio.unwrap_or(0.0));
    let limit = |rule| ask.limit(rule, input.head);
    let of_limit = |rule: LimitId, value: Option<f64>, u: f64| {
        let (limit, value) = (limit(rule)?, value?);
        Some(if rule.is_least() { limit - (value - u) } else { (value + u) - limit })
    };
    // What was read over other shims. That raising the barrel opens the
    // distance is not counted on.
    let fitted = input.dims.filled(Key::BaseShim).unwrap_or(0.0);
    let valve = |read: Option<ValveReading>| {
        let read = read?;
        let noted = ValveReading { shim: read.shim.or(Some(fitted)), ..read };
        Some(noted.over(height.mm).0.min(read.value))
    };
    let u_valve = |read: Option<ValveReading>| match ask.margin {
        Margin::None => 0.0,
        Margin::Uncertainty => read.and_then(|read| read.doubt).unwrap_or(0.0),
    };
    let (intake, exhaust) = (input.valve_gap.intake, input.valve_gap.exhaust);
    let thread = ask.clamp.map(|c| c.engagement_mm - (height.mm - c.with_shim_mm));
    let off = ask.question.target.map(|target| (ratio - target.get()).abs());
    let of_rule = |rule: LimitId| {
        let (value, u) = match rule.row().judged {
            Judged::Squish => (Some(squish), u_squish),
            Judged::RatioWanted => (off, u_ratio),
            Judged::RatioForFuel => (Some(ratio), u_ratio),
            Judged::Effective | Judged::Trapped => (f.effective_ratio, doubt.effective_ratio.unwrap_or(0.0)),
            Judged::ValveIntake => (valve(intake), u_valve(intake)),
            Judged::ValveExhaust => (valve(exhaust), u_valve(exhaust)),
            Judged::Thread => (thread, 0.0),
            // These are judged on the stack and on the head.
            Judged::Pieces | Judged::SoftPieces | Judged::Level => (None, 0.0),
            // These don't bind a choice of shims.
            Judged::RatioSpread | Judged::ChamberSpread | Judged::Chain | Judged::PistonSpeed => (None, 0.0),
        };
        let excess = of_limit(rule, value, u);
        // A value on its limit keeps it, whatever the rounding of the sum.
        excess.map_or(f64::NEG_INFINITY, |e| if e <= TOUCH { e.min(0.0) } else { e })
    };
    let mut excess = [f64::NEG_INFINITY; LimitId::COUNT];
    for rule in LimitId::bound() {
        if let Some(place) = excess.get_mut(rule as usize) {
            *place = of_rule(rule);
        }
    }
    At { deck: f.deck_clearance, squish, ratio, excess }
}

/// What was read of a cylinder, as it speaks of it with other shims: a
/// reading of those that lie there now says nothing about them.
pub(super) fn with_shims(input: &CylinderInput, height_mm: f64) -> Measured {
    let mut measured = input.measured.clone();
    if input.dims.filled(Key::BaseShim).is_none_or(|now| pm(now) != pm(height_mm)) {
        measured.dimensions.remove(&Key::BaseShim);
    }
    measured
}
