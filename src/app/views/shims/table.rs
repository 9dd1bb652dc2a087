//! Lines of a table that is as wide as the drawer.

use crate::app::theme::{Tokens, regular, semibold, text};
use crate::app::views::readings::parts::row;
use crate::app::widgets::{paint, panel};
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, Ui, WidgetInfo, pos2};

/// Height of a line.
pub(super) const LINE: f32 = 22.0;
const HEAD: f32 = 20.0;
/// From the edge of the column to its words.
const PAD: f32 = 8.0;

/// A column: its head, and the side of its words with the part of the width
/// at which they begin (left) or end (right).
#[derive(Clone, Copy)]
pub(super) struct Column {
    pub head: &'static str,
    pub align: Align,
    pub at: f32,
    pub strong: bool,
}

/// Words that begin at a part of the width.
pub(super) const fn left(head: &'static str, at: f32) -> Column {
    Column { head, align: Align::Min, at, strong: false }
}

/// Words that end at a part of the width.
pub(super) const fn right(head: &'static str, at: f32) -> Column {
    Column { head, align: Align::Max, at, strong: false }
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
pub(super) fn head_ui(ui: &mut Ui, columns: &[Column], t: &Tokens) {
    let rect = row(ui, HEAD);
    for column in columns {
        let at = pos2(column.x(rect), rect.center().y);
        paint::text_mid(ui.painter(), at, column.align, column.head, regular(text::CAPTION), t.ink3);
    }
    panel::divider(ui.painter(), rect, rect.bottom() - 1.0, t);
}

/// One line; `spoken` is what a screen reader says of it.
pub(super) fn line_ui(
    ui: &mut Ui,
    columns: &[Column],
    words: &[&str],
    id: Id,
    spoken: &str,
    t: &Tokens,
) -> Rect {
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
