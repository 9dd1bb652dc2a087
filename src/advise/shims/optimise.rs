//! The best choice for all heads together.
//!
//! After every limit is held, choices are compared in this order: the worst
//! cost over all heads, then the cost of each head in the order of the
//! engine; the same for level; then all pieces, then all stacks on top of
//! each other. The cost is the distance from the wanted ratio. Where the
//! stock is ample each head so gets the best that it could have alone; where
//! it is not, the worst over all heads is the least possible.

use super::problem::Problem;
use super::search::{Bounds, Found, Measure, find, least};
use crate::advise::budget::{Budget, Stopped};

/// What was proved of a choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Proved {
    /// No other is better.
    Best,
    /// The search was stopped: no choice has a cost below this one. Where it is
    /// that of the choice, its cost is the least possible, and the rest may not
    /// be.
    CostAtLeast(f64),
}

/// The best choice, or the proof that there is none.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Optimum {
    /// The best choice.
    Choice(Found, Proved),
    /// It was proved that there is none.
    Impossible,
    /// The search was stopped before one was found.
    Unknown,
}

/// Finds the best choice for all units of the problem together.
pub(super) fn optimise(problem: &Problem, by_evenness: bool, budget: &mut Budget<'_>) -> Optimum {
    let mut bounds = Bounds::open(problem);
    let mut found = match find(problem, &bounds, budget) {
        Ok(Some(found)) => found,
        Ok(None) => return Optimum::Impossible,
        Err(Stopped) => return Optimum::Unknown,
    };
    let proved = improve(problem, by_evenness, &mut bounds, &mut found, budget);
    Optimum::Choice(found, proved)
}

fn improve(
    problem: &Problem,
    by_evenness: bool,
    bounds: &mut Bounds,
    found: &mut Found,
    budget: &mut Budget<'_>,
) -> Proved {
    if by_evenness {
        let band = problem.even_band();
        let set = |bounds: &mut Bounds, width| bounds.even = width;
        if let Err(width) = least(problem, bounds, found, budget, 0, set, |p, f| p.spread(f, band)) {
            return Proved::CostAtLeast(super::stock::mm(width));
        }
    } else if let Err(class) = of_groups(problem, bounds, found, budget, Measure::Cost) {
        return Proved::CostAtLeast(cost_of(problem, class));
    }
    let rest = [
        of_groups(problem, bounds, found, budget, Measure::Level).map(|()| 0),
        least(
            problem,
            bounds,
            found,
            budget,
            0,
            |b, most| b.pieces = most.try_into().unwrap_or(0),
            |p, f| i64::from(p.pieces(f)),
        ),
        least(problem, bounds, found, budget, 0, |b, most| b.pm = most, Problem::pm),
    ];
    if rest.iter().all(Result::is_ok) {
        return Proved::Best;
    }
    Proved::CostAtLeast(if by_evenness {
        super::stock::mm(problem.spread(found, problem.even_band()))
    } else {
        cost_of(problem, worst(problem, found, Measure::Cost))
    })
}

/// Returns the cost of a class.
fn cost_of(problem: &Problem, class: i64) -> f64 {
    usize::try_from(class).ok().and_then(|class| problem.classes.get(class)).copied().unwrap_or(0.0)
}

/// Returns the worst measure over all groups.
fn worst(problem: &Problem, found: &Found, measure: Measure) -> i64 {
    (0..problem.groups).map(|group| problem.measure(found, measure, group)).max().unwrap_or(0)
}

/// Minimises a measure: the worst over all groups first, then each group.
fn of_groups(
    problem: &Problem,
    bounds: &mut Bounds,
    found: &mut Found,
    budget: &mut Budget<'_>,
    measure: Measure,
) -> Result<(), i64> {
    let set = |bounds: &mut Bounds, group: usize, most: i64| match measure {
        Measure::Cost => {
            if let Some(place) = bounds.cost.get_mut(group) {
                *place = most.try_into().unwrap_or(0);
            }
        }
        Measure::Level => {
            if let Some(place) = bounds.level.get_mut(group) {
                *place = most;
            }
        }
    };
    let groups = problem.groups;
    // No barrel can do better than with the best of its stacks.
    let floor = match measure {
        Measure::Cost => problem.cost_floor(),
        Measure::Level => 0,
    };
    least(
        problem,
        bounds,
        found,
        budget,
        floor,
        |bounds, most| (0..groups).for_each(|group| set(bounds, group, most)),
        |p, f| worst(p, f, measure),
    )?;
    let promised = worst(problem, found, measure);
    for group in 0..groups {
        let one = |bounds: &mut Bounds, most| set(bounds, group, most);
        // The worst over all is proved; a group that is not weighs nothing
        // against it.
        least(problem, bounds, found, budget, 0, one, |p, f| p.measure(f, measure, group))
            .map_err(|_| promised)?;
    }
    Ok(())
}
