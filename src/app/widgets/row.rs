//! One row of the dimension list: how it is known, its name, its value, what
//! one step of it does, and its rule.

use crate::app::layout::Rows;
use crate::app::theme::{Tokens, regular, semibold, space, text};
use crate::app::widgets::effect_bar::{Effect, Heights};
use crate::app::widgets::field::{self, Note, QuantityField};
use crate::app::widgets::slider::Slider;
use crate::app::widgets::{mark, paint};
use egui::{Align, Galley, Rect, Response, Sense, Ui, Vec2, pos2, vec2};
use std::sync::Arc;

/// Where things stand in a row, from its left and top.
const MARK_X: f32 = 4.0;
const NAME_X: f32 = 16.0;
const RULE_X: f32 = 20.0;
const RULE_Y: f32 = 30.0;
/// From the end of the rule to the right edge of the field.
const RULE_SHORT: f32 = 6.0;
/// Baseline of the first line of a note, in place of the rule.
const NOTE_Y: f32 = 35.0;
const NOTE_LINE: f32 = 16.0;

/// A row, for one frame.
pub(crate) struct DimensionEntry<'a> {
    /// The field, which also carries identity, name, unit and how it is known.
    pub field: QuantityField<'a>,
    /// The name as it is written, where the whole one has no room. A screen
    /// reader is always told the whole one.
    pub label: &'a str,
    /// Tooltip of the mark: by what it was measured and ±, or where the
    /// assumption comes from.
    pub known_how: &'a str,
    /// Tooltip of the name: what the dimension is, in one sentence.
    pub help: &'a str,
    /// What one step of it does.
    pub effect: Option<Effect<'a>>,
    /// Its rule; none for a dimension that is missing.
    pub rule: Option<Slider<'a>>,
    /// A sentence that stands below until it is no longer true: "No ratio
    /// without it. Fill the chamber, or type a guess."
    pub standing: Option<&'a str>,
    /// How the row is written.
    pub rows: Rows,
    /// In the compact list: this row is in hand, so it shows its rule.
    pub in_hand: bool,
}

/// What was done with a row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum RowEvent {
    /// A text was typed and taken.
    Typed(String),
    /// The arrow keys in the field ask for so many bench steps.
    Step(f64),
    /// The rule was moved to this value.
    Slid(f64),
    /// The mark was pressed: the value is known in another way.
    Marked,
}

/// A row after it was shown.
#[derive(Clone, Debug)]
pub(crate) struct RowOutput {
    /// What it covers, the full width of the list.
    pub rect: Rect,
    /// What was done, at most one thing a frame.
    pub event: Option<RowEvent>,
    /// The field or the rule has the keyboard, or is held: the row is in hand.
    pub taken: bool,
    /// The pointer is over the row.
    pub hovered: bool,
    /// The field's response.
    pub field: Response,
}

/// Sizes that differ between the ways in which a row is written.
struct Form {
    height: f32,
    field_y: f32,
    field: Vec2,
    /// From the right edge of the field to the edge of the row's inside.
    field_end: f32,
    effect: f32,
    note_y: f32,
}

impl Form {
    fn of(rows: Rows) -> Self {
        match rows {
            Rows::Full => Self {
                height: 39.0,
                field_y: 1.0,
                field: field::SIZE,
                field_end: 60.0,
                effect: 52.0,
                note_y: NOTE_Y,
            },
            Rows::Compact => Self {
                height: 27.0,
                field_y: 2.0,
                field: vec2(84.0, 22.0),
                field_end: 48.0,
                effect: 40.0,
                note_y: NOTE_Y + 1.0,
            },
            Rows::Plain => Self {
                height: 34.0,
                field_y: 4.0,
                field: vec2(84.0, 24.0),
                field_end: 0.0,
                effect: 0.0,
                note_y: NOTE_Y + 6.0,
            },
        }
    }
}

/// Lines of a note, laid out.
struct NoteLines {
    galleys: Vec<Arc<Galley>>,
}

impl NoteLines {
    fn count(&self) -> usize {
        self.galleys.iter().map(|g| g.rows.len()).sum()
    }
}

