//! Pages of a document: display lists in millimetres with their structure, so
//! that a reader who hears the page gets headings, tables and descriptions and
//! not a heap of lines.

use super::list::{DisplayList, Shape};
use kurbo::Affine;

/// Pages with the metadata of their file.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// The title; must not be empty.
    pub title: String,
    /// The author; empty if nobody is named.
    pub author: String,
    /// The subject, one sentence.
    pub subject: String,
    /// The day it was made. Nothing finer, so that the same document made
    /// twice on one day is the same file.
    pub date: Date,
    /// The pages.
    pub pages: Vec<Page>,
}

impl Document {
    /// Returns the document with this page alone, counted from 0; `None` if
    /// there is no such page.
    #[must_use]
    pub fn only(&self, page: usize) -> Option<Self> {
        let mut page = self.pages.get(page)?.clone();
        // A page that goes on from another has no name of its own.
        if page.name.is_empty() {
            page.name.clone_from(&self.title);
        }
        Some(Self {
            title: self.title.clone(),
            author: self.author.clone(),
            subject: self.subject.clone(),
            date: self.date,
            pages: vec![page],
        })
    }
}

/// A page of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Its name in the table of contents; empty for a page that goes on from
    /// the one before.
    pub name: String,
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// Its contents in reading order. Later blocks lie over earlier ones.
    pub blocks: Vec<Block>,
}

/// A piece of a page. Coordinates are mm from the page's top left corner.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// Frames, rules and marks, which are not read.
    Ornament(DisplayList),
    /// A heading: its texts, and its level from 1.
    Heading(u16, DisplayList),
    /// Lines of text that are read as one.
    Paragraph(DisplayList),
    /// A drawing, and its description in words.
    Figure(DisplayList, String),
    /// Rows of cells, and the subject of the table.
    Table(Vec<Vec<Cell>>, String),
}

/// A cell of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Its role in the table.
    pub kind: CellKind,
    /// Its texts.
    pub list: DisplayList,
}

/// The role of a cell in a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellKind {
    /// The head of its row.
    RowHead,
    /// The head of its column.
    ColumnHead,
    /// A value.
    Value,
}

impl Page {
    /// Returns all shapes in drawing order.
    pub fn shapes(&self) -> impl Iterator<Item = &Shape> {
        self.blocks.iter().flat_map(Block::shapes)
    }

    /// Returns all shapes for an output with this many units to a millimetre:
    /// the page on a screen.
    #[must_use]
    pub fn at_scale(&self, factor: f64) -> DisplayList {
        let grow = Affine::scale(factor);
        let shapes = self.shapes().cloned().map(|mut shape| {
            match &mut shape {
                Shape::Fill { path, .. } => path.apply_affine(grow),
                Shape::Stroke { path, width, .. } => {
                    path.apply_affine(grow);
                    *width *= factor;
                }
                Shape::Text { at, size, .. } => {
                    *at = grow * *at;
                    *size *= factor;
                }
            }
            shape
        });
        DisplayList { shapes: shapes.collect() }
    }

    /// Returns the description of the page's drawings, in words.
    #[must_use]
    pub fn description(&self) -> String {
        let alts = self.blocks.iter().filter_map(|block| match block {
            Block::Figure(_, alt) => Some(alt.as_str()),
            _ => None,
        });
        alts.collect::<Vec<_>>().join(" ")
    }
}

impl Block {
    /// Returns all shapes in drawing order.
    pub fn shapes(&self) -> impl Iterator<Item = &Shape> {
        let (list, rows) = match self {
            Self::Ornament(list) | Self::Heading(_, list) | Self::Paragraph(list) | Self::Figure(list, _) => {
                (Some(list), None)
            }
            Self::Table(rows, _) => (None, Some(rows)),
        };
        let cells = rows.into_iter().flatten().flatten().map(|cell| &cell.list);
        list.into_iter().chain(cells).flat_map(|list| &list.shapes)
    }
}

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// Creates a day; `None` if there is no such day (Gregorian calendar, years
    /// 1 to 9999).
    ///
    /// ```
    /// use crowndeck::drawing::page::Date;
    /// assert_eq!(Date::new(2026, 11, 25).map(|d| d.to_string()).as_deref(), Some("2026-11-25"));
    /// assert_eq!(Date::new(2026, 2, 29), None);
    /// ```
    #[must_use]
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let days = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        ((1..=9999).contains(&year) && (1..=days).contains(&day)).then_some(Self { year, month, day })
    }

    /// Returns year, month from 1, day from 1.
    #[must_use]
    pub fn parts(self) -> (u16, u8, u8) {
        (self.year, self.month, self.day)
    }
}

/// Writes year, month and day as in ISO 8601.
impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn days_that_do_not_exist_are_refused() {
        assert!(Date::new(2000, 2, 29).is_some() && Date::new(2028, 2, 29).is_some());
        for (year, month, day) in
            [(1900, 2, 29), (2026, 4, 31), (2026, 13, 1), (2026, 0, 1), (2026, 1, 0), (0, 1, 1)]
        {
            assert_eq!(Date::new(year, month, day), None, "{year}-{month}-{day}");
        }
    }
}
