//! Edits: the named changes of a project.

mod label;

use super::check::{Finding, Severity};
use super::{Assembly, Construction, Cooling, Dimensions, Entry, KeptState, LogEntry, PartMoves, Project};
use crate::engine::solid::{ChamberKind, CrownKind};
use crate::engine::{Key, Provenance};
use crate::quantity::{Kind, Quantity, UnitChoice};
use crate::reading::{Instrument, Reading, State, Value};
use crate::schema::limit::{LimitError, LimitId, LimitText, Limits};
use crate::schema::{BenchStep, Choosing, Duty, HeadGasket, Ring, RingLayout, Shim};

/// The cylinders that a dimension is set for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scope {
    /// All cylinders without a value of their own.
    Nominal,
    /// The cylinder with this label.
    Cylinder(String),
}

/// A text of the project itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextField {
    /// The name of the engine or the job.
    Title,
    /// Whose engine it is.
    Owner,
    /// The number on the case.
    Serial,
    /// The notes.
    Notes,
}

impl TextField {
    fn name(self) -> &'static str {
        match self {
            Self::Title => "Title",
            Self::Owner => "Owner",
            Self::Serial => "Serial number",
            Self::Notes => "Notes",
        }
    }
}

/// A detail of readings other than their values.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadingDetail {
    /// The instrument, which joins the list if none there has its id.
    Instrument(Option<Instrument>),
    /// The state of the parts.
    State(Option<State>),
    /// All base shims that were fitted.
    Shim(Option<Quantity>),
    /// A note.
    Note(String),
}

