//! Top dead centre from a positive stop: something in the plug hole stops
//! the piston short of the top, the engine is turned onto it forward and then
//! backward, and the wheel is read each time.

use super::component::{ComponentError, Origin, Shape, UncertaintyComponent};
use super::evaluate::Estimate;
use super::stats::{Sum, count, mean, squares};
use crate::engine::Crank;

/// The widest angle from one stop to the other that is accepted, degrees:
/// beyond, the stop meets the piston near the bottom, and the two readings say
/// little about the top.
pub(crate) const WIDEST_DEG: f64 = 300.0;

/// The wheel's readings at the stop. Degrees as shown on the wheel, growing in
/// the direction of rotation; 359 and −1 are the same.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct StopReadings {
    /// Turned forward onto the stop: the piston is on its way up.
    pub rising: Vec<f64>,
    /// Turned backward onto the stop: the piston would be on its way down.
    pub falling: Vec<f64>,
    /// The step of the wheel, degrees, 0 or more.
    pub step: f64,
    /// The ± of one reading, degrees, where it is known.
    pub repeatability: Option<f64>,
}

/// The top dead centre on the wheel.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TopDeadCentre {
    /// Reading of the wheel at piston top dead centre, degrees from −180 up to
    /// 180: the angle by which the wheel has to be turned back to show 0 there.
    pub wheel: Estimate,
    /// Angle of the middle between the two stops after the piston's top dead
    /// centre, degrees: 0 without pin offset.
    pub middle_off_deg: f64,
    /// Angle from one stop to the other over the top, degrees.
    pub span_deg: f64,
    /// Depth of the piston below its top at the stop, mm.
    pub stop_depth_mm: f64,
}

/// A reason why the readings give no top dead centre.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum StopError {
    /// One side was not read.
    #[error("the stop was not read on both sides")]
    OneSide,
    /// A reading is not a finite number, or the step or ± is not 0 or more.
    #[error("{0} is not an angle that a wheel can show")]
    NotAnAngle(f64),
    /// Readings of one side lie on different sides of the wheel.
    #[error("readings on one side lie {0:.1}° apart")]
    Apart(f64),
    /// The two sides are the same, or too far apart.
    #[error("the stops lie {0:.1}° apart over the top; more than 0° and up to 300° can be used")]
    Span(f64),
    /// An uncertainty that can't be computed with.
    #[error(transparent)]
    Component(#[from] ComponentError),
}

impl StopError {
    /// Returns what to do about it.
    #[must_use]
    pub(crate) fn hint(&self) -> &'static str {
        match self {
            Self::OneSide => "turn the engine forward onto the stop, read, then backward onto it, and read",
            Self::NotAnAngle(_) | Self::Component(_) => "write degrees as they stand on the wheel",
            Self::Apart(_) => "strike out the reading that is odd; check that pointer and wheel are tight",
            Self::Span(_) => {
                "check which reading was taken which way round; set the stop so that it holds the piston \
                 10 to 40 mm below its top"
            }
        }
    }
}

/// Finds piston top dead centre on the wheel.
///
/// Without pin offset it lies in the middle between the two stops. With offset
/// the piston rises and falls at different rates: it is equally deep at an
/// angle a before its top and at another, b, after it, so the middle of the
/// stops lies m = (b − a)/2 after the top. m follows from half of the
/// span, (a + b)/2, alone, by solving position(m + half) = position(m − half): the depth
/// of the stop need not be known.
///
/// # Errors
/// When one side is missing, a number is no angle, the readings of one side
/// lie half a turn apart, or the span is 0 or too wide.
pub(crate) fn top_dead_centre(readings: &StopReadings, crank: &Crank) -> Result<TopDeadCentre, StopError> {
    let all = readings.rising.iter().chain(&readings.falling).copied();
    if let Some(bad) = all.clone().find(|v| !v.is_finite()) {
        return Err(StopError::NotAnAngle(bad));
    }
    for number in [Some(readings.step), readings.repeatability].into_iter().flatten() {
        if !(number.is_finite() && number >= 0.0) {
            return Err(StopError::NotAnAngle(number));
        }
    }
    let (rising, falling) = (side(&readings.rising)?, side(&readings.falling)?);
    let span = (falling.mean - rising.mean).rem_euclid(360.0);
    if !(span > 0.0 && span <= WIDEST_DEG) {
        return Err(StopError::Span(span));
    }
    let half = span / 2.0;
    let middle_off = middle_after_top(crank, half);
    let wheel = wrapped(rising.mean + half - middle_off);
    let stop_depth_mm = crank.position((middle_off + half).to_radians());
    let doubts = doubts(readings, [&rising, &falling])?;
    Ok(TopDeadCentre {
        wheel: Estimate { value: wheel, doubts, shim: None },
        middle_off_deg: middle_off,
        span_deg: span,
        stop_depth_mm,
    })
}

