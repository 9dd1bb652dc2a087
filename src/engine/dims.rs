//! The values of all dimensions of one cylinder, by [`Key`].

use super::columns::Absent;
use super::dimension::Key;
use super::scalar::{Dual, Scalar};

/// The dimensions of one cylinder, in base units (mm, cc, degrees); each may
/// be absent.
///
/// ```
/// use crowndeck::engine::{Dims, Key};
/// let dims = Dims::new().with(Key::Bore, 80.0).with(Key::Stroke, 62.0);
/// assert_eq!(dims.get(Key::Bore), Some(80.0));
/// assert_eq!(dims.get(Key::GasketBore), None);
/// // What is absent and equals another dimension is resolved by `filled`.
/// assert_eq!(dims.filled(Key::GasketBore), Some(80.0));
/// assert_eq!(dims.filled(Key::BaseShim), Some(0.0));
/// assert_eq!(dims.filled(Key::RodLength), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dims<T = f64> {
    given: [Option<T>; Key::COUNT],
}

impl<T: Scalar> Default for Dims<T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<T: Scalar> Dims<T> {
    /// Creates an empty set of dimensions.
    #[must_use]
    pub fn new() -> Self {
        Self { given: [None; Key::COUNT] }
    }

    /// Returns the given value of this dimension, in its base unit; `None`
    /// where it is absent.
    #[must_use]
    pub fn get(&self, key: Key) -> Option<T> {
        self.given.get(key.index()).copied().flatten()
    }

    /// Returns the value that counts: the given one, else that of the list of
    /// dimensions for an absent one.
    #[must_use]
    pub fn filled(&self, key: Key) -> Option<T> {
        self.get(key).or_else(|| match key.row().absent {
            Absent::Zero => Some(T::constant(0.0)),
            Absent::SameAs(other) => self.get(other),
            Absent::Required | Absent::Nothing => None,
        })
    }

    /// Sets a dimension, or clears it with `None`.
    pub fn set(&mut self, key: Key, value: Option<T>) {
        if let Some(place) = self.given.get_mut(key.index()) {
            *place = value;
        }
    }

    /// Returns the same dimensions with one more.
    #[must_use]
    pub fn with(mut self, key: Key, value: T) -> Self {
        self.set(key, Some(value));
        self
    }
}

impl Dims<f64> {
    /// Returns the same dimensions as dual numbers, one of which is the
    /// variable. A dimension that is absent and counts as a value is given that
    /// value first, so that its slope is known too.
    #[must_use]
    pub fn varying(&self, key: Key) -> Dims<Dual> {
        let mut dual = Dims::new();
        for k in Key::all() {
            dual.set(k, self.get(k).map(Dual::constant));
        }
        if let Some(value) = self.filled(key) {
            dual.set(key, Some(Dual::variable(value)));
        }
        dual
    }
}
