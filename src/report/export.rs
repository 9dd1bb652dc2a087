//! The tables of the sheets as CSV, Markdown and plain text.

use std::fmt::Write as _;

use super::context::{Context, DEFERS};
use super::figures;
use super::table::{Align, Cell, Column, Table};
use super::text::{aligned, one_line};

/// The same as [`csv`], with the mark without which spreadsheets do not take a
/// file for UTF-8.
#[must_use]
pub(crate) fn csv_file(tables: &[(String, Table)]) -> String {
    format!("\u{feff}{}", csv(tables))
}

/// Tables as one CSV file (RFC 4180, UTF-8): each table with a line that
/// names it, its heads and its rows, an empty line between two tables. A
/// column with numbers has them at full precision in the unit that its head
/// names. A text that a spreadsheet would take for a formula gets an
/// apostrophe in front.
///
/// ```
/// use crowndeck::report::csv;
/// use crowndeck::report::table::{Cell, Column, Table};
/// let mut table = Table::new("Decks", "", [Column::left("Cylinder"), Column::number("Deck", "mm")]);
/// table.row([Cell::text("=1+1"), Cell::text("0.10 mm proud").of(-0.1)]);
/// let file = csv(&[("Figures".to_owned(), table)]);
/// assert_eq!(file, "Figures,Decks\r\nCylinder,Deck (mm)\r\n'=1+1,-0.1\r\n");
/// ```
#[must_use]
pub fn csv(tables: &[(String, Table)]) -> String {
    let mut out = String::new();
    for (sheet, table) in tables.iter().filter(|(_, table)| !table.rows.is_empty()) {
        if !out.is_empty() {
            out.push_str("\r\n");
        }
        record(&mut out, [csv_text(sheet), csv_text(&table.heading)]);
        let is_number: Vec<bool> =
            (0..table.columns.len()).map(|i| numbers(table, i).any(|number| number.is_some())).collect();
        let heads = table.columns.iter().zip(&is_number).map(|(column, &is_number)| {
            if is_number && !column.unit.is_empty() {
                csv_text(&format!("{} ({})", column.head, column.unit))
            } else {
                csv_text(&column.head)
            }
        });
        if table.columns.iter().any(|column| !column.head.is_empty()) {
            record(&mut out, heads);
        }
        for row in &table.rows {
            record(&mut out, row.iter().zip(&is_number).map(|(cell, &is_number)| field(cell, is_number)));
        }
    }
    out
}

fn numbers(table: &Table, column: usize) -> impl Iterator<Item = Option<f64>> + '_ {
    table.rows.iter().map(move |row| row.get(column).and_then(|cell| cell.number))
}

/// A number reads back to the same f64; what has none in a column of numbers
/// keeps its words, so that "can't exist" is not lost.
fn field(cell: &Cell, is_number: bool) -> String {
    match cell.number {
        Some(number) if is_number => number.to_string(),
        _ => csv_text(&cell.plain()),
    }
}

fn record(out: &mut String, fields: impl IntoIterator<Item = String>) {
    let fields: Vec<String> = fields.into_iter().collect();
    out.push_str(&fields.join(","));
    out.push_str("\r\n");
}

