//! Plain and dual numbers: one kernel computes a figure and its exact slope.
//!
//! A dual number a + b·ε with ε² = 0 carries a value and its derivative.
//! Every rule below is the chain rule for one operation (source: any
//! calculus text; the technique is forward-mode automatic differentiation).
//! Because nothing is stepped, a slope is exact also where a value sits on
//! the edge of its range, such as no shim at all.

use super::num;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number that the geometry kernel can compute with.
pub trait Scalar:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// Returns a constant: its slope is 0.
    fn constant(value: f64) -> Self;
    /// Returns the value without its slope.
    fn value(self) -> f64;
    /// Returns the square root.
    #[must_use]
    fn sqrt(self) -> Self;
    /// Returns the sine and the cosine of an angle in radians.
    #[must_use]
    fn sin_cos(self) -> (Self, Self);
    /// Returns the arc sine in radians.
    #[must_use]
    fn asin(self) -> Self;
}

impl Scalar for f64 {
    fn constant(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn sqrt(self) -> Self {
        // IEEE 754 requires the correctly rounded root: the same everywhere.
        f64::sqrt(self)
    }
    fn sin_cos(self) -> (Self, Self) {
        num::sin_cos(self)
    }
    fn asin(self) -> Self {
        num::asin(self)
    }
}

/// A value and its derivative with respect to one chosen input.
///
/// ```
/// use crowndeck::engine::scalar::{Dual, Scalar as _};
/// let x = Dual::variable(3.0);
/// let y = x * x + Dual::constant(1.0);
/// assert_eq!((y.value(), y.slope()), (10.0, 6.0));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual {
    value: f64,
    slope: f64,
}

impl Dual {
    /// Returns the input that is being varied: its own slope is 1.
    #[must_use]
    pub fn variable(value: f64) -> Self {
        Self { value, slope: 1.0 }
    }

    /// Returns the derivative.
    #[must_use]
    pub fn slope(self) -> f64 {
        self.slope
    }
}

impl Scalar for Dual {
    fn constant(value: f64) -> Self {
        Self { value, slope: 0.0 }
    }
    fn value(self) -> f64 {
        self.value
    }
    fn sqrt(self) -> Self {
        let value = f64::sqrt(self.value);
        // A constant under a root of 0 has slope 0, not 0/0.
        let slope = if self.slope == 0.0 { 0.0 } else { self.slope / (2.0 * value) };
        Self { value, slope }
    }
    fn sin_cos(self) -> (Self, Self) {
        let (sin, cos) = num::sin_cos(self.value);
        (Self { value: sin, slope: cos * self.slope }, Self { value: cos, slope: -sin * self.slope })
    }
    fn asin(self) -> Self {
        let slope = self.slope / f64::sqrt(1.0 - self.value * self.value);
        Self { value: num::asin(self.value), slope }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self { value: self.value + o.value, slope: self.slope + o.slope }
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self { value: self.value - o.value, slope: self.slope - o.slope }
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self { value: self.value * o.value, slope: self.slope * o.value + self.value * o.slope }
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        let value = self.value / o.value;
        Self { value, slope: (self.slope - value * o.slope) / o.value }
    }
}

impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        Self { value: -self.value, slope: -self.slope }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each rule against a central difference, whose error is of order h².
    #[test]
    fn slopes_agree_with_central_differences() {
        fn kernel<T: Scalar>(x: T) -> T {
            let (s, c) = (x / T::constant(3.0)).sin_cos();
            (s * c + (x * x + T::constant(2.0)).sqrt()) / (-x) - (x / T::constant(9.0)).asin()
        }
        for x in [0.3, 1.0, 2.7, 5.5] {
            let h = 1e-5;
            let difference = (kernel(x + h) - kernel(x - h)) / (2.0 * h);
            let exact = kernel(Dual::variable(x)).slope();
            let error = (difference - exact).abs() / exact.abs();
            assert!(error < 1e-8, "at {x}: {exact} against {difference}, relative error {error:.1e}");
        }
    }
}
