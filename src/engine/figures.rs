//! From dimensions to figures: deck, squish, volumes and ratios.
//!
//! The formulas are those of plane and solid geometry; each is derived in the
//! doc comment of the figure that it gives.

use super::checks::{shape_faults, space_faults, value_faults};
use super::crank::Crank;
use super::dimension::Key;
use super::dims::Dims;
use super::fault::Fault;
use super::num::PI;
use super::scalar::Scalar;

/// Cubic millimetres in a cubic centimetre.
const MM3_PER_CC: f64 = 1000.0;

/// The clearance volume term by term, cc. Terms are added as they stand: a
/// dome is negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance<T = f64> {
    /// Under a flat plate on the head's sealing face.
    pub chamber: T,
    /// Cylinder between the rim at top dead centre and the top face; negative
    /// when the rim stands proud.
    pub deck: T,
    /// Cylinder inside the head gasket.
    pub gasket: T,
    /// Dish (positive) or dome (negative).
    pub crown: T,
    /// Valve pockets.
    pub pockets: T,
    /// Ring-shaped crevice beside the top land: π/4·(bore² − land²)·height.
    pub top_land: T,
}

impl<T: Scalar> Clearance<T> {
    /// All terms together, cc.
    pub fn total(&self) -> T {
        self.chamber + self.deck + self.gasket + self.crown + self.pockets + self.top_land
    }
}

/// The figures of one cylinder. Lengths mm, volumes cc, angles radians from
/// the bore axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures<T = f64> {
    /// The mechanism.
    pub crank: Crank<T>,
    /// Rim of the crown below the top face of the cylinder at top dead
    /// centre, mm; negative = proud. From the mock-up reading where there is
    /// one (reading + shim now − shim then), else from the chain
    /// case + base gasket + shim + barrel − y_T − compression height.
    pub deck_clearance: T,
    /// The same from the chain of dimensions, whatever the mock-up says.
    pub chain_deck: T,
    /// Rim of the crown to the flat band of the head, mm:
    /// deck + gasket + head step.
    pub squish_clearance: T,
    /// π/4·bore², mm².
    pub bore_area: T,
    /// Bore area × distance between the dead centres, cc.
    pub swept: T,
    /// The clearance volume term by term.
    pub clearance: Clearance<T>,
    /// All terms of the clearance volume together, cc.
    pub clearance_volume: T,
    /// (swept + clearance)/clearance.
    pub static_ratio: T,
    /// Volume where compression starts over the clearance volume: from
    /// `port_closing` (two-stroke: the trapped ratio) or else from
    /// `intake_closing`; none where neither is given.
    pub effective_ratio: Option<T>,
    /// Rod length over stroke.
    pub rod_ratio: T,
}

/// Computes without checking: meaningful only for dimensions that [`Engine`]
/// has accepted. None where a required dimension is missing.
fn compute<T: Scalar>(dims: &Dims<T>) -> Option<Figures<T>> {
    let c = T::constant;
    let bore = dims.filled(Key::Bore)?;
    let stroke = dims.filled(Key::Stroke)?;
    let rod = dims.filled(Key::RodLength)?;
    let crank = Crank::of(stroke, rod, dims.filled(Key::PinOffset)?);
    let mut top = c(0.0);
    for key in Key::TOWER {
        top = top + dims.filled(key)?;
    }
    let mut chain_deck = top - crank.y_top();
    for key in Key::ON_PIN {
        chain_deck = chain_deck - dims.filled(key)?;
    }
    let deck_clearance = match dims.get(Key::MockupDeck) {
        Some(read) => read + (dims.filled(Key::BaseShim)? - dims.filled(Key::MockupShim)?),
        None => chain_deck,
    };
    let gasket_thickness = dims.filled(Key::GasketThickness)?;
    let gasket_bore = dims.filled(Key::GasketBore)?;
    let area = |diameter: T| c(PI / 4.0) * diameter * diameter;
    let bore_area = area(bore);
    let land = dims.filled(Key::TopLandDiameter)?;
    // A land of 0 means "not counted" (interface of the dimension list).
    let top_land = if land.value() == 0.0 {
        c(0.0)
    } else {
        c(PI / 4.0) * (bore - land) * (bore + land) * dims.filled(Key::TopLandHeight)? / c(MM3_PER_CC)
    };
    let clearance = Clearance {
        chamber: dims.filled(Key::ChamberVolume)?,
        deck: bore_area * deck_clearance / c(MM3_PER_CC),
        gasket: area(gasket_bore) * gasket_thickness / c(MM3_PER_CC),
        crown: dims.filled(Key::CrownVolume)?,
        pockets: dims.filled(Key::PocketVolume)?,
        top_land,
    };
    let clearance_volume = clearance.total();
    let swept = bore_area * crank.true_stroke() / c(MM3_PER_CC);
    let closing_deg = match (dims.get(Key::PortClosing), dims.get(Key::IntakeClosing)) {
        (Some(port), _) => Some(c(360.0) - port),
        (None, Some(intake)) => Some(c(180.0) + intake),
        (None, None) => None,
    };
    let effective_ratio = closing_deg.map(|deg| {
        let position = crank.position(deg * c(PI / 180.0));
        (clearance_volume + bore_area * position / c(MM3_PER_CC)) / clearance_volume
    });
    Some(Figures {
        crank,
        deck_clearance,
        chain_deck,
        squish_clearance: deck_clearance + gasket_thickness + dims.filled(Key::HeadStep)?,
        bore_area,
        swept,
        clearance,
        clearance_volume,
        static_ratio: (swept + clearance_volume) / clearance_volume,
        effective_ratio,
        rod_ratio: rod / stroke,
    })
}

