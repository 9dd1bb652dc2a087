//! What the list of dimensions says of each: the kinds of its columns.

use super::dimension::Key;

/// Where a dimension stands in the machine, in the order in which a person
/// reads it: what raises the barrel, what raises the piston, what encloses
/// the space above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Raises the top of the barrel.
    Tower,
    /// Raises the piston.
    Reach,
    /// Encloses the space above the deck.
    BoreAndHead,
    /// What the piston fills or gives back.
    Crown,
    /// Angles at which the cylinder is shut.
    Timing,
    /// A deck reading taken on a trial assembly.
    Mockup,
}

impl Group {
    /// The heading.
    #[must_use]
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Tower => "Tower",
            Self::Reach => "Reach",
            Self::BoreAndHead => "Bore and head",
            Self::Crown => "Crown",
            Self::Timing => "Timing",
            Self::Mockup => "Mock-up",
        }
    }

    /// Whether its rows are put away until they are asked for: what few
    /// engines need.
    #[must_use]
    pub(crate) fn is_folded(self) -> bool {
        matches!(self, Self::Timing | Self::Mockup)
    }

    /// What the group does, in a few words.
    #[must_use]
    pub(crate) fn meaning(self) -> &'static str {
        match self {
            Self::Tower => "raises the barrel top",
            Self::Reach => "raises the piston",
            Self::BoreAndHead => "space above the deck",
            Self::Crown => "what the piston fills or gives back",
            Self::Timing => "when the cylinder is shut",
            Self::Mockup => "the deck as read on a trial assembly",
        }
    }
}

all!(pub(crate) Group: Tower, Reach, BoreAndHead, Crown, Timing, Mockup);

/// Which values of a dimension describe an engine that can be computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Allowed {
    /// Above 0.
    Positive,
    /// 0 or more.
    NotNegative,
    /// Any finite number.
    Any,
}

/// What stands for a dimension that was not given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Absent {
    /// The engine can't be computed without it.
    Required,
    /// It counts as 0.
    Zero,
    /// It equals another dimension.
    SameAs(Key),
    /// The figure that needs it is not given either.
    Nothing,
}

/// How a dimension stands in the stack from which the deck follows:
/// deck = what raises the top − what raises the piston.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stack {
    /// +1: it raises the top of the cylinder by as much.
    Top,
    /// −1: it raises the rim of the piston by as much.
    Piston,
    /// It raises the piston pin by way of crank and rod, not by as much.
    Crank,
    /// 0: it does not move the deck.
    Apart,
}

/// In which engines a dimension exists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exists {
    /// In every engine.
    Always,
    /// Where barrels stand on a case.
    UnderBarrels,
    /// In a four-stroke.
    FourStroke,
    /// In a two-stroke.
    TwoStroke,
    /// Where another dimension is above 0.
    With(Key),
}

/// How swept and clearance volume run along a dimension: what a search for a
/// wanted ratio has to reckon with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Course {
    /// A straight line.
    Straight,
    /// A straight line over the square of the dimension.
    Squared,
    /// A curve.
    Curved,
}

/// What a dimension is measured with at the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gauge {
    /// A dial indicator on a bridge.
    Indicator,
    /// A depth micrometer.
    DepthMicrometer,
    /// Straightedge and feeler gauges.
    Feeler,
    /// A height gauge on a surface plate, with mandrels.
    Height,
    /// An outside micrometer.
    OutsideMicrometer,
    /// A caliper.
    Caliper,
    /// A telescoping gauge and a micrometer.
    Telescoping,
    /// A dial bore gauge.
    Bore,
    /// A burette and a flat plate.
    Burette,
    /// A degree wheel and a positive stop.
    DegreeWheel,
    /// Solder, flattened and read with a micrometer.
    Solder,
    /// Modelling clay, cut and measured.
    Clay,
}

all!(
    pub(crate) Gauge: Indicator, DepthMicrometer, Feeler, Height, OutsideMicrometer, Caliper, Telescoping,
    Bore, Burette, DegreeWheel, Solder, Clay
);
