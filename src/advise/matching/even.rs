//! The search behind every pairing: each position takes one of its ways, no
//! part is used twice, and the values are to be as even as they can.
//!
//! Values are whole billionths, so that equal means equal. Along a branch no
//! part of the cost ever falls; a branch whose cost is not below the best is
//! dropped, and what is left when all are looked at is proved.

use crate::advise::budget::Budget;

/// Number of billionths in one.
const SCALE: f64 = 1e9;

/// Converts a value to a whole number of billionths; saturates far beyond any
/// engine.
pub(super) fn whole(value: f64) -> i64 {
    (value * SCALE).round() as i64
}

/// One way to fill a position.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    /// Indices of the parts that it uses, one of each sort.
    pub uses: [usize; 3],
    /// The least value that results.
    pub low: i64,
    /// The greatest value that results.
    pub high: i64,
    /// The group in which the top must be level, and its height.
    pub top: Option<(usize, i64)>,
    /// Number of parts that leave their position.
    pub moved: u32,
}

/// The problem to be solved.
#[derive(Clone, Debug, Default)]
pub(super) struct Problem {
    /// The ways of each position.
    pub places: Vec<Vec<Way>>,
    /// Greatest difference of tops, for each group.
    pub tolerances: Vec<i64>,
}

/// The unevenness of a pairing; less is better, from the left: out of level of
/// the worst group, difference of values, difference of tops, number of parts
/// that leave their position.
pub(super) type Cost = (i64, i64, i64, u32);

/// The result of the search.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The way taken at each position; `None` where no pairing fills all.
    pub ways: Option<Vec<Way>>,
    /// Whether nothing better can exist.
    pub proved: bool,
}

#[derive(Clone, Debug)]
struct State {
    used: [Vec<bool>; 3],
    taken: Vec<Way>,
    values: Option<(i64, i64)>,
    tops: Vec<Option<(i64, i64)>>,
    moved: u32,
}

fn wider(span: Option<(i64, i64)>, low: i64, high: i64) -> (i64, i64) {
    span.map_or((low, high), |(least, most)| (least.min(low), most.max(high)))
}

impl State {
    fn with(&self, way: &Way) -> Self {
        let mut next = self.clone();
        for (used, part) in next.used.iter_mut().zip(way.uses) {
            if let Some(place) = used.get_mut(part) {
                *place = true;
            }
        }
        next.values = Some(wider(self.values, way.low, way.high));
        if let Some((group, top)) = way.top
            && let Some(span) = next.tops.get_mut(group)
        {
            *span = Some(wider(*span, top, top));
        }
        next.moved += way.moved;
        next.taken.push(*way);
        next
    }

    fn free(&self, way: &Way) -> bool {
        self.used.iter().zip(way.uses).all(|(used, part)| !used.get(part).copied().unwrap_or(false))
    }

    /// Returns the cost of the ways taken, and of one more.
    fn cost(&self, tolerances: &[i64], more: Option<&Way>) -> Cost {
        let (mut level, mut excess) = (0, 0);
        let more_top = more.and_then(|way| way.top);
        for (group, (span, tolerance)) in self.tops.iter().zip(tolerances).enumerate() {
            let span = match more_top {
                Some((of, top)) if of == group => Some(wider(*span, top, top)),
                _ => *span,
            };
            let spread = span.map_or(0, |(least, most)| most.saturating_sub(least));
            level = level.max(spread);
            excess = excess.max(spread - tolerance);
        }
        let values = more.map_or(self.values, |way| Some(wider(self.values, way.low, way.high)));
        let spread = values.map_or(0, |(least, most)| most.saturating_sub(least));
        (excess, spread, level, self.moved + more.map_or(0, |way| way.moved))
    }
}

struct Search<'a, 'b, 's> {
    problem: &'a Problem,
    budget: &'b mut Budget<'s>,
    stopped: bool,
    best: Option<(Cost, Vec<Way>)>,
}

impl Search<'_, '_, '_> {
    fn down(&mut self, state: &State) {
        let Some(ways) = self.problem.places.get(state.taken.len()) else {
            let cost = state.cost(&self.problem.tolerances, None);
            if self.best.as_ref().is_none_or(|(best, _)| cost < *best) {
                self.best = Some((cost, state.taken.clone()));
            }
            return;
        };
        let mut next: Vec<(Cost, &Way)> = Vec::new();
        for way in ways.iter().filter(|way| state.free(way)) {
            self.stopped |= self.budget.spend(1).is_err();
            if self.stopped {
                break;
            }
            let cost = state.cost(&self.problem.tolerances, Some(way));
            if self.best.as_ref().is_none_or(|(best, _)| cost < *best) {
                next.push((cost, way));
            }
        }
        // The evenest first: a good choice early drops the most later on.
        next.sort_by_key(|(cost, _)| *cost);
        for (cost, way) in next {
            if self.best.as_ref().is_some_and(|(best, _)| cost >= *best) {
                break;
            }
            self.down(&state.with(way));
        }
    }
}

/// Returns the evenest filling of all positions that is found within the
/// budget; `stands` is the present one, from which the search starts.
pub(super) fn solve(problem: &Problem, stands: &[Way], budget: &mut Budget<'_>) -> Found {
    let parts = problem.places.iter().flatten().flat_map(|way| way.uses).max().map_or(0, |most| most + 1);
    let start = State {
        used: std::array::from_fn(|_| vec![false; parts]),
        taken: Vec::new(),
        values: None,
        tops: vec![None; problem.tolerances.len()],
        moved: 0,
    };
    let mut search = Search { problem, budget, stopped: false, best: None };
    if stands.len() == problem.places.len() {
        let state = stands.iter().fold(start.clone(), |state, way| state.with(way));
        search.best = Some((state.cost(&problem.tolerances, None), stands.to_vec()));
    }
    search.down(&start);
    Found { proved: !search.stopped, ways: search.best.map(|(_, ways)| ways) }
}
