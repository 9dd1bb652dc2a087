//! One step of a lesson: one thought, what is to be done, and the way on.

use super::LessonsView;
use super::parts::{Tried, caution, choice, choice_height, paragraph};
use crate::app::command::{Command, LessonCommand};
use crate::app::layout::Class;
use crate::app::lesson_session::LessonSession;
use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::lesson::Task;
use egui::accesskit::Role;
use egui::{Id, Rect, ScrollArea, Sense, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2, vec2};

/// Sizes of the letters of a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Letters {
    title: f32,
    says: f32,
    small: f32,
    head: f32,
}

impl Letters {
    /// For a class: sentences in letters of this size.
    #[must_use]
    pub(crate) fn large(says: f32) -> Self {
        Self { title: 1.2 * says, says, small: 0.88 * says, head: says }
    }

    /// Marks and distances grow with the letters, but not below their usual
    /// size.
    fn times(self) -> f32 {
        (self.says / 15.0).max(1.0)
    }

    /// How tall a step becomes in a column of this width.
    #[must_use]
    pub(crate) fn wants(self, painter: &egui::Painter, playing: &LessonSession, width: f32) -> f32 {
        let said = playing.said();
        let run = playing.run();
        let tall = |words: &str, font: egui::FontId, less: f32| {
            paint::wrapped(painter, words, font, egui::Color32::BLACK, width - less).size().y
        };
        let k = self.times();
        let mut sum = LARGE_HEAD + LARGE_BUTTONS + tall(&said.title, semibold(self.title), 0.0) + 5.0;
        for words in &said.says {
            sum += tall(words, regular(self.says), 0.0) + 5.0;
        }
        for caution in run.now().map(|step| step.beside.as_slice()).unwrap_or_default() {
            sum += tall(caution.text, regular(self.small), 14.0) + 6.0;
        }
        match run.now().map(|step| &step.task) {
            Some(Task::Todo(_)) => {
                sum += tall(&said.task, regular(self.says), 24.0) + self.box_head() + 10.0 + 10.0;
                sum += tall(&format!("waiting: {}", said.state), regular(self.small), 24.0 * k) + 5.0;
                let wrong = said.wrong.iter();
                let hint = playing.hints().then_some(&said.hint);
                sum +=
                    wrong.chain(hint).map(|words| tall(words, regular(self.small), 0.0) + 5.0).sum::<f32>();
            }
            Some(Task::Ask(_)) => {
                sum += tall(&said.task, semibold(self.says), 0.0) + 8.0;
                for (i, (words, answer)) in said.choices.iter().enumerate() {
                    sum += choice_height(painter, words, self.says, width) + 4.0;
                    if let Some(answer) = answer.as_ref().filter(|_| run.last_choice() == Some(i)) {
                        sum += tall(answer, regular(self.small), 0.0) + 6.0;
                    }
                }
            }
            Some(Task::Read) | None => {}
        }
        sum
    }

    /// Height of "Your turn" in its box, with the space around it.
    fn box_head(self) -> f32 {
        12.0 + 1.25 * self.head
    }

    fn of(shown: &ViewContext<'_>) -> Self {
        match shown.layout.class {
            Class::Least | Class::Small => {
                Self { title: 18.0, says: text::BODY, small: text::CAPTION, head: text::BODY }
            }
            Class::Usual | Class::Large => {
                Self { title: text::LESSON, says: 15.0, small: text::BODY, head: text::BODY }
            }
        }
    }
}

/// Shows the step of the lesson.
pub(crate) fn step_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    playing: &LessonSession,
    view: &mut LessonsView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let letters = Letters::of(shown);
    let body = ui.available_rect_before_wrap();
    let buttons = Rect::from_min_max(pos2(body.left(), body.bottom() - 30.0), body.right_bottom());
    let page = Rect::from_min_max(body.min, pos2(body.right(), buttons.top() - 6.0));
    head_ui(ui, playing, t, out);
    let head = ui.min_rect().bottom();
    let room = Rect::from_min_max(pos2(page.left(), head), page.max);
    let mut wanted = 0.0;
    ui.scope_builder(UiBuilder::new().max_rect(room).id_salt("lesson step"), |ui| {
        ui.set_clip_rect(room.expand2(vec2(6.0, 0.0)));
        let scroll = ScrollArea::vertical().auto_shrink(false).id_salt(playing.run().step());
        let shown_page = scroll.show(ui, |ui| page_ui(ui, playing, letters, t, out));
        wanted = shown_page.content_size.y;
    });
    view.overflow = wanted - room.height();
    buttons_ui(ui, buttons, playing, t, out);
}

/// Height of the line over a large step, and of the buttons under it.
const LARGE_HEAD: f32 = 24.0;
const LARGE_BUTTONS: f32 = 38.0;

