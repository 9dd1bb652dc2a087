//! Pictures of the piston rings: the bore in plan with the gaps around it, a
//! ring in its groove, and the way to file a gap.

pub(crate) mod filing;
pub(crate) mod groove;
pub mod plan;
mod polar;
mod wall;
