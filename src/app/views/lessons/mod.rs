//! The drawer of lessons: the list of them, the step of the one that is open,
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
use super::cabinet::Cabinet;
use super::panel::{Panel, PanelStatus};
use crate::app::command::Command;
use crate::app::layout::Class;
use crate::lesson::{ScreenPlace, WindowArea, ids};
use egui::Ui;
use words::WordsView;

/// What the drawer remembers.
#[derive(Clone, Debug, Default)]
pub struct LessonsView {
    /// The lesson whose card is open in the list.
    pub chosen: Option<usize>,
    /// The lesson whose card was last brought into sight.
    pub brought: Option<usize>,
    /// The words of the trade, in the place of the lessons.
    pub words: WordsView,
    /// Whether the lesson of that card works on the person's engine.
    fits: list::KeptFit,
    /// How far the content of the last step reached beyond its room, points.
    pub overflow: f32,
}

/// Shows the drawer.
pub(crate) fn lessons_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut Cabinet, out: &mut Vec<Command>) {
    if view.lessons.words.open {
        return words::words_ui(ui, shown, &mut view.lessons.words, out);
    }
    match shown.lesson {
        Some(playing) => step::step_ui(ui, shown, playing, &mut view.lessons, out),
        None => list::list_ui(ui, shown, &mut view.lessons, out),
    }
}

/// What stands beside the open drawer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct LessonPanel {
    /// The panel of all cylinders.
    pub cylinders: bool,
    /// The fronts of the closed drawers.
    pub fronts: bool,
}

/// The step of a lesson takes the place of what it does not speak of, and in a
/// small window a page of words that of all, the list of lessons that of the
/// cylinders; the keys of the drawers go on working.
#[must_use]
pub(crate) fn beside(shown: &ViewContext<'_>, words: bool) -> LessonPanel {
    let step = shown.lesson.and_then(|playing| playing.run().now());
    let small = matches!(shown.layout.class, Class::Least | Class::Small);
    match step {
        _ if words && shown.panel == Panel::Lessons => LessonPanel { cylinders: false, fronts: !small },
        Some(step) if shown.panel == Panel::Lessons || small => {
            let speaks = |panel| step.look.iter().any(|(place, _)| *place == ScreenPlace::Area(panel));
            // Beside another drawer its fronts are the way back.
            let fronts = speaks(WindowArea::Fronts) || shown.panel != Panel::Lessons;
            LessonPanel { cylinders: speaks(WindowArea::Cylinders), fronts }
        }
        None if small && shown.panel == Panel::Lessons => LessonPanel { cylinders: false, fronts: true },
        _ => LessonPanel { cylinders: true, fronts: true },
    }
}

/// What the closed drawer says.
#[must_use]
pub(crate) fn status(shown: &ViewContext<'_>) -> PanelStatus {
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
