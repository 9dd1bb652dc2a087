//! New engines: what is stated before the first dimension is typed.

use super::{Assembly, Bank, Construction, Cooling, Dimensions, Entry, Orientation, Project};
use crate::engine::{Key, Provenance};
use crate::quantity::{Quantity, UnitChoice};
use crate::reading::Instrument;

/// Greatest number of cylinders of an engine.
pub(crate) const MAX_CYLINDERS: usize = 16;

/// The layout of the cylinders of a new engine, seen from its front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Layout {
    /// All of them heads up.
    #[default]
    Upright,
    /// Lying, half of the heads to each side; to the right if there is one
    /// head.
    Lying,
    /// Leaning, half of the heads to each side, so many whole degrees between
    /// the two banks.
    Leaning(u16),
}

/// The description of a new engine before its dimensions.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEngine {
    /// The title.
    pub title: String,
    /// The construction.
    pub construction: Construction,
    /// Number of cylinders, from 1 to `MAX_CYLINDERS`.
    pub cylinders: usize,
    /// Number of heads, from 1 to the cylinders.
    pub heads: usize,
    /// The layout of the cylinders.
    pub standing: Layout,
    /// The cooling.
    pub cooling: Cooling,
    /// The units to read in.
    pub units: UnitChoice,
    /// The instruments that are to hand.
    pub instruments: Vec<Instrument>,
    /// Whether there is a gasket under the head.
    pub head_gasket: bool,
    /// Whether there is a gasket under each barrel, in addition to any shims.
    pub base_gasket: bool,
}

impl Default for NewEngine {
    /// Returns one cylinder, both gaskets in place, without instruments.
    fn default() -> Self {
        Self {
            title: "My engine".into(),
            construction: Construction::default(),
            cylinders: 1,
            heads: 1,
            standing: Layout::default(),
            cooling: Cooling::default(),
            units: UnitChoice::default(),
            instruments: Vec::new(),
            head_gasket: true,
            base_gasket: true,
        }
    }
}

impl NewEngine {
    /// Returns the number of cylinders under each head, the first heads getting
    /// one more where they don't divide.
    #[must_use]
    pub fn under_heads(&self) -> Vec<usize> {
        let cylinders = self.cylinders.clamp(1, MAX_CYLINDERS);
        let heads = self.heads.clamp(1, cylinders);
        (0..heads).map(|i| cylinders / heads + usize::from(i < cylinders % heads)).collect()
    }

    /// Returns the project: it has no dimensions except absent gaskets, which
    /// are 0 and assumed.
    ///
    /// ```
    /// use crowndeck::engine::Key;
    /// use crowndeck::project::{Layout, NewEngine};
    /// let twin = NewEngine { cylinders: 2, heads: 2, standing: Layout::Lying, ..NewEngine::default() };
    /// let engine = twin.project().engine;
    /// assert_eq!(engine.orientation(0).lean_deg(), -90.0);
    /// assert_eq!(engine.orientation(1).lean_deg(), 90.0);
    /// assert!(engine.missing(0).any(|key| key == Key::Bore));
    /// ```
    #[must_use]
    pub fn project(&self) -> Project {
        let mut engine = Assembly {
            cooling: self.cooling,
            nominal: self.absent_gaskets(),
            ..Assembly::begun(self.construction, &self.under_heads())
        };
        self.stand(&mut engine);
        Project {
            title: self.title.clone(),
            units: self.units,
            engine,
            instruments: self.instruments.clone(),
            ..Project::default()
        }
    }

    /// Returns the absent gaskets, as dimensions of 0.
    fn absent_gaskets(&self) -> Dimensions {
        let barrels = self.construction.has_barrels();
        let absent =
            [(Key::GasketThickness, !self.head_gasket), (Key::BaseGasket, barrels && !self.base_gasket)];
        let mut dimensions = Dimensions::default();
        for (key, _) in absent.into_iter().filter(|(_, absent)| *absent) {
            // 0 in the unit that the person reads in, as they would type it.
            let none = format!("0 {}", self.units.unit(key.kind()).symbol());
            if let Ok(value) = Quantity::parse(key.kind(), &none) {
                let note = "none, said when the engine was begun".to_owned();
                dimensions.set(key, Entry { value, known: Provenance::Assumed, note });
            }
        }
        dimensions
    }

