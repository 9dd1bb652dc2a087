//! Search through all choices without visiting each: depth first, with bounds
//! that can be proved.
//!
//! [`find`] says whether a choice exists within given bounds, and
//! shows one. Everything else asks it again with tighter bounds: what it
//! can't find does not exist, so the last choice found is the best there is.

use super::problem::{Opt, Problem};
use crate::advise::budget::{Budget, Stopped};
use std::collections::HashSet;

/// Greatest number of dead ends that are remembered; they only save work.
const MAX_DEAD_ENDS: usize = 200_000;

/// Bounds that a choice must not exceed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bounds {
    /// The class of the cost, for each group.
    pub cost: Vec<u32>,
    /// The width of each band of level, for each group.
    pub level: Vec<i64>,
    /// The width of the band of the aim.
    pub even: i64,
    /// Total number of pieces.
    pub pieces: u32,
    /// Total height of all stacks.
    pub pm: i64,
}

impl Bounds {
    /// Returns bounds that exclude no choice within the limits.
    pub(super) fn open(problem: &Problem) -> Self {
        Self {
            cost: vec![u32::MAX; problem.groups],
            level: vec![i64::MAX; problem.groups],
            even: i64::MAX,
            pieces: u32::MAX,
            pm: i64::MAX,
        }
    }
}

/// A choice: for each unit the index of its option.
pub(super) type Found = Vec<usize>;

/// A measure of a choice under one group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Measure {
    /// The greatest class of cost under a group.
    Cost,
    /// The greatest difference of tops under a head of a group.
    Level,
}

impl Problem {
    fn option(&self, unit: usize, place: usize) -> Option<&Opt> {
        self.units.get(unit)?.options.get(place)
    }

    /// Returns the options of a choice, with their units.
    pub(super) fn chosen<'p>(&'p self, found: &'p Found) -> impl Iterator<Item = (usize, &'p Opt)> {
        found.iter().enumerate().filter_map(|(unit, place)| Some((unit, self.option(unit, *place)?)))
    }

    fn group_of_unit(&self, unit: usize) -> Option<usize> {
        self.units.get(unit).map(|u| u.group)
    }

    /// Returns a measure of a choice under one group.
    pub(super) fn measure(&self, found: &Found, measure: Measure, group: usize) -> i64 {
        match measure {
            Measure::Cost => {
                let of_group =
                    self.chosen(found).filter(|(unit, _)| self.group_of_unit(*unit) == Some(group));
                of_group.map(|(_, option)| i64::from(option.cost)).max().unwrap_or(0)
            }
            Measure::Level => {
                let heads = self.group_of.iter().enumerate().filter(|(_, of)| **of == group);
                heads.map(|(head, _)| self.spread(found, head)).max().unwrap_or(0)
            }
        }
    }

    /// Returns how far the values in a band differ; 0 where there are none.
    pub(super) fn spread(&self, found: &Found, band: usize) -> i64 {
        let start = self.start.get(band).copied().flatten();
        let spans = self.chosen(found).filter_map(|(unit, option)| {
            let place = self.units.get(unit)?.bands.iter().position(|b| *b == band)?;
            option.spans.get(place).copied()
        });
        let all = spans.chain(start).reduce(|(low, high), (l, h)| (low.min(l), high.max(h)));
        all.map_or(0, |(low, high)| high - low)
    }

    /// Returns the class of cost below which no choice can be: of the barrel
    /// whose best stack is the worst.
    pub(super) fn cost_floor(&self) -> i64 {
        let best = |unit: &super::problem::Unit| unit.options.iter().map(|option| option.cost).min();
        self.units.iter().filter_map(best).max().map_or(0, i64::from)
    }

    /// Returns the band of the aim.
    pub(super) fn even_band(&self) -> usize {
        self.widths.len().saturating_sub(1)
    }

    pub(super) fn pieces(&self, found: &Found) -> u32 {
        self.chosen(found).map(|(_, option)| option.pieces).sum()
    }

    pub(super) fn pm(&self, found: &Found) -> i64 {
        self.chosen(found).map(|(_, option)| option.pm).sum()
    }
}

