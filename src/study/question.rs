//! What is asked: the cylinders with their dimensions, the heads over them,
//! the limits and the wanted ratio.

use super::build::Build;
use super::measured::Measured;
use super::target::TargetRatio;
use super::uncertainty::of_sums;
use crate::engine::{Dims, Engine, Key, Provenance};
use crate::reading::{Subject, Valve};
use crate::schema::limit::{Limit, Limits};

/// How each dimension of a cylinder is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DimensionProvenance {
    by_key: [Provenance; Key::COUNT],
}

impl Default for DimensionProvenance {
    fn default() -> Self {
        Self::all(Provenance::default())
    }
}

impl DimensionProvenance {
    /// All dimensions known in the same way.
    #[must_use]
    pub fn all(known: Provenance) -> Self {
        Self { by_key: [known; Key::COUNT] }
    }

    /// How this dimension is known.
    #[must_use]
    pub fn get(&self, key: Key) -> Provenance {
        self.by_key.get(key.index()).copied().unwrap_or_default()
    }

    /// Says how a dimension is known.
    pub fn set(&mut self, key: Key, known: Provenance) {
        if let Some(place) = self.by_key.get_mut(key.index()) {
            *place = known;
        }
    }

    /// The same with one dimension known in another way.
    #[must_use]
    pub fn with(mut self, key: Key, known: Provenance) -> Self {
        self.set(key, known);
        self
    }
}

/// Expanded uncertainties of the figures of a cylinder, where readings give
/// them; in the unit of each figure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ExpandedUncertainty {
    /// Of the deck clearance, mm.
    pub deck_clearance: Option<f64>,
    /// Of the squish, mm.
    pub squish_clearance: Option<f64>,
    /// Of the clearance volume, cc.
    pub clearance_volume: Option<f64>,
    /// Of the static ratio.
    pub static_ratio: Option<f64>,
    /// Of the effective or trapped ratio.
    pub effective_ratio: Option<f64>,
}

/// Least distances of piston and valve, where somebody read them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ValveGap {
    /// To the intake valve.
    pub intake: Option<ValveReading>,
    /// To the exhaust valve.
    pub exhaust: Option<ValveReading>,
}

/// A distance of piston and valve as it was read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ValveReading {
    /// The distance along the valve's axis, mm.
    pub value: f64,
    /// Its expanded uncertainty, mm.
    pub doubt: Option<f64>,
    /// All base shims with which it was read, mm, where that was noted.
    pub shim: Option<f64>,
}

/// How much of a lift of the barrel, along the bore, a distance to a valve
/// gains along the valve's axis, at least and at most: cos α where the pocket
/// lies as the valve does, 1/cos α where the valve's edge meets a flat crown
/// (travel of a point along the valve's axis to a plane tilted against the
/// crown). These hold for valves that lean by no more than 36.8°.
const GAIN: (f64, f64) = (0.8, 1.25);

impl ValveReading {
    /// Returns the least and the greatest that the distance can be over other
    /// base shims, mm: what was read, moved by what shims do to it.
    #[must_use]
    pub(crate) fn over(&self, shim_mm: f64) -> (f64, f64) {
        let lifted = shim_mm - self.shim.unwrap_or(shim_mm);
        let (a, b) = (self.value + GAIN.0 * lifted, self.value + GAIN.1 * lifted);
        (a.min(b), a.max(b))
    }
}

impl ValveGap {
    /// Takes from the readings of a cylinder what was read of its valves.
    #[must_use]
    pub(crate) fn of(measured: &Measured) -> Self {
        let read = |valve: Valve| {
            let estimate = measured.evaluation(&Subject::PistonToValve(valve))?.estimate.as_ref()?;
            let doubt = Some(estimate.uncertainty().expanded()).filter(|doubt| *doubt > 0.0);
            Some(ValveReading { value: estimate.value, doubt, shim: estimate.shim })
        };
        Self { intake: read(Valve::Intake), exhaust: read(Valve::Exhaust) }
    }
}

/// One cylinder.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CylinderInput {
    /// Its name in the engine: "1".
    pub label: String,
    /// Which head stands on it: the place in [`Question::heads`].
    pub head: usize,
    /// Its dimensions.
    pub dims: Dims,
    /// How each is known.
    pub known: DimensionProvenance,
    /// What was read of it.
    pub measured: Measured,
    /// The uncertainty of its figures: what [`Question::propagate`] makes of the
    /// readings.
    pub doubt: ExpandedUncertainty,
    /// Piston to valve, as measured.
    pub valve_gap: ValveGap,
    /// How many shims and gaskets lie under it, where known.
    pub pieces: Option<u32>,
}

/// One head.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeadInput {
    /// Its name: "right bank".
    pub label: String,
    /// Whether the cylinders under it must stand level.
    pub level: bool,
    /// Its own limit of level, in place of the engine's.
    pub tolerance: Option<Limit>,
    /// Expanded uncertainty of a difference between two tops, mm.
    pub doubt: Option<f64>,
}

/// Everything that is asked of the studies at once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Question {
    /// The cylinders in the order of the engine.
    pub cylinders: Vec<CylinderInput>,
    /// The heads.
    pub heads: Vec<HeadInput>,
    /// The limits.
    pub limits: Limits,
    /// The wanted static ratio.
    pub target: Option<TargetRatio>,
    /// How the engine is built and used.
    pub build: Build,
}

impl Question {
    /// Works out how far the figures of each cylinder and the level under
    /// each head can be trusted, from what was read of the cylinders. To be
    /// done again when a dimension has changed. A cylinder that can't exist
    /// has no figures to doubt.
    pub fn propagate(&mut self) {
        for cylinder in &mut self.cylinders {
            cylinder.doubt = Engine::new(cylinder.dims)
                .map(|engine| cylinder.measured.expanded(&engine))
                .unwrap_or_default();
        }
        for (head, input) in self.heads.iter_mut().enumerate() {
            let under: Vec<_> = self
                .cylinders
                .iter()
                .filter(|c| c.head == head)
                .map(|c| c.measured.of_dimensions(&c.dims))
                .collect();
            let pairs =
                under.iter().enumerate().flat_map(|(i, a)| under.iter().skip(i + 1).map(move |b| (a, b)));
            let largest = pairs.map(|(a, b)| of_sums(&Key::TOWER, a, b).expanded()).fold(0.0, f64::max);
            input.doubt = Some(largest).filter(|doubt| *doubt > 0.0);
        }
    }
}
