//! Reproducible pseudorandom numbers.
//!
//! The stream of a seed is a promise: the same seed gives the same digits in
//! every version and on every machine, because only integer arithmetic, the
//! four operations, the square root and `engine::num` are used.

use super::component::Shape;
use crate::engine::num::{ln, pow};

/// The generator xoshiro256++ of D. Blackman and S. Vigna (Scrambled linear
/// pseudorandom number generators, ACM Trans. Math. Softw. 47, 2021), seeded
/// through splitmix64 as its authors advise.
#[derive(Clone, Debug)]
pub(crate) struct Random {
    state: [u64; 4],
    /// The second of a pair of normal numbers, drawn but not yet returned.
    normal_left: Option<f64>,
}

impl Random {
    /// Starts the stream of this seed.
    #[must_use]
    pub(crate) fn seeded(seed: u64) -> Self {
        let mut seed = seed;
        Self { state: [(); 4].map(|()| splitmix(&mut seed)), normal_left: None }
    }

    /// Returns the next 64 bits.
    pub(crate) fn bits(&mut self) -> u64 {
        let [a, b, c, d] = self.state;
        let bits = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
        let (c, d) = (c ^ a, d ^ b);
        self.state = [a ^ d, b ^ c, c ^ (b << 17), d.rotate_left(45)];
        bits
    }

    /// Returns a number from 0 up to but not including 1, in steps of 2⁻⁵³.
    #[cfg(test)]
    fn unit(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit exactly")]
        let number = (self.bits() >> 11) as f64;
        number / 9_007_199_254_740_992.0
    }

    /// Returns a number between −1 and 1, never an end, every one as often as
    /// its negative.
    fn sign_unit(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "52 bits and a half fit exactly")]
        let number = (self.bits() >> 12) as f64 + 0.5;
        number / 2_251_799_813_685_248.0 - 1.0
    }

    /// Returns a point in the unit disc, without its middle, and its squared
    /// distance from it. Each attempt succeeds with probability π/4.
    fn disc(&mut self) -> (f64, f64, f64) {
        loop {
            let (x, y) = (self.sign_unit(), self.sign_unit());
            let square = x * x + y * y;
            if square < 1.0 && square > 0.0 {
                return (x, y, square);
            }
        }
    }

    /// Draws from the normal distribution with mean 0 and standard deviation 1,
    /// by the polar method (G. Marsaglia, T. A. Bray, A convenient method for
    /// generating normal variables, SIAM Review 6, 1964).
    pub(crate) fn normal(&mut self) -> f64 {
        if let Some(left) = self.normal_left.take() {
            return left;
        }
        let (x, y, square) = self.disc();
        let factor = (-2.0 * ln(square) / square).sqrt();
        self.normal_left = Some(y * factor);
        x * factor
    }

    /// Draws from Student's t distribution with `nu` degrees of freedom, above
    /// 0 and finite, by the polar method of R. W. Bailey (Polar generation of
    /// random variates with the t-distribution, Math. Comp. 62, 1994).
    pub(crate) fn student(&mut self, nu: f64) -> f64 {
        let (x, _, square) = self.disc();
        x * (nu * (pow(square, -2.0 / nu) - 1.0) / square).sqrt()
    }

    /// Draws from a distribution of this shape with mean 0 and standard
    /// deviation 1.
    pub(crate) fn shaped(&mut self, shape: Shape) -> f64 {
        match shape {
            Shape::Normal => self.normal(),
            Shape::Rectangular => self.sign_unit() * 3.0_f64.sqrt(),
            // The mean of two rectangles is a triangle of the same width.
            Shape::Triangular => (self.sign_unit() + self.sign_unit()) / 2.0 * 6.0_f64.sqrt(),
        }
    }

    /// Draws the error of a component of this shape and these degrees of
    /// freedom, in standard uncertainties.
    ///
    /// A scatter seen in few readings is drawn from the t distribution (JCGM
    /// 101:2008, 6.4.9.2). With fewer than 3 degrees of freedom that one has
    /// no standard deviation; then it is drawn as if there were 3.
    pub(crate) fn draw(&mut self, shape: Shape, dof: f64) -> f64 {
        if dof.is_finite() && shape == Shape::Normal {
            self.student(dof.max(3.0))
        } else {
            self.shaped(shape)
        }
    }
}

