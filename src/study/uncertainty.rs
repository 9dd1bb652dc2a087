//! How far the figures of a cylinder can be trusted: the doubts of its
//! dimensions carried into each figure, to first order and by trials.

use crate::engine::{Component, Dims, Dual, Engine, Figures, Key, Scalar};
use crate::quantity::Kind;
use crate::reading::{
    Combined, Sample, TrialError, Trials, Uncertainty, UncertaintyComponent, Variable, second_order, simulate,
};
use std::collections::BTreeMap;

/// The doubts of the dimensions of one cylinder, by key.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Components(BTreeMap<Key, Vec<UncertaintyComponent>>);

impl Components {
    /// No doubt known.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// What is known of the doubt of a dimension; nothing is not the same as
    /// no doubt.
    #[must_use]
    pub fn get(&self, key: Key) -> &[UncertaintyComponent] {
        self.0.get(&key).map_or(&[], Vec::as_slice)
    }

    /// Gives the doubts of a dimension, in place of what was there.
    pub fn set(&mut self, key: Key, doubts: Vec<UncertaintyComponent>) {
        if doubts.is_empty() {
            self.0.remove(&key);
        } else {
            self.0.insert(key, doubts);
        }
    }

    /// The same with the doubts of one more dimension.
    #[must_use]
    pub fn with(mut self, key: Key, doubts: Vec<UncertaintyComponent>) -> Self {
        self.set(key, doubts);
        self
    }

    /// The dimensions with a known doubt, in the order of the list.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = (Key, &[UncertaintyComponent])> {
        self.0.iter().map(|(&key, doubts)| (key, doubts.as_slice()))
    }

    /// Whether none is known.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The standard uncertainty of one dimension, in its base unit.
    #[must_use]
    pub fn u(&self, key: Key) -> f64 {
        let mut all = Combined::new();
        all.add(1.0, self.get(key));
        all.u()
    }
}

/// A figure that has an uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Figure {
    /// Rim below the top of the cylinder, mm.
    DeckClearance,
    /// Rim to head, mm.
    SquishClearance,
    /// Clearance volume, cc.
    ClearanceVolume,
    /// Static ratio.
    StaticRatio,
    /// Ratio from where compression starts, where that is given.
    EffectiveRatio,
}

impl Figure {
    /// The four that every cylinder has.
    pub const FOUR: [Self; 4] =
        [Self::DeckClearance, Self::SquishClearance, Self::ClearanceVolume, Self::StaticRatio];

    /// Its name for other programs, with its unit.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::DeckClearance => "deck_clearance_mm",
            Self::SquishClearance => "squish_clearance_mm",
            Self::ClearanceVolume => "clearance_volume_cc",
            Self::StaticRatio => "static_ratio",
            Self::EffectiveRatio => "effective_ratio",
        }
    }

    /// Its name in a sentence.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::DeckClearance => "deck clearance",
            Self::SquishClearance => "squish",
            Self::ClearanceVolume => "clearance volume",
            Self::StaticRatio => "static ratio",
            Self::EffectiveRatio => "effective ratio",
        }
    }

    /// What kind of quantity it is; none for a ratio.
    #[must_use]
    pub fn kind(self) -> Option<Kind> {
        match self {
            Self::DeckClearance | Self::SquishClearance => Some(Kind::Length),
            Self::ClearanceVolume => Some(Kind::Volume),
            Self::StaticRatio | Self::EffectiveRatio => None,
        }
    }

    /// This one of the figures of a cylinder.
    #[must_use]
    pub fn of<T: Scalar>(self, figures: &Figures<T>) -> Option<T> {
        match self {
            Self::DeckClearance => Some(figures.deck_clearance),
            Self::SquishClearance => Some(figures.squish_clearance),
            Self::ClearanceVolume => Some(figures.clearance_volume),
            Self::StaticRatio => Some(figures.static_ratio),
            Self::EffectiveRatio => figures.effective_ratio,
        }
    }
}

/// What one dimension adds to the doubt of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// The dimension.
    pub key: Key,
    /// The exact slope of the figure along it, per mm, cc or degree.
    pub sensitivity: f64,
    /// Its own standard uncertainty, in its base unit.
    pub standard: f64,
    /// Its part of the variance of the figure. All parts add up to 1; one
    /// may be negative where instruments are shared.
    pub share: f64,
}

/// A figure with its uncertainty to first order.
#[derive(Clone, Debug, PartialEq)]
pub struct Propagated {
    /// The figure.
    pub figure: Figure,
    /// Its value.
    pub value: f64,
    /// Its uncertainty.
    pub uncertainty: Uncertainty,
    /// What each dimension with a known doubt adds, in the order of the list.
    pub contributions: Vec<Contribution>,
    /// Dimensions that were given, move the figure, and of whose doubt
    /// nothing is known: the uncertainty is at least what stands here.
    pub uncounted: Vec<Key>,
}

