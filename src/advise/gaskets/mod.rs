//! Choice of gaskets: under the head of a block by limits and ratio, or by the
//! class of the highest piston; under the barrel of a two-stroke with the
//! effect on the ports.

mod graded;
mod heads;
mod ladder;
mod ports;

pub(crate) use graded::graded;
pub(crate) use heads::{HeadChoice, Offered, Tried, choose};
pub(crate) use ladder::{Effect, Ladder, Rung, ladder};
pub(crate) use ports::{Port, on_base};

#[cfg(test)]
mod tests;
