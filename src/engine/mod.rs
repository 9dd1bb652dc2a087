//! The parts and their geometry. Pure functions of numbers: no files, no
//! clock, no screen.

mod checks;
pub mod crank;
pub mod dimension;
pub mod dims;
pub mod fault;
pub mod figures;
pub mod num;
pub mod provenance;
pub mod scalar;
pub mod solid;
pub mod words;

pub use crank::{Crank, Motion};
pub use dimension::{Absent, Allowed, DimensionRow, Group, Key};
pub use dims::Dims;
pub use fault::{Fault, FaultKind};
pub use figures::{Clearance, Engine, Figures, Space};
pub use provenance::Provenance;
pub use scalar::{Dual, Scalar};