/// The exact slopes of all figures along each dimension that has a value.
fn slopes(engine: &Engine) -> Vec<(Key, Figures<Dual>)> {
    Key::all().filter_map(|key| engine.slopes(key).map(|slopes| (key, slopes))).collect()
}

/// Whether a dimension is there to be measured: given, and not 0 for "there
/// is none". Shims that were under the barrel when its deck was read, and
/// still are, need not be measured.
fn is_there(dims: &Dims, key: Key) -> bool {
    let same_shims =
        dims.get(Key::MockupDeck).is_some() && dims.filled(Key::BaseShim) == dims.filled(Key::MockupShim);
    let is_shim = key.row().component == Component::Shim;
    dims.get(key).is_some_and(|value| value != 0.0) && !(is_shim && same_shims)
}

/// The figures of a cylinder with their uncertainties to first order (JCGM
/// 100:2008, 5.1.2): u² = Σ(∂f/∂xᵢ)²uᵢ² with exact slopes, and what is shared
/// added before it is squared (see [`Combined`]). The effective ratio comes
/// last, where there is one.
#[must_use]
pub(crate) fn first_order(engine: &Engine, doubts: &Components) -> Vec<Propagated> {
    let slopes = slopes(engine);
    let figures = Figure::FOUR.into_iter().chain([Figure::EffectiveRatio]);
    figures.filter_map(|figure| propagate(engine, &slopes, figure, doubts)).collect()
}

/// One figure; none where the cylinder does not have it.
fn propagate(
    engine: &Engine,
    slopes: &[(Key, Figures<Dual>)],
    figure: Figure,
    doubts: &Components,
) -> Option<Propagated> {
    let value = figure.of(engine.figures())?;
    let mut all = Combined::new();
    let mut moved: Vec<(Key, f64)> = Vec::new();
    let mut uncounted = Vec::new();
    for (key, slopes) in slopes {
        let sensitivity = figure.of(slopes)?.slope();
        let known = doubts.get(*key);
        if !known.is_empty() {
            all.add(sensitivity, known);
            moved.push((*key, sensitivity));
        } else if sensitivity != 0.0 && is_there(engine.dims(), *key) {
            uncounted.push(*key);
        }
    }
    let contribution = |(key, sensitivity)| Contribution {
        key,
        sensitivity,
        standard: doubts.u(key),
        share: all.share(sensitivity, doubts.get(key)),
    };
    let contributions = moved.into_iter().map(contribution).collect();
    Some(Propagated { figure, value, uncertainty: all.uncertainty(), contributions, uncounted })
}

/// The uncertainty of a difference of the same figure between two cylinders:
/// what one instrument shares between them drops out, as far as both have the
/// same slope along it. None where one of them does not have the figure.
#[must_use]
pub(crate) fn of_difference(
    figure: Figure,
    first: (&Engine, &Components),
    second: (&Engine, &Components),
) -> Option<Uncertainty> {
    let mut all = Combined::new();
    for ((engine, doubts), sign) in [(first, 1.0), (second, -1.0)] {
        for (key, known) in doubts.iter() {
            if let Some(slopes) = engine.slopes(key) {
                all.add(sign * figure.of(&slopes)?.slope(), known);
            }
        }
    }
    Some(all.uncertainty())
}

/// The uncertainty of the difference between two cylinders of the sum of
/// these dimensions: how much higher one top stands, how much larger one
/// chamber is.
#[must_use]
pub(crate) fn of_sums(keys: &[Key], first: &Components, second: &Components) -> Uncertainty {
    let mut all = Combined::new();
    for &key in keys {
        all.add(1.0, first.get(key));
        all.add(-1.0, second.get(key));
    }
    all.uncertainty()
}

/// The four figures of a cylinder by trials, in the order of
/// [`Figure::FOUR`].
///
/// A trial with a rim that meets the head counts, as its figures can be
/// computed; one without a clearance volume or with a rod that can't pass
/// does not.
///
/// # Errors
/// When more than one trial in a thousand can't exist, or when the number of
/// trials is not allowed.
pub(crate) fn by_trials(
    engine: &Engine,
    doubts: &Components,
    trials: Trials,
    seed: u64,
) -> Result<[Sample; 4], TrialError> {
    by_trials_until(engine, doubts, trials, seed, &|| false)
}