    /// Puts the cylinders into banks, the first half of the heads to the left.
    fn stand(&self, engine: &mut Assembly) {
        let lean = |degrees: f64| {
            Quantity::parse_with_unit(&format!("{degrees} deg"))
                .map_or(Orientation::Upright, Orientation::Leaning)
        };
        let (left, right) = match self.standing {
            Layout::Upright => return,
            Layout::Lying => (Orientation::LyingLeft, Orientation::LyingRight),
            Layout::Leaning(between) => {
                let half = f64::from(between) / 2.0;
                (lean(-half), lean(half))
            }
        };
        let on_the_left = engine.heads.len() / 2;
        let heads: Vec<String> = engine.heads.iter().take(on_the_left).map(|h| h.label.clone()).collect();
        for cylinder in &mut engine.cylinders {
            let bank = if heads.contains(&cylinder.head) { "left" } else { "right" };
            cylinder.bank = Some(bank.into());
        }
        if on_the_left > 0 {
            engine.banks.push(Bank { label: "left".into(), stands: left });
        }
        engine.banks.push(Bank { label: "right".into(), stands: right });
    }
}

impl Project {
    /// Returns another engine of the same kind: its construction and layout,
    /// its limits, the stock of shims and gaskets, instruments and units. No
    /// dimension, no reading, no finding on its parts and no history comes
    /// along.
    #[must_use]
    pub fn another(&self) -> Self {
        let mut engine = Assembly { nominal: Dimensions::default(), clamp: None, ..self.engine.clone() };
        for cylinder in &mut engine.cylinders {
            cylinder.own = Dimensions::default();
        }
        Self {
            title: NewEngine::default().title,
            units: self.units,
            engine,
            limits: self.limits.clone(),
            shims: self.shims.clone(),
            gaskets: self.gaskets.clone(),
            instruments: self.instruments.clone(),
            ..Self::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{demos, text};
    use super::*;

    #[test]
    fn every_way_to_begin_gives_a_sound_file() {
        for construction in Construction::ALL {
            for standing in [Layout::Upright, Layout::Lying, Layout::Leaning(45)] {
                for (cylinders, heads) in [(1, 1), (2, 2), (5, 2), (40, 99)] {
                    let beginning = NewEngine {
                        construction,
                        cylinders,
                        heads,
                        standing,
                        head_gasket: false,
                        base_gasket: false,
                        ..NewEngine::default()
                    };
                    let project = beginning.project();
                    assert_eq!(project.check(), Vec::new(), "{beginning:?}");
                    assert_eq!(project.engine.cylinders.len(), cylinders.min(MAX_CYLINDERS));
                    let read = text::from_text(&text::to_text(&project).unwrap()).unwrap();
                    assert_eq!(read, project);
                }
            }
        }
    }

    #[test]
    fn five_under_two_heads_are_three_and_two_leaning_apart() {
        let five =
            NewEngine { cylinders: 5, heads: 2, standing: Layout::Leaning(90), ..NewEngine::default() };
        assert_eq!(five.under_heads(), [3, 2]);
        let engine = five.project().engine;
        let lean: Vec<f64> = (0..5).map(|i| engine.orientation(i).lean_deg()).collect();
        assert_eq!(lean, [-45.0, -45.0, -45.0, 45.0, 45.0]);
    }

    #[test]
    fn a_gasket_that_there_is_not_is_no_open_question_and_not_called_measured() {
        let bare = NewEngine { head_gasket: false, ..NewEngine::default() }.project();
        let entry = bare.engine.nominal.get(Key::GasketThickness).unwrap();
        assert_eq!((entry.value.base(), entry.known), (0.0, Provenance::Assumed));
        assert_eq!(bare.engine.nominal.get(Key::BaseGasket), None);
        assert_eq!(NewEngine::default().project().engine.nominal, Dimensions::default());
    }

    #[test]
    fn another_engine_takes_the_shop_along_and_leaves_the_measurements() {
        for demo in demos() {
            let one = demo.project().unwrap();
            let other = one.another();
            assert_eq!(other.check(), Vec::new(), "{}", demo.id);
            assert_eq!(
                (&other.limits, &other.shims, &other.gaskets, &other.instruments, other.units),
                (&one.limits, &one.shims, &one.gaskets, &one.instruments, one.units)
            );
            assert_eq!(
                (&other.engine.banks, &other.engine.heads, other.engine.construction),
                (&one.engine.banks, &one.engine.heads, one.engine.construction)
            );
            assert_eq!(
                (other.readings.len(), other.kept.len(), other.log.len(), other.bench.len()),
                (0, 0, 0, 0)
            );
            let required = one.engine.missing(0).count();
            assert_eq!(required, 0);
            assert!(other.engine.missing(0).count() >= 6, "{}", demo.id);
            for cylinder in 0..other.engine.cylinders.len() {
                assert!(Key::all().all(|key| other.engine.entry(cylinder, key).is_none()));
            }
        }
    }
}
