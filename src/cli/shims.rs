//! `crowndeck shims`.

use super::args::{MarginArg, ShimsArgs};
use super::failure::{Failure, fault_messages};
use super::input::{Reader, load};
use super::json;
use super::json_shims::ShimsObject;
use super::output::print;
use crate::advise::budget::nodes_for;
use crate::advise::shims::{Budget, ShimAnswer, ShimFormatter, ShimQuestion, answer};
use crate::project::Project;
use crate::report::shims::choices;
use crate::report::text::terminal;
use crate::schema::{Aim, Margin};
use crate::study::cautions::{self, Caution, Decision};

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
    let shims = Shims::of(load(&args.project, Reader::of(args.json))?, args)?;
    let text = if args.json { json::text(&ShimsObject::of(&shims))? } else { shims.text() };
    print(&text, Reader::of(args.json))
}

impl Shims {
    fn of(project: Project, args: &ShimsArgs) -> Result<Self, Failure> {
        let margin = match args.margin {
            MarginArg::None => Margin::None,
            MarginArg::Doubt => Margin::Uncertainty,
        };
        let ask = project.shim_ask(margin, Aim::Ratio);
        let nodes = nodes_for(project.engine.cylinders.len(), project.shims.len());
        let answer = answer(&ask, &mut Budget::new(nodes, &|| false));
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
        let section = choices(&self.project, &self.ask, &self.answer, &self.cautions());
        terminal(&section, &self.project.units)
    }
}
