//! Exact sums of decimals and fractions, so that 1.1 in is the number
//! nearest to 27.94 mm and 1.1 + 0.02 the number nearest to 1.12.

/// A rational number as long as it fits, with its f64 neighbour for when it
/// no longer does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Exact {
    /// Numerator and denominator (above 0), reduced; `None` when they grew too
    /// large to hold.
    ratio: Option<(i128, i128)>,
    /// The value to within a few roundings; used only without `ratio`.
    float: f64,
}

impl Exact {
    pub(super) const ZERO: Self = Self { ratio: Some((0, 1)), float: 0.0 };

    /// Returns `digits` × 10^`exponent`; `float` is the same number by
    /// rounding.
    pub(super) fn decimal(digits: Option<i128>, exponent: i32, float: f64) -> Self {
        let ratio = digits.and_then(|digits| {
            let power = 10_i128.checked_pow(exponent.unsigned_abs())?;
            if exponent < 0 { Some((digits, power)) } else { Some((digits.checked_mul(power)?, 1)) }
        });
        Self { ratio: ratio.and_then(reduced), float }
    }

    /// Returns `numerator` / `denominator`; the denominator is not 0.
    pub(super) fn fraction(numerator: u32, denominator: u32) -> Self {
        Self {
            ratio: reduced((numerator.into(), denominator.into())),
            float: f64::from(numerator) / f64::from(denominator),
        }
    }

    pub(super) fn plus(self, other: Self) -> Self {
        let ratio = self.ratio.zip(other.ratio).and_then(|((a, b), (c, d))| {
            reduced((a.checked_mul(d)?.checked_add(c.checked_mul(b)?)?, b.checked_mul(d)?))
        });
        Self { ratio, float: self.float + other.float }
    }

    pub(super) fn negated(self) -> Self {
        Self { ratio: self.ratio.map(|(a, b)| (-a, b)), float: -self.float }
    }

    /// Multiplies by `numerator` / `denominator`, both above 0.
    pub(super) fn scaled(self, (numerator, denominator): (i64, i64)) -> Self {
        let ratio = self.ratio.and_then(|(a, b)| {
            reduced((a.checked_mul(numerator.into())?, b.checked_mul(denominator.into())?))
        });
        #[expect(clippy::cast_precision_loss, reason = "the factors of units are far below 2^53")]
        let float = self.float * numerator as f64 / denominator as f64;
        Self { ratio, float }
    }

    /// Returns the nearest f64: correctly rounded for a decimal, and for a
    /// fraction of numbers below 2^53; within three roundings otherwise.
    pub(super) fn to_f64(self) -> f64 {
        let Some((a, b)) = self.ratio else { return self.float };
        if let Some(decimal) = decimal_text(a, b)
            && let Ok(nearest) = decimal.parse()
        {
            return nearest;
        }
        #[expect(clippy::cast_precision_loss, reason = "one rounding each, as the doc comment says")]
        let quotient = a as f64 / b as f64;
        quotient
    }
}

/// Divides out the common factor (Euclid's algorithm).
fn reduced((a, b): (i128, i128)) -> Option<(i128, i128)> {
    let (mut x, mut y) = (a.checked_abs()?, b);
    while y != 0 {
        (x, y) = (y, x % y);
    }
    Some((a / x, b / x))
}

/// Returns `a`/`b` as a decimal that the standard library reads to the nearest
/// f64, where `b` has no factor but 2 and 5; otherwise `None`.
fn decimal_text(a: i128, b: i128) -> Option<String> {
    let (mut rest, mut a, mut exponent) = (b, a, 0_u32);
    while rest > 1 {
        let times = match (rest % 2, rest % 5) {
            (0, 0) => (10, 1),
            (0, _) => (2, 5),
            (_, 0) => (5, 2),
            _ => return None,
        };
        rest /= times.0;
        a = a.checked_mul(times.1)?;
        exponent += 1;
    }
    Some(format!("{a}e-{exponent}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decimal(text: &str) -> Exact {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let digits = format!("{whole}{part}").parse().unwrap();
        Exact::decimal(Some(digits), -i32::try_from(part.len()).unwrap(), text.parse().unwrap())
    }

    #[test]
    fn decimals_and_their_sums_are_the_nearest_numbers() {
        assert_eq!(decimal("1.1").scaled((254, 10)).to_f64(), 27.94);
        assert_eq!(decimal("0.1").plus(decimal("0.2")).to_f64(), 0.3);
        assert_eq!(decimal("1.12").plus(decimal("1.10").negated()).to_f64(), 0.02);
    }

    #[test]
    fn fractions_are_the_nearest_numbers() {
        assert_eq!(Exact::fraction(7, 16).scaled((254, 10)).to_f64(), 11.1125);
        assert_eq!(Exact::fraction(1, 3).to_f64(), 1.0 / 3.0);
        assert_eq!(Exact::ZERO.plus(Exact::fraction(0, 9)).to_f64(), 0.0);
    }

    #[test]
    fn what_does_not_fit_falls_back_to_the_rounded_number() {
        let huge = Exact::decimal(Some(i128::MAX), 0, 1.701e38);
        assert_eq!(huge.plus(huge).to_f64(), 1.701e38 + 1.701e38);
        assert_eq!(Exact::decimal(None, 300, 1e300).scaled((254, 10)).to_f64(), 1e300 * 254.0 / 10.0);
        assert_eq!(Exact::decimal(Some(1), i32::MIN, 0.0).to_f64(), 0.0);
    }
}
