//! The distribution of a result by trials: every value is drawn within its
//! uncertainty, and the result computed anew each time (JCGM 101:2008,
//! Propagation of distributions using a Monte Carlo method).
//!
//! Unlike the first order of [`combine`](super::combine) this needs no
//! straight line and no bell, so it shows where those two fail.

use super::component::{Shape, Shared, UncertaintyComponent};
use super::random::Random;
use super::stats::{count, mean, standard_deviation};

/// Trials between two checks whether enough were made (JCGM 101, 7.9.4 b).
const BLOCK: usize = 10_000;

/// Trials after which an adaptive run ends, settled or not.
pub(crate) const MAX_ADAPTIVE: usize = 500_000;

/// Numbers of trials that can be asked for: below, the ends mean little; above,
/// the results no longer fit into memory.
pub(crate) const ALLOWED: std::ops::RangeInclusive<usize> = 100..=10_000_000;

/// Largest share of trials that may be impossible; they are left out and
/// reported.
const MAX_IMPOSSIBLE: f64 = 1e-3;

/// A value with its uncertainty components.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Variable<'a> {
    /// The value as read.
    pub value: f64,
    /// The uncertainty components.
    pub doubts: &'a [UncertaintyComponent],
}

/// The number of trials.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Trials {
    /// This many, kept within what is [`ALLOWED`] by whoever asks.
    Fixed(usize),
    /// Until mean, standard deviation and both ends are settled to two
    /// significant digits of the standard deviation (JCGM 101, 7.9), and at
    /// most [`MAX_ADAPTIVE`].
    #[default]
    Adaptive,
}

/// The result of the trials for one output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sample {
    /// Number of trials that count.
    pub trials: usize,
    /// Number of trials left out, because no such engine can exist.
    pub left_out: usize,
    /// Whether an adaptive run settled; true where the number was fixed.
    pub settled: bool,
    /// The seed.
    pub seed: u64,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub standard_deviation: f64,
    /// 2.5 % lie below.
    pub low_95: f64,
    /// 2.5 % lie above.
    pub high_95: f64,
    /// The shortest interval that holds 95 % (JCGM 101, 7.7.4): the same as
    /// the one above for a distribution that is alike on both sides, narrower
    /// for a skewed one.
    pub shortest_95: (f64, f64),
}

impl Sample {
    /// Returns whether these trials and the first order disagree: an end of the
    /// interval `value` ± `expanded` lies further from that of the trials than
    /// half of the first significant digit of the standard deviation (JCGM 101,
    /// 8.1, with one significant digit), and than a tenth of the ± itself,
    /// below which nobody at the bench would act otherwise (our own rule).
    #[must_use]
    pub(crate) fn parts_from(&self, value: f64, expanded: f64) -> bool {
        let tolerance = (10.0 * tolerance(self.standard_deviation)).max(expanded / 10.0);
        let low = (value - expanded - self.low_95).abs();
        low > tolerance || (value + expanded - self.high_95).abs() > tolerance
    }
}

/// A reason why trials give no result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum TrialError {
    /// Too many trials led to a result that can't exist.
    #[error("{impossible} of {trials} trials within the doubts give an engine that can't exist")]
    Impossible {
        /// Number of impossible trials.
        impossible: usize,
        /// Number of all trials.
        trials: usize,
    },
    /// A number of trials that is not allowed.
    #[error("{0} trials; {first} to {last} are allowed", first = ALLOWED.start(), last = ALLOWED.end())]
    Number(usize),
}

/// The source of one random number, with the variables that it moves.
struct Source {
    shape: Shape,
    dof: f64,
    shared: Option<Shared>,
    /// Variable and standard uncertainty.
    moves: Vec<(usize, f64)>,
}

