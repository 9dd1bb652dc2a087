//! The conditions of the next reading, and the mean that would follow from
//! another decision on one.

use super::Project;
use crate::engine::Key;
use crate::reading::sets::How;
use crate::reading::{Estimate, Instrument, State, Subject, Value, catalogue, evaluate};

impl Project {
    /// Returns how the next reading of this is most likely taken, with its
    /// instrument: as the last one of the same thing, else with the first
    /// instrument that suits it and clamped as it will run. The shims are those
    /// that are fitted now.
    #[must_use]
    pub fn next_reading(&self, cylinder: &str, of: &Subject, date: &str) -> (How, Option<Instrument>) {
        let alike = |r: &&crate::reading::Reading| r.of == *of;
        let own = self.readings.iter().rev().filter(alike).find(|r| r.cylinder == cylinder);
        let last = own.or_else(|| self.readings.iter().rev().find(alike));
        let offered = catalogue::offered(of, &self.instruments);
        let named = last.and_then(|r| r.instrument.as_deref());
        let suits = |i: &&Instrument| catalogue::Tool::with_id(&i.id).is_some_and(|tool| tool.reads(of));
        let instrument = offered
            .iter()
            .find(|i| Some(i.id.as_str()) == named)
            .or_else(|| offered.iter().find(suits))
            .cloned();
        let above_piston =
            matches!(of, Subject::Deck | Subject::Squish | Subject::WholeFill | Subject::PistonToValve(_));
        let state = last.and_then(|r| r.state).or_else(|| above_piston.then_some(State::Clamped));
        let shims = above_piston && self.engine.construction.has_barrels();
        let fitted = || {
            let index = self.cylinder_index(cylinder)?;
            Some(self.engine.entry(index, Key::BaseShim)?.0.value.clone())
        };
        let how = How {
            instrument: instrument.as_ref().map(|i| i.id.clone()),
            state,
            shim: if shims { fitted() } else { None },
            date: date.to_owned(),
        };
        (how, instrument)
    }

    /// Returns the mean of all values read with reading `reading` of the same
    /// thing in the same cylinder, if its value number `value` counted or did
    /// not; both from 0. `None` where no value would count, or where there is
    /// no such value.
    #[must_use]
    pub fn mean_if(&self, reading: usize, value: usize, counts: bool) -> Option<Estimate> {
        let asked = self.readings.get(reading)?;
        let mut alike = Vec::new();
        for (index, other) in self.readings.iter().enumerate() {
            if other.cylinder != asked.cylinder || other.of != asked.of {
                continue;
            }
            let mut other = other.clone();
            if index == reading {
                let Value { struck, .. } = other.values.get_mut(value)?;
                *struck = (!counts).then(String::new);
            }
            alike.push(other);
        }
        evaluate(&alike, &self.instruments).ok()?.into_iter().next()?.estimate
    }
}

#[cfg(test)]
mod tests {
    use super::super::demo;
    use super::*;

    #[test]
    fn the_next_reading_is_taken_like_the_last() {
        let project = demo();
        let (how, instrument) = project.next_reading("2", &Subject::Deck, "today");
        assert_eq!((how.instrument.as_deref(), how.state), (Some("indicator"), Some(State::Clamped)));
        assert_eq!(how.shim.map(|shim| shim.base()), Some(0.5));
        assert_eq!(how.date, "today");
        assert_eq!(instrument.map(|i| i.name), Some("Dial indicator on a bridge".to_owned()));
        // Never read before: a tool from the catalogue that suits it.
        let (how, _) = project.next_reading("1", &Subject::Dimension(Key::Bore), "");
        assert_eq!((how.instrument.as_deref(), how.state, how.shim), (Some("telescoping gauge"), None, None));
    }

    /// The second chamber of the flat twin: 33.8, 33.8 and a bubble at 32.9.
    #[test]
    fn both_ways_to_decide_are_known_beforehand() {
        let project = demo();
        let chamber = Subject::Dimension(Key::ChamberVolume);
        let reading = project.readings.iter().position(|r| r.cylinder == "2" && r.of == chamber).unwrap();
        let mean = |counts| project.mean_if(reading, 2, counts).unwrap().value;
        assert!((mean(true) - 33.5).abs() < 1e-9 && (mean(false) - 33.8).abs() < 1e-9);
        assert_eq!(project.mean_if(reading, 9, true), None);
        assert_eq!(project.mean_if(999, 0, true), None);
    }
}
