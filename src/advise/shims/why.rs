//! Why a choice was not made, and why there may be none.

use super::answer::HeadCase;
use super::choice::{Picked, ShimChoice, choice};
use super::problem::{Cost, Problem, Rules};
use super::question::ShimQuestion;
use super::ranked::ranked;
use super::remedies::{Remedy, ShimRange, remedies, shim_ranges};
use super::search::{Bounds, Measure, find, least};
use super::stock::mm;
use super::table::StackTable;
use crate::advise::budget::Budget;
use crate::schema::limit::{Limit, LimitId};

/// The reasons why no choice holds every limit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Why {
    /// The limits that can't be held together with the stock; without any one
    /// of them a choice exists. Empty where not even a choice without limits
    /// exists.
    pub clash: Vec<LimitId>,
    /// Whether a cylinder can't exist whatever lies under it.
    pub parts_at_fault: bool,
    /// Whether the stock would suffice for this head alone, and the other heads
    /// take what it needs.
    pub starved: bool,
    /// The range of shim that each barrel needs, whatever the stock.
    pub wishes: Vec<ShimRange>,
    /// The value that one limit alone would have to have, with the choice that
    /// it makes possible; nearest to the limit first.
    pub relaxations: Vec<Relaxation>,
    /// Remedies that could make a choice possible.
    pub ways: Vec<Remedy>,
}

/// The value that one limit alone would have to have for a choice to exist.
#[derive(Clone, Debug, PartialEq)]
pub struct Relaxation {
    /// The rule.
    pub rule: LimitId,
    /// The present limit; for the ratio, the tolerance.
    pub limit: f64,
    /// The value that it would have to have, at least or at most.
    pub needed: f64,
    /// The best choice then.
    pub choice: ShimChoice,
}

/// Greatest number of near misses reported where a choice exists.
const MAX_MISSES: usize = 3;

/// Returns the best choices that break one rule each, best first: what the rule
/// costs. Only those are reported that would be better without it.
pub(super) fn misses(case: &HeadCase<'_>, budget: &mut Budget<'_>) -> Vec<ShimChoice> {
    let solver = case.solver;
    let mut all: Vec<ShimChoice> = Vec::new();
    for rule in LimitId::bound() {
        if solver.ask.limit(rule, case.head).is_none() {
            continue;
        }
        let rules = Rules::all().without(rule);
        let problem = solver.problem_by(&[case.group], case.counts, case.even, rules, Cost::Aim);
        // What is not known can't be reported.
        let Ok(best) = ranked(&problem, solver.by_evenness(), 1, budget) else { continue };
        for found in best {
            let picked: Vec<Picked> = solver.picked(&problem, &found).map(|(_, picked)| picked).collect();
            let miss = choice(solver.ask, solver.table, case.head, &picked);
            if !miss.breaks.is_empty() && !all.iter().any(|other| other.is_alike(&miss)) {
                all.push(miss);
            }
        }
    }
    let error = |miss: &ShimChoice| miss.worst_ratio_error.unwrap_or(0.0);
    all.sort_by(|a, b| error(a).total_cmp(&error(b)).then(a.level_spread_mm.total_cmp(&b.level_spread_mm)));
    all.truncate(MAX_MISSES);
    all
}

/// Returns why there is no choice under this head.
pub(super) fn why_not(case: &HeadCase<'_>, starved: bool, budget: &mut Budget<'_>) -> Why {
    let solver = case.solver;
    let mut members = solver.heads(&[case.group]).into_iter().flat_map(|head| solver.ask.under(head));
    if members.any(|place| solver.table.faults.get(place).is_some_and(|faults| !faults.is_empty())) {
        return Why { parts_at_fault: true, ..Why::default() };
    }
    // Nobody knows whether there is none.
    if budget.is_spent() {
        return Why { starved, ..Why::default() };
    }
    let (clash, relaxations) = (clash(case, budget), relaxations(case, budget));
    let ways = if budget.is_spent() { Vec::new() } else { remedies(case, budget) };
    Why {
        clash,
        parts_at_fault: false,
        starved,
        wishes: shim_ranges(solver.ask, case.head),
        relaxations,
        ways,
    }
}

/// Returns rules that can't be held together, none of which could be left out:
/// taken away one by one, as long as it stays impossible without.
fn clash(case: &HeadCase<'_>, budget: &mut Budget<'_>) -> Vec<LimitId> {
    let solver = case.solver;
    let mut rules = Rules::all();
    let mut is_impossible = |rules: Rules| {
        let problem = solver.problem_by(&[case.group], case.counts, None, rules, Cost::Aim);
        find(&problem, &Bounds::open(&problem), budget) == Ok(None)
    };
    // Those that a person changes last stay longest.
    for rule in LimitId::bound().rev() {
        if is_impossible(rules.without(rule)) {
            rules = rules.without(rule);
        }
    }
    if rules == Rules::none() {
        return Vec::new();
    }
    LimitId::bound().filter(|rule| rules.has(*rule)).collect()
}

