//! Names of edits in the list of steps that can be undone.

use super::{Edit, ReadingDetail, Scope, TextField};
use crate::engine::Key;
use crate::project::{Cooling, Project};
use crate::quantity::Quantity;
use crate::schema::limit::{LimitId, LimitText};
use crate::schema::{Duty, DutyField, Shim, Usage};

impl Edit {
    /// Returns the name of the step for undo, such as "Base shim: 0.50 mm to
    /// 0.25 mm"; `before` is the project before the edit.
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
            Self::SetLimit { id, to } => limit_label(before, *id, to.as_ref()),
            Self::SetLimits(_) => "Limits".into(),
            Self::SetDuty(to) => duty_label(&before.duty, to),
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

/// Returns the name of the shim that was added, removed or changed.
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

/// Returns "Squish, at least: 1 mm to 0.9 mm"; "Level under one head: off".
fn limit_label(before: &Project, id: LimitId, to: Option<&LimitText>) -> String {
    let title = id.row().name;
    match (before.limits.text(id), to) {
        (_, None) => format!("{title}: off"),
        (Some(old), Some(new)) if old.value == new.value => format!("{title}: {}", new.source),
        (Some(old), Some(new)) => format!("{title}: {} to {}", old.value, new.value),
        (None, Some(new)) => format!("{title}: {}", new.value),
    }
}

/// Returns the value that counted in this scope before the edit.
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

/// Returns the name of the dimension, and of the cylinder where there is more
/// than one.
fn scoped_name(project: &Project, scope: &Scope, key: Key) -> String {
    match scope {
        Scope::Cylinder(label) if project.engine.cylinders.len() > 1 => {
            format!("{}, cylinder {label}", key.name())
        }
        _ => key.name().into(),
    }
}

/// Returns the name in lower case for the middle of a sentence.
fn lower(name: String) -> String {
    let mut chars = name.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// What of the duty was changed: "Greatest speed: 3600 rpm to 4000 rpm".
fn duty_label(before: &Duty, after: &Duty) -> String {
    if before.usage != after.usage {
        return format!("Use: {}", after.usage.map_or("not said", Usage::name));
    }
    let Some(field) = DutyField::ALL.into_iter().find(|&field| before.text(field) != after.text(field))
    else {
        return "Duty".into();
    };
    let title = field.title();
    match (before.text(field).as_str(), after.text(field).as_str()) {
        (_, "") => format!("{title}: cleared"),
        ("", new) => format!("{title}: {}", field.with_unit(new)),
        (old, new) => format!("{title}: {} to {}", field.with_unit(old), field.with_unit(new)),
    }
}
