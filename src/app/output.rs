//! The binder page as a file or in the system's viewer. Here the clock is
//! read: below, dates are handed in.

use super::session::Session;
use crate::cli::stamp;
use crate::drawing::page::Document;
use crate::project::replace;
use crate::render::{pdf, svg};
use crate::sheet::{self, Paper};
use std::path::{Path, PathBuf};

/// Today's date as the binder writes it.
#[must_use]
pub fn today() -> String {
    jiff::Zoned::now().strftime("%Y-%m-%d").to_string()
}

/// A file name made of a title: letters, digits and dashes.
#[must_use]
pub fn file_name(title: &str, ending: &str) -> String {
    let plain: String =
        title.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let stem = if parts.is_empty() { "project".to_owned() } else { parts.join("-") };
    format!("{stem}.{ending}")
}

fn page(session: &Session, cylinder: usize, paper: Paper) -> Result<Document, String> {
    sheet::cylinder_page(session.project(), session.answers(), cylinder, paper, &stamp(session.project())?)
        .map_err(|error| error.to_string())
}

/// Writes the page of one cylinder as PDF.
///
/// # Errors
/// A sentence that says why; nothing is half written.
pub fn save_pdf(session: &Session, cylinder: usize, paper: Paper, path: &Path) -> Result<(), String> {
    let document = page(session, cylinder, paper)?;
    write(path, &pdf::write(&document).map_err(|error| error.to_string())?)
}

/// Writes the page of one cylinder as SVG.
///
/// # Errors
/// A sentence that says why; nothing is half written.
pub fn save_svg(session: &Session, cylinder: usize, paper: Paper, path: &Path) -> Result<(), String> {
    let document = page(session, cylinder, paper)?;
    let text = svg::write_document(&document).map_err(|error| error.to_string())?;
    write(path, text.as_bytes())
}

/// Writes the page to a file for the viewer and opens it there.
///
/// # Errors
/// A sentence that says why, with the path of the page where it was written.
pub fn print(session: &Session, cylinder: usize, paper: Paper) -> Result<PathBuf, String> {
    let folder = std::env::temp_dir().join("crowndeck");
    std::fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let path = folder.join(file_name(&session.project().title, "pdf"));
    save_pdf(session, cylinder, paper, &path)?;
    open::that_detached(&path)
        .map_err(|_| format!("No viewer could be opened. The page is in {}", path.display()))?;
    Ok(path)
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    replace(path, |file| file.write_all(bytes))
        .map_err(|error| format!("{} was not written: {error}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_becomes_a_plain_file_name() {
        assert_eq!(file_name("Tarnbeck FT-62", "pdf"), "tarnbeck-ft-62.pdf");
        assert_eq!(file_name("../ / :", "ron"), "project.ron");
    }
}
