//! Faults that make an engine impossible: the dimension, its value, why, and
//! what would be accepted.

use super::dimension::Key;
use crate::quantity::Kind;
use std::fmt;

/// A reason why an engine can't be computed.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The dimension at fault.
    pub key: Key,
    /// Its value in the base unit; `None` where it has none.
    pub value: Option<f64>,
    /// The reason why it is impossible, as a clause.
    pub why: String,
    /// The values that would be accepted, as a clause.
    pub accepted: String,
    /// The rule that is broken.
    pub kind: FaultKind,
}

/// The rules that an engine must keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// A value that the engine needs is missing.
    Missing,
    /// A value is not a finite number.
    NotFinite,
    /// A value is outside what this dimension can be.
    OutOfRange,
    /// The top land is wider than the bore.
    TopLandTooWide,
    /// The rod is too short to pass the bottom.
    RodTooShort,
    /// No clearance volume is left.
    NoClearance,
    /// The rim of the crown meets the head.
    Contact,
}

impl Fault {
    /// Returns the value with its unit, or a dash where it has none.
    #[must_use]
    pub fn value_text(&self) -> String {
        self.value.map_or_else(|| "–".to_owned(), |value| with_unit(self.key.kind(), value))
    }
}

/// Returns a number in six significant digits, without trailing zeros: enough
/// to act on, without the noise of binary fractions.
pub(super) fn short(value: f64) -> String {
    let rounded = format!("{value:.5e}").parse::<f64>().unwrap_or(value);
    format!("{rounded}")
}

/// Returns a number in three significant digits, for the size of an error.
pub(super) fn about(value: f64) -> String {
    short(format!("{value:.2e}").parse().unwrap_or(value))
}

/// Returns a number in four significant digits that is not below `value`, so
/// that whoever types it is not refused again.
pub(super) fn enough(value: f64) -> String {
    let near = format!("{value:.3e}");
    let step = near
        .split_once('e')
        .and_then(|(_, power)| power.parse::<i32>().ok())
        .and_then(|power| format!("1e{}", power - 3).parse::<f64>().ok());
    match (near.parse::<f64>(), step) {
        (Ok(near), Some(step)) => {
            // Sums of typed decimals carry noise in their last binary digits.
            let is_short = near < value - 1e-9 * value.abs();
            short(if is_short { near + step } else { near })
        }
        _ => short(value),
    }
}

/// Returns a value with its base unit.
fn with_unit(kind: Kind, value: f64) -> String {
    let number = short(value);
    match kind {
        Kind::Length => format!("{number} mm"),
        Kind::Volume => format!("{number} cc"),
        Kind::Angle => format!("{number}°"),
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let key = self.key;
        match self.value {
            Some(value) => {
                let value = with_unit(key.kind(), value);
                write!(f, "{key} ({}) {value}: {}; accepted: {}", key.name(), self.why, self.accepted)
            }
            None => write!(f, "{key} ({}): {}; accepted: {}", key.name(), self.why, self.accepted),
        }
    }
}

impl std::error::Error for Fault {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_called_enough_is_enough_and_no_more_than_it_must_be() {
        for (value, text) in [
            (0.448_922, "0.449"),
            (0.5, "0.5"),
            (0.200_000_000_000_002_8, "0.2"),
            (12.3451, "12.35"),
            (-0.448_922, "-0.4489"),
            (0.0, "0"),
            (9.9999, "10"),
        ] {
            assert_eq!(enough(value), text);
        }
        assert_eq!((about(0.198_922).as_str(), about(1234.5).as_str()), ("0.199", "1230"));
    }
}
