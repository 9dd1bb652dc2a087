//! Scenes: the one way in which window and paper come from a project, its
//! answers and its rings to the inputs of a drawing.

pub mod cylinder;
pub(crate) mod rings;
pub(crate) mod shim_bank;
