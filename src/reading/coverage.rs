//! Coverage factors: the quantiles of Student's t and of the normal
//! distribution.

use crate::engine::num::{PI, erf, exp, ln, ln_gamma, tan};

/// The share of results that an expanded uncertainty covers.
pub const LEVEL: f64 = 0.95;

/// Degrees of freedom above which the expansion about the normal
/// distribution is used: its first term left out is of order 1/ν⁵.
const MANY: f64 = 1000.0;

/// Steps of the continued fraction; it needs some tens at ν = 1000 (a test
/// holds the cap).
const MAX_TERMS: u32 = 500;

/// Returns the factor k for which the share `p` of a normal distribution lies
/// within ±k standard deviations: 1.96 for 95 %. `None` unless 0 < p < 1.
#[must_use]
pub fn normal_factor(p: f64) -> Option<f64> {
    if !(p > 0.0 && p < 1.0) {
        return None;
    }
    let share = |k: f64| erf(k / std::f64::consts::SQRT_2);
    let start = if p > 0.3 { normal_start(p) } else { 0.0 };
    let density = |z: f64| (2.0 / PI).sqrt() * exp(-z * z / 2.0);
    // The logarithm of the density has the derivative −z.
    halley(start, |z| p - share(z), density, |z| -z).or_else(|| Some(rising(p, share)))
}

/// Approximates the quantile to 4.5e-4: M. Abramowitz, I. A. Stegun, Handbook
/// of Mathematical Functions, 26.2.23.
fn normal_start(p: f64) -> f64 {
    let t = (-2.0 * ln((1.0 - p) / 2.0)).sqrt();
    let above = (0.010_328 * t + 0.802_853) * t + 2.515_517;
    let below = ((0.001_308 * t + 0.189_269) * t + 1.432_788) * t + 1.0;
    t - above / below
}

/// Returns the factor t for which the share `p` of Student's t distribution
/// with `nu` degrees of freedom (any number above 0, also infinity) lies within
/// ±t (JCGM 100, table G.2). `None` unless 0 < p < 1 and nu > 0.
///
/// ```
/// use crowndeck::reading::coverage::student_factor;
/// let t = student_factor(0.95, 2.0).unwrap();
/// assert!((t - 4.303).abs() < 0.001);
/// ```
#[must_use]
pub fn student_factor(p: f64, nu: f64) -> Option<f64> {
    if !(p > 0.0 && p < 1.0 && nu > 0.0) {
        return None;
    }
    // For one degree of freedom the distribution is Cauchy's, for two it has
    // a root in closed form; both are exact.
    if nu == 1.0 {
        return Some(tan(PI * p / 2.0));
    }
    if nu == 2.0 {
        return Some(p * (2.0 / ((1.0 - p) * (1.0 + p))).sqrt());
    }
    if nu > MANY {
        return normal_factor(p).map(|z| expanded_about_normal(z, nu));
    }
    // The expansion is close enough to begin with from three degrees on.
    let start = if nu >= 3.0 { normal_factor(p).map(|z| expanded_about_normal(z, nu)) } else { None };
    start.and_then(|t| polished(t, p, nu)).or_else(|| Some(rising(p, |t| within(t, nu))))
}

/// Polishes an approximate quantile of t. The logarithm of its density has the
/// derivative −(ν + 1)·t/(ν + t²).
fn polished(begin: f64, p: f64, nu: f64) -> Option<f64> {
    let scale = 2.0 * exp(ln_gamma((nu + 1.0) / 2.0) - ln_gamma(nu / 2.0)) / (nu * PI).sqrt();
    let density = |t: f64| scale * exp(-(nu + 1.0) / 2.0 * ln(1.0 + t * t / nu));
    halley(begin, |t| p - within(t, nu), density, |t| -(nu + 1.0) * t / (nu + t * t))
}

/// Finds where a share that rises with the density f reaches what is wanted, by
/// Halley's steps (E. Halley, 1694) from a place close to it: with d =
/// missing(x)/f(x) and the derivative g of ln f, one step is d/(1 + d·g/2), and
/// leaves an error of third order in it. Returns `None` where the steps do not
/// settle.
fn halley(
    begin: f64,
    missing: impl Fn(f64) -> f64,
    density: impl Fn(f64) -> f64,
    slope_of_log: impl Fn(f64) -> f64,
) -> Option<f64> {
    let mut x = begin;
    for _ in 0..12 {
        let straight = missing(x) / density(x);
        let next = x + straight / (1.0 + straight * slope_of_log(x) / 2.0);
        if !(next.is_finite() && next > 0.0) {
            return None;
        }
        let step = (next - x).abs();
        x = next;
        if step <= 1e-6 * next {
            return Some(x);
        }
    }
    None
}