/// One walk through the choices.
struct Walk<'a, 'b, 's> {
    problem: &'a Problem,
    widths: Vec<i64>,
    pieces_most: u32,
    pm_most: i64,
    /// For each unit the options within the bounds.
    allowed: Vec<Vec<(usize, &'a Opt)>>,
    left: Vec<u32>,
    /// The lowest and highest value in each band so far.
    held: Vec<Option<(i64, i64)>>,
    chosen: Vec<Option<usize>>,
    pieces: u32,
    pm: i64,
    dead: HashSet<Vec<i64>>,
    budget: &'b mut Budget<'s>,
}

/// Finds a choice within the bounds; `None` where none exists.
///
/// # Errors
/// When the budget is spent.
pub(super) fn find(
    problem: &Problem,
    bounds: &Bounds,
    budget: &mut Budget<'_>,
) -> Result<Option<Found>, Stopped> {
    let most_cost = |group: usize| bounds.cost.get(group).copied().unwrap_or(u32::MAX);
    let allowed: Vec<Vec<(usize, &Opt)>> = problem
        .units
        .iter()
        .map(|unit| {
            unit.options.iter().enumerate().filter(|(_, o)| o.cost <= most_cost(unit.group)).collect()
        })
        .collect();
    let level = |band: usize| problem.group_of.get(band).and_then(|group| bounds.level.get(*group));
    let widths = problem.widths.iter().enumerate().map(|(band, width)| {
        let bound = if band == problem.even_band() { Some(&bounds.even) } else { level(band) };
        bound.map_or(*width, |bound| *width.min(bound))
    });
    let mut walk = Walk {
        widths: widths.collect(),
        pieces_most: bounds.pieces,
        pm_most: bounds.pm,
        allowed,
        left: problem.counts.clone(),
        held: problem.start.clone(),
        chosen: vec![None; problem.units.len()],
        pieces: 0,
        pm: 0,
        dead: HashSet::new(),
        problem,
        budget,
    };
    let open: Vec<usize> = (0..problem.units.len()).collect();
    Ok(if walk.extend(&open)? { walk.chosen.into_iter().collect() } else { None })
}

impl<'a> Walk<'a, '_, '_> {
    /// Returns whether an option can be taken now.
    fn fits(&self, bands: &[usize], option: &Opt) -> bool {
        let enough = |(foil, count): &(usize, u32)| self.left.get(*foil).is_some_and(|left| left >= count);
        let level = |(band, &(low, high)): (&usize, &(i64, i64))| {
            let (Some(width), Some(held)) = (self.widths.get(*band), self.held.get(*band)) else {
                return false;
            };
            let (low, high) = held.map_or((low, high), |(l, h)| (l.min(low), h.max(high)));
            high - low <= *width
        };
        bands.iter().zip(&option.spans).all(level) && option.uses.iter().all(enough)
    }

