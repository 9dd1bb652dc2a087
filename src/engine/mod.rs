//! Dimensions of an engine and the geometry that follows from them. Pure
//! functions of numbers: no files, no clock, no screen.

mod checks;
pub(crate) mod columns;
pub(crate) mod crank;
pub(crate) mod dimension;
pub(crate) mod dims;
pub(crate) mod fault;
pub(crate) mod figures;
pub mod num;
pub(crate) mod provenance;
pub mod scalar;
pub mod solid;
pub mod words;

pub(crate) use columns::{Absent, Allowed, Course, Exists, Gauge, Group, Stack};
pub(crate) use crank::Crank;
pub(crate) use dimension::Component;
pub use dimension::Key;
pub use dims::Dims;
pub use fault::Fault;
pub(crate) use fault::FaultKind;
pub use figures::{Engine, Figures};
pub use provenance::Provenance;
pub(crate) use scalar::{Dual, Scalar};
