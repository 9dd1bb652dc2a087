//! The JSON objects of the command line. Names and order of the keys are a
//! promise to other programs.

use super::failure::Failure;
use crate::engine::Engine;
use crate::reading::Sample;
use crate::study::uncertainty::Contribution;
use crate::study::{CurvePoint, Effect, Outputs, Propagated, curves};
use serde::{Serialize, Serializer};

/// The number of the format of all objects.
pub(super) const FORMAT: u32 = 1;

/// `figures --json`.
#[derive(Debug, Serialize)]
pub(super) struct Figures {
    /// The format.
    pub format: u32,
    /// The name of the engine.
    pub project: String,
    /// The use of the engine, where it is said.
    #[serde(rename = "use", skip_serializing_if = "Option::is_none")]
    pub usage: Option<&'static str>,
    /// Each cylinder.
    pub cylinders: Vec<Cylinder>,
}

/// One cylinder of `figures --json`.
#[derive(Debug, Serialize)]
pub(super) struct Cylinder {
    pub label: String,
    pub head: String,
    pub deck_clearance_mm: Number,
    pub squish_clearance_mm: Number,
    pub true_stroke_mm: Number,
    pub tdc_angle_deg: Number,
    pub bdc_angle_deg: Number,
    pub bore_area_mm2: Number,
    pub swept_volume_cc: Number,
    pub clearance_volume_cc: Number,
    pub static_ratio: Number,
    pub effective_ratio: Option<Number>,
    pub rod_ratio: Number,
    pub warnings: Vec<String>,
    pub at: Vec<At>,
}

/// Everything at one crank angle.
#[derive(Debug, Serialize)]
pub(super) struct At {
    pub angle_deg: Number,
    pub position_mm: Number,
    pub velocity_mm_per_rad: Number,
    pub acceleration_mm_per_rad2: Number,
    pub volume_cc: Number,
    pub ratio: Number,
}

/// `effects --json`.
#[derive(Debug, Serialize)]
pub(super) struct Effects {
    /// The format.
    pub format: u32,
    /// The label of the cylinder.
    pub cylinder: String,
    /// The figures now.
    pub base: Four,
    /// Each dimension.
    pub effects: Vec<OneEffect>,
}

/// The four figures that a builder steers by, or their slopes.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct Four {
    pub deck_clearance_mm: Number,
    pub squish_clearance_mm: Number,
    pub clearance_volume_cc: Number,
    pub static_ratio: Number,
}

/// What one dimension does.
#[derive(Debug, Serialize)]
pub(super) struct OneEffect {
    pub dimension: &'static str,
    pub value: Number,
    pub unit: &'static str,
    pub slope: Four,
    pub step: Number,
    pub after_step: Option<Four>,
    pub to_target: Option<ToTarget>,
}

/// The change of one dimension alone that reaches the wanted ratio.
#[derive(Debug, Serialize)]
pub(super) struct ToTarget {
    pub change: Number,
    pub value: Number,
}

/// `uncertainty --json`.
#[derive(Debug, Serialize)]
pub(super) struct Uncertainties {
    /// The format.
    pub format: u32,
    /// Each cylinder.
    pub cylinders: Vec<CylinderUncertainty>,
}

/// One cylinder of `uncertainty --json`.
#[derive(Debug, Serialize)]
pub(super) struct CylinderUncertainty {
    pub label: String,
    pub results: FourUncertain,
}

/// The four figures with their uncertainties.
#[derive(Debug, Serialize)]
pub(super) struct FourUncertain {
    pub deck_clearance_mm: Uncertain,
    pub squish_clearance_mm: Uncertain,
    pub clearance_volume_cc: Uncertain,
    pub static_ratio: Uncertain,
}

/// One figure with its uncertainty.
#[derive(Debug, Serialize)]
pub(super) struct Uncertain {
    pub value: Number,
    pub standard_uncertainty: Number,
    pub expanded_uncertainty: Number,
    pub coverage_factor: Number,
    /// None where they are infinite.
    pub effective_degrees_of_freedom: Option<Number>,
    pub contributions: Vec<ContributionOf>,
    pub monte_carlo: MonteCarlo,
}

/// What one dimension adds.
#[derive(Debug, Serialize)]
pub(super) struct ContributionOf {
    pub dimension: &'static str,
    pub sensitivity: Number,
    pub standard_uncertainty: Number,
    pub share: Number,
}

/// What the trials gave.
#[derive(Debug, Serialize)]
pub(super) struct MonteCarlo {
    pub trials: usize,
    pub seed: u64,
    pub mean: Number,
    pub standard_deviation: Number,
    pub low_95: Number,
    pub high_95: Number,
}

/// A number as it stands in JSON: finite, or the whole object fails. JSON has
/// no other numbers, and none is invented.
#[derive(Clone, Copy, Debug)]
pub(super) struct Number(pub f64);

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.is_finite() {
            serializer.serialize_f64(self.0)
        } else {
            Err(serde::ser::Error::custom("not a finite number"))
        }
    }
}

/// Adding 0 turns −0 into 0 and leaves every other number alone.
pub(super) fn n(value: f64) -> Number {
    Number(value + 0.0)
}

