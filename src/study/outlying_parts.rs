//! Which part stands out among its kind: one rod shorter than the others, one
//! barrel that is not like its neighbours.

use super::judging::CHAIN_AGREES_MM;
use crate::engine::{Dims, Key};
use crate::quantity::{Kind, UnitChoice, write};
use crate::reading::{outlier, stats::median};

/// The least part of its value by which a volume must stand out to be
/// named (common practice: a good engine's chambers lie within 1 cc of 60).
const MIN_OF_VOLUME: f64 = 0.015;

/// A part that stands out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlyingPart {
    /// The place of its cylinder.
    pub cylinder: usize,
    /// The dimension.
    pub key: Key,
    /// Its value.
    pub value: f64,
    /// The middle of all cylinders.
    pub middle: f64,
    /// Its score by the rule of [`odd`]; negative below the middle.
    pub score: f64,
}

/// Finds parts that stand out by the rule of [`odd`] among at least three
/// cylinders, and by more than two routes to the deck may differ by common
/// practice.
#[must_use]
pub(crate) fn outlying_parts(cylinders: &[Dims]) -> Vec<OutlyingPart> {
    let mut found = Vec::new();
    for key in Key::all().filter(|key| key.row().outlying.is_some()) {
        let values: Option<Vec<f64>> = cylinders.iter().map(|dims| dims.get(key)).collect();
        let Some(values) = values else { continue };
        // A tenth of a step at the bench stands for the step of the scale.
        let floor = outlier::floor(key.row().step / 10.0, None);
        let (Some(scores), Some(middle)) = (outlier::scores(&values, floor), median(&values)) else {
            continue;
        };
        let least = match key.kind() {
            Kind::Volume => MIN_OF_VOLUME * middle.abs(),
            Kind::Length | Kind::Angle => CHAIN_AGREES_MM,
        };
        for (cylinder, (value, score)) in values.into_iter().zip(scores).enumerate() {
            if score.abs() > outlier::LIMIT && (value - middle).abs() > least {
                found.push(OutlyingPart { cylinder, key, value, middle, score });
            }
        }
    }
    found
}

impl OutlyingPart {
    /// The sentence for it, to stand beside the name of its cylinder.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        let by = write(self.key.kind(), (self.value - self.middle).abs(), None, units);
        let way = if self.value < self.middle { "less" } else { "more" };
        let what = self.key.row().outlying.unwrap_or("measure it again");
        format!("{} is {by} {way} than the middle of all cylinders: {what}", self.key.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cylinders(key: Key, values: &[f64]) -> Vec<Dims> {
        values.iter().map(|v| Dims::new().with(key, *v)).collect()
    }

    /// The rods of the tractor four and the barrels of the flat six, and what
    /// is ordinary among the parts of both.
    #[test]
    fn the_short_rod_and_the_short_barrel_stand_out() {
        let rods = outlying_parts(&cylinders(Key::RodLength, &[195.0, 195.01, 194.79, 195.0]));
        assert_eq!((rods.len(), rods[0].cylinder, rods[0].key), (1, 2, Key::RodLength));
        let text = rods[0].sentence(&UnitChoice::default());
        assert!(text.starts_with("Rod length is 0.21 mm less") && text.contains("bent"), "{text}");
        let barrels =
            outlying_parts(&cylinders(Key::BarrelLength, &[97.85, 97.86, 97.84, 97.86, 97.80, 97.86]));
        assert_eq!((barrels.len(), barrels[0].cylinder), (1, 4));
        for (key, values) in [
            (Key::CompressionHeight, &[34.5, 34.49, 34.51, 34.5, 34.5, 34.48][..]),
            (Key::Bore, &[86.01, 86.0, 86.01, 86.01, 86.02, 86.01]),
            (Key::ChamberVolume, &[60.1, 59.8, 60.3, 60.0, 60.4, 59.9]),
            (Key::ChamberVolume, &[86.3, 86.9, 86.1, 86.8]),
            (Key::RodLength, &[118.0, 118.3]),
        ] {
            assert_eq!(outlying_parts(&cylinders(key, values)), [], "{key} {values:?}");
        }
    }

    #[test]
    fn a_part_that_is_missing_somewhere_is_not_compared() {
        let mut all = cylinders(Key::RodLength, &[195.0, 195.0, 194.0, 195.0]);
        all[0].set(Key::RodLength, None);
        assert_eq!(outlying_parts(&all), []);
    }
}
