//! Errors of lessons, with their positions.

/// An error in a text of a lesson.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("column {column}: {what}")]
pub struct TextError {
    /// The column, counted in letters from 1.
    pub column: usize,
    /// The error.
    pub what: String,
}

impl TextError {
    pub(super) fn at(column: usize, what: impl Into<String>) -> Self {
        Self { column, what: what.into() }
    }

    /// Returns the same error inside a longer text that begins `by` letters
    /// earlier.
    pub(super) fn moved(self, by: usize) -> Self {
        Self { column: self.column + by, ..self }
    }
}

/// An error of a lesson file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LessonError {
    /// The file is no RON of a lesson.
    #[error("line {line}, column {column}: {what}")]
    Syntax {
        /// The line, from 1.
        line: usize,
        /// The column, from 1.
        column: usize,
        /// The error.
        what: String,
    },
    /// The format is not one that this program reads.
    #[error("the lesson has format {found}, and this program reads {newest}")]
    Format {
        /// The number in the file.
        found: u32,
        /// The number that is read.
        newest: u32,
    },
    /// Content that can't be.
    #[error("{place}: {what}")]
    Content {
        /// Position: "step 3, done".
        place: String,
        /// The error, and what would be accepted.
        what: String,
    },
}

impl LessonError {
    /// Returns what to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "correct that line in a text editor",
            Self::Format { .. } => "use the newer program that it was written for",
            Self::Content { .. } => "correct the lesson file there",
        }
    }
}
