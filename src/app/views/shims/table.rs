//! Lines of a table that is as wide as the drawer.

use crate::app::theme::{Tokens, regular, semibold, text};
use crate::app::views::readings::parts::row;
use crate::app::widgets::{paint, panel};
use crate::report::table::{Cell, Table};
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, Ui, WidgetInfo, pos2};

/// Height of a line.
pub(super) const LINE: f32 = 22.0;
const HEAD: f32 = 20.0;
/// From the edge of the column to its words.
const PAD: f32 = 8.0;

/// A column: the side of its words with the part of the width at which they
/// begin (left) or end (right).
#[derive(Clone, Copy)]
pub(super) struct Column {
    pub align: Align,
    pub at: f32,
    pub strong: bool,
}

/// Words that begin at a part of the width.
pub(super) const fn left(at: f32) -> Column {
    Column { align: Align::Min, at, strong: false }
}

/// Words that end at a part of the width.
pub(super) const fn right(at: f32) -> Column {
    Column { align: Align::Max, at, strong: false }
}

impl Column {
    /// Set heavy.
    pub(super) const fn strong(self) -> Self {
        Self { strong: true, ..self }
    }

    fn x(self, rect: Rect) -> f32 {
        let x = rect.left() + rect.width() * self.at;
        if self.align == Align::Max { x - PAD } else { x + PAD }
    }
}

/// The heads of the columns.
pub(super) fn head_ui<'a>(
    ui: &mut Ui,
    columns: &[Column],
    heads: impl IntoIterator<Item = &'a str>,
    t: &Tokens,
) {
    let rect = row(ui, HEAD);
    for (column, head) in columns.iter().zip(heads) {
        let at = pos2(column.x(rect), rect.center().y);
        paint::text_mid(ui.painter(), at, column.align, head, regular(text::CAPTION), t.ink3);
    }
    panel::divider(ui.painter(), rect, rect.bottom() - 1.0, t);
}

/// Shows a table of a report, its columns at these places; where each row
/// lies.
pub(super) fn table_ui(
    ui: &mut Ui,
    table: &Table,
    columns: &[Column],
    id: impl Fn(usize) -> Id,
    t: &Tokens,
) -> Vec<Rect> {
    head_ui(ui, columns, table.columns.iter().map(|column| column.head.as_str()), t);
    let lines = table.rows.iter().zip(&table.spoken).enumerate().map(|(place, (cells, spoken))| {
        let words: Vec<String> = cells.iter().map(Cell::plain).collect();
        line_ui(ui, columns, &words, id(place), spoken, t)
    });
    lines.collect()
}

/// One line; `spoken` is what a screen reader says of it.
fn line_ui(ui: &mut Ui, columns: &[Column], words: &[String], id: Id, spoken: &str, t: &Tokens) -> Rect {
    let rect = row(ui, LINE);
    for (column, words) in columns.iter().zip(words) {
        let font = if column.strong { semibold(text::DIMENSION) } else { regular(text::DIMENSION) };
        let at = pos2(column.x(rect), rect.center().y);
        paint::text_mid(ui.painter(), at, column.align, words, font, t.ink);
    }
    panel::divider(ui.painter(), rect, rect.bottom() - 1.0, t);
    ui.interact(rect, id, Sense::hover()).widget_info(|| WidgetInfo::labeled(Role::Label, true, spoken));
    rect
}