impl DimensionEntry<'_> {
    /// Shows the row at the cursor, as wide as the list, and moves the cursor
    /// below it.
    pub(crate) fn show(&self, ui: &mut Ui, t: &Tokens) -> RowOutput {
        let form = Form::of(self.rows);
        let top = ui.cursor().min;
        let width = ui.available_width();
        let inner_left = top.x + space::INNER;
        let inner_right = top.x + width - space::INNER;
        let field_right = inner_right - form.field_end;
        let field_rect =
            Rect::from_min_size(pos2(field_right - form.field.x, top.y + form.field_y), form.field);

        let lit = ui.rect_contains_pointer(Rect::from_min_size(top, vec2(width, form.height)));
        let field = self.field.show_lit(ui, field_rect, lit, t);
        let note = self.note_lines(ui, field.note.as_ref(), inner_right - inner_left - NAME_X, t);
        let ruled = match self.rows {
            Rows::Full => true,
            Rows::Compact => self.in_hand,
            Rows::Plain => false,
        } && note.count() == 0;
        let height = self.height(&form, ruled, note.count());
        let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());

        let middle = field_rect.center().y;
        let id = self.field.id;
        let mark = mark::show(
            ui,
            pos2(inner_left + MARK_X, middle),
            id.with("mark"),
            self.field.name,
            self.field.known,
            self.known_how,
            t,
        );
        self.name_ui(ui, pos2(inner_left + NAME_X, middle), field_rect.left() - 4.0, t);
        if let Some(effect) = &self.effect
            && form.effect > 0.0
        {
            let area =
                Rect::from_min_max(pos2(inner_right - form.effect, top.y), pos2(inner_right, rect.bottom()));
            let (number, bar, size) = match self.rows {
                Rows::Full => (middle, top.y + RULE_Y + 0.5, text::CAPTION),
                Rows::Compact | Rows::Plain => (field_rect.top() + 5.5, field_rect.top() + 17.0, text::LEAST),
            };
            // a note may run to the edge, so it gets the place of the bar
            let bar = (note.count() == 0 || self.rows != Rows::Full).then_some(bar);
            effect.show(ui, id.with("effect"), area, Heights { number, bar, size }, t);
        }
        let rule = self.rule.as_ref().filter(|_| ruled).map(|rule| {
            let y = top.y + RULE_Y + if self.rows == Rows::Compact { 1.0 } else { 0.0 };
            let line = Rect::from_min_max(pos2(inner_left + RULE_X, y), pos2(field_right - RULE_SHORT, y));
            rule.show_lit(ui, id.with("rule"), line, lit, t)
        });
        let mut baseline = top.y + form.note_y;
        for galley in note.galleys {
            let lines = galley.rows.len();
            paint::place(ui.painter(), pos2(inner_left + NAME_X, baseline), Align::Min, galley, t.ink);
            baseline += NOTE_LINE * lines as f32;
        }

        let marked = mark.clicked().then_some(RowEvent::Marked);
        let event = field
            .committed
            .map(RowEvent::Typed)
            .or_else(|| (field.steps != 0.0).then_some(RowEvent::Step(field.steps)))
            .or_else(|| rule.as_ref().and_then(|r| r.set).map(RowEvent::Slid))
            .or(marked);
        let held = |r: &Response| r.has_focus() || r.dragged();
        RowOutput {
            rect,
            event,
            taken: held(&field.response) || rule.as_ref().is_some_and(|r| held(&r.response)),
            hovered: response.contains_pointer(),
            field: field.response,
        }
    }

    /// A line of a note takes the place of the rule, so that the rows below
    /// stay where they are while a value is typed.
    fn height(&self, form: &Form, ruled: bool, note_lines: usize) -> f32 {
        let extra = match (self.rows, note_lines) {
            (_, 0) if self.rows == Rows::Compact && ruled => 12.0,
            (_, 0) => 0.0,
            (Rows::Full, lines) => NOTE_LINE * (lines - 1) as f32,
            (Rows::Compact | Rows::Plain, lines) => 12.0 + NOTE_LINE * (lines - 1) as f32,
        };
        form.height + extra
    }

    fn name_ui(&self, ui: &Ui, at: egui::Pos2, end: f32, t: &Tokens) {
        let font = if self.field.moved { semibold(text::BODY) } else { regular(text::BODY) };
        let galley = paint::fitted(ui.painter(), self.label, font, t.ink, end - at.x);
        let baseline = paint::baseline_for_middle(at.y, text::BODY);
        let rect = paint::place(ui.painter(), pos2(at.x, baseline), Align::Min, galley, t.ink);
        if !self.help.is_empty() {
            ui.interact(rect, self.field.id.with("name"), Sense::hover()).on_hover_text(self.help);
        }
    }

    fn note_lines(&self, ui: &Ui, note: Option<&Note>, width: f32, t: &Tokens) -> NoteLines {
        let painter = ui.painter();
        let plain = |words: &str, color| paint::wrapped(painter, words, regular(text::CAPTION), color, width);
        let heavy = |words: &str| paint::wrapped(painter, words, semibold(text::CAPTION), t.warn, width);
        let galleys = match (note, self.standing) {
            (Some(Note::Meaning(words)), _) => vec![plain(words, t.ink2)],
            (Some(Note::Refused(why)), _) => vec![heavy(why)],
            (Some(Note::Question(ask, choices)), _) => vec![heavy(ask), plain(choices, t.warn)],
            (None, Some(words)) => vec![plain(words, t.ink2)],
            (None, None) => Vec::new(),
        };
        NoteLines { galleys }
    }
}

/// Height of a group head.
pub(crate) const HEAD: f32 = 21.0;

/// The head of a group of rows: its name, and what the group does.
pub(crate) fn group_head(ui: &mut Ui, name: &str, meaning: &str, t: &Tokens) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEAD), Sense::hover());
    let painter = ui.painter();
    painter.rect_filled(rect, 0.0, t.row);
    let middle = rect.center().y;
    let left = pos2(rect.left() + space::INNER, middle);
    let named = paint::text_mid(painter, left, Align::Min, name, semibold(text::DIMENSION), t.ink);
    let room = rect.right() - space::INNER - named.right() - space::NEAR;
    // A narrow list drops words at the front rather than break one off: what
    // stands last says most. Screen readers get all of it.
    let mut ends = std::iter::successors(Some(meaning), |rest| rest.split_once(' ').map(|(_, rest)| rest));
    let fits = |words: &&str| paint::line(painter, words, regular(text::CAPTION), t.ink3).size().x <= room;
    let words = ends.find(fits).unwrap_or(meaning);
    let galley = paint::fitted(painter, words, regular(text::CAPTION), t.ink3, room);
    let baseline = paint::baseline_for_middle(middle, text::CAPTION);
    paint::place(painter, pos2(rect.right() - space::INNER, baseline), Align::Max, galley, t.ink3);
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, format!("{name}: {meaning}"))
    });
    response
}