/// Returns for each limit alone the least by which it would have to give.
fn relaxations(case: &HeadCase<'_>, budget: &mut Budget<'_>) -> Vec<Relaxation> {
    let ask = case.solver.ask;
    let mut all = Vec::new();
    for rule in LimitId::bound() {
        let Some(limit) = ask.limit(rule, case.head) else { continue };
        // One piece more is what a person would think of.
        let more =
            (rule == LimitId::PiecesMax).then(|| StackTable::of(ask, &ask.stock, ask.pieces_most() + 1));
        let table = more.as_ref().unwrap_or(case.solver.table);
        let Some(needed) = needed(case, table, rule, limit, budget) else { continue };
        let relaxed = with_limit(ask, rule, case.head, needed);
        let table = StackTable::of(&relaxed, &relaxed.stock, relaxed.pieces_most());
        if let Some(fits) = first(&relaxed, &table, case, case.counts, budget) {
            // Judged by the limits as they are.
            let picked = fits;
            all.push(Relaxation { rule, limit, needed, choice: choice(ask, &table, case.head, &picked) });
        }
    }
    // Nearest first, by what part of the limit has to be given.
    let part = |r: &Relaxation| (r.needed - r.limit).abs() / r.limit.abs().max(f64::MIN_POSITIVE);
    all.sort_by(|a, b| part(a).total_cmp(&part(b)));
    all
}

/// Returns the value that a limit would have to have, if relaxing it alone
/// helps.
fn needed(
    case: &HeadCase<'_>,
    table: &StackTable,
    rule: LimitId,
    limit: f64,
    budget: &mut Budget<'_>,
) -> Option<f64> {
    let solver =
        super::answer::Solver { ask: case.solver.ask, table, group_of: case.solver.group_of.clone() };
    let rules = Rules::all().without(rule);
    let cost = if rule == LimitId::Level { Cost::Aim } else { Cost::Excess(rule) };
    let problem = solver.problem_by(&[case.group], case.counts, None, rules, cost);
    let mut bounds = Bounds::open(&problem);
    let mut found = find(&problem, &bounds, budget).ok()??;
    let group = case.group;
    if rule == LimitId::Level {
        let level = |bounds: &mut Bounds, most| bounds.level.iter_mut().for_each(|level| *level = most);
        let measure = |p: &Problem, f: &Vec<usize>| p.measure(f, Measure::Level, group);
        let spread = least(&problem, &mut bounds, &mut found, budget, 0, level, measure).ok()?;
        let doubt = table.level_doubts.get(case.head).copied().unwrap_or(0);
        return Some(mm(spread + doubt));
    }
    let cost = |bounds: &mut Bounds, most: i64| {
        bounds.cost.iter_mut().for_each(|cost| *cost = most.try_into().unwrap_or(0));
    };
    let measure = |p: &Problem, f: &Vec<usize>| p.measure(f, Measure::Cost, group);
    let class = least(&problem, &mut bounds, &mut found, budget, 0, cost, measure).ok()?;
    let excess = problem.classes.get(usize::try_from(class).ok()?)?;
    Some(if rule.is_least() { limit - excess } else { limit + excess })
}

/// Returns the best choice under the head of the case, for another question.
pub(super) fn first(
    ask: &ShimQuestion,
    table: &StackTable,
    case: &HeadCase<'_>,
    counts: &[u32],
    budget: &mut Budget<'_>,
) -> Option<Vec<Picked>> {
    let solver = super::answer::Solver { ask, table, group_of: case.solver.group_of.clone() };
    let problem = solver.problem(&[case.group], counts, case.even);
    let best = ranked(&problem, solver.by_evenness(), 1, budget).ok()?.into_iter().next()?;
    let picked = solver.picked(&problem, &best).map(|(_, picked)| picked).collect();
    Some(picked)
}

/// Returns the same question with one limit at another value.
fn with_limit(ask: &ShimQuestion, rule: LimitId, head: usize, value: f64) -> ShimQuestion {
    let mut relaxed = ask.clone();
    match rule {
        LimitId::ThreadMin => {
            if let Some(clamp) = &mut relaxed.clamp {
                clamp.least_mm = value;
            }
        }
        LimitId::Level => {
            if let Some(head) = relaxed.question.heads.get_mut(head) {
                head.tolerance = Some(Limit::builder(value));
            }
        }
        _ => {
            let source = relaxed.question.limits.get(rule).map(|limit| limit.source.clone());
            let limit = Limit { source: source.unwrap_or_default(), ..Limit::builder(value) };
            relaxed.question.limits.set(rule, Some(limit));
        }
    }
    relaxed
}
