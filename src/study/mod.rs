//! The questions: figures, curves, effects, target, limits and cautions.

pub mod adopt;
pub mod answers;
pub mod bench;
pub mod build;
pub mod cautions;
pub mod curves;
pub mod defaults;
pub mod effects;
pub mod judging;
pub mod level;

pub mod measured;
pub mod outlying_parts;
pub mod plausible;
pub mod question;
pub mod routes;
pub mod target;
pub mod uncertainty;
pub mod verdict;
pub mod words;

pub use answers::{Answers, CylinderAnswer, HeadAnswer, Solved};
pub use curves::{CurvePoint, curves};
pub use effects::{Effect, Outputs, ToTarget, effects};
pub use measured::Measured;
pub use question::{CylinderInput, DimensionProvenance, ExpandedUncertainty, HeadInput, Question, ValveGap};
pub use routes::{Crosscheck, Route};
pub use target::TargetRatio;
pub use uncertainty::{Components, Figure, Propagated};
pub use verdict::{Judgement, Subject, Verdict, What};
