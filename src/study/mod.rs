//! The questions: figures, curves, effects, target, limits and cautions.

pub(crate) mod adopt;
pub(crate) mod answers;
pub(crate) mod bench;
pub mod build;
pub(crate) mod cautions;
pub mod curves;
pub mod defaults;
pub mod effects;
pub(crate) mod judging;
pub mod level;

pub(crate) mod measured;
pub(crate) mod outlying_parts;
pub mod plausible;
pub(crate) mod question;
pub mod routes;
pub(crate) mod target;
pub(crate) mod uncertainty;
pub mod verdict;
pub mod words;

pub use answers::Answers;
pub(crate) use answers::{CylinderAnswer, Solved};
pub(crate) use curves::CurvePoint;
pub use curves::curves;
pub(crate) use effects::Effect;
pub use effects::{Outputs, effects};
pub(crate) use measured::Measured;
pub use question::{CylinderInput, HeadInput, Question};
pub(crate) use question::{DimensionProvenance, ExpandedUncertainty, ValveGap};
pub(crate) use routes::{Crosscheck, Route};
pub use target::TargetRatio;
pub(crate) use uncertainty::{Figure, Propagated};
pub(crate) use verdict::{Judgement, Subject, Verdict};
