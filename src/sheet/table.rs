//! A table of a report as it is set on paper.

use kurbo::Point;

use super::draft::{NARROW, Type, WIDE, count, line, list, text};
use crate::drawing::lettering::CAPITAL_HEIGHT;
use crate::drawing::list::{Anchor, Shape};
use crate::drawing::page::{self, Block, CellKind};
use crate::report::table::{Align, Cell, Column, Table, Words};

// Measures on paper, mm.

/// Distance between two columns.
const GAP: f64 = 3.0;
/// Distance between two columns in a table with lines between them.
const RULED_GAP: f64 = 2.4;
/// Distance from the rule under a row to the next line of letters.
const ABOVE: f64 = 1.15;
/// Distance from the top of a heading to the rule under it.
const HEADING: f64 = 6.2;

/// A table set on paper of a width.
pub(super) struct Set<'a> {
    table: &'a Table,
    left: f64,
    /// Left ends and widths of the columns.
    columns: Vec<(f64, f64)>,
    head: Vec<Vec<String>>,
    rows: Vec<SetRow>,
    body: Type,
    strong: Type,
    small: Type,
    leading: f64,
}

/// One line of a cell.
#[derive(Clone)]
struct SetLine {
    text: String,
    strong: bool,
    struck: bool,
}

/// A row, its cells broken into lines.
struct SetRow {
    cells: Vec<Vec<SetLine>>,
    /// Whether it goes on from the page before.
    continued: bool,
}

impl SetRow {
    fn lines(&self) -> usize {
        self.cells.iter().map(Vec::len).max().unwrap_or(0).max(1)
    }
}

impl<'a> Set<'a> {
    pub(super) fn new(table: &'a Table, left: f64, width: f64) -> Self {
        let mm = if table.close { 1.9 } else { 2.1 };
        let (body, strong, small) = (Type::regular(mm), Type::bold(mm), Type::regular(1.8));
        let mut set = Self {
            table,
            left,
            columns: Vec::new(),
            head: Vec::new(),
            rows: Vec::new(),
            body,
            strong,
            small,
            leading: mm * 1.62,
        };
        set.columns = set.places(width);
        let widths = || set.columns.iter().map(|&(_, width)| width);
        set.head = table
            .columns
            .iter()
            .zip(widths())
            .map(|(column, width)| small.wrap(&column.head, width))
            .collect();
        let rows = table.rows.iter().map(|row| SetRow {
            cells: row.iter().zip(widths()).map(|(cell, width)| set.cell(cell, width)).collect(),
            continued: false,
        });
        set.rows = rows.collect();
        set
    }

    fn font(&self, strong: bool) -> Type {
        if strong { self.strong } else { self.body }
    }

    fn cell(&self, cell: &Cell, width: f64) -> Vec<SetLine> {
        let broken = |words: &Words| {
            let (strong, struck) = (words.strong, words.struck);
            let lines = self.font(strong).wrap(&words.text, width);
            lines.into_iter().map(move |text| SetLine { text, strong, struck }).collect::<Vec<_>>()
        };
        cell.words.iter().filter(|words| !words.text.is_empty()).flat_map(broken).collect()
    }

    fn gap(&self) -> f64 {
        if self.table.ruled { RULED_GAP } else { GAP }
    }

    /// Returns left end and width of each column: as wide as its texts where
    /// there is room, else the widest ones are broken into lines.
    fn places(&self, width: f64) -> Vec<(f64, f64)> {
        let columns = &self.table.columns;
        let room = width - self.gap() * count(columns.len().saturating_sub(1));
        let mut wished: Vec<f64> = columns.iter().enumerate().map(|(i, c)| self.wish(i, c)).collect();
        let all: f64 = wished.iter().sum();
        if all > room {
            shrink(&mut wished, room);
        } else {
            let growing = columns.iter().filter(|column| column.grows).count();
            for (wish, column) in wished.iter_mut().zip(columns) {
                *wish += match growing {
                    0 => (room - all) * *wish / all.max(1e-9),
                    growing if column.grows => (room - all) / count(growing),
                    _ => 0.0,
                };
            }
        }
        let mut x = self.left;
        let place = |width: f64| {
            let at = x;
            x += width + self.gap();
            (at, width)
        };
        wished.into_iter().map(place).collect()
    }

    /// Returns the width that a column would take if it had room.
    fn wish(&self, index: usize, column: &Column) -> f64 {
        let cells = self.table.rows.iter().filter_map(|row| row.get(index)).flat_map(|cell| &cell.words);
        let widest = cells.map(|words| self.font(words.strong).width(&words.text)).fold(0.0, f64::max);
        // A head of several words may be broken, so that it does not widen a
        // column of short numbers.
        let head = column.head.split(' ').map(|word| self.small.width(word)).fold(0.0, f64::max);
        // A hair more, so that rounding breaks no line.
        widest.max(head).max(column.least).max(4.0) + 0.01
    }

