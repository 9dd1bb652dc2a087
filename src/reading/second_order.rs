//! The second order of propagated uncertainty: where a result bends over the
//! uncertainties of its values, the straight line of
//! [`combine`](super::combine) falls short.

/// Computes what the second order adds to the square of the standard
/// uncertainty of `result`, where each of `values` has its own independent
/// standard uncertainty `u` with a distribution that is alike on both sides:
///
/// Σᵢ Σⱼ [½·(∂²f/∂xᵢ∂xⱼ)² + ∂f/∂xᵢ · ∂³f/∂xᵢ∂xⱼ²]·u²(xᵢ)·u²(xⱼ)
///
/// (JCGM 100:2008, 5.1.2, note). The derivatives are central differences over
/// one standard uncertainty, which is the stretch over which the bend counts;
/// for a result that is a polynomial of second degree in each value they are
/// exact. Values without uncertainty take no part. Returns `None` where the
/// result does not exist within two standard uncertainties.
pub(crate) fn second_order(values: &[f64], u: &[f64], result: impl Fn(&[f64]) -> Option<f64>) -> Option<f64> {
    let moving: Vec<usize> =
        u.iter().enumerate().filter(|(_, u)| **u > 0.0).map(|(i, _)| i).take(values.len()).collect();
    // The result with some values moved by so many standard uncertainties.
    let at = |moves: &[(usize, f64)]| {
        let mut moved = values.to_vec();
        for &(i, times) in moves {
            if let (Some(value), Some(u)) = (moved.get_mut(i), u.get(i)) {
                *value += times * u;
            }
        }
        result(&moved).filter(|r| r.is_finite())
    };
    let middle = at(&[])?;
    let mut sum = 0.0;
    for &i in &moving {
        let (up, down) = (at(&[(i, 1.0)])?, at(&[(i, -1.0)])?);
        let first = (up - down) / 2.0;
        for &j in &moving {
            let (second, third) = if i == j {
                let (far_up, far_down) = (at(&[(i, 2.0)])?, at(&[(i, -2.0)])?);
                (up - 2.0 * middle + down, (far_up - 2.0 * up + 2.0 * down - far_down) / 2.0)
            } else {
                let corner = |a: f64, b: f64| at(&[(i, a), (j, b)]);
                let (pp, pm, mp, mm) =
                    (corner(1.0, 1.0)?, corner(1.0, -1.0)?, corner(-1.0, 1.0)?, corner(-1.0, -1.0)?);
                ((pp - pm - mp + mm) / 4.0, ((pp - 2.0 * up + pm) - (mp - 2.0 * down + mm)) / 2.0)
            };
            sum += 0.5 * second * second + first * third;
        }
    }
    Some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// JCGM 100:2008, H.1 (second hand): the end gauge. Its uncertainty is
    /// 32 nm to first order and 34 nm with the second, the two terms
    /// ls·u(δα)·u(θ) and ls·u(αs)·u(δθ).
    #[test]
    fn the_end_gauge_of_jcgm_100() {
        // ls in nm, d, δα, θ, αs, δθ.
        let values = [50_000_623.0, 215.0, 0.0, -0.1, 11.5e-6, 0.0];
        let u = [25.0, 9.7, 0.58e-6, 0.41, 1.2e-6, 0.029];
        let gauge = |x: &[f64]| match *x {
            [ls, d, da, theta, alpha, dt] => Some(ls + d - ls * (da * theta + alpha * dt)),
            _ => None,
        };
        let second = second_order(&values, &u, gauge).unwrap();
        let squared = |terms: &[f64]| terms.iter().map(|term| term * term).sum::<f64>();
        let ls = 50_000_623.0;
        let by_hand = squared(&[ls * 0.58e-6 * 0.41, ls * 1.2e-6 * 0.029]);
        assert!((second - by_hand).abs() < 1e-3 * by_hand, "{second} against {by_hand}");
        // θ is 0.1 below the middle of its cycle: its slope with δα counts too.
        let first = squared(&[25.0, 9.7, ls * 0.029 * 11.5e-6, ls * 0.58e-6 * 0.1]);
        assert!((first.sqrt() - 32.0).abs() < 0.5, "{}", first.sqrt());
        assert!(((first + second).sqrt() - 34.0).abs() < 0.5, "{}", (first + second).sqrt());
        // Worked out elsewhere with more digits.
        assert!(((first + second).sqrt() - 33.911_149_526_8).abs() < 1e-4);
    }

    /// By hand: x² at 0 with u = 1 has no slope, and the variance of the
    /// square of a standard normal is 2; x³ at 1 with u = 0.1 adds
    /// ½·6²·u⁴ + 3·6·u⁴ = 36·u⁴.
    #[test]
    fn squares_and_cubes_are_exact() {
        let square = second_order(&[0.0], &[1.0], |x| Some(x[0] * x[0])).unwrap();
        assert!((square - 2.0).abs() < 1e-12, "{square}");
        let cube = second_order(&[1.0], &[0.1], |x| Some(x[0] * x[0] * x[0])).unwrap();
        // The slope over one u is that of the cube and u² more: 3.01.
        assert!((cube - (18.0 + 3.01 * 6.0) * 1e-4).abs() < 1e-12, "{cube}");
        assert_eq!(
            second_order(&[1.0, 2.0], &[0.1, 0.2], |x| Some(x[0] + x[1])).map(|s| s.abs() < 1e-15),
            Some(true)
        );
        assert_eq!(second_order(&[0.0], &[1.0], |x| (x[0] > -1.5).then_some(x[0])), None);
        assert_eq!(second_order(&[], &[], |_| Some(1.0)), Some(0.0));
    }
}