/// As [`by_trials`]; asked before each trial whether it is to end, and then no
/// further one counts as possible, so that it ends within a block of them.
///
/// # Errors
/// As [`by_trials`]; when it is ended.
pub(crate) fn by_trials_until(
    engine: &Engine,
    doubts: &Components,
    trials: Trials,
    seed: u64,
    is_ended: &dyn Fn() -> bool,
) -> Result<[Sample; 4], TrialError> {
    let dims = engine.dims();
    let moving: Vec<(Key, f64, &[UncertaintyComponent])> =
        doubts.iter().filter_map(|(key, known)| Some((key, dims.filled(key)?, known))).collect();
    let variables: Vec<Variable<'_>> =
        moving.iter().map(|&(_, value, doubts)| Variable { value, doubts }).collect();
    let model = |values: &[f64]| {
        if is_ended() {
            return None;
        }
        let mut drawn = *dims;
        for (&(key, ..), &value) in moving.iter().zip(values) {
            drawn.set(key, Some(value));
        }
        let figures = Engine::unchecked_figures(&drawn)?;
        if figures.clearance_volume <= 0.0 {
            return None;
        }
        let [a, b, c, d] = Figure::FOUR.map(|figure| figure.of(&figures));
        Some([a?, b?, c?, d?])
    };
    simulate(&variables, model, trials, seed)
}

