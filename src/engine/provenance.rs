//! Provenance of values.

/// The provenance of a value. Only what was measured may be drawn heavy,
/// dragged and judged.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Provenance {
    /// Read on the part itself.
    Measured,
    /// The maker's figure, a drawing or a catalogue.
    Maker,
    /// Guessed, or taken over from another part.
    #[default]
    Assumed,
}

impl Provenance {
    /// Returns the word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Maker => "maker's figure",
            Self::Assumed => "assumed",
        }
    }
}
