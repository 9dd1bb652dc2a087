//! The expressions of lessons: arithmetic and comparisons over the facts of
//! an engine, parsed once, with units checked while parsing.
//!
//! | written | means |
//! | --- | --- |
//! | `0.2 mm`, `9 thou`, `3 cc`, `10 deg`, `7` | numbers; a length needs its unit |
//! | `base_shim`, `static_ratio`, … | a dimension by its key, or a fact ([`super::fact`]) |
//! | `+` `−` `×` `÷` (also `- * /`) | arithmetic |
//! | `<` `≤` `=` `≠` `≥` `>` (also `<= == != >=`) | comparisons |
//! | `and` `or` `not` `true` `false` | truths |
//! | `abs(x)` `min(x, y)` `max(x, y)` `round(x, step)` | of numbers |
//! | `start(x)` | x when the step began |
//! | `cylinder('5', x)` | x of another cylinder |
//! | `with(base_shim, 0.5 mm, x)` | x if a dimension had another value |
//! | `turned(10 deg, x)` | x with the crank at this angle |
//! | `least(x)` `most(x)` `spread(x)` `all(t)` `any(t)` | over all cylinders |
//! | `dwell(0.02 mm)` | the crank angle over which the piston stays within this of its top |
//! | `read(bore)` `times(bore)` `spread_read(bore)` `doubt_read(bore)` | of the readings of a dimension; `mockup_deck` for the deck |
//! | `struck(bore)` `odd(bore)` | how many of its readings are struck out, how many are outliers |
//! | `edge(thrust)` `edge_times(thrust)` | mean and count of the deck readings at a place |
//! | `share(chamber_volume, static_ratio)` | share of a dimension in the uncertainty of a figure |
//! | `ring(1, wanted)` | of a ring, from the top: wanted, delivered, now, to_file, for_wear, closes, stands |
//! | `shows(towers)` | whether a view or panel is open |

mod parse;

use super::eval::Shows;
use super::fact::{Fact, RingFact};
use crate::engine::Key;
use crate::quantity::Kind;
use crate::reading::DeckPlace;
use crate::study::Figure;

/// The sort of an expression's value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// True or false.
    Truth,
    /// A number without unit.
    Plain,
    /// A number of things.
    Count,
    /// A compression ratio and the like.
    Ratio,
    /// A part of a whole, 0 to 1.
    Share,
    /// A length, mm.
    Length,
    /// Distance of a rim below the top, mm: a length with a side.
    Gap,
    /// A volume, cc.
    Volume,
    /// An angle, degrees.
    Angle,
}

impl Sort {
    /// Returns the sort of a dimension.
    #[must_use]
    pub fn of_key(key: Key) -> Self {
        match (key, key.kind()) {
            (Key::MockupDeck, _) => Self::Gap,
            (_, Kind::Length) => Self::Length,
            (_, Kind::Volume) => Self::Volume,
            (_, Kind::Angle) => Self::Angle,
        }
    }

    /// Returns the sort of a figure.
    #[must_use]
    pub fn of_figure(figure: Figure) -> Self {
        match figure {
            Figure::DeckClearance => Self::Gap,
            Figure::SquishClearance => Self::Length,
            Figure::ClearanceVolume => Self::Volume,
            Figure::StaticRatio | Figure::EffectiveRatio => Self::Ratio,
        }
    }

    /// Returns the kind of quantity; `None` without unit.
    #[must_use]
    pub fn kind(self) -> Option<Kind> {
        match self {
            Self::Length | Self::Gap => Some(Kind::Length),
            Self::Volume => Some(Kind::Volume),
            Self::Angle => Some(Kind::Angle),
            Self::Truth | Self::Plain | Self::Count | Self::Ratio | Self::Share => None,
        }
    }

    fn is_number(self) -> bool {
        self != Self::Truth
    }

    fn words(self) -> &'static str {
        match self {
            Self::Truth => "a truth",
            Self::Plain | Self::Count | Self::Ratio | Self::Share => "a number without unit",
            Self::Length | Self::Gap => "a length",
            Self::Volume => "a volume",
            Self::Angle => "an angle",
        }
    }
}

/// An operation on two numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Join {
    /// x + y
    Plus,
    /// x − y
    Minus,
    /// x × y
    Times,
    /// x ÷ y
    Over,
    /// The lesser.
    Min,
    /// The greater.
    Max,
    /// x to the nearest multiple of y.
    Round,
}

