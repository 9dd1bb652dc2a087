//! The record of what was read at the bench: plain data, unevaluated. Raw
//! values are kept for ever; a value that was struck out stays with its reason.

use crate::engine::Key;
use crate::quantity::{Kind, Quantity};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// An instrument, as far as the uncertainty of a reading depends on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// A short name by which readings refer to it.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The smallest step that it shows.
    pub step: Quantity,
    /// Distance of repeated readings by one careful hand from their middle
    /// (half the spread, so "± 0.01 mm" is 0.01 mm).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability: Option<Quantity>,
    /// A note: its last calibration, or anything else to know about it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// Several readings of one thing, taken one after the other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// The label of the cylinder.
    pub cylinder: String,
    /// The subject that was read.
    pub of: Subject,
    /// The place where it was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<DeckPlace>,
    /// The id of the instrument.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// The values, in the order in which they were read.
    pub values: Vec<Value>,
    /// State of the parts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<State>,
    /// All base shims that were fitted at the time, together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shim: Option<Quantity>,
    /// The date, as typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// The subject of a reading.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// A dimension of the engine, read on the part itself.
    Dimension(Key),
    /// The deck clearance on a trial assembly: positive when the rim of the
    /// piston is below the top of the cylinder.
    Deck,
    /// The gap between piston and head, such as by squeezed solder.
    Squish,
    /// The end gap of the ring with this name, in its own bore.
    RingGap(String),
    /// The whole clearance volume, filled through the plug hole.
    WholeFill,
    /// The distance of piston and valve on overlap, along the valve's axis.
    PistonToValve(Valve),
}

/// A valve of a cylinder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Valve {
    /// Lets the charge in.
    Intake,
    /// Lets the burnt gas out.
    Exhaust,
}

impl Valve {
    /// Both of them.
    pub(crate) const ALL: [Self; 2] = [Self::Intake, Self::Exhaust];

    /// Returns its name in a sentence.
    #[must_use]
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Intake => "intake",
            Self::Exhaust => "exhaust",
        }
    }
}

impl Subject {
    /// Returns the kind of quantity of its readings.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match self {
            Self::Dimension(key) => key.kind(),
            Self::Deck | Self::Squish | Self::RingGap(_) | Self::PistonToValve(_) => Kind::Length,
            Self::WholeFill => Kind::Volume,
        }
    }

    /// Returns the range, in the base unit, in which a reading of it lies in
    /// any engine; beyond, a slip of the unit or the decimal mark is likely
    /// (common practice).
    #[must_use]
    pub fn plausible(&self) -> (f64, f64) {
        match self {
            Self::Dimension(key) => key.row().plausible,
            Self::Deck => Key::MockupDeck.row().plausible,
            Self::Squish => (0.2, 20.0),
            Self::RingGap(_) => (0.02, 5.0),
            Self::PistonToValve(_) => (0.2, 20.0),
            Self::WholeFill => Key::ChamberVolume.row().plausible,
        }
    }

    /// Returns its name in a sentence.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Dimension(key) => key.name().to_lowercase(),
            Self::Deck => "deck clearance".into(),
            Self::Squish => "squish".into(),
            Self::RingGap(ring) => format!("end gap of the {ring} ring"),
            Self::WholeFill => "whole clearance volume".into(),
            Self::PistonToValve(valve) => format!("piston to {} valve", valve.name()),
        }
    }

    /// Tells whether a reading can be 0: a valve that touches its piston.
    #[must_use]
    pub(crate) fn may_be_0(&self) -> bool {
        matches!(self, Self::PistonToValve(_))
    }
}

/// The place on the part where a reading was taken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DeckPlace {
    /// On the pin axis, toward the front of the engine.
    PinAxisFront,
    /// On the pin axis, toward the rear of the engine.
    PinAxisRear,
    /// On the pin axis, both ends.
    PinAxis,
    /// At the edge toward the major thrust side.
    Thrust,
    /// At the edge toward the minor thrust side.
    Antithrust,
    /// Across the pin axis, both sides.
    ThrustAxis,
    /// Near the top of a bore.
    Top,
    /// In the middle of a bore.
    Middle,
    /// Near the bottom of a bore.
    Bottom,
    /// At a crank angle.
    Crank(CrankAngle),
    /// Anywhere else, in the user's words.
    Other(String),
}

/// Degrees after overlap top dead centre, negative before it, as typed. Two of
/// the same size are equal however they are written.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(transparent)]
pub struct CrankAngle(pub Quantity);

impl PartialEq for CrankAngle {
    fn eq(&self, other: &Self) -> bool {
        self.0.kind() == other.0.kind() && self.0.base() == other.0.base()
    }
}

impl CrankAngle {
    /// Returns it in degrees.
    #[must_use]
    pub(crate) fn degrees(&self) -> f64 {
        self.0.base()
    }

    /// Returns it in words: "10° before", "at the top", "7.5° after".
    #[must_use]
    pub(crate) fn words(&self) -> String {
        let degrees = self.degrees();
        match degrees {
            d if d < 0.0 => format!("{}° before", -d),
            d if d > 0.0 => format!("{d}° after"),
            _ => "at the top".to_owned(),
        }
    }
}

