//! While another panel is open: what the lesson waits for, and the way back.

use crate::app::command::Command;
use crate::app::theme::{radius, regular, semibold, text, width};
use crate::app::views::{Panel, ViewContext};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{Id, Rect, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

const PAD: f32 = 10.0;

/// Shows the strip at the top of a panel's room; what is left of the room.
pub(crate) fn strip_ui(ui: &Ui, room: Rect, shown: &ViewContext<'_>, out: &mut Vec<Command>) -> Rect {
    let Some(playing) = shown.lesson.filter(|_| shown.panel != Panel::Lessons) else { return room };
    let t = shown.t;
    let run = playing.run();
    let said = playing.said();
    let painter = ui.painter();
    let done = run.is_done();
    let back = Button::plain(Id::unique("back to the lesson"), "Lesson").tooltip("Back to the step, F1");
    let button = back.size(painter, t);
    let inner = room.width() - 2.0 * PAD;
    let beside = inner - button.x - 8.0;
    let head = format!("Step {} of {}", run.step() + 1, run.lesson().steps.len());
    let head = paint::line(painter, &head, semibold(text::CAPTION), t.ink2);
    let task = paint::wrapped(painter, &said.task, regular(text::BODY), t.ink, beside);
    let state = match (&said.wrong, done) {
        (Some(wrong), _) => wrong.clone(),
        (None, true) => said.state.clone(),
        (None, false) if said.state.is_empty() => String::new(),
        (None, false) => format!("waiting: {}", said.state),
    };
    let font = if done { semibold(text::CAPTION) } else { regular(text::CAPTION) };
    let below = paint::wrapped(painter, &state, font, t.ink, inner);
    let upper = (head.size().y + task.size().y).max(button.y);
    let height = upper + if state.is_empty() { 0.0 } else { below.size().y + 2.0 } + 2.0 * 6.0;
    let rect = Rect::from_min_size(room.min, vec2(room.width(), height));
    painter.rect(rect, radius::BUTTON, t.accent_tint, t.stroke(width::FRAME, t.accent), StrokeKind::Inside);
    let at = rect.min + vec2(PAD, 6.0);
    let task_at = at + vec2(0.0, head.size().y);
    painter.galley(at, head, t.ink2);
    painter.galley(task_at, task, t.ink);
    painter.galley(pos2(at.x, at.y + upper + 2.0), below, t.ink);
    let words = format!("Lesson: {} {state}", said.task);
    let response = ui.interact(rect, Id::unique("lesson strip"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words.clone()));
    let place = Rect::from_min_size(pos2(rect.right() - PAD - button.x, rect.top() + 6.0), button);
    if back.show(ui, place, t).clicked() {
        out.push(Command::Show(Panel::Lessons));
    }
    Rect::from_min_max(pos2(room.left(), rect.bottom() + 6.0), room.max)
}
