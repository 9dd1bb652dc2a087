//! Which gasket: under the head of a block by limits and ratio, or by the
//! class of the piston that stands highest; under the barrel of a two-stroke
//! with what it does to the ports.

mod graded;
mod heads;
mod ladder;
mod ports;

pub use graded::{Class, Graded, Stand, graded};
pub use heads::{HeadChoice, Offered, Reason, Tried, choose};
pub use ladder::{Effect, Ladder, Rung, ladder};
pub use ports::{Port, on_base};

#[cfg(test)]
mod tests;
