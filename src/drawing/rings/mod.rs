//! Pictures of the piston rings: the bore in plan with the gaps around it, and
//! a ring in its groove.

pub mod groove;
pub mod plan;
mod polar;
mod wall;
