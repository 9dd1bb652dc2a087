//! What is asked: which shims under each barrel, by which rules and to which
//! end.

use super::stock::Stock;
use crate::schema::limit::{Limit, LimitId};
use crate::schema::{Aim, Margin};
use crate::study::question::Question;

/// Up to how many pieces a stack is looked at where no limit of pieces is
/// set. Three are accepted only where the maker sells shims for stacking
/// (common practice).
pub(crate) const PIECES_UNLIMITED: u32 = 3;

/// How far the studs or bolts that clamp the barrels reach into their thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamp {
    /// The length of thread that holds, mm, as it was measured.
    pub engagement_mm: f64,
    /// The shims that were under the barrel then, mm.
    pub with_shim_mm: f64,
    /// The least that is wanted, mm.
    pub least_mm: f64,
}

/// Everything that is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct ShimQuestion {
    /// Cylinders, heads, limits and the wanted ratio; the shims that are
    /// fitted now don't matter but for the readings that were taken over
    /// them.
    pub question: Question,
    /// What can be fitted: all of it, also what lies under a barrel now.
    pub stock: Stock,
    /// Whether the shims are sold by the inch.
    pub inch_stock: bool,
    /// For each cylinder the number of its casting: those that share one
    /// stand on the same shims and move together.
    pub castings: Vec<usize>,
    /// The thread of the clamp, where somebody measured it.
    pub clamp: Option<Clamp>,
    /// Where the limits are held.
    pub margin: Margin,
    /// What makes a choice better.
    pub aim: Aim,
}

impl ShimQuestion {
    /// What a limit that binds the choice is under this head; none where it
    /// is not set. For the ratio it is the tolerance.
    #[must_use]
    pub fn limit(&self, rule: LimitId, head: usize) -> Option<f64> {
        let limits = &self.question.limits;
        match rule {
            LimitId::RatioTolerance => self.question.target.and(limits.value(rule)),
            LimitId::ThreadMin => self.clamp.map(|clamp| clamp.least_mm),
            LimitId::PiecesMax => Some(f64::from(self.pieces_most())),
            LimitId::Level => {
                let head = self.question.heads.get(head).filter(|head| head.level)?;
                head.tolerance.as_ref().map(Limit::base).or_else(|| limits.value(rule))
            }
            _ => limits.value(rule),
        }
    }

    /// The most pieces under one barrel that are looked at.
    #[must_use]
    pub fn pieces_most(&self) -> u32 {
        match self.question.limits.value(LimitId::PiecesMax) {
            // Saturates; a limit of pieces is a small whole number.
            Some(most) => most.max(0.0) as u32,
            None => PIECES_UNLIMITED,
        }
    }

    /// The places of the cylinders under a head.
    #[must_use]
    pub fn under(&self, head: usize) -> Vec<usize> {
        let cylinders = self.question.cylinders.iter().enumerate();
        cylinders.filter(|(_, c)| c.head == head).map(|(place, _)| place).collect()
    }

    /// The cylinders that move together: each casting once, in the order of
    /// its first cylinder.
    #[must_use]
    pub fn units(&self) -> Vec<Vec<usize>> {
        let mut units: Vec<(usize, Vec<usize>)> = Vec::new();
        for place in 0..self.question.cylinders.len() {
            // A cylinder without a number stands alone.
            let alone = self.question.cylinders.len() + place;
            let casting = self.castings.get(place).copied().unwrap_or(alone);
            match units.iter_mut().find(|(of, _)| *of == casting) {
                Some((_, members)) => members.push(place),
                None => units.push((casting, vec![place])),
            }
        }
        units.into_iter().map(|(_, members)| members).collect()
    }
}