/// Computes splitmix64 of G. Steele, D. Lea and C. Flood (Fast splittable
/// pseudorandom number generators, OOPSLA 2014), with the constants of S.
/// Vigna's version.
fn splitmix(seed: &mut u64) -> u64 {
    *seed = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *seed;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::super::stats::{mean, standard_deviation};
    use super::*;

    /// The first numbers of both generators as they are given with other
    /// implementations of the same papers (from memory): xoshiro256++ from
    /// the state 1, 2, 3, 4, and splitmix64 from the seed 1234567.
    #[test]
    fn first_numbers_of_the_published_generators() {
        let mut random = Random { state: [1, 2, 3, 4], normal_left: None };
        let expected = [
            41_943_041,
            58_720_359,
            3_588_806_011_781_223,
            3_591_011_842_654_386,
            9_228_616_714_210_784_205,
            9_973_669_472_204_895_162,
            14_011_001_112_246_962_877,
            12_406_186_145_184_390_807,
            15_849_039_046_786_891_736,
            10_450_023_813_501_588_000,
        ];
        assert_eq!([(); 10].map(|()| random.bits()), expected);
        let mut seed = 1_234_567;
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!([(); 5].map(|()| splitmix(&mut seed)), expected);
    }

    /// The promise of a fixed stream: these digits must never change. A
    /// program in another language gave the same.
    #[test]
    fn the_stream_of_a_seed_stays() {
        let mut random = Random::seeded(1);
        let numbers = [random.unit(), random.normal(), random.normal(), random.student(4.0)];
        let text = numbers.map(|n| n.to_string());
        assert_eq!(text, STREAM, "the stream has changed");
    }

    const STREAM: [&str; 4] =
        ["0.8116121588818848", "0.26134522606794147", "-0.4228921816373423", "0.6152032642640661"];

    fn drawn(mut one: impl FnMut(&mut Random) -> f64) -> Vec<f64> {
        let mut random = Random::seeded(20);
        (0..200_000).map(|_| one(&mut random)).collect()
    }

    /// Mean and standard deviation within 5 of their standard errors; the
    /// fourth moments are those of the distributions (normal 3, rectangle
    /// 1.8, triangle 2.4, t with ν = 9: 3 + 6/(ν − 4)).
    #[test]
    fn shapes_have_their_moments() {
        let n: f64 = 200_000.0;
        let t = drawn(|r| r.student(9.0) * (7.0_f64 / 9.0).sqrt());
        for (name, numbers, fourth) in [
            ("normal", drawn(|r| r.shaped(Shape::Normal)), 3.0),
            ("rectangular", drawn(|r| r.shaped(Shape::Rectangular)), 1.8),
            ("triangular", drawn(|r| r.shaped(Shape::Triangular)), 2.4),
            ("t", t, 4.2),
        ] {
            let (m, s) = (mean(&numbers).unwrap(), standard_deviation(&numbers).unwrap());
            assert!(m.abs() < 5.0 / n.sqrt(), "{name}: mean {m}");
            let error = ((fourth - 1.0) / (4.0 * n)).sqrt();
            assert!((s - 1.0).abs() < 5.0 * error, "{name}: standard deviation {s}");
        }
    }

    /// Shares inside a factor against the distribution functions.
    #[test]
    fn as_many_numbers_lie_inside_a_factor_as_the_distribution_says() {
        use super::super::coverage::student_factor;
        for (nu, numbers) in [(f64::INFINITY, drawn(Random::normal)), (4.0, drawn(|r| r.student(4.0)))] {
            for p in [0.5, 0.95, 0.99] {
                let factor = student_factor(p, nu).unwrap();
                let inside = numbers.iter().filter(|x| x.abs() <= factor).count();
                let off = inside as f64 / 200_000.0 - p;
                assert!(off.abs() < 5.0 * (p * (1.0 - p) / 200_000.0_f64).sqrt(), "{nu} {p}: {off}");
            }
        }
    }

    #[test]
    fn ends_of_a_rectangle_and_of_a_triangle_are_never_passed() {
        for shape in [Shape::Rectangular, Shape::Triangular] {
            let half = shape.half_width().unwrap();
            assert!(drawn(|r| r.shaped(shape)).iter().all(|x| x.abs() < half));
        }
    }

    #[test]
    fn a_doubt_from_three_readings_is_drawn_with_a_finite_spread() {
        let s = standard_deviation(&drawn(|r| r.draw(Shape::Normal, 2.0))).unwrap();
        // √3 in theory; the sample settles slowly.
        assert!((1.4..2.1).contains(&s), "{s}");
    }
}
