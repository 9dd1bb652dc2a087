//! The entry field for a quantity.
//!
//! Visiting it never changes anything. What is typed is a draft until Enter
//! or until the field is left; Escape puts back what was there. What the
//! caller's check refuses stays as a draft with the sentence that says why,
//! and the old value stays in the engine.
//!
//! A field reached by the keyboard shows the ring: typing replaces the value,
//! Up and Down step it. A field that was clicked, or in which the caret was
//! moved, is edited in place.

use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::{paint, steps};
use egui::accesskit::Invalid;
use egui::text::{CCursor, CCursorRange};
use egui::{
    Align, Align2, Color32, EventFilter, FontId, Frame, Id, Key, Layout, Margin, Modifiers, Rect, Response,
    Shape, Stroke, StrokeKind, TextEdit, Ui, UiBuilder, Vec2, pos2, vec2,
};
use egui::{epaint::RectShape, text_edit::TextEditOutput};

/// Size of the field in the usual rows.
pub(crate) const SIZE: Vec2 = vec2(82.0, 22.0);
/// Between the edge of the field and what is in it.
const PAD: f32 = 7.0;
/// Between the number and its unit.
const UNIT_GAP: f32 = 4.0;

/// Where the field that has the keyboard and no draft is remembered.
const AT_REST: &str = "field at rest";

/// Whether the keyboard is in a field in which nothing was typed yet: a key
/// that no quantity begins with is then free for a command.
#[must_use]
pub(crate) fn is_at_rest(ctx: &egui::Context) -> bool {
    let at_rest = ctx.data(|d| d.get_temp::<Option<Id>>(Id::unique(AT_REST))).flatten();
    at_rest.is_some() && at_rest == ctx.memory(|m| m.focused())
}

/// What the caller says to a text that is about to be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Check {
    /// It can be taken.
    Fine,
    /// It can't: the sentence that says why and what the engine still uses.
    Refused(String),
    /// It can, but it looks like a slip.
    Question {
        /// "Thinner than foil. Did you mean 0.014 in?"
        ask: String,
        /// What Enter and Escape will do: "Enter: 0.36 mm. Escape: keep 0.25 mm."
        choices: String,
        /// The text that a second Enter takes.
        enter: String,
    },
}

/// What stands below the field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Note {
    /// What the draft will mean: "10 thou is 0.254 mm".
    Meaning(String),
    /// Why the draft was not taken.
    Refused(String),
    /// A question about the draft, and what the keys will do.
    Question(String, String),
}

/// A field, for one frame.
#[derive(Clone, Copy)]
pub(crate) struct QuantityField<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Name for screen readers: "Base shim".
    pub name: &'a str,
    /// The number as it stands, without its unit; empty if it is missing.
    pub value: &'a str,
    /// Its unit. A draft without a unit means this one.
    pub unit: &'a str,
    /// How the value is known.
    pub known: ProvenanceMark,
    /// It differs from the kept state.
    pub moved: bool,
    /// It is left out as an odd reading: struck through on brick.
    pub struck: bool,
    /// May the draft be taken?
    pub check: &'a dyn Fn(&str) -> Check,
    /// What the draft means, while it is typed.
    pub meaning: &'a dyn Fn(&str) -> Option<String>,
}

/// What was done with a field.
#[derive(Clone, Debug)]
pub(crate) struct FieldOutput {
    /// egui's response.
    pub response: Response,
    /// A text to take, once.
    pub committed: Option<String>,
    /// Steps that arrow keys and wheel asked for: whole steps, with Shift a
    /// fifth, with Ctrl ten.
    pub steps: f64,
    /// What to show below the field.
    pub note: Option<Note>,
    /// Enter was pressed and there was nothing to take.
    pub entered: bool,
}

/// What is typed and not yet taken.
#[derive(Clone, Debug)]
struct Draft {
    text: String,
    /// The value that it started from.
    from: String,
    fault: Option<Fault>,
    /// Edited in place: show the caret.
    in_place: bool,
    /// The field had the keyboard when this was stored.
    focused: bool,
}

