//! What moves what: how each dimension moves the figures, and how far it
//! would have to move alone to reach a wanted ratio.

use super::target::{TargetRatio, change_along};
use crate::engine::{Engine, Figures, Key, Scalar};

/// The four figures that a builder steers by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outputs {
    /// Rim below the top of the cylinder at top dead centre, mm; negative = proud.
    pub deck_clearance_mm: f64,
    /// Rim to the flat band of the head, mm.
    pub squish_clearance_mm: f64,
    /// Clearance volume, cc.
    pub clearance_volume_cc: f64,
    /// Static ratio.
    pub static_ratio: f64,
}

impl Outputs {
    /// Takes the four out of the figures, each through `part`: the value or
    /// the slope.
    fn of<T: Scalar>(figures: &Figures<T>, part: impl Fn(T) -> f64) -> Self {
        Self {
            deck_clearance_mm: part(figures.deck_clearance),
            squish_clearance_mm: part(figures.squish_clearance),
            clearance_volume_cc: part(figures.clearance_volume),
            static_ratio: part(figures.static_ratio),
        }
    }

    /// The four figures of a cylinder.
    #[must_use]
    pub fn of_engine(engine: &Engine) -> Self {
        Self::of(engine.figures(), |v| v)
    }
}

/// How one dimension alone reaches a wanted ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToTarget {
    /// The change of the dimension in its base unit.
    pub change: f64,
    /// The value after the change.
    pub value: f64,
}

/// What one dimension does.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// The dimension.
    pub key: Key,
    /// Its value now, in its base unit.
    pub value: f64,
    /// Exact partial derivatives, per mm, cc or degree.
    pub slope: Outputs,
    /// One sensible step of the dimension.
    pub step: f64,
    /// The figures after that step, computed anew; none where the step leads
    /// to an impossible engine.
    pub after_step: Option<Outputs>,
    /// The change that reaches the wanted ratio; none where it can't, or
    /// where no ratio is wanted.
    pub to_target: Option<ToTarget>,
}

/// The effect of every dimension that has a value, in the order of the list.
#[must_use]
pub fn effects(engine: &Engine, target: Option<TargetRatio>) -> Vec<Effect> {
    Key::all().filter_map(|key| effect(engine, key, target)).collect()
}

fn effect(engine: &Engine, key: Key, target: Option<TargetRatio>) -> Option<Effect> {
    let dims = engine.dims();
    if key == Key::MockupShim && dims.get(Key::MockupDeck).is_none() {
        return None;
    }
    let value = dims.filled(key)?;
    let slopes = engine.slopes(key)?;
    let step = key.row().step;
    let after_step = Engine::new(dims.with(key, value + step)).ok().map(|after| Outputs::of_engine(&after));
    Some(Effect {
        key,
        value,
        slope: Outputs::of(&slopes, |v| v.slope()),
        step,
        after_step,
        to_target: target.and_then(|target| change_along(engine, key, target, &slopes)),
    })
}