    /// Chooses for the open units, and returns whether that was possible.
    fn extend(&mut self, open: &[usize]) -> Result<bool, Stopped> {
        if open.is_empty() {
            return Ok(true);
        }
        // What each open unit can still take; the least of pieces and height
        // that all of them together need.
        let (mut pieces, mut pm) = (self.pieces, self.pm);
        let mut fewest: Option<(usize, usize)> = None;
        let mut nodes = 0;
        for &unit in open {
            let (Some(options), Some(of)) = (self.allowed.get(unit), self.problem.units.get(unit)) else {
                return Ok(false);
            };
            let (mut count, mut least_pieces, mut least_pm) = (0, u32::MAX, i64::MAX);
            for (_, option) in options {
                if self.fits(&of.bands, option) {
                    count += 1;
                    least_pieces = least_pieces.min(option.pieces);
                    least_pm = least_pm.min(option.pm);
                }
            }
            nodes += options.len() as u64 + 1;
            if count == 0 {
                self.budget.spend(nodes)?;
                return Ok(false);
            }
            pieces += least_pieces;
            pm += least_pm;
            if fewest.is_none_or(|(least, _)| count < least) {
                fewest = Some((count, unit));
            }
        }
        self.budget.spend(nodes)?;
        if pieces > self.pieces_most || pm > self.pm_most {
            return Ok(false);
        }
        let Some((_, unit)) = fewest else { return Ok(true) };
        let key = self.key(open);
        if self.dead.contains(&key) {
            return Ok(false);
        }
        let rest: Vec<usize> = open.iter().copied().filter(|other| *other != unit).collect();
        let Some(of) = self.problem.units.get(unit) else { return Ok(false) };
        let options: Vec<(usize, &'a Opt)> = self.allowed.get(unit).cloned().unwrap_or_default();
        for (place, option) in options {
            let is_too_much =
                self.pieces + option.pieces > self.pieces_most || self.pm + option.pm > self.pm_most;
            if is_too_much || !self.fits(&of.bands, option) {
                continue;
            }
            let held = self.held.clone();
            self.take(&of.bands, option);
            if let Some(chosen) = self.chosen.get_mut(unit) {
                *chosen = Some(place);
            }
            if self.extend(&rest)? {
                return Ok(true);
            }
            self.held = held;
            self.give_back(option);
        }
        if self.dead.len() < MAX_DEAD_ENDS {
            self.dead.insert(key);
        }
        Ok(false)
    }

    fn take(&mut self, bands: &[usize], option: &Opt) {
        for (foil, count) in &option.uses {
            if let Some(left) = self.left.get_mut(*foil) {
                *left -= count;
            }
        }
        for (band, &(low, high)) in bands.iter().zip(&option.spans) {
            if let Some(held) = self.held.get_mut(*band) {
                *held = Some(held.map_or((low, high), |(l, h)| (l.min(low), h.max(high))));
            }
        }
        self.pieces += option.pieces;
        self.pm += option.pm;
    }

    fn give_back(&mut self, option: &Opt) {
        for (foil, count) in &option.uses {
            if let Some(left) = self.left.get_mut(*foil) {
                *left += count;
            }
        }
        self.pieces -= option.pieces;
        self.pm -= option.pm;
    }

    /// Returns everything that decides whether the open units can still be
    /// served.
    fn key(&self, open: &[usize]) -> Vec<i64> {
        let mut key: Vec<i64> = open.iter().map(|unit| *unit as i64).collect();
        key.push(-1);
        key.extend(self.left.iter().map(|left| i64::from(*left)));
        for (band, held) in self.held.iter().enumerate() {
            let matters =
                |unit: &&usize| self.problem.units.get(**unit).is_some_and(|u| u.bands.contains(&band));
            if let (Some((low, high)), true) = (held, open.iter().any(|unit| matters(&unit))) {
                key.extend([band as i64, *low, *high]);
            }
        }
        if self.pieces_most != u32::MAX {
            key.extend([-2, i64::from(self.pieces)]);
        }
        if self.pm_most != i64::MAX {
            key.extend([-3, self.pm]);
        }
        key
    }
}

/// Minimises a measure of a choice: asks for less until there is none. `set`
/// puts a bound in place, `value` reads the measure of a choice; `found` holds
/// the best so far, also when the budget is spent. No value below `floor` is
/// looked for. The least value that can't be excluded is returned then.
pub(super) fn least(
    problem: &Problem,
    bounds: &mut Bounds,
    found: &mut Found,
    budget: &mut Budget<'_>,
    floor: i64,
    set: impl Fn(&mut Bounds, i64),
    value: impl Fn(&Problem, &Found) -> i64,
) -> Result<i64, i64> {
    // No value at or below `excluded` exists.
    let mut excluded = floor - 1;
    let mut best = value(problem, found);
    let mut halve = false;
    while best > excluded + 1 {
        // First the nearest: most often the best was found at once.
        let bound = if halve { excluded + (best - excluded) / 2 } else { best - 1 };
        set(bounds, bound);
        match find(problem, bounds, budget) {
            Ok(Some(better)) => {
                best = value(problem, &better);
                *found = better;
                halve = true;
            }
            Ok(None) => {
                excluded = bound;
                halve = false;
            }
            Err(Stopped) => {
                set(bounds, best);
                return Err(excluded + 1);
            }
        }
    }
    set(bounds, best);
    Ok(best)
}
