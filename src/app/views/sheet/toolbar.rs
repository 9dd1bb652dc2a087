//! The small controls on the sheet: which of its two views it shows, and how
//! closely.

use crate::app::command::{Action, Command};
use crate::app::theme::{Tokens, radius, regular, text, width};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Response, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

const HEIGHT: f32 = 22.0;
/// Below this the name of the section stands without what it means.
const ROOMY: f32 = 620.0;

/// What the controls show as chosen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chosen {
    /// The towers rather than the section.
    pub towers: bool,
    /// How many times the whole drawing is seen; none for the whole.
    pub times: Option<f64>,
    /// As large as the parts.
    pub true_size: bool,
}

/// One control: its words, its name for screen readers, its width, what it
/// asks for, whether it is chosen.
type Chip<'a> = (&'a str, &'a str, f32, Action, bool);

/// Where the controls stand.
#[must_use]
pub(super) fn place(frame: Rect) -> Rect {
    let left = frame.left() + if frame.width() >= ROOMY { 200.0 } else { 106.0 };
    Rect::from_min_size(pos2(left, frame.top() + 7.0), vec2(212.0, HEIGHT))
}

/// Shows the controls.
pub(super) fn strip_ui(ui: &Ui, rect: Rect, chosen: Chosen, t: &Tokens, out: &mut Vec<Command>) {
    let whole = match chosen.times {
        None => "Fit".to_owned(),
        Some(times) if times < 9.95 => format!("{times:.1}×"),
        Some(times) => format!("{times:.0}×"),
    };
    let view = if chosen.towers { "Section" } else { "Towers" };
    let other = if chosen.towers { "Show the section" } else { "Show the two towers" };
    let mut chips: Vec<Chip<'_>> = vec![(view, other, 60.0, Action::Towers, false)];
    if !chosen.towers {
        chips.extend([
            ("−", "Smaller", 24.0, Action::ZoomOut, false),
            (&*whole, "Whole drawing", 42.0, Action::ZoomWhole, chosen.times.is_some()),
            ("+", "Larger", 24.0, Action::ZoomIn, false),
            ("1:1", "True size", 34.0, Action::TrueSize, chosen.true_size),
        ]);
    }
    let mut x = rect.left();
    for (i, (words, name, wide, named, lit)) in chips.into_iter().enumerate() {
        let place = Rect::from_min_size(pos2(x, rect.top()), vec2(wide, HEIGHT));
        if chip(ui, place, words, name, named, lit, t).clicked() {
            out.push(Command::Action(named));
        }
        x = place.right() + if i == 0 { 10.0 } else { 3.0 };
    }
}

fn chip(ui: &Ui, rect: Rect, words: &str, name: &str, named: Action, lit: bool, t: &Tokens) -> Response {
    let response = ui.interact(rect, Id::unique(("sheet strip", named)), Sense::click());
    let painter = ui.painter();
    let down = response.is_pointer_button_down_on();
    let (fill, outline) = match (lit || down, response.hovered()) {
        (true, _) => (t.accent_tint, t.accent),
        (false, true) => (t.sheet, t.ink2),
        (false, false) => (t.sheet, t.line2),
    };
    painter.rect(rect, radius::BUTTON, fill, t.stroke(width::REST, outline), StrokeKind::Inside);
    paint::text_mid(painter, rect.center(), Align::Center, words, regular(text::CAPTION), t.ink);
    if response.has_focus() {
        paint::focus_ring(painter, rect, radius::BUTTON, t);
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), name));
    match named.row().map(|row| row.help) {
        Some(help) => response.on_hover_text(help),
        None => response,
    }
}
