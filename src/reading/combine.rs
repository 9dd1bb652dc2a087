//! Combines the uncertainties of several values into that of a result: first
//! order, with what they share.

use super::component::{Shared, UncertaintyComponent};
use super::coverage::{LEVEL, student_factor};
use super::stats::Sum;
use std::collections::BTreeMap;

/// The combined uncertainty of a result that depends on several values, to
/// first order (JCGM 100, 5.1.2 and 5.2.2).
///
/// With y = Σ cᵢxᵢ near the values that were read, independent components add
/// by their squares, cᵢ²uᵢ². Components that are one and the same quantity
/// (correlation 1) first add with the signs of their cᵢ and are squared
/// together: readings with one micrometer share its zero, so a difference of
/// two is free of it.
///
/// ```
/// use crowndeck::reading::combine::Combined;
/// use crowndeck::reading::component::{Shape, UncertaintyComponent};
/// let mut sum = Combined::new();
/// sum.add(1.0, &[UncertaintyComponent::stated(Shape::Normal, 0.03)?]);
/// sum.add(-2.0, &[UncertaintyComponent::stated(Shape::Rectangular, 0.02)?]);
/// assert!((sum.u() - 0.05).abs() < 1e-15);
/// # Ok::<(), crowndeck::reading::component::ComponentError>(())
/// ```
#[derive(Clone, Debug, Default)]
pub struct Combined {
    /// |c|·u and degrees of freedom of each independent component.
    alone: Vec<(f64, f64)>,
    /// Σ c·u of each shared component, and its degrees of freedom.
    shared: BTreeMap<Shared, (f64, f64)>,
}

impl Combined {
    /// Creates an empty combination.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds the uncertainty components of one value, on which the result
    /// depends with the slope `sensitivity`.
    pub fn add(&mut self, sensitivity: f64, components: &[UncertaintyComponent]) {
        for component in components {
            let part = sensitivity * component.u();
            match component.shared() {
                None => self.alone.push((part.abs(), component.dof())),
                Some(shared) => {
                    let (sum, dof) = self.shared.entry(shared.clone()).or_insert((0.0, component.dof()));
                    *sum += part;
                    *dof = dof.min(component.dof());
                }
            }
        }
    }

    fn parts(&self) -> impl Iterator<Item = (f64, f64)> {
        self.alone.iter().chain(self.shared.values()).copied()
    }

    /// Returns the combined standard uncertainty, in the unit of the result.
    #[must_use]
    pub fn u(&self) -> f64 {
        // Scaled by the largest part, so that squares neither overflow nor
        // vanish.
        let largest = self.parts().map(|(part, _)| part.abs()).fold(0.0, f64::max);
        if largest == 0.0 {
            return 0.0;
        }
        let squares: Sum = self.parts().map(|(part, _)| (part / largest) * (part / largest)).collect();
        largest * squares.value().sqrt()
    }

    /// Returns the effective degrees of freedom, ν = u⁴/Σ(uᵢ⁴/νᵢ) (Welch and
    /// Satterthwaite; JCGM 100, G.4.1), not rounded; infinite where the
    /// uncertainty of every part is itself known exactly.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> f64 {
        let u = self.u();
        if u == 0.0 {
            return f64::INFINITY;
        }
        let fourth = |part: f64| {
            let square = (part / u) * (part / u);
            square * square
        };
        let sum: f64 = self.parts().map(|(part, dof)| fourth(part) / dof).sum();
        if sum > 0.0 { 1.0 / sum } else { f64::INFINITY }
    }

    /// Returns the result's standard and expanded uncertainty.
    #[must_use]
    pub fn uncertainty(&self) -> Uncertainty {
        let dof = self.degrees_of_freedom();
        // 0.95 is a share and the degrees are above 0, so there is a factor; that of
        // the normal distribution is the fallback.
        let factor = student_factor(LEVEL, dof).unwrap_or(1.96);
        Uncertainty { standard: self.u(), degrees_of_freedom: dof, coverage_factor: factor }
    }

    /// Returns the share of one value in the combined variance: its covariance
    /// with the result divided by the variance of the result. Over all values
    /// these shares add up to 1; 0 where the result has no uncertainty.
    #[must_use]
    pub fn share(&self, sensitivity: f64, components: &[UncertaintyComponent]) -> f64 {
        let u = self.u();
        if u == 0.0 {
            return 0.0;
        }
        let of = |component: &UncertaintyComponent| {
            let part = sensitivity * component.u() / u;
            let together = component.shared().and_then(|shared| self.shared.get(shared));
            part * together.map_or(part, |(sum, _)| sum / u)
        };
        components.iter().map(of).collect::<Sum>().value()
    }
}

