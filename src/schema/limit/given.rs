//! The limits of a project: the user's to edit, each with its source. In the
//! file they are a record with a named field for each limit that is set.

use super::row::Measure;
use super::table::{KEYS, LimitId};
use crate::quantity::Quantity;
use serde::de::{self, Deserialize, Deserializer, MapAccess, Visitor};
use serde::ser::{Serialize, SerializeStruct as _, Serializer};
use std::fmt;

/// The source of a limit for which none was named.
pub(crate) const COMMON_PRACTICE: &str = "common practice";

/// What stands behind a figure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Support {
    /// A public document, which the source names.
    Published,
    /// The engine or part maker's figure.
    Maker,
    /// What builders do; no source.
    CommonPractice,
    /// Quoted from memory; no source at hand.
    FromMemory,
    /// Set by the builder for this engine.
    #[default]
    Builder,
}

impl Support {
    /// The words for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Maker => "maker's figure",
            Self::CommonPractice => COMMON_PRACTICE,
            Self::FromMemory => "from memory",
            Self::Builder => "set for this engine",
        }
    }

    /// The kind of support that a source begins with; else the builder's.
    #[must_use]
    pub fn of(source: &str) -> Self {
        let begins = |support: &Self| {
            source.strip_prefix(support.words()).is_some_and(|rest| rest.is_empty() || rest.starts_with(": "))
        };
        [Self::Published, Self::Maker, Self::CommonPractice, Self::FromMemory]
            .into_iter()
            .find(begins)
            .unwrap_or_default()
    }

    /// A source with its kind of support before it: "common practice: many
    /// aim at 1.0 to 1.3".
    #[must_use]
    pub(crate) fn told(self, source: &str) -> String {
        match (self, source) {
            (support, "") => support.words().to_owned(),
            (Self::Builder, source) => source.to_owned(),
            (support, source) => format!("{}: {source}", support.words()),
        }
    }
}

/// The value of a limit as it was given.
#[derive(Clone, Debug, PartialEq)]
pub enum LimitValue {
    /// A length or a volume, as it was typed.
    Quantity(Quantity),
    /// A ratio, a difference of ratios or a speed in m/s.
    Number(f64),
    /// A count of pieces.
    Count(u32),
}

impl LimitValue {
    /// The value in its base unit: mm, cc, m/s, or a plain number.
    #[must_use]
    pub fn base(&self) -> f64 {
        match self {
            Self::Quantity(quantity) => quantity.base(),
            Self::Number(number) => *number,
            Self::Count(count) => f64::from(*count),
        }
    }
}

impl fmt::Display for LimitValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity(quantity) => quantity.fmt(f),
            Self::Number(number) => number.fmt(f),
            Self::Count(count) => count.fmt(f),
        }
    }
}

impl Serialize for LimitValue {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Quantity(quantity) => quantity.serialize(serializer),
            Self::Number(number) => number.serialize(serializer),
            Self::Count(count) => count.serialize(serializer),
        }
    }
}

/// One limit and where it comes from.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Limit {
    /// The limit.
    pub value: LimitValue,
    /// Who says so: the maker's sheet, a machinist, the builder.
    #[serde(skip_serializing_if = "is_common_practice")]
    pub source: String,
}

fn is_common_practice(source: &String) -> bool {
    source == COMMON_PRACTICE
}

impl<T: Into<LimitValue>> From<T> for Limit {
    fn from(value: T) -> Self {
        Self { value: value.into(), source: COMMON_PRACTICE.into() }
    }
}

impl From<Quantity> for LimitValue {
    fn from(quantity: Quantity) -> Self {
        Self::Quantity(quantity)
    }
}

impl From<f64> for LimitValue {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<u32> for LimitValue {
    fn from(count: u32) -> Self {
        Self::Count(count)
    }
}

impl Limit {
    /// A limit that the builder sets, in its base unit.
    #[must_use]
    pub fn builder(value: f64) -> Self {
        Self { value: LimitValue::Number(value), source: String::new() }
    }

    /// The value in its base unit.
    #[must_use]
    pub fn base(&self) -> f64 {
        self.value.base()
    }

    /// Where it comes from, for a tooltip or a footnote. What the builder
    /// wrote stands for itself.
    #[must_use]
    pub fn support_text(&self) -> String {
        if self.source.is_empty() { Support::Builder.words().to_owned() } else { self.source.clone() }
    }
}

/// The limits of one engine; each may be absent, and then nothing is judged
/// by it.
///
/// ```
/// use crowndeck::schema::limit::{Limit, LimitId, Limits};
/// let limits = Limits::new().with(LimitId::SquishMin, Limit::builder(1.0));
/// assert_eq!(limits.value(LimitId::SquishMin), Some(1.0));
/// assert_eq!(limits.value(LimitId::SquishMax), None);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    given: [Option<Limit>; LimitId::COUNT],
}

impl Limits {
    /// No limits.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The limit, if it is set.
    #[must_use]
    pub fn get(&self, id: LimitId) -> Option<&Limit> {
        self.given.get(id as usize).and_then(Option::as_ref)
    }

    /// Its value in the base unit, if it is set.
    #[must_use]
    pub fn value(&self, id: LimitId) -> Option<f64> {
        self.get(id).map(Limit::base)
    }

    /// Sets a limit or takes it away.
    pub fn set(&mut self, id: LimitId, limit: Option<Limit>) {
        if let Some(place) = self.given.get_mut(id as usize) {
            *place = limit;
        }
    }

