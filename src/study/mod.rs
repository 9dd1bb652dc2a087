//! The questions: figures, curves, effects, target, limits and cautions.

pub mod answers;
pub mod bench;
pub mod build;
pub mod cautions;
pub mod curves;
pub mod defaults;
pub mod effects;
pub mod gaskets;
pub mod given;
pub mod held;
pub mod judging;
pub mod level;
pub mod limits;
pub mod measured;
pub mod parts;
pub mod plausible;
pub mod question;
pub mod rings;
pub mod routes;
pub mod shims;
pub mod taken;
pub mod target;
pub mod uncertainty;
pub mod uncertainty_next;
pub mod verdict;
pub mod words;

pub use answers::{Answers, CylinderAnswer, HeadAnswer, Solved};
pub use curves::{CurvePoint, curves};
pub use effects::{Effect, Outputs, ToTarget, effects};
pub use measured::Measured;
pub use question::{CylinderInput, Doubt, HeadInput, Provenance, Question, ValveGap};
pub use routes::{Crosscheck, Route};
pub use target::TargetRatio;
pub use uncertainty::{Doubts, Figure, Propagated};
pub use verdict::{Judged, Subject, Verdict, What};
