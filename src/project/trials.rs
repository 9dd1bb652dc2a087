//! Trials: gaskets, openings and cuts that could be made, put into the engine
//! to see their consequences, as assumed values until somebody measures them.

use super::{Assembly, Edit, Entry, Project};
use crate::advise::cuts::{Cut, after};
use crate::advise::matching::Opening;
use crate::engine::{Dims, Key, Provenance};
use crate::quantity::{Kind, Quantity, QuantityError};
use crate::schema::HeadGasket;

/// The note on a value of a cut that was not made yet.
const CUT: &str = "after a cut that is not made yet";
const OPENED: &str = "after the chamber is opened; fill it again then";

impl Assembly {
    /// Sets a dimension of these cylinders: where they are all of them, for the
    /// engine.
    fn give(&mut self, cylinders: &[usize], key: Key, entry: &Entry) {
        let all = (0..self.cylinders.len()).all(|place| cylinders.contains(&place));
        if all {
            self.nominal.set(key, entry.clone());
        }
        for place in cylinders {
            let Some(cylinder) = self.cylinders.get_mut(*place) else { continue };
            if all {
                cylinder.own.clear(key);
            } else {
                cylinder.own.set(key, entry.clone());
            }
        }
    }

    /// Sets every dimension of one cylinder in which `then` differs from its
    /// present one, rounded to a thousandth.
    fn become_like(
        &mut self,
        place: usize,
        now: &Dims,
        then: &Dims,
        note: &str,
    ) -> Result<(), QuantityError> {
        for key in Key::all() {
            let (Some(value), was) = (then.get(key), now.get(key)) else { continue };
            if was.is_some_and(|was| (was - value).abs() < 1e-9) {
                continue;
            }
            let value = Quantity::of(key.kind(), (value * 1000.0).round() / 1000.0)?;
            let entry = Entry { value, known: Provenance::Assumed, note: note.to_owned() };
            self.give(&[place], key, &entry);
        }
        Ok(())
    }
}

impl Project {
    /// Returns the edit that puts a head gasket under the heads of these
    /// cylinders, crushed as its maker says.
    #[must_use]
    pub fn fit_gasket(&self, cylinders: &[usize], gasket: &HeadGasket) -> Edit {
        let mut engine = self.engine.clone();
        let entry = |value: &Quantity| Entry {
            value: value.clone(),
            known: Provenance::Maker,
            note: "from the list of gaskets, not yet measured".into(),
        };
        engine.give(cylinders, Key::GasketThickness, &entry(&gasket.crushed));
        if let Some(bore) = &gasket.bore {
            engine.give(cylinders, Key::GasketBore, &entry(bore));
        }
        Edit::SetEngine { what: format!("Fit head gasket ‘{}’", gasket.name), engine: Box::new(engine) }
    }

    /// Returns the edit that puts cuts into the engine as a trial, as one step.
    ///
    /// # Errors
    /// When a value can't be written.
    pub fn try_cuts(&self, what: String, cuts: &[Cut]) -> Result<Edit, QuantityError> {
        let mut engine = self.engine.clone();
        for cut in cuts {
            for &place in &cut.cylinders {
                let Some(now) = self.dims(place) else { continue };
                if let Some(then) = after(&now, cut.of, cut.remove_mm, &self.engine.chamber) {
                    engine.become_like(place, &now, &then, CUT)?;
                }
            }
        }
        Ok(Edit::SetEngine { what, engine: Box::new(engine) })
    }

    /// Returns the edit that puts opened chambers into the engine as a trial,
    /// as one step.
    ///
    /// # Errors
    /// When a value can't be written.
    pub fn try_openings(&self, what: String, openings: &[Opening]) -> Result<Edit, QuantityError> {
        let mut engine = self.engine.clone();
        for opening in openings.iter().filter(|opening| opening.open_cc > 5e-4) {
            let cc = (opening.leave_cc() * 1000.0).round() / 1000.0;
            let value = Quantity::of(Kind::Volume, cc)?;
            let entry = Entry { value, known: Provenance::Assumed, note: OPENED.to_owned() };
            engine.give(&[opening.cylinder], Key::ChamberVolume, &entry);
        }
        Ok(Edit::SetEngine { what, engine: Box::new(engine) })
    }
}

#[cfg(test)]
mod tests {
    use super::super::demos;
    use super::*;
    use crate::advise::cuts::{Goal, Where, cuts};
    use crate::advise::matching;
    use crate::engine::Engine;

    fn demo(id: &str) -> Project {
        demos().iter().find(|demo| demo.id == id).unwrap().project().unwrap()
    }

    fn ratio(project: &Project, place: usize) -> f64 {
        Engine::new(project.dims(place).unwrap()).unwrap().figures().static_ratio
    }

    #[test]
    fn a_cut_tried_in_the_engine_gives_what_it_promised_and_says_that_it_is_not_made() {
        let project = demo("tarnbeck-ft62");
        let found =
            cuts(&project.question(), &[0], Where::CaseFace, Goal::Ratio(8.2), &project.engine.chamber);
        let edit = project.try_cuts("Try a cut".into(), &found.unwrap()).unwrap();
        let next = edit.apply(&project).unwrap();
        // Rounded to a thousandth of a millimetre.
        assert!((ratio(&next, 0) - 8.2).abs() < 1e-3, "{}", ratio(&next, 0));
        assert!((ratio(&next, 1) - ratio(&project, 1)).abs() < 1e-12);
        let (entry, _) = next.engine.entry(0, Key::CaseHeight).unwrap();
        assert_eq!((entry.known, entry.note.as_str()), (Provenance::Assumed, CUT));
    }

    #[test]
    fn a_gasket_goes_under_all_cylinders_or_under_those_of_one_head() {
        let project = demo("oldermoor-t4");
        let gasket = project.gaskets.last().unwrap().clone();
        let all: Vec<usize> = (0..project.engine.cylinders.len()).collect();
        let next = project.fit_gasket(&all, &gasket).apply(&project).unwrap();
        for place in &all {
            assert_eq!(next.dims(*place).unwrap().get(Key::GasketThickness), Some(gasket.crushed.base()));
            assert!(next.engine.cylinders[*place].own.get(Key::GasketThickness).is_none());
        }
        let some = project.fit_gasket(&all[..2], &gasket).apply(&project).unwrap();
        assert_eq!(
            some.dims(3).unwrap().get(Key::GasketThickness),
            project.dims(3).unwrap().get(Key::GasketThickness)
        );
    }

    #[test]
    fn chambers_opened_to_match_have_one_ratio() {
        let project = demo("sorrendel-f6");
        let found = matching::open(&project.question(), matching::Goal::Ratios).unwrap();
        let next = project.try_openings("Open".into(), &found).unwrap().apply(&project).unwrap();
        for place in 0..6 {
            assert!((ratio(&next, place) - ratio(&next, 0)).abs() < 1e-3);
        }
    }
}