    /// Returns the distance from the top of the table to the first row, mm.
    pub(super) fn head_height(&self) -> f64 {
        let heading = if self.table.heading.is_empty() { 0.0 } else { HEADING };
        heading + self.heads_height()
    }

    fn heads_height(&self) -> f64 {
        if self.table.columns.iter().all(|column| column.head.is_empty()) {
            return 0.0;
        }
        let lines = self.head.iter().map(Vec::len).max().unwrap_or(1);
        count(lines) * 1.8 * 1.5 + 1.6
    }

    /// Returns the height of a row, mm.
    pub(super) fn row_height(&self, index: usize) -> f64 {
        self.rows.get(index).map_or(0.0, |row| self.height_of(row.lines()))
    }

    fn height_of(&self, lines: usize) -> f64 {
        (count(lines) * self.leading + ABOVE).max(self.table.row_height)
    }

    pub(super) fn rows(&self) -> usize {
        self.rows.len()
    }

    /// Cuts a row that is taller than `room` in two, the first of which fits;
    /// at least one line stays in each.
    pub(super) fn split(&mut self, index: usize, room: f64) {
        let Some(row) = self.rows.get_mut(index) else { return };
        let mut fits = 1;
        let lines = row.lines();
        while fits + 1 < lines && count(fits + 1) * self.leading + ABOVE <= room {
            fits += 1;
        }
        let rest: Vec<Vec<SetLine>> =
            row.cells.iter_mut().map(|cell| cell.split_off(fits.min(cell.len()))).collect();
        if rest.iter().any(|cell| !cell.is_empty()) {
            self.rows.insert(index + 1, SetRow { cells: rest, continued: true });
        }
    }

    /// Draws the rows of a range with heading and heads, the top at `top`, and
    /// returns how far down they extend.
    pub(super) fn blocks(
        &self,
        rows: std::ops::Range<usize>,
        top: f64,
        continued: bool,
    ) -> (Vec<Block>, f64) {
        let (left, right) = self.span();
        let mut blocks = Vec::new();
        let mut y = top;
        if !self.table.heading.is_empty() {
            let says = if continued {
                format!("{}, continued", self.table.heading)
            } else {
                self.table.heading.clone()
            };
            let font = Type::bold(2.6);
            blocks.push(Block::Heading(2, list([text((left, y + HEADING - 2.2), Anchor::Left, font, says)])));
            y += HEADING;
        }
        let mut rules = vec![line((left, y), (right, y), WIDE)];
        let mut cells = Vec::new();
        let first = y;
        if self.heads_height() > 0.0 {
            cells.push(self.head_cells(y));
            y += self.heads_height();
            rules.push(line((left, y), (right, y), NARROW));
        }
        for row in self.rows.get(rows).unwrap_or_default() {
            let height = self.height_of(row.lines());
            let (drawn, struck) = self.row_cells(row, y);
            cells.push(drawn);
            rules.extend(struck);
            y += height;
            rules.push(line((left, y), (right, y), NARROW / 2.0));
        }
        if self.table.ruled {
            for &(x, _) in self.columns.iter().skip(1) {
                let x = x - self.gap() / 2.0;
                rules.push(line((x, first), (x, y), NARROW / 2.0));
            }
        }
        blocks.push(Block::Ornament(list(rules)));
        blocks.push(Block::Table(cells, self.table.summary.clone()));
        (blocks, y)
    }

    fn span(&self) -> (f64, f64) {
        let right = self.columns.last().map_or(self.left, |&(x, width)| x + width);
        (self.left, right)
    }

    fn at(&self, column: usize) -> Option<(f64, Anchor)> {
        let (&(x, width), column) = self.columns.get(column).zip(self.table.columns.get(column))?;
        Some(match column.align {
            Align::Left => (x, Anchor::Left),
            Align::Right => (x + width, Anchor::Right),
        })
    }

    fn head_cells(&self, top: f64) -> Vec<page::Cell> {
        let most = self.head.iter().map(Vec::len).max().unwrap_or(1);
        let cell = |(i, lines): (usize, &Vec<String>)| {
            let (x, anchor) = self.at(i)?;
            // The last lines are on one baseline.
            let skip = most - lines.len();
            let shapes = lines.iter().enumerate().map(|(n, says)| {
                let y = top + 1.0 + count(n + skip + 1) * 1.8 * 1.5 - 0.6;
                text((x, y), anchor, self.small, says.as_str())
            });
            Some(page::Cell { kind: CellKind::ColumnHead, list: list(shapes) })
        };
        self.head.iter().enumerate().filter_map(cell).collect()
    }

