//! Uncertainty components: how large one is, the shape of its distribution, how
//! well it is known itself, and with what it is shared.
//!
//! Words and rules are those of JCGM 100:2008, Guide to the expression of
//! uncertainty in measurement.

use std::fmt;

/// The shape of the distribution of an uncertainty component.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shape {
    /// Normal: the mean of several readings, a certificate.
    Normal,
    /// Uniform between two ends: the step of a scale.
    Rectangular,
    /// Between two ends, likeliest in the middle: the difference of two
    /// readings of the same step.
    Triangular,
}

impl Shape {
    /// Returns the shape with this name; `None` for an unknown name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        [Self::Normal, Self::Rectangular, Self::Triangular].into_iter().find(|shape| shape.name() == name)
    }

    /// Returns its name in a call or a table.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Rectangular => "rectangular",
            Self::Triangular => "triangular",
        }
    }

    /// Returns the distance from the middle to either end, in standard
    /// uncertainties: √3 for a rectangle, √6 for a triangle (JCGM 100, 4.3.7
    /// and 4.3.9); `None` for a normal distribution, which has no end.
    #[must_use]
    pub fn half_width(self) -> Option<f64> {
        match self {
            Self::Normal => None,
            Self::Rectangular => Some(3.0_f64.sqrt()),
            Self::Triangular => Some(6.0_f64.sqrt()),
        }
    }
}

/// The origin of an uncertainty component.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// The scatter of repeated readings (type A).
    Scatter,
    /// The instrument's stated repeatability, where there is no scatter to
    /// see.
    Repeatability,
    /// The step of the scale.
    Step,
    /// Errors that repeating does not show: zero, set-up, feel. The same in all
    /// readings of one thing with one instrument.
    Instrument,
    /// The parts were not held as they will run.
    NotClamped,
    /// The piston rocks, and the reading may lie off its pin axis.
    Rock,
    /// The value in use is not the mean that was read.
    Uncorrected,
    /// Stated by the user.
    Stated,
}

impl Origin {
    /// Returns its name in a table.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Scatter => "scatter of the readings",
            Self::Repeatability => "repeatability of the instrument",
            Self::Step => "step of the scale",
            Self::Instrument => "instrument, the same each time",
            Self::NotClamped => "not clamped",
            Self::Rock => "rock of the piston",
            Self::Uncorrected => "distance from what was read",
            Self::Stated => "stated",
        }
    }
}

/// The mark of components that are one and the same quantity wherever they
/// appear, such as the zero of the micrometer with which all barrels were
/// measured.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Shared {
    /// The id of the instrument.
    pub instrument: String,
    /// The subject that was read with it. An instrument is off by different
    /// amounts on different parts, so only readings of the same thing share it.
    pub of: String,
}

/// One reason why a value is uncertain.
#[derive(Clone, Debug, PartialEq)]
pub struct UncertaintyComponent {
    origin: Origin,
    shape: Shape,
    u: f64,
    dof: f64,
    shared: Option<Shared>,
}

/// A reason why a value can't be an uncertainty component.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ComponentError {
    /// Not a finite number, or below 0.
    #[error("a standard uncertainty of {0} is not a finite number of 0 or more")]
    Uncertainty(f64),
    /// Not above 0.
    #[error("{0} degrees of freedom are not above 0")]
    DegreesOfFreedom(f64),
}

impl UncertaintyComponent {
    /// Creates a component with a standard uncertainty `u` in the base unit of
    /// its value, 0 or more, and degrees of freedom above 0 (infinity: `u`
    /// itself is known exactly).
    ///
    /// # Errors
    /// When one of the two is not that.
    pub fn new(origin: Origin, shape: Shape, u: f64, dof: f64) -> Result<Self, ComponentError> {
        if !(u.is_finite() && u >= 0.0) {
            return Err(ComponentError::Uncertainty(u));
        }
        if dof.is_nan() || dof <= 0.0 {
            return Err(ComponentError::DegreesOfFreedom(dof));
        }
        Ok(Self { origin, shape, u, dof, shared: None })
    }

    /// Creates a component from a standard uncertainty that the user states,
    /// known for certain.
    ///
    /// # Errors
    /// When `u` is not a finite number of 0 or more.
    pub fn stated(shape: Shape, u: f64) -> Result<Self, ComponentError> {
        Self::new(Origin::Stated, shape, u, f64::INFINITY)
    }

    /// Creates a component from the half width of a rectangle, ± `half`.
    ///
    /// # Errors
    /// When `half` is not a finite number of 0 or more.
    pub fn within(origin: Origin, half: f64) -> Result<Self, ComponentError> {
        Self::new(origin, Shape::Rectangular, half / 3.0_f64.sqrt(), f64::INFINITY)
    }

    /// Returns the same component, marked as one that others share.
    #[must_use]
    pub fn shared_as(mut self, shared: Shared) -> Self {
        self.shared = Some(shared);
        self
    }

    /// Returns the same component for a value that counts by this factor.
    ///
    /// # Errors
    /// When the factor is not finite. Its sign is dropped: an uncertainty has
    /// none, and all readings of one thing count the same way round.
    pub fn times(&self, factor: f64) -> Result<Self, ComponentError> {
        let u = self.u * factor.abs();
        if u.is_finite() { Ok(Self { u, ..self.clone() }) } else { Err(ComponentError::Uncertainty(u)) }
    }

    /// Returns its origin.
    #[must_use]
    pub fn origin(&self) -> Origin {
        self.origin
    }

    /// Returns its shape.
    #[must_use]
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// Returns the standard uncertainty, in the base unit; 0 or more.
    #[must_use]
    pub fn u(&self) -> f64 {
        self.u
    }

    /// Returns the degrees of freedom, above 0; may be infinite.
    #[must_use]
    pub fn dof(&self) -> f64 {
        self.dof
    }

    /// Returns the mark of what it is shared with; `None` for an independent
    /// component.
    #[must_use]
    pub fn shared(&self) -> Option<&Shared> {
        self.shared.as_ref()
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_doubt_is_refused() {
        for u in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(UncertaintyComponent::stated(Shape::Normal, u).is_err(), "{u}");
            assert!(UncertaintyComponent::within(Origin::Step, u).is_err(), "{u}");
        }
        for dof in [0.0, -2.0, f64::NAN] {
            assert!(UncertaintyComponent::new(Origin::Scatter, Shape::Normal, 1.0, dof).is_err(), "{dof}");
        }
        let error = UncertaintyComponent::stated(Shape::Normal, -0.1).unwrap_err();
        assert_eq!(error.to_string(), "a standard uncertainty of -0.1 is not a finite number of 0 or more");
    }

    /// JCGM 100, 4.3.7: a rectangle of half width a has u² = a²/3.
    #[test]
    fn a_step_is_a_rectangle_of_half_a_step() {
        let step = UncertaintyComponent::within(Origin::Step, 0.005).unwrap();
        assert!((step.u() - 0.01 / 12.0_f64.sqrt()).abs() < 1e-18);
        assert_eq!((step.shape(), step.dof()), (Shape::Rectangular, f64::INFINITY));
    }

    #[test]
    fn shapes_are_found_by_name() {
        for shape in [Shape::Normal, Shape::Rectangular, Shape::Triangular] {
            assert_eq!(Shape::from_name(shape.name()), Some(shape));
        }
        assert_eq!(Shape::from_name("uniform"), None);
    }
}