/// Expands the quantile of t about that of the normal distribution, to 1/ν⁴: M.
/// Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, 26.7.5.
fn expanded_about_normal(z: f64, nu: f64) -> f64 {
    if nu.is_infinite() {
        return z;
    }
    let z2 = z * z;
    let g1 = (z2 + 1.0) * z / 4.0;
    let g2 = ((5.0 * z2 + 16.0) * z2 + 3.0) * z / 96.0;
    let g3 = (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) * z / 384.0;
    let g4 = ((((79.0 * z2 + 776.0) * z2 + 1482.0) * z2 - 1920.0) * z2 - 945.0) * z / 92_160.0;
    z + (g1 + (g2 + (g3 + g4 / nu) / nu) / nu) / nu
}

/// Returns the share of Student's t distribution within ±t: I_y(1/2, ν/2) with
/// y = t²/(ν + t²) (Abramowitz and Stegun, 26.7.1 and 26.5.27).
fn within(t: f64, nu: f64) -> f64 {
    let t2 = t * t;
    if t2.is_infinite() {
        return 1.0;
    }
    // The smaller tail is computed, so that neither loses its digits.
    let (y, rest) = (t2 / (nu + t2), nu / (nu + t2));
    if y < 0.5 {
        incomplete_beta(0.5, nu / 2.0, y, rest)
    } else {
        1.0 - incomplete_beta(nu / 2.0, 0.5, rest, y)
    }
}

/// Computes the regularised incomplete beta function I_x(a, b); `rest` is 1 −
/// x.
///
/// Abramowitz and Stegun, 26.5.8 (continued fraction) and 26.5.2 (the other
/// side where that converges faster), summed by Lentz's method as modified by
/// Thompson and Barnett (J. Comput. Phys. 64, 1986).
fn incomplete_beta(a: f64, b: f64, x: f64, rest: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if rest <= 0.0 {
        return 1.0;
    }
    let front = exp(ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * ln(x) + b * ln(rest));
    if x < (a + 1.0) / (a + b + 2.0) {
        front * beta_fraction(a, b, x, MAX_TERMS) / a
    } else {
        1.0 - front * beta_fraction(b, a, rest, MAX_TERMS) / b
    }
}

