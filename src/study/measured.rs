//! What the readings of one cylinder say about its dimensions and figures.

use super::judging::CHAIN_AGREES_MM;
use super::question::ExpandedUncertainty;
use super::uncertainty::{Components, Figure, Propagated, first_order};
use crate::engine::{Dims, Engine, Group, Key, Stack};
use crate::quantity::Kind;
use crate::reading::{Estimate, Evaluation, Origin, Outlier, Subject, UncertaintyComponent};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Whether a reading of the deck on the assembled parts speaks for this
/// dimension, together with all others of the chain. Not for the shim: the one
/// that was there is told with the reading.
pub(crate) fn is_read_with_deck(key: Key) -> bool {
    key.row().stack != Stack::Apart && key != Key::BaseShim
}

/// The readings of one cylinder, evaluated.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Dimensions read on the parts.
    pub dimensions: BTreeMap<Key, Estimate>,
    /// The deck, read on a trial assembly.
    pub deck: Option<Estimate>,
    /// The squish, by squeezed solder.
    pub squish: Option<Estimate>,
    /// The whole clearance volume, filled through the plug hole.
    pub fill: Option<Estimate>,
    /// Values that stand out, with what was read there.
    pub odd: Vec<(Subject, Outlier)>,
    /// All that was found in the readings of this cylinder.
    pub evaluations: Arc<[Evaluation]>,
    /// Doubts that the person states, in place of what readings give.
    pub stated: Components,
}

impl Measured {
    /// What was read of the cylinder with this label.
    #[must_use]
    pub fn of(cylinder: &str, evaluations: &[Evaluation]) -> Self {
        let own: Arc<[Evaluation]> = evaluations.iter().filter(|e| e.cylinder == cylinder).cloned().collect();
        let mut measured = Self { evaluations: Arc::clone(&own), ..Self::default() };
        for evaluation in own.iter() {
            measured.odd.extend(evaluation.odd.iter().map(|odd| (evaluation.of.clone(), odd.clone())));
            let Some(estimate) = evaluation.estimate.clone() else { continue };
            match &evaluation.of {
                Subject::Dimension(key) => {
                    measured.dimensions.insert(*key, estimate);
                }
                Subject::Deck => measured.deck = Some(estimate),
                Subject::Squish => measured.squish = Some(estimate),
                Subject::WholeFill => measured.fill = Some(estimate),
                Subject::RingGap(_) | Subject::PistonToValve(_) => {}
            }
        }
        measured
    }

    /// What was found in the readings of one thing.
    #[must_use]
    pub fn evaluation(&self, of: &Subject) -> Option<&Evaluation> {
        self.evaluations.iter().find(|evaluation| evaluation.of == *of)
    }

    /// Forgets what was read of a dimension: another value stands for it now.
    pub fn forget(&mut self, key: Key) {
        self.dimensions.remove(&key);
        if key.row().group == Group::Mockup {
            self.deck = None;
        }
    }

    /// The engine with the doubts of its dimensions, as far as readings know
    /// them.
    ///
    /// A value that was typed beside its readings keeps standing; the
    /// distance from their mean is then one more doubt (an effect that is
    /// known and not corrected; JCGM 100:2008, F.2.4.5). A value further away
    /// than the readings explain is not theirs, and takes nothing from them.
    ///
    /// The deck of the chain is treated alike: where it agrees with the deck
    /// that was read, the doubt of the deck is that of the reading, and the
    /// chain's own doubts do not count again. The engine that is given back
    /// then has a mock-up reading of the same deck; its figures are the same.
    #[must_use]
    pub fn propagated(&self, engine: &Engine) -> (Engine, Components) {
        let mut doubts = self.of_dimensions(engine.dims());
        let mut propagated = *engine;
        if let Some((with_reading, deck)) = self.confirmed_deck(engine) {
            propagated = with_reading;
            doubts.set(Key::MockupDeck, deck);
            if self.deck.as_ref().and_then(|d| d.shim) == engine.dims().filled(Key::BaseShim) {
                // The very shims that were under it when it was read.
                doubts.set(Key::BaseShim, Vec::new());
            }
        }
        for (key, stated) in self.stated.iter() {
            doubts.set(key, stated.to_vec());
        }
        (propagated, doubts)
    }

    /// The doubts of the dimensions themselves, whatever was read of the deck.
    #[must_use]
    pub fn of_dimensions(&self, dims: &Dims) -> Components {
        let mut doubts = Components::new();
        for (&key, estimate) in &self.dimensions {
            if let Some(known) = dims.get(key).and_then(|value| standing(value, estimate, key.kind())) {
                doubts.set(key, known);
            }
        }
        for (key, stated) in self.stated.iter() {
            doubts.set(key, stated.to_vec());
        }
        doubts
    }

    /// The engine with the deck that was read in place of its chain, at the
    /// value that it has, and the doubts of that value.
    fn confirmed_deck(&self, engine: &Engine) -> Option<(Engine, Vec<UncertaintyComponent>)> {
        let read = self.deck.as_ref()?;
        let dims = engine.dims();
        let shim_now = dims.filled(Key::BaseShim)?;
        let shim_then = read.shim.or_else(|| dims.filled(Key::MockupShim))?;
        // What the deck would be with the shim of the reading.
        let deck_then = engine.figures().deck_clearance - (shim_now - shim_then);
        let known = standing(deck_then, read, Kind::Length)?;
        if dims.get(Key::MockupDeck).is_some() {
            return Some((*engine, known));
        }
        // A doubt that is stated for a part of the chain asks for the chain.
        if self.stated.iter().any(|(key, _)| is_read_with_deck(key)) {
            return None;
        }
        let read = dims.with(Key::MockupDeck, deck_then).with(Key::MockupShim, shim_then);
        Engine::new(read).ok().map(|engine| (engine, known))
    }

