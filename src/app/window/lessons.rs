//! What the commands of the lessons do.

use super::Window;
use crate::app::command::LessonCommand;
use crate::app::export_job::{BinderRequest, ExportRequest, ExportTask};
use crate::app::lesson_session::{LessonSession, SavedView};
use crate::app::prompt::Purpose;
use crate::app::session::Session;
use crate::app::views::Panel;
use crate::clock::stamp;
use crate::lesson::{Act, Moment, Run, Setup, Shows, book};
use crate::sheet::Choices;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

impl Window {
    /// The session that is shown: that of the lesson while one is open, else
    /// the person's own.
    #[must_use]
    pub fn shown_session(&self) -> &Session {
        self.lesson.as_ref().map_or(&self.session, LessonSession::session)
    }

    pub(super) fn shown_session_mut(&mut self) -> &mut Session {
        match &mut self.lesson {
            Some(playing) => playing.session_mut(),
            None => &mut self.session,
        }
    }

    /// The lesson that is open.
    #[must_use]
    pub fn lesson(&self) -> Option<&LessonSession> {
        self.lesson.as_ref()
    }

    /// How far the content of the step shown last reached beyond its room,
    /// points; not above 0 where all of it is in sight.
    #[must_use]
    pub fn lesson_overflow(&self) -> f32 {
        self.cabinet.overflow(Panel::Lessons)
    }

    /// How far each lesson was played.
    #[must_use]
    pub fn progress(&self) -> &crate::lesson::Progress {
        &self.settings.progress
    }

    pub(super) fn run_lesson(&mut self, command: LessonCommand, ctx: &egui::Context) {
        let now = ctx.input(|i| i.time);
        match command {
            LessonCommand::Begin { index, own, step } => self.begin_lesson(index, own, step, now),
            LessonCommand::Leave => self.leave_lesson(),
            LessonCommand::Back => {
                let step = self.lesson.as_ref().map_or(0, |playing| playing.run().step());
                if step > 0 {
                    self.go_to_step(step - 1, now);
                }
            }
            LessonCommand::Next => self.next_step(now),
            LessonCommand::Choose(choice) => {
                if let Some(playing) = &mut self.lesson {
                    playing.choose(choice);
                }
            }
            LessonCommand::Hint => {
                if let Some(playing) = &mut self.lesson {
                    playing.give_hint();
                }
            }
            LessonCommand::ShowMe => self.show_me(),
            LessonCommand::Handout(lesson) => self.ask_path(Purpose::Handout(lesson)),
            LessonCommand::OpenCard(lesson) => self.lesson_card = Some(lesson),
        }
    }

    fn begin_lesson(&mut self, index: usize, own: bool, step: usize, now: f64) {
        let Some(lesson) = book().get(index) else { return };
        self.leave_lesson();
        let copy = own.then(|| (Arc::clone(self.session.project()), self.cylinder));
        let (run, setup) = Run::begin(Arc::clone(lesson), copy, step);
        let before =
            SavedView { cylinder: self.cylinder, crank_deg: self.crank_deg, towers: self.shows_towers() };
        let units = self.session.project().units;
        self.words.open = false;
        self.lesson = Some(LessonSession::new(run, &setup, units, now, before));
        self.settings.panel = Panel::Lessons;
        self.cabinet.overlay_open = true;
        self.playing = false;
        self.status = None;
        self.set_up(&setup);
        self.note_progress();
    }

    /// Gives the person's own engine back as it was left.
    pub(super) fn leave_lesson(&mut self) {
        let Some(playing) = self.lesson.take() else { return };
        self.cylinder = playing.before.cylinder;
        self.crank_deg = playing.before.crank_deg;
        self.show_towers(playing.before.towers);
        self.playing = false;
        self.status = None;
        self.show_cylinder(self.cylinder);
    }

    fn next_step(&mut self, now: f64) {
        let Some(playing) = &self.lesson else { return };
        let run = playing.run();
        if !run.may_go_on() {
            return;
        }
        if run.is_last() {
            let id = run.lesson().id.clone();
            self.settings.progress.finish(&id);
            self.leave_lesson();
        } else {
            self.go_to_step(run.step() + 1, now);
        }
    }

    fn go_to_step(&mut self, step: usize, now: f64) {
        let Some(playing) = &mut self.lesson else { return };
        let setup = playing.go_to(step, now);
        self.status = None;
        self.playing = false;
        self.settings.panel = Panel::Lessons;
        self.words.open = false;
        self.set_up(&setup);
        self.note_progress();
    }

