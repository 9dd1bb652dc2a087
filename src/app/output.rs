//! The binder as files, and in the system's viewer. Here the clock is read:
//! below, dates are handed in.

use crate::drawing::page::Document;
use crate::project::replace;
use crate::render::{pdf, png, svg};
use crate::report::{Context, SheetKind, csv_file, figures_in_markdown, tables};
use crate::sheet::Paper;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use tempfile::TempDir;

/// What a file is made as. A page is counted from 0; without one the file
/// holds all pages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Form {
    /// PDF.
    Pdf {
        /// Only this page.
        page: Option<usize>,
    },
    /// SVG of one page.
    Svg {
        /// The page.
        page: usize,
    },
    /// PNG of one page.
    Png {
        /// The page.
        page: usize,
        /// Dots to an inch.
        dpi: u16,
    },
    /// The tables as CSV.
    Csv,
    /// The figures and limits as Markdown.
    Markdown,
}

impl Form {
    /// Whether it shows pages.
    #[must_use]
    pub(crate) fn has_pages(self) -> bool {
        !matches!(self, Self::Csv | Self::Markdown)
    }
}

/// A file name made of a title: letters, digits and dashes; a long title is
/// cut, for no system takes a name of any length.
#[must_use]
pub(super) fn file_name(title: &str, ending: &str) -> String {
    let plain: String =
        title.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).take(60).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let stem = if parts.is_empty() { "project".to_owned() } else { parts.join("-") };
    format!("{stem}.{ending}")
}

/// The bytes of a file of pages.
///
/// # Errors
/// A sentence that says why it can't be made.
pub(super) fn of_pages(document: &Document, form: Form) -> Result<Vec<u8>, String> {
    let only = |page| document.only(page).ok_or("that page is not there any more; choose another");
    let made = match form {
        Form::Pdf { page: None } => pdf::write(document),
        Form::Pdf { page: Some(page) } => pdf::write(&only(page)?),
        Form::Svg { page } => svg::write_document(&only(page)?).map(String::into_bytes),
        Form::Png { page, dpi } => {
            let only = only(page)?;
            let page = only.pages.first().ok_or("that page is not there any more")?;
            png::write(page, f64::from(dpi))
        }
        Form::Csv | Form::Markdown => return Err("tables have no pages".to_owned()),
    };
    made.map_err(|error| error.to_string())
}

/// The bytes of a file of tables.
#[must_use]
pub(super) fn of_tables(context: &Context<'_>, sheets: &[SheetKind], form: Form) -> Vec<u8> {
    match form {
        Form::Markdown => figures_in_markdown(context).into_bytes(),
        _ => csv_file(&tables(context, sheets)).into_bytes(),
    }
}

/// Pages on their way to a printer.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Printout {
    /// The engine's title.
    pub title: String,
    /// The paper the pages were made for.
    pub paper: Paper,
    /// The pages.
    pub pdf: Vec<u8>,
}

/// What became of pages that were to be printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Handed {
    /// They went to the printer.
    Sent,
    /// The person closed the dialog.
    Cancelled,
    /// They are open in the viewer, from this file.
    Opened(PathBuf),
}

impl Handed {
    /// What the person is told.
    #[must_use]
    pub(super) fn words(&self) -> String {
        match self {
            Self::Sent => "The pages went to the printer; lay a rule on the 50 mm bar of the section".into(),
            Self::Cancelled => "Nothing was printed".into(),
            Self::Opened(path) => {
                format!("The pages are open in the viewer, print them there at 100 %: {}", path.display())
            }
        }
    }
}

/// Prints with the desktop's dialog, or where it offers none, opens the
/// pages in the viewer. Waits for the person: never call it in a frame.
///
/// # Errors
/// A sentence that says why, with the path of the file where one was written.
pub(super) fn print(job: &Printout) -> Result<Handed, String> {
    #[cfg(target_os = "linux")]
    {
        use super::portal::{self, NoPrint, PortalAnswer};
        let shown = pollster::block_on(async {
            let bus = zbus::Connection::session().await.map_err(NoPrint::NoDialog)?;
            portal::print(&bus, job).await
        });
        match shown {
            Ok(PortalAnswer::Sent) => return Ok(Handed::Sent),
            Ok(PortalAnswer::Cancelled) => return Ok(Handed::Cancelled),
            Err(NoPrint::NoDialog(_)) => {}
            Err(why) => {
                let way = "save a PDF and print that at 100 %";
                return Err(format!("Nothing was printed: {why}; {way}"));
            }
        }
    }
    open_in_viewer(&job.title, &job.pdf).map(Handed::Opened)
}

/// Writes a PDF to a file for the viewer and opens it there.
///
/// # Errors
/// A sentence that says why, with the path of the file where it was written.
fn open_in_viewer(title: &str, bytes: &[u8]) -> Result<PathBuf, String> {
    let path = for_viewer(title, bytes)?;
    open::that_detached(&path)
        .map_err(|_| format!("No viewer could be opened. The pages are in {}", path.display()))?;
    Ok(path)
}

/// The folders of pages that were handed to a viewer, which reads them as
/// long as it likes: they stay until the program ends.
static FOR_VIEWERS: Mutex<Vec<TempDir>> = Mutex::new(Vec::new());

/// Writes pages for a viewer into a new folder with a random name that nobody
/// else may enter: what others may have put into the common temporary place
/// is neither followed nor overwritten.
///
/// # Errors
/// A sentence that says why.
fn for_viewer(title: &str, bytes: &[u8]) -> Result<PathBuf, String> {
    let place = std::env::temp_dir();
    let refused = |error: std::io::Error| format!("{} can't be written to: {error}", place.display());
    let mut builder = tempfile::Builder::new();
    builder.prefix("crowndeck-");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o700));
    let folder = builder.tempdir_in(&place).map_err(refused)?;
    let path = folder.path().join(file_name(title, "pdf"));
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(&path).and_then(|mut file| file.write_all(bytes)).map_err(refused)?;
    FOR_VIEWERS.lock().unwrap_or_else(PoisonError::into_inner).push(folder);
    Ok(path)
}

/// Removes the pages that were handed to viewers.
pub(super) fn clear() {
    FOR_VIEWERS.lock().unwrap_or_else(PoisonError::into_inner).clear();
}

/// Writes a file whole or not at all.
///
/// # Errors
/// A sentence that says why; what was there before is then untouched.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    replace(path, |file| file.write_all(bytes))
        .map_err(|error| format!("{} was not written: {error}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn pages_for_a_viewer_are_private_and_go_when_the_program_ends() {
        use std::os::unix::fs::PermissionsExt as _;
        let [one, two] = [b"one", b"two"].map(|pages| for_viewer("Twin", pages).unwrap());
        assert_eq!(std::fs::read(&one).unwrap(), b"one");
        assert_eq!(one.file_name(), two.file_name());
        assert_ne!(one.parent(), two.parent(), "each has a folder that nobody can foresee");
        let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&one), mode(one.parent().unwrap())), (0o600, 0o700));
        clear();
        assert!(!one.exists() && !two.parent().unwrap().exists());
    }

    #[test]
    fn a_title_becomes_a_plain_file_name() {
        assert_eq!(file_name("Tarnbeck FT-62", "pdf"), "tarnbeck-ft-62.pdf");
        assert_eq!(file_name("../ / :", "ron"), "project.ron");
        assert!(file_name(&"long ".repeat(100), "pdf").len() < 70);
    }
}