    /// The figures with their uncertainty to first order.
    #[must_use]
    pub fn first_order(&self, engine: &Engine) -> Vec<Propagated> {
        let (engine, doubts) = self.propagated(engine);
        first_order(&engine, &doubts)
    }

    /// The expanded uncertainty of each figure; none where nothing is known
    /// of what moves it.
    #[must_use]
    pub fn expanded(&self, engine: &Engine) -> ExpandedUncertainty {
        let all = self.first_order(engine);
        let of = |figure| {
            let found = all.iter().find(|p| p.figure == figure)?;
            Some(found.uncertainty.expanded()).filter(|u| *u > 0.0)
        };
        ExpandedUncertainty {
            deck_clearance: of(Figure::DeckClearance),
            squish_clearance: of(Figure::SquishClearance),
            clearance_volume: of(Figure::ClearanceVolume),
            static_ratio: of(Figure::StaticRatio),
            effective_ratio: of(Figure::EffectiveRatio),
        }
    }
}

/// The doubts of a value that stands where `estimate` was read; none where
/// the two differ by more than the doubts of the readings explain, or, for a
/// length, by more than two routes to it do by common practice.
fn standing(value: f64, estimate: &Estimate, kind: Kind) -> Option<Vec<UncertaintyComponent>> {
    let away = (value - estimate.value).abs();
    let slack = if kind == Kind::Length { CHAIN_AGREES_MM } else { 0.0 };
    if away > estimate.uncertainty().expanded().max(slack) {
        return None;
    }
    let mut doubts = estimate.doubts.clone();
    // Rounding of the mean alone is no distance.
    if away > 1e-9 * value.abs() {
        doubts.push(UncertaintyComponent::within(Origin::Uncorrected, away).ok()?);
    }
    Some(doubts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Shape;

    fn engine() -> Engine {
        let dims = Dims::new()
            .with(Key::Bore, 80.0)
            .with(Key::Stroke, 62.0)
            .with(Key::RodLength, 118.0)
            .with(Key::CompressionHeight, 36.0)
            .with(Key::CaseHeight, 97.1)
            .with(Key::BarrelLength, 88.6)
            .with(Key::BaseShim, 0.5)
            .with(Key::ChamberVolume, 33.5);
        Engine::new(dims).unwrap()
    }

    fn estimate(value: f64, u: f64, shim: Option<f64>) -> Estimate {
        Estimate { value, doubts: vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()], shim }
    }

    fn near(actual: f64, expected: f64) {
        assert!((actual - expected).abs() < 1e-12, "{actual} against {expected}");
    }

    #[test]
    fn a_deck_that_was_read_gives_the_deck_of_the_chain_its_doubt() {
        let engine = engine();
        let mut measured = Measured { deck: Some(estimate(1.2, 0.008, Some(0.5))), ..Measured::default() };
        let barrel = estimate(88.6, 0.006, None);
        measured.dimensions.insert(Key::BarrelLength, barrel);
        let deck = &measured.first_order(&engine)[0];
        near(deck.value, 1.2);
        near(deck.uncertainty.standard, 0.008);
        assert!(deck.uncounted.is_empty(), "{:?}", deck.uncounted);
        // Read 0.02 beside: the distance is one more doubt.
        measured.deck = Some(estimate(1.22, 0.008, Some(0.5)));
        let beside = &measured.first_order(&engine)[0];
        near(beside.value, 1.2);
        near(beside.uncertainty.standard, (0.008_f64 * 0.008 + 0.02 * 0.02 / 3.0).sqrt());
        // Read with another shim.
        measured.deck = Some(estimate(0.7, 0.008, Some(0.0)));
        near(measured.first_order(&engine)[0].uncertainty.standard, 0.008);
    }

    #[test]
    fn a_deck_that_contradicts_the_chain_says_nothing_about_it() {
        let engine = engine();
        let mut measured = Measured { deck: Some(estimate(1.4, 0.008, Some(0.5))), ..Measured::default() };
        measured.dimensions.insert(Key::BarrelLength, estimate(88.6, 0.006, None));
        let deck = &measured.first_order(&engine)[0];
        near(deck.uncertainty.standard, 0.006);
        assert!(deck.uncounted.contains(&Key::RodLength));
        assert_eq!(Measured::default().expanded(&engine), ExpandedUncertainty::default());
    }

    #[test]
    fn a_stated_doubt_of_a_part_asks_for_the_chain() {
        let mut measured = Measured { deck: Some(estimate(1.2, 0.008, Some(0.5))), ..Measured::default() };
        let stated = vec![UncertaintyComponent::stated(Shape::Normal, 0.03).unwrap()];
        measured.stated.set(Key::RodLength, stated);
        near(measured.first_order(&engine())[0].uncertainty.standard, 0.03);
    }

    #[test]
    fn a_typed_value_far_from_its_readings_takes_no_doubt_from_them() {
        let mut measured = Measured::default();
        measured.dimensions.insert(Key::ChamberVolume, estimate(33.4, 0.1, None));
        let (_, doubts) = measured.propagated(&engine());
        near(doubts.u(Key::ChamberVolume), (0.01 + 0.01 / 3.0_f64).sqrt());
        measured.dimensions.insert(Key::ChamberVolume, estimate(31.0, 0.1, None));
        assert!(measured.propagated(&engine()).1.is_empty());
        measured.forget(Key::ChamberVolume);
        assert!(measured.dimensions.is_empty());
    }
}