/// Why a draft was not taken.
#[derive(Clone, Debug)]
enum Fault {
    Refused(String),
    Question { ask: String, choices: String, enter: String },
}

impl Draft {
    fn new(value: &str) -> Self {
        Self { text: value.to_owned(), from: value.to_owned(), fault: None, in_place: false, focused: false }
    }

    fn touched(&self) -> bool {
        self.text.trim() != self.from.trim()
    }

    fn note(&self, field: &QuantityField<'_>) -> Option<Note> {
        match &self.fault {
            Some(Fault::Refused(why)) => Some(Note::Refused(why.clone())),
            Some(Fault::Question { ask, choices, .. }) => Some(Note::Question(ask.clone(), choices.clone())),
            None if self.touched() => (field.meaning)(self.text.trim()).map(Note::Meaning),
            None => None,
        }
    }

    /// Takes the text if the check lets it; otherwise notes why not.
    /// `again` is true if the user has seen the question and pressed Enter.
    fn settle(&mut self, field: &QuantityField<'_>, again: bool) -> Option<String> {
        if again && let Some(Fault::Question { enter, .. }) = &self.fault {
            return Some(enter.clone());
        }
        let text = self.text.trim().to_owned();
        match (field.check)(&text) {
            Check::Fine => Some(text),
            Check::Refused(why) => {
                self.fault = Some(Fault::Refused(why));
                None
            }
            Check::Question { ask, choices, enter } => {
                self.fault = Some(Fault::Question { ask, choices, enter });
                None
            }
        }
    }
}

/// How one frame of the field looks.
#[derive(Clone, Copy, Debug)]
struct Look {
    /// The keyboard is here and the whole value is chosen.
    ring: bool,
    /// The unit stands beside the number.
    with_unit: bool,
    /// The pointer is over the row.
    lit: bool,
}

/// The keys that the field takes before the text editor sees them.
#[derive(Clone, Copy, Debug, Default)]
struct Keys {
    enter: bool,
    escape: bool,
    edit: bool,
    steps: f64,
}

impl Keys {
    fn take(ui: &Ui) -> Self {
        ui.input_mut(|i| {
            let steps = steps::of_keys(i, &[(Key::ArrowUp, 1.0), (Key::ArrowDown, -1.0)]);
            Self {
                enter: i.consume_key(Modifiers::NONE, Key::Enter),
                escape: i.consume_key(Modifiers::NONE, Key::Escape),
                edit: i.key_pressed(Key::ArrowLeft) || i.key_pressed(Key::ArrowRight),
                steps,
            }
        })
    }
}