    /// Draws the cells of a row, and the lines through struck texts.
    fn row_cells(&self, row: &SetRow, top: f64) -> (Vec<page::Cell>, Vec<Shape>) {
        let capitals = self.body.size * CAPITAL_HEIGHT;
        let mut struck = Vec::new();
        let mut cells = Vec::new();
        for (i, lines) in row.cells.iter().enumerate() {
            let Some((x, anchor)) = self.at(i) else { continue };
            let mut shapes = Vec::new();
            for (n, set) in lines.iter().enumerate() {
                let y = top + ABOVE + count(n) * self.leading + (self.leading + capitals - ABOVE) / 2.0;
                let font = self.font(set.strong);
                if set.struck {
                    let width = font.width(&set.text);
                    let from = if anchor == Anchor::Right { x - width } else { x };
                    let y = y - capitals * 0.42;
                    struck.push(line((from - 0.4, y), (from + width + 0.4, y), NARROW));
                }
                shapes.push(text((x, y), anchor, font, set.text.as_str()));
            }
            let kind = if i == 0 && !row.continued { CellKind::RowHead } else { CellKind::Value };
            cells.push(page::Cell { kind, list: list(shapes) });
        }
        (cells, struck)
    }

    /// Returns the top left corner of the table.
    pub(super) fn origin(&self, top: f64) -> Point {
        Point::new(self.left, top)
    }
}

/// Makes the widest columns narrower until all fit: every column that is
/// narrower than the cap keeps its width, all others get the cap.
fn shrink(widths: &mut [f64], room: f64) {
    let mut sorted = widths.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut left = room.max(1.0);
    let mut cap = left;
    for (i, width) in sorted.iter().enumerate() {
        cap = left / count(sorted.len() - i);
        if *width > cap {
            break;
        }
        left -= width;
    }
    for width in widths {
        *width = width.min(cap);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> Table {
        let mut table = Table::new(
            "Readings",
            "What was read",
            [Column::left("Place"), Column::number("Mean", "mm"), Column::left("Note").growing()],
        );
        table.row(["pin axis, front".into(), Cell::strong("1.21 mm").of(1.21), "held down by hand".into()]);
        let struck = Words { text: "1.43 mm".into(), struck: true, ..Words::default() };
        table.row(["rear".into(), Cell::strong("1.20 mm").of(1.2).and(struck), "".into()]);
        table
    }

    #[test]
    fn columns_fill_the_width_and_the_growing_one_takes_the_rest() {
        let table = table();
        let set = Set::new(&table, 25.0, 160.0);
        let (left, right) = set.span();
        assert_eq!(left, 25.0);
        assert!((right - 185.0).abs() < 1e-9, "{right}");
        assert!(set.columns[2].1 > 100.0, "{:?}", set.columns);
    }

    #[test]
    fn long_texts_are_broken_and_short_columns_keep_their_width() {
        let mut widths = [10.0, 200.0, 30.0, 150.0];
        shrink(&mut widths, 100.0);
        assert_eq!(widths, [10.0, 30.0, 30.0, 30.0]);
        let mut widths = [10.0, 200.0, 12.0];
        shrink(&mut widths, 100.0);
        assert_eq!(widths, [10.0, 78.0, 12.0]);
    }

    #[test]
    fn what_is_struck_out_is_crossed_and_said() {
        let table = table();
        assert_eq!(table.rows[1][1].plain(), "1.20 mm; struck out 1.43 mm");
        let set = Set::new(&table, 0.0, 160.0);
        let (blocks, _) = set.blocks(0..2, 0.0, false);
        let Block::Ornament(rules) = &blocks[1] else { panic!() };
        // Under the heading, under the heads, two rows, one cross.
        assert_eq!(rules.shapes.len(), 5);
    }

    #[test]
    fn a_row_that_no_page_holds_is_cut_and_loses_nothing() {
        let mut table = Table::new("", "", [Column::left("Note")]);
        table.row([Cell::text("measure again with the real parts ".repeat(60))]);
        let mut set = Set::new(&table, 0.0, 60.0);
        let lines = set.rows[0].lines();
        set.split(0, 40.0);
        assert_eq!(set.rows(), 2);
        assert!(set.row_height(0) <= 40.0, "{}", set.row_height(0));
        assert_eq!(set.rows[0].lines() + set.rows[1].lines(), lines);
    }
}
