//! How the engine is built and used, as far as it decides which limits are
//! proposed and which cautions apply.

pub use crate::schema::Usage;

/// What carries the top of the cylinder.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Construction {
    /// Separate barrels on the case, raised by shims.
    #[default]
    Barrels,
    /// Cylinders and case in one casting; gasket and machining set the gap.
    Block,
}

/// Strokes in a cycle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Cycle {
    /// Valves; compression starts at intake closing.
    #[default]
    FourStroke,
    /// Ports in the cylinder; compression starts at port closing.
    TwoStroke,
}

/// What lights the charge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Ignition {
    /// A spark.
    #[default]
    Spark,
    /// Compression, fuel injected into the cylinder.
    DieselDirect,
    /// Compression, fuel injected into a chamber beside the cylinder.
    DieselIndirect,
}

/// What carries the heat away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cooling {
    /// Air over fins.
    Air,
    /// Water or another liquid.
    Water,
}

/// What the cylinder head is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeadMaterial {
    /// Cast iron.
    Iron,
    /// Aluminium alloy.
    Alloy,
}

/// What the rods are made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum RodMaterial {
    /// Steel.
    #[default]
    Steel,
    /// Aluminium: longer when hot, and it stretches more.
    Aluminium,
}

/// How the engine is built and used.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Build {
    /// What carries the top of the cylinder.
    pub construction: Construction,
    /// Strokes in a cycle.
    pub cycle: Cycle,
    /// What lights the charge.
    pub ignition: Ignition,
    /// What carries the heat away, where known.
    pub cooling: Option<Cooling>,
    /// What the head is made of, where known.
    pub head: Option<HeadMaterial>,
    /// What the rods are made of.
    pub rods: RodMaterial,
    /// How hard the engine works.
    pub usage: Usage,
    /// Octane number of the fuel, research method (RON).
    pub fuel_ron: Option<f64>,
    /// The greatest speed at which the engine will run, turns per minute.
    pub max_rpm: Option<f64>,
}

impl Build {
    /// Whether a spark lights the charge of a four-stroke.
    #[must_use]
    pub fn is_petrol_four_stroke(&self) -> bool {
        self.cycle == Cycle::FourStroke && self.ignition == Ignition::Spark
    }
}

/// Mean piston speed, m/s: the piston goes down and up once a turn, so it
/// travels twice the stroke (definition; W. W. Pulkrabek, Engineering
/// Fundamentals of the Internal Combustion Engine, ch. 2, gives the same, from
/// memory). `stroke_mm` is the distance between the dead centres.
#[must_use]
pub fn mean_piston_speed(stroke_mm: f64, rpm: f64) -> f64 {
    2.0 * (stroke_mm / 1000.0) * (rpm / 60.0)
}
