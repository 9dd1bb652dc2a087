//! The checklist of the bench: what is done, in which order, by whom and
//! when, and what was read while doing it.

use serde::{Deserialize, Serialize};

/// One step at the bench.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BenchStep {
    /// The part of the job it belongs to: "Trial assembly".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub chapter: String,
    /// What is done.
    pub what: String,
    /// What is tightened, and to which figure of the person.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub torque: Option<Torque>,
    /// What was read, in the person's words: "0.08 mm".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub reading: String,
    /// Whether it is done.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub done: bool,
    /// Who did it: initials.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// When it was done, as the person writes dates.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub when: String,
}

/// A final torque, given by the person, and the stages on the way to it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Torque {
    /// The final figure.
    pub figure: f64,
    /// Its unit.
    #[serde(default)]
    pub unit: TorqueUnit,
    /// The stages in percent of the figure, rising; the last is 100.
    pub percents: Vec<u32>,
    /// Who says so: the maker's manual.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
}

/// A unit of torque.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TorqueUnit {
    /// N·m.
    #[default]
    NewtonMetre,
    /// lbf·ft.
    PoundFoot,
    /// lbf·in.
    PoundInch,
}

all!(pub TorqueUnit: NewtonMetre, PoundFoot, PoundInch);

impl TorqueUnit {
    /// As it is written behind a number.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N·m",
            Self::PoundFoot => "lbf·ft",
            Self::PoundInch => "lbf·in",
        }
    }
}
