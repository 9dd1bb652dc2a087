//! The sheets of the binder, each made from the same context.

pub(crate) mod assembly;
pub(crate) mod chambers;
pub(crate) mod cover;
pub(crate) mod curves;
pub(crate) mod effects;
pub(crate) mod figures;
pub(crate) mod open_items;
pub(crate) mod readings;
pub(crate) mod rings;
pub(crate) mod section_tables;
pub(crate) mod shims;
pub(crate) mod signatures;
pub(crate) mod towers;
pub(crate) mod valves;
pub(crate) mod work_order;

use super::binder::Context;
use super::cautions::{Caution, Weight};
use crate::study::cautions::{self, Decision, Situation};
use crate::study::{Judgement, Subject, Verdict};

/// What every binder says about itself.
pub(super) const DEFERS: &str = "All figures were computed from what was typed and read. The maker's and the machinist's \
    figures and local rules come first. Measure again with the real parts before the engine is closed.";

impl<'a> Context<'a> {
    /// The label of a cylinder.
    fn label(&self, cylinder: usize) -> &'a str {
        self.question.cylinders.get(cylinder).map_or("", |input| input.label.as_str())
    }

    /// The label of a head.
    fn head_label(&self, head: usize) -> &'a str {
        self.question.heads.get(head).map_or("", |input| input.label.as_str())
    }

    /// The cautions that stand beside these decisions, those of the drawn
    /// cylinder's figures first, each once.
    fn beside(&self, decisions: &[Decision]) -> Vec<Caution> {
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
        found.into_iter().map(|c| Caution { weight: weight(c), text: c.text.to_owned() }).collect()
    }
}

/// Judgements, the worst first; cylinders of which the same is said stand
/// together: "cylinders 1, 2 and 3".
fn grouped<'a>(c: &Context<'a>, least_severity: u8) -> Vec<(String, &'a Judgement)> {
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
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// How much a verdict weighs on a sheet.
fn weight(verdict: &Verdict) -> Weight {
    match verdict {
        Verdict::Over { .. } => Weight::Broken,
        Verdict::TooNear | Verdict::Unknown { .. } => Weight::Close,
        Verdict::Inside { .. } => Weight::Standing,
    }
}
