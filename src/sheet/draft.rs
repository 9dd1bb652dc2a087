//! Elements of sheets: lines of text, rules and tables, in millimetres from the
//! top left corner of the page.

use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};

use crate::drawing::lettering::{self, text_width};
use crate::drawing::list::{Anchor, Dash, DisplayList, Ink, Shape};
use crate::drawing::page::{Block, Cell, CellKind};

/// Width of a frame, mm (ISO 5457).
pub(super) const FRAME: f64 = 0.7;
/// Width of a wide line, mm (ISO 128-2, line group 0.5).
pub(super) const WIDE: f64 = 0.5;
/// Width of a narrow line, mm.
pub(super) const NARROW: f64 = 0.25;

/// The lettering of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Type {
    /// Font size in mm.
    pub size: f64,
    /// SemiBold instead of Regular.
    pub bold: bool,
}

impl Type {
    /// Returns Regular with capitals `mm` tall.
    #[must_use]
    pub(super) fn regular(mm: f64) -> Self {
        Self { size: lettering::size_of_capitals(mm), bold: false }
    }

    /// Returns SemiBold with capitals `mm` tall.
    #[must_use]
    pub(super) fn bold(mm: f64) -> Self {
        Self { size: lettering::size_of_capitals(mm), bold: true }
    }

    /// Returns the width of a text, mm.
    #[must_use]
    pub(super) fn width(self, text: &str) -> f64 {
        text_width(text, self.size, self.bold)
    }

    /// Breaks the text into lines of at most `width` mm; the whole text is
    /// kept.
    #[must_use]
    pub(super) fn wrap(self, text: &str, width: f64) -> Vec<String> {
        lettering::wrap(text, self.size, self.bold, width.max(1.0))
    }
}

/// Returns a line of text as a shape.
#[must_use]
pub(super) fn text(at: (f64, f64), anchor: Anchor, font: Type, text: impl Into<String>) -> Shape {
    let Type { size, bold } = font;
    Shape::Text { at: at.into(), anchor, turn_deg: 0.0, size, bold, ink: Ink::Edge, text: text.into() }
}

/// Returns a straight line as a shape.
#[must_use]
pub(super) fn line(from: (f64, f64), to: (f64, f64), width: f64) -> Shape {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    Shape::Stroke { path, ink: Ink::Edge, width, dash: Dash::Solid }
}

/// Returns the outline of a rectangle as a shape.
#[must_use]
pub(super) fn outline(rect: Rect, width: f64) -> Shape {
    Shape::Stroke { path: rect.to_path(0.01), ink: Ink::Edge, width, dash: Dash::Solid }
}

#[must_use]
pub(super) fn list(shapes: impl IntoIterator<Item = Shape>) -> DisplayList {
    DisplayList { shapes: shapes.into_iter().collect() }
}

/// Returns the same list moved by a vector.
#[must_use]
pub(super) fn moved(mut list: DisplayList, by: Vec2) -> DisplayList {
    let shift = kurbo::Affine::translate(by);
    for shape in &mut list.shapes {
        match shape {
            Shape::Fill { path, .. } | Shape::Stroke { path, .. } => path.apply_affine(shift),
            Shape::Text { at, .. } => *at += by,
        }
    }
    list
}

/// The style of the tables and texts of a sheet. A full sheet is set closer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Style {
    /// Rows and paragraphs.
    pub body: Type,
    /// Rows and paragraphs, heavy.
    pub strong: Type,
    /// Headings of tables.
    pub heading: Type,
    /// Distance from one row of a table to the next, mm.
    pub row: f64,
    /// Distance from one line of a paragraph to the next, mm.
    pub leading: f64,
    /// Distance from the top of a heading to the first row, mm.
    pub head: f64,
    /// Space after a table, mm.
    pub after: f64,
    /// Number of columns of dimensions side by side.
    pub columns: usize,
}

impl Style {
    /// Returns the styles from roomy to close; lettering is never lower than
    /// 1.8 mm (the least height of ISO 3098).
    #[must_use]
    pub(super) fn all() -> [Self; 3] {
        [(2.3, 4.65, 4.2, 7.0, 5.0, 2), (2.1, 4.2, 3.8, 6.2, 3.8, 2), (1.9, 3.7, 3.3, 5.4, 2.3, 3)].map(
            |(mm, row, leading, head, after, columns)| Self {
                body: Type::regular(mm),
                strong: Type::bold(mm),
                heading: Type::bold(mm + 0.5),
                row,
                leading,
                head,
                after,
                columns,
            },
        )
    }
}

/// A row of a table: a name, a value, and a word on the value.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct FactRow {
    /// The name.
    pub name: String,
    /// A shorter name for a narrow column; may be empty.
    pub short: String,
    /// The value with its unit.
    pub value: String,
    /// Its provenance or uncertainty.
    pub note: String,
    /// Whether it is set light, because it was never measured.
    pub light: bool,
}

