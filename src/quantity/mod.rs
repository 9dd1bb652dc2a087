//! Lengths, volumes and angles: reading them from text with units, writing
//! them in the units that the user wants. Nothing about engines.

/// What a number measures. Each kind has one base unit, in which everything
/// is computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A length; the base unit is the millimetre.
    Length,
    /// A volume; the base unit is the cubic centimetre (cc).
    Volume,
    /// An angle; the base unit is the degree.
    Angle,
}
