//! What a person gives beside the engine and the readings: the limits that a
//! result is held against, the parts to choose from, the rings, the duty.
//! Plain data; the studies use it and the project file holds it.

mod bench;
mod duty;
pub mod limit;
mod limit_list;
mod limits;
mod ring_layout;
mod rings;
mod stock;

pub use bench::{BenchStep, Torque, TorqueUnit};
pub use duty::{Duty, Rod};
pub use limit_list::{Form, LimitError, LimitName, LimitText};
pub use limits::{COMMON_PRACTICE, Limit, Limits};
pub use ring_layout::{GapAt, Port, RingLayout, Role, Temperatures};
pub use rings::{FittedRing, Ring, WantedGap};
pub use stock::{Aim, Choosing, HeadGasket, Margin, Shim, StandClass};