/// A text as a field. Spreadsheets take a text for a formula by its first
/// character (=, +, -, @, tab, return; full-width forms of them too): the
/// apostrophe keeps it a text. Common practice against formulas in data.
#[must_use]
pub(crate) fn csv_text(text: &str) -> String {
    let begins = text.trim_start_matches([' ', '\u{A0}']).chars().next();
    let formula = matches!(begins, Some('=' | '+' | '-' | '@' | '\t' | '\r' | '＝' | '＋' | '－' | '＠'));
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\r', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// The figures and limits as Markdown, for a forum or an e-mail.
#[must_use]
pub fn figures_in_markdown(context: &Context<'_>) -> String {
    let mut out = format!("## {}\n", in_markdown(&context.project.title));
    for table in told(context) {
        let _ = write!(out, "\n**{}**\n\n{}", in_markdown(&table.heading), markdown(&table));
    }
    let _ = write!(out, "\n{}\n", DEFERS);
    out
}

/// The same as plain text, its columns aligned for a font of equal widths.
#[must_use]
pub fn figures_in_plain_text(context: &Context<'_>) -> String {
    let mut out = format!("{}\n", one_line(&context.project.title));
    for table in told(context) {
        let _ = write!(out, "\n{}\n{}", table.heading, plain_text(&table));
    }
    let _ = write!(out, "\n{}\n", DEFERS);
    out
}

fn told(context: &Context<'_>) -> [Table; 2] {
    [figures::figures(context), figures::limits(context)]
}

fn markdown(table: &Table) -> String {
    let mut out = String::new();
    let mut line = |cells: Vec<String>| {
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    };
    line(table.columns.iter().map(|column| in_markdown(&column.head)).collect());
    let rule = |column: &Column| match column.align {
        Align::Left => ":--".to_owned(),
        Align::Right => "--:".to_owned(),
    };
    line(table.columns.iter().map(rule).collect());
    for row in &table.rows {
        line(row.iter().map(|cell| in_markdown(&cell.plain())).collect());
    }
    out
}

/// A text that can't break out of a cell of a Markdown table.
fn in_markdown(text: &str) -> String {
    let mut out = String::new();
    for c in one_line(text).chars() {
        if matches!(c, '|' | '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

fn plain_text(table: &Table) -> String {
    let mut rows = vec![table.columns.iter().map(|column| column.head.clone()).collect::<Vec<_>>()];
    rows.extend(table.rows.iter().map(|row| row.iter().map(|cell| one_line(&cell.plain())).collect()));
    aligned(&rows, &table.columns.iter().map(|column| column.align == Align::Right).collect::<Vec<_>>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_looks_like_a_formula_becomes_a_text() {
        for (text, field) in [
            ("=HYPERLINK(1)", "'=HYPERLINK(1)"),
            ("+60.0 cc", "'+60.0 cc"),
            ("-1", "'-1"),
            ("@sum", "'@sum"),
            (" =1", "' =1"),
            ("\t=1", "'\t=1"),
            ("a, b", "\"a, b\""),
            ("say \"no\"", "\"say \"\"no\"\"\""),
            ("one\ntwo", "\"one\ntwo\""),
            ("=\"a\",b", "\"'=\"\"a\"\",b\""),
            ("\u{2212}0.10 mm", "\u{2212}0.10 mm"),
            ("", ""),
        ] {
            assert_eq!(csv_text(text), field, "{text:?}");
        }
    }

    #[test]
    fn numbers_read_back_to_the_last_digit() {
        let mut table = Table::new("", "", [Column::left("Cylinder"), Column::number("Ratio", "")]);
        let ratio = 9.135_782_345_678_912_f64;
        table.row([Cell::text("1"), Cell::text("9.14 ±0.05").of(ratio)]);
        table.row([Cell::text("2"), Cell::text("can't exist")]);
        let file = csv(&[("Figures".to_owned(), table)]);
        let lines: Vec<&str> = file.split("\r\n").collect();
        assert_eq!(lines[1], "Cylinder,Ratio");
        assert_eq!(lines[2].strip_prefix("1,").unwrap().parse::<f64>().unwrap(), ratio);
        assert_eq!(lines[3], "2,can't exist");
    }

    #[test]
    fn a_table_stays_a_table_whatever_is_in_it() {
        let mut table = Table::new("", "", [Column::left("What"), Column::right("Value")]);
        table.row([Cell::text("a | b\nc"), Cell::text("1 <b>")]);
        assert_eq!(markdown(&table), "| What | Value |\n| :-- | --: |\n| a \\| b c | 1 \\<b\\> |\n");
        assert_eq!(plain_text(&table), "What     Value\na | b c  1 <b>\n");
    }
}
