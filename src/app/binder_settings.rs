//! What the person wants of the binder: chosen in its panel, heeded by every
//! command that makes a file of it.

use super::output::Form;
use crate::project::Project;
use crate::sheet::{Choices, Paper, SheetKind};

/// Dots to an inch to choose from: for a screen, for a forum, for a printer.
pub(crate) const DENSITIES: [u16; 3] = [100, 150, 300];

/// Which sheets, on which paper, and how they become files.
#[derive(Clone, Debug, PartialEq)]
pub struct BinderSettings {
    /// Sheets that are not wanted.
    pub(crate) left_out: Vec<SheetKind>,
    pub(crate) paper: Paper,
    /// The page that is shown, from 0.
    pub(crate) page: usize,
    /// Every cylinder has its own drawings.
    pub(crate) every_cylinder: bool,
    /// The section is drawn as the crank stands, not at the top.
    pub(crate) as_turned: bool,
    /// Only the page that is shown goes into a PDF.
    pub(crate) only_page: bool,
    pub(crate) dpi: u16,
}

impl Default for BinderSettings {
    fn default() -> Self {
        Self {
            left_out: Vec::new(),
            paper: Paper::default(),
            page: 0,
            every_cylinder: false,
            as_turned: false,
            only_page: false,
            dpi: DENSITIES[1],
        }
    }
}

impl BinderSettings {
    /// What the person wants in the binder.
    #[must_use]
    pub(crate) fn choices(&self, project: &Project, cylinder: usize, crank_deg: f64) -> Choices {
        let wanted = |kind: &SheetKind| !self.left_out.contains(kind);
        Choices {
            sheets: SheetKind::fitting(project).into_iter().filter(wanted).collect(),
            paper: self.paper,
            units: project.units,
            cylinder,
            every_cylinder: self.every_cylinder,
            crank_deg: if self.as_turned { crank_deg } else { 0.0 },
        }
    }

    /// What a PDF holds.
    #[must_use]
    pub(crate) fn pdf(&self) -> Form {
        Form::Pdf { page: self.only_page.then_some(self.page) }
    }

    /// The page that is shown, as SVG.
    #[must_use]
    pub(crate) fn svg(&self) -> Form {
        Form::Svg { page: self.page }
    }

    /// The page that is shown, as PNG.
    #[must_use]
    pub(crate) fn png(&self) -> Form {
        Form::Png { page: self.page, dpi: self.dpi }
    }
}
