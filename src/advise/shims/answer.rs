//! The answer: for every head the best choices, or why there is none.

use super::choice::{Picked, ShimChoice, choice};
use super::optimise::{Optimum, Proved, optimise};
use super::problem::{Cost, Parts, Problem, Rules, uses};
use super::question::ShimQuestion;
use super::ranked::ranked;
use super::remedies::Remedy;
use super::search::{Found, find};
use super::stock::pm;
use super::table::StackTable;
use super::why::{Relaxation, Why, misses, why_not};
use crate::advise::budget::{Budget, Stopped};
use crate::engine::Fault;
use crate::schema::Aim;

/// Greatest number of choices reported for a head.
pub(crate) const MAX_CHOICES: usize = 8;

/// The answer for one head.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadAnswer {
    /// Index of the head in the question.
    pub head: usize,
    /// Best first; each holds every limit. The first ones of all heads can be
    /// fitted together.
    pub choices: Vec<ShimChoice>,
    /// The nearest choices that break a limit.
    pub misses: Vec<ShimChoice>,
    /// Why there is no choice; `None` where there is one.
    pub why: Option<Why>,
    /// Number of sets of stacks that can be laid under its barrels.
    pub sets: u128,
}

impl HeadAnswer {
    /// Returns whether a choice holds every limit.
    #[must_use]
    pub fn is_possible(&self) -> bool {
        !self.choices.is_empty()
    }

    /// Returns the values that one limit alone would have to have.
    #[must_use]
    pub fn relaxations(&self) -> &[Relaxation] {
        self.why.as_ref().map_or(&[], |why| &why.relaxations)
    }

    /// Returns the remedies that could make a choice possible.
    #[must_use]
    pub fn ways(&self) -> &[Remedy] {
        self.why.as_ref().map_or(&[], |why| &why.ways)
    }
}

/// How far the answer is proved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Proof {
    /// No choice of those allowed is better than the first, and where there
    /// is none, none exists.
    Proved,
    /// The search was stopped. No choice has a cost below this: a distance
    /// from the wanted ratio, or the width of what is to be even.
    Stopped {
        /// The least cost that is not excluded, where one is known.
        cost_at_least: Option<f64>,
    },
    /// The search was stopped after the first choices were proved to be the
    /// best: it is the next ones that may not be the next best.
    FirstProved,
    /// There are more stacks than can be searched: none of more than so many
    /// pieces was.
    Pieces(u32),
}

/// The answer for all heads.
#[derive(Clone, Debug, PartialEq)]
pub struct ShimAnswer {
    /// In the order of the engine; heads over no cylinder are left out.
    pub heads: Vec<HeadAnswer>,
    /// How far it is proved.
    pub proof: Proof,
    /// For each cylinder why it can't exist whatever lies under it.
    pub faults: Vec<Vec<Fault>>,
}

