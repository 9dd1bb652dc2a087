//! Limits that a cylinder would break with other dimensions than its own: the
//! question behind every part that could be fitted and every cut that could be
//! made.

use crate::engine::{Dims, Engine, Fault};
use crate::schema::limit::Judged;
use crate::study::judging;
use crate::study::question::Question;
use crate::study::verdict::{Judgement, TOUCH};

/// The limits of a cylinder that a part or a cut above the piston moves.
const MOVED: [Judged; 5] =
    [Judged::Squish, Judged::RatioWanted, Judged::RatioForFuel, Judged::Effective, Judged::Trapped];

/// A cylinder with other dimensions.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct WhatIf {
    /// Its figures.
    pub engine: Engine,
    /// The judgements of squish and ratios.
    pub judged: Vec<Judgement>,
}

impl WhatIf {
    /// Evaluates one cylinder of the question with these dimensions in place of
    /// its own.
    ///
    /// # Errors
    /// Every reason why it could not exist; empty for a cylinder that is not in
    /// the question.
    pub(crate) fn evaluate(question: &Question, cylinder: usize, dims: Dims) -> Result<Self, Vec<Fault>> {
        let engine = Engine::new(dims)?;
        let mut judged = judging::cylinder(question, cylinder, &engine);
        judged.retain(|j| MOVED.contains(&j.what));
        Ok(Self { engine, judged })
    }

    /// Returns the limits that are broken by the values, whatever their
    /// uncertainty.
    pub(crate) fn broken(&self) -> impl Iterator<Item = &Judgement> {
        self.judged.iter().filter(|j| over(j) > TOUCH)
    }

    /// Returns the limits that are held by the values, and lie inside their
    /// uncertainty.
    pub(crate) fn too_near(&self) -> impl Iterator<Item = &Judgement> {
        self.judged.iter().filter(|j| over(j) <= TOUCH && over(j) > -j.doubt.unwrap_or(0.0))
    }
}

/// Returns the distance of a figure outside its limits, in its own unit; below
/// 0 inside.
#[must_use]
pub(crate) fn over(judged: &Judgement) -> f64 {
    let Some(value) = judged.value else { return f64::NEG_INFINITY };
    let below = judged.low.map_or(f64::NEG_INFINITY, |low| low - value);
    let above = judged.high.map_or(f64::NEG_INFINITY, |high| value - high);
    below.max(above)
}