/// Shows the step in large letters. How far it reaches beyond its room,
/// points.
pub(crate) fn large_step_ui(
    ui: &mut Ui,
    playing: &LessonSession,
    letters: Letters,
    t: &Tokens,
    out: &mut Vec<Command>,
) -> f32 {
    let run = playing.run();
    let body = ui.available_rect_before_wrap();
    let (head, _) = ui.allocate_exact_size(vec2(body.width(), LARGE_HEAD), Sense::hover());
    let words = format!("{}, step {} of {}", run.lesson().title, run.step() + 1, run.lesson().steps.len());
    let galley = paint::fitted(ui.painter(), &words, regular(text::BODY), t.ink2, body.width());
    ui.painter().galley(head.min, galley, t.ink2);
    let response = ui.interact(head, Id::unique("large step head"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
    let buttons = Rect::from_min_max(pos2(body.left(), body.bottom() - 30.0), body.right_bottom());
    let room = Rect::from_min_max(pos2(body.left(), head.bottom()), pos2(body.right(), buttons.top() - 8.0));
    let mut wanted = 0.0;
    ui.scope_builder(UiBuilder::new().max_rect(room).id_salt("large page"), |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        ui.set_clip_rect(room.expand2(vec2(6.0, 0.0)));
        let scroll = ScrollArea::vertical().auto_shrink(false).id_salt(("large", run.step()));
        wanted = scroll.show(ui, |ui| page_ui(ui, playing, letters, t, out)).content_size.y;
    });
    buttons_ui(ui, buttons, playing, t, out);
    wanted - room.height()
}

/// Which step it is, its pips, and the name of the lesson.
fn head_ui(ui: &mut Ui, playing: &LessonSession, t: &Tokens, out: &mut Vec<Command>) {
    let run = playing.run();
    let steps = run.lesson().steps.len();
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), Sense::hover());
    let leave = Button::plain(Id::unique("leave lesson"), "Leave")
        .tooltip("Gives your own engine back as you left it; the lesson can be gone on with");
    let size = leave.size(ui.painter(), t);
    let place = Rect::from_min_size(pos2(rect.right() - size.x, rect.top() - 2.0), vec2(size.x, 24.0));
    if leave.show(ui, place, t).clicked() {
        out.push(Command::Lesson(LessonCommand::Leave));
    }
    let words = Button::plain(Id::unique("words of the step"), "Words")
        .tooltip("The words of the trade; the lesson stays where it is. F12 tells what the keyboard or the pointer is at");
    let size = words.size(ui.painter(), t);
    let place = Rect::from_min_size(place.min - vec2(size.x + 6.0, 0.0), vec2(size.x, 24.0));
    if words.show(ui, place, t).clicked() {
        out.push(Command::Explain(None));
    }
    let name = if run.is_own() {
        format!("{}, on a copy of your engine", run.lesson().title)
    } else {
        run.lesson().title.clone()
    };
    let words = format!("Step {} of {steps}", run.step() + 1);
    let galley = paint::line(ui.painter(), &words, regular(text::BODY), t.ink2);
    ui.painter().galley(rect.min + vec2(0.0, 1.0), galley, t.ink2);
    let (bar, response) = ui.allocate_exact_size(vec2(ui.available_width(), 14.0), Sense::hover());
    let gap = 4.0;
    let each = (bar.width() - gap * (steps.saturating_sub(1)) as f32) / steps.max(1) as f32;
    for i in 0..steps {
        let at = pos2(bar.left() + i as f32 * (each + gap), bar.top() + 4.0);
        let pip = Rect::from_min_size(at, vec2(each, 6.0));
        let fill = if i == run.step() {
            t.accent
        } else if i < run.step() || i < run.reached() {
            t.ink2
        } else {
            t.line
        };
        ui.painter().rect_filled(pip, 2.0, fill);
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{name}. {words}")));
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let galley = paint::fitted(ui.painter(), &name, regular(text::CAPTION), t.ink2, rect.width());
    ui.painter().galley(rect.min, galley, t.ink2);
}

/// The thought and the task.
fn page_ui(ui: &mut Ui, playing: &LessonSession, letters: Letters, t: &Tokens, out: &mut Vec<Command>) {
    let said = playing.said();
    let run = playing.run();
    let title = paragraph(ui, &said.title, semibold(letters.title), t.ink, 5.0);
    ui.ctx().accesskit_node_builder(title.id, |node| node.set_role(Role::Heading));
    for words in &said.says {
        paragraph(ui, words, regular(letters.says), t.ink, 5.0);
    }
    for own in run.now().map(|step| step.beside.as_slice()).unwrap_or_default() {
        caution(ui, own.text, letters.small, t);
    }
    match run.now().map(|step| &step.task) {
        Some(Task::Todo(_)) => todo_ui(ui, playing, letters, t),
        Some(Task::Ask(question)) => {
            ui.add_space(3.0);
            paragraph(ui, &said.task, semibold(letters.says), t.ink, 5.0);
            for (i, (words, answer)) in said.choices.iter().enumerate() {
                let right = question.choices.get(i).is_some_and(|choice| choice.right);
                let tried = match (answer, right) {
                    (None, _) => Tried::Not,
                    (Some(_), true) => Tried::Right,
                    (Some(_), false) => Tried::Wrong,
                };
                if choice(ui, Id::unique(("choice", i)), words, tried, letters.says, t).clicked() {
                    out.push(Command::Lesson(LessonCommand::Choose(i)));
                }
                if let Some(answer) = answer.as_ref().filter(|_| run.last_choice() == Some(i)) {
                    let response = paragraph(ui, answer, regular(letters.small), t.ink2, 6.0);
                    // The answer to what was just pressed comes into sight.
                    let seen = Id::unique(("answer seen", run.step()));
                    if ui.data(|data| data.get_temp::<usize>(seen)) != Some(i) {
                        response.scroll_to_me(None);
                        ui.data_mut(|data| data.insert_temp(seen, i));
                    }
                }
            }
        }
        Some(Task::Read) | None => {}
    }
}