/// Answers the question.
#[must_use]
pub fn answer(ask: &ShimQuestion, budget: &mut Budget<'_>) -> ShimAnswer {
    let table = StackTable::of(ask, &ask.stock, ask.pieces_most());
    let solver = Solver { ask, table: &table, group_of: groups(ask) };
    let counts: Vec<u32> = ask.stock.foils().iter().map(|foil| foil.count).collect();
    let mut proof = table.cut_short.map_or(Proof::Proved, Proof::Pieces);
    let mut stopped = |how| {
        if proof == Proof::Proved {
            proof = how;
        }
    };
    const UNKNOWN: Proof = Proof::Stopped { cost_at_least: None };
    // Which groups can be served together: all, or as many as can be in the
    // order of the engine.
    let all: Vec<usize> = (0..solver.groups()).filter(|group| solver.is_whole(*group)).collect();
    let (mut served, mut best) = (Vec::new(), None);
    let mut alone = Vec::new();
    match optimise(&solver.problem(&all, &counts, None), solver.by_evenness(), budget) {
        Optimum::Choice(found, proved) => {
            served.clone_from(&all);
            best = Some((found, proved));
        }
        Optimum::Unknown => stopped(UNKNOWN),
        Optimum::Impossible => {
            for &group in &all {
                let with = |groups: &[usize], budget: &mut Budget<'_>| {
                    let problem = solver.problem(groups, &counts, None);
                    find(&problem, &super::search::Bounds::open(&problem), budget)
                };
                match with(&[group], budget) {
                    Ok(Some(_)) => alone.push(group),
                    Ok(None) => continue,
                    Err(Stopped) => stopped(UNKNOWN),
                }
                let together: Vec<usize> = served.iter().copied().chain([group]).collect();
                match with(&together, budget) {
                    Ok(Some(_)) => served = together,
                    Ok(None) => {}
                    Err(Stopped) => stopped(UNKNOWN),
                }
            }
            match optimise(&solver.problem(&served, &counts, None), solver.by_evenness(), budget) {
                Optimum::Choice(found, proved) => best = Some((found, proved)),
                Optimum::Impossible | Optimum::Unknown => {
                    served.clear();
                    stopped(UNKNOWN);
                }
            }
        }
    }
    let problem = solver.problem(&served, &counts, None);
    let mut firsts: Vec<Vec<Picked>> = vec![Vec::new(); solver.groups()];
    if let Some((found, proved)) = &best {
        match *proved {
            Proved::Best => {}
            Proved::CostAtLeast(cost) => stopped(Proof::Stopped { cost_at_least: Some(cost) }),
        }
        for (group, picked) in solver.picked(&problem, found) {
            if let Some(first) = firsts.get_mut(group) {
                first.push(picked);
            }
        }
    }
    let mut heads = Vec::new();
    for head in 0..ask.question.heads.len() {
        let Some(&group) = solver.group_of.get(head) else { continue };
        if ask.under(head).is_empty() {
            continue;
        }
        let first = firsts.get(group).cloned().unwrap_or_default();
        let others: Vec<&Picked> =
            firsts.iter().enumerate().filter(|(g, _)| *g != group).flat_map(|(_, p)| p).collect();
        let left = solver.without(&counts, &others);
        let even = solver.even_span(&others);
        let case = HeadCase { solver: &solver, head, group, counts: &left, even };
        let mut choices = Vec::new();
        if !first.is_empty() {
            choices.push(choice(ask, &table, head, &first));
            match ranked(&solver.problem(&[group], &left, even), solver.by_evenness(), MAX_CHOICES, budget) {
                Ok(more) => {
                    let problem = solver.problem(&[group], &left, even);
                    for found in more {
                        let picked: Vec<Picked> =
                            solver.picked(&problem, &found).map(|(_, picked)| picked).collect();
                        let next = choice(ask, &table, head, &picked);
                        if !choices.iter().any(|c| c.is_alike(&next)) {
                            choices.push(next);
                        }
                    }
                    choices.truncate(MAX_CHOICES);
                }
                Err(Stopped) => stopped(Proof::FirstProved),
            }
        }
        let (misses, why) = if choices.is_empty() {
            let starved = alone.contains(&group) && !served.contains(&group);
            let why = why_not(&case, starved, budget);
            (why.relaxations.iter().map(|r| r.choice.clone()).collect(), Some(why))
        } else {
            (misses(&case, budget), None)
        };
        heads.push(HeadAnswer { head, choices, misses, why, sets: solver.sets(head) });
    }
    ShimAnswer { heads, proof, faults: table.faults.clone() }
}

/// One head within a solver.
pub(super) struct HeadCase<'a> {
    pub solver: &'a Solver<'a>,
    pub head: usize,
    pub group: usize,
    /// The stock that the other heads leave.
    pub counts: &'a [u32],
    /// The values of the other heads in the band of the aim.
    pub even: Option<(i64, i64)>,
}

/// The question, with its table.
pub(super) struct Solver<'a> {
    pub ask: &'a ShimQuestion,
    pub table: &'a StackTable,
    /// For each head its group: heads are in one group where a casting is under
    /// both.
    pub group_of: Vec<usize>,
}

