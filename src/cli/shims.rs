//! `crowndeck shims`.

use super::args::{MarginArg, ShimsArgs};
use super::failure::{Failure, fault_messages};
use super::input::load;
use super::json;
use super::json_shims::ShimsObject;
use super::output::{TextTable, print};
use crate::advise::shims::{
    Budget, HeadAnswer, MAX_NODES, ShimAnswer, ShimChoice, ShimFormatter, ShimQuestion, answer, judged,
    stack_text, worst,
};
use crate::engine::words::gap;
use crate::project::Project;
use crate::quantity::{Kind, write};
use crate::schema::{Aim, Margin};
use crate::study::cautions::{self, Caution, Decision};
use crate::study::words::plain;

/// A project with the choice of its shims.
pub(super) struct Shims {
    /// The document.
    pub project: Project,
    /// What was asked.
    pub ask: ShimQuestion,
    /// The answer.
    pub answer: ShimAnswer,
}

/// Answers `shims`.
///
/// # Errors
/// Faults of the file, or of a cylinder that can't exist whatever lies under
/// it.
pub(super) fn run(args: &ShimsArgs) -> Result<(), Failure> {
    let shims = Shims::of(load(&args.project)?, args)?;
    let text = if args.json { json::text(&ShimsObject::of(&shims))? } else { shims.text() };
    print(&text)
}

impl Shims {
    fn of(project: Project, args: &ShimsArgs) -> Result<Self, Failure> {
        let margin = match args.margin {
            MarginArg::None => Margin::None,
            MarginArg::Doubt => Margin::Uncertainty,
        };
        let ask = project.shim_ask(margin, Aim::Ratio);
        let answer = answer(&ask, &mut Budget::new(MAX_NODES, &|| false));
        let faults: Vec<String> = answer
            .faults
            .iter()
            .zip(&ask.question.cylinders)
            .flat_map(|(faults, cylinder)| fault_messages(Some(&cylinder.label), faults))
            .collect();
        if faults.is_empty() { Ok(Self { project, ask, answer }) } else { Err(Failure::Engine(faults)) }
    }

    pub(super) fn telling(&self) -> ShimFormatter<'_> {
        ShimFormatter { ask: &self.ask, units: &self.project.units }
    }

    /// What a person should know about the drawer before the choices.
    pub(super) fn remarks(&self) -> Vec<String> {
        self.telling().remarks()
    }

    /// The cautions beside this decision.
    pub(super) fn cautions(&self) -> Vec<&'static Caution> {
        cautions::cautions_for(Decision::Shim, &self.ask.question.build, None)
    }

    fn text(&self) -> String {
        let mut text = format!("{}\n", self.project.title);
        if let Some(target) = self.ask.question.target {
            text.push_str(&format!("Ratio wanted: {}\n", plain(target.get(), 2)));
        }
        for remark in self.remarks() {
            text.push_str(&format!("{remark}\n"));
        }
        for head in &self.answer.heads {
            text.push_str(&self.head(head));
        }
        text.push_str(&format!("\n{}\n", self.telling().proof(&self.answer)));
        text.push_str("\nCautions\n");
        for caution in self.cautions() {
            text.push_str(&format!("  {}\n", caution.text));
        }
        text
    }

    fn head(&self, head: &HeadAnswer) -> String {
        let telling = self.telling();
        let label = self.ask.question.heads.get(head.head).map_or("", |h| h.label.as_str());
        let mut text = format!("\nHead {label}\n");
        for sentence in telling.why_none(&self.answer, head) {
            text.push_str(&format!("  {sentence}\n"));
        }
        for (place, choice) in head.choices.iter().enumerate() {
            let gives_up = match head.choices.first() {
                Some(best) if place > 0 => format!(": {}", telling.gives_up(choice, best)),
                _ => String::new(),
            };
            text.push_str(&format!("  Choice {}{gives_up}\n", place + 1));
            if place == 0 {
                text.push_str(&self.table(choice));
                if let Some(judged) = worst(&judged(&self.ask.question, head.head, &choice.fits)) {
                    text.push_str(&format!("    {}\n", judged.sentence(&self.project.units)));
                }
            } else {
                text.push_str(&format!("    {}\n", telling.outcome(choice)));
            }
        }
        if !head.misses.is_empty() {
            text.push_str("  Not chosen, and why\n");
            for miss in &head.misses {
                let breaks: Vec<String> = miss.breaks.iter().map(|b| telling.broken(b)).collect();
                text.push_str(&format!("    {}: {}\n", telling.outcome(miss), breaks.join("; ")));
            }
        }
        text
    }

    fn table(&self, choice: &ShimChoice) -> String {
        let units = &self.project.units;
        let length = |mm: f64| write(Kind::Length, mm, None, units);
        let mut table = TextTable::new(["Cylinder", "Shims", ">Deck clearance", ">Squish", ">Ratio"]);
        for fit in &choice.fits {
            let label = self.ask.question.cylinders.get(fit.cylinder).map_or("", |c| c.label.as_str());
            table.row([
                label.to_owned(),
                stack_text(&fit.stack_mm, units),
                gap(fit.deck_mm, None, units),
                length(fit.squish_mm).to_string(),
                plain(fit.ratio, 2),
            ]);
        }
        let rows = table.text();
        let mut text: String = rows.lines().map(|line| format!("    {line}\n")).collect();
        if choice.fits.len() > 1 {
            text.push_str(&format!("    Level within {}\n", length(choice.level_spread_mm)));
        }
        text
    }
}
