//! The input of a section: plain engine numbers and a few choices.

use super::parts::PartsInput;
use super::view::Turn;
use crate::engine::Key;
use crate::quantity::{Kind, UnitChoice, write};

/// A set of dimensions.
///
/// ```
/// use crowndeck::drawing::input::Keys;
/// use crowndeck::engine::Key;
/// let keys: Keys = [Key::Bore, Key::BaseShim].into_iter().collect();
/// assert!(keys.has(Key::Bore) && !keys.has(Key::Stroke));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Keys(u32);

// One bit for each dimension.
const _: () = assert!(Key::COUNT <= 32);

impl Keys {
    /// The empty set.
    pub const NONE: Self = Self(0);

    /// Returns the set of all dimensions.
    #[must_use]
    pub fn all() -> Self {
        Key::all().collect()
    }

    /// Returns whether a dimension is in the set.
    #[must_use]
    pub fn has(self, key: Key) -> bool {
        self.0 & (1 << key.index()) != 0
    }

    /// Returns the set with one more dimension.
    #[must_use]
    pub fn with(self, key: Key) -> Self {
        Self(self.0 | (1 << key.index()))
    }
}

impl FromIterator<Key> for Keys {
    fn from_iter<I: IntoIterator<Item = Key>>(keys: I) -> Self {
        keys.into_iter().fold(Self::NONE, Self::with)
    }
}

/// One cylinder to draw.
#[derive(Clone, Copy, Debug)]
pub struct SectionInput<'a> {
    /// The engine, how it is built, its chamber and crown.
    pub parts: &'a PartsInput,
    /// Crank angle in degrees after piston top dead centre.
    pub angle_deg: f64,
    /// The direction of the bore axis.
    pub turn: Turn,
    /// Dimensions that were measured: their edges are heavy, their values
    /// written without brackets.
    pub measured: Keys,
    /// Dimensions that moved or are under the hand: drawn in accent.
    pub marked: Keys,
    /// A kept state, drawn as a dashed outline where it differs.
    pub ghost: Option<&'a PartsInput>,
    /// The engine after one step of the dimension being changed, drawn as a
    /// thin second outline where it differs.
    pub step: Option<&'a PartsInput>,
    /// Expanded uncertainty of the deck clearance, mm, where it is known: the
    /// band in which the rim lies at the top.
    pub doubt_mm: Option<f64>,
    /// Units of the values.
    pub units: UnitChoice,
    /// Whether the terms of the clearance volume are tinted and named.
    pub tints: bool,
}

impl<'a> SectionInput<'a> {
    /// Creates the input for the engine at top dead centre, upright, in mm,
    /// without marks and tints.
    #[must_use]
    pub fn new(parts: &'a PartsInput, measured: Keys) -> Self {
        Self {
            parts,
            angle_deg: 0.0,
            turn: Turn::UPRIGHT,
            measured,
            marked: Keys::NONE,
            ghost: None,
            step: None,
            doubt_mm: None,
            units: UnitChoice::default(),
            tints: false,
        }
    }

    /// Returns the uncertainty of the gap, mm, while the piston is at the top;
    /// otherwise `None`.
    pub(super) fn doubt_at_top(&self) -> Option<f64> {
        self.doubt_mm.filter(|_| self.angle_deg == 0.0)
    }

    /// Returns the value of a dimension that counts, in its base unit; 0 where
    /// it has none.
    pub(super) fn value(&self, key: Key) -> f64 {
        self.parts.engine.dims().filled(key).unwrap_or(0.0)
    }

    /// Returns the parts that raise the top of the cylinder, from below, each
    /// with the heights of its faces, mm above the crank centre; without what
    /// is not there.
    pub(super) fn tower(&self) -> impl Iterator<Item = (Key, (f64, f64))> {
        let mut at = 0.0;
        Key::TOWER.into_iter().filter_map(move |key| {
            let low = at;
            at += self.value(key);
            (at > low).then_some((key, (low, at)))
        })
    }

    /// Returns a length in the chosen unit, without the unit.
    pub(super) fn length(&self, mm: f64) -> String {
        write(Kind::Length, mm, None, &self.units).number
    }

    /// Returns a length as the value of a dimension: in brackets unless
    /// measured.
    pub(super) fn stated(&self, prefix: &str, mm: f64, key: Key) -> String {
        let number = self.length(mm);
        if self.measured.has(key) { format!("{prefix}{number}") } else { format!("({prefix}{number})") }
    }

    /// Returns the value of a dimension, followed by its change since the kept
    /// state.
    pub(super) fn dimension(&self, prefix: &str, mm: f64, key: Key) -> String {
        let text = self.stated(prefix, mm, key);
        let now = self.value(key);
        match self.ghost.and_then(|kept| kept.engine.dims().filled(key)) {
            // A part of the dimension, such as the throw, changes as it does.
            Some(kept) if now > 0.0 => self.with_change(text, mm * (now - kept) / now),
            _ => text,
        }
    }

    /// Returns a text, followed by the change of its length, mm, where that can
    /// be seen in the unit.
    pub(super) fn with_change(&self, text: String, by_mm: f64) -> String {
        let by = self.length(by_mm.abs());
        if !by.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
            return text;
        }
        let sign = if by_mm > 0.0 { '+' } else { '\u{2212}' };
        format!("{text} {sign}{by}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_holds_what_was_put_in() {
        assert!(Key::all().all(|key| Keys::all().has(key)));
        let but_one: Keys = Key::all().filter(|&key| key != Key::Bore).collect();
        assert!(Key::all().all(|key| but_one.has(key) == (key != Key::Bore)));
    }
}
