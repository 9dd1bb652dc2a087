//! The named changes of a project: what the person did.

use super::check::{Finding, Severity};
use super::{Assembly, Construction, Cooling, Dimensions, Entry, KeptState, LogEntry, Moves, Project};
use crate::engine::solid::{ChamberKind, CrownKind};
use crate::engine::{Key, Known};
use crate::quantity::{Kind, Quantity, UnitChoice};
use crate::reading::{Instrument, Reading, State, Value};
use crate::study::given::{
    BenchStep, Choosing, Duty, HeadGasket, LimitError, LimitName, LimitText, Limits, Ring, RingLayout, Shim,
};

/// Which cylinders a dimension is set for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scope {
    /// All that have no value of their own.
    Nominal,
    /// The cylinder with this label.
    Cylinder(String),
}

/// A text of the project that stands alone.
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

/// What can be said of readings beside their values.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadingDetail {
    /// The instrument, which joins the list if none there has its id.
    Instrument(Option<Instrument>),
    /// How the parts were held.
    State(Option<State>),
    /// All base shims that were fitted.
    Shim(Option<Quantity>),
    /// A note.
    Note(String),
}

/// What the person did.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Gave a dimension; its note stays.
    SetDimension {
        /// For which cylinders.
        scope: Scope,
        /// Which dimension.
        key: Key,
        /// The value as typed.
        value: Quantity,
        /// How it is known.
        known: Known,
    },
    /// Took a dimension away.
    ClearDimension {
        /// For which cylinders.
        scope: Scope,
        /// Which dimension.
        key: Key,
    },
    /// Wrote a note beside a dimension.
    NoteDimension {
        /// For which cylinders.
        scope: Scope,
        /// Which dimension.
        key: Key,
        /// The note.
        note: String,
    },
    /// Wrote a text.
    SetText {
        /// Which.
        field: TextField,
        /// The new text.
        to: String,
    },
    /// Chose the units to read in.
    SetUnits(UnitChoice),
    /// Chose how the engine is built.
    SetConstruction(Construction),
    /// Chose what takes the heat away.
    SetCooling(Cooling),
    /// Called a cylinder by another label; its readings and rings follow.
    RenameCylinder {
        /// The label before.
        from: String,
        /// The label from now on.
        to: String,
    },
    /// Took a cylinder away, with its readings and rings.
    RemoveCylinder(String),
    /// Called a head by another label.
    RenameHead {
        /// The label before.
        from: String,
        /// The label from now on.
        to: String,
    },
    /// Called a bank by another label.
    RenameBank {
        /// The label before.
        from: String,
        /// The label from now on.
        to: String,
    },
    /// Chose the shape of the chamber.
    SetChamber(ChamberKind),
    /// Chose the shape of the crown.
    SetCrown(CrownKind),
    /// Put another engine in place: a new start, other cylinders or heads.
    SetEngine {
        /// What was done: "New engine", "Add cylinder 3".
        what: String,
        /// The engine.
        engine: Box<Assembly>,
    },
    /// Put parts in other places, with what was read on them.
    MoveParts {
        /// What was done: "Pair the parts".
        what: String,
        /// Which part goes where.
        moves: Box<Moves>,
    },
    /// Gave one limit, or switched it off.
    SetLimit {
        /// Which.
        name: LimitName,
        /// The value as typed and who says so; none for off.
        to: Option<LimitText>,
    },
    /// Changed the limits.
    SetLimits(Box<Limits>),
    /// Changed the duty.
    SetDuty(Box<Duty>),
    /// Changed the shims in the drawer.
    SetShims(Vec<Shim>),
    /// Chose how the shims are chosen.
    SetChoosing(Choosing),
    /// Changed the head gaskets that are to be had.
    SetGaskets(Vec<HeadGasket>),
    /// Changed the rings.
    SetRings {
        /// What was done: "Top ring, cylinder 1, filed: 0.34 mm".
        what: String,
        /// The rings of one piston, from the top.
        rings: Vec<Ring>,
    },
    /// Turned a gap, changed a port or a temperature.
    SetRingLayout {
        /// What was done: "Top ring gap to 65°".
        what: String,
        /// The new layout.
        layout: Box<RingLayout>,
    },
    /// Changed the instruments.
    SetInstruments(Vec<Instrument>),
    /// Entered a reading.
    AddReading {
        /// The reading.
        reading: Box<Reading>,
        /// Its instrument, which joins the list if none there has its id.
        instrument: Option<Box<Instrument>>,
    },
    /// Said in another way how some readings, counted from 0, were taken.
    DescribeReadings {
        /// Which.
        readings: Vec<usize>,
        /// What is said of them.
        detail: Box<ReadingDetail>,
    },
    /// Entered one more value of a reading, counted from 0.
    AddValue {
        /// The reading, from 0.
        reading: usize,
        /// The value as typed.
        value: Quantity,
    },
    /// Struck a value of a reading out, or took that back.
    StrikeValue {
        /// The reading, from 0.
        reading: usize,
        /// The value, from 0.
        value: usize,
        /// Why; none to let it count again.
        reason: Option<String>,
    },
    /// Changed the checklist of the bench.
    SetBench {
        /// What was done: "Tick: crank end float".
        what: String,
        /// The steps.
        steps: Vec<BenchStep>,
    },
    /// Looked at a value that stands out and let it count, or took that back.
    KeepValue {
        /// The reading, from 0.
        reading: usize,
        /// The value, from 0.
        value: usize,
        /// Why; none to have it flagged again.
        reason: Option<String>,
    },
    /// Put a value right that was written down wrongly: the old one stays,
    /// struck out, and the right one is entered after it.
    CorrectValue {
        /// The reading, from 0.
        reading: usize,
        /// The value, from 0.
        value: usize,
        /// The right one as typed.
        to: Quantity,
    },
    /// Took what was read of a dimension of one cylinder as its value.
    UseReading {
        /// The label of the cylinder.
        cylinder: String,
        /// The dimension; that of a trial assembly is `mockup_deck`.
        key: Key,
        /// The value, as far as its doubt allows.
        value: Quantity,
        /// For `mockup_deck`: all base shims with which it holds.
        shim: Option<Quantity>,
    },
    /// Wrote a line in the bench log.
    AddLog(LogEntry),
    /// Kept the engine as it is, for comparison; a state of that name is
    /// replaced.
    KeepState {
        /// The name.
        name: String,
        /// When, as the person writes dates.
        date: String,
    },
    /// Called a kept state by another name.
    RenameState {
        /// The name before.
        from: String,
        /// The name from now on.
        to: String,
    },
    /// Dropped a kept state.
    DropState(String),
    /// Put a kept state back in place.
    RestoreState(String),
}