fn beta_fraction(a: f64, b: f64, x: f64, most_terms: u32) -> f64 {
    // Replaces a denominator that would vanish.
    const TINY: f64 = 1e-300;
    let away = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let mut fraction = d;
    for m in 1..=most_terms {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / away(1.0 + even * d);
        c = away(1.0 + even / c);
        fraction *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away(1.0 + odd * d);
        c = away(1.0 + odd / c);
        let factor = d * c;
        fraction *= factor;
        if (factor - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    fraction
}

/// Finds where a function that rises from 0 at 0 toward 1 reaches `p`: doubling
/// until it is passed, then the Illinois variant of false position (G.
/// Dahlquist and Å. Björck, Numerical Methods, from memory), which keeps the
/// bracket and needs about ten steps where halving needs fifty. Both loops are
/// bounded.
fn rising(p: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    let (mut below, mut above) = (-p, f(1.0) - p);
    for _ in 0..1024 {
        if above >= 0.0 {
            break;
        }
        (low, below) = (high, above);
        high *= 2.0;
        above = f(high) - p;
    }
    let mut last = f64::NAN;
    let mut last_moved = 0_i8;
    for _ in 0..200 {
        let straight = high - above * (high - low) / (above - below);
        let x = if straight > low && straight < high { straight } else { low + (high - low) / 2.0 };
        if x <= low || x >= high || (x - last).abs() <= 2.0 * f64::EPSILON * x {
            return x;
        }
        last = x;
        let there = f(x) - p;
        if there == 0.0 {
            return x;
        }
        // An end that stays twice in a row is given half its weight.
        if there < 0.0 {
            (low, below) = (x, there);
            above = if last_moved < 0 { above / 2.0 } else { above };
            last_moved = -1;
        } else {
            (high, above) = (x, there);
            below = if last_moved > 0 { below / 2.0 } else { below };
            last_moved = 1;
        }
    }
    low + (high - low) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn near(actual: f64, expected: f64, tolerance: f64) {
        let error = (actual - expected).abs();
        assert!(error <= tolerance, "{actual} against {expected}: off by {error:.1e}");
    }

    /// JCGM 100:2008, table G.2 (seen at second hand), printed to two decimals;
    /// next to it the same quantile recomputed in 50-digit arithmetic.
    #[test]
    fn factors_of_t_are_those_printed() {
        let rows = [
            (0.6827, 1.0, 1.84, 1.837_409_429_49),
            (0.95, 1.0, 12.71, 12.706_204_736_2),
            (0.9973, 5.0, 5.51, 5.506_984_967_35),
            (0.90, 20.0, 1.72, 1.724_718_242_92),
            (0.95, 20.0, 2.09, 2.085_963_447_27),
            (0.99, 11.0, 3.11, 3.105_806_515_54),
            (0.9973, 2.0, 19.21, 19.206_015_887_8),
            (0.90, 10.0, 1.81, 1.812_461_122_81),
            (0.99, 16.0, 2.92, 2.920_781_622_43),
        ];
        for (p, nu, printed, exact) in rows {
            let t = student_factor(p, nu).unwrap();
            near(t, printed, 0.005);
            near(t, exact, 6e-11 * exact);
        }
    }

    /// 1.959 963 984 540 054 and 2.575 829 303 548 901 are in every table of
    /// the normal distribution (from memory).
    #[test]
    fn factors_of_the_normal_distribution_are_those_printed() {
        near(normal_factor(0.95).unwrap(), 1.959_963_984_540_054, 1e-14);
        near(normal_factor(0.99).unwrap(), 2.575_829_303_548_901, 1e-14);
        assert_eq!(student_factor(0.95, f64::INFINITY), normal_factor(0.95));
    }

    /// Where the two methods meet they give the same.
    #[test]
    fn the_expansion_continues_the_fraction() {
        for p in [0.5, 0.6827, 0.95, 0.99, 0.9973] {
            let z = normal_factor(p).unwrap();
            near(expanded_about_normal(z, MANY), rising(p, |t| within(t, MANY)), 1e-12);
        }
    }

    #[test]
    fn the_closed_forms_agree_with_the_fraction() {
        for p in [0.05, 0.5, 0.95, 0.9973] {
            for nu in [1.0, 2.0] {
                let exact = student_factor(p, nu).unwrap();
                near(rising(p, |t| within(t, nu)), exact, 1e-12 * exact);
            }
        }
    }

    /// Halley's steps and the bracket find the same place.
    #[test]
    fn both_ways_to_a_quantile_agree() {
        for p in [1e-9, 0.01, 0.3, 0.6827, 0.90, 0.95, 0.99, 0.9973, 0.999_999] {
            let z = rising(p, |k| erf(k / std::f64::consts::SQRT_2));
            near(normal_factor(p).unwrap(), z, 1e-10 * z);
        }
        for p in [0.01, 0.3, 0.6827, 0.90, 0.95, 0.99, 0.9973] {
            for nu in [3.0, 3.7, 5.0, 11.3, 40.0, 333.3, 999.0] {
                let start = expanded_about_normal(normal_factor(p).unwrap(), nu);
                let t = polished(start, p, nu).unwrap();
                near(t, rising(p, |t| within(t, nu)), 1e-12 * t);
            }
        }
    }

    #[test]
    fn the_fraction_ends_before_its_cap() {
        // A fifth of the cap gives the same digits, also at the place where
        // the fraction is slowest, x = (a + 1)/(a + b + 2).
        for (a, b) in [(0.5, 500.0), (500.0, 0.5), (0.5, 0.5), (1e-3, 0.5), (0.5, 1e-3), (20.0, 0.5)] {
            let slowest = (a + 1.0) / (a + b + 2.0);
            for x in [slowest, 0.5 * slowest, 1e-9] {
                let (few, all) = (beta_fraction(a, b, x, MAX_TERMS / 5), beta_fraction(a, b, x, MAX_TERMS));
                assert_eq!(few, all, "{a} {b} {x}");
            }
        }
    }

    #[test]
    fn what_is_no_share_or_no_degree_of_freedom_gives_nothing() {
        for (p, nu) in [(0.0, 5.0), (1.0, 5.0), (f64::NAN, 5.0), (0.95, 0.0), (0.95, -1.0), (0.95, f64::NAN)]
        {
            assert_eq!(student_factor(p, nu), None, "{p} {nu}");
        }
        assert_eq!(normal_factor(1.0), None);
    }

    proptest! {
        /// More degrees of freedom never need a larger factor, and the factor
        /// gives the share back.
        #[test]
        fn the_factor_falls_with_the_degrees_of_freedom(p in 0.05_f64..0.999, nu in 0.5_f64..3000.0) {
            let t = student_factor(p, nu).unwrap();
            let with_more = student_factor(p, nu * 1.5).unwrap();
            prop_assert!(with_more <= t * (1.0 + 1e-12), "{} then {}", t, with_more);
            prop_assert!(t >= normal_factor(p).unwrap() * (1.0 - 1e-12));
            if nu <= MANY {
                prop_assert!((within(t, nu) - p).abs() < 1e-12);
            }
        }
    }
}
