//! Makes the question of the shims from a project, and edits from its answer.

use super::{Assembly, Edit, Entry, Project};
use crate::advise::gaskets::on_base;
use crate::advise::matching::Locks;
use crate::advise::shims::{Clamp, Fit, Remeasurement, ShimQuestion, Stock};
use crate::engine::{Engine, Key, Provenance};
use crate::quantity::{Kind, Quantity, QuantityError, Unit};
use crate::reading::{Estimate, Reading, Subject, evaluate};
use crate::schema::{Aim, Margin};

impl Project {
    /// Returns the question about the shims under the barrels.
    ///
    /// The stock is all that can be fitted, including the shims that lie under
    /// a barrel now. The cylinders of a block are one casting; separate barrels
    /// are one where they are declared to share a barrel block.
    #[must_use]
    pub fn shim_ask(&self, margin: Margin, aim: Aim) -> ShimQuestion {
        let block = self.engine.construction.is_block();
        let castings: Vec<usize> = (0..self.engine.cylinders.len())
            .map(|place| if block { 0 } else { self.engine.casting(place) })
            .collect();
        ShimQuestion {
            question: self.question(),
            stock: Stock::of(&self.shims),
            inch_stock: self.shims.first().is_some_and(|shim| is_by_the_inch(&shim.thickness)),
            castings,
            clamp: self.engine.clamp.as_ref().map(|clamp| Clamp {
                engagement_mm: clamp.engagement.base(),
                with_shim_mm: clamp.with_shim.as_ref().map_or(0.0, Quantity::base),
                least_mm: clamp.least.base(),
            }),
            margin,
            aim,
        }
    }

    /// Returns the parts that can't be moved to another hole: the cylinders of
    /// a block, and barrels that share a casting.
    #[must_use]
    pub fn pairing_locks(&self) -> Locks {
        let count = self.engine.cylinders.len();
        let block = self.engine.construction.is_block();
        let shared = |place: usize| {
            let casting = self.engine.casting(place);
            (0..count).any(|other| other != place && self.engine.casting(other) == casting)
        };
        Locks { barrels: (0..count).map(|place| block || shared(place)).collect(), ..Locks::default() }
    }

    /// Returns the question with the margin and aim of this project.
    #[must_use]
    pub fn shims_as_chosen(&self) -> ShimQuestion {
        self.shim_ask(self.choosing.margin, self.choosing.aim)
    }

    /// Returns the edit that puts a choice under the barrels, as one step: each
    /// shim as thick as its marking in the stock, until somebody measures it. A
    /// port whose closing is known moves with its barrel, until somebody reads
    /// it again.
    ///
    /// # Errors
    /// When a thickness can't be written; a choice of this project has none.
    pub fn fit_shims(&self, what: String, fits: &[Fit]) -> Result<Edit, QuantityError> {
        let mut engine: Assembly = self.engine.clone();
        for fit in fits {
            let Some(cylinder) = engine.cylinders.get_mut(fit.cylinder) else { continue };
            let value = self.stack(&fit.stack_mm)?;
            let now = self.engine.dims(fit.cylinder).unwrap_or_default();
            let closes = on_base(&now, fit.height_mm).get(Key::PortClosing);
            if let Some(closes) = closes.filter(|_| closes != now.get(Key::PortClosing)) {
                let value = Quantity::of(Kind::Angle, (closes * 100.0).round() / 100.0)?;
                let note = "follows from the base gasket; read it again on the wheel".into();
                cylinder.own.set(Key::PortClosing, Entry { value, known: Provenance::Assumed, note });
            }
            let note = if fit.stack_mm.is_empty() {
                String::new()
            } else {
                "chosen from the drawer, not yet measured".into()
            };
            cylinder.own.set(Key::BaseShim, Entry { value, known: Provenance::Maker, note });
        }
        Ok(Edit::SetEngine { what, engine: Box::new(engine) })
    }

    /// Returns the deck of a cylinder, from 0, that was read with the shims
    /// that are under it now, against the one that was expected of them: from
    /// readings over other shims where there are any, else as it was computed.
    /// `None` where none was read with these shims.
    #[must_use]
    pub fn remeasurement(&self, cylinder: usize) -> Option<Remeasurement> {
        let engine = Engine::new(self.dims(cylinder)?).ok()?;
        let label = &self.engine.cylinders.get(cylinder)?.label;
        let now = engine.dims().filled(Key::BaseShim)?;
        let is_now =
            |reading: &&Reading| reading.shim.as_ref().is_some_and(|shim| (shim.base() - now).abs() < 1e-9);
        let own = || self.readings.iter().filter(|r| r.cylinder == *label && r.of == Subject::Deck);
        let estimate = |readings: Vec<Reading>| {
            evaluate(&readings, &self.instruments).ok()?.into_iter().next()?.estimate
        };
        let read = estimate(own().filter(is_now).cloned().collect())?;
        let before = estimate(own().filter(|reading| !is_now(reading)).cloned().collect());
        let figures = engine.figures();
        let (expected, doubts) = match &before {
            Some(Estimate { value, doubts, shim: Some(shim) }) => (value + now - shim, doubts.as_slice()),
            // A deck that was adopted from these readings is no second route.
            _ if engine.dims().filled(Key::MockupShim) == Some(now) => (figures.chain_deck, &[][..]),
            _ => (figures.deck_clearance, &[][..]),
        };
        Some(Remeasurement::of(expected, doubts, &read))
    }

    /// Returns a stack as a sum of its foils, each as it is in the stock: "10
    /// thou+20 thou".
    fn stack(&self, foils_mm: &[f64]) -> Result<Quantity, QuantityError> {
        let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
        let texts: Vec<String> = foils_mm
            .iter()
            .map(|&mm| match self.shims.iter().find(|shim| same(shim.thickness.base(), mm)) {
                Some(shim) => Ok(shim.thickness.text().to_owned()),
                None => Quantity::of(Kind::Length, mm).map(|q| q.text().to_owned()),
            })
            .collect::<Result<_, _>>()?;
        if texts.is_empty() {
            return Quantity::parse(Kind::Length, "0 mm");
        }
        Quantity::parse(Kind::Length, &texts.join(" + "))
    }
}

fn is_by_the_inch(thickness: &Quantity) -> bool {
    matches!(thickness.unit(), Unit::Inch | Unit::Thou)
}

#[cfg(test)]
mod tests {
    use super::super::{History, demo};
    use super::*;
    use crate::advise::shims::{Budget, MAX_NODES, answer};

    #[test]
    fn a_choice_goes_under_the_barrels_in_one_step_and_its_leaves_stay_legible() {
        let project = demo();
        let ask = project.shim_ask(Margin::None, Aim::Ratio);
        let all = answer(&ask, &mut Budget::new(MAX_NODES, &|| false));
        let choice = &all.heads[0].choices[0];
        let edit = project.fit_shims("Fit choice 1".into(), &choice.fits).expect("it can be written");
        let mut history = History::new(project);
        history.apply(&edit, None).expect("it can be made");
        let (entry, _) = history.present().engine.entry(0, Key::BaseShim).expect("it is given");
        assert!((entry.value.base() - choice.fits[0].height_mm).abs() < 1e-9);
        assert_eq!(entry.known, Provenance::Maker, "what nobody measured is not called measured");
        assert!(history.undo().is_some());
    }
}
