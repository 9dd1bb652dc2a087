//! Choice of shims under each barrel, with reasons: the best of all choices
//! that the stock allows, proved, or the proof that there is none.
//!
//! A choice holds every limit. Among those that do, the one whose worst
//! distance from the wanted ratio is the least is best; equal to a billionth,
//! the more level one, then the one of fewer pieces, then the thinner one. The
//! stock is shared by all heads.
//!
//! The parts: [`ShimQuestion`]; a table of every stack and of each cylinder
//! with it; a problem as a search sees it; the search; the best for all heads
//! together, the best few under each head; why, and remedies.

mod answer;
mod choice;
mod formatter;
mod optimise;
mod problem;
mod question;
mod ranked;
mod remeasurement;
mod remedies;
mod search;
mod stock;
mod table;
mod verification;
mod why;

pub use crate::advise::budget::{Budget, MAX_NODES};
pub use answer::{HeadAnswer, Proof, ShimAnswer, answer};
pub use choice::ShimChoice;
pub(crate) use choice::{Fit, judged, worst};
pub use formatter::ShimFormatter;
pub(crate) use formatter::stack_text;
pub(crate) use question::Clamp;
pub use question::ShimQuestion;
pub(crate) use remeasurement::Remeasurement;
pub(crate) use stock::Foil;
pub use stock::Stock;
pub(crate) use verification::{Verification, verify};