/// A change that the user made.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Set a dimension; its note stays.
    SetDimension {
        /// The cylinders.
        scope: Scope,
        /// The dimension.
        key: Key,
        /// The value as typed.
        value: Quantity,
        /// Its provenance.
        known: Provenance,
    },
    /// Clear a dimension.
    ClearDimension {
        /// The cylinders.
        scope: Scope,
        /// The dimension.
        key: Key,
    },
    /// Write a note on a dimension.
    NoteDimension {
        /// The cylinders.
        scope: Scope,
        /// The dimension.
        key: Key,
        /// The note.
        note: String,
    },
    /// Write a text.
    SetText {
        /// The text's field.
        field: TextField,
        /// The new text.
        to: String,
    },
    /// Choose the units to read in.
    SetUnits(UnitChoice),
    /// Choose the construction.
    SetConstruction(Construction),
    /// Choose the cooling.
    SetCooling(Cooling),
    /// Rename a cylinder; its readings and rings follow.
    RenameCylinder {
        /// The label before.
        from: String,
        /// The label from now on.
        to: String,
    },
    /// Remove a cylinder, with its readings and rings.
    RemoveCylinder(String),
    /// Rename a head.
    RenameHead {
        /// The label before.
        from: String,
        /// The label from now on.
        to: String,
    },
    /// Rename a bank.
    RenameBank {
        /// The label before.
        from: String,
        /// The label from now on.
        to: String,
    },
    /// Choose the shape of the chamber.
    SetChamber(ChamberKind),
    /// Choose the shape of the crown.
    SetCrown(CrownKind),
    /// Replace the engine: a new start, other cylinders or heads.
    SetEngine {
        /// Name of the step: "New engine", "Add cylinder 3".
        what: String,
        /// The engine.
        engine: Box<Assembly>,
    },
    /// Move parts to other cylinders, with the readings on them.
    MoveParts {
        /// Name of the step: "Pair the parts".
        what: String,
        /// The moves.
        moves: Box<PartMoves>,
    },
    /// Set one limit, or switch it off.
    SetLimit {
        /// The limit.
        id: LimitId,
        /// The value as typed, with its source; `None` for off.
        to: Option<LimitText>,
    },
    /// Change the limits.
    SetLimits(Box<Limits>),
    /// Change the duty.
    SetDuty(Box<Duty>),
    /// Change the stock of shims.
    SetShims(Vec<Shim>),
    /// Choose how the shims are chosen.
    SetChoosing(Choosing),
    /// Change the stock of head gaskets.
    SetGaskets(Vec<HeadGasket>),
    /// Change the rings.
    SetRings {
        /// Name of the step: "Top ring, cylinder 1, filed: 0.34 mm".
        what: String,
        /// The rings of one piston, from the top.
        rings: Vec<Ring>,
    },
    /// Turn a gap, change a port or a temperature.
    SetRingLayout {
        /// Name of the step: "Top ring gap to 65°".
        what: String,
        /// The new layout.
        layout: Box<RingLayout>,
    },
    /// Change the instruments.
    SetInstruments(Vec<Instrument>),
    /// Enter a reading.
    AddReading {
        /// The reading.
        reading: Box<Reading>,
        /// Its instrument, which joins the list if none there has its id.
        instrument: Option<Box<Instrument>>,
    },
    /// Change how some readings were taken.
    DescribeReadings {
        /// The readings, counted from 0.
        readings: Vec<usize>,
        /// The detail.
        detail: Box<ReadingDetail>,
    },
    /// Enter one more value of a reading.
    AddValue {
        /// The reading, from 0.
        reading: usize,
        /// The value as typed.
        value: Quantity,
    },
    /// Strike out a value of a reading, or take that back.
    StrikeValue {
        /// The reading, from 0.
        reading: usize,
        /// The value, from 0.
        value: usize,
        /// The reason; `None` to let it count again.
        reason: Option<String>,
    },
    /// Change the checklist of the bench.
    SetBench {
        /// Name of the step: "Tick: crank end float".
        what: String,
        /// The steps.
        steps: Vec<BenchStep>,
    },
    /// Let an outlying value count, or take that back.
    KeepValue {
        /// The reading, from 0.
        reading: usize,
        /// The value, from 0.
        value: usize,
        /// The reason; `None` to have it flagged again.
        reason: Option<String>,
    },
    /// Correct a value that was written down wrongly: the old one stays, struck
    /// out, and the right one is entered after it.
    CorrectValue {
        /// The reading, from 0.
        reading: usize,
        /// The value, from 0.
        value: usize,
        /// The right one as typed.
        to: Quantity,
    },
    /// Adopt the mean of the readings of a dimension of one cylinder as its
    /// value.
    UseReading {
        /// The label of the cylinder.
        cylinder: String,
        /// The dimension; that of a trial assembly is `mockup_deck`.
        key: Key,
        /// The value, with the digits that its uncertainty allows.
        value: Quantity,
        /// For `mockup_deck`: all base shims with which it holds.
        shim: Option<Quantity>,
    },
    /// Write a line in the bench log.
    AddLog(LogEntry),
    /// Keep the engine as it is, for comparison; a state of that name is
    /// replaced.
    KeepState {
        /// The name.
        name: String,
        /// The date, as typed.
        date: String,
    },
    /// Rename a kept state.
    RenameState {
        /// The name before.
        from: String,
        /// The name from now on.
        to: String,
    },
    /// Delete a kept state.
    DropState(String),
    /// Restore a kept state.
    RestoreState(String),
}

/// A reason why an edit can't be made. The project is unchanged then.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// A value of the wrong kind.
    #[error("{key} is {}, and ‘{value}’ is {}", .wanted.with_article(), .found.with_article())]
    WrongKind {
        /// The dimension.
        key: Key,
        /// The expected kind.
        wanted: Kind,
        /// The value that was given.
        value: Quantity,
        /// Its kind.
        found: Kind,
    },
    /// A thing that does not exist.
    #[error("there is no {what}")]
    Absent {
        /// Its name.
        what: String,
    },
    /// A text that can't be a limit.
    #[error(transparent)]
    Limit(#[from] LimitError),
    /// The project would contradict itself.
    #[error("{}", .0.first().map_or_else(String::new, ToString::to_string))]
    Content(Vec<Finding>),
}

impl EditError {
    /// Returns what to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::WrongKind { wanted, .. } => format!("use {}", wanted.units_in_words()),
            Self::Absent { .. } => "it may have been removed or renamed; choose another".into(),
            Self::Limit(error) => error.hint(),
            Self::Content(findings) => {
                findings.first().map_or_else(String::new, |finding| finding.hint.clone())
            }
        }
    }
}

