//! The card of all keys, made from the table of commands.

use super::{PromptAnswer, title};
use crate::app::command::{COMMANDS, key_words};
use crate::app::theme::{Tokens, regular, space, text};
use crate::app::widgets::{key_cap, paint};
use egui::{Align, RichText, Sense, Ui, pos2, vec2};

/// Width of a column, and height of a line.
const COLUMN: f32 = 300.0;
const LINE: f32 = 23.0;

/// Keys that belong to a field or the drawing, not to a command.
const IN_PLACE: [(&str, &str); 7] = [
    ("\u{2191} \u{2193}", "In a field: one step more or less"),
    ("Shift with it", "A fifth of a step; the wheel does the same"),
    ("Ctrl with it", "Ten steps"),
    ("Enter", "Take what was typed"),
    ("Esc", "Put back what was there"),
    ("Tab", "To the next control"),
    ("Empty + Enter", "Take a value away"),
];

pub(super) fn keys_ui(ui: &mut Ui, t: &Tokens) -> Option<PromptAnswer> {
    ui.set_width(2.0 * COLUMN + space::WIDE);
    title(ui, "Keys", t);
    let commands = COMMANDS.iter().filter_map(|row| {
        row.key.as_ref().map(|key| (key_words(ui.ctx(), key), row.name.trim_end_matches('…')))
    });
    let lines: Vec<(String, &str)> =
        commands.chain(IN_PLACE.map(|(key, what)| (key.to_owned(), what))).collect();
    let half = lines.len().div_ceil(2);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = vec2(space::WIDE, 0.0);
        for column in lines.chunks(half) {
            ui.vertical(|ui| column.iter().for_each(|(key, what)| line_ui(ui, key, what, t)));
        }
    });
    ui.add_space(space::GAP);
    let words = "A key without Ctrl belongs to the field that has the keyboard; the F keys work everywhere.";
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
    ui.add_space(space::NEAR);
    ui.button("Close").clicked().then_some(PromptAnswer::Close)
}

fn line_ui(ui: &mut Ui, key: &str, what: &str, t: &Tokens) {
    let (rect, response) = ui.allocate_exact_size(vec2(COLUMN, LINE), Sense::hover());
    let mid = rect.center().y;
    let cap = key_cap::paint_cap(ui.painter(), pos2(rect.right(), mid), key, t);
    let galley =
        paint::fitted(ui.painter(), what, regular(text::BODY), t.ink, cap.left() - rect.left() - 8.0);
    let baseline = paint::baseline_for_middle(mid, text::BODY);
    paint::place(ui.painter(), pos2(rect.left(), baseline), Align::Min, galley, t.ink);
    let spoken = format!("{what}: {key}");
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &spoken));
}