/// The uncertainty of a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertainty {
    /// The combined standard uncertainty, in the unit of the result.
    pub standard: f64,
    /// The effective degrees of freedom, not rounded; may be infinite.
    pub degrees_of_freedom: f64,
    /// The number of standard uncertainties that cover 95 %: t for these
    /// degrees of freedom.
    pub coverage_factor: f64,
}

impl Uncertainty {
    /// Returns the expanded uncertainty, ±, for 95 %.
    #[must_use]
    pub fn expanded(&self) -> f64 {
        self.coverage_factor * self.standard
    }
}

#[cfg(test)]
mod tests {
    use super::super::component::{Origin, Shape};
    use super::*;
    use proptest::prelude::*;

    fn near(actual: f64, expected: f64, tolerance: f64) {
        let error = (actual - expected).abs();
        assert!(error <= tolerance, "{actual} against {expected}: off by {error:.1e}");
    }

    fn component(u: f64, dof: f64) -> UncertaintyComponent {
        UncertaintyComponent::new(Origin::Scatter, Shape::Normal, u, dof).unwrap()
    }

    fn combined(parts: &[(f64, f64, f64)]) -> Combined {
        let mut all = Combined::new();
        for &(c, u, dof) in parts {
            all.add(c, &[component(u, dof)]);
        }
        all
    }

    const INF: f64 = f64::INFINITY;

    /// JCGM 100:2008, H.1, calibration of an end gauge (seen at second hand):
    /// l = ls + d − ls(δα·θ + αs·δθ), all in nm. u_c = 32 nm, ν = 16, and with
    /// t for 99 % U = 93 nm; the term of δθ is 16.6 nm.
    #[test]
    fn the_end_gauge_has_the_printed_uncertainty() {
        let (ls, theta, alpha): (f64, f64, f64) = (50_000_623.0, -0.1, 11.5e-6);
        let (u_alpha, u_theta) = (0.58e-6, 0.029);
        let all = combined(&[
            (1.0, 25.0, 18.0),
            (1.0, 9.7, 25.6),
            (-ls * theta, u_alpha, 50.0),
            (-ls * alpha, u_theta, 2.0),
        ]);
        near(all.u(), 32.0, 0.5);
        near(all.u(), 31.710_609_640_4, 1e-9);
        near(combined(&[(-ls * alpha, u_theta, 2.0)]).u(), 16.6, 0.15);
        let dof = all.degrees_of_freedom();
        near(dof.floor(), 16.0, 0.5);
        near(student_factor(0.99, dof.floor()).unwrap() * all.u(), 93.0, 0.5);
    }

    /// JCGM 100:2008, G.4.1, example (from memory): relative uncertainties of
    /// a product of 0.25 %, 0.57 % and 0.82 % from 10, 5 and 15 readings give
    /// 1.03 % with 19.0 degrees of freedom.
    #[test]
    fn a_product_has_the_printed_degrees_of_freedom() {
        let all = combined(&[(1.0, 0.25, 9.0), (1.0, 0.57, 4.0), (1.0, 0.82, 14.0)]);
        near(all.u(), 1.03, 0.005);
        near(all.degrees_of_freedom(), 19.0, 0.05);
        near(all.degrees_of_freedom(), 18.998_742_314_3, 1e-9);
    }