impl Edit {
    /// Returns the project after this edit.
    ///
    /// # Errors
    /// When the edit names a thing that does not exist, gives a value of the
    /// wrong kind, or would make the project contradict itself. What it
    /// contradicted before is not held against the edit.
    pub fn apply(&self, project: &Project) -> Result<Project, EditError> {
        let mut next = project.clone();
        self.make(&mut next)?;
        let faults = |project: &Project| {
            project.check().into_iter().filter(|finding| finding.severity == Severity::Fault)
        };
        let before: Vec<Finding> = faults(project).collect();
        let new: Vec<Finding> =
            faults(&next).filter(|finding| !before.iter().any(|b| b.says_what(finding))).collect();
        if new.is_empty() { Ok(next) } else { Err(EditError::Content(new)) }
    }

    fn make(&self, project: &mut Project) -> Result<(), EditError> {
        match self {
            Self::SetDimension { scope, key, value, known } => {
                if value.kind() != key.kind() {
                    return Err(EditError::WrongKind {
                        key: *key,
                        wanted: key.kind(),
                        value: value.clone(),
                        found: value.kind(),
                    });
                }
                let dimensions = dimensions_mut(project, scope)?;
                let note = dimensions.get(*key).map(|entry| entry.note.clone()).unwrap_or_default();
                dimensions.set(*key, Entry { value: value.clone(), known: *known, note });
            }
            Self::ClearDimension { scope, key } => {
                dimensions_mut(project, scope)?.clear(*key).ok_or_else(|| absent(key.name()))?;
            }
            Self::NoteDimension { scope, key, note } => {
                let dimensions = dimensions_mut(project, scope)?;
                let entry = dimensions.get(*key).ok_or_else(|| absent(key.name()))?;
                dimensions.set(*key, Entry { note: note.clone(), ..entry.clone() });
            }
            Self::SetText { field, to } => *text_mut(project, *field) = to.clone(),
            Self::SetUnits(units) => project.units = *units,
            Self::SetConstruction(construction) => project.engine.construction = *construction,
            Self::SetCooling(cooling) => project.engine.cooling = *cooling,
            Self::RenameCylinder { from, to } => {
                found(project.rename_cylinder(from, to), "cylinder", from)?;
            }
            Self::RemoveCylinder(label) => found(project.remove_cylinder(label), "cylinder", label)?,
            Self::RenameHead { from, to } => found(project.engine.rename_head(from, to), "head", from)?,
            Self::RenameBank { from, to } => found(project.engine.rename_bank(from, to), "bank", from)?,
            Self::SetChamber(chamber) => project.engine.chamber = chamber.clone(),
            Self::SetCrown(crown) => project.engine.crown = crown.clone(),
            Self::SetEngine { engine, .. } => project.engine = (**engine).clone(),
            Self::MoveParts { moves, .. } => {
                let count = project.engine.cylinders.len();
                found(moves.is_whole(count), "pairing", &format!("of {count} cylinders"))?;
                project.move_parts(moves);
            }
            Self::SetLimit { id, to } => project.limits.give(*id, to.as_ref())?,
            Self::SetLimits(limits) => project.limits = (**limits).clone(),
            Self::SetDuty(duty) => project.duty = (**duty).clone(),
            Self::SetShims(shims) => project.shims.clone_from(shims),
            Self::SetChoosing(choosing) => project.choosing = *choosing,
            Self::SetGaskets(gaskets) => project.gaskets.clone_from(gaskets),
            Self::SetRings { rings, .. } => project.rings.clone_from(rings),
            Self::SetRingLayout { layout, .. } => project.ring_layout = (**layout).clone(),
            Self::SetInstruments(instruments) => project.instruments.clone_from(instruments),
            Self::AddReading { reading, instrument } => {
                if let Some(instrument) = instrument {
                    learn_instrument(project, instrument);
                }
                project.readings.push((**reading).clone());
            }
            Self::DescribeReadings { readings, detail } => {
                if let ReadingDetail::Instrument(Some(instrument)) = &**detail {
                    learn_instrument(project, instrument);
                }
                for &index in readings {
                    describe(reading_mut(project, index)?, detail);
                }
            }
            Self::AddValue { reading, value } => {
                reading_mut(project, *reading)?.values.push(Value::from(value.clone()));
            }
            Self::StrikeValue { reading, value, reason } => {
                let own = value_mut(project, *reading, *value)?;
                own.struck.clone_from(reason);
                own.kept = None;
            }
            Self::KeepValue { reading, value, reason } => {
                value_mut(project, *reading, *value)?.kept.clone_from(reason);
            }
            Self::CorrectValue { reading, value, to } => {
                let own = value_mut(project, *reading, *value)?;
                own.struck = Some(format!("written wrongly, should be {to}"));
                own.kept = None;
                reading_mut(project, *reading)?.values.push(Value::from(to.clone()));
            }
            Self::UseReading { cylinder, key, value, shim } => {
                let scope = Scope::Cylinder(cylinder.clone());
                let mut set = |key, value: &Quantity| {
                    let (scope, value) = (scope.clone(), value.clone());
                    Self::SetDimension { scope, key, value, known: Provenance::Measured }.make(project)
                };
                set(*key, value)?;
                if let Some(shim) = shim {
                    set(Key::MockupShim, shim)?;
                }
            }
            Self::SetBench { steps, .. } => project.bench.clone_from(steps),
            Self::AddLog(entry) => project.log.push(entry.clone()),
            Self::KeepState { name, date } => {
                let kept =
                    KeptState { name: name.clone(), date: date.clone(), engine: project.engine.clone() };
                match project.kept.iter_mut().find(|state| state.name == *name) {
                    Some(state) => *state = kept,
                    None => project.kept.push(kept),
                }
            }
            Self::RenameState { from, to } => {
                let index = kept_index(project, from)?;
                if let Some(state) = project.kept.get_mut(index) {
                    state.name.clone_from(to);
                }
            }
            Self::DropState(name) => {
                let index = kept_index(project, name)?;
                project.kept.remove(index);
            }
            Self::RestoreState(name) => {
                let index = kept_index(project, name)?;
                if let Some(state) = project.kept.get(index) {
                    project.engine = state.engine.clone();
                }
            }
        }
        Ok(())
    }
}

