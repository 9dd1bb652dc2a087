//! The choice as a search sees it: for each barrel the stacks that keep the
//! rules of a single barrel, their costs, and the bands that tie barrels
//! together.

use super::question::ShimQuestion;
use super::stock::pm;
use super::table::{At, Stack, StackTable};
use crate::schema::Aim;
use crate::schema::limit::{Judged, LimitId};

/// Difference below which two ratio errors are equal: a promise to scripts.
pub(super) const EQUAL: f64 = 1e-9;

/// A set of rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rules(u32);

impl Rules {
    pub(super) fn all() -> Self {
        LimitId::bound().fold(Self::none(), |all, rule| Self(all.0 | (1 << rule as u32)))
    }

    pub(super) fn none() -> Self {
        Self(0)
    }

    pub(super) fn has(self, rule: LimitId) -> bool {
        self.0 & (1 << rule as u32) != 0
    }

    pub(super) fn without(self, rule: LimitId) -> Self {
        Self(self.0 & !(1 << rule as u32))
    }
}

/// The cost that is minimised before all else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cost {
    /// The user's aim.
    Aim,
    /// The excess over this rule.
    Excess(LimitId),
}

/// One stack that may lie under the barrels of a unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Opt {
    /// Its index among the heights of the table.
    pub height: usize,
    /// Its index among the stacks of that height.
    pub stack: usize,
    pub pm: i64,
    pub pieces: u32,
    /// Its use of the shims that are scarce: index in the stock, count.
    pub uses: Vec<(usize, u32)>,
    /// The class of its cost: a greater class is a greater cost.
    pub cost: u32,
    /// The lowest and highest value in each band of the unit.
    pub spans: Vec<(i64, i64)>,
}

/// Barrels that move together: one, but for those of one casting.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    /// Indices of its cylinders.
    pub members: Vec<usize>,
    /// Its group.
    pub group: usize,
    /// Its bands: the heads above it, then perhaps the one of the aim.
    pub bands: Vec<usize>,
    /// Least cost first, then fewest pieces, then thinnest.
    pub options: Vec<Opt>,
}

/// The choice as a search sees it.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    pub units: Vec<Unit>,
    /// Number of groups.
    pub groups: usize,
    /// For each head its group.
    pub group_of: Vec<usize>,
    /// Greatest difference of the values in each band: one band a head, of the
    /// heights of its tops, and one more for the evenness that is aimed at.
    pub widths: Vec<i64>,
    /// The values in each band at the start.
    pub start: Vec<Option<(i64, i64)>>,
    /// Number of each shim in stock.
    pub counts: Vec<u32>,
    /// The greatest cost of each class.
    pub classes: Vec<f64>,
}

/// The parts that a problem is made of.
pub(super) struct Parts<'a> {
    pub ask: &'a ShimQuestion,
    pub table: &'a StackTable,
    pub rules: Rules,
    pub cost: Cost,
    /// The heads that are searched.
    pub heads: &'a [usize],
    /// For each head its group.
    pub group_of: &'a [usize],
    /// Number of each shim in stock.
    pub counts: &'a [u32],
    /// The values in the band of the aim at the start.
    pub even_start: Option<(i64, i64)>,
}

