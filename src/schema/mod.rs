//! What a person gives beside the engine and the readings: the limits that a
//! result is held against, the parts to choose from, the rings, the duty.
//! Plain data; the studies use it and the project file holds it.

mod bench;
pub(crate) mod bounds;
mod duty;
mod duty_field;
pub mod limit;
mod ring_layout;
mod rings;
mod stock;

pub use bench::{BenchStep, Torque, TorqueUnit};
pub(crate) use duty::Duty;
pub use duty::Usage;
pub(crate) use duty_field::DutyField;
pub use ring_layout::Role;
pub(crate) use ring_layout::{GapAt, Port, RingLayout, Temperatures};
pub(crate) use rings::{FittedRing, Ring, WantedGap};
pub use stock::{Aim, Margin, Shim};
pub(crate) use stock::{Choosing, HeadGasket, StandClass};