fn absent(what: &str) -> EditError {
    EditError::Absent { what: what.into() }
}

fn found(there: bool, sort: &str, label: &str) -> Result<(), EditError> {
    if there { Ok(()) } else { Err(absent(&format!("{sort} ‘{label}’"))) }
}

fn dimensions_mut<'a>(project: &'a mut Project, scope: &Scope) -> Result<&'a mut Dimensions, EditError> {
    match scope {
        Scope::Nominal => Ok(&mut project.engine.nominal),
        Scope::Cylinder(label) => {
            let cylinder = project.engine.cylinders.iter_mut().find(|cylinder| cylinder.label == *label);
            cylinder.map(|cylinder| &mut cylinder.own).ok_or_else(|| absent(&format!("cylinder ‘{label}’")))
        }
    }
}

fn text_mut(project: &mut Project, field: TextField) -> &mut String {
    match field {
        TextField::Title => &mut project.title,
        TextField::Owner => &mut project.owner,
        TextField::Serial => &mut project.serial,
        TextField::Notes => &mut project.notes,
    }
}

fn reading_mut(project: &mut Project, index: usize) -> Result<&mut Reading, EditError> {
    project.readings.get_mut(index).ok_or_else(|| absent(&format!("reading {}", index + 1)))
}

fn value_mut(project: &mut Project, reading: usize, value: usize) -> Result<&mut Value, EditError> {
    let values = &mut reading_mut(project, reading)?.values;
    values.get_mut(value).ok_or_else(|| absent(&format!("value {}", value + 1)))
}

/// Adds an instrument that is not in the list yet.
fn learn_instrument(project: &mut Project, instrument: &Instrument) {
    if project.instrument(&instrument.id).is_none() {
        project.instruments.push(instrument.clone());
    }
}

fn describe(reading: &mut Reading, detail: &ReadingDetail) {
    match detail {
        ReadingDetail::Instrument(instrument) => {
            reading.instrument = instrument.as_ref().map(|instrument| instrument.id.clone());
        }
        ReadingDetail::State(state) => reading.state = *state,
        ReadingDetail::Shim(shim) => reading.shim.clone_from(shim),
        ReadingDetail::Note(note) => reading.note.clone_from(note),
    }
}

fn kept_index(project: &Project, name: &str) -> Result<usize, EditError> {
    let index = project.kept.iter().position(|state| state.name == *name);
    index.ok_or_else(|| absent(&format!("kept state ‘{name}’")))
}

#[cfg(test)]
mod tests;
