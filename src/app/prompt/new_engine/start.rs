//! The first step: how the engine is built, or what it is taken from.

use super::{Command, NewEngineWizard, PromptAnswer, caption, digit, question_ui};
use crate::app::theme::{Tokens, radius, regular, semibold, space, text, width};
use crate::app::widgets::button::Button;
use crate::app::widgets::{key_cap, paint};
use crate::project::{Construction, demos};
use egui::accesskit::Role;
use egui::{Align, Id, Painter, Pos2, Rect, Response, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Height of a card, and the room of its picture.
const CARD: f32 = 58.0;
const PICTURE: f32 = 72.0;

pub(super) fn built_ui(
    ui: &mut Ui,
    begin: &mut NewEngineWizard,
    fresh: bool,
    t: &Tokens,
) -> Option<PromptAnswer> {
    let pressed = digit(ui);
    for (index, construction) in (1..).zip(Construction::ALL) {
        let response = card_ui(ui, construction, index, t);
        if fresh && index == 1 {
            response.request_focus();
        }
        if response.clicked() || pressed == Some(index) {
            begin.draft.construction = construction;
            begin.go(1);
        }
    }
    let mut answer = None;
    question_ui(ui, "Or like one that is there", t);
    for (index, other) in (Construction::ALL.len() + 1..).zip(&begin.others) {
        let words = format!("Like {}", other.title);
        let key = index.to_string();
        let button = Button::plain(Id::unique(("begin like", index)), &words)
            .with_key(&key)
            .tooltip("Its construction, heads and banks, limits, shims, gaskets and instruments; no dimension and no reading");
        if button.add(ui, t).clicked() || pressed == Some(index) {
            answer = Some(PromptAnswer::Do(Box::new(Command::NewEngine(Box::new(other.another())))));
        }
    }
    caption(
        ui,
        "Construction, banks, limits, shims, gaskets and instruments come along; nothing that was measured does.",
        t,
    );
    question_ui(ui, "Or open an example, invented and complete", t);
    ui.horizontal_wrapped(|ui| {
        for (index, demo) in demos().iter().enumerate() {
            if Button::plain(Id::unique(("begin demo", index)), demo.what).add(ui, t).clicked() {
                answer = Some(PromptAnswer::Do(Box::new(Command::OpenDemo(index))));
            }
        }
    });
    answer
}

fn says(construction: Construction) -> &'static str {
    match construction {
        Construction::SeparateBarrels => "Each cylinder stands on the case, on shims or a base gasket",
        Construction::Block => "Cylinders and case are one casting; the gasket under the head is chosen",
        Construction::WetLiners => {
            "Liners stand in the block, water around them; read how far each stands out"
        }
        Construction::TwoStroke => "Ports in the barrel; a base gasket or shims move them too",
    }
}

/// An answer with a picture, a name, a sentence and its number.
fn card_ui(ui: &mut Ui, construction: Construction, index: usize, t: &Tokens) -> Response {
    let size = vec2(ui.available_width(), CARD);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let response = ui.interact(rect, Id::unique(("begin built", index)), Sense::click());
    let painter = ui.painter();
    let (fill, outline) = if response.is_pointer_button_down_on() {
        (t.accent_tint, t.stroke(width::HEAVY, t.accent))
    } else if response.hovered() {
        (t.field, t.stroke(width::REST, t.ink))
    } else {
        (t.field, t.stroke(width::REST, t.line2))
    };
    painter.rect(rect, radius::BUTTON, fill, outline, StrokeKind::Inside);
    sketch(painter, pos2(rect.left() + PICTURE / 2.0, rect.center().y), construction, t);
    let left = rect.left() + PICTURE + space::TIGHT;
    let cap = key_cap::paint_cap(painter, pos2(rect.right() - 12.0, rect.center().y), &index.to_string(), t);
    let room = cap.left() - space::NEAR - left;
    let name = construction.name();
    let line = |words: &str, font, color, baseline: f32| {
        let galley = paint::fitted(painter, words, font, color, room);
        paint::place(painter, pos2(left, baseline), Align::Min, galley, color);
    };
    line(name, semibold(text::PANEL), t.ink, rect.top() + 24.0);
    line(says(construction), regular(text::BODY), t.ink2, rect.top() + 43.0);
    if response.has_focus() {
        paint::focus_ring(painter, rect, radius::BUTTON, t);
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(says(construction)));
    response
}

/// The bones of the construction, half a cylinder each side of the bore.
fn sketch(painter: &Painter, middle: Pos2, construction: Construction, t: &Tokens) {
    let outline = t.stroke(width::REST, t.ink2);
    let part = |x: f32, y: f32, w: f32, h: f32, fill| {
        for side in [-1.0, 1.0] {
            let centre = middle + vec2(side * (x + w / 2.0), y + h / 2.0);
            let rect = Rect::from_center_size(centre, vec2(w, h));
            painter.rect(rect, 0.0, fill, outline, StrokeKind::Middle);
        }
    };
    let thin = |y: f32| {
        for side in [-1.0, 1.0] {
            let rect = Rect::from_center_size(middle + vec2(side * 16.0, y), vec2(12.0, 2.4));
            painter.rect_filled(rect, 0.0, t.solid);
        }
    };
    let head = Rect::from_center_size(middle + vec2(0.0, -22.0), vec2(44.0, 7.0));
    painter.rect(head, 0.0, t.parts.head, outline, StrokeKind::Middle);
    let piston = Rect::from_center_size(middle + vec2(0.0, -5.0), vec2(17.0, 15.0));
    painter.rect(piston, 0.0, t.parts.piston, outline, StrokeKind::Middle);
    match construction {
        Construction::SeparateBarrels => {
            part(10.0, -18.0, 7.0, 29.0, t.parts.barrel);
            thin(13.0);
            part(10.0, 15.0, 16.0, 9.0, t.parts.case);
        }
        Construction::Block => {
            thin(-16.5);
            part(10.0, -15.0, 14.0, 39.0, t.parts.barrel);
        }
        Construction::WetLiners => {
            thin(-16.5);
            part(10.0, -15.0, 5.0, 27.0, t.parts.barrel);
            part(20.0, -15.0, 4.0, 27.0, t.parts.case);
            part(10.0, 12.0, 14.0, 12.0, t.parts.case);
        }
        Construction::TwoStroke => {
            part(10.0, -18.0, 7.0, 14.0, t.parts.barrel);
            part(10.0, 3.0, 7.0, 8.0, t.parts.barrel);
            thin(13.0);
            part(10.0, 15.0, 16.0, 9.0, t.parts.case);
        }
    }
}
