//! Readings, the instruments behind them, and their uncertainty.
//!
//! `evaluate()` brings repeated readings together; [`Combined`] and
//! `simulate` propagate their uncertainty into a result, to first order and
//! by trials; [`Comparison`] holds two routes to the same thing against each
//! other.

pub(crate) mod burette;
pub(crate) mod catalogue;
pub(crate) mod cause;
pub mod combine;
pub(crate) mod compare;
pub mod component;
pub mod coverage;
pub(crate) mod evaluate;
pub(crate) mod monte_carlo;
pub mod outlier;
pub(crate) mod random;
pub(crate) mod record;
pub(crate) mod remark;
mod run;
mod scale;
pub(crate) mod second_order;
pub(crate) mod sets;
pub(crate) mod stats;
pub(crate) mod stop;

pub use cause::Cause;
pub(crate) use combine::{Combined, Uncertainty};
pub use compare::Comparison;
pub(crate) use component::{Origin, Shared};
pub use component::{Shape, UncertaintyComponent};
pub(crate) use evaluate::{Estimate, Evaluation, Outlier, PlaceMean, evaluate};
pub(crate) use monte_carlo::{Sample, TrialError, Trials, Variable, simulate};
pub(crate) use record::{CrankAngle, DeckPlace, Instrument, Reading, State, Value};
pub use record::{Subject, Valve};
pub(crate) use remark::Remark;
pub(crate) use second_order::second_order;