impl Cylinder {
    /// The figures of a cylinder, also at these crank angles.
    pub(super) fn of(
        label: &str,
        head: &str,
        engine: &Engine,
        angles: &[f64],
        warnings: Vec<String>,
    ) -> Self {
        let f = engine.figures();
        Self {
            label: label.to_owned(),
            head: head.to_owned(),
            deck_clearance_mm: n(f.deck_clearance),
            squish_clearance_mm: n(f.squish_clearance),
            true_stroke_mm: n(f.crank.true_stroke()),
            tdc_angle_deg: n(f.crank.theta_top().to_degrees()),
            bdc_angle_deg: n(f.crank.theta_bottom().to_degrees()),
            bore_area_mm2: n(f.bore_area),
            swept_volume_cc: n(f.swept),
            clearance_volume_cc: n(f.clearance_volume),
            static_ratio: n(f.static_ratio),
            effective_ratio: f.effective_ratio.map(n),
            rod_ratio: n(f.rod_ratio),
            warnings,
            at: angles.iter().map(|&angle| At::of(&curves::at(engine, angle))).collect(),
        }
    }
}

impl At {
    /// One point of the curves.
    pub(super) fn of(point: &CurvePoint) -> Self {
        Self {
            angle_deg: n(point.angle_deg),
            position_mm: n(point.position_mm),
            velocity_mm_per_rad: n(point.velocity_mm_per_rad),
            acceleration_mm_per_rad2: n(point.acceleration_mm_per_rad2),
            volume_cc: n(point.volume_cc),
            ratio: n(point.ratio),
        }
    }

    /// The columns of the CSV table, in this order.
    pub(super) const COLUMNS: [&'static str; 6] =
        ["angle_deg", "position_mm", "velocity_mm_per_rad", "acceleration_mm_per_rad2", "volume_cc", "ratio"];

    /// The values in the order of the columns.
    pub(super) fn values(&self) -> [Number; 6] {
        [
            self.angle_deg,
            self.position_mm,
            self.velocity_mm_per_rad,
            self.acceleration_mm_per_rad2,
            self.volume_cc,
            self.ratio,
        ]
    }
}

impl Four {
    /// From the study's figures or slopes.
    pub(super) fn of(outputs: &Outputs) -> Self {
        Self {
            deck_clearance_mm: n(outputs.deck_clearance_mm),
            squish_clearance_mm: n(outputs.squish_clearance_mm),
            clearance_volume_cc: n(outputs.clearance_volume_cc),
            static_ratio: n(outputs.static_ratio),
        }
    }
}

impl OneEffect {
    /// From the study's effect.
    pub(super) fn of(effect: &Effect) -> Self {
        Self {
            dimension: effect.key.id(),
            value: n(effect.value),
            unit: effect.key.kind().base_unit().ascii(),
            slope: Four::of(&effect.slope),
            step: n(effect.step),
            after_step: effect.after_step.as_ref().map(Four::of),
            to_target: effect.to_target.map(|to| ToTarget { change: n(to.change), value: n(to.value) }),
        }
    }
}

impl Uncertain {
    /// From the first order and the trials of one figure.
    pub(super) fn of(first_order: &Propagated, sample: &Sample) -> Self {
        let u = &first_order.uncertainty;
        let contribution = |c: &Contribution| ContributionOf {
            dimension: c.key.id(),
            sensitivity: n(c.sensitivity),
            standard_uncertainty: n(c.standard),
            share: n(c.share),
        };
        Self {
            value: n(first_order.value),
            standard_uncertainty: n(u.standard),
            expanded_uncertainty: n(u.expanded()),
            coverage_factor: n(u.coverage_factor),
            effective_degrees_of_freedom: Some(u.degrees_of_freedom).filter(|dof| dof.is_finite()).map(n),
            contributions: first_order.contributions.iter().map(contribution).collect(),
            monte_carlo: MonteCarlo {
                trials: sample.trials,
                seed: sample.seed,
                mean: n(sample.mean),
                standard_deviation: n(sample.standard_deviation),
                low_95: n(sample.low_95),
                high_95: n(sample.high_95),
            },
        }
    }
}

/// What is said where a figure can't be written as a number.
pub(super) const NO_NUMBER: &str = "with these dimensions a figure is too large or too small to be computed; accepted: dimensions of an engine";

/// The object as one line of text.
///
/// # Errors
/// When a number in it is not finite.
pub(super) fn text<T: Serialize>(object: &T) -> Result<String, Failure> {
    let text = serde_json::to_string(object).map_err(|_| Failure::engine(NO_NUMBER))?;
    Ok(text + "\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_reads_back_to_itself_or_fails() {
        for value in [0.1 + 0.2, 1e-300, -18.0, 4.9e-324, f64::MAX, 1.0 / 3.0] {
            let text = text(&n(value)).expect("finite");
            assert_eq!(text.trim().parse::<f64>().ok(), Some(value), "{text}");
        }
        assert_eq!(text(&n(-0.0)).ok().as_deref(), Some("0.0\n"));
        for value in [f64::NAN, f64::INFINITY] {
            assert_eq!(text(&n(value)).map_err(|f| f.exit_code()), Err(1));
        }
    }
}
