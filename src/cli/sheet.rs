//! `crowndeck sheet`.

use super::args::{PaperSize, SheetArgs};
use super::failure::Failure;
use super::input::{Input, load};
use super::output::write_file;
use crate::clock::stamp;
use crate::render::{pdf, svg};
use crate::sheet::{Choices, Context, Paper, SheetKind, binder, cylinder_page, worst_cylinder};
use std::path::Path;

/// The kinds of file that a sheet is written as.
enum Kind {
    Pdf,
    Svg,
}

impl Kind {
    fn of(path: &Path) -> Result<Self, Failure> {
        match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
            Some("pdf") => Ok(Self::Pdf),
            Some("svg") => Ok(Self::Svg),
            _ => Err(Failure::Call(format!(
                "--out {}: accepted: a name that ends in .pdf or .svg",
                path.display()
            ))),
        }
    }
}

/// Answers `sheet`.
///
/// # Errors
/// Faults of the engine, the file or the call.
pub fn run(args: &SheetArgs) -> Result<(), Failure> {
    let kind = Kind::of(&args.out)?;
    let project = load(&args.project)?;
    let input = Input { title: project.title.clone(), units: project.units, question: project.question() };
    let chosen = args.cylinder.as_deref().map(|label| input.cylinder(label)).transpose()?;
    let answers = input.answers()?;
    let cylinder = chosen.unwrap_or_else(|| worst_cylinder(&answers));
    let stamp = stamp(&project).map_err(Failure::engine)?;
    let paper = paper(args.paper);
    let sheets = match &args.sheets.0 {
        Some(sheets) => sheets.clone(),
        None => SheetKind::fitting(&project),
    };
    let document = if sheets == [SheetKind::Section] && !args.every_cylinder {
        cylinder_page(&project, &answers, cylinder, paper, &stamp)
            .map_err(|error| Failure::engine(error.to_string()))?
    } else {
        let units = project.units;
        let context =
            Context { project: &project, question: &input.question, answers: &answers, units, cylinder };
        let choices = Choices { sheets, paper, units, cylinder, every_cylinder: args.every_cylinder };
        binder(&context, &choices, &stamp, &mut |_, _| true)
            .map_err(|error| Failure::engine(error.to_string()))?
    };
    let failed =
        |error: &dyn std::fmt::Display| Failure::engine(format!("the sheet can't be written: {error}"));
    let bytes = match kind {
        Kind::Pdf => pdf::write(&document).map_err(|error| failed(&error))?,
        Kind::Svg => svg::write_document(&document).map_err(|error| failed(&error))?.into_bytes(),
    };
    write_file(&args.out, &bytes)
}

fn paper(size: PaperSize) -> Paper {
    match size {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    }
}
