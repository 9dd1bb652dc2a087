//! The panel of lessons: the list of them, the step of the one that is open,
//! and the words of the trade.

pub(crate) mod flags;
mod lesson_bar;
pub(crate) mod list;
mod parts;
pub(crate) mod spotlight;
pub(crate) mod step;
mod word_picture;
pub(crate) mod words;

pub(crate) use lesson_bar::strip_ui;

use super::ViewContext;
use super::panel::{Panel, PanelStatus, PanelView};
use crate::app::command::Command;
use crate::app::layout::Class;
use crate::lesson::{ScreenPlace, WindowArea, ids};
use egui::{Context, Ui};
use words::WordsView;

/// What the panel remembers.
#[derive(Clone, Debug, Default)]
pub(crate) struct LessonsView {
    /// The lesson whose card was last brought into sight.
    brought: Option<usize>,
    /// The words of the trade, in the place of the lessons.
    words: WordsView,
    /// Whether the lesson of that card works on the person's engine.
    fits: list::KeptFit,
    /// How far the content of the last step reached beyond its room, points.
    overflow: f32,
}

impl PanelView for LessonsView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        if cx.words.open {
            return words::words_ui(ui, cx, &mut self.words, out);
        }
        match cx.lesson {
            Some(playing) => step::step_ui(ui, cx, playing, self, out),
            None => list::list_ui(ui, cx, self, out),
        }
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        status(cx)
    }

    /// Lessons are read, not typed in.
    fn take_keyboard(&mut self, _: &Context) {}

    fn overflow(&self) -> f32 {
        self.overflow
    }
}

/// What stands beside the open panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct LessonPanel {
    /// The panel of all cylinders.
    pub cylinders: bool,
    /// The fronts of the closed panels.
    pub fronts: bool,
}

/// The step of a lesson takes the place of what it does not speak of, and in a
/// small window a page of words that of all, the list of lessons that of the
/// cylinders; the keys of the panels go on working.
#[must_use]
pub(crate) fn beside(shown: &ViewContext<'_>) -> LessonPanel {
    let words = shown.words.open;
    let step = shown.lesson.and_then(|playing| playing.run().now());
    let small = matches!(shown.layout.class, Class::Least | Class::Small);
    match step {
        _ if words && shown.panel == Panel::Lessons => LessonPanel { cylinders: false, fronts: !small },
        Some(step) if shown.panel == Panel::Lessons || small => {
            let speaks = |panel| step.look.iter().any(|(place, _)| *place == ScreenPlace::Area(panel));
            // Beside another panel its fronts are the way back.
            let fronts = speaks(WindowArea::Fronts) || shown.panel != Panel::Lessons;
            LessonPanel { cylinders: speaks(WindowArea::Cylinders), fronts }
        }
        None if small && shown.panel == Panel::Lessons => LessonPanel { cylinders: false, fronts: true },
        _ => LessonPanel { cylinders: true, fronts: true },
    }
}

/// What the closed panel says.
fn status(shown: &ViewContext<'_>) -> PanelStatus {
    let words = match shown.lesson {
        Some(playing) => {
            let run = playing.run();
            format!("step {} of {}", run.step() + 1, run.lesson().steps.len())
        }
        None => {
            format!("{} of {} played", shown.progress.finished(ids()), ids().count())
        }
    };
    (words, None)
}