/// The readings of one side.
struct Side {
    mean: f64,
    squares: f64,
    count: usize,
}

/// Brings readings to within half a turn of the first one, so that 359 and 1
/// are 2 apart.
fn side(readings: &[f64]) -> Result<Side, StopError> {
    let first = *readings.first().ok_or(StopError::OneSide)?;
    let near: Vec<f64> = readings.iter().map(|r| first + wrapped(r - first)).collect();
    let widest = near.iter().map(|r| (r - first).abs()).fold(0.0, f64::max);
    if widest > 90.0 {
        return Err(StopError::Apart(widest));
    }
    let (Some(mean), Some(squares)) = (mean(&near), squares(&near)) else {
        return Err(StopError::NotAnAngle(first));
    };
    Ok(Side { mean, squares, count: near.len() })
}

/// Returns the same angle from −180 up to 180.
fn wrapped(angle_deg: f64) -> f64 {
    let turned = (angle_deg + 180.0).rem_euclid(360.0) - 180.0;
    if turned >= 180.0 { turned - 360.0 } else { turned }
}

/// Finds m, degrees: position(m + half) − position(m − half) is below 0 at
/// −half (the right hand side is at the top) and above 0 at +half, so halving
/// finds it.
fn middle_after_top(crank: &Crank, half_deg: f64) -> f64 {
    let difference =
        |m: f64| crank.position((m + half_deg).to_radians()) - crank.position((m - half_deg).to_radians());
    if difference(0.0) == 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (-half_deg, half_deg);
    // 200 halvings end at two neighbouring numbers.
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if difference(middle) < 0.0 { low = middle } else { high = middle }
    }
    low + (high - low) / 2.0
}

