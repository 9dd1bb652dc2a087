//! How far one dimension alone must move to reach a wanted ratio.

use super::effects::ToTarget;
use crate::engine::{Allowed, Engine, Figures, Key};

/// A wanted static ratio: above 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TargetRatio(f64);

impl TargetRatio {
    /// Checks the wanted ratio.
    ///
    /// # Errors
    /// A sentence, if it is not a finite number above 1.
    pub fn new(ratio: f64) -> Result<Self, String> {
        if ratio.is_finite() && ratio > 1.0 {
            Ok(Self(ratio))
        } else {
            Err(format!(
                "target ratio {ratio}: the swept volume is above 0, so a ratio is above 1; accepted: a number above 1"
            ))
        }
    }

    /// The ratio.
    #[must_use]
    pub fn get(self) -> f64 {
        self.0
    }
}

/// Doublings of a step away from the present value; 2^200 steps of a millionth
/// pass every length that a number can hold in use.
const DOUBLINGS: u32 = 200;
/// Halvings of a bracket: 53 reach the last bit of a number, the rest is for
/// brackets that start far from 0.
const HALVINGS: u32 = 200;

/// The nearest change of `key` alone that gives the wanted ratio in an engine
/// that can exist; none where there is no such change.
///
/// The wanted ratio R means swept = (R − 1)·clearance. The difference of both
/// sides has no pole, unlike the ratio itself, and is monotone in every
/// dimension on each side of its present value (it is linear in lengths of the
/// tower and in volumes, linear in the square of each diameter, and rises with
/// stroke and rod), except in the pin offset, where it is even and turns at 0.
/// So each side is searched by doubling steps, then by halving the bracket.
#[must_use]
pub fn change_to_reach(engine: &Engine, key: Key, target: TargetRatio) -> Option<ToTarget> {
    let start = engine.dims().filled(key)?;
    if key == Key::TopLandDiameter && start == 0.0 {
        // 0 means that no crevice is counted: there is no path from it.
        return None;
    }
    let excess = |figures: &Figures| figures.swept - (target.get() - 1.0) * figures.clearance_volume;
    let now = excess(engine.figures());
    if now == 0.0 {
        return Some(ToTarget { change: 0.0, value: start });
    }
    let excess_at = |value: f64| {
        let dims = engine.dims().with(key, value);
        Engine::unchecked_figures(&dims).map(|figures| excess(&figures)).filter(|v| v.is_finite())
    };
    let bounds = bounds(engine, key);
    let mut found: Vec<f64> = [bounds.0, bounds.1]
        .into_iter()
        .flat_map(|end| roots(start, now, end, key == Key::PinOffset, &excess_at))
        .filter(|&value| Engine::new(engine.dims().with(key, value)).is_ok())
        .collect();
    found.sort_by(|a, b| (a - start).abs().total_cmp(&(b - start).abs()));
    found.first().map(|&value| ToTarget { change: value - start, value })
}

/// Between which values the dimension may move.
fn bounds(engine: &Engine, key: Key) -> (f64, f64) {
    let crank = &engine.figures().crank;
    let (throw, rod, e) = (crank.throw(), crank.rod(), crank.pin_path_x().abs());
    let low = if key.row().allowed == Allowed::Any { f64::NEG_INFINITY } else { 0.0 };
    match key {
        Key::Stroke => (0.0, 2.0 * (rod - e)),
        Key::RodLength => (throw + e, f64::INFINITY),
        Key::PinOffset => (throw - rod, rod - throw),
        Key::TopLandDiameter => (0.0, engine.dims().filled(Key::Bore).unwrap_or(0.0)),
        _ => (low, f64::INFINITY),
    }
}

/// Where the excess is 0 between `start` and `end`, at most one a piece; the
/// span is cut at 0 where the excess turns there.
fn roots(
    start: f64,
    now: f64,
    end: f64,
    turns_at_0: bool,
    excess_at: &impl Fn(f64) -> Option<f64>,
) -> Vec<f64> {
    let mut pieces = vec![(start, now, end)];
    if turns_at_0 && start * end < 0.0 {
        let Some(at_0) = excess_at(0.0) else { return vec![] };
        pieces = vec![(start, now, 0.0), (0.0, at_0, end)];
    }
    pieces.into_iter().filter_map(|(a, f_a, b)| root(a, f_a, b, excess_at)).collect()
}

fn root(start: f64, now: f64, end: f64, excess_at: &impl Fn(f64) -> Option<f64>) -> Option<f64> {
    let direction = if end > start { 1.0 } else { -1.0 };
    let mut step = if start == 0.0 { 1e-9 } else { start.abs() * 1e-6 };
    let mut near = start;
    for _ in 0..DOUBLINGS {
        let mut far = start + direction * step;
        let beyond = (far - end) * direction >= 0.0;
        if beyond {
            far = end;
        }
        let there = excess_at(far)?;
        if there == 0.0 {
            return Some(far);
        }
        if (there > 0.0) != (now > 0.0) {
            return Some(halve(near, far, now > 0.0, excess_at));
        }
        if beyond {
            return None;
        }
        near = far;
        step *= 2.0;
    }
    None
}

/// Halves the bracket until its ends are neighbours; `positive` is the sign
/// at `near`.
fn halve(mut near: f64, mut far: f64, positive: bool, excess_at: &impl Fn(f64) -> Option<f64>) -> f64 {
    for _ in 0..HALVINGS {
        let middle = near + (far - near) / 2.0;
        if middle == near || middle == far {
            break;
        }
        match excess_at(middle) {
            Some(v) if (v > 0.0) == positive => near = middle,
            _ => far = middle,
        }
    }
    far
}
