//! A field for words: a title, a label, a note. As with numbers, a visit
//! changes nothing, Enter or leaving takes what was typed, Escape puts back
//! what was there.

use crate::app::theme::{Tokens, regular, text, width};
use egui::{EventFilter, Id, Key, Modifiers, Response, TextEdit, Ui};

/// A field for words, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TextField<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Name for screen readers: "Title".
    pub name: &'a str,
    /// What stands in it.
    pub value: &'a str,
    /// What to write there, shown while it is empty.
    pub hint: &'a str,
    /// Lines; with more than one, Enter begins a new line.
    pub lines: usize,
    /// Its width; what there is where none is given.
    pub width: Option<f32>,
}

/// What is typed and not yet taken.
#[derive(Clone, Debug)]
struct Draft {
    text: String,
    from: String,
}

/// What was done with the field.
#[derive(Clone, Debug)]
pub(crate) struct TextOutput {
    /// egui's response.
    pub response: Response,
    /// A text to take, once.
    pub committed: Option<String>,
}

impl<'a> TextField<'a> {
    /// A field of one line as wide as there is room.
    #[must_use]
    pub(crate) fn line(id: Id, name: &'a str, value: &'a str) -> Self {
        Self { id, name, value, hint: "", lines: 1, width: None }
    }

    /// With what to write there.
    #[must_use]
    pub(crate) fn hint(self, hint: &'a str) -> Self {
        Self { hint, ..self }
    }

    /// Of this width.
    #[must_use]
    pub(crate) fn width(self, width: f32) -> Self {
        Self { width: Some(width), ..self }
    }

    /// Of so many lines.
    #[must_use]
    pub(crate) fn lines(self, lines: usize) -> Self {
        Self { lines, ..self }
    }

    /// Shows the field at the cursor.
    pub(crate) fn show(&self, ui: &mut Ui, t: &Tokens) -> TextOutput {
        let stored = ui.data(|d| d.get_temp::<Draft>(self.id)).filter(|draft| draft.from == self.value);
        let mut draft =
            stored.unwrap_or_else(|| Draft { text: self.value.to_owned(), from: self.value.to_owned() });
        let had_keys = ui.memory(|m| m.has_focus(self.id));
        let one = self.lines <= 1;
        let (enter, escape) = if had_keys {
            ui.input_mut(|i| {
                (
                    one && i.consume_key(Modifiers::NONE, Key::Enter),
                    i.consume_key(Modifiers::NONE, Key::Escape),
                )
            })
        } else {
            (false, false)
        };
        let edit =
            if one { TextEdit::singleline(&mut draft.text) } else { TextEdit::multiline(&mut draft.text) };
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: !one, escape: true, tab: false };
        let shown = edit
            .id(self.id)
            .font(regular(text::BODY))
            .hint_text(self.hint)
            .desired_width(self.width.unwrap_or(f32::INFINITY))
            .desired_rows(self.lines)
            .event_filter(filter)
            .show(ui);
        let response = shown.response.response;
        let focused = ui.memory(|m| m.has_focus(self.id));
        if focused {
            // The frame that egui paints for a field in use is 2 accent, as
            // for numbers; in high contrast it needs the wider stroke.
            ui.painter().rect_stroke(
                response.rect,
                crate::app::theme::radius::FIELD,
                t.stroke(width::HEAVY, t.accent),
                egui::StrokeKind::Inside,
            );
        }
        let mut committed = None;
        if escape {
            if draft.text == draft.from {
                ui.memory_mut(|m| m.surrender_focus(self.id));
            }
            draft.text.clone_from(&draft.from);
        } else if (enter || !focused) && draft.text != draft.from {
            committed = Some(draft.text.trim().to_owned()).filter(|text| *text != draft.from);
        }
        ui.data_mut(|d| {
            if focused && committed.is_none() {
                d.insert_temp(self.id, draft);
            } else {
                d.remove::<Draft>(self.id);
            }
        });
        TextOutput { response: response.accessible_name(self.name), committed }
    }
}
