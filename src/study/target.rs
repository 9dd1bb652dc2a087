//! How far one dimension alone must move to reach a wanted ratio.

use super::effects::ToTarget;
use crate::engine::{Allowed, Course, Dual, Engine, Figures, Key};

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

/// Secant steps: two or three are used, as the functions are nearly straight.
const SECANTS: u32 = 12;

/// The same, with the slopes of the figures along `key` at hand.
pub(super) fn change_along(
    engine: &Engine,
    key: Key,
    target: TargetRatio,
    slopes: &Figures<Dual>,
) -> Option<ToTarget> {
    let start = engine.dims().filled(key)?;
    if key == Key::TopLandDiameter && start == 0.0 {
        // 0 means that no crevice is counted: there is no path from it.
        return None;
    }
    let wanted = target.get() - 1.0;
    let excess = |figures: &Figures| figures.swept - wanted * figures.clearance_volume;
    let now = excess(engine.figures());
    if now == 0.0 {
        return Some(ToTarget { change: 0.0, value: start });
    }
    let slope = slopes.swept.slope() - wanted * slopes.clearance_volume.slope();
    if slope == 0.0 && key != Key::PinOffset {
        return None;
    }
    let figures_at = |value: f64| Engine::unchecked_figures(&engine.dims().with(key, value));
    let is_possible = |value: &f64| Engine::new(engine.dims().with(key, *value)).is_ok();
    let reached = |value: f64| ToTarget { change: value - start, value };
    let bounds = bounds(engine, key);
    let course = key.row().course;
    let found = secant(course, start, now, slope, bounds, |value| {
        let figures = figures_at(value)?;
        // What rounding can do to the difference: a few units in the last
        // place of what was added and subtracted.
        let blur = 8.0 * f64::EPSILON * (figures.swept.abs() + wanted * magnitude(engine, &figures));
        Some((excess(&figures), blur))
    });
    match found {
        // The pin offset has a root on either side of 0: only the one on its
        // own side is surely the nearest.
        Steps::To(value) if key != Key::PinOffset || value * start > 0.0 => {
            return Some(value).filter(is_possible).map(reached);
        }
        Steps::Out if course != Course::Curved => return None,
        _ => {}
    }
    let excess_at = |value: f64| figures_at(value).map(|figures| excess(&figures)).filter(|v| v.is_finite());
    let mut roots: Vec<f64> = [bounds.0, bounds.1]
        .into_iter()
        .flat_map(|end| roots(start, now, end, key == Key::PinOffset, &excess_at))
        .filter(is_possible)
        .collect();
    roots.sort_by(|a, b| (a - start).abs().total_cmp(&(b - start).abs()));
    roots.first().map(|&value| reached(value))
}

/// The terms of the clearance volume without their signs, cc, that of the
/// deck from the lengths whose small difference it is.
fn magnitude(engine: &Engine, figures: &Figures) -> f64 {
    let c = &figures.clearance;
    let volumes: f64 = [c.chamber, c.gasket, c.crown, c.pockets, c.top_land].iter().map(|v| v.abs()).sum();
    let lengths: f64 =
        Key::TOWER.into_iter().chain(Key::ON_PIN).filter_map(|key| engine.dims().filled(key)).sum();
    volumes + figures.bore_area * (lengths + figures.crank.y_top()) / 1000.0
}

/// Where secant steps lead.
enum Steps {
    /// To this value.
    To(f64),
    /// Out of the bounds.
    Out,
    /// Nowhere in the steps allowed.
    Lost,
}

/// A value this close beyond a bound, relative to the way there, is on it.
const ON_THE_BOUND: f64 = 1e-12;

/// Secant steps from `start`, the first along the slope there, until the
/// function is 0 within its blur. Steps are taken over the square of the value where that
/// makes the course straight.
fn secant(
    course: Course,
    start: f64,
    now: f64,
    slope: f64,
    bounds: (f64, f64),
    value_and_blur: impl Fn(f64) -> Option<(f64, f64)>,
) -> Steps {
    let squared = course == Course::Squared;
    let (mut before, mut f_before) = if squared { (start * start, now) } else { (start, now) };
    let mut at = before - now / if squared { slope / (2.0 * start) } else { slope };
    for _ in 0..SECANTS {
        let value = if squared { at.max(0.0).sqrt() } else { at };
        if !value.is_finite() {
            return Steps::Lost;
        }
        let slack = ON_THE_BOUND * (value.abs() + start.abs());
        let below_0 = squared && at < -slack * start;
        if below_0 || value < bounds.0 - slack || value > bounds.1 + slack {
            return Steps::Out;
        }
        let value = value.max(bounds.0).min(bounds.1);
        let Some((f_at, blur)) = value_and_blur(value) else { return Steps::Lost };
        if f_at.abs() <= blur {
            return Steps::To(value);
        }
        let next = at - f_at * (at - before) / (f_at - f_before);
        (before, f_before, at) = (at, f_at, next);
    }
    Steps::Lost
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
    // On a piece the difference rises or falls all the way: no change of sign
    // at its end, no root in it.
    if end.is_finite() && (excess_at(end)? > 0.0) == (now > 0.0) {
        return None;
    }
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
