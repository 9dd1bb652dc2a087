//! The transcendental functions that the program uses, all through `libm`, so
//! that the same input gives the same digits on every machine. The methods of
//! `f64` call whatever the platform brings and are banned by `clippy.toml`.

/// Pi.
pub const PI: f64 = std::f64::consts::PI;

/// Sine and cosine of an angle in radians.
#[must_use]
pub fn sin_cos(angle_rad: f64) -> (f64, f64) {
    libm::sincos(angle_rad)
}

/// Sine of an angle in radians.
#[must_use]
pub fn sin(angle_rad: f64) -> f64 {
    libm::sin(angle_rad)
}

/// Cosine of an angle in radians.
#[must_use]
pub fn cos(angle_rad: f64) -> f64 {
    libm::cos(angle_rad)
}

/// Arc sine in radians.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Arc cosine in radians.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// Angle of the point (x, y) from the x axis, in radians.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Tangent of an angle in radians.
#[must_use]
pub fn tan(angle_rad: f64) -> f64 {
    libm::tan(angle_rad)
}

/// Length of the hypotenuse.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Cube root.
#[must_use]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

/// `base` to the power of `exponent`.
#[must_use]
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Decimal logarithm.
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// e to the power of `x`.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// The error function.
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// Natural logarithm of the gamma function of a number above 0.
#[must_use]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}
