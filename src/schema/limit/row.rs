//! What the rows of the list of limits say.

use super::table::{Judged, LimitId};
use crate::engine::Key;
use crate::quantity::Kind;
use crate::reading::Valve;

/// The unit of a limit and of what it judges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A length or a volume, in its base unit (mm, cc).
    Of(Kind),
    /// A plain number.
    Ratio,
    /// Metres per second.
    Speed,
    /// A count of pieces.
    Count,
}

/// What one limit holds for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Each cylinder by itself.
    Cylinder,
    /// The cylinders under one head.
    Head,
    /// All cylinders together.
    Engine,
}

/// Which side of a value a limit stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// The value must not be less.
    AtLeast,
    /// The value must not be more.
    AtMost,
    /// The value that is wanted; how far from it one may be is another limit.
    Wanted,
    /// How far the value may lie from the one that is wanted.
    FromWanted,
}

/// What must be there for a limit to judge anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feed {
    /// A figure of the engine, by its key in the JSON.
    Figure(&'static str),
    /// A dimension.
    Dimension(Key),
    /// What the engine is asked to do, by its key in the file.
    Duty(&'static str),
    /// Readings of the distance of piston and valve.
    PistonToValve(Valve),
    /// The shims in the drawer: what lies under a barrel is counted while one
    /// chooses.
    Stock,
    /// The thread that clamps the barrels, as it was measured.
    Clamp,
}

impl Feed {
    /// What sort of thing it is, for other programs.
    #[must_use]
    pub(crate) fn sort(self) -> &'static str {
        match self {
            Self::Figure(_) => "figure",
            Self::Dimension(_) => "dimension",
            Self::Duty(_) => "duty",
            Self::PistonToValve(_) => "reading",
            Self::Stock => "stock",
            Self::Clamp => "clamp",
        }
    }

    /// Its key in the file or in the JSON, where it has one.
    #[must_use]
    pub(crate) fn key(self) -> Option<&'static str> {
        match self {
            Self::Figure(key) | Self::Duty(key) => Some(key),
            Self::Dimension(key) => Some(key.id()),
            Self::PistonToValve(Valve::Intake) => Some("piston_to_intake_valve"),
            Self::PistonToValve(Valve::Exhaust) => Some("piston_to_exhaust_valve"),
            Self::Stock | Self::Clamp => None,
        }
    }

    /// What it is in a sentence.
    #[must_use]
    pub(crate) fn words(self) -> String {
        match self {
            Self::Figure(key) | Self::Duty(key) => format!("{} {key}", self.sort()),
            Self::Dimension(key) => format!("dimension {}", key.id()),
            Self::PistonToValve(valve) => format!("reading of piston to {} valve", valve.name()),
            Self::Stock => "shims in the drawer".to_owned(),
            Self::Clamp => "the thread of the clamp".to_owned(),
        }
    }
}

/// One row of the list of what is judged.
#[derive(Clone, Copy, Debug)]
pub struct JudgedRow {
    /// What is judged.
    pub id: Judged,
    /// The name, as it stands before the value.
    pub name: &'static str,
    /// The name in a sentence.
    pub short: &'static str,
    /// The unit of its value.
    pub measure: Measure,
    /// What one value belongs to.
    pub scope: Scope,
    /// What it comes from; any one of them is enough.
    pub fed_by: &'static [Feed],
    /// The word of the trade that explains it.
    pub term: &'static str,
}

/// One row of the list of limits.
#[derive(Clone, Copy, Debug)]
pub struct LimitRow {
    /// The limit.
    pub id: LimitId,
    /// Its key among the limits of a file; none for a limit that is kept with
    /// the part that it belongs to.
    pub key: Option<&'static str>,
    /// The trade's name of what is bounded.
    pub name: &'static str,
    /// The limit in a sentence, after "the": "least squish".
    pub title: &'static str,
    /// What it judges.
    pub judged: Judged,
    /// Least, most, wanted.
    pub form: Form,
    /// Its place among the limits that a choice of shims must keep, in the
    /// order in which a person asks: the one that is changed last comes first.
    /// None for a limit that no shim moves.
    pub bound: Option<usize>,
    /// What it guards against, in one sentence.
    pub meaning: &'static str,
}
