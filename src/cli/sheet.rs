//! `crowndeck sheet`.

use super::args::{PaperSize, SheetArgs};
use super::failure::Failure;
use super::handout;
use super::input::{Input, Reader, load};
use super::output::write_file;
use crate::clock::stamp;
use crate::drawing::page::Document;
use crate::render::{pdf, png, svg};
use crate::report::{Context, SheetKind, csv_file, figures_in_markdown, tables};
use crate::sheet::{Choices, Paper, binder, cylinder_page, worst_cylinder};
use std::path::Path;

/// The kinds of file that a sheet is written as.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Pdf,
    Svg,
    Png,
    Csv,
    Markdown,
}

impl Kind {
    fn of(path: &Path) -> Result<Self, Failure> {
        match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
            Some("pdf") => Ok(Self::Pdf),
            Some("svg") => Ok(Self::Svg),
            Some("png") => Ok(Self::Png),
            Some("csv") => Ok(Self::Csv),
            Some("md") => Ok(Self::Markdown),
            _ => Err(Failure::Call(format!(
                "--out {}: accepted: a name that ends in .pdf, .svg, .png, .csv or .md",
                path.display()
            ))),
        }
    }
}

/// Answers `sheet`.
///
/// # Errors
/// Faults of the engine, the file or the call.
pub(super) fn run(args: &SheetArgs) -> Result<(), Failure> {
    let kind = Kind::of(&args.out)?;
    if let Some(name) = &args.lesson {
        if matches!(kind, Kind::Csv | Kind::Markdown) {
            return Err(Failure::Call(
                "a handout has pages: --out takes .pdf, .svg or .png with it".to_owned(),
            ));
        }
        let cylinder = args.cylinder.as_deref();
        return write_pages(
            handout::document(name, args.project.as_deref(), cylinder, paper(args.paper))?,
            kind,
            args,
        );
    }
    let Some(project) = &args.project else {
        return Err(Failure::Call("a project file is needed".to_owned()));
    };
    let project = load(project, Reader::Program)?;
    let input = Input::of_project(&project);
    let chosen = args.cylinder.as_deref().map(|label| input.cylinder(label)).transpose()?;
    let answers = input.answers()?;
    let cylinder = chosen.unwrap_or_else(|| worst_cylinder(&answers));
    let stamp = stamp(&project).map_err(Failure::engine)?;
    let paper = paper(args.paper);
    let sheets = match &args.sheets.0 {
        Some(sheets) => sheets.clone(),
        None => SheetKind::fitting(&project),
    };
    let units = project.units;
    let context = Context {
        project: &project,
        question: &input.question,
        answers: &answers,
        units,
        cylinder,
        crank_deg: args.at,
    };
    match kind {
        Kind::Csv => return write_file(&args.out, csv_file(&tables(&context, &sheets)).as_bytes()),
        Kind::Markdown => return write_file(&args.out, figures_in_markdown(&context).as_bytes()),
        Kind::Pdf | Kind::Svg | Kind::Png => {}
    }
    let document = if sheets == [SheetKind::Section] && !args.every_cylinder {
        cylinder_page(&context, paper, &stamp).map_err(|error| Failure::engine(error.to_string()))?
    } else {
        let every_cylinder = args.every_cylinder;
        let choices = Choices { sheets, paper, units, cylinder, every_cylinder, crank_deg: args.at };
        binder(&context, &choices, &stamp, &mut |_, _| true)
            .map_err(|error| Failure::engine(error.to_string()))?
    };
    write_pages(document, kind, args)
}

/// Writes pages as the kind of file that was asked for.
fn write_pages(document: Document, kind: Kind, args: &SheetArgs) -> Result<(), Failure> {
    let document = only(document, args.page)?;
    let bytes = match (kind, &document.pages[..]) {
        (Kind::Svg, _) => svg::write_document(&document).map(String::into_bytes),
        (Kind::Png, [page]) => png::write(page, f64::from(args.dpi)),
        (Kind::Png, pages) => {
            let pages = pages.len();
            return Err(Failure::Call(format!(
                "a .png holds one page and these sheets have {pages}; name one with --page"
            )));
        }
        _ => pdf::write(&document),
    };
    let bytes = bytes.map_err(|error| Failure::engine(format!("the sheet can't be written: {error}")))?;
    write_file(&args.out, &bytes)
}

/// The page that was asked for; all where none was.
fn only(document: Document, page: Option<usize>) -> Result<Document, Failure> {
    let Some(number) = page else { return Ok(document) };
    let page = number.checked_sub(1).and_then(|index| document.only(index));
    page.ok_or_else(|| Failure::Call(format!("--page {number}: accepted: 1 to {}", document.pages.len())))
}

fn paper(size: PaperSize) -> Paper {
    match size {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    }
}
