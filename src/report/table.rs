//! Tables as paper, terminal, window, CSV and plain text read them: columns with
//! their heads, rows of cells, uncut. A cell may carry the number that its text
//! shows, so that a file for other programs has every digit.

use crate::quantity::{Kind, UnitChoice, write};

/// The alignment of the texts of a column.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// Left.
    #[default]
    Left,
    /// Right, as for numbers.
    Right,
}

/// One column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// The head.
    pub head: String,
    /// The alignment of its texts.
    pub align: Align,
    /// The unit of its numbers, for a file that other programs read.
    pub unit: &'static str,
    /// The kind of its numbers, where a terminal writes the unit into the head
    /// and the bare numbers under it.
    pub kind: Option<Kind>,
    /// Least width as room for a pen, mm.
    pub least: f64,
    /// Whether it takes the remaining width.
    pub grows: bool,
}

impl Column {
    /// Creates a column of texts at the left.
    #[must_use]
    pub fn left(head: impl Into<String>) -> Self {
        Self { head: head.into(), ..Self::default() }
    }

    /// Creates a column of texts at the right.
    #[must_use]
    pub fn right(head: impl Into<String>) -> Self {
        Self { align: Align::Right, ..Self::left(head) }
    }

    /// Creates a column of numbers with this unit in a file for other programs;
    /// empty for plain numbers.
    #[must_use]
    pub fn number(head: impl Into<String>, unit: &'static str) -> Self {
        Self { unit, ..Self::right(head) }
    }

    /// Creates a column with room for a pen, so many mm wide.
    #[must_use]
    pub fn pen(head: impl Into<String>, least: f64) -> Self {
        Self { least, ..Self::left(head) }
    }

    /// Returns the same column, its unit once in the head where a terminal
    /// shows it.
    #[must_use]
    pub(crate) fn of_kind(self, kind: Kind) -> Self {
        Self { kind: Some(kind), ..self }
    }

    /// Returns the same column, taking the remaining width.
    #[must_use]
    pub fn growing(self) -> Self {
        Self { grows: true, ..self }
    }
}

/// A text in a cell that begins a new line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words {
    /// The text.
    pub text: String,
    /// Whether it is set heavy: it was measured.
    pub strong: bool,
    /// Whether it is crossed out: it was read and does not count.
    pub struck: bool,
}

/// A cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// Its texts.
    pub words: Vec<Words>,
    /// The number that it shows, in the unit of its column.
    pub number: Option<f64>,
    /// The value alone, for a column whose head names the unit; empty where
    /// the cell has none.
    pub bare: String,
}

impl Cell {
    /// Creates a cell with a text; an empty one leaves room for the pen.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self { words: vec![Words { text: text.into(), ..Words::default() }], ..Self::default() }
    }

    /// Creates a cell with a value in the user's units.
    #[must_use]
    pub(crate) fn measure(kind: Kind, base: f64, units: &UnitChoice) -> Self {
        let written = write(kind, base, None, units);
        Self { bare: written.number.clone(), ..Self::text(written.to_string()).of(base) }
    }

    /// Creates a cell with a heavy text.
    #[must_use]
    pub fn strong(text: impl Into<String>) -> Self {
        Self { words: vec![Words { text: text.into(), strong: true, struck: false }], ..Self::default() }
    }

    /// Returns the same cell with the number that it shows; a number that is
    /// not finite is left out.
    #[must_use]
    pub fn of(self, number: f64) -> Self {
        Self { number: Some(number).filter(|n| n.is_finite()), ..self }
    }

    /// Returns the same cell with one more line.
    #[must_use]
    pub fn and(mut self, words: Words) -> Self {
        self.words.push(words);
        self
    }

    /// Returns its text in one line; struck texts are marked as such.
    #[must_use]
    pub fn plain(&self) -> String {
        let words = self.words.iter().filter(|words| !words.text.is_empty()).map(|words| {
            if words.struck { format!("struck out {}", words.text) } else { words.text.clone() }
        });
        words.collect::<Vec<_>>().join("; ")
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::text(text)
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::text(text)
    }
}

/// A column with the content of its cells for each subject of a row: written
/// once, and picked by every table that shows it.
pub(crate) struct Field<T> {
    /// Creates the column.
    pub column: fn() -> Column,
    /// Creates the cell of a subject.
    pub cell: fn(&T) -> Cell,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// The heading; empty if the table needs none.
    pub heading: String,
    /// The subject, for a reader who hears it.
    pub summary: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows, each with a cell for every column.
    pub rows: Vec<Vec<Cell>>,
    /// The spoken text of each row where that is more than its cells; empty, or
    /// as long as the rows.
    pub spoken: Vec<String>,
    /// The least height of a row, mm, where a pen needs room; 0 for none.
    pub row_height: f64,
    /// Whether there are lines between the columns, for a table to fill in.
    pub ruled: bool,
    /// Whether it is set as small as a page allows.
    pub close: bool,
}

impl Table {
    /// Creates a table with its columns and no rows yet.
    #[must_use]
    pub fn new(
        heading: impl Into<String>,
        summary: impl Into<String>,
        columns: impl IntoIterator<Item = Column>,
    ) -> Self {
        let columns = columns.into_iter().collect();
        Self { heading: heading.into(), summary: summary.into(), columns, ..Self::default() }
    }

    /// Creates a table of these fields, a row for each subject.
    #[must_use]
    pub(crate) fn of<T>(
        heading: impl Into<String>,
        summary: impl Into<String>,
        fields: &[&Field<T>],
        subjects: impl IntoIterator<Item = T>,
    ) -> Self {
        let mut table = Self::new(heading, summary, fields.iter().map(|field| (field.column)()));
        for subject in subjects {
            table.row(fields.iter().map(|field| (field.cell)(&subject)));
        }
        table
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        let mut cells: Vec<Cell> = cells.into_iter().collect();
        cells.resize_with(self.columns.len(), Cell::default);
        self.rows.push(cells);
    }

    /// Returns the same table with other heads, in the order of the columns.
    #[must_use]
    pub(crate) fn heads<const N: usize>(mut self, heads: [&str; N]) -> Self {
        for (column, head) in self.columns.iter_mut().zip(heads) {
            column.head = head.to_owned();
        }
        self
    }

    /// Returns the same table with the spoken text of each row, made from its
    /// cells.
    #[must_use]
    pub(crate) fn spoken(mut self, sentence: impl Fn(&[String]) -> String) -> Self {
        let spoken = |row: &Vec<Cell>| sentence(&row.iter().map(Cell::plain).collect::<Vec<_>>());
        self.spoken = self.rows.iter().map(spoken).collect();
        self
    }

    /// Returns the same table, to be filled in by hand: rows of this height,
    /// with lines between the columns.
    #[must_use]
    pub fn to_fill_in(self, row_height: f64) -> Self {
        Self { row_height, ruled: true, ..self }
    }
}
