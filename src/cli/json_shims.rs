//! The JSON object of `shims`. Its keys are a promise to other programs:
//!
//! ```json
//! {"format": 1, "project": "…", "target_ratio": 9.0, "margin": "none", "proof": "…", "remarks": ["…"],
//!  "heads": [{"head": "L", "possible": true,
//!    "choices": [{"worst_ratio_error": 0, "level_spread_mm": 0, "pieces": 1,
//!      "barrels": [{"cylinder": "1", "stack_mm": [0.15], "deck_clearance_mm": 0,
//!        "squish_clearance_mm": 0, "static_ratio": 0}]}],
//!    "near_misses": [{"stacks_mm": [[0.15]], "breaks": ["…"]}],
//!    "why_none": ["…"]}],
//!  "cautions": ["…"]}
//! ```
//!
//! Choices stand best first; those that stand first for each head can be
//! fitted together. `target_ratio` and `worst_ratio_error` are null where no
//! ratio is wanted.

use super::json::{FORMAT, Number, n};
use super::shims::Shims;
use crate::advise::shims::ShimChoice;
use crate::schema::Margin;
use crate::study::TargetRatio;
use serde::Serialize;

/// `shims --json`.
#[derive(Debug, Serialize)]
pub(super) struct ShimsObject {
    pub format: u32,
    pub project: String,
    pub target_ratio: Option<Number>,
    pub margin: &'static str,
    pub proof: String,
    pub remarks: Vec<String>,
    pub heads: Vec<Head>,
    pub cautions: Vec<&'static str>,
}

/// The barrels under one head.
#[derive(Debug, Serialize)]
pub(super) struct Head {
    pub head: String,
    pub possible: bool,
    pub choices: Vec<Chosen>,
    pub near_misses: Vec<Miss>,
    pub why_none: Vec<String>,
}

/// One choice.
#[derive(Debug, Serialize)]
pub(super) struct Chosen {
    pub worst_ratio_error: Option<Number>,
    pub level_spread_mm: Number,
    pub pieces: u32,
    pub barrels: Vec<Barrel>,
}

/// What lies under one barrel and what comes of it.
#[derive(Debug, Serialize)]
pub(super) struct Barrel {
    pub cylinder: String,
    pub stack_mm: Vec<Number>,
    pub deck_clearance_mm: Number,
    pub squish_clearance_mm: Number,
    pub static_ratio: Number,
}

/// A choice that breaks a limit.
#[derive(Debug, Serialize)]
pub(super) struct Miss {
    pub stacks_mm: Vec<Vec<Number>>,
    pub breaks: Vec<String>,
}

impl ShimsObject {
    pub(super) fn of(shims: &Shims) -> Self {
        let telling = shims.telling();
        let question = &shims.ask.question;
        let heads = shims.answer.heads.iter().map(|head| Head {
            head: question.heads.get(head.head).map_or_else(String::new, |h| h.label.clone()),
            possible: head.is_possible(),
            choices: head.choices.iter().map(|choice| Chosen::of(shims, choice)).collect(),
            near_misses: head
                .misses
                .iter()
                .map(|miss| Miss {
                    stacks_mm: miss.fits.iter().map(|fit| numbers(&fit.stack_mm)).collect(),
                    breaks: miss.breaks.iter().map(|broken| telling.broken(broken)).collect(),
                })
                .collect(),
            why_none: telling.why_none(&shims.answer, head),
        });
        Self {
            format: FORMAT,
            project: shims.project.title.clone(),
            target_ratio: question.target.map(TargetRatio::get).map(n),
            margin: match shims.ask.margin {
                Margin::None => "none",
                Margin::Uncertainty => "doubt",
            },
            proof: telling.proof(&shims.answer),
            remarks: shims.remarks(),
            heads: heads.collect(),
            cautions: shims.cautions().iter().map(|caution| caution.text).collect(),
        }
    }
}

impl Chosen {
    fn of(shims: &Shims, choice: &ShimChoice) -> Self {
        let label = |place: usize| shims.ask.question.cylinders.get(place).map(|c| c.label.clone());
        let barrels = choice.fits.iter().map(|fit| Barrel {
            cylinder: label(fit.cylinder).unwrap_or_default(),
            stack_mm: numbers(&fit.stack_mm),
            deck_clearance_mm: n(fit.deck_mm),
            squish_clearance_mm: n(fit.squish_mm),
            static_ratio: n(fit.ratio),
        });
        Self {
            worst_ratio_error: choice.worst_ratio_error.map(n),
            level_spread_mm: n(choice.level_spread_mm),
            pieces: choice.pieces,
            barrels: barrels.collect(),
        }
    }
}

fn numbers(values: &[f64]) -> Vec<Number> {
    values.iter().map(|value| n(*value)).collect()
}
