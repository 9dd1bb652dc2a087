//! What was measured, with which instrument, and how far it can be trusted.
//!
//! [`evaluate()`] brings repeated readings together; [`Combined`] and
//! [`simulate`] carry their doubts into a result, to first order and by
//! trials; [`Comparison`] holds two routes to the same thing against each
//! other.

pub mod burette;
pub mod catalogue;
pub mod cause;
pub mod combine;
pub mod compare;
pub mod component;
pub mod coverage;
pub mod evaluate;
pub mod monte_carlo;
pub mod outlier;
pub mod random;
pub mod record;
pub mod remark;
mod run;
mod scale;
pub mod second_order;
pub mod sets;
pub mod stats;
pub mod stop;

pub use cause::Cause;
pub use combine::{Combined, Uncertainty};
pub use compare::Comparison;
pub use component::{Origin, Shape, Shared, UncertaintyComponent};
pub use evaluate::{Estimate, Evaluation, Outlier, PlaceMean, Rock, evaluate};
pub use monte_carlo::{Sample, TrialError, Trials, Variable, simulate};
pub use record::{DeckPlace, Instrument, Reading, State, Subject, Value};
pub use remark::Remark;
pub use second_order::second_order;
