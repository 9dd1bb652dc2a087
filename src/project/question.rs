//! Makes the question to the studies from a project.

use super::{Construction, Cooling, Project};
use crate::engine::{Key, Provenance};
use crate::reading::{Evaluation, evaluate};
use crate::schema::limit::{Limit, LimitId};
use crate::study::build::{self, Build, Cycle, HeadMaterial, Ignition, RodMaterial};
use crate::study::{
    CylinderInput, DimensionProvenance, HeadInput, Measured, Question, TargetRatio, ValveGap,
};

impl Project {
    /// Returns everything that the studies are asked about this project.
    #[must_use]
    pub fn question(&self) -> Question {
        // An uncertainty that overflows can't be reported.
        let evaluations = evaluate(&self.readings, &self.instruments).unwrap_or_default();
        let heads = self.engine.heads.iter().map(|head| HeadInput {
            label: head.label.clone(),
            level: head.level,
            tolerance: head.tolerance.as_ref().map(|q| Limit::builder(q.base())),
            doubt: None,
        });
        let cylinders = (0..self.engine.cylinders.len()).filter_map(|i| self.cylinder_input(i, &evaluations));
        let mut question = Question {
            cylinders: cylinders.collect(),
            heads: heads.collect(),
            limits: self.limits.clone(),
            target: self.limits.value(LimitId::TargetRatio).and_then(|t| TargetRatio::new(t).ok()),
            build: self.build(),
        };
        question.propagate();
        question
    }

    fn cylinder_input(&self, index: usize, evaluations: &[Evaluation]) -> Option<CylinderInput> {
        let cylinder = self.engine.cylinders.get(index)?;
        let heads = &self.engine.heads;
        let mut known = DimensionProvenance::all(Provenance::Assumed);
        for key in Key::all() {
            known.set(key, self.known(index, key).unwrap_or_default());
        }
        let measured = Measured::of(&cylinder.label, evaluations);
        Some(CylinderInput {
            label: cylinder.label.clone(),
            // A head that does not exist is a fault that `check` reports; here the
            // cylinder is under none.
            head: heads.iter().position(|head| head.label == cylinder.head).unwrap_or(heads.len()),
            dims: self.dims(index)?,
            known,
            valve_gap: ValveGap::of(&measured),
            measured,
            ..CylinderInput::default()
        })
    }

    /// Returns construction and use. Materials and fuel are free words in the
    /// document; only what they plainly say is taken.
    fn build(&self) -> Build {
        let says = |text: &str, word: &str| text.to_lowercase().contains(word);
        let (construction, cycle) = match self.engine.construction {
            Construction::SeparateBarrels => (build::Construction::Barrels, Cycle::FourStroke),
            Construction::Block | Construction::WetLiners => (build::Construction::Block, Cycle::FourStroke),
            Construction::TwoStroke => (build::Construction::Barrels, Cycle::TwoStroke),
        };
        let head = &self.engine.materials.head;
        let fuel = &self.duty.fuel;
        Build {
            construction,
            cycle,
            ignition: match (says(fuel, "diesel"), says(fuel, "indirect")) {
                (true, false) => Ignition::DieselDirect,
                (true, true) => Ignition::DieselIndirect,
                (false, _) => Ignition::Spark,
            },
            cooling: Some(match self.engine.cooling {
                Cooling::Air => build::Cooling::Air,
                Cooling::Water => build::Cooling::Water,
            }),
            head: if says(head, "iron") {
                Some(HeadMaterial::Iron)
            } else if says(head, "alumin") || says(head, "alloy") {
                Some(HeadMaterial::Alloy)
            } else {
                None
            },
            rods: if says(&self.duty.rod.material, "alumin") {
                RodMaterial::Aluminium
            } else {
                RodMaterial::Steel
            },
            fuel_ron: ron_number(fuel),
            max_rpm: self.duty.max_rpm,
            usage: self.duty.usage.unwrap_or_default(),
        }
    }
}

/// Returns the number before "RON" in "petrol, 87 RON".
fn ron_number(fuel: &str) -> Option<f64> {
    let words: Vec<&str> = fuel.split(|c: char| c.is_whitespace() || c == ',' || c == ';').collect();
    let place = words.iter().position(|word| *word == "RON")?;
    words.get(place.checked_sub(1)?)?.parse().ok().filter(|ron: &f64| ron.is_finite())
}

#[cfg(test)]
mod tests {
    use super::super::{demo, demos};
    use super::*;

    #[test]
    fn octane_is_taken_where_it_is_plainly_said() {
        assert_eq!(ron_number("petrol, 87 RON"), Some(87.0));
        assert_eq!(ron_number("petrol, 98 RON with oil"), Some(98.0));
        assert_eq!(ron_number("petrol, any pump grade"), None);
        assert_eq!(ron_number("RON 95"), None);
    }

    #[test]
    fn the_flat_twin_is_asked_as_it_stands_in_its_file() {
        let question = demo().question();
        assert_eq!(question.cylinders.len(), 2);
        assert_eq!(question.cylinders[1].dims.get(Key::RodLength), Some(118.03));
        assert_eq!(question.limits.value(LimitId::SquishMin), Some(1.0));
        assert_eq!(question.target.map(TargetRatio::get), Some(7.8));
        assert_eq!(question.build.fuel_ron, Some(87.0));
    }

    #[test]
    fn every_cylinder_of_every_demo_stands_under_its_head() {
        for demo in demos() {
            let question = demo.project().expect("a demo reads").question();
            for cylinder in &question.cylinders {
                assert!(cylinder.head < question.heads.len(), "{}", cylinder.label);
            }
        }
    }
}
