//! The parts and their geometry. Pure functions of numbers: no files, no
//! clock, no screen.

pub mod key;
pub mod num;
pub mod scalar;

pub use key::{Absent, Allowed, Group, Key, Row};