/// A table with its heading, ready to be placed.
#[derive(Clone, Debug)]
pub(super) struct FactTable<'a> {
    /// The heading.
    pub heading: &'a str,
    /// The subject of the table, for a reader who hears it.
    pub summary: String,
    /// The rows.
    pub rows: &'a [FactRow],
    /// Number of columns of rows side by side.
    pub columns: usize,
}

/// Free space between columns of rows, mm.
const GUTTER: f64 = 6.0;

/// A row as it is set.
struct SetRow {
    /// The name, in as many lines as it takes.
    name: Vec<String>,
    /// Height, mm.
    height: f64,
}

impl FactTable<'_> {
    /// Returns the number of rows in each column.
    fn depth(&self) -> usize {
        self.rows.len().div_ceil(self.columns.max(1))
    }

    fn column_width(&self, width: f64) -> f64 {
        let columns = self.columns.max(1);
        (width - GUTTER * count(columns - 1)) / count(columns)
    }

    /// Returns the width for the notes at the right.
    fn note_room(&self, style: &Style) -> f64 {
        let widest = self.rows.iter().map(|row| style.body.width(&row.note)).fold(0.0, f64::max);
        if widest > 0.0 { widest + 2.5 } else { 0.0 }
    }

    /// Sets a row in a column of this width: its short name where the long one
    /// has no room, in several lines where even that has none.
    fn set(&self, row: &FactRow, width: f64, style: &Style) -> SetRow {
        let value = if row.light { style.body } else { style.strong };
        let room = width - self.note_room(style) - value.width(&row.value) - 1.5;
        let is_narrow = style.body.width(&row.name) > room && !row.short.is_empty();
        let name = style.body.wrap(if is_narrow { &row.short } else { &row.name }, room.max(12.0));
        let height = style.row + count(name.len() - 1) * style.leading;
        SetRow { name, height }
    }

    /// Returns its height at this width, mm.
    #[must_use]
    pub(super) fn height(&self, width: f64, style: &Style) -> f64 {
        if self.rows.is_empty() {
            return 0.0;
        }
        let column_width = self.column_width(width);
        let tall =
            |rows: &[FactRow]| rows.iter().map(|row| self.set(row, column_width, style).height).sum::<f64>();
        style.head + self.rows.chunks(self.depth()).map(tall).fold(0.0, f64::max)
    }

    /// Draws the table with its top left corner at `at`, `width` mm wide.
    #[must_use]
    pub(super) fn blocks(&self, at: Point, width: f64, style: &Style) -> Vec<Block> {
        if self.rows.is_empty() {
            return Vec::new();
        }
        let column_width = self.column_width(width);
        let top = at.y + style.head;
        let base = at.y + style.head - 2.2;
        let mut rules = Vec::new();
        let mut cells = Vec::new();
        let note_room = self.note_room(style);
        for (column, rows) in self.rows.chunks(self.depth()).enumerate() {
            let left = at.x + count(column) * (column_width + GUTTER);
            let right = left + column_width;
            rules.push(line((left, top), (right, top), WIDE));
            let mut bottom = top;
            for row in rows {
                let set = self.set(row, column_width, style);
                bottom += set.height;
                let y = bottom - (style.row - style.body.size * lettering::CAPITAL_HEIGHT) / 2.0;
                rules.push(line((left, bottom), (right, bottom), NARROW / 2.0));
                let value_font = if row.light { style.body } else { style.strong };
                let value_at = right - note_room;
                let lines = set.name.len();
                let name = set.name.into_iter().enumerate().map(|(n, says)| {
                    let up = count(lines - 1 - n) * style.leading;
                    text((left, y - up), Anchor::Left, style.body, says)
                });
                let cell = |kind, shape| Cell { kind, list: list([shape]) };
                let mut line = vec![
                    Cell { kind: CellKind::RowHead, list: list(name) },
                    cell(CellKind::Value, text((value_at, y), Anchor::Right, value_font, row.value.as_str())),
                ];
                if note_room > 0.0 {
                    let note = text((right, y), Anchor::Right, style.body, row.note.as_str());
                    line.push(cell(CellKind::Value, note));
                }
                cells.push(line);
            }
        }
        vec![
            Block::Heading(2, list([text((at.x, base), Anchor::Left, style.heading, self.heading)])),
            Block::Ornament(list(rules)),
            Block::Table(cells, self.summary.clone()),
        ]
    }
}

/// Converts a small number of things to a number to compute with.
#[must_use]
pub(super) fn count(things: usize) -> f64 {
    u32::try_from(things).map_or(f64::INFINITY, f64::from)
}
