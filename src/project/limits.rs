//! The limits of a project with all that belongs to them: what is set, whether
//! anything feeds them, and what can be proposed for an engine of this kind.

use super::Project;
use crate::quantity::Quantity;
use crate::schema::limit::{Feed, Judged, LimitId, LimitText};
use crate::study::{Question, defaults, judging};

/// One limit of a project.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LimitLine {
    /// The limit.
    pub id: LimitId,
    /// As it was given; none while it is off.
    pub given: Option<LimitText>,
    /// Its value in the base unit.
    pub value: Option<f64>,
    /// Whether there is something for it to judge.
    pub fed: bool,
    /// What is proposed for an engine that is built and used like this one.
    pub proposals: Vec<LimitText>,
}

impl Project {
    /// What is proposed for a limit, the one to try first before the others.
    /// What is set already is not proposed again.
    pub(crate) fn proposals(&self, question: &Question, id: LimitId) -> Vec<LimitText> {
        let given = self.limits.text(id);
        defaults::proposals(id, &question.build)
            .filter_map(|rule| rule.text(id))
            .filter(|proposed| given.as_ref() != Some(proposed))
            .collect()
    }

    /// Every limit of the list, in its order.
    pub(crate) fn limit_lines(&self) -> Vec<LimitLine> {
        let question = self.question();
        let judgeable = judging::judgeable(&question);
        let line = |id: LimitId| {
            let kept = self.kept_with_its_part(id);
            LimitLine {
                id,
                given: kept
                    .map(|kept| LimitText { value: kept.text().to_owned(), source: String::new() })
                    .or_else(|| self.limits.text(id)),
                value: kept.map(Quantity::base).or_else(|| self.limits.value(id)),
                fed: self.feeds(id, &judgeable),
                proposals: self.proposals(&question, id),
            }
        };
        LimitId::all().map(line).collect()
    }

    /// The value of a limit that is no field of the limits.
    fn kept_with_its_part(&self, id: LimitId) -> Option<&Quantity> {
        match id {
            LimitId::ThreadMin => self.engine.clamp.as_ref().map(|clamp| &clamp.least),
            _ => None,
        }
    }

    /// Whether there is something to judge: a value, or what a choice of shims
    /// is made from.
    fn feeds(&self, id: LimitId, judgeable: &[Judged]) -> bool {
        let is_judged = judgeable.iter().any(|what| what.limits().any(|row| row.id == id));
        let also = |feed: &Feed| match feed {
            Feed::Stock => !self.shims.is_empty(),
            Feed::Clamp => self.engine.clamp.is_some(),
            Feed::Figure(_) | Feed::Dimension(_) | Feed::Duty(_) | Feed::PistonToValve(_) => false,
        };
        is_judged || id.judged().fed_by.iter().any(also)
    }
}