impl DeckPlace {
    /// Returns its name on a line of its own.
    #[must_use]
    pub fn name(&self) -> Cow<'_, str> {
        Cow::Borrowed(match self {
            Self::PinAxisFront => "Front",
            Self::PinAxisRear => "Rear",
            Self::PinAxis => "Front and rear",
            Self::Thrust => "Thrust edge",
            Self::Antithrust => "Other edge",
            Self::ThrustAxis => "Both edges",
            Self::Top => "Top",
            Self::Middle => "Middle",
            Self::Bottom => "Bottom",
            Self::Crank(angle) => return Cow::Owned(angle.words()),
            Self::Other(words) => words,
        })
    }

    /// Returns what the place says about the reading, in a few words; may be
    /// empty.
    #[must_use]
    pub fn meaning(&self) -> &'static str {
        match self {
            Self::PinAxisFront | Self::PinAxisRear | Self::PinAxis => "on the pin axis",
            Self::Thrust | Self::Antithrust | Self::ThrustAxis => "across: rock",
            Self::Top | Self::Middle | Self::Bottom => "along both axes",
            Self::Crank(_) => "on overlap",
            Self::Other(_) => "",
        }
    }
}

/// The state of the parts during a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Held down by hand.
    HeldByHand,
    /// Clamped as it will run, with light torque.
    Clamped,
    /// Tightened to the final torque.
    FinalTorque,
    /// Loose on the bench.
    Loose,
}

// In the order in which they are offered.
all!(pub State: Clamped, HeldByHand, FinalTorque, Loose);

impl State {
    /// Returns its name in words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Clamped => "clamped as it will run",
            Self::HeldByHand => "held by hand",
            Self::FinalTorque => "at final torque",
            Self::Loose => "loose on the bench",
        }
    }
}

/// One value, as typed; in a file a plain text such as "1.21 mm", or with the
/// reason why it was struck out.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// The value that was read.
    pub value: Quantity,
    /// Reason why it does not count; `None` for a value that counts.
    pub struck: Option<String>,
    /// Reason why an outlying value counts, given by somebody who looked at it.
    /// `None` for a value that nobody decided on.
    pub kept: Option<String>,
}

impl From<Quantity> for Value {
    fn from(value: Quantity) -> Self {
        Self { value, struck: None, kept: None }
    }
}

/// The file form of a value on which somebody decided.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Decided {
    value: Quantity,
    #[serde(default, skip_serializing_if = "Option::is_none", with = "reason")]
    struck: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none", with = "reason")]
    kept: Option<String>,
}

/// The file form of a reason: a plain text, or absent.
mod reason {
    use serde::{Deserialize as _, Deserializer, Serialize as _, Serializer};

    #[expect(clippy::ref_option, reason = "serde asks for this signature")]
    pub(super) fn serialize<S: Serializer>(reason: &Option<String>, to: S) -> Result<S::Ok, S::Error> {
        reason.as_deref().unwrap_or_default().serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
        String::deserialize(from).map(Some)
    }
}

impl Serialize for Value {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.struck.is_none() && self.kept.is_none() {
            return self.value.serialize(serializer);
        }
        let Self { value, struck, kept } = self.clone();
        Decided { value, struck, kept }.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Value {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(ValueVisitor)
    }
}

struct ValueVisitor;

impl<'de> serde::de::Visitor<'de> for ValueVisitor {
    type Value = Value;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a value such as \"1.21 mm\", or (value: \"1.21 mm\", struck: \"why\")")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Value, E> {
        Quantity::parse_with_unit(text).map(Value::from).map_err(E::custom)
    }

    fn visit_map<A: serde::de::MapAccess<'de>>(self, map: A) -> Result<Value, A::Error> {
        let Decided { value, struck, kept } =
            Decided::deserialize(serde::de::value::MapAccessDeserializer::new(map))?;
        if struck.is_none() && kept.is_none() {
            return Err(serde::de::Error::missing_field("struck"));
        }
        Ok(Value { value, struck, kept })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_in_a_file_is_a_text_or_carries_its_reason() {
        let text = "[\"33.8 cc\",(value:\"32.9 cc\",struck:\"bubble\")]";
        let values: Vec<Value> = ron::from_str(text).unwrap();
        assert_eq!(values[0], Quantity::parse(Kind::Volume, "33.8 cc").unwrap().into());
        assert_eq!(values[1].struck.as_deref(), Some("bubble"));
        assert_eq!(ron::to_string(&values).unwrap(), text);
        let kept = "[(value:\"32.9 cc\",kept:\"read twice\")]";
        let values: Vec<Value> = ron::from_str(kept).unwrap();
        assert_eq!(values[0].kept.as_deref(), Some("read twice"));
        assert_eq!(ron::to_string(&values).unwrap(), kept);
    }

    #[test]
    fn a_damaged_value_says_what_is_wrong() {
        for (text, part) in [
            ("[\"33.8\"]", "has no unit"),
            ("[(value: \"1 mm\", struck: \"x\", why: \"y\")]", "why"),
            ("[(value: \"1 mm\")]", "struck"),
            ("[(value: \"1 mm\", kept: 3)]", "tring"),
            ("[33.8]", "a value such as"),
        ] {
            let error = ron::from_str::<Vec<Value>>(text).unwrap_err().to_string();
            assert!(error.contains(part), "{text}: {error}");
        }
    }

    #[test]
    fn what_is_read_has_the_kind_of_its_subject() {
        assert_eq!(Subject::Dimension(Key::ChamberVolume).kind(), Kind::Volume);
        assert_eq!(Subject::WholeFill.kind(), Kind::Volume);
        assert_eq!(Subject::RingGap("top".into()).kind(), Kind::Length);
        let text = "dimension(barrel_length)";
        assert_eq!(ron::from_str::<Subject>(text).unwrap(), Subject::Dimension(Key::BarrelLength));
    }
}
