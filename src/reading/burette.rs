//! Volume from a burette: what ran out, less the hole in the plate, plus what
//! the grease took away.

use super::component::{ComponentError, Origin, Shape, UncertaintyComponent};
use super::evaluate::Estimate;
use super::stats::{Sum, count, mean, standard_deviation};

/// One fill: the burette readings before and after. A chamber larger than the
/// burette takes several draughts.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fill {
    /// Start and end of each draught, cc, as read on the glass; the scale may
    /// count up or down, but the same way each time.
    pub draughts: Vec<(f64, f64)>,
}

/// The corrections of a fill, and the scale of the burette.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Burette {
    /// The step of the scale, cc, 0 or more.
    pub step: f64,
    /// The ± of a fill, cc, where it is known.
    pub repeatability: Option<f64>,
    /// The volume of the hole in the plate up to where it was filled, cc: it
    /// ran out of the burette, and is not in the chamber.
    pub plate_hole: f64,
    /// The grease under the plate that was squeezed into the chamber, cc: it
    /// takes the place of fluid.
    pub grease: f64,
    /// Largest error of the reading of the meniscus, cc either way, where start
    /// and end are not read alike; read alike it drops out.
    pub meniscus: f64,
}

/// The result of several fills.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Filled {
    /// The volume of each fill, cc, corrected.
    pub fills: Vec<f64>,
    /// Their mean, with its uncertainty.
    pub volume: Estimate,
}

/// A reason why the readings give no volume.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum FillError {
    /// No fill, or one without a draught.
    #[error("nothing was filled")]
    Nothing,
    /// A number that is not finite, or a correction below 0.
    #[error("{name} is {value} cc")]
    Number {
        /// Its name.
        name: &'static str,
        /// Its value.
        value: f64,
    },
    /// Start and end are the same.
    #[error("a burette that stood at {0} cc before and after let nothing out")]
    NoFlow(f64),
    /// One draught counts up and another down.
    #[error("one draught counts up and another down")]
    BothWays,
    /// The corrections are larger than what ran out.
    #[error("after the corrections {0:.2} cc are left")]
    NothingLeft(f64),
    /// An uncertainty that can't be computed with.
    #[error(transparent)]
    UncertaintyComponent(#[from] ComponentError),
}

