//! What the pages of this drawer share: a sentence, a list to choose from, a
//! line of free text, a small plan of the crown.

use crate::app::icons::Icon;
use crate::app::theme::{Tokens, radius, regular, text, width};
use crate::app::widgets::{paint, panel};
use crate::reading::DeckPlace;
use egui::accesskit::Role;
use egui::{
    Align, Align2, Color32, FontId, Frame, Id, Margin, Painter, Pos2, Rect, Response, Sense, Stroke,
    StrokeKind, TextEdit, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};

/// Height of a row with buttons or choices.
pub(in crate::app::views) const ROW: f32 = 28.0;

/// A sentence over the full width, in as many lines as it needs.
pub(in crate::app::views) fn say(ui: &mut Ui, words: &str, font: FontId, color: Color32) -> Rect {
    let galley = paint::wrapped(ui.painter(), words, font, color, ui.available_width());
    let size = vec2(ui.available_width(), galley.size().y + 4.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    ui.painter().galley(rect.min + vec2(0.0, 2.0), galley, color);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    rect
}

/// A sentence in the size of captions.
pub(in crate::app::views) fn caption(ui: &mut Ui, words: &str, t: &Tokens) -> Rect {
    say(ui, words, regular(text::CAPTION), t.ink2)
}

/// Free room of this height, with a divider in its middle.
pub(in crate::app::views) fn divide(ui: &mut Ui, height: f32, t: &Tokens) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    panel::divider(ui.painter(), rect, rect.center().y, t);
}

/// The next `height` points, over the full width.
pub(in crate::app::views) fn row(ui: &mut Ui, height: f32) -> Rect {
    ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover()).0
}

/// A list to choose from that opens at a press.
pub(in crate::app::views) struct DropDown<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// What is chosen: "Instrument".
    pub name: &'a str,
    /// What stands there now.
    pub shown: &'a str,
    /// What there is to choose.
    pub options: &'a [String],
    /// Which of them is chosen.
    pub chosen: Option<usize>,
    /// What to know about it.
    pub tooltip: &'a str,
}

impl DropDown<'_> {
    /// Shows it in `rect`; the place of what was chosen, once.
    pub(crate) fn show(&self, ui: &Ui, rect: Rect, t: &Tokens) -> Option<usize> {
        let response = ui.interact(rect, self.id, Sense::click());
        let painter = ui.painter();
        let outline = if response.hovered() { t.ink2 } else { t.line2 };
        painter.rect(rect, radius::FIELD, t.field, t.stroke(width::REST, outline), StrokeKind::Inside);
        let galley = paint::fitted(painter, self.shown, regular(text::DIMENSION), t.ink, rect.width() - 28.0);
        let baseline = paint::baseline_for_middle(rect.center().y, text::DIMENSION);
        paint::place(painter, pos2(rect.left() + 8.0, baseline), Align::Min, galley, t.ink);
        Icon::Fold.paint(painter, pos2(rect.right() - 11.0, rect.center().y + 1.0), 12.0, t.ink2);
        if response.has_focus() {
            paint::focus_ring(painter, rect, radius::FIELD, t);
        }
        let words = format!("{}: {}", self.name, self.shown);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), &words));
        let response = if self.tooltip.is_empty() { response } else { response.on_hover_text(self.tooltip) };
        let mut taken = None;
        egui::Popup::menu(&response).show(|ui| {
            ui.set_min_width(rect.width().max(180.0));
            egui::ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
                for (i, option) in self.options.iter().enumerate() {
                    let item = egui::Button::selectable(self.chosen == Some(i), option);
                    let response = ui.add(item);
                    if response.gained_focus() {
                        response.scroll_to_me(None);
                    }
                    if response.clicked() {
                        taken = Some(i);
                        ui.close();
                    }
                }
            });
        });
        taken
    }
}

/// A line of free text. What is typed is a draft until Enter or until it is
/// left; then it is given back, once, if it differs from `value`.
pub(in crate::app::views) fn text_line(
    ui: &mut Ui,
    rect: Rect,
    (id, name, hint): (Id, &str, &str),
    value: &str,
    t: &Tokens,
) -> Option<String> {
    let stored: Option<String> = ui.data(|d| d.get_temp(id));
    let mut draft = stored.unwrap_or_else(|| value.to_owned());
    let response = text_edit(ui, rect, (id, name, hint), &mut draft, t);
    if ui.input(|i| i.key_pressed(egui::Key::Escape)) && response.lost_focus() {
        ui.data_mut(|d| d.remove::<String>(id));
        return None;
    }
    if response.has_focus() {
        ui.data_mut(|d| d.insert_temp(id, draft));
        return None;
    }
    ui.data_mut(|d| d.remove::<String>(id));
    (draft.trim() != value.trim()).then(|| draft.trim().to_owned())
}

/// A line of free text, whatever is done with it.
pub(in crate::app::views) fn text_edit(
    ui: &mut Ui,
    rect: Rect,
    (id, name, hint): (Id, &str, &str),
    words: &mut String,
    t: &Tokens,
) -> Response {
    let has_keys = ui.memory(|m| m.has_focus(id));
    let stroke = if has_keys { t.stroke(width::HEAVY, t.accent) } else { t.stroke(width::REST, t.line2) };
    ui.painter().rect(rect, radius::FIELD, t.field, stroke, StrokeKind::Inside);
    let mut child = ui.new_child(UiBuilder::new().id_salt(id).max_rect(rect));
    child.spacing_mut().interact_size = egui::Vec2::ZERO;
    let edit = TextEdit::singleline(words)
        .id(id)
        .font(regular(text::DIMENSION))
        .text_color(t.ink)
        .hint_text(hint)
        .frame(Frame::NONE.inner_margin(Margin::symmetric(7, 2)))
        .desired_width(rect.width())
        .min_size(rect.size())
        .align(Align2::LEFT_CENTER);
    child.add(edit).accessible_name(name)
}

/// Left of `rect`, `width` wide.
pub(in crate::app::views) fn left_of(rect: Rect, width: f32) -> Rect {
    Rect::from_min_size(rect.min, vec2(width, rect.height()))
}

/// The crown from above with a dot where it was read; the pin runs from the
/// front, which is up, to the rear.
pub(in crate::app::views) fn plan(painter: &Painter, center: Pos2, place: &DeckPlace, t: &Tokens) {
    const RADIUS: f32 = 10.5;
    let stroke = Stroke::new(1.2, t.ink2);
    painter.circle(center, RADIUS, t.field, stroke);
    painter.line_segment([center - vec2(0.0, RADIUS), center + vec2(0.0, RADIUS)], Stroke::new(1.0, t.line2));
    let dot = |x: f32, y: f32| {
        painter.circle_filled(center + vec2(x, y) * (RADIUS - 3.2), 2.8, t.ink);
    };
    match place {
        DeckPlace::PinAxisFront => dot(0.0, -1.0),
        DeckPlace::PinAxisRear => dot(0.0, 1.0),
        DeckPlace::PinAxis => {
            dot(0.0, -1.0);
            dot(0.0, 1.0);
        }
        DeckPlace::Thrust => dot(-1.0, 0.0),
        DeckPlace::Antithrust => dot(1.0, 0.0),
        DeckPlace::ThrustAxis => {
            dot(-1.0, 0.0);
            dot(1.0, 0.0);
        }
        DeckPlace::Top
        | DeckPlace::Middle
        | DeckPlace::Bottom
        | DeckPlace::Crank(_)
        | DeckPlace::Other(_) => {}
    }
}