impl Problem {
    pub(super) fn of(parts: &Parts<'_>) -> Self {
        let Parts { ask, table, rules, cost, heads, .. } = *parts;
        let even = ask.question.heads.len();
        let aims_at_even = cost == Cost::Aim && ask.aim != Aim::Ratio;
        let mut drafts: Vec<(Unit, Vec<f64>)> = Vec::new();
        for members in ask.units() {
            let mut bands: Vec<usize> = members
                .iter()
                .filter_map(|m| ask.question.cylinders.get(*m))
                .map(|cylinder| cylinder.head)
                .collect();
            bands.sort_unstable();
            bands.dedup();
            if !bands.iter().all(|head| heads.contains(head)) {
                continue;
            }
            let group = bands.first().and_then(|head| parts.group_of.get(*head)).copied().unwrap_or(0);
            if aims_at_even {
                bands.push(even);
            }
            let (options, costs) = parts.options(&members, &bands, even);
            drafts.push((Unit { members, group, bands, options }, costs));
        }
        let classes = classes(drafts.iter().flat_map(|(_, costs)| costs.iter().copied()));
        let width = |head: usize| match ask.limit(LimitId::Level, head).filter(|_| rules.has(LimitId::Level))
        {
            // One picometre for the rounding to whole ones.
            Some(limit) => pm(limit) + 1 - table.level_doubts.get(head).copied().unwrap_or(0),
            None => i64::MAX,
        };
        let mut widths: Vec<i64> = (0..even).map(width).collect();
        widths.push(i64::MAX);
        let mut start = vec![None; widths.len()];
        if let Some(place) = start.last_mut() {
            *place = parts.even_start;
        }
        let groups = parts.group_of.iter().copied().max().map_or(0, |most| most + 1);
        let mut units = Vec::new();
        for (mut unit, costs) in drafts {
            for (option, cost) in unit.options.iter_mut().zip(costs) {
                let class = classes.partition_point(|most| *most < cost);
                option.cost = u32::try_from(class).unwrap_or(u32::MAX);
            }
            units.push(unit);
        }
        let mut problem = Self {
            units,
            groups,
            group_of: parts.group_of.to_vec(),
            widths,
            start,
            counts: parts.counts.to_vec(),
            classes,
        };
        problem.forget_the_plentiful();
        problem.drop_what_is_never_better();
        problem
    }

    /// Stops counting shims of which there are enough for whatever is chosen.
    fn forget_the_plentiful(&mut self) {
        let used = |option: &Opt, foil: usize| {
            option.uses.iter().find(|(of, _)| *of == foil).map_or(0, |(_, count)| *count)
        };
        let most = |unit: &Unit, foil| unit.options.iter().map(|o| used(o, foil)).max().unwrap_or(0);
        let scarce: Vec<bool> = self
            .counts
            .iter()
            .enumerate()
            .map(|(foil, count)| self.units.iter().map(|unit| most(unit, foil)).sum::<u32>() > *count)
            .collect();
        for option in self.units.iter_mut().flat_map(|unit| &mut unit.options) {
            option.uses.retain(|(foil, _)| scarce.get(*foil).copied().unwrap_or(false));
        }
    }

    /// Drops stacks that are never better: of two stacks of one height the one
    /// that is dearer, has more pieces and takes more of every scarce shim.
    fn drop_what_is_never_better(&mut self) {
        for unit in &mut self.units {
            unit.options.sort_by_key(|o| (o.height, o.pieces, o.cost, o.uses.len()));
            let mut kept: Vec<Opt> = Vec::new();
            for option in unit.options.drain(..) {
                let same_height = kept.iter().rev().take_while(|k| k.height == option.height);
                let takes_less = |k: &Opt| {
                    k.uses.iter().all(|(foil, n)| option.uses.iter().any(|(of, m)| of == foil && m >= n))
                };
                let better = |k: &Opt| k.pieces <= option.pieces && k.cost <= option.cost && takes_less(k);
                if !same_height.into_iter().any(better) {
                    kept.push(option);
                }
            }
            kept.sort_by_key(|o| (o.cost, o.pieces, o.pm));
            unit.options = kept;
        }
    }
}

/// Returns the greatest member of each class of costs that are equal.
fn classes(costs: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut costs: Vec<f64> = costs.collect();
    costs.sort_by(f64::total_cmp);
    let mut classes: Vec<f64> = Vec::new();
    for cost in costs {
        match classes.last_mut().filter(|most| cost - **most <= EQUAL) {
            Some(most) => *most = cost,
            None => classes.push(cost),
        }
    }
    classes
}