/// Evaluates the fills of one chamber.
///
/// Each is Σ|end − start| − plate hole + grease (common practice). Their
/// scatter is type A; start and end of each draught carry half a step, whose
/// difference is a triangle (JCGM 100, 4.3.9: u = step/√6), so a coarse scale
/// counts once for each draught of a fill.
///
/// # Errors
/// When nothing was filled, a number can't be used, or nothing is left.
pub(crate) fn fill(fills: &[Fill], burette: &Burette) -> Result<Filled, FillError> {
    let numbers = [
        ("the step", Some(burette.step)),
        ("the ± of the burette", burette.repeatability),
        ("the hole in the plate", Some(burette.plate_hole)),
        ("the grease", Some(burette.grease)),
        ("the meniscus", Some(burette.meniscus)),
    ];
    for (name, value) in numbers {
        if let Some(value) = value.filter(|v| !(v.is_finite() && *v >= 0.0)) {
            return Err(FillError::Number { name, value });
        }
    }
    let mut ups: Option<bool> = None;
    let mut volumes = Vec::new();
    let mut most_draughts = 1;
    for fill in fills {
        let mut out = Sum::default();
        for &(start, end) in &fill.draughts {
            if let Some(value) = [start, end].into_iter().find(|v| !v.is_finite()) {
                return Err(FillError::Number { name: "a reading", value });
            }
            if start == end {
                return Err(FillError::NoFlow(start));
            }
            if *ups.get_or_insert(end > start) != (end > start) {
                return Err(FillError::BothWays);
            }
            out.add((end - start).abs());
        }
        if fill.draughts.is_empty() {
            return Err(FillError::Nothing);
        }
        most_draughts = most_draughts.max(fill.draughts.len());
        let volume = out.value() - burette.plate_hole + burette.grease;
        if !(volume.is_finite() && volume > 0.0) {
            return Err(FillError::NothingLeft(volume));
        }
        volumes.push(volume);
    }
    let value = mean(&volumes).ok_or(FillError::Nothing)?;
    let mut doubts = Vec::new();
    let n = count(volumes.len());
    if let Some(s) = standard_deviation(&volumes) {
        doubts.push(UncertaintyComponent::new(Origin::Scatter, Shape::Normal, s / n.sqrt(), n - 1.0)?);
    } else if let Some(half) = burette.repeatability {
        doubts.push(UncertaintyComponent::within(Origin::Repeatability, half)?);
    }
    let step = burette.step / 6.0_f64.sqrt() * count(most_draughts).sqrt();
    doubts.push(UncertaintyComponent::new(Origin::Step, Shape::Triangular, step, f64::INFINITY)?);
    if burette.meniscus > 0.0 {
        doubts.push(UncertaintyComponent::within(Origin::Instrument, burette.meniscus)?);
    }
    Ok(Filled { fills: volumes, volume: Estimate { value, doubts, shim: None } })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fills(all: &[&[(f64, f64)]]) -> Vec<Fill> {
        all.iter().map(|draughts| Fill { draughts: draughts.to_vec() }).collect()
    }

    const BURETTE: Burette =
        Burette { step: 0.1, repeatability: Some(0.2), plate_hole: 0.3, grease: 0.1, meniscus: 0.0 };

    #[test]
    fn each_fill_is_corrected_for_plate_and_grease() {
        let found = fill(&fills(&[&[(0.0, 33.8)], &[(1.2, 35.1)]]), &BURETTE).unwrap();
        assert!((found.fills[0] - 33.6).abs() < 1e-12 && (found.fills[1] - 33.7).abs() < 1e-12);
        assert!((found.volume.value - 33.65).abs() < 1e-12);
        assert!((found.volume.doubts[0].u() - 0.05).abs() < 1e-12, "{:?}", found.volume.doubts);
        assert!((found.volume.doubts[1].u() - 0.1 / 6.0_f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn a_large_chamber_takes_several_draughts_and_a_scale_may_count_down() {
        let found = fill(&fills(&[&[(50.0, 0.0), (50.0, 13.8)]]), &BURETTE).unwrap();
        assert!((found.volume.value - 86.0).abs() < 1e-12);
        assert!((found.volume.doubts[0].u() - 0.2 / 3.0_f64.sqrt()).abs() < 1e-15);
        assert!((found.volume.doubts[1].u() - 0.1 / 6.0_f64.sqrt() * 2.0_f64.sqrt()).abs() < 1e-15);
        let careless = Burette { meniscus: 0.15, ..BURETTE };
        let found = fill(&fills(&[&[(50.0, 0.0)]]), &careless).unwrap();
        assert!((found.volume.doubts[2].u() - 0.15 / 3.0_f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn what_gives_no_volume_is_told() {
        let fails = |all: &[&[(f64, f64)]]| fill(&fills(all), &BURETTE).unwrap_err();
        assert_eq!(fails(&[]), FillError::Nothing);
        assert_eq!(fails(&[&[]]), FillError::Nothing);
        assert_eq!(fails(&[&[(5.0, 5.0)]]), FillError::NoFlow(5.0));
        assert_eq!(fails(&[&[(0.0, 5.0), (5.0, 0.0)]]), FillError::BothWays);
        assert!(matches!(fails(&[&[(0.0, 0.1)]]), FillError::NothingLeft(v) if v < 0.0));
        assert!(matches!(fails(&[&[(0.0, f64::NAN)]]), FillError::Number { name: "a reading", .. }));
        let bad = Burette { grease: -1.0, ..BURETTE };
        let error = fill(&fills(&[&[(0.0, 5.0)]]), &bad).unwrap_err();
        assert_eq!(error.to_string(), "the grease is -1 cc");
    }
}