/// A comparison of two numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compare {
    /// <
    Less,
    /// ≤
    AtMost,
    /// =, to a billionth.
    Same,
    /// ≠
    Other,
    /// ≥
    AtLeast,
    /// >
    More,
}

/// A question over all cylinders.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// The least.
    Least,
    /// The greatest.
    Most,
    /// Greatest less least.
    Spread,
    /// True of each.
    All,
    /// True of one at least.
    Any,
}

/// A question about the readings of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Read {
    /// The value of the evaluation.
    Value,
    /// Number of readings that count.
    Times,
    /// Largest less smallest at one place, the largest such.
    Spread,
    /// The expanded uncertainty of the value.
    Doubt,
    /// Number of readings that were struck out.
    Struck,
    /// Number of outliers that nobody has decided on.
    Odd,
}

/// One node of an expression.
#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    Truth(bool),
    Number(f64),
    Dimension(Key),
    Fact(Fact),
    Shows(Shows),
    Not(Box<Expr>),
    Both(Box<Expr>, Box<Expr>),
    Either(Box<Expr>, Box<Expr>),
    Compared(Compare, Box<Expr>, Box<Expr>),
    Negative(Box<Expr>),
    Abs(Box<Expr>),
    Joined(Join, Box<Expr>, Box<Expr>),
    Start(Box<Expr>),
    Cylinder(String, Box<Expr>),
    With(Key, Box<Expr>, Box<Expr>),
    Turned(Box<Expr>, Box<Expr>),
    Dwell(Box<Expr>),
    Across(Across, Box<Expr>),
    Read(Read, Key),
    Edge(DeckPlace),
    EdgeTimes(DeckPlace),
    Share(Key, Figure),
    Ring(usize, RingFact),
}

/// A parsed expression.
///
/// ```
/// use crowndeck::lesson::{Expr, Sort};
/// let done = Expr::parse("abs(deck_clearance − start(deck_clearance) − 0.2 mm) < 0.01 mm", &[]).unwrap();
/// assert_eq!(done.sort, Sort::Truth);
/// let error = Expr::parse("deck_clearance > static_ratio", &[]).unwrap_err();
/// assert_eq!(error.column, 18);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    /// The root node.
    pub node: Node,
    /// The sort of its value.
    pub sort: Sort,
}

impl Expr {
    /// The expressions that this one is made of.
    fn parts(&self) -> impl Iterator<Item = &Self> {
        let (one, other) = match &self.node {
            Node::Truth(_)
            | Node::Number(_)
            | Node::Dimension(_)
            | Node::Fact(_)
            | Node::Shows(_)
            | Node::Read(..)
            | Node::Edge(_)
            | Node::EdgeTimes(_)
            | Node::Share(..)
            | Node::Ring(..) => (None, None),
            Node::Not(x)
            | Node::Negative(x)
            | Node::Abs(x)
            | Node::Start(x)
            | Node::Cylinder(_, x)
            | Node::Dwell(x)
            | Node::Across(_, x) => (Some(x), None),
            Node::Both(x, y)
            | Node::Either(x, y)
            | Node::Compared(_, x, y)
            | Node::Joined(_, x, y)
            | Node::With(_, x, y)
            | Node::Turned(x, y) => (Some(x), Some(y)),
        };
        one.into_iter().chain(other).map(AsRef::as_ref)
    }

    /// How many operations it has.
    pub(super) fn nodes(&self) -> usize {
        1 + self.parts().map(Self::nodes).sum::<usize>()
    }

    /// How much work it is, in looks at one fact, for an engine with so many
    /// cylinders: what is asked of all of them is asked of each.
    pub(super) fn work(&self, cylinders: usize) -> usize {
        let own = match &self.node {
            Node::Read(..) | Node::Edge(_) | Node::EdgeTimes(_) | Node::Share(..) | Node::Ring(..) => 10,
            _ => 1,
        };
        let inner = self.parts().map(|part| part.work(cylinders)).fold(0_usize, usize::saturating_add);
        let times = if matches!(self.node, Node::Across(..)) { cylinders.max(1) } else { 1 };
        inner.saturating_mul(times).saturating_add(own)
    }
}

#[cfg(test)]
mod tests;
