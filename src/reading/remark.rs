//! Remarks on readings, in addition to their mean.

use super::record::{DeckPlace, Subject};
use super::run::NOT_CLAMPED_MM;
use crate::quantity::{Kind, UnitChoice, write};

/// A remark on the readings of one thing. None of them changes a value.
#[derive(Clone, Debug, PartialEq)]
pub enum Remark {
    /// No value counts.
    NoValue,
    /// A single value, with or without a stated ± of the instrument.
    SingleValue {
        /// Whether the instrument states how far it scatters.
        stated: bool,
    },
    /// All values at each place are equal: the scale hides the scatter.
    AllEqual,
    /// Two values further apart than the instrument explains, mm, cc or
    /// degrees; nobody can tell which one is wrong.
    TwoApart(f64),
    /// No instrument is named.
    NoInstrument,
    /// An instrument is named that is not in the list, or that measures
    /// something else.
    UnknownInstrument(String),
    /// The instrument has no step.
    NoStep,
    /// The instrument states no repeatability.
    NoRepeatability,
    /// A value, as written, is of another kind, and left out.
    WrongKind(String),
    /// The values are written in more than one unit.
    MixedUnits,
    /// Readings with the barrel held by hand are left out, as there are
    /// clamped ones.
    FloatingLeftOut,
    /// Read with the barrel held by hand only.
    Floating,
    /// Read at one end of the pin axis only.
    OneEnd(DeckPlace),
    /// Read at one edge of the piston only.
    OneEdge,
    /// The place was not noted.
    PlaceUnsaid,
    /// The rock of the piston was not read.
    RockUnread,
    /// The reading on the pin axis does not lie between those at the edges.
    NotBetweenEdges,
    /// Two runs that differ by more than their uncertainties explain.
    RunsPart {
        /// Their difference, above 0.
        difference: f64,
        /// Its expanded uncertainty.
        expanded: f64,
    },
    /// Squeezed solder springs back.
    Springback,
    /// One run notes its shim and another does not.
    ShimUnsaid,
    /// A value of 0: piston and valve touch.
    Contact,
    /// A distance to a valve without its crank angle.
    AngleUnsaid,
    /// The least of a sweep is the first or the last of it.
    LeastAtEnd,
    /// Distances to a valve over other shims than the last are left out.
    OtherShims,
}

impl Remark {
    /// Returns the sentence for it, in the user's units.
    #[must_use]
    pub fn sentence(&self, of: &Subject, units: &UnitChoice) -> String {
        let number = |v: f64| write(of.kind(), v, None, units).to_string();
        let length = |v: f64| write(Kind::Length, v, None, units).to_string();
        match self {
            Self::NoValue => "No value counts: enter what was read".into(),
            Self::SingleValue { stated: true } => {
                "One value shows no scatter; the ± of the instrument stands in. Read it three times".into()
            }
            Self::SingleValue { stated: false } => {
                "One value shows no scatter, and no ± of an instrument is known. Read it three times".into()
            }
            Self::AllEqual => {
                "All values are equal: the scale is too coarse to show the scatter, and its step counts".into()
            }
            Self::TwoApart(apart) => {
                format!("Two values lie {} apart. Read a third time to see which one is odd", number(*apart))
            }
            Self::NoInstrument => {
                "No instrument is named: only the scatter and the last digit written count as doubt".into()
            }
            Self::UnknownInstrument(id) => {
                format!("‘{id}’ is not in the list of instruments, or measures something else")
            }
            Self::NoStep => "The instrument has no step: nothing is added for reading its scale".into(),
            Self::NoRepeatability => {
                "The instrument states no ±: what repeating does not show is not counted".into()
            }
            Self::WrongKind(text) => {
                format!("‘{text}’ is left out: {} belongs there", of.kind().with_article())
            }
            Self::MixedUnits => "The values are written in more than one unit; each is taken as written".into(),
            Self::FloatingLeftOut => {
                "Values read with the barrel held by hand are left out of the mean, as there are clamped ones"
                    .into()
            }
            Self::Floating => format!(
                "Held by hand a barrel floats: ± {} is added (common practice). Clamp it as it will run",
                length(NOT_CLAMPED_MM)
            ),
            Self::OneEnd(DeckPlace::PinAxisRear) => {
                "Read at the rear of the pin axis only; read the front too and take the mean".into()
            }
            Self::OneEnd(_) => {
                "Read at the front of the pin axis only; read the rear too and take the mean".into()
            }
            Self::OneEdge => {
                "Read at one edge only: the rock of the piston is in it. Read over the pin axis".into()
            }
            Self::PlaceUnsaid => "The place is not noted; it is taken as on the pin axis".into(),
            Self::RockUnread => {
                "The rock of the piston is not known: read at the thrust and the anti-thrust edge too".into()
            }
            Self::NotBetweenEdges => {
                "The value on the pin axis does not lie between those at the two edges: read all of them again"
                    .into()
            }
            Self::RunsPart { difference, expanded } => format!(
                "Two sets of readings differ by {}, and their doubts explain {}",
                number(*difference),
                number(*expanded)
            ),
            Self::Springback => {
                "Solder springs back by 0.01 to 0.03 mm and reads a little wide (common practice)".into()
            }
            Self::Contact => {
                "0 is contact: piston and valve touch. Don't turn the engine over before that is put right"
                    .into()
            }
            Self::AngleUnsaid => {
                "Where the crank angle is not noted, the value is taken as the least of a whole sweep".into()
            }
            Self::LeastAtEnd => {
                "The least is at the end of the angles that were read: read on beyond it".into()
            }
            Self::OtherShims => "Values read over other shims are left out: the last shims count".into(),
            Self::ShimUnsaid => {
                "The shim is noted for some of the readings only; the others are taken as read without one".into()
            }
        }
    }
}
