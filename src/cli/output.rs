//! Where answers go: standard output, or a file that is never half written.

use super::failure::Failure;
use super::input::Reader;
use crate::project::{self, steers, visible_lines};
use crate::report::text::aligned;
use std::io::{self, Write as _};
use std::path::Path;

/// Writes a whole answer to standard output. What would steer a terminal is
/// made visible in a text and, in JSON, written as its escape, which reads
/// back to the same (RFC 8259, section 7). A reader that has seen enough and
/// closed the pipe is no failure.
///
/// # Errors
/// When the system refuses.
pub(super) fn print(text: &str, reader: Reader) -> Result<(), Failure> {
    match reader {
        Reader::Terminal => write_out(&visible_lines(text)),
        Reader::Program => write_out(&escaped(text)),
    }
}

fn escaped(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if steers(c) && !matches!(c, '\n' | '\r' | '\t') {
            out.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
}

fn write_out(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::engine(format!("the answer can't be written to standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// Writes a file whole or not at all, as a project is saved.
///
/// # Errors
/// When the system refuses; what was there before is then untouched.
pub(super) fn write_file(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    project::replace(path, |file| file.write_all(bytes)).map_err(|error| {
        Failure::engine(format!(
            "{} was not written: {error}; nothing was changed there; name a file in a folder that can be written",
            path.display()
        ))
    })
}

/// A plain text table: columns aligned, two spaces between them, the first
/// column to the left and the others as said.
pub(super) struct TextTable {
    right: Vec<bool>,
    rows: Vec<Vec<String>>,
}

impl TextTable {
    /// With its headings; a heading that starts with ">" stands over a column
    /// that is aligned to the right.
    pub(super) fn new<'a>(headings: impl IntoIterator<Item = &'a str>) -> Self {
        let headings: Vec<&str> = headings.into_iter().collect();
        let right = headings.iter().map(|h| h.starts_with('>')).collect();
        let row = headings.iter().map(|h| h.trim_start_matches('>').to_owned()).collect();
        Self { right, rows: vec![row] }
    }

    /// One more row.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// The text, one line a row, no trailing spaces.
    pub(super) fn text(&self) -> String {
        aligned(&self.rows, &self.right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_their_headings() {
        let mut table = TextTable::new(["Dimension", ">Now"]);
        table.row(["Bore".to_owned(), "86.00 mm".to_owned()]);
        table.row(["Opening α".to_owned(), "5.0°".to_owned()]);
        assert_eq!(table.text(), "Dimension       Now\nBore       86.00 mm\nOpening α      5.0°\n");
    }

    #[test]
    fn a_file_is_replaced_whole_or_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("curves.csv");
        write_file(&path, b"one").expect("written");
        write_file(&path, b"two").expect("replaced");
        assert_eq!(std::fs::read(&path).expect("there"), b"two");
        let missing = folder.path().join("nowhere").join("curves.csv");
        let failure = write_file(&missing, b"x").expect_err("no such folder");
        assert_eq!(failure.exit_code(), 1);
        assert!(failure.messages()[0].contains("nowhere"));
        assert_eq!(std::fs::read_dir(folder.path()).expect("listed").count(), 1, "no temporary file stays");
    }
}
