//! The questions: figures, curves, effects, target, limits and cautions.

pub mod curves;
pub mod effects;
pub mod given;
pub mod target;

pub use curves::{CurvePoint, curves};
pub use effects::{Effect, Outputs, ToTarget, effects};
pub use target::TargetRatio;
