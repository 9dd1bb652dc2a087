//! Renaming of a cylinder, a head or a bank wherever it is named, and removal
//! of a cylinder with everything that refers to it.

use super::{Assembly, Project};

impl Project {
    /// Renames a cylinder in the engine, its readings and its rings, and
    /// returns whether there was one. Kept states stay as they were kept.
    pub(super) fn rename_cylinder(&mut self, from: &str, to: &str) -> bool {
        let Some(cylinder) = self.engine.cylinders.iter_mut().find(|cylinder| cylinder.label == from) else {
            return false;
        };
        to.clone_into(&mut cylinder.label);
        let readings = self.readings.iter_mut().map(|reading| &mut reading.cylinder);
        let rings =
            self.rings.iter_mut().flat_map(|ring| &mut ring.fitted).map(|fitted| &mut fitted.cylinder);
        for label in readings.chain(rings).filter(|label| *label == from) {
            to.clone_into(label);
        }
        true
    }

    /// Removes a cylinder with its readings and its rings, and returns whether
    /// there was one.
    pub(super) fn remove_cylinder(&mut self, label: &str) -> bool {
        if self.cylinder_index(label).is_none() {
            return false;
        }
        self.engine = self.engine.without_cylinder(label);
        self.readings.retain(|reading| reading.cylinder != label);
        for ring in &mut self.rings {
            ring.fitted.retain(|fitted| fitted.cylinder != label);
        }
        true
    }
}

impl Assembly {
    /// Renames a head and returns whether there was one.
    pub(super) fn rename_head(&mut self, from: &str, to: &str) -> bool {
        let Some(head) = self.heads.iter_mut().find(|head| head.label == from) else { return false };
        to.clone_into(&mut head.label);
        for cylinder in self.cylinders.iter_mut().filter(|cylinder| cylinder.head == from) {
            to.clone_into(&mut cylinder.head);
        }
        true
    }

    /// Renames a bank and returns whether there was one.
    pub(super) fn rename_bank(&mut self, from: &str, to: &str) -> bool {
        let Some(bank) = self.banks.iter_mut().find(|bank| bank.label == from) else { return false };
        to.clone_into(&mut bank.label);
        for cylinder in self.cylinders.iter_mut().filter(|cylinder| cylinder.bank.as_deref() == Some(from)) {
            cylinder.bank = Some(to.to_owned());
        }
        true
    }
}