fn sources(variables: &[Variable<'_>]) -> Vec<Source> {
    let mut sources: Vec<Source> = Vec::new();
    for (variable, Variable { doubts, .. }) in variables.iter().enumerate() {
        for doubt in doubts.iter().filter(|doubt| doubt.u() > 0.0) {
            let known =
                sources.iter_mut().find(|s| s.shared.is_some() && s.shared.as_ref() == doubt.shared());
            match known {
                Some(source) => source.moves.push((variable, doubt.u())),
                None => sources.push(Source {
                    shape: doubt.shape(),
                    dof: doubt.dof(),
                    shared: doubt.shared().cloned(),
                    moves: vec![(variable, doubt.u())],
                }),
            }
        }
    }
    sources
}

/// Draws the variables within their uncertainties, computes the results with
/// `model`, and returns their distributions. Components that are shared are
/// drawn once for all that share them.
///
/// `model` returns the results, or `None` where these values are impossible.
///
/// # Errors
/// When more than one in a thousand trials is impossible, or when the number
/// of trials is not allowed.
pub(crate) fn simulate<const N: usize>(
    variables: &[Variable<'_>],
    model: impl Fn(&[f64]) -> Option<[f64; N]>,
    trials: Trials,
    seed: u64,
) -> Result<[Sample; N], TrialError> {
    let sources = sources(variables);
    let mut random = Random::seeded(seed);
    let mut values: Vec<f64> = Vec::with_capacity(variables.len());
    let mut results: [Vec<f64>; N] = std::array::from_fn(|_| Vec::new());
    let mut impossible = 0;
    let mut run = |results: &mut [Vec<f64>; N], n: usize| -> Result<(), TrialError> {
        for _ in 0..n {
            values.clear();
            values.extend(variables.iter().map(|v| v.value));
            for source in &sources {
                let off = random.draw(source.shape, source.dof);
                for &(variable, u) in &source.moves {
                    if let Some(value) = values.get_mut(variable) {
                        *value += off * u;
                    }
                }
            }
            match model(&values).filter(|all| all.iter().all(|r| r.is_finite())) {
                Some(all) => results.iter_mut().zip(all).for_each(|(list, result)| list.push(result)),
                None => impossible += 1,
            }
        }
        let trials = results.first().map_or(0, Vec::len) + impossible;
        if count(impossible) > MAX_IMPOSSIBLE * count(trials) {
            return Err(TrialError::Impossible { impossible, trials });
        }
        Ok(())
    };
    let mut settled = true;
    match trials {
        Trials::Fixed(n) if !ALLOWED.contains(&n) => return Err(TrialError::Number(n)),
        Trials::Fixed(n) => run(&mut results, n)?,
        Trials::Adaptive => {
            let mut blocks: Vec<[[f64; 4]; N]> = Vec::new();
            settled = false;
            while !settled && blocks.len() * BLOCK < MAX_ADAPTIVE {
                let before = results.first().map_or(0, Vec::len);
                run(&mut results, BLOCK)?;
                blocks.push(std::array::from_fn(|i| {
                    let new = results.get(i).and_then(|list| list.get(before..)).unwrap_or_default();
                    summary(&mut new.to_vec())
                }));
                settled = (0..N).all(|i| is_settled(&blocks, i));
            }
        }
    }
    Ok(results.map(|mut list| {
        let [mean, standard_deviation, low_95, high_95] = summary(&mut list);
        let shortest_95 = shortest(&mut list).unwrap_or((low_95, high_95));
        Sample {
            shortest_95,
            trials: list.len(),
            left_out: impossible,
            settled,
            seed,
            mean,
            standard_deviation,
            low_95,
            high_95,
        }
    }))
}

/// Returns mean, standard deviation and both ends; the values are reordered.
fn summary(values: &mut [f64]) -> [f64; 4] {
    // There are some values, and all are finite.
    let mean = mean(values).unwrap_or(0.0);
    let deviation = standard_deviation(values).unwrap_or(0.0);
    let (low, high) = ends(values).unwrap_or((mean, mean));
    [mean, deviation, low, high]
}

/// Returns the probabilistically symmetric interval (JCGM 101, 7.7.2): with M
/// values in order and q = 0.95·M, the r-th and the (r+q)-th, r = (M − q)/2,
/// both rounded to the nearest whole number.
fn ends(values: &mut [f64]) -> Option<(f64, f64)> {
    let m = values.len();
    // 0.95·M in whole numbers, rounded half up.
    let q = (m * 19 + 10) / 20;
    let r = (m - q).div_ceil(2).max(1);
    let mut at = |place: usize| {
        let place = place.clamp(1, m.max(1)) - 1;
        (place < m).then(|| *values.select_nth_unstable_by(place, f64::total_cmp).1)
    };
    Some((at(r)?, at(r + q)?))
}

/// Returns the shortest interval with q = 0.95·M steps from one value in order
/// to another (JCGM 101, 7.7.4); the lowest of several alike.
fn shortest(values: &mut [f64]) -> Option<(f64, f64)> {
    values.sort_unstable_by(f64::total_cmp);
    let q = (values.len() * 19 + 10) / 20;
    let pairs = values.iter().zip(values.iter().skip(q)).map(|(&low, &high)| (low, high));
    pairs.min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
}

/// Returns whether twice the standard error of each of the four figures, taken
/// from the blocks, lies within the numerical tolerance: half of the last of
/// two significant digits of the standard deviation (JCGM 101, 7.9.2 and
/// 7.9.4).
fn is_settled<const N: usize>(blocks: &[[[f64; 4]; N]], result: usize) -> bool {
    let h = blocks.len();
    if h < 2 {
        return false;
    }
    let column = |figure: usize| -> Vec<f64> {
        blocks.iter().filter_map(|b| b.get(result)?.get(figure)).copied().collect()
    };
    let u = mean(&column(1)).unwrap_or(0.0);
    let tolerance = tolerance(u);
    (0..4).all(|figure| {
        let error = standard_deviation(&column(figure)).unwrap_or(0.0) / count(h).sqrt();
        2.0 * error <= tolerance
    })
}

/// Returns half of the last digit when `u` is written with two significant
/// digits; 0 for 0.
fn tolerance(u: f64) -> f64 {
    use crate::engine::num::{log10, pow};
    if u > 0.0 { 0.5 * pow(10.0, log10(u).floor() - 1.0) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::super::combine::Combined;
    use super::super::component::Origin;
    use super::*;
    use crate::engine::num::ln;
    use proptest::prelude::*;

    fn near(what: &str, actual: f64, expected: f64, tolerance: f64) {
        let error = (actual - expected).abs();
        assert!(error <= tolerance, "{what}: {actual} against {expected}: off by {error:.1e}");
    }

    fn sum_of(doubts: &[UncertaintyComponent], trials: Trials) -> Sample {
        let variables: Vec<Variable<'_>> =
            doubts.iter().map(|d| Variable { value: 0.0, doubts: std::slice::from_ref(d) }).collect();
        simulate(&variables, |x| Some([x.iter().sum()]), trials, 7).unwrap()[0]
    }

    fn four(shape: Shape, u: [f64; 4]) -> Vec<UncertaintyComponent> {
        u.map(|u| UncertaintyComponent::stated(shape, u).unwrap()).into()
    }

    /// JCGM 101:2008, 9.2, additive models Y = X1 + X2 + X3 + X4: 95 % of
    /// results within ±3.92 for four standard normal inputs (table 2, seen at
    /// second hand), ±3.88 for four rectangular ones (table 3, seen at second
    /// hand), and ±17.0 where one rectangle is ten times wider (table 4, from
    /// memory), for which the first order says ±19.9. The exact half widths,
    /// recomputed, are held within 5 standard errors of an end.
    #[test]
    fn trials_of_a_sum_give_the_printed_intervals() {
        let trials = 1_000_000;
        let rows = [
            (Shape::Normal, [1.0; 4], 3.92, 0.005, 3.919_927_969_08, 0.0584 / 2.0),
            (Shape::Rectangular, [1.0; 4], 3.88, 0.005, 3.879_406_741_35, 0.0615 / 2.0),
            (Shape::Rectangular, [1.0, 1.0, 1.0, 10.0], 17.0, 0.05, 17.020_258_267_8, 0.0125),
        ];
        for (shape, u, printed, rounding, exact, density) in rows {
            let doubts = four(shape, u);
            let sample = sum_of(&doubts, Trials::Fixed(trials));
            let error = (0.025 * 0.975 / count(trials)).sqrt() / density;
            for end in [-sample.low_95, sample.high_95] {
                near("end", end, exact, 5.0 * error);
                near("printed end", end, printed, rounding + 5.0 * error);
            }
            println!("{shape} {u:?}: {:.4} to {:.4}", sample.low_95, sample.high_95);
        }
        let mut first_order = Combined::new();
        for doubt in four(Shape::Rectangular, [1.0, 1.0, 1.0, 10.0]) {
            first_order.add(1.0, &[doubt]);
        }
        near("first order", first_order.uncertainty().expanded(), 19.9, 0.05);
    }

    /// NPL Report DEM-ES-011, 9.2 (read): Y = ln X with X rectangular between
    /// 0.1 and 1.1 has mean −0.665 and standard deviation 0.606, where the
    /// first order says −0.511 and 0.481. The report gives the shortest
    /// interval, −1.895 to 0.095; exact is ln(0.15) to ln(1.1), and with 2.5 %
    /// on each side ln(0.125) to ln(1.075).
    #[test]
    fn trials_of_a_logarithm_give_the_printed_interval() {
        let doubts = [UncertaintyComponent::within(Origin::Stated, 0.5).unwrap()];
        let x = Variable { value: 0.6, doubts: &doubts };
        let n = 1_000_000;
        let sample = simulate(&[x], |x| Some([ln(*x.first()?)]), Trials::Fixed(n), 3).unwrap()[0];
        let root = count(n).sqrt();
        near("mean", sample.mean, -0.664_900_292_916, 5.0 * 0.606 / root);
        near("printed mean", sample.mean, -0.665, 0.0005 + 5.0 * 0.606 / root);
        near("deviation", sample.standard_deviation, 0.606_226_697_429, 5.0 * 0.6 / root);
        // The density of ln X is x itself over the width 1.
        let error = (0.025_f64 * 0.975).sqrt() / root;
        near("low", sample.low_95, ln(0.125), 5.0 * error / 0.125);
        near("high", sample.high_95, ln(1.075), 5.0 * error / 1.075);
        let (low, high) = sample.shortest_95;
        near("shortest low", low, ln(0.15), 5.0 * (0.05_f64 * 0.95).sqrt() / root / 0.15);
        near("printed low", low, -1.895, 0.0025 + 5.0 * 0.2 / root / 0.15);
        near("printed high", high, 0.095, 0.0005);
        let mut first_order = Combined::new();
        first_order.add(1.0 / 0.6, &doubts);
        near("first order mean", ln(0.6), -0.511, 0.0005);
        near("first order", first_order.u(), 0.481, 0.0005);
        assert!(sample.parts_from(ln(0.6), first_order.uncertainty().expanded()));
    }

    /// Four rectangles make nearly a bell; both intervals are then the same
    /// within what trials can tell.
    #[test]
    fn a_sum_does_not_part_from_its_first_order() {
        let doubts = four(Shape::Rectangular, [1.0; 4]);
        let sample = sum_of(&doubts, Trials::Fixed(100_000));
        let mut first_order = Combined::new();
        doubts.iter().for_each(|doubt| first_order.add(1.0, std::slice::from_ref(doubt)));
        assert!(!sample.parts_from(0.0, first_order.uncertainty().expanded()), "{sample:?}");
        let (low, high) = sample.shortest_95;
        assert!(high - low <= sample.high_95 - sample.low_95);
    }

    #[test]
    fn what_is_shared_is_drawn_once() {
        let zero = Shared { instrument: "micrometer".into(), of: "barrel".into() };
        let doubts = [UncertaintyComponent::stated(Shape::Normal, 0.02).unwrap().shared_as(zero)];
        let barrels =
            [Variable { value: 97.85, doubts: &doubts }, Variable { value: 97.80, doubts: &doubts }];
        let [difference, sum] =
            simulate(&barrels, |x| Some([x[0] - x[1], x[0] + x[1]]), Trials::Fixed(10_000), 1).unwrap();
        near("difference", difference.mean, 0.05, 1e-12);
        assert!(difference.standard_deviation < 1e-12, "{difference:?}");
        near("sum", sum.standard_deviation, 0.04, 0.002);
    }

    #[test]
    fn the_same_seed_gives_the_same_digits_and_another_one_others() {
        let doubts = four(Shape::Triangular, [0.1, 0.2, 0.3, 0.4]);
        let variables: Vec<Variable<'_>> =
            doubts.chunks(1).map(|doubts| Variable { value: 0.0, doubts }).collect();
        let run = |seed| {
            simulate(&variables, |x| Some([x.iter().sum::<f64>()]), Trials::Fixed(1000), seed).unwrap()
        };
        assert_eq!(run(5), run(5));
        assert_ne!(run(5)[0].mean, run(6)[0].mean);
    }

    #[test]
    fn an_adaptive_run_settles_to_two_digits() {
        let sample = sum_of(&four(Shape::Normal, [1.0; 4]), Trials::Adaptive);
        println!("settled after {} trials: {sample:?}", sample.trials);
        assert!(sample.settled && sample.trials.is_multiple_of(BLOCK) && sample.trials > BLOCK);
        near("deviation", sample.standard_deviation, 2.0, 0.05);
        near("high", sample.high_95, 3.92, 0.05);
        let nothing = sum_of(&four(Shape::Normal, [0.0; 4]), Trials::Adaptive);
        assert_eq!((nothing.trials, nothing.standard_deviation, nothing.low_95), (2 * BLOCK, 0.0, 0.0));
    }

    #[test]
    fn a_run_that_never_settles_ends() {
        // A t distribution with 3 degrees of freedom has no fourth moment.
        let heavy = UncertaintyComponent::new(Origin::Scatter, Shape::Normal, 1.0, 3.0).unwrap();
        let sample = sum_of(&[heavy], Trials::Adaptive);
        assert!(sample.trials <= MAX_ADAPTIVE, "{sample:?}");
    }

    #[test]
    fn impossible_trials_are_told() {
        let doubts = [UncertaintyComponent::within(Origin::Stated, 1.0).unwrap()];
        let run = |value: f64, limit: f64| {
            let x = Variable { value, doubts: &doubts };
            simulate(&[x], |x| (x[0] > limit).then_some([x[0]]), Trials::Fixed(10_000), 1)
        };
        assert!(matches!(
            run(0.0, 0.0),
            Err(TrialError::Impossible { impossible: 4000..6000, trials: 10_000 })
        ));
        let few = run(0.0, -0.9992).unwrap()[0];
        assert!(few.left_out > 0 && few.left_out + few.trials == 10_000, "{few:?}");
        let x = Variable { value: 0.0, doubts: &doubts };
        let not_finite = simulate(&[x], |_| Some([f64::NAN]), Trials::Adaptive, 1);
        assert!(matches!(not_finite, Err(TrialError::Impossible { .. })));
        for n in [0, 99, 10_000_001] {
            let error = simulate(&[x], |x| Some([x[0]]), Trials::Fixed(n), 1).unwrap_err();
            assert_eq!(error, TrialError::Number(n));
        }
    }

    /// JCGM 101, 7.7.2, example: with 10⁶ values and 95 %, the symmetric
    /// interval runs from the 25 000th to the 975 000th.
    #[test]
    fn ends_are_counted_out() {
        let mut values: Vec<f64> = (1..=1_000_000).map(f64::from).collect();
        values.reverse();
        assert_eq!(ends(&mut values), Some((25_000.0, 975_000.0)));
        assert_eq!(ends(&mut [4.0]), Some((4.0, 4.0)));
        assert_eq!(ends(&mut []), None);
    }

    /// JCGM 101, 7.9.2, examples: two digits of 32 give 0.5; of 0.0357, 0.0005.
    #[test]
    fn tolerance_is_half_of_the_last_digit() {
        near("32", tolerance(32.0), 0.5, 1e-12);
        near("0.0357", tolerance(0.0357), 0.0005, 1e-15);
        assert_eq!(tolerance(0.0), 0.0);
    }

    proptest! {
        /// Wherever the model is a straight line and nothing scatters, trials
        /// and first order agree within 6 standard errors.
        #[test]
        fn a_straight_line_agrees_with_the_first_order(
            slopes in prop::array::uniform4(-3.0_f64..3.0),
            u in prop::array::uniform4(0.01_f64..1.0),
            seed in any::<u64>(),
        ) {
            let shapes = [Shape::Normal, Shape::Rectangular, Shape::Triangular, Shape::Normal];
            let doubts: Vec<[UncertaintyComponent; 1]> =
                shapes.iter().zip(u).map(|(&s, u)| [UncertaintyComponent::stated(s, u).unwrap()]).collect();
            let variables: Vec<Variable<'_>> =
                doubts.iter().map(|d| Variable { value: 1.0, doubts: d }).collect();
            let model = |x: &[f64]| Some([x.iter().zip(slopes).map(|(x, c)| c * x).sum::<f64>()]);
            let sample = simulate(&variables, model, Trials::Fixed(5000), seed).unwrap()[0];
            let mut first = Combined::new();
            doubts.iter().zip(slopes).for_each(|(d, c)| first.add(c, d));
            let standard_error = first.u() / 5000.0_f64.sqrt();
            prop_assert!((sample.mean - slopes.iter().sum::<f64>()).abs() < 6.0 * standard_error);
            prop_assert!((sample.standard_deviation - first.u()).abs() < 6.0 * standard_error);
            prop_assert!(sample.low_95 < sample.mean && sample.mean < sample.high_95);
        }
    }
}
