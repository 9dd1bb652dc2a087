//! The best few choices under one group, from the stock that the other heads
//! leave.

use super::problem::{Opt, Problem};
use super::search::Found;
use crate::advise::budget::{Budget, Stopped};

/// The worth of a choice; less is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Worth {
    /// The class of the cost, or the width of the band of the aim.
    pub cost: i64,
    /// The greatest difference of tops under a head.
    pub level: i64,
    pub pieces: u32,
    pub pm: i64,
}

/// Returns the best `most` choices, best first; of those that raise every
/// barrel alike only the best is reported. The problem is that of one group.
///
/// # Errors
/// When the budget is spent.
pub(super) fn ranked(
    problem: &Problem,
    by_evenness: bool,
    most: usize,
    budget: &mut Budget<'_>,
) -> Result<Vec<Found>, Stopped> {
    // Few options first: what they exclude is excluded early.
    let mut order: Vec<usize> = (0..problem.units.len()).collect();
    order.sort_by_key(|unit| problem.units.get(*unit).map_or(0, |u| u.options.len()));
    let mut least_rest = vec![Worth { cost: 0, level: 0, pieces: 0, pm: 0 }];
    for unit in order.iter().rev() {
        let options = problem.units.get(*unit).map_or(&[][..], |u| &u.options);
        let after = least_rest.last().copied();
        let (Some(after), Some(cost)) = (after, options.iter().map(|o| o.cost).min()) else {
            return Ok(Vec::new());
        };
        let cost = if by_evenness { 0 } else { i64::from(cost) };
        least_rest.push(Worth {
            cost: after.cost.max(cost),
            level: 0,
            pieces: after.pieces + options.iter().map(|o| o.pieces).min().unwrap_or(0),
            pm: after.pm + options.iter().map(|o| o.pm).min().unwrap_or(0),
        });
    }
    least_rest.reverse();
    let mut walk = Ranking {
        problem,
        by_evenness,
        most,
        order,
        least_rest,
        best: Vec::new(),
        left: problem.counts.clone(),
        chosen: vec![0; problem.units.len()],
        budget,
    };
    let so_far = Worth { cost: 0, level: 0, pieces: 0, pm: 0 };
    walk.extend(0, so_far, &problem.start.clone())?;
    Ok(walk.best.into_iter().map(|(_, found)| found).collect())
}

/// The lowest and highest value in a band so far.
type Band = Option<(i64, i64)>;

/// The lowest and highest value in each band.
type Held = Vec<Band>;

struct Ranking<'a, 'b, 's> {
    problem: &'a Problem,
    by_evenness: bool,
    most: usize,
    order: Vec<usize>,
    /// For each depth the least worth that the units from there on add.
    least_rest: Vec<Worth>,
    best: Vec<(Worth, Found)>,
    left: Vec<u32>,
    chosen: Found,
    budget: &'b mut Budget<'s>,
}

impl Ranking<'_, '_, '_> {
    fn extend(&mut self, depth: usize, so_far: Worth, held: &[Band]) -> Result<(), Stopped> {
        let problem = self.problem;
        let (Some(&unit), Some(rest)) = (self.order.get(depth), self.least_rest.get(depth + 1).copied())
        else {
            self.keep(so_far);
            return Ok(());
        };
        let Some(of) = problem.units.get(unit) else { return Ok(()) };
        self.budget.spend(of.options.len() as u64 + 1)?;
        for (place, option) in of.options.iter().enumerate() {
            let Some((worth, now)) = self.with(so_far, held, &of.bands, option) else { continue };
            let at_least = Worth {
                cost: worth.cost.max(rest.cost),
                level: worth.level,
                pieces: worth.pieces + rest.pieces,
                pm: worth.pm + rest.pm,
            };
            if self.is_hopeless(at_least) {
                continue;
            }
            self.count(option, false);
            if let Some(chosen) = self.chosen.get_mut(unit) {
                *chosen = place;
            }
            self.extend(depth + 1, worth, &now)?;
            self.count(option, true);
        }
        Ok(())
    }

    /// Returns the worth of the choice with one more option; `None` where it
    /// can't be taken.
    fn with(&self, so_far: Worth, held: &[Band], bands: &[usize], option: &Opt) -> Option<(Worth, Held)> {
        let enough = |(foil, count): &(usize, u32)| self.left.get(*foil).is_some_and(|left| left >= count);
        if !option.uses.iter().all(enough) {
            return None;
        }
        let mut now = held.to_vec();
        let mut worth = Worth {
            cost: if self.by_evenness { so_far.cost } else { so_far.cost.max(i64::from(option.cost)) },
            level: so_far.level,
            pieces: so_far.pieces + option.pieces,
            pm: so_far.pm + option.pm,
        };
        for (band, &(low, high)) in bands.iter().zip(&option.spans) {
            let (width, held) = (self.problem.widths.get(*band)?, now.get_mut(*band)?);
            let (low, high) = held.map_or((low, high), |(l, h)| (l.min(low), h.max(high)));
            *held = Some((low, high));
            if high - low > *width {
                return None;
            }
            if *band == self.problem.even_band() {
                worth.cost = worth.cost.max(high - low);
            } else {
                worth.level = worth.level.max(high - low);
            }
        }
        Some((worth, now))
    }

    fn is_hopeless(&self, at_least: Worth) -> bool {
        self.best.len() >= self.most && self.best.last().is_some_and(|(worst, _)| at_least >= *worst)
    }

    fn count(&mut self, option: &Opt, back: bool) {
        for (foil, count) in &option.uses {
            if let Some(left) = self.left.get_mut(*foil) {
                *left = if back { *left + count } else { *left - count };
            }
        }
    }

    fn keep(&mut self, worth: Worth) {
        let heights =
            |found: &Found| -> Vec<i64> { self.problem.chosen(found).map(|(_, option)| option.pm).collect() };
        let these = heights(&self.chosen);
        if let Some(place) = self.best.iter().position(|(_, found)| heights(found) == these) {
            if self.best.get(place).is_some_and(|(other, _)| *other <= worth) {
                return;
            }
            self.best.remove(place);
        }
        let place = self.best.partition_point(|(other, _)| *other <= worth);
        self.best.insert(place, (worth, self.chosen.clone()));
        self.best.truncate(self.most);
    }
}