/// Why an edit can't be made. Nothing has changed then.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// A value of the wrong kind.
    #[error("{key} is {}, and ‘{value}’ is {}", .wanted.with_article(), .found.with_article())]
    WrongKind {
        /// The dimension.
        key: Key,
        /// What belongs there.
        wanted: Kind,
        /// What was given.
        value: Quantity,
        /// Its kind.
        found: Kind,
    },
    /// Something that is not there.
    #[error("there is no {what}")]
    Absent {
        /// What was named.
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
    /// What to do about it.
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
    /// The project after this edit.
    ///
    /// # Errors
    /// When the edit names something that is not there, gives a value of the
    /// wrong kind, or would make the project contradict itself. What it
    /// contradicted before is not held against the edit.
    pub fn apply(&self, project: &Project) -> Result<Project, EditError> {
        let mut next = project.clone();
        self.make(&mut next)?;
        let faults = |project: &Project| {
            project.check().into_iter().filter(|finding| finding.severity == Severity::Fault)
        };
        let before: Vec<Finding> = faults(project).collect();
        let new: Vec<Finding> = faults(&next).filter(|finding| !before.contains(finding)).collect();
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
            Self::SetLimit { name, to } => project.limits.give(*name, to.as_ref())?,
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
                    Self::SetDimension { scope, key, value, known: Known::Measured }.make(project)
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

    /// The name of the step for undo, such as "Base shim: 0.50 mm to 0.25 mm";
    /// `before` is the project before the edit.
    #[must_use]
    pub fn label(&self, before: &Project) -> String {
        match self {
            Self::SetDimension { scope, key, value, .. } => {
                let name = scoped_name(before, scope, *key);
                match value_before(before, scope, *key) {
                    Some(old) if old != *value => format!("{name}: {old} to {value}"),
                    _ => format!("{name}: {value}"),
                }
            }
            Self::ClearDimension { scope, key } => {
                format!("Clear {}", lower(scoped_name(before, scope, *key)))
            }
            Self::NoteDimension { scope, key, .. } => {
                format!("Note on {}", lower(scoped_name(before, scope, *key)))
            }
            Self::SetText { field: TextField::Notes, .. } => "Notes".into(),
            Self::SetText { field, to } => format!("{}: {to}", field.name()),
            Self::SetUnits(_) => "Units".into(),
            Self::SetConstruction(construction) => format!("Construction: {}", construction.name()),
            Self::SetCooling(Cooling::Air) => "Cooling: air".into(),
            Self::SetCooling(Cooling::Water) => "Cooling: water".into(),
            Self::RenameCylinder { from, to } => format!("Cylinder {from} is called {to}"),
            Self::RemoveCylinder(label) => format!("Remove cylinder {label}"),
            Self::RenameHead { from, to } => format!("Head {from} is called {to}"),
            Self::RenameBank { from, to } => format!("Bank {from} is called {to}"),
            Self::SetChamber(_) => "Shape of the chamber".into(),
            Self::SetCrown(_) => "Shape of the crown".into(),
            Self::SetEngine { what, .. } | Self::MoveParts { what, .. } => what.clone(),
            Self::SetLimit { name, to } => limit_label(before, *name, to.as_ref()),
            Self::SetLimits(_) => "Limits".into(),
            Self::SetDuty(_) => "Duty".into(),
            Self::SetShims(shims) => shims_label(&before.shims, shims),
            Self::SetChoosing(to) if to.aim != before.choosing.aim => {
                format!("Choose shims: {}", lower(to.aim.name().to_owned()))
            }
            Self::SetChoosing(to) => format!("Hold limits {}", lower(to.margin.name().to_owned())),
            Self::SetGaskets(_) => "Head gaskets".into(),
            Self::SetRings { what, .. } | Self::SetRingLayout { what, .. } => what.clone(),
            Self::SetInstruments(_) => "Instruments".into(),
            Self::AddReading { reading, .. } => {
                format!("Reading of {}, cylinder {}", reading.of.name(), reading.cylinder)
            }
            Self::AddValue { value, .. } => format!("Reading {value}"),
            Self::DescribeReadings { detail, .. } => match **detail {
                ReadingDetail::Instrument(_) => "Instrument of readings".into(),
                ReadingDetail::State(_) => "How the parts were held".into(),
                ReadingDetail::Shim(_) => "Shim fitted at readings".into(),
                ReadingDetail::Note(_) => "Note on readings".into(),
            },
            Self::KeepValue { reason: Some(_), .. } => "Keep an odd reading".into(),
            Self::KeepValue { reason: None, .. } => "Flag a reading again".into(),
            Self::CorrectValue { to, .. } => format!("Reading put right: {to}"),
            Self::UseReading { cylinder, key, value, .. } => {
                format!("{} from its readings, cylinder {cylinder}: {value}", key.name())
            }
            Self::StrikeValue { reason: Some(_), .. } => "Strike a reading".into(),
            Self::StrikeValue { reason: None, .. } => "Count a reading again".into(),
            Self::SetBench { what, .. } => what.clone(),
            Self::AddLog(_) => "Log entry".into(),
            Self::KeepState { name, .. } => format!("Keep ‘{name}’"),
            Self::RenameState { from, to } => format!("‘{from}’ is called ‘{to}’"),
            Self::DropState(name) => format!("Drop ‘{name}’"),
            Self::RestoreState(name) => format!("Back to ‘{name}’"),
        }
    }
}

/// The shim that was added, taken out or changed.
fn shims_label(before: &[Shim], after: &[Shim]) -> String {
    let other = |all: &[Shim], in_all: &[Shim]| all.iter().find(|shim| !in_all.contains(shim)).cloned();
    let (gone, new) = (other(before, after), other(after, before));
    match (gone, new) {
        (Some(gone), None) => format!("Take {} shims out of the drawer", gone.thickness),
        (None, Some(new)) => format!("Put {} shims into the drawer", new.thickness),
        (Some(was), Some(now)) if was.thickness != now.thickness => {
            format!("Shims of {} are {}", was.thickness, now.thickness)
        }
        (Some(was), Some(now)) if was.count != now.count => {
            format!("Shims of {}: {} in the drawer", now.thickness, now.count)
        }
        (Some(was), Some(now)) if was.soft != now.soft => {
            format!("Shims of {}: {}", now.thickness, if now.soft { "soft" } else { "hard" })
        }
        (Some(_), Some(now)) => format!("Material of {} shims", now.thickness),
        (None, None) => "Shims in the drawer".into(),
    }
}

fn absent(what: &str) -> EditError {
    EditError::Absent { what: what.into() }
}

fn found(there: bool, sort: &str, label: &str) -> Result<(), EditError> {
    if there { Ok(()) } else { Err(absent(&format!("{sort} ‘{label}’"))) }
}

/// "Squish, at least: 1 mm to 0.9 mm"; "Level under one head: off".
fn limit_label(before: &Project, name: LimitName, to: Option<&LimitText>) -> String {
    let title = name.title();
    match (before.limits.text(name), to) {
        (_, None) => format!("{title}: off"),
        (Some(old), Some(new)) if old.value == new.value => format!("{title}: {}", new.source),
        (Some(old), Some(new)) => format!("{title}: {} to {}", old.value, new.value),
        (None, Some(new)) => format!("{title}: {}", new.value),
    }
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

/// The value that counted in this scope before the edit.
fn value_before(project: &Project, scope: &Scope, key: Key) -> Option<Quantity> {
    let entry = match scope {
        Scope::Nominal => project.engine.nominal.get(key),
        Scope::Cylinder(label) => {
            let index = project.cylinder_index(label)?;
            project.engine.entry(index, key).map(|(entry, _)| entry)
        }
    };
    entry.map(|entry| entry.value.clone())
}

/// The dimension, and the cylinder where there is more than one.
fn scoped_name(project: &Project, scope: &Scope, key: Key) -> String {
    match scope {
        Scope::Cylinder(label) if project.engine.cylinders.len() > 1 => {
            format!("{}, cylinder {label}", key.name())
        }
        _ => key.name().into(),
    }
}

/// For the middle of a sentence.
fn lower(name: String) -> String {
    let mut chars = name.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::super::demo;
    use super::*;

    fn length(text: &str) -> Quantity {
        Quantity::parse(Kind::Length, text).unwrap()
    }

    fn shim(label: &str, value: Quantity) -> Edit {
        let scope = Scope::Cylinder(label.into());
        Edit::SetDimension { scope, key: Key::BaseShim, value, known: Known::Measured }
    }

    #[test]
    fn a_dimension_is_set_as_typed_and_named_for_undo() {
        let project = demo();
        let edit = shim("2", length("10 thou"));
        assert_eq!(edit.label(&project), "Base shim, cylinder 2: 0.50 mm to 10 thou");
        let after = edit.apply(&project).unwrap();
        assert_eq!(after.dims(1).unwrap().get(Key::BaseShim), Some(0.254));
        assert_eq!(after.dims(0), project.dims(0));
        assert_eq!(after.known(1, Key::BaseShim), Some(Known::Measured));
    }

    #[test]
    fn what_is_not_there_or_of_the_wrong_kind_is_refused() {
        let project = demo();
        let error = shim("9", length("1 mm")).apply(&project).unwrap_err();
        assert_eq!(error.to_string(), "there is no cylinder ‘9’");
        let cc = Quantity::parse(Kind::Volume, "1 cc").unwrap();
        let error = shim("1", cc).apply(&project).unwrap_err();
        assert_eq!(error.to_string(), "base_shim is a length, and ‘1 cc’ is a volume");
        let mut engine = project.engine.clone();
        engine.heads.clear();
        let edit = Edit::SetEngine { what: "No heads".into(), engine: engine.into() };
        let error = edit.apply(&project).unwrap_err();
        assert_eq!(error.to_string(), "cylinder 1: names head ‘L’, which does not exist");
        let scope = Scope::Nominal;
        let error = Edit::ClearDimension { scope, key: Key::MockupDeck }.apply(&project).unwrap_err();
        assert_eq!(error.to_string(), "there is no Mock-up deck");
    }

    #[test]
    fn a_kept_state_comes_back() {
        let start = demo();
        let keep = Edit::KeepState { name: "as built".into(), date: "12 May".into() };
        let kept = keep.apply(&start).unwrap();
        let changed = shim("1", length("1 mm")).apply(&kept).unwrap();
        let back = Edit::RestoreState("as built".into()).apply(&changed).unwrap();
        assert_eq!(back.engine, start.engine);
        assert_ne!(changed.engine, start.engine);
        assert_eq!(Edit::DropState("as built".into()).apply(&back).unwrap(), start);
        assert!(Edit::DropState("as built".into()).apply(&start).is_err());
    }

    #[test]
    fn a_renamed_cylinder_takes_its_readings_and_rings_along() {
        let project = demo();
        let rename = |from: &str, to: &str| Edit::RenameCylinder { from: from.into(), to: to.into() };
        let after = rename("1", "left").apply(&project).unwrap();
        assert_eq!(after.engine.cylinders[0].label, "left");
        let named = |project: &Project, label: &str| {
            let readings = project.readings.iter().filter(|r| r.cylinder == label).count();
            let rings = project.rings.iter().flat_map(|r| &r.fitted).filter(|f| f.cylinder == label).count();
            (readings, rings)
        };
        assert!(named(&project, "1").0 > 0 && named(&project, "1").1 > 0, "the test needs both");
        assert_eq!((named(&after, "left"), named(&after, "1")), (named(&project, "1"), (0, 0)));
        assert_eq!(rename("left", "1").apply(&after).unwrap(), project);
        let error = rename("1", "2").apply(&project).unwrap_err();
        assert_eq!(error.to_string(), "cylinder 2: is called ‘2’ like another");
        assert_eq!(rename("9", "3").apply(&project).unwrap_err().to_string(), "there is no cylinder ‘9’");
    }

    #[test]
    fn a_limit_is_set_with_its_source_and_named_for_undo() {
        let project = demo();
        let set = |value: &str| Edit::SetLimit {
            name: LimitName::SquishMin,
            to: Some(LimitText { value: value.into(), source: "maker's sheet".into() }),
        };
        assert_eq!(set("40 thou").label(&project), "Squish, at least: 1.00 mm to 40 thou");
        let after = set("40 thou").apply(&project).unwrap();
        let given = after.limits.squish_min.as_ref().unwrap();
        assert_eq!((given.value.text(), given.source.as_str()), ("40 thou", "maker's sheet"));
        let error = set("no").apply(&project).unwrap_err();
        assert!(matches!(error, EditError::Limit(_)) && !error.hint().is_empty(), "{error}");
        let off = Edit::SetLimit { name: LimitName::SquishMin, to: None };
        assert_eq!(off.label(&project), "Squish, at least: off");
        assert_eq!(off.apply(&project).unwrap().limits.squish_min, None);
    }

    #[test]
    fn a_struck_value_stays_with_its_reason() {
        let project = demo();
        let strike =
            |reason: Option<&str>| Edit::StrikeValue { reading: 0, value: 1, reason: reason.map(Into::into) };
        let struck = strike(Some("burr")).apply(&project).unwrap();
        assert_eq!(struck.readings[0].values[1].struck.as_deref(), Some("burr"));
        assert_eq!(struck.readings[0].values[1].value, project.readings[0].values[1].value);
        assert_eq!(strike(None).apply(&struck).unwrap(), project);
    }

    #[test]
    fn a_value_put_right_leaves_the_wrong_one_in_the_record() {
        let project = demo();
        let before = project.readings[1].values.clone();
        let edit = Edit::CorrectValue { reading: 1, value: 0, to: length("1.22 mm") };
        let after = edit.apply(&project).unwrap();
        let values = &after.readings[1].values;
        assert_eq!(values.len(), before.len() + 1);
        assert_eq!(values[0].value, before[0].value);
        assert_eq!(values[0].struck.as_deref(), Some("written wrongly, should be 1.22 mm"));
        assert_eq!(values.last().unwrap().value.text(), "1.22 mm");
        assert_eq!(edit.label(&project), "Reading put right: 1.22 mm");
    }

    #[test]
    fn an_instrument_joins_the_list_with_its_first_reading() {
        let project = demo();
        let tool = crate::reading::catalogue::tools().iter().find(|tool| tool.id == "bore gauge").unwrap();
        let instrument = tool.instrument().unwrap();
        let how = crate::reading::sets::How { instrument: Some(instrument.id.clone()), ..Default::default() };
        let reading = how.reading("1", &crate::reading::Subject::Dimension(Key::Bore), None);
        let alone = Edit::AddReading { reading: Box::new(reading.clone()), instrument: None };
        assert!(alone.apply(&project).unwrap_err().to_string().contains("does not exist"));
        let edit = Edit::AddReading { reading: Box::new(reading), instrument: Some(Box::new(instrument)) };
        let after = edit.apply(&project).unwrap();
        assert_eq!(after.instruments.len(), project.instruments.len() + 1);
        let again = edit.apply(&after).unwrap();
        assert_eq!(again.instruments, after.instruments);
        let detail = Box::new(ReadingDetail::State(Some(State::Loose)));
        let described = Edit::DescribeReadings { readings: vec![0, 2], detail }.apply(&project).unwrap();
        let states: Vec<_> = described.readings[..3].iter().map(|r| r.state).collect();
        assert_eq!((states[0], states[2]), (Some(State::Loose), Some(State::Loose)));
        assert_eq!(states[1], project.readings[1].state);
    }

    #[test]
    fn a_reading_becomes_the_value_of_its_cylinder_in_one_step() {
        let project = demo();
        let edit = Edit::UseReading {
            cylinder: "2".into(),
            key: Key::MockupDeck,
            value: length("1.167 mm"),
            shim: Some(length("0.50 mm")),
        };
        let after = edit.apply(&project).unwrap();
        let dims = after.dims(1).unwrap();
        assert_eq!((dims.get(Key::MockupDeck), dims.get(Key::MockupShim)), (Some(1.167), Some(0.5)));
        assert_eq!(after.known(1, Key::MockupDeck), Some(Known::Measured));
        assert_eq!(after.dims(0), project.dims(0));
        assert_eq!(edit.label(&project), "Mock-up deck from its readings, cylinder 2: 1.167 mm");
    }
}
