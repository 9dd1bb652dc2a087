//! Dimensions as they were given: value, unit and provenance.

use crate::engine::{Key, Provenance};
use crate::quantity::Quantity;
use serde::de::{Error as _, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// One dimension as it was given.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The value as typed.
    pub value: Quantity,
    /// Its provenance.
    #[serde(default)]
    pub known: Provenance,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// The origin of a cylinder's value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The value for all cylinders.
    Nominal,
    /// The cylinder's own value.
    Own,
}

/// Dimensions by key, in the order of the list of dimensions. A key given twice
/// in a file is refused: one of the two would be lost.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Dimensions(BTreeMap<Key, Entry>);

impl Dimensions {
    /// Returns the dimension, or `None` where it was not given.
    #[must_use]
    pub fn get(&self, key: Key) -> Option<&Entry> {
        self.0.get(&key)
    }

    /// Sets a dimension and returns the one before.
    pub fn set(&mut self, key: Key, entry: Entry) -> Option<Entry> {
        self.0.insert(key, entry)
    }

    /// Clears a dimension and returns the one before.
    pub fn clear(&mut self, key: Key) -> Option<Entry> {
        self.0.remove(&key)
    }

    /// Returns all dimensions that were given, in the order of the list.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = (Key, &Entry)> {
        self.0.iter().map(|(&key, entry)| (key, entry))
    }

    /// Returns whether none was given.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl FromIterator<(Key, Entry)> for Dimensions {
    fn from_iter<I: IntoIterator<Item = (Key, Entry)>>(entries: I) -> Self {
        Self(entries.into_iter().collect())
    }
}

impl<'de> Deserialize<'de> for Dimensions {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(DimensionsVisitor)
    }
}

struct DimensionsVisitor;

impl<'de> Visitor<'de> for DimensionsVisitor {
    type Value = Dimensions;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("dimensions such as {bore: (value: \"80 mm\", known: measured)}")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Dimensions, A::Error> {
        let mut dimensions = Dimensions::default();
        while let Some(key) = map.next_key::<Key>()? {
            if dimensions.set(key, map.next_value()?).is_some() {
                return Err(A::Error::custom(format!("{key} is given twice")));
            }
        }
        Ok(dimensions)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dimensions_are_written_in_the_order_of_the_list() {
        let text = "{stroke:(value:\"62 mm\"),bore:(value:\"80 mm\",known:measured)}";
        let dimensions: Dimensions = ron::from_str(text).unwrap();
        assert_eq!(dimensions.get(Key::Stroke).unwrap().known, Provenance::Assumed);
        assert_eq!(
            ron::to_string(&dimensions).unwrap(),
            "{bore:(value:\"80 mm\",known:measured),stroke:(value:\"62 mm\",known:assumed)}"
        );
    }

    #[test]
    fn a_dimension_given_twice_is_refused() {
        let text = "{bore: (value: \"80 mm\"),\n bore: (value: \"81 mm\")}";
        let error = ron::from_str::<Dimensions>(text).unwrap_err();
        assert!(error.to_string().contains("bore is given twice"), "{error}");
        assert_eq!(error.span.end.line, 2);
    }
}
