//! The parts and their geometry. Pure functions of numbers: no files, no
//! clock, no screen.

mod checks;
pub mod crank;
pub mod dims;
pub mod fault;
pub mod figures;
pub mod key;
pub mod known;
pub mod num;
pub mod scalar;
pub mod solid;
pub mod words;

pub use crank::{Crank, Motion};
pub use dims::Dims;
pub use fault::{Fault, FaultKind};
pub use figures::{Clearance, Engine, Figures, Space};
pub use key::{Absent, Allowed, Group, Key, Row};
pub use known::Known;
pub use scalar::{Dual, Scalar};