/// The standard uncertainty of a figure with the second-order term as well
/// (see [`mod@second_order`]); none where the figure does not exist within the
/// doubts, or where the term outweighs the first order on the other side.
/// Doubts that dimensions share are taken as independent in the second term.
#[must_use]
pub(crate) fn with_second_order(engine: &Engine, doubts: &Components, first: &Propagated) -> Option<f64> {
    let dims = engine.dims();
    let moving: Vec<(Key, f64, f64)> = doubts
        .iter()
        .filter_map(|(key, _)| Some((key, dims.filled(key)?, doubts.u(key))))
        .filter(|(_, _, u)| *u > 0.0)
        .collect();
    let values: Vec<f64> = moving.iter().map(|m| m.1).collect();
    let u: Vec<f64> = moving.iter().map(|m| m.2).collect();
    let added = second_order(&values, &u, |values| {
        let mut drawn = *dims;
        for (&(key, ..), &value) in moving.iter().zip(values) {
            drawn.set(key, Some(value));
        }
        first.figure.of(&Engine::unchecked_figures(&drawn)?)
    })?;
    let square = first.uncertainty.standard * first.uncertainty.standard + added;
    (square >= 0.0).then(|| square.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::{Origin, Shape, Shared};
    use proptest::prelude::*;

    fn dims() -> Dims {
        Dims::new()
            .with(Key::Bore, 80.0)
            .with(Key::Stroke, 62.0)
            .with(Key::RodLength, 118.0)
            .with(Key::CompressionHeight, 36.0)
            .with(Key::CaseHeight, 97.1)
            .with(Key::BarrelLength, 88.6)
            .with(Key::BaseShim, 0.5)
            .with(Key::ChamberVolume, 33.5)
    }

    fn stated(u: f64) -> Vec<UncertaintyComponent> {
        vec![UncertaintyComponent::stated(Shape::Normal, u).unwrap()]
    }

    fn near(actual: f64, expected: f64, relative: f64) {
        assert!((actual - expected).abs() <= relative * expected.abs(), "{actual} against {expected}");
    }

    /// From the formulas by hand: deck and squish take 0.5 of the stroke,
    /// and dR/dVc = −swept/Vc².
    #[test]
    fn doubts_go_through_the_slopes() {
        let engine = Engine::new(dims()).unwrap();
        let doubts = Components::new().with(Key::Stroke, stated(0.02)).with(Key::ChamberVolume, stated(0.1));
        let all = first_order(&engine, &doubts);
        assert_eq!(all.len(), 4);
        near(all[0].uncertainty.standard, 0.01, 1e-12);
        let f = engine.figures();
        let vc = f.clearance_volume;
        let deck_part = f.bore_area * 0.01 / 1000.0;
        near(all[2].uncertainty.standard, (0.01 + deck_part * deck_part).sqrt(), 1e-12);
        let chamber = all[3].contributions.iter().find(|c| c.key == Key::ChamberVolume).unwrap();
        near(chamber.sensitivity, -f.swept / (vc * vc), 1e-12);
        assert_eq!(chamber.standard, 0.1);
        near(all[3].contributions.iter().map(|c| c.share).sum::<f64>(), 1.0, 1e-12);
        assert!(all[0].uncounted.contains(&Key::RodLength) && !all[0].uncounted.contains(&Key::Bore));
        assert!(!all[3].uncounted.contains(&Key::GasketThickness), "what is not there can't be measured");
    }

    #[test]
    fn with_a_deck_that_was_read_the_chain_adds_no_doubt() {
        let read = dims().with(Key::MockupDeck, 1.2).with(Key::MockupShim, 0.5);
        let engine = Engine::new(read).unwrap();
        let doubts =
            Components::new().with(Key::MockupDeck, stated(0.008)).with(Key::RodLength, stated(0.05));
        let all = first_order(&engine, &doubts);
        near(all[0].uncertainty.standard, 0.008, 1e-12);
        let rod = all[0].contributions.iter().find(|c| c.key == Key::RodLength).unwrap();
        assert_eq!(rod.share, 0.0);
    }

    #[test]
    fn nothing_known_gives_no_uncertainty_and_says_what_is_missing() {
        let engine = Engine::new(dims().with(Key::IntakeClosing, 40.0)).unwrap();
        let all = first_order(&engine, &Components::new());
        assert_eq!(all.len(), 5);
        for one in all {
            assert_eq!((one.uncertainty.standard, one.contributions.len()), (0.0, 0));
            assert!(one.uncounted.contains(&Key::CaseHeight), "{:?}", one.figure);
        }
    }

    /// All barrels with one micrometer: the level is better known than a top.
    #[test]
    fn one_micrometer_for_all_barrels_drops_out_of_the_level() {
        let zero = Shared { instrument: "micrometer".into(), of: "barrel length".into() };
        let own = UncertaintyComponent::within(Origin::Step, 0.005).unwrap();
        let shared = UncertaintyComponent::within(Origin::Instrument, 0.01).unwrap().shared_as(zero);
        let barrel = Components::new().with(Key::BarrelLength, vec![own.clone(), shared]);
        let level = of_sums(&[Key::CaseHeight, Key::BarrelLength], &barrel, &barrel);
        near(level.standard, own.u() * 2.0_f64.sqrt(), 1e-12);
        assert!(level.standard < barrel.u(Key::BarrelLength));
        let engine = Engine::new(dims()).unwrap();
        let decks = of_difference(Figure::DeckClearance, (&engine, &barrel), (&engine, &barrel)).unwrap();
        near(decks.standard, level.standard, 1e-12);
        assert_eq!(of_difference(Figure::EffectiveRatio, (&engine, &barrel), (&engine, &barrel)), None);
    }

    #[test]
    fn an_engine_that_can_not_exist_within_its_doubts_is_told() {
        let engine = Engine::new(dims().with(Key::CrownVolume, -38.0)).unwrap();
        let doubts = Components::new().with(Key::ChamberVolume, stated(1.0));
        let error = by_trials(&engine, &doubts, Trials::Fixed(10_000), 1).unwrap_err();
        assert!(matches!(error, TrialError::Impossible { .. }), "{error}");
    }

    #[test]
    fn trials_that_are_ended_make_no_further_block() {
        let engine = Engine::new(dims()).unwrap();
        let doubts = Components::new().with(Key::ChamberVolume, stated(0.1));
        let asked = std::cell::Cell::new(0);
        let is_ended = || {
            asked.set(asked.get() + 1);
            true
        };
        assert!(by_trials_until(&engine, &doubts, Trials::Adaptive, 1, &is_ended).is_err());
        assert!((1..=10_000).contains(&asked.get()), "{} trials", asked.get());
    }

    proptest! {
        /// u is linear in the doubts, and a size of the engine does not
        /// matter: all lengths × k, volumes × k³ and doubts alike give the
        /// same ratio with the same uncertainty.
        #[test]
        fn size_does_not_matter(power in -6_i32..=6, factor in 0.1_f64..10.0) {
            let k: f64 = format!("1e{power}").parse().unwrap();
            let mut scaled = Dims::new();
            for key in Key::all() {
                let times = if key.kind() == Kind::Volume { k * k * k } else { k };
                scaled.set(key, dims().get(key).map(|v| v * times));
            }
            let plain = Components::new().with(Key::BarrelLength, stated(0.01)).with(Key::ChamberVolume, stated(0.1));
            let large = Components::new()
                .with(Key::BarrelLength, stated(0.01 * k * factor))
                .with(Key::ChamberVolume, stated(0.1 * k * k * k * factor));
            let u = |dims: Dims, doubts: &Components| {
                first_order(&Engine::new(dims).unwrap(), doubts)[3].uncertainty.standard
            };
            let (a, b) = (u(dims(), &plain), u(scaled, &large));
            prop_assert!((b - a * factor).abs() < 1e-9 * a * factor, "{} {}", a, b);
        }
    }
}
