//! A section as text for a terminal: tables with aligned columns, two spaces
//! between them.

use super::section::{Block, Section};
use super::table::{Align, Cell, Column, Table};
use crate::project::visible;
use crate::quantity::UnitChoice;

/// Returns a section as text. What only paper can carry, pictures and lines to
/// write on, is left out.
#[must_use]
pub(crate) fn terminal(section: &Section, units: &UnitChoice) -> String {
    format!("{}\n{}", section.title, blocks_text(&section.blocks, units))
}

fn blocks_text(blocks: &[Block], units: &UnitChoice) -> String {
    let mut text = String::new();
    for block in blocks {
        match block {
            Block::Table(table) => text.push_str(&table_text(table, units)),
            Block::Heading(words) | Block::Apart(words) => text.push_str(&format!("\n{words}\n")),
            Block::Paragraph(words) => text.push_str(&format!("{words}\n")),
            Block::Inset(blocks) => {
                for line in blocks_text(blocks, units).lines() {
                    text.push_str(&format!("  {line}\n"));
                }
            }
            Block::Notes(notes) => {
                for note in notes {
                    text.push_str(&format!("  {}\n", note.text));
                }
            }
            Block::Picture(_) | Block::Lines(_) | Block::Signatures(_) => {}
        }
    }
    text
}

/// Returns the rows under their heads; the heading of the table stands over
/// them after an empty line.
#[must_use]
pub(crate) fn table_text(table: &Table, units: &UnitChoice) -> String {
    let heading = if table.heading.is_empty() { String::new() } else { format!("\n{}\n", table.heading) };
    let head = |column: &Column| match column.kind {
        Some(kind) => format!("{}, {}", column.head, units.unit(kind).symbol()),
        None => column.head.clone(),
    };
    let cell = |(cell, column): (&Cell, &Column)| match column.kind {
        Some(_) if cell.bare.is_empty() => "–".to_owned(),
        Some(_) => cell.bare.clone(),
        None => cell.plain(),
    };
    let is_right = |column: &Column| column.kind.is_some() || column.align == Align::Right;
    let mut rows = vec![table.columns.iter().map(head).collect::<Vec<_>>()];
    rows.extend(table.rows.iter().map(|row| row.iter().zip(&table.columns).map(cell).collect()));
    format!("{heading}{}", aligned(&rows, &table.columns.iter().map(is_right).collect::<Vec<_>>()))
}

/// Returns rows as lines, each column as wide as its widest cell and at the
/// right where it says so, no spaces at the end.
#[must_use]
pub(crate) fn aligned(rows: &[Vec<String>], right: &[bool]) -> String {
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..right.len()).map(width).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for ((cell, &width), &right) in row.iter().zip(&widths).zip(right) {
            line.push_str(&if right { format!("{cell:>width$}  ") } else { format!("{cell:<width$}  ") });
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// Returns a text with all its spaces made one.
#[must_use]
pub(super) fn one_line(text: &str) -> String {
    visible(&text.split_whitespace().collect::<Vec<_>>().join(" ")).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Kind;

    #[test]
    fn columns_stand_under_their_heads_and_the_unit_stands_once() {
        let units = UnitChoice::default();
        let columns =
            [Column::left("Dimension"), Column::left("Now").of_kind(Kind::Length), Column::right("α")];
        let mut table = Table::new("", "", columns);
        table.row([Cell::text("Bore"), Cell::measure(Kind::Length, 86.0, &units), Cell::text("5.0°")]);
        table.row([Cell::text("Rod length"), Cell::text("never read"), Cell::text("–")]);
        let text = "Dimension   Now, mm     α\nBore          86.00  5.0°\nRod length        –     –\n";
        assert_eq!(table_text(&table, &units), text);
    }
}
