//! What a section is made from, and the words that several subjects share.

use super::section::{Note, Weight};
use crate::project::Project;
use crate::quantity::UnitChoice;
use crate::study::cautions::{self, Decision, Situation};
use crate::study::{Answers, Judgement, Question, Subject, Verdict};

/// What every binder says about itself.
pub(crate) const DEFERS: &str = "All figures were computed from what was typed and read. The maker's and the machinist's \
    figures and local rules come first. Measure again with the real parts before the engine is closed.";

/// The document, what was asked of it and what follows.
#[derive(Clone, Copy)]
pub struct Context<'a> {
    /// The document.
    pub project: &'a Project,
    /// What was asked.
    pub question: &'a Question,
    /// What follows.
    pub answers: &'a Answers,
    /// The units of computed values.
    pub units: UnitChoice,
    /// The cylinder that is drawn, from 0.
    pub cylinder: usize,
    /// The crank angle at which the section is drawn, degrees after top dead
    /// centre.
    pub crank_deg: f64,
}

impl<'a> Context<'a> {
    /// The label of a cylinder.
    pub(super) fn label(&self, cylinder: usize) -> &'a str {
        self.question.cylinders.get(cylinder).map_or("", |input| input.label.as_str())
    }

    /// The label of a head.
    pub(crate) fn head_label(&self, head: usize) -> &'a str {
        self.question.heads.get(head).map_or("", |input| input.label.as_str())
    }

    /// The cautions that stand beside these decisions, those of the drawn
    /// cylinder's figures first, each once.
    pub(super) fn beside(&self, decisions: &[Decision]) -> Vec<Note> {
        let solved = self.answers.cylinders.get(self.cylinder).and_then(|answer| answer.solved());
        let build = &self.question.build;
        let situation =
            solved.map(|solved| Situation { engine: &solved.engine, limits: &self.question.limits, build });
        let mut found: Vec<&cautions::Caution> = Vec::new();
        for &decision in decisions {
            for caution in cautions::cautions_for(decision, build, situation.as_ref()) {
                if !found.contains(&caution) {
                    found.push(caution);
                }
            }
        }
        // The heavier ones first; the order within stays.
        found.sort_by_key(|caution| !caution.is_about_figures());
        let weight = |c: &cautions::Caution| {
            if c.is_about_figures() { Weight::Close } else { Weight::Standing }
        };
        found.into_iter().map(|c| Note { weight: weight(c), text: c.text.to_owned() }).collect()
    }
}

/// Judgements, the worst first; cylinders of which the same is said stand
/// together: "cylinders 1, 2 and 3".
pub(super) fn grouped<'a>(c: &Context<'a>, least_severity: u8) -> Vec<(String, &'a Judgement)> {
    let mut all: Vec<&Judgement> =
        c.answers.judged().filter(|judged| judged.verdict.severity() >= least_severity).collect();
    all.sort_by_key(|judged| std::cmp::Reverse(judged.verdict.severity()));
    let mut groups: Vec<(String, Vec<usize>, &Judgement)> = Vec::new();
    for judged in all {
        let sentence = judged.sentence(&c.units);
        let Subject::Cylinder(cylinder) = judged.subject else {
            groups.push((sentence, Vec::new(), judged));
            continue;
        };
        match groups.iter_mut().find(|(says, cylinders, _)| !cylinders.is_empty() && *says == sentence) {
            Some((_, cylinders, _)) => cylinders.push(cylinder),
            None => groups.push((sentence, vec![cylinder], judged)),
        }
    }
    let of = |cylinders: &[usize], judged: &Judgement| match (judged.subject, cylinders) {
        (Subject::Engine, _) => "engine".to_owned(),
        (Subject::Head(head), _) => format!("head {}", c.head_label(head)),
        (Subject::Cylinder(_), [one]) => format!("cylinder {}", c.label(*one)),
        (Subject::Cylinder(_), cylinders) => {
            let labels: Vec<&str> = cylinders.iter().map(|&cylinder| c.label(cylinder)).collect();
            format!("cylinders {}", labels.join(", "))
        }
    };
    groups.into_iter().map(|(_, cylinders, judged)| (of(&cylinders, judged), judged)).collect()
}

/// A text at the start of a sentence.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// How much a verdict weighs on a sheet.
pub(super) fn weight(verdict: &Verdict) -> Weight {
    match verdict {
        Verdict::Over { .. } => Weight::Broken,
        Verdict::TooNear | Verdict::Unknown { .. } => Weight::Close,
        Verdict::Inside { .. } => Weight::Standing,
    }
}