    /// Course notes ENGR224 (Sandia, X-ray fluorescence example, read): a
    /// quotient and product X₁/X₂·Y with u = 0.00494, ν = 27.7, U₉₅ = 0.0101,
    /// which carry the rounding of the slides; and u = 0.57 with ν = 9 next to
    /// 0.25 with infinite ν gives 12.8.
    #[test]
    fn a_quotient_and_product_has_the_printed_uncertainty() {
        let (x1, x2, y): (f64, f64, f64) = (0.1820, 0.1823, 0.6978);
        near(x1 / x2 * y, 0.6967, 1e-4);
        let all = combined(&[
            (y / x2, 0.00093, 9.0),
            (-x1 * y / (x2 * x2), 0.00058, 19.0),
            (x1 / x2, 0.0026, 19.0),
        ]);
        let result = all.uncertainty();
        near(result.standard, 0.00494, 1e-5);
        near(result.standard, 0.004_931_801_999_13, 1e-15);
        near(result.degrees_of_freedom, 27.7, 0.5);
        near(result.expanded(), 0.0101, 1e-4);
        near(result.expanded(), 0.010_110_405_164, 1e-12);
        near(combined(&[(1.0, 0.57, 9.0), (1.0, 0.25, INF)]).degrees_of_freedom(), 12.8, 0.05);
    }

    /// NIST Technical Note 1900, example E13 (read): thermal expansion
    /// coefficient (L1 − L0)/(L0(T1 − T0)) = 1.7266e-5 /K with
    /// u = 1.76e-6 /K, by the formula that the example gives for it.
    #[test]
    fn a_thermal_expansion_has_the_printed_uncertainty() {
        let (l0, l1, t0, t1): (f64, f64, f64, f64) = (1.4999, 1.5021, 288.15, 373.10);
        let (dl, dt) = (l1 - l0, t1 - t0);
        near(dl / (l0 * dt) * 1e5, 1.7266, 5e-5);
        let all = combined(&[
            (-l1 / (l0 * l0 * dt), 0.0001, INF),
            (1.0 / (l0 * dt), 0.0002, INF),
            (dl / (l0 * dt * dt), 0.02, INF),
            (-dl / (l0 * dt * dt), 0.05, INF),
        ]);
        near(all.u() * 1e6, 1.76, 0.005);
        near(all.u() * 1e6, 1.755_477_280_81, 1e-9);
    }

    /// JCGM 100:2008, H.2, simultaneous resistance and reactance (seen at
    /// second hand): five sets of V, I and φ of table H.2 (from memory), each
    /// correlated with the others. R = 127.732 Ω with u = 0.071, X = 219.847
    /// with 0.295, Z = 254.260 with 0.236. Correlated inputs are written as
    /// sums of independent components (Cholesky's factor of the covariance),
    /// which are then shared.
    #[test]
    fn correlated_inputs_give_the_printed_uncertainties() {
        use crate::engine::num::{cos, sin};
        let v = [5.007, 4.994, 5.005, 4.990, 4.999];
        let i = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
        let phi = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
        let columns = [v, i, phi];
        let mean = columns.map(|c| super::super::stats::mean(&c).unwrap());
        let covariance = |a: usize, b: usize| {
            let products = columns[a].iter().zip(&columns[b]).map(|(x, y)| (x - mean[a]) * (y - mean[b]));
            products.sum::<f64>() / 20.0
        };
        let mut factor = [[0.0_f64; 3]; 3];
        for a in 0..3 {
            for b in 0..=a {
                let rest: f64 = covariance(a, b) - (0..b).map(|k| factor[a][k] * factor[b][k]).sum::<f64>();
                factor[a][b] = if a == b { rest.sqrt() } else { rest / factor[b][b] };
            }
        }
        let (vm, im, angle) = (mean[0], mean[1], mean[2]);
        let (s, c) = (sin(angle), cos(angle));
        let rows = [
            ("R", vm / im * c, [c / im, -vm * c / (im * im), -vm / im * s], 127.732, 0.071, 0.0005),
            ("X", vm / im * s, [s / im, -vm * s / (im * im), vm / im * c], 219.847, 0.295, 0.001),
            ("Z", vm / im, [1.0 / im, -vm / (im * im), 0.0], 254.260, 0.236, 0.0005),
        ];
        for (name, value, slopes, printed, printed_u, tolerance) in rows {
            near(value, printed, 0.0005);
            let mut all = Combined::new();
            for (row, slope) in factor.iter().zip(slopes) {
                for (k, part) in row.iter().enumerate() {
                    let shared = Shared { instrument: format!("factor {k}"), of: String::new() };
                    all.add(slope * part.signum(), &[component(part.abs(), INF).shared_as(shared)]);
                }
            }
            println!("{name} = {value:.4}, u = {:.5}", all.u());
            near(all.u(), printed_u, tolerance);
        }
    }