/// The space above the piston at one crank angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Space {
    /// Volume above the piston, cc.
    pub volume_cc: f64,
    /// (swept + clearance)/volume: 1 at the bottom, the static ratio at the top.
    pub ratio: f64,
}

/// One cylinder that can exist: dimensions that passed every check, with
/// their figures.
///
/// ```
/// use crowndeck::engine::{Dims, Engine, Key};
/// let dims = Dims::new()
///     .with(Key::Bore, 80.0)
///     .with(Key::Stroke, 62.0)
///     .with(Key::RodLength, 118.0)
///     .with(Key::CompressionHeight, 36.0)
///     .with(Key::CaseHeight, 97.1)
///     .with(Key::BarrelLength, 88.6)
///     .with(Key::BaseShim, 0.5)
///     .with(Key::ChamberVolume, 33.5);
/// let engine = Engine::new(dims)?;
/// // 97.1 + 0.5 + 88.6 − (31 + 118 + 36) = 1.2 mm below.
/// assert!((engine.figures().deck_clearance - 1.2).abs() < 1e-12);
/// # Ok::<(), Vec<crowndeck::engine::Fault>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engine {
    dims: Dims<f64>,
    figures: Figures<f64>,
}

impl Engine {
    /// Checks the dimensions and computes their figures.
    ///
    /// # Errors
    /// Every fault that was found, never only the first: a missing or
    /// non-finite value, a value out of its range, a top land wider than the
    /// bore, a rod that is not longer than throw + |offset|, a clearance
    /// volume that is not above 0, a rim that meets the head.
    pub fn new(dims: Dims<f64>) -> Result<Self, Vec<Fault>> {
        let mut faults = value_faults(&dims);
        // None exactly where a required value is missing, which is a fault.
        let Some(figures) = compute(&dims) else { return Err(faults) };
        if faults.is_empty() {
            faults = shape_faults(&dims);
        }
        if faults.is_empty() {
            faults = space_faults(&dims, &figures);
        }
        if faults.is_empty() { Ok(Self { dims, figures }) } else { Err(faults) }
    }

    /// The dimensions as given.
    #[must_use]
    pub fn dims(&self) -> &Dims<f64> {
        &self.dims
    }

    /// The figures.
    #[must_use]
    pub fn figures(&self) -> &Figures<f64> {
        &self.figures
    }

    /// Figures of dimensions that may describe an impossible engine: for
    /// searching across such a region. None where a required one is missing.
    pub(crate) fn unchecked_figures(dims: &Dims<f64>) -> Option<Figures<f64>> {
        compute(dims)
    }

    /// The figures with their exact partial derivative along one dimension,
    /// per mm, cc or degree. None for a dimension that is absent and has no
    /// value that stands for it.
    #[must_use]
    pub fn slopes(&self, key: Key) -> Option<Figures<super::scalar::Dual>> {
        self.dims.filled(key)?;
        compute(&self.dims.varying(key))
    }

    /// Volume and ratio at an angle in degrees after piston top dead centre.
    #[must_use]
    pub fn space(&self, angle_deg: f64) -> Space {
        self.space_at(self.figures.crank.position(angle_deg.to_radians()))
    }

    /// Volume and ratio where the piston stands this far below top dead
    /// centre, mm.
    #[must_use]
    pub fn space_at(&self, position_mm: f64) -> Space {
        let f = &self.figures;
        let volume_cc = f.clearance_volume + f.bore_area * position_mm / MM3_PER_CC;
        Space { volume_cc, ratio: (f.swept + f.clearance_volume) / volume_cc }
    }
}
