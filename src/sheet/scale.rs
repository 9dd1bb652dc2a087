//! Standard scales.

use crate::engine::num;

/// A scale of a drawing from the series 1, 2, 5 (ISO 5455): 1:2, 1:1, 5:1 and
/// so on in both directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Scale {
    /// 1, 2 or 5.
    digit: u8,
    /// The power of ten.
    decade: i8,
}

impl Scale {
    /// Full size.
    pub(crate) const FULL: Self = Self { digit: 1, decade: 0 };

    /// Returns all scales from 50 000 000:1 down to 1:50 000 000; enough for an
    /// engine of any size that can be computed.
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        (-8..=7).rev().flat_map(|decade| [5, 2, 1].map(|digit| Self { digit, decade }))
    }

    /// Returns the millimetres on paper for one millimetre of the engine.
    #[must_use]
    pub(crate) fn factor(self) -> f64 {
        let power = num::pow(10.0, f64::from(self.decade.unsigned_abs()));
        let digit = f64::from(self.digit);
        if self.decade < 0 { digit / power } else { digit * power }
    }
}

/// Writes the scale as a drawing states it: "1:2", "1:1", "5:1".
impl std::fmt::Display for Scale {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let zeros = |n: u8| "0".repeat(usize::from(n));
        if self.decade >= 0 {
            return write!(f, "{}{}:1", self.digit, zeros(self.decade.unsigned_abs()));
        }
        // 0.5 is 1:2 and 0.2 is 1:5.
        let (digit, decade) = match self.digit {
            5 => (2, self.decade.unsigned_abs() - 1),
            2 => (5, self.decade.unsigned_abs() - 1),
            _ => (1, self.decade.unsigned_abs()),
        };
        write!(f, "1:{digit}{}", zeros(decade))
    }
}

#[cfg(test)]
mod tests {
    use super::Scale;

    #[test]
    fn the_series_is_that_of_the_standard() {
        // ISO 5455, recommended scales.
        let names: Vec<String> = Scale::all().map(|s| s.to_string()).collect();
        let standard =
            ["50:1", "20:1", "10:1", "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100"];
        let start = names.iter().position(|n| n == standard[0]).unwrap();
        assert_eq!(&names[start..start + standard.len()], standard);
    }

    #[test]
    fn what_a_scale_says_is_what_it_does() {
        for scale in Scale::all() {
            let name = scale.to_string();
            let (paper, engine) = name.split_once(':').unwrap();
            let said: f64 = paper.parse::<f64>().unwrap() / engine.parse::<f64>().unwrap();
            assert!((scale.factor() / said - 1.0).abs() < 1e-12, "{name} is {}", scale.factor());
        }
    }
}
