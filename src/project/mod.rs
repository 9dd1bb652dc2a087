//! The document: its schema, load and save, edits, undo history, demos.
//!
//! A [`Project`] is plain data. It changes only through an `Edit`, so that
//! undo, the mark of unsaved changes and recovery come from one place
//! (`History`). It holds what was given and what was read, never a result.
//!
//! The file is RON text with a `format` number, written by us in a stable
//! order with every value as it was typed, with its unit; see `text`.

mod assembly;
mod check;
mod demo;
mod dimensions;
mod edit;
mod file;
mod format;
mod history;
mod layout;
mod limits;
mod locate;
mod moves;
mod new_engine;
mod question;
mod readings;
mod rebuild;
mod rename;
mod ring_edits;
mod ring_set_edits;
mod rings;
mod shims;
pub(crate) mod syntax;
pub(crate) mod text;
mod trials;
mod visible;

pub use assembly::{Assembly, Construction, Cooling, Head};
pub(crate) use assembly::{Bank, ClampThread, Cylinder, Orientation};
pub(crate) use demo::example;
pub use demo::{demo, demos};
pub use dimensions::Entry;
pub(crate) use dimensions::{Dimensions, Origin};
pub(crate) use edit::{Edit, EditError, ReadingDetail, Scope, TextField};
pub(crate) use file::{fingerprint, from_visible_text, load_visible, read_text, replace, write};
pub use file::{load, recovery_path, save};
pub(crate) use format::Format;
pub(crate) use history::{Gesture, History};
pub(crate) use limits::LimitLine;
pub(crate) use moves::PartMoves;
pub(crate) use new_engine::MAX_CYLINDERS;
pub use new_engine::{Layout, NewEngine};
pub(crate) use ring_set_edits::NewRing;
pub use ring_set_edits::RingLength;
pub(crate) use text::LoadError;
pub(crate) use visible::{steers, visible, visible_lines};

use crate::engine::{Dims, Key, Provenance};
use crate::quantity::UnitChoice;
use crate::reading::{Instrument, Reading};
use crate::schema::limit::Limits;
use crate::schema::{BenchStep, Choosing, Duty, HeadGasket, Ring, RingLayout, Shim};
use serde::{Deserialize, Serialize};

/// A project: everything that is known about one engine on the bench.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Project {
    /// The number of the file format.
    pub format: Format,
    /// The name of the engine or the job.
    pub title: String,
    /// Whose engine it is.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub owner: String,
    /// The number on the case.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub serial: String,
    /// Notes, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// The units in which computed values are shown.
    #[serde(default)]
    pub units: UnitChoice,
    /// The engine and its parts.
    pub engine: Assembly,
    /// The demands on the engine.
    #[serde(default, skip_serializing_if = "is_default")]
    pub duty: Duty,
    /// The limits that results are held to.
    #[serde(default, skip_serializing_if = "is_default")]
    pub limits: Limits,
    /// The stock of base shims.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shims: Vec<Shim>,
    /// The rule by which shims are chosen.
    #[serde(default, skip_serializing_if = "is_default")]
    pub choosing: Choosing,
    /// The stock of head gaskets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gaskets: Vec<HeadGasket>,
    /// The rings of one piston, from the top.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rings: Vec<Ring>,
    /// Angles of their gaps, zones that they keep off, and temperatures.
    #[serde(default, skip_serializing_if = "is_default")]
    pub ring_layout: RingLayout,
    /// The instruments that were used.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub instruments: Vec<Instrument>,
    /// The readings, in the order in which they were entered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<Reading>,
    /// The checklist of the bench.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bench: Vec<BenchStep>,
    /// The bench log: work and decisions, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub log: Vec<LogEntry>,
    /// States of the engine that were kept for comparison.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kept: Vec<KeptState>,
}

/// One line of the bench log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LogEntry {
    /// The date, as typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// The author.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// The work or decision, and its reason.
    pub text: String,
}

/// A state of the engine that was kept for comparison.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptState {
    /// The name under which it was kept.
    pub name: String,
    /// The date, as typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// The engine as it was.
    pub engine: Assembly,
}

/// Returns whether a field is empty and left out of the file.
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl Project {
    /// Returns the dimensions of one cylinder, counted from 0, for the
    /// geometry: the nominal values, overridden by the cylinder's own. `None`
    /// for a cylinder that does not exist.
    #[must_use]
    pub fn dims(&self, cylinder: usize) -> Option<Dims> {
        self.engine.dims(cylinder)
    }

    /// Returns the provenance of a dimension of a cylinder; `None` where it was
    /// not given.
    #[must_use]
    pub fn known(&self, cylinder: usize, key: Key) -> Option<Provenance> {
        self.engine.entry(cylinder, key).map(|(entry, _)| entry.known)
    }

    /// Returns the index of the cylinder with this label, from 0.
    #[must_use]
    pub fn cylinder_index(&self, label: &str) -> Option<usize> {
        self.engine.cylinders.iter().position(|cylinder| cylinder.label == label)
    }

    /// Returns the instrument with this id.
    #[must_use]
    pub fn instrument(&self, id: &str) -> Option<&Instrument> {
        self.instruments.iter().find(|instrument| instrument.id == id)
    }
}
