//! Timing of the exhaust port of a two-stroke, and its change when the barrel
//! is lifted.
//!
//! The port's edge is cut into the barrel. The piston uncovers it where its
//! rim has come down to the edge, at the distance s below its own top. A
//! barrel lifted by t takes the edge along, so that the piston meets it
//! already at s − t (plane geometry); the angles follow from the slider-crank
//! exactly.

use crate::engine::{Crank, Dims, Engine, Key};

/// The exhaust port as the piston's rim meets its upper edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Port {
    /// Travel of the piston there, mm below its top dead centre.
    pub piston_down_mm: f64,
    /// The edge below the top of the barrel, mm: it stays where it is when
    /// the barrel is lifted.
    pub below_top_mm: f64,
    /// Degrees after top dead centre at which it opens.
    pub opens_deg: f64,
    /// Degrees before top dead centre at which it closes.
    pub closes_deg: f64,
}

/// Returns the dimensions with `base_mm` of base gaskets and shims: where the
/// closing of the exhaust port is known, it follows, for its edge rises with
/// the barrel. Where the edge would leave the stroke the closing stays as it
/// is.
#[must_use]
pub(crate) fn on_base(dims: &Dims, base_mm: f64) -> Dims {
    let mut then = dims.with(Key::BaseShim, base_mm);
    let lift = base_mm - dims.filled(Key::BaseShim).unwrap_or(0.0);
    let (Some(closes), true) = (dims.get(Key::PortClosing), lift != 0.0) else { return then };
    if let Some(figures) = Engine::unchecked_figures(dims) {
        let crank = &figures.crank;
        let down = crank.motion(-closes).position_mm;
        if let Some(port) =
            Port::at(crank, down, figures.deck_clearance + down).and_then(|p| p.lifted(crank, lift))
        {
            then.set(Key::PortClosing, Some(port.closes_deg));
        }
    }
    then
}

impl Port {
    /// Returns the port of an engine whose port closing is known; otherwise
    /// `None`.
    #[must_use]
    pub(crate) fn of(engine: &Engine) -> Option<Self> {
        let closes = engine.dims().get(Key::PortClosing)?;
        let crank = &engine.figures().crank;
        let down = crank.motion(-closes).position_mm;
        Self::at(crank, down, engine.figures().deck_clearance + down)
    }

    fn at(crank: &Crank, piston_down_mm: f64, below_top_mm: f64) -> Option<Self> {
        let (opens_deg, closes_deg) = crank.angles_at(piston_down_mm)?;
        Some(Self { piston_down_mm, below_top_mm, opens_deg, closes_deg })
    }

    /// Returns the port after the barrel was lifted by `lift_mm` (lowered where
    /// that is below 0); `None` where the edge leaves the stroke.
    #[must_use]
    pub(crate) fn lifted(&self, crank: &Crank, lift_mm: f64) -> Option<Self> {
        Self::at(crank, self.piston_down_mm - lift_mm, self.below_top_mm)
    }

    /// Returns the crank angle over which it is open, degrees.
    #[must_use]
    pub(crate) fn open_for_deg(&self) -> f64 {
        360.0 - self.opens_deg - self.closes_deg
    }
}