    #[test]
    fn what_is_shared_leaves_a_difference() {
        let zero = Shared { instrument: "micrometer".into(), of: "barrel length".into() };
        let barrel = [component(0.003, INF), component(0.02, INF).shared_as(zero)];
        let (mut difference, mut sum) = (Combined::new(), Combined::new());
        difference.add(1.0, &barrel);
        difference.add(-1.0, &barrel);
        sum.add(1.0, &barrel);
        sum.add(1.0, &barrel);
        near(difference.u(), 0.003 * 2.0_f64.sqrt(), 1e-15);
        near(sum.u(), (2.0 * 0.003_f64 * 0.003 + 0.04 * 0.04).sqrt(), 1e-15);
        near(sum.share(1.0, &barrel), 0.5, 1e-12);
        near(difference.share(1.0, &barrel), 0.5, 1e-12);
    }

    #[test]
    fn nothing_in_doubt_is_no_number_in_doubt() {
        let all = combined(&[(1.0, 0.0, 2.0), (0.0, 5.0, 3.0)]);
        let result = all.uncertainty();
        assert_eq!((result.standard, result.expanded()), (0.0, 0.0));
        assert_eq!((result.degrees_of_freedom, all.share(1.0, &[component(1.0, INF)])), (INF, 0.0));
    }

    proptest! {
        /// Shares add up to 1, degrees of freedom lie between the least of a
        /// part and the sum of all (JCGM 100, G.4.1, note), and scale does
        /// not matter.
        #[test]
        fn shares_add_up_to_1_and_degrees_of_freedom_stay_in_their_bounds(
            parts in prop::collection::vec((-5.0_f64..5.0, 1e-3_f64..1.0, 1.0_f64..50.0), 1..8),
            power in -150_i32..150,
        ) {
            let scale: f64 = format!("1e{power}").parse().unwrap();
            let scaled: Vec<_> = parts.iter().map(|&(c, u, dof)| (c * scale, u, dof)).collect();
            let all = combined(&scaled);
            prop_assume!(all.u() > 0.0);
            let shares: f64 = scaled.iter().map(|&(c, u, dof)| all.share(c, &[component(u, dof)])).sum();
            prop_assert!((shares - 1.0).abs() < 1e-9);
            let dof = all.degrees_of_freedom();
            let least = parts.iter().map(|p| p.2).fold(INF, f64::min);
            let together: f64 = parts.iter().map(|p| p.2).sum();
            prop_assert!(least * (1.0 - 1e-9) <= dof && dof <= together * (1.0 + 1e-9));
            prop_assert!((all.u() / scale - combined(&parts).u()).abs() <= 1e-12 * combined(&parts).u());
        }
    }
}
