//! The list of lessons: what each teaches, how far it was played, and where
//! to begin.

use super::LessonsView;
use super::parts::paragraph;
use crate::app::command::{Command, LessonCommand};
use crate::app::memo::{Memo, Revision};
use crate::app::theme::{radius, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::paint;
use crate::lesson::{Mark, book, fits};
use egui::accesskit::Role;
use egui::{Align, Id, Pos2, Rect, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};

const ROW: f32 = 30.0;

/// Shows the list.
pub(crate) fn list_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut LessonsView, out: &mut Vec<Command>) {
    let open = shown.lesson_card.or_else(|| {
        let finished = |id: &str| shown.progress.of(id).is_some_and(|mark| mark.finished);
        book().iter().position(|lesson| !finished(&lesson.id))
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 0.0);
        let lessons = Button::plain(Id::unique("lessons tab"), "Lessons");
        Button { kind: Kind::Chosen, ..lessons }.add(ui, shown.t);
        let words = Button::plain(Id::unique("words tab"), "Words").tooltip("The words of the trade");
        if words.with_key("W").add(ui, shown.t).clicked() {
            out.push(Command::Explain(None));
        }
    });
    ui.add_space(6.0);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for (index, lesson) in book().iter().enumerate() {
            let mark = shown.progress.of(&lesson.id);
            if row_ui(ui, shown, index, &lesson.title, lesson.minutes, mark, open == Some(index)) {
                out.push(Command::Lesson(LessonCommand::OpenCard(index)));
            }
            if open == Some(index) {
                let top = ui.cursor().top() - ROW;
                card_ui(ui, shown, (index, mark), &mut view.fits, out);
                if view.brought != open {
                    view.brought = open;
                    let card = Rect::from_x_y_ranges(ui.max_rect().x_range(), top..=ui.cursor().top());
                    ui.scroll_to_rect(card, None);
                }
            }
        }
    });
}

/// One lesson in one line; whether it was pressed.
fn row_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    index: usize,
    title: &str,
    minutes: u32,
    mark: Option<Mark>,
    open: bool,
) -> bool {
    let t = shown.t;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let response = ui.interact(rect, Id::unique(("lesson", index)), Sense::click());
    let painter = ui.painter();
    if response.hovered() {
        painter.rect_filled(rect, radius::BUTTON, t.row);
    }
    let mid = rect.center().y;
    state_mark(ui, pos2(rect.left() + 9.0, mid), mark, shown);
    let font = if open { semibold(text::BODY) } else { regular(text::BODY) };
    let right = paint::text_mid(
        painter,
        pos2(rect.right() - 4.0, mid),
        Align::Max,
        &format!("{minutes} min"),
        regular(text::CAPTION),
        t.ink3,
    );
    let galley = paint::fitted(painter, title, font, t.ink, right.left() - rect.left() - 32.0);
    let baseline = paint::baseline_for_middle(mid, text::BODY);
    paint::place(painter, pos2(rect.left() + 24.0, baseline), Align::Min, galley, t.ink);
    if response.has_focus() {
        paint::focus_ring(painter, rect.shrink(2.0), radius::BUTTON, t);
    }
    let state = match mark {
        Some(mark) if mark.finished => "played",
        Some(mark) if mark.step > 0 => "begun",
        _ => "not begun",
    };
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, open, format!("Lesson: {title}, {state}")));
    response.clicked()
}

/// An empty ring, a half one, a full one with a tick.
fn state_mark(ui: &Ui, at: Pos2, mark: Option<Mark>, shown: &ViewContext<'_>) {
    let t = shown.t;
    let painter = ui.painter();
    painter.circle_stroke(at, 6.0, t.stroke(width::FRAME, t.ink2));
    match mark {
        Some(mark) if mark.finished => {
            let tick = [at + vec2(-3.0, 0.0), at + vec2(-0.8, 2.4), at + vec2(3.2, -2.6)];
            painter.line(tick.to_vec(), t.stroke(1.6, t.ink));
        }
        Some(mark) if mark.step > 0 => {
            painter.circle_filled(at, 2.6, t.ink2);
        }
        _ => {}
    }
}

/// What the lesson teaches, and the ways into it.
fn card_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    (index, mark): (usize, Option<Mark>),
    fits: &mut KeptFit,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let Some(lesson) = book().get(index) else { return };
    let left = 24.0;
    ui.horizontal_top(|ui| {
        ui.add_space(left);
        ui.vertical(|ui| {
            paragraph(ui, &format!("{}.", lesson.about), regular(text::BODY), t.ink2, 2.0);
            paragraph(ui, &lesson.for_whom, regular(text::CAPTION), t.ink3, 8.0);
            ui.spacing_mut().item_spacing = vec2(8.0, 8.0);
            ui.horizontal_wrapped(|ui| {
                let id = |name: &str| Id::unique(("begin lesson", name));
                let mut begin = |own: bool, step: usize| {
                    out.push(Command::Lesson(LessonCommand::Begin { index, own, step }));
                };
                let resume = mark.filter(|mark| mark.step > 0);
                if let Some(mark) = resume {
                    let words = format!("Go on at step {}", mark.step + 1);
                    let own = mark.own && fits_own(shown, index, fits);
                    if Button::primary(id("resume"), &words).add(ui, t).clicked() {
                        begin(own, mark.step);
                    }
                }
                let words = if resume.is_some() { "From the start" } else { "Begin" };
                let button = if resume.is_some() {
                    Button::plain(id("begin"), words)
                } else {
                    Button::primary(id("begin"), words)
                };
                if button.add(ui, t).clicked() {
                    begin(false, 0);
                }
                if !lesson.own.is_empty() {
                    let can = fits_own(shown, index, fits);
                    let why = if can {
                        "Plays it on a copy; your engine is not touched"
                    } else {
                        "The lesson needs dimensions, limits or a construction that your engine does not have"
                    };
                    let button = Button::plain(id("own"), "On a copy of my engine").enabled(can).tooltip(why);
                    if button.add(ui, t).clicked() {
                        begin(true, 0);
                    }
                }
                let handout = Button::plain(id("handout"), "Handout…")
                    .tooltip("The lesson on paper: pictures and questions, the answers apart");
                if handout.add(ui, t).clicked() {
                    out.push(Command::Lesson(LessonCommand::Handout(index)));
                }
            });
            ui.add_space(4.0);
        });
    });
}

/// Whether the lesson whose card is open works on the person's engine: of
/// which state and cylinder of it, and which lesson.
pub(super) type KeptFit = Memo<(Revision, usize, usize), bool>;

/// Returns whether the lesson works on the person's engine; rehearsed once for
/// each state of it.
fn fits_own(shown: &ViewContext<'_>, index: usize, kept: &mut KeptFit) -> bool {
    let Some(lesson) = book().get(index) else { return false };
    let key = (shown.session.revision(), shown.cylinder, index);
    *kept.get(key, |_| fits(lesson, shown.session.project(), shown.cylinder))
}