    /// The same limits with one more.
    #[must_use]
    pub fn with(mut self, id: LimitId, limit: Limit) -> Self {
        self.set(id, Some(limit));
        self
    }
}

impl Serialize for Limits {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let set: Vec<(&'static str, &Option<Limit>)> = LimitId::all()
            .zip(&self.given)
            .filter_map(|(id, given)| Some((id.row().key?, given)))
            .filter(|(_, given)| given.is_some())
            .collect();
        let mut fields = serializer.serialize_struct("Limits", set.len())?;
        for (key, limit) in set {
            fields.serialize_field(key, limit)?;
        }
        fields.end()
    }
}

impl<'de> Deserialize<'de> for Limits {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_struct("Limits", &KEYS, LimitsVisitor)
    }
}

/// A limit as it stands in the file.
#[derive(serde::Deserialize)]
#[serde(rename = "Limit", deny_unknown_fields)]
struct Written<T> {
    value: T,
    #[serde(default = "common_practice")]
    source: String,
}

fn common_practice() -> String {
    COMMON_PRACTICE.into()
}

struct LimitsVisitor;

impl<'de> Visitor<'de> for LimitsVisitor {
    type Value = Limits;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("struct Limits")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Limits, A::Error> {
        fn next<'de, T, A>(map: &mut A) -> Result<Option<Limit>, A::Error>
        where
            T: Deserialize<'de> + Into<LimitValue>,
            A: MapAccess<'de>,
        {
            let written = map.next_value::<Option<Written<T>>>()?;
            Ok(written.map(|Written { value, source }| Limit { value: value.into(), source }))
        }
        let mut limits = Limits::new();
        let mut seen = Vec::new();
        while let Some(FieldName(id)) = map.next_key()? {
            if seen.contains(&id) {
                return Err(de::Error::duplicate_field(id.row().key.unwrap_or_default()));
            }
            seen.push(id);
            let limit = match id.measure() {
                Measure::Of(_) => next::<Quantity, A>(&mut map)?,
                Measure::Ratio | Measure::Speed => next::<f64, A>(&mut map)?,
                Measure::Count => next::<u32, A>(&mut map)?,
            };
            limits.set(id, limit);
        }
        Ok(limits)
    }
}

/// The name of a field, read as an identifier, so that a name that is not
/// known is refused where it stands.
struct FieldName(LimitId);

impl<'de> Deserialize<'de> for FieldName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct NameVisitor;

        impl Visitor<'_> for NameVisitor {
            type Value = FieldName;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("field identifier")
            }

            fn visit_str<E: de::Error>(self, name: &str) -> Result<FieldName, E> {
                LimitId::from_key(name).map(FieldName).ok_or_else(|| E::unknown_field(name, &KEYS))
            }
        }
        deserializer.deserialize_identifier(NameVisitor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_without_a_source_is_common_practice() {
        let limits: Limits = ron::from_str("(squish_min: Some((value: \"1 mm\")))").unwrap();
        let limit = limits.get(LimitId::SquishMin).unwrap();
        assert_eq!((limit.base(), limit.source.as_str()), (1.0, COMMON_PRACTICE));
        assert_eq!(ron::to_string(&limits).unwrap(), "(squish_min:Some((value:\"1 mm\")))");
    }

    #[test]
    fn limits_stand_in_the_file_in_the_order_of_the_list() {
        let text = "(target_ratio:Some((value:9.3,source:\"the builder\")),level:Some((value:\"0.03 mm\")),\
                    pieces_max:Some((value:2)),piston_speed:Some((value:18.0)))";
        let limits: Limits = ron::from_str(text).unwrap();
        assert_eq!(ron::to_string(&limits).unwrap(), text);
        assert_eq!(limits.value(LimitId::PiecesMax), Some(2.0));
    }

    #[test]
    fn what_is_no_field_or_stands_twice_is_refused_where_it_stands() {
        let told = |text: &str| ron::from_str::<Limits>(text).unwrap_err().to_string();
        let unknown = told("(squish_low:Some((value:\"1 mm\")))");
        assert!(unknown.starts_with("1:2"), "{unknown}");
        assert!(unknown.contains("`squish_low`") && unknown.contains("`Limits`"), "{unknown}");
        assert!(unknown.contains("`squish_min`") && unknown.contains("`piston_speed`"), "{unknown}");
        let twice = told("(level:Some((value:\"1 mm\")),level:Some((value:\"1 mm\")))");
        assert!(twice.contains("level"), "{twice}");
        let inside = told("(level:Some((valve:\"1 mm\")))");
        assert!(inside.contains("`valve`") && inside.contains("`Limit`"), "{inside}");
    }

    #[test]
    fn a_limit_says_where_it_comes_from() {
        let mut limit = Limit::builder(0.03);
        assert_eq!(limit.support_text(), "set for this engine");
        limit.source = Support::Published.told("workshop manual of the engine");
        assert_eq!(limit.support_text(), "published: workshop manual of the engine");
        assert_eq!(Support::of(&limit.source), Support::Published);
        for source in ["", "maker's sheet", "published in a magazine", "common practicers"] {
            assert_eq!(Support::of(source), Support::Builder, "{source}");
        }
        assert_eq!(Support::of(COMMON_PRACTICE), Support::CommonPractice);
    }
}