/// The box with what is to be done, and what it waits for.
fn todo_ui(ui: &mut Ui, playing: &LessonSession, letters: Letters, t: &Tokens) {
    let said = playing.said();
    let done = playing.run().is_done();
    let inner = ui.available_width() - 24.0;
    let galley = paint::wrapped(ui.painter(), &said.task, regular(letters.says), t.ink, inner);
    let size = vec2(ui.available_width(), galley.size().y + letters.box_head() + 10.0);
    ui.add_space(3.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let painter = ui.painter();
    painter.rect(rect, radius::BUTTON, t.accent_tint, t.stroke(width::FRAME, t.accent), StrokeKind::Inside);
    let head = paint::line(painter, "Your turn", semibold(letters.head), t.ink);
    painter.galley(rect.min + vec2(12.0, 8.0), head, t.ink);
    painter.galley(rect.min + vec2(12.0, letters.box_head()), galley, t.ink);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("Your turn: {}", said.task)));
    ui.add_space(7.0);
    state_ui(ui, &said.state, done, letters, t);
    if let Some(wrong) = &said.wrong {
        paragraph(ui, wrong, regular(letters.small), t.ink, 5.0);
    }
    if playing.hints() {
        paragraph(ui, &said.hint, regular(letters.small), t.ink2, 5.0);
    }
}

/// "waiting: the gap is at …", or what is said now that it is done.
fn state_ui(ui: &mut Ui, words: &str, done: bool, letters: Letters, t: &Tokens) {
    let words = if done { words.to_owned() } else { format!("waiting: {words}") };
    let (font, color) =
        if done { (semibold(letters.small), t.ink) } else { (regular(letters.small), t.ink2) };
    let k = letters.times();
    let left = 24.0 * k;
    let galley = paint::wrapped(ui.painter(), &words, font, color, ui.available_width() - left);
    let size = vec2(ui.available_width(), galley.size().y + 5.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let at = rect.min + vec2(8.0, 8.5) * k;
    if done {
        ui.painter().circle_stroke(at, 6.5 * k, t.stroke(width::FRAME, t.ink));
        let tick = [vec2(-3.0, 0.2), vec2(-0.8, 2.6), vec2(3.2, -2.4)].map(|way| at + way * k);
        ui.painter().line(tick.to_vec(), t.stroke(1.6, t.ink));
    } else {
        paint::dashed_ring(ui.painter(), at, 6.5 * k, t.stroke(width::FRAME, t.ink2), 10);
    }
    ui.painter().galley(rect.min + vec2(left, 0.0), galley, color);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
}

fn buttons_ui(ui: &Ui, rect: Rect, playing: &LessonSession, t: &Tokens, out: &mut Vec<Command>) {
    let run = playing.run();
    let mut send = |command| out.push(Command::Lesson(command));
    let place = |x: f32, w: f32| Rect::from_min_size(pos2(x, rect.top()), vec2(w, 28.0));
    let back = Button::plain(Id::unique("lesson back"), "Back").enabled(run.step() > 0).tooltip("Page up");
    let size = back.size(ui.painter(), t).x;
    if back.show(ui, place(rect.left(), size), t).clicked() {
        send(LessonCommand::Back);
    }
    let mut x = rect.left() + size + 6.0;
    if matches!(run.now().map(|step| &step.task), Some(Task::Todo(_))) && !run.is_done() {
        let show = Button::plain(Id::unique("show me"), "Show me").tooltip("Does it for you");
        let size = show.size(ui.painter(), t).x;
        if show.show(ui, place(x, size), t).clicked() {
            send(LessonCommand::ShowMe);
        }
        x += size + 6.0;
        if !playing.hints() && !playing.said().hint.is_empty() {
            let hint = Button::plain(Id::unique("lesson hint"), "Hint");
            let size = hint.size(ui.painter(), t).x;
            if hint.show(ui, place(x, size), t).clicked() {
                send(LessonCommand::Hint);
            }
        }
    }
    let words = if run.is_last() { "Finish" } else { "Next" };
    let next = Button::primary(Id::unique("lesson next"), words)
        .enabled(run.may_go_on())
        .tooltip(if run.may_go_on() { "Page down" } else { "When the task is done, or shown" });
    let size = next.size(ui.painter(), t).x.max(72.0);
    if next.show(ui, place(rect.right() - size, size), t).clicked() {
        send(LessonCommand::Next);
    }
}
