//! Remeasurement: the deck that was read with the chosen shims fitted, against
//! the expected one.

use crate::quantity::{Kind, UnitChoice, write};
use crate::reading::{Comparison, Estimate, UncertaintyComponent};
use crate::study::judging::CHAIN_AGREES_MM;
use crate::study::routes::Finding;
use crate::study::words;

/// An expected deck with the one that was read over the same shims.
#[derive(Clone, Debug, PartialEq)]
pub struct Remeasurement {
    /// Expected distance of the rim below the top, mm.
    pub expected_mm: f64,
    /// The distance that was read, mm.
    pub read_mm: f64,
    /// Read less expected, with its uncertainty.
    pub comparison: Comparison,
    /// The finding.
    pub finding: Finding,
}

impl Remeasurement {
    /// Compares both. Where the uncertainty of the expected deck is unknown,
    /// two routes to one deck may differ by [`CHAIN_AGREES_MM`] (common
    /// practice).
    #[must_use]
    pub fn of(expected_mm: f64, expected_doubts: &[UncertaintyComponent], read: &Estimate) -> Self {
        let comparison = Comparison::of((read.value, &read.doubts), (expected_mm, expected_doubts));
        let close = comparison.difference.abs() <= CHAIN_AGREES_MM + 1e-9;
        let finding = if comparison.agrees() {
            Finding::Agree
        } else if close && (expected_doubts.is_empty() || comparison.normalised.is_none()) {
            Finding::AgreeByPractice
        } else {
            Finding::Part
        };
        Self { expected_mm, read_mm: read.value, comparison, finding }
    }

    /// Returns the finding, in one or two sentences.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        let gap = |mm: f64| words::gap(mm, None, units);
        let length = |mm: f64| write(Kind::Length, mm.abs(), None, units).to_string();
        let both = format!("Read {}, expected {}", gap(self.read_mm), gap(self.expected_mm));
        let apart = length(self.comparison.difference);
        match self.finding {
            Finding::Agree => format!("{both}: they agree, within what was measured."),
            Finding::AgreeByPractice => format!(
                "{both}: {apart} apart, within the {} that common practice allows; not all doubts are known.",
                length(CHAIN_AGREES_MM)
            ),
            Finding::Part => format!(
                "{both}: {apart} apart, and their doubts explain only {}. Look for dirt or a burr under the barrel, \
                 measure the shims, then read again.",
                length(self.comparison.expanded)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Shape;

    fn read(value: f64, u: f64) -> Estimate {
        Estimate { value, doubts: vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()], shim: None }
    }

    #[test]
    fn the_loop_closes_or_says_what_to_look_for() {
        let doubts = [UncertaintyComponent::stated(Shape::Normal, 0.01).unwrap()];
        let units = UnitChoice::default();
        let closed = Remeasurement::of(1.0, &doubts, &read(1.02, 0.01));
        assert_eq!(closed.finding, Finding::Agree);
        let told = closed.sentence(&units);
        assert_eq!(told, "Read 1.02 mm below, expected 1.00 mm below: they agree, within what was measured.");
        // Uncertainty of the expected one unknown.
        assert_eq!(Remeasurement::of(1.0, &[], &read(1.04, 0.01)).finding, Finding::AgreeByPractice);
        let parted = Remeasurement::of(1.0, &doubts, &read(1.08, 0.01));
        assert_eq!(parted.finding, Finding::Part);
        assert!(parted.sentence(&units).contains("0.08 mm apart"), "{}", parted.sentence(&units));
    }
}
