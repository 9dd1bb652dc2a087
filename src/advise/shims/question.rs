//! What is asked: which shims under each barrel, by which rules and to which
//! end.

use super::stock::Stock;
use crate::quantity::{Kind, UnitChoice, write};
use crate::schema::limit::LimitId;
use crate::schema::{Aim, Margin};
use crate::study::question::Question;
use crate::study::words;

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
    /// The most soft pieces under one barrel.
    pub soft_most: Option<u32>,
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

/// A rule that a choice must keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Constraint {
    /// The least gap between piston and head.
    SquishLow,
    /// The greatest gap between piston and head.
    SquishHigh,
    /// How far the ratio may lie from the wanted one.
    RatioWanted,
    /// The ratio that the fuel stands.
    RatioHigh,
    /// The effective or trapped ratio that the fuel stands.
    EffectiveHigh,
    /// The least gap between piston and intake valve.
    ValveIntake,
    /// The least gap between piston and exhaust valve.
    ValveExhaust,
    /// The least thread that holds the barrel.
    Thread,
    /// The fewest pieces under a barrel.
    PiecesLow,
    /// The most pieces under a barrel.
    PiecesHigh,
    /// The most soft pieces under a barrel.
    Soft,
    /// How far the tops under one head may differ.
    Level,
}

impl Constraint {
    /// All of them, in the order in which a person asks.
    pub const ALL: [Self; 12] = [
        Self::Level,
        Self::SquishLow,
        Self::SquishHigh,
        Self::RatioWanted,
        Self::RatioHigh,
        Self::EffectiveHigh,
        Self::ValveIntake,
        Self::ValveExhaust,
        Self::Thread,
        Self::PiecesLow,
        Self::PiecesHigh,
        Self::Soft,
    ];

    /// What is judged, as it stands before the value.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SquishLow | Self::SquishHigh => "squish",
            Self::RatioWanted => "ratio",
            Self::RatioHigh => "ratio for the fuel",
            Self::EffectiveHigh => "effective ratio",
            Self::ValveIntake => "piston to intake valve",
            Self::ValveExhaust => "piston to exhaust valve",
            Self::Thread => "thread",
            Self::PiecesLow | Self::PiecesHigh => "pieces",
            Self::Soft => "soft pieces",
            Self::Level => "level",
        }
    }

    /// The rule in words, for a sentence: "the least squish".
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::SquishLow => "the least squish",
            Self::SquishHigh => "the greatest squish",
            Self::RatioWanted => "the ratio tolerance",
            Self::RatioHigh => "the greatest ratio for the fuel",
            Self::EffectiveHigh => "the greatest effective ratio",
            Self::ValveIntake => "the least gap to the intake valve",
            Self::ValveExhaust => "the least gap to the exhaust valve",
            Self::Thread => "the least thread",
            Self::PiecesLow => "the fewest pieces",
            Self::PiecesHigh => "the most pieces",
            Self::Soft => "the most soft pieces",
            Self::Level => "the level tolerance",
        }
    }

    /// Whether a value below the limit breaks it; for the others one above
    /// it does.
    #[must_use]
    pub fn is_least(self) -> bool {
        matches!(
            self,
            Self::SquishLow | Self::ValveIntake | Self::ValveExhaust | Self::Thread | Self::PiecesLow
        )
    }

    fn is_length(self) -> bool {
        matches!(
            self,
            Self::SquishLow
                | Self::SquishHigh
                | Self::ValveIntake
                | Self::ValveExhaust
                | Self::Thread
                | Self::Level
        )
    }

    /// A value of this rule in the user's unit, without the unit.
    #[must_use]
    pub fn number(self, value: f64, units: &UnitChoice) -> String {
        match self {
            Self::PiecesLow | Self::PiecesHigh | Self::Soft => words::plain(value, 0),
            _ if self.is_length() => write(Kind::Length, value, None, units).number,
            _ => words::plain(value, 2),
        }
    }

    /// A value of this rule with its unit, where it has one.
    #[must_use]
    pub fn value(self, value: f64, units: &UnitChoice) -> String {
        if self.is_length() {
            write(Kind::Length, value, None, units).to_string()
        } else {
            self.number(value, units)
        }
    }
}

impl ShimQuestion {
    /// The limit of a rule under this head; none where it is not set. For the
    /// ratio it is the tolerance.
    #[must_use]
    pub fn limit(&self, rule: Constraint, head: usize) -> Option<f64> {
        let limits = &self.question.limits;
        match rule {
            Constraint::SquishLow => limits.value(LimitId::SquishLow),
            Constraint::SquishHigh => limits.value(LimitId::SquishHigh),
            Constraint::RatioWanted => self.question.target.and(limits.value(LimitId::RatioTolerance)),
            Constraint::RatioHigh => limits.value(LimitId::RatioHigh),
            Constraint::EffectiveHigh => limits.value(LimitId::EffectiveHigh),
            Constraint::ValveIntake => limits.value(LimitId::ValveIntake),
            Constraint::ValveExhaust => limits.value(LimitId::ValveExhaust),
            Constraint::Thread => self.clamp.map(|clamp| clamp.least_mm),
            Constraint::PiecesLow => limits.value(LimitId::PiecesLow),
            Constraint::PiecesHigh => Some(f64::from(self.pieces_most())),
            Constraint::Soft => self.soft_most.map(f64::from),
            Constraint::Level => {
                let head = self.question.heads.get(head).filter(|head| head.level)?;
                head.tolerance.as_ref().map(|l| l.value).or_else(|| limits.value(LimitId::Level))
            }
        }
    }

    /// The most pieces under one barrel that are looked at.
    #[must_use]
    pub fn pieces_most(&self) -> u32 {
        match self.question.limits.value(LimitId::PiecesHigh) {
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