impl Solver<'_> {
    pub(super) fn by_evenness(&self) -> bool {
        self.ask.aim != Aim::Ratio
    }

    fn groups(&self) -> usize {
        self.group_of.iter().copied().max().map_or(0, |most| most + 1)
    }

    /// Returns the heads of these groups.
    pub(super) fn heads(&self, groups: &[usize]) -> Vec<usize> {
        let heads = self.group_of.iter().enumerate();
        heads.filter(|(_, group)| groups.contains(group)).map(|(head, _)| head).collect()
    }

    /// Returns whether every cylinder of a group can exist.
    fn is_whole(&self, group: usize) -> bool {
        let heads = self.heads(&[group]);
        let mut cylinders = heads.iter().flat_map(|head| self.ask.under(*head)).peekable();
        cylinders.peek().is_some()
            && cylinders.all(|place| self.table.faults.get(place).is_none_or(Vec::is_empty))
    }

    /// Returns the choice for these groups, with every rule and towards the
    /// aim.
    pub(super) fn problem(&self, groups: &[usize], counts: &[u32], even: Option<(i64, i64)>) -> Problem {
        self.problem_by(groups, counts, even, Rules::all(), Cost::Aim)
    }

    pub(super) fn problem_by(
        &self,
        groups: &[usize],
        counts: &[u32],
        even_start: Option<(i64, i64)>,
        rules: Rules,
        cost: Cost,
    ) -> Problem {
        let heads = self.heads(groups);
        let Self { ask, table, group_of } = self;
        Problem::of(&Parts { ask, table, rules, cost, heads: &heads, group_of, counts, even_start })
    }

    /// Returns what a choice picks for each casting, with its group.
    pub(super) fn picked<'p>(
        &self,
        problem: &'p Problem,
        found: &'p Found,
    ) -> impl Iterator<Item = (usize, Picked)> + use<'p> {
        problem.chosen(found).filter_map(|(unit, option)| {
            let unit = problem.units.get(unit)?;
            Some((unit.group, (unit.members.clone(), option.height, option.stack)))
        })
    }

    /// Returns the counts without what was picked.
    fn without(&self, counts: &[u32], picked: &[&Picked]) -> Vec<u32> {
        let mut left = counts.to_vec();
        for (_, height, stack) in picked {
            let stack = self.table.heights.get(*height).and_then(|h| h.stacks.get(*stack));
            for (foil, count) in stack.map(uses).unwrap_or_default() {
                if let Some(left) = left.get_mut(foil) {
                    *left = left.saturating_sub(count);
                }
            }
        }
        left
    }

    /// Returns the span of what was picked in the band of the aim.
    fn even_span(&self, picked: &[&Picked]) -> Option<(i64, i64)> {
        let values = picked.iter().flat_map(|(members, height, _)| {
            members.iter().filter_map(|member| self.table.at(*member, *height))
        });
        let value = |at: &super::table::At| match self.ask.aim {
            Aim::Ratio => None,
            Aim::EvenDeck => Some(pm(at.deck)),
            Aim::EvenRatio => Some(pm(at.ratio)),
        };
        let spans = values.filter_map(value).map(|v| (v, v));
        spans.reduce(|(low, high), (l, h)| (low.min(l), high.max(h)))
    }

    /// Returns how many sets of stacks can be laid under the barrels of a head,
    /// not counting what is scarce.
    fn sets(&self, head: usize) -> u128 {
        let stacks: u128 = self.table.heights.iter().map(|h| h.stacks.len() as u128).sum();
        let units = self.ask.units();
        let here = units.iter().filter(|members| {
            members.iter().any(|m| self.ask.question.cylinders.get(*m).is_some_and(|c| c.head == head))
        });
        here.fold(1, |sets: u128, _| sets.saturating_mul(stacks))
    }
}

/// Returns for each head its group.
fn groups(ask: &ShimQuestion) -> Vec<usize> {
    let mut group_of: Vec<usize> = (0..ask.question.heads.len()).collect();
    for members in ask.units() {
        let heads: Vec<usize> =
            members.iter().filter_map(|m| Some(ask.question.cylinders.get(*m)?.head)).collect();
        let groups: Vec<usize> = heads.iter().filter_map(|head| group_of.get(*head)).copied().collect();
        let Some(first) = groups.iter().copied().min() else { continue };
        for of in &mut group_of {
            if groups.contains(of) {
                *of = first;
            }
        }
    }
    group_of
}