/// Returns the uncertainty components of the mean of both sides. The shift for
/// pin offset adds none: it changes by less than a hundredth of what the span
/// does.
fn doubts(readings: &StopReadings, sides: [&Side; 2]) -> Result<Vec<UncertaintyComponent>, StopError> {
    let mut doubts = Vec::new();
    let inverse: f64 = sides.iter().map(|s| 1.0 / count(s.count)).sum();
    let spread_of_mean = inverse.sqrt() / 2.0;
    let dof: usize = sides.iter().map(|s| s.count - 1).sum();
    if dof > 0 {
        let squares: Sum = sides.iter().map(|s| s.squares).collect();
        let s = (squares.value() / count(dof)).sqrt();
        doubts.push(UncertaintyComponent::new(
            Origin::Scatter,
            Shape::Normal,
            s * spread_of_mean,
            count(dof),
        )?);
    } else if let Some(half) = readings.repeatability {
        let u = UncertaintyComponent::within(Origin::Repeatability, half)?.u() * spread_of_mean;
        doubts.push(UncertaintyComponent::new(Origin::Repeatability, Shape::Triangular, u, f64::INFINITY)?);
    }
    // The mean of two readings, each uncertain by half a step.
    let step = UncertaintyComponent::within(Origin::Step, readings.step / 2.0)?.u() / 2.0_f64.sqrt();
    doubts.push(UncertaintyComponent::new(Origin::Step, Shape::Triangular, step, f64::INFINITY)?);
    Ok(doubts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Dims, Engine, Key};
    use proptest::prelude::*;

    fn crank(pin_offset: f64) -> Crank {
        let dims = Dims::new()
            .with(Key::Bore, 86.0)
            .with(Key::Stroke, 74.0)
            .with(Key::RodLength, 130.0)
            .with(Key::PinOffset, pin_offset)
            .with(Key::CompressionHeight, 34.5)
            .with(Key::CaseHeight, 104.5)
            .with(Key::BarrelLength, 97.85)
            .with(Key::BaseShim, 5.0)
            .with(Key::ChamberVolume, 60.0);
        Engine::new(dims).unwrap().figures().crank
    }

    fn readings(rising: &[f64], falling: &[f64]) -> StopReadings {
        StopReadings { rising: rising.into(), falling: falling.into(), step: 0.5, repeatability: Some(0.4) }
    }

    /// Finds the angle after top dead centre on one side at which the piston is
    /// this deep, by plain halving.
    fn angle_at(crank: &Crank, depth: f64, side: f64) -> f64 {
        let (mut low, mut high) = (0.0, 170.0);
        for _ in 0..200 {
            let middle = (low + high) / 2.0;
            if crank.position((side * middle).to_radians()) < depth { low = middle } else { high = middle }
        }
        side * low
    }

    #[test]
    fn without_offset_the_top_is_in_the_middle() {
        let found = top_dead_centre(&readings(&[320.0], &[42.0]), &crank(0.0)).unwrap();
        assert_eq!((found.wheel.value, found.span_deg, found.middle_off_deg), (1.0, 82.0, 0.0));
        let depth = crank(0.0).position(41.0_f64.to_radians());
        assert!((found.stop_depth_mm - depth).abs() < 1e-12);
    }

    /// For any depth of the stop and any offset the wheel's error comes out
    /// as it was put in.
    #[test]
    fn with_offset_any_depth_of_stop_gives_the_same_top() {
        for offset in [-3.0, -0.6, 0.6, 1.5, 8.0] {
            let crank = crank(offset);
            for depth in [0.5, 3.0, 12.0, 30.0, 50.0] {
                let (before, after) = (angle_at(&crank, depth, -1.0), angle_at(&crank, depth, 1.0));
                let found = top_dead_centre(&readings(&[before + 7.25], &[after + 7.25]), &crank).unwrap();
                assert!((found.wheel.value - 7.25).abs() < 1e-9, "{offset} {depth}: {}", found.wheel.value);
                assert!((found.stop_depth_mm - depth).abs() < 1e-9);
            }
        }
    }

    /// The error of the plain middle: with 0.6 mm of offset and a stop 30 mm
    /// down, a tenth of a degree.
    #[test]
    fn the_plain_middle_is_off_where_the_pin_is_offset() {
        let crank = crank(0.6);
        let (before, after) = (angle_at(&crank, 30.0, -1.0), angle_at(&crank, 30.0, 1.0));
        let found = top_dead_centre(&readings(&[before], &[after]), &crank).unwrap();
        assert!((found.middle_off_deg - (before + after) / 2.0).abs() < 1e-9);
        assert!((0.02..0.3).contains(&found.middle_off_deg.abs()), "{}", found.middle_off_deg);
    }

    /// By hand: 1 and 2 on one side, 81 and 82 on the other, s² = 0.5,
    /// u = √0.5·√(1/2 + 1/2)/2 with 2 degrees of freedom.
    #[test]
    fn scatter_of_both_sides_is_pooled() {
        let found = top_dead_centre(&readings(&[359.0, 358.0], &[81.0, 82.0]), &crank(0.0)).unwrap();
        assert!((found.wheel.value - 40.0).abs() < 1e-12);
        let scatter = &found.wheel.doubts[0];
        assert!((scatter.u() - 0.5_f64.sqrt() / 2.0).abs() < 1e-12 && scatter.dof() == 2.0);
        let step = &found.wheel.doubts[1];
        assert!((step.u() - 0.25 / 3.0_f64.sqrt() / 2.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_gives_no_top_is_told() {
        let fails = |rising: &[f64], falling: &[f64]| {
            top_dead_centre(&readings(rising, falling), &crank(0.6)).unwrap_err()
        };
        assert_eq!(fails(&[], &[40.0]), StopError::OneSide);
        assert!(matches!(fails(&[f64::NAN], &[40.0]), StopError::NotAnAngle(_)));
        assert_eq!(fails(&[320.0, 140.0], &[40.0]), StopError::Apart(180.0));
        assert_eq!(fails(&[40.0], &[40.0]), StopError::Span(0.0));
        // Read the wrong way round.
        assert!(matches!(fails(&[40.0], &[0.0]), StopError::Span(span) if span > 319.0));
        let negative = StopReadings { step: -1.0, ..readings(&[320.0], &[40.0]) };
        assert_eq!(top_dead_centre(&negative, &crank(0.0)), Err(StopError::NotAnAngle(-1.0)));
    }

    proptest! {
        /// Turning the wheel turns the answer.
        #[test]
        fn turning_the_wheel_turns_the_answer(turn in -720.0_f64..720.0, half in 5.0_f64..140.0) {
            let crank = crank(0.6);
            let at = |turn: f64| {
                top_dead_centre(&readings(&[-half + turn], &[half + turn]), &crank).unwrap().wheel.value
            };
            let difference = (at(turn) - at(0.0) - turn).rem_euclid(360.0);
            prop_assert!(difference.min(360.0 - difference) < 1e-6);
            prop_assert!((-180.0..180.0).contains(&at(turn)));
        }
    }
}
