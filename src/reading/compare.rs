//! Comparison of two routes to the same thing: do they agree within their
//! uncertainty?

use super::combine::{Combined, Uncertainty};
use super::component::UncertaintyComponent;

/// Two results held against each other.
///
/// The normalised error is Eₙ = |x₁ − x₂|/U(x₁ − x₂) with expanded
/// uncertainties (ISO/IEC 17043, annex B, and ISO 13528; both from memory).
/// Those standards take the two results as independent and write
/// √(U₁² + U₂²); here the uncertainty of the difference takes into account
/// what both share, and is the same where they share nothing. Up to 1 the
/// results agree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// The first less the second, in the base unit.
    pub difference: f64,
    /// The expanded uncertainty of the difference, for 95 %.
    pub expanded: f64,
    /// The normalised error, 0 or more; `None` where neither result has an
    /// uncertainty, as then they can't be compared.
    pub normalised: Option<f64>,
}

impl Comparison {
    /// Compares two values with their uncertainty components.
    ///
    /// ```
    /// use crowndeck::reading::{Comparison, Shape, UncertaintyComponent};
    /// let component = [UncertaintyComponent::stated(Shape::Normal, 0.01)?];
    /// let comparison = Comparison::of((1.20, &component), (1.22, &component));
    /// assert!(comparison.agrees());
    /// # Ok::<(), crowndeck::reading::component::ComponentError>(())
    /// ```
    #[must_use]
    pub fn of(first: (f64, &[UncertaintyComponent]), second: (f64, &[UncertaintyComponent])) -> Self {
        let mut all = Combined::new();
        all.add(1.0, first.1);
        all.add(-1.0, second.1);
        Self::with(first.0 - second.0, all.uncertainty())
    }

    /// Creates a comparison from a difference and its uncertainty.
    #[must_use]
    pub fn with(difference: f64, uncertainty: Uncertainty) -> Self {
        let expanded = uncertainty.expanded();
        let normalised = (expanded > 0.0).then(|| (difference / expanded).abs());
        Self { difference, expanded, normalised: normalised.filter(|e| e.is_finite()) }
    }

    /// Returns whether the two agree within their uncertainties.
    #[must_use]
    pub fn agrees(&self) -> bool {
        self.normalised.is_some_and(|e| e <= 1.0)
    }

    /// Returns whether the two differ by more than their uncertainties explain.
    #[must_use]
    pub fn parts(&self) -> bool {
        self.normalised.is_some_and(|e| e > 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::super::component::Shape;
    use super::super::evaluate::{Evaluation, evaluate};
    use super::super::record::{DeckPlace, Instrument, Reading, State, Subject};
    use super::*;
    use crate::quantity::{Kind, Quantity};

    /// ISO 13528, Eₙ of two independent results (formula from memory).
    #[test]
    fn independent_results_are_compared_as_the_standards_do() {
        let doubt = |u| [UncertaintyComponent::stated(Shape::Normal, u).unwrap()];
        let (a, b) = (doubt(0.03), doubt(0.04));
        let comparison = Comparison::of((10.0, &a), (10.2, &b));
        let k = 1.959_963_984_540_054_f64;
        let expected = 0.2 / (k * k * 0.0009 + k * k * 0.0016).sqrt();
        assert!((comparison.normalised.unwrap() - expected).abs() < 1e-12, "{comparison:?}");
        assert!(comparison.parts() && !comparison.agrees());
    }

    #[test]
    fn without_any_doubt_nothing_is_said() {
        let comparison = Comparison::of((1.0, &[]), (1.0, &[]));
        assert_eq!(comparison.normalised, None);
        assert!(!comparison.agrees() && !comparison.parts());
    }

    fn feeler(state: State, text: &str) -> Evaluation {
        let feeler = Instrument {
            id: "feeler".into(),
            name: "Feeler gauge".into(),
            step: Quantity::parse(Kind::Length, "1 thou").unwrap(),
            repeatability: Some(Quantity::parse(Kind::Length, "0.025 mm").unwrap()),
            note: String::new(),
        };
        let reading = Reading {
            cylinder: "1".into(),
            of: Subject::Deck,
            place: Some(DeckPlace::PinAxis),
            instrument: Some("feeler".into()),
            values: vec![Quantity::parse(Kind::Length, text).unwrap().into()],
            state: Some(state),
            shim: None,
            date: String::new(),
            note: String::new(),
        };
        evaluate(&[reading], &[feeler]).unwrap().remove(0)
    }

    /// Common practice, no source: a rough deck of 25 thou by feeler, the
    /// barrel held by hand, plus a shim of 20 thou, against 43 thou read after
    /// clamping with the shim in place. The barrel floated by 2 thou: the two
    /// are in agreement, which two clamped readings would not be.
    #[test]
    fn a_rough_reading_by_hand_and_a_clamped_one_agree() {
        let clamped = feeler(State::Clamped, "43 thou").estimate.unwrap();
        let shim = [UncertaintyComponent::within(super::super::component::Origin::Stated, 0.005).unwrap()];
        let compared = |rough: &Evaluation| {
            let rough = rough.estimate.clone().unwrap();
            let doubts: Vec<UncertaintyComponent> = rough.doubts.iter().chain(&shim).cloned().collect();
            Comparison::of((rough.value + 0.508, &doubts), (clamped.value, &clamped.doubts))
        };
        let by_hand = compared(&feeler(State::HeldByHand, "25 thou"));
        println!("{by_hand:?}");
        assert!((by_hand.difference - 0.0508).abs() < 1e-12);
        assert!(by_hand.agrees(), "{by_hand:?}");
        let as_if_clamped = compared(&feeler(State::Clamped, "25 thou"));
        assert!(as_if_clamped.parts(), "{as_if_clamped:?}");
    }
}
