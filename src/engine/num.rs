//! The transcendental functions that the program uses, all through `libm`, so
//! that the same input gives the same digits on every machine. The methods of
//! `f64` call whatever the platform brings and are banned by `clippy.toml`.

/// Pi.
pub const PI: f64 = std::f64::consts::PI;

/// Returns sine and cosine of an angle in radians.
#[must_use]
pub fn sin_cos(angle_rad: f64) -> (f64, f64) {
    libm::sincos(angle_rad)
}

/// Returns the sine of an angle in radians.
#[must_use]
pub fn sin(angle_rad: f64) -> f64 {
    libm::sin(angle_rad)
}

/// Returns the cosine of an angle in radians.
#[must_use]
pub fn cos(angle_rad: f64) -> f64 {
    libm::cos(angle_rad)
}

/// Returns the arc sine in radians.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Returns the arc cosine in radians.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// Returns the angle of the point (x, y) from the x axis, in radians.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Returns the tangent of an angle in radians.
#[must_use]
pub fn tan(angle_rad: f64) -> f64 {
    libm::tan(angle_rad)
}

/// Returns the length of the hypotenuse.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Returns the cube root.
#[must_use]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

/// Returns `base` to the power of `exponent`.
#[must_use]
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Returns the natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Returns the decimal logarithm.
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// Returns e to the power of `x`.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Returns the error function.
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// Returns the natural logarithm of the gamma function of a number above 0.
#[must_use]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}
