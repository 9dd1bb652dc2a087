//! Outliers: which of several readings of the same thing lies too far from the
//! others, by a stated rule.

use super::stats::{median, median_distance};

/// Name of the rule, to be shown with a flag.
pub const RULE: &str = "modified z-score above 3.5 (Iglewicz and Hoaglin, from memory)";

/// Score above which a value is an outlier (B. Iglewicz, D. C. Hoaglin, How to
/// Detect and Handle Outliers, ASQC 1993, from memory).
pub const LIMIT: f64 = 3.5;

/// The third quartile of the normal distribution: a median distance is this
/// many standard deviations.
const QUARTILE: f64 = 0.6745;

/// Number of standard deviations that a stated ± is taken for here: that of 99
/// % of a normal distribution (JCGM 100, 4.3.4). For a flag the narrower
/// reading of a ± is the careful one.
const STATED: f64 = 2.576;

/// Returns the least standard deviation with which readings on a scale are
/// judged: one step as the half width of a rectangle, or the instrument's ±,
/// whichever is larger.
///
/// Three fills of which two agree have a median distance of 0, and any third
/// would be an infinite outlier. With this floor a value needs to be more than
/// two steps away (3.5/√3 = 2.02) before it is called one.
#[must_use]
pub fn floor(step: f64, repeatability: Option<f64>) -> f64 {
    (step / 3.0_f64.sqrt()).max(repeatability.unwrap_or(0.0) / STATED)
}

/// Returns the modified z-score of each value: its distance from the median
/// over the standard deviation that the median distance estimates, or over
/// `floor` where that is larger; negative below the median. All 0 where there
/// is no scale to judge by. `None` for fewer than three values: with two nobody
/// can tell which one is the outlier.
///
/// ```
/// use crowndeck::reading::outlier;
/// let fills = [33.8, 33.8, 32.9];
/// let scores = outlier::scores(&fills, outlier::floor(0.1, Some(0.2))).unwrap();
/// assert!(scores[2] < -outlier::LIMIT && scores[0] == 0.0);
/// ```
#[must_use]
pub fn scores(values: &[f64], floor: f64) -> Option<Vec<f64>> {
    if values.len() < 3 {
        return None;
    }
    let middle = median(values)?;
    let scale = (median_distance(values)? / QUARTILE).max(floor);
    let score = |v: &f64| if scale > 0.0 { (v - middle) / scale } else { 0.0 };
    Some(values.iter().map(score).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn odd(values: &[f64], step: f64, repeatability: f64) -> Vec<f64> {
        let scores = scores(values, floor(step, Some(repeatability))).unwrap();
        let odd = values.iter().zip(scores).filter(|(_, score)| score.abs() > LIMIT);
        odd.map(|(value, _)| *value).collect()
    }

    /// Readings with a fault in them, and readings without one, as they come
    /// from a bench: step, ± of the instrument, values, outliers.
    #[test]
    fn faults_are_caught_and_ordinary_scatter_is_not() {
        let rows: [(f64, f64, &[f64], &[f64]); 16] = [
            (0.1, 0.2, &[33.8, 33.8, 32.9], &[32.9]),
            (0.2, 0.4, &[86.2, 85.6, 86.2], &[85.6]),
            (0.01, 0.01, &[0.34, 0.014, 0.36], &[0.014]),
            (0.01, 0.01, &[0.35, 0.35, 0.34, 0.34, 0.014, 0.36], &[0.014]),
            (0.1, 0.2, &[33.6, 33.2, 33.3], &[]),
            (0.2, 0.4, &[86.0, 86.2, 85.8], &[]),
            (0.2, 0.4, &[86.6, 86.6, 86.8], &[]),
            (0.1, 0.25, &[59.9, 60.2, 60.2], &[]),
            (0.1, 0.25, &[60.5, 60.3, 60.8], &[]),
            (0.05, 0.1, &[11.95, 11.9, 11.95], &[]),
            (0.01, 0.01, &[1.17, 1.17, 1.15], &[]),
            (0.01, 0.01, &[1.08, 1.08, 1.10], &[]),
            (0.01, 0.01, &[0.28, 0.27, 0.31], &[]),
            (0.01, 0.01, &[88.56, 88.56, 88.56, 88.55], &[]),
            (0.01, 0.01, &[97.87, 97.85, 97.85, 97.86], &[]),
            (0.01, 0.01, &[1.2, 1.2, 1.2], &[]),
        ];
        for (step, repeatability, values, expected) in rows {
            assert_eq!(odd(values, step, repeatability), expected, "{values:?}");
        }
    }

    #[test]
    fn without_a_scale_nothing_is_odd() {
        assert_eq!(scores(&[1.0, 1.0, 2.0], 0.0), Some(vec![0.0; 3]));
        assert_eq!(scores(&[1.0, 2.0], 0.1), None);
        assert_eq!(scores(&[1.0, f64::NAN, 2.0], 0.1), None);
    }

    proptest! {
        /// A shift, and a stretch of values and scale together, change no score; and at
        /// least half of the values are never outliers.
        #[test]
        fn scores_do_not_depend_on_the_unit(
            values in prop::collection::vec(-10.0_f64..10.0, 3..20),
            shift in -50.0_f64..50.0,
        ) {
            let plain = scores(&values, 0.1).unwrap();
            let moved: Vec<f64> = values.iter().map(|v| (v + shift) * 25.4).collect();
            for (a, b) in plain.iter().zip(scores(&moved, 2.54).unwrap()) {
                prop_assert!((a - b).abs() < 1e-6 * (1.0 + a.abs()));
            }
            let odd = plain.iter().filter(|s| s.abs() > LIMIT).count();
            prop_assert!(2 * odd <= values.len());
        }
    }
}