impl Parts<'_> {
    /// Returns the stacks that may lie under these cylinders, with their costs.
    fn options(&self, members: &[usize], bands: &[usize], even: usize) -> (Vec<Opt>, Vec<f64>) {
        let (mut options, mut costs) = (Vec::new(), Vec::new());
        let heads = members.iter().filter_map(|m| Some(self.ask.question.cylinders.get(*m)?.head));
        let head = heads.clone().next().unwrap_or(0);
        let heads: Vec<usize> = heads.collect();
        for (place, height) in self.table.heights.iter().enumerate() {
            let at: Option<Vec<&At>> = members.iter().map(|m| self.table.at(*m, place)).collect();
            let Some(at) = at else { continue };
            let worst = |rule| at.iter().map(|at| at.excess(rule)).fold(f64::NEG_INFINITY, f64::max);
            if LimitId::bound().any(|rule| self.rules.has(rule) && worst(rule) > 0.0) {
                continue;
            }
            let span = |band: &usize| {
                let values = members.iter().zip(&at).zip(&heads).filter_map(|((member, at), under)| {
                    if *band == even {
                        return Some(match self.ask.aim {
                            Aim::EvenDeck => pm(at.deck),
                            // A billionth of a ratio is what counts as equal.
                            Aim::EvenRatio | Aim::Ratio => pm(at.ratio),
                        });
                    }
                    let top = self.table.tops.get(*member).copied().unwrap_or(0);
                    (under == band).then_some(top + height.pm)
                });
                values.fold((i64::MAX, i64::MIN), |(low, high), v| (low.min(v), high.max(v)))
            };
            let spans: Vec<(i64, i64)> = bands.iter().map(span).collect();
            for (stack_place, stack) in height.stacks.iter().enumerate() {
                let over = |rule| self.stack_excess(rule, stack, head);
                if LimitId::bound().any(|rule| self.rules.has(rule) && over(rule) > 0.0) {
                    continue;
                }
                costs.push(match self.cost {
                    Cost::Aim if self.ask.aim == Aim::Ratio => {
                        let target = self.ask.question.target.map(crate::study::TargetRatio::get);
                        let off = |at: &&At| target.map_or(0.0, |target| (at.ratio - target).abs());
                        at.iter().map(off).fold(0.0, f64::max)
                    }
                    Cost::Aim => 0.0,
                    Cost::Excess(rule) => worst(rule).max(over(rule)).max(0.0),
                });
                options.push(Opt {
                    height: place,
                    stack: stack_place,
                    pm: height.pm,
                    pieces: stack.pieces(),
                    uses: uses(stack),
                    cost: 0,
                    spans: spans.clone(),
                });
            }
        }
        (options, costs)
    }

    /// Returns the excess of a stack over a rule of stacks.
    fn stack_excess(&self, rule: LimitId, stack: &Stack, head: usize) -> f64 {
        stack_excess(self.ask, rule, stack, head)
    }
}

/// Returns the excess of a stack over a rule of stacks, in pieces; below 0
/// where it keeps it or the rule is another.
pub(super) fn stack_excess(ask: &ShimQuestion, rule: LimitId, stack: &Stack, head: usize) -> f64 {
    let Some(limit) = ask.limit(rule, head) else { return f64::NEG_INFINITY };
    let count = match rule.row().judged {
        Judged::Pieces => f64::from(stack.pieces()),
        Judged::SoftPieces => f64::from(stack.soft),
        _ => return f64::NEG_INFINITY,
    };
    if rule.is_least() { limit - count } else { count - limit }
}

/// Returns how many of each shim a stack takes.
pub(super) fn uses(stack: &Stack) -> Vec<(usize, u32)> {
    let mut uses: Vec<(usize, u32)> = Vec::new();
    for foil in &stack.foils {
        match uses.last_mut().filter(|(of, _)| of == foil) {
            Some((_, count)) => *count += 1,
            None => uses.push((*foil, 1)),
        }
    }
    uses
}
