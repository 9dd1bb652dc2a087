//! What a reading becomes when it is taken as the value of its dimension.

use super::words;
use crate::engine::{Engine, Figures, Key};
use crate::quantity::{Quantity, QuantityError, UnitChoice, default_decimals};
use crate::reading::{Estimate, Subject};

/// The dimension for which a reading of this can stand; none where it only
/// checks what is computed from others.
#[must_use]
pub(crate) fn dimension_of(of: &Subject) -> Option<Key> {
    match of {
        Subject::Dimension(key) => Some(*key),
        Subject::Deck => Some(Key::MockupDeck),
        Subject::Squish | Subject::RingGap(_) | Subject::WholeFill | Subject::PistonToValve(_) => None,
    }
}

/// The mean as a value to write down: in the person's unit, with one digit
/// more than its expanded uncertainty lets a result show, so that rounding
/// adds next to nothing to the doubt, and at most one more than is usual at
/// the bench.
///
/// # Errors
/// When the mean is not finite.
pub(crate) fn as_value(
    of: &Subject,
    estimate: &Estimate,
    units: &UnitChoice,
) -> Result<Quantity, QuantityError> {
    let unit = units.unit(of.kind());
    let most = default_decimals(unit) + 1;
    let expanded = unit.from_base(estimate.uncertainty().expanded());
    let decimals = if expanded > 0.0 { (words::decimals_for(expanded, most) + 1).min(most) } else { most };
    Quantity::rounded(of.kind(), estimate.value, Some(decimals), units)
}

/// The figures that the engine would have with this mean as the value of its
/// dimension; none where it stands for no dimension, or where no such engine
/// can exist.
#[must_use]
pub(crate) fn figures_with(engine: &Engine, of: &Subject, estimate: &Estimate) -> Option<Figures> {
    let key = dimension_of(of)?;
    let mut dims = engine.dims().with(key, estimate.value);
    if key == Key::MockupDeck {
        dims.set(Key::MockupShim, Some(estimate.shim.or_else(|| dims.filled(Key::MockupShim))?));
    }
    Engine::new(dims).ok().map(|engine| *engine.figures())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Dims;
    use crate::reading::{Shape, UncertaintyComponent};

    fn estimate(value: f64, u: f64, shim: Option<f64>) -> Estimate {
        Estimate { value, doubts: vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()], shim }
    }

    #[test]
    fn a_mean_is_written_with_the_digits_that_its_doubt_allows() {
        let mm = UnitChoice::default();
        let text = |of: &Subject, value, u| as_value(of, &estimate(value, u, None), &mm).unwrap();
        let deck = text(&Subject::Deck, 1.166_666_7, 0.009);
        assert_eq!((deck.base(), deck.kind()), (1.167, crate::quantity::Kind::Length));
        let chamber = Subject::Dimension(Key::ChamberVolume);
        assert_eq!(text(&chamber, 33.8123, 0.06).base(), 33.81);
        assert_eq!(text(&chamber, 33.8123, 2.0).base(), 33.8);
        assert_eq!(text(&Subject::Deck, -0.1004, 0.01).base(), -0.1);
    }

    /// By hand: 1.5 mm read with 0.5 of shim is 1.8 with 0.8.
    #[test]
    fn a_deck_that_was_read_rules_with_its_shim() {
        let dims = Dims::new()
            .with(Key::Bore, 80.0)
            .with(Key::Stroke, 62.0)
            .with(Key::RodLength, 118.0)
            .with(Key::CompressionHeight, 36.0)
            .with(Key::CaseHeight, 97.1)
            .with(Key::BarrelLength, 88.6)
            .with(Key::BaseShim, 0.8)
            .with(Key::ChamberVolume, 33.5);
        let engine = Engine::new(dims).unwrap();
        let deck = figures_with(&engine, &Subject::Deck, &estimate(1.5, 0.01, Some(0.5))).unwrap();
        assert!((deck.deck_clearance - 1.8).abs() < 1e-12);
        let chamber = Subject::Dimension(Key::ChamberVolume);
        let ratio = figures_with(&engine, &chamber, &estimate(30.0, 0.1, None)).unwrap().static_ratio;
        assert!(ratio > engine.figures().static_ratio);
        assert!(figures_with(&engine, &chamber, &estimate(-60.0, 0.1, None)).is_none());
        assert!(figures_with(&engine, &Subject::Squish, &estimate(1.0, 0.1, None)).is_none());
    }
}
