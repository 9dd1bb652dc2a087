//! Mean, standard deviation, median and spread of repeated values.
//!
//! Everything is computed in two passes over values shifted by the first one,
//! with compensated sums, so that a millionth next to ten million is not lost.

/// A sum that carries the rounding error of every step along: Neumaier's
/// variant of Kahan's compensated summation (A. Neumaier, Rundungsfehleranalyse
/// einiger Verfahren zur Summation endlicher Summen, ZAMM 54, 1974).
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sum {
    total: f64,
    lost: f64,
}

impl Sum {
    pub(crate) fn add(&mut self, value: f64) {
        let next = self.total + value;
        self.lost += if self.total.abs() >= value.abs() {
            (self.total - next) + value
        } else {
            (value - next) + self.total
        };
        self.total = next;
    }

    #[must_use]
    pub(crate) fn value(self) -> f64 {
        self.total + self.lost
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(values: I) -> Self {
        let mut sum = Self::default();
        values.into_iter().for_each(|value| sum.add(value));
        sum
    }
}

/// Converts a count to a number to compute with.
#[must_use]
pub(crate) fn count(n: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "nobody takes 2^53 readings")]
    let n = n as f64;
    n
}

/// Returns the arithmetic mean; `None` for no values, or where one of them or
/// the sum is not finite.
#[must_use]
pub(crate) fn mean(values: &[f64]) -> Option<f64> {
    let first = *values.first()?;
    let shift: Sum = values.iter().map(|v| v - first).collect();
    let mean = first + shift.value() / count(values.len());
    mean.is_finite().then_some(mean)
}

/// Returns the sum of squared distances from the mean; `None` where there is no
/// mean.
///
/// The second sum takes out what the rounding of the mean put in (T. F. Chan,
/// G. H. Golub, R. J. LeVeque, Algorithms for computing the sample variance,
/// The American Statistician 37, 1983, "corrected two-pass").
#[must_use]
pub(crate) fn squares(values: &[f64]) -> Option<f64> {
    let first = *values.first()?;
    let shift = mean(values)? - first;
    let distance = |v: &f64| (v - first) - shift;
    let squares: Sum = values.iter().map(|v| distance(v) * distance(v)).collect();
    let rest: Sum = values.iter().map(distance).collect();
    let rest = rest.value();
    let sum = (squares.value() - rest * rest / count(values.len())).max(0.0);
    sum.is_finite().then_some(sum)
}

/// Returns the sample standard deviation √(Σ(x − x̄)²/(n − 1)) (JCGM 100,
/// 4.2.2); `None` for fewer than two values.
#[must_use]
pub(crate) fn standard_deviation(values: &[f64]) -> Option<f64> {
    if values.len() < 2 {
        return None;
    }
    Some((squares(values)? / count(values.len() - 1)).sqrt())
}

/// Returns the median; for an even number of values the mean of the two in the
/// middle. `None` for no values, or where one is not finite.
#[must_use]
pub(crate) fn median(values: &[f64]) -> Option<f64> {
    if values.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let (low, high) = (sorted.get(sorted.len().checked_sub(1)? / 2)?, sorted.get(sorted.len() / 2)?);
    Some(low + (high - low) / 2.0)
}

/// Returns the median distance from the median ("MAD"); `None` for no values.
#[must_use]
pub(crate) fn median_distance(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let distances: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
    median(&distances)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Returns `middle`, then `low` and `high` in turn, 1001 values together.
    fn alternating(middle: f64, low: f64, high: f64) -> Vec<f64> {
        let rest = (0..1000).map(|i| if i % 2 == 0 { low } else { high });
        std::iter::once(middle).chain(rest).collect()
    }

    /// The univariate sets NumAcc1 to NumAcc4 of the NIST Statistical
    /// Reference Datasets. How they are made and their certified values are
    /// quoted from memory: three values with standard deviation 1, and 1001
    /// values alternating by 0.1 about a middle that is ever larger.
    #[test]
    fn certified_means_and_deviations_are_reached() {
        let sets = [
            ("NumAcc1", vec![10_000_001.0, 10_000_003.0, 10_000_002.0], 10_000_002.0, 1.0),
            ("NumAcc2", alternating(1.2, 1.1, 1.3), 1.2, 0.1),
            ("NumAcc3", alternating(1_000_000.2, 1_000_000.1, 1_000_000.3), 1_000_000.2, 0.1),
            ("NumAcc4", alternating(10_000_000.2, 10_000_000.1, 10_000_000.3), 10_000_000.2, 0.1),
        ];
        for (name, values, certified_mean, certified_deviation) in sets {
            let of_mean = (mean(&values).unwrap() / certified_mean - 1.0).abs();
            let of_deviation = (standard_deviation(&values).unwrap() / certified_deviation - 1.0).abs();
            println!("{name}: mean off by {of_mean:.1e}, standard deviation by {of_deviation:.1e}");
            assert!(of_mean < 1e-9, "{name}: mean off by {of_mean:.1e}");
            assert!(of_deviation < 1e-7, "{name}: standard deviation off by {of_deviation:.1e}");
        }
    }

    #[test]
    fn too_few_values_give_nothing() {
        assert_eq!((mean(&[]), median(&[]), median_distance(&[])), (None, None, None));
        assert_eq!((standard_deviation(&[]), standard_deviation(&[1.0])), (None, None));
        assert_eq!(standard_deviation(&[1.2, 1.2, 1.2]), Some(0.0));
        assert_eq!(mean(&[1.0, f64::NAN]), None);
        assert_eq!(median(&[1.0, f64::INFINITY]), None);
        assert_eq!(mean(&[f64::MAX, -f64::MAX, f64::MAX]), None);
    }

    #[test]
    fn the_median_of_an_even_number_lies_between_two() {
        assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), Some(2.5));
        assert_eq!(median_distance(&[1.0, 1.0, 2.0, 2.0, 4.0, 6.0, 9.0]), Some(1.0));
    }

    #[test]
    fn a_compensated_sum_keeps_what_a_plain_one_loses() {
        let values = [1.0, 1e100, 1.0, -1e100];
        assert_eq!(values.into_iter().collect::<Sum>().value(), 2.0);
    }

    proptest! {
        /// Mean and deviation follow a shift and a stretch of the values.
        #[test]
        fn mean_and_deviation_follow_a_shift_and_a_stretch(
            values in prop::collection::vec(-10.0_f64..10.0, 2..40),
            shift in -1e3_f64..1e3,
            stretch in 0.01_f64..100.0,
        ) {
            let moved: Vec<f64> = values.iter().map(|v| v * stretch + shift).collect();
            let (m, s) = (mean(&values).unwrap(), standard_deviation(&values).unwrap());
            prop_assert!((mean(&moved).unwrap() - (m * stretch + shift)).abs() < 1e-9);
            prop_assert!((standard_deviation(&moved).unwrap() - s * stretch).abs() < 1e-8 * (1.0 + s * stretch));
        }

        #[test]
        fn the_mean_lies_between_the_ends(values in prop::collection::vec(any::<f64>(), 1..20)) {
            if let Some(mean) = mean(&values) {
                let low = values.iter().copied().fold(f64::INFINITY, f64::min);
                let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let slack = 1e-12 * low.abs().max(high.abs());
                prop_assert!(low - slack <= mean && mean <= high + slack);
            }
        }
    }
}