    /// The lesson that is open, else the one whose card is, else the first; by
    /// its place in the book.
    pub(super) fn lesson_in_hand(&self) -> usize {
        let open = self.lesson.as_ref().map(|playing| playing.run().lesson().id.as_str());
        let open = open.and_then(|id| book().iter().position(|lesson| lesson.id == id));
        open.or(self.lesson_card).unwrap_or(0)
    }

    /// Has the handout of a lesson made beside the window: on the person's
    /// engine if the lesson is being played on a copy of it, else on its own.
    pub(super) fn export_handout(&mut self, lesson: usize, path: &Path, ctx: &egui::Context) {
        self.prompt = None;
        let Some(own) = book().get(lesson) else { return };
        let copied = self
            .lesson
            .as_ref()
            .filter(|playing| playing.run().is_own() && playing.run().lesson().id == own.id);
        let (project, cylinder) = match copied {
            Some(playing) => (Arc::clone(self.session.project()), playing.before.cylinder),
            None => (Arc::clone(&own.engine), own.cylinder),
        };
        let stamp = match stamp(self.session.project()) {
            Ok(stamp) => stamp,
            Err(why) => return self.warn(why),
        };
        let units = self.session.project().units;
        let choices = Choices { units, ..self.binder.choices(&project, cylinder, 0.0) };
        let now = Moment::of(Arc::clone(&project));
        let (question, answers) = (now.question, now.answers);
        let task = ExportTask::Handout(lesson, path.to_path_buf());
        let binder = BinderRequest { project, question, answers, choices, stamp };
        if !self.export.begin(ExportRequest { binder, task }, ctx) {
            self.warn("Another file is being made; wait for it or stop it");
        }
    }

    fn note_progress(&mut self) {
        if let Some(playing) = &self.lesson {
            let run = playing.run();
            self.settings.progress.at(&run.lesson().id, run.step(), run.is_own());
        }
    }

    /// Shows what a step begins with.
    fn set_up(&mut self, setup: &Setup) {
        self.crank_deg = setup.crank_deg;
        self.cylinder = setup.cylinder;
        self.show_towers(setup.view == Shows::Towers);
        if let Some(playing) = &self.lesson
            && let Some(step) = playing.run().now()
        {
            for (place, _) in &step.look {
                if let crate::lesson::ScreenPlace::Dimension(key) = place {
                    self.settings.dimensions.reveal(*key);
                }
            }
        }
    }

    fn show_me(&mut self) {
        let (cylinder, crank) = (self.cylinder, self.crank_deg);
        let shows = self.shows();
        let Some(playing) = &mut self.lesson else { return };
        let acts = playing.show(cylinder, crank, &shows);
        for act in acts {
            match act {
                Act::Turn(angle) => {
                    let asked = self.lesson.as_ref().and_then(|p| p.number(&angle, cylinder, crank));
                    self.crank_deg = super::wrapped(asked.unwrap_or(crank));
                }
                Act::Choose(cylinder) => self.show_cylinder(cylinder),
                Act::Open(shows @ (Shows::Section | Shows::Towers)) => {
                    self.show_towers(shows == Shows::Towers)
                }
                Act::Open(shows) => {
                    if let Some(panel) = panel_of(shows) {
                        self.settings.panel = panel;
                    }
                }
                // The edits were made by the session.
                _ => {}
            }
        }
        self.status = None;
    }

    /// What is open, for the conditions of a lesson.
    fn shows(&self) -> Vec<Shows> {
        let view = if self.shows_towers() { Shows::Towers } else { Shows::Section };
        let panel = Shows::ALL.into_iter().find(|shows| panel_of(*shows) == Some(self.settings.panel));
        std::iter::once(view).chain(panel).collect()
    }

    fn shows_towers(&self) -> bool {
        self.settings.sheet.shows_towers()
    }

    fn show_towers(&mut self, towers: bool) {
        self.settings.sheet.show_towers(towers);
    }

    /// Looks whether the task of the lesson is done.
    pub(super) fn teach(&mut self, ctx: &egui::Context) {
        let shows = self.shows();
        let (cylinder, crank) = (self.cylinder, self.crank_deg);
        let now = ctx.input(|i| i.time);
        if let Some(playing) = &mut self.lesson
            && let Some(left) = playing.look(cylinder, crank, shows, now)
        {
            ctx.request_repaint_after(Duration::from_secs_f64(left));
        }
    }
}

/// The panel that a lesson calls so.
fn panel_of(shows: Shows) -> Option<Panel> {
    match shows {
        Shows::Figures => Some(Panel::Figures),
        Shows::Effects => Some(Panel::Effects),
        Shows::Readings => Some(Panel::Readings),
        Shows::Shims => Some(Panel::Shims),
        Shows::Rings => Some(Panel::Rings),
        Shows::Section | Shows::Towers => None,
    }
}