impl QuantityField<'_> {
    /// Shows the field in `rect`.
    pub(crate) fn show(&self, ui: &mut Ui, rect: Rect, t: &Tokens) -> FieldOutput {
        self.show_lit(ui, rect, false, t)
    }

    /// As [`QuantityField::show`]; `lit` if the pointer is over the row that
    /// it stands in.
    pub(crate) fn show_lit(&self, ui: &mut Ui, rect: Rect, lit: bool, t: &Tokens) -> FieldOutput {
        let has_keys = ui.memory(|m| m.has_focus(self.id));
        let mut keys = if has_keys { Keys::take(ui) } else { Keys::default() };
        // Only where the keyboard is: a list that is rolled changes nothing.
        if has_keys {
            keys.steps += steps::of_wheel(ui, self.id, rect);
        }
        let stored = ui.data(|d| d.get_temp::<Draft>(self.id));
        let mut draft = match stored {
            Some(draft) if draft.touched() || draft.from == self.value => draft,
            Some(old) => Draft { in_place: old.in_place, focused: old.focused, ..Draft::new(self.value) },
            None => Draft::new(self.value),
        };
        let frame = ui.painter().add(Shape::Noop);
        let before = draft.text.clone();
        let ring = has_keys && !draft.touched() && draft.fault.is_none() && !draft.in_place;
        let look = Look { ring, with_unit: self.wants_unit(&draft), lit };
        let output = self.edit_ui(ui, rect, &mut draft.text, look, t);
        if draft.text != before {
            draft.fault = None;
        }
        let focused = ui.memory(|m| m.has_focus(self.id));
        let pressed = output.response.is_pointer_button_down_on() || output.response.clicked();
        draft.in_place = focused && (draft.in_place || pressed || keys.edit);

        let mut committed = None;
        let mut steps = 0.0;
        let mut entered = false;
        let mut select = focused && !draft.focused && !pressed;
        if focused && keys.escape {
            if draft.touched() || draft.fault.is_some() {
                draft = Draft::new(self.value);
                select = true;
            } else {
                ui.memory_mut(|m| m.surrender_focus(self.id));
            }
        } else if focused && keys.enter && draft.touched() {
            committed = draft.settle(self, true);
        } else if !focused && draft.touched() && draft.fault.is_none() {
            committed = draft.settle(self, false);
        } else if !draft.touched() {
            steps = keys.steps;
            entered = focused && keys.enter;
            if keys.enter || steps != 0.0 {
                draft.in_place = false;
                select = true;
            }
        }
        if committed.is_some() {
            draft = Draft::new(self.value);
            select = focused;
            ui.request_repaint();
        }
        if select {
            select_all(ui, &output, &draft.text);
            ui.request_repaint();
        }
        self.paint(ui, rect, frame, &output, &draft, Look { ring: ring && focused, ..look }, t);
        let note = draft.note(self);
        let response = self.describe(ui, output.response.response, note.as_ref());
        draft.focused = focused;
        let keep = focused || draft.touched();
        let at_rest = focused && !draft.touched() && draft.fault.is_none() && !draft.in_place;
        ui.data_mut(|d| {
            if focused {
                d.insert_temp(Id::unique(AT_REST), at_rest.then_some(self.id));
            }
            if keep {
                d.insert_temp(self.id, draft);
            } else {
                d.remove::<Draft>(self.id);
            }
        });
        FieldOutput { response, committed, steps, note, entered }
    }

    /// The text editor, without a frame of its own.
    fn edit_ui(&self, ui: &mut Ui, rect: Rect, words: &mut String, look: Look, t: &Tokens) -> TextEditOutput {
        let Look { ring, with_unit, .. } = look;
        let (font, color) = self.face(words, t);
        let right = if with_unit { PAD + self.unit_room(ui) } else { PAD };
        let mut child = ui.new_child(
            UiBuilder::new().id_salt(self.id).max_rect(rect).layout(Layout::left_to_right(Align::Min)),
        );
        if ring {
            // the whole value is chosen; the ring says so
            child.visuals_mut().selection.bg_fill = Color32::TRANSPARENT;
            child.visuals_mut().selection.stroke.color = color;
            child.visuals_mut().text_cursor.stroke = Stroke::NONE;
        }
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, escape: true, tab: false };
        let margin = Margin { left: 3, right: margin(right), top: 0, bottom: 2 };
        child.spacing_mut().interact_size = Vec2::ZERO;
        TextEdit::singleline(words)
            .id(self.id)
            .font(font)
            .text_color(color)
            .frame(Frame::NONE.inner_margin(margin))
            .desired_width(rect.width())
            .min_size(rect.size())
            .align(Align2::RIGHT_CENTER)
            .event_filter(filter)
            .return_key(None)
            .show(&mut child)
    }

    /// Measured figures are heavy, assumed ones light; what is typed is heavy.
    fn face(&self, words: &str, t: &Tokens) -> (FontId, Color32) {
        if self.known == ProvenanceMark::Assumed && words == self.value {
            (regular(text::VALUE), t.ink2)
        } else {
            (semibold(text::VALUE), t.ink)
        }
    }

    /// The unit stands beside the value, and beside a bare number that was
    /// not taken; not beside one that is being typed, which may bring its own.
    fn wants_unit(&self, draft: &Draft) -> bool {
        let bare = draft.text.chars().all(|c| c.is_ascii_digit() || "+-−.,/ ".contains(c));
        !draft.touched() || (draft.fault.is_some() && bare)
    }

    fn unit_room(&self, ui: &Ui) -> f32 {
        if self.unit.is_empty() {
            return 0.0;
        }
        paint::line(ui.painter(), self.unit, regular(text::UNIT), Color32::BLACK).size().x + UNIT_GAP
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "what one frame of the field looks like hangs on all of it"
    )]
    fn paint(
        &self,
        ui: &Ui,
        rect: Rect,
        frame: egui::layers::ShapeIdx,
        output: &TextEditOutput,
        draft: &Draft,
        look: Look,
        t: &Tokens,
    ) {
        let painter = ui.painter();
        let response = &output.response;
        let editing = response.has_focus() && (draft.touched() || draft.in_place);
        let faulty = draft.fault.is_some() || self.struck;
        let (fill, stroke) = if faulty {
            (t.warn_tint, t.stroke(width::HEAVY, t.warn))
        } else if editing {
            (t.field, t.stroke(width::HEAVY, t.accent))
        } else if self.moved {
            (t.accent_tint, t.stroke(width::HEAVY, t.accent))
        } else if self.known == ProvenanceMark::Missing {
            (t.field, Stroke::NONE)
        } else if look.lit || response.hovered() {
            (t.field, t.stroke(width::REST, t.ink2))
        } else {
            (t.field, t.stroke(width::REST, t.line2))
        };
        painter.set(frame, RectShape::new(rect, radius::FIELD, fill, stroke, StrokeKind::Inside));
        if self.known == ProvenanceMark::Missing && !faulty && !editing {
            paint::dashed_rect(painter, rect, radius::FIELD, t.stroke(1.2, t.warn), 3.0, 2.6);
        }
        let baseline = output.galley_pos.y + paint::baseline_of(&output.galley);
        let middle = paint::baseline_for_middle(rect.center().y, text::VALUE);
        let baseline = if draft.text.is_empty() { middle } else { baseline };
        if look.with_unit && !self.unit.is_empty() {
            let at = pos2(rect.right() - PAD, baseline);
            paint::text(painter, at, Align::Max, self.unit, regular(text::UNIT), t.ink3);
        }
        if draft.text.is_empty() && !editing {
            let at = pos2(rect.right() - PAD - self.unit_room(ui), baseline);
            paint::text(painter, at, Align::Max, "–", semibold(text::VALUE), t.ink);
        }
        if self.struck {
            let y = rect.center().y;
            paint::hline(painter, output.galley_pos.x - 8.0, rect.right() - 4.0, y, Stroke::new(1.0, t.ink));
        }
        if look.ring {
            paint::focus_ring(painter, rect, radius::FIELD, t);
        }
    }

    /// Name, unit, how it is known and what is wrong, for screen readers.
    fn describe(&self, ui: &Ui, response: Response, note: Option<&Note>) -> Response {
        let trouble = match note {
            Some(Note::Refused(why)) => Some(why.clone()),
            Some(Note::Question(ask, choices)) => Some(format!("{ask} {choices}")),
            Some(Note::Meaning(_)) | None => None,
        };
        ui.ctx().accesskit_node_builder(self.id, |node| {
            let mut words = self.known.word().to_owned();
            if !self.unit.is_empty() {
                words = format!("{}, {words}", self.unit);
            }
            if let Some(trouble) = &trouble {
                node.set_invalid(Invalid::True);
                words = format!("{words}. {trouble}");
            }
            node.set_description(words);
        });
        response.accessible_name(self.name)
    }
}

/// A margin of whole points, as egui keeps them.
fn margin(points: f32) -> i8 {
    points.round().clamp(0.0, 120.0) as i8
}

fn select_all(ui: &Ui, output: &TextEditOutput, words: &str) {
    let mut state = output.state.clone();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(words.chars().count()));
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), output.response.id);
}
