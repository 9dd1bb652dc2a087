//! Errors of reading a quantity from text.

use super::Kind;

/// A reason why a text is not a quantity. The message says what was found;
/// [`hint`] says what to write instead.
///
/// [`hint`]: QuantityError::hint
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    /// An empty text.
    #[error("nothing was written")]
    Empty,
    /// A text longer than any value is written.
    #[error("a value of {length} characters is too long: at most {most} are read")]
    TooLong {
        /// Characters found.
        length: usize,
        /// Greatest number of characters read.
        most: usize,
    },
    /// A number is missing where something else is written.
    #[error("a number is missing {place}")]
    NumberMissing {
        /// Position: "at the end", "before ‘mm’".
        place: String,
    },
    /// Text in a position where it can't be read.
    #[error("‘{found}’ can't be read here")]
    Unexpected {
        /// The text found.
        found: String,
    },
    /// Two numbers next to each other that are no fraction.
    #[error("‘{text}’ holds two numbers with nothing between them")]
    TwoNumbers {
        /// The two numbers.
        text: String,
    },
    /// A comma or a dash that can be read in two ways.
    #[error("‘{text}’ can be read as {one} or as {other}")]
    Ambiguous {
        /// The text found.
        text: String,
        /// One reading.
        one: String,
        /// The other reading.
        other: String,
    },
    /// More than one decimal mark in one number.
    #[error("‘{text}’ has more than one decimal mark")]
    ManyMarks {
        /// The text found.
        text: String,
    },
    /// A malformed fraction.
    #[error("‘{text}’ is not a fraction of whole numbers above 0")]
    Fraction {
        /// The text found.
        text: String,
    },
    /// An unknown unit.
    #[error("‘{unit}’ is not a unit known here")]
    UnknownUnit {
        /// The text found.
        unit: String,
        /// The expected kind, or `None` where it is not known.
        wanted: Option<Kind>,
    },
    /// A unit of another kind of quantity.
    #[error("{} can't be in {unit}", .wanted.with_article())]
    WrongKind {
        /// The expected kind.
        wanted: Kind,
        /// The unit found.
        unit: &'static str,
    },
    /// A value in a file, or the last term of a sum, without a unit.
    #[error("‘{text}’ has no unit")]
    UnitMissing {
        /// The number without a unit.
        text: String,
    },
    /// A value too large or too small for the arithmetic, or not finite.
    #[error("{text} is outside the numbers that can be computed with")]
    OutOfRange {
        /// The value.
        text: String,
    },
}

impl QuantityError {
    /// Returns what to do about the error.
    #[must_use]
    pub fn hint(&self) -> String {
        let units = |kind: Option<Kind>| kind.map_or("mm, in, thou, cc, cu in or deg", Kind::units_in_words);
        match self {
            Self::Empty | Self::NumberMissing { .. } => {
                "write a number with an optional unit, such as 1.1 mm, 43 thou or 3 1/2 in".into()
            }
            Self::TooLong { .. } => "write one value, or a short sum such as 40 thou + 3 thou".into(),
            Self::Unexpected { .. } => {
                "write a number with an optional unit; + and - add and subtract, / makes a fraction".into()
            }
            Self::TwoNumbers { .. } => "write thousands without a gap, and a fraction as 3 1/2".into(),
            Self::Ambiguous { one, other, .. } => format!("write {one} or {other}"),
            Self::ManyMarks { .. } => {
                "write one decimal mark, a point or a comma, and no marks for thousands".into()
            }
            Self::Fraction { .. } => "write a fraction as 7/16 or 3 1/2".into(),
            Self::UnknownUnit { wanted, .. } => format!("use {}", units(*wanted)),
            Self::WrongKind { wanted, .. } => format!("use {}", units(Some(*wanted))),
            Self::UnitMissing { text } => {
                format!("write the unit, such as {text} mm, {text} thou or {text} cc")
            }
            Self::OutOfRange { .. } => "write a finite number of an ordinary size".into(),
        }
    }
}
