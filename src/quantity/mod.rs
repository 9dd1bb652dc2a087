//! Lengths, volumes and angles: reads them from text with units, writes them in
//! the units that the user wants. Knows nothing about engines.
//!
//! [`Quantity`] is a value as it was typed: 43 thou stays 43 thou. [`write()`]
//! writes a computed value in the units that the user chose. [`suspects`] asks
//! whether a value outside its plausible range may be a slip of the unit or of
//! the decimal mark.

mod error;
mod exact;
mod grammar;
mod slip;
mod unit;
mod value;
mod write;

pub use error::QuantityError;
pub(crate) use slip::Slip;
pub use slip::suspects;
pub use unit::Unit;
pub use value::Quantity;
pub use write::{LengthUnit, UnitChoice, write};
pub(crate) use write::{VolumeUnit, Written, default_decimals};

/// A kind of quantity. Each kind has one base unit, in which everything is
/// computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A length; the base unit is the millimetre.
    Length,
    /// A volume; the base unit is the cubic centimetre (cc).
    Volume,
    /// An angle; the base unit is the degree.
    Angle,
}

impl Kind {
    /// Returns the unit of a number that was given without one.
    #[must_use]
    pub fn base_unit(self) -> Unit {
        match self {
            Self::Length => Unit::Millimetre,
            Self::Volume => Unit::CubicCentimetre,
            Self::Angle => Unit::Degree,
        }
    }

    /// Returns the kind with its article, for a sentence: "a length".
    #[must_use]
    pub fn with_article(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Volume => "a volume",
            Self::Angle => "an angle",
        }
    }

    /// Returns the units in which a value of this kind may be given, as a list
    /// for a sentence.
    #[must_use]
    pub fn units_in_words(self) -> &'static str {
        match self {
            Self::Length => "mm, cm, m, µm, in or thou",
            Self::Volume => "cc, ml, l or cu in",
            Self::Angle => "deg or °",
        }
    }
}
