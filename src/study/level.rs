//! Whether the barrels under one head stand level.

use crate::engine::{Dims, Key};

/// The height of the top of the cylinder above the crank centre, mm:
/// case + base gasket + shim + barrel (each part stands on the one below).
/// None where one of them is missing or not finite.
#[must_use]
pub fn top(dims: &Dims) -> Option<f64> {
    let mut height = 0.0;
    for key in Key::TOWER {
        height += dims.filled(key)?;
    }
    height.is_finite().then_some(height)
}

/// How level the tops under one head stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// The height of each top above the crank centre, mm, in the order given.
    pub tops: Vec<f64>,
    /// The median height, mm: the mean of the two in the middle where their
    /// number is even.
    pub median: f64,
    /// Highest less lowest, mm.
    pub spread: f64,
}

impl Level {
    /// From the heights of the tops; none where there are none.
    ///
    /// ```
    /// use crowndeck::study::level::Level;
    /// let level = Level::of(vec![202.55, 202.49, 202.56]).unwrap();
    /// assert!((level.spread - 0.07).abs() < 1e-9 && level.median == 202.55);
    /// ```
    #[must_use]
    pub fn of(tops: Vec<f64>) -> Option<Self> {
        let mut sorted = tops.clone();
        sorted.sort_by(f64::total_cmp);
        let (lowest, highest) = (sorted.first()?, sorted.last()?);
        let spread = highest - lowest;
        let (low, high) = (sorted.get((sorted.len() - 1) / 2)?, sorted.get(sorted.len() / 2)?);
        let median = low + (high - low) / 2.0;
        Some(Self { tops, median, spread })
    }

    /// How far each top stands above the median, mm; negative below.
    pub fn offsets(&self) -> impl Iterator<Item = f64> {
        self.tops.iter().map(|top| top - self.median)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_of_an_even_number_lies_between_the_middle_two() {
        let level = Level::of(vec![4.0, 1.0, 2.0, 3.0]).expect("tops");
        assert_eq!((level.median, level.spread), (2.5, 3.0));
        assert_eq!(level.offsets().collect::<Vec<_>>(), [1.5, -1.5, -0.5, 0.5]);
        assert_eq!(Level::of(vec![]), None);
    }

    #[test]
    fn a_tower_is_the_sum_of_its_parts() {
        let dims =
            Dims::new().with(Key::CaseHeight, 104.5).with(Key::BaseShim, 0.25).with(Key::BarrelLength, 97.85);
        assert_eq!(top(&dims), Some(202.6));
        assert_eq!(top(&Dims::new()), None);
        assert_eq!(top(&dims.with(Key::BaseGasket, f64::NAN)), None);
    }
}
