//! A lesson being played in the window, on a session of its own: the person's
//! project is never touched by it.

use super::session::Session;
use crate::lesson::{Moment, Reply, Run, Scene, Setup, Shows, Task};
use crate::project::Project;
use crate::quantity::UnitChoice;
use std::sync::Arc;

/// After so long without success a hint is given, seconds.
pub(super) const HINT_AFTER: f64 = 45.0;

/// A lesson being played.
#[derive(Debug)]
pub struct LessonSession {
    run: Run,
    session: Session,
    said: Reply,
    seen: Option<Seen>,
    /// When the step began, seconds of the window's clock.
    since: f64,
    hint: bool,
    /// What the window showed before, for when the lesson is left.
    pub(super) before: SavedView,
}

/// What the window showed before a lesson.
#[derive(Clone, Copy, Debug)]
pub(super) struct SavedView {
    pub cylinder: usize,
    pub crank_deg: f64,
    pub towers: bool,
}

/// What the sentences were made for.
#[derive(Clone, Debug, PartialEq)]
struct Seen {
    revision: u64,
    cylinder: usize,
    crank_deg: f64,
    shows: Vec<Shows>,
    units: UnitChoice,
}

/// What a session gives to an expression.
fn moment(session: &Session) -> Moment {
    Moment {
        project: Arc::clone(session.project()),
        question: Arc::clone(session.question()),
        answers: Arc::clone(session.answers()),
    }
}

/// The engine of a step, in the units that the person reads.
fn session_of(setup: &Setup, units: UnitChoice) -> Session {
    Session::new(Project { units, ..(*setup.project).clone() }, None)
}

impl LessonSession {
    pub(super) fn new(run: Run, setup: &Setup, units: UnitChoice, now: f64, before: SavedView) -> Self {
        let session = session_of(setup, units);
        Self { run, session, said: Reply::default(), seen: None, since: now, hint: false, before }
    }

    /// The lesson and where it stands.
    #[must_use]
    pub fn run(&self) -> &Run {
        &self.run
    }

    /// The copy that it works on.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    pub(super) fn session_mut(&mut self) -> &mut Session {
        &mut self.session
    }

    /// What the step says now.
    #[must_use]
    pub fn said(&self) -> &Reply {
        &self.said
    }

    /// Whether the hint is to be shown.
    #[must_use]
    pub fn hints(&self) -> bool {
        self.hint && !self.run.is_done()
    }

    pub(super) fn give_hint(&mut self) {
        self.hint = true;
    }

    /// Goes to a step; what the window has to show for it.
    pub(super) fn go_to(&mut self, step: usize, now: f64) -> Setup {
        let units = self.session.project().units;
        let setup = self.run.go_to(step);
        self.session = session_of(&setup, units);
        self.seen = None;
        self.since = now;
        self.hint = false;
        setup
    }

    pub(super) fn choose(&mut self, choice: usize) -> bool {
        self.seen = None;
        self.run.choose(choice)
    }

    /// Makes the edits of the task as the lesson shows it; what else has to
    /// be opened, turned or chosen comes back.
    pub(super) fn show(
        &mut self,
        cylinder: usize,
        crank_deg: f64,
        shows: &[Shows],
    ) -> Vec<crate::lesson::Act> {
        let acts = self.run.shown_acts().to_vec();
        for act in &acts {
            let now = moment(&self.session);
            let scene = Scene { now: &now, start: self.run.start(), cylinder, crank_deg, shows };
            for edit in act.edits(&scene) {
                // What can't be done leaves the task undone, which is seen.
                let _ = self.session.apply(&edit, None);
            }
        }
        acts
    }

    /// The number that an expression gives now.
    #[must_use]
    pub fn number(&self, expr: &crate::lesson::Expr, cylinder: usize, crank_deg: f64) -> Option<f64> {
        let now = moment(&self.session);
        Scene { now: &now, start: self.run.start(), cylinder, crank_deg, shows: &[] }.number(expr)
    }

    /// Looks at the engine as it stands, and makes the sentences anew where
    /// something changed. Seconds until a hint is due, if one is.
    pub(super) fn look(
        &mut self,
        cylinder: usize,
        crank_deg: f64,
        shows: Vec<Shows>,
        now: f64,
    ) -> Option<f64> {
        let seen = Seen {
            revision: self.session.history().revision(),
            cylinder,
            crank_deg,
            shows,
            units: self.session.project().units,
        };
        if self.seen.as_ref() != Some(&seen) {
            let current = moment(&self.session);
            let start = self.run.start().clone();
            let scene = Scene { now: &current, start: &start, cylinder, crank_deg, shows: &seen.shows };
            self.run.look(&scene);
            self.said = self.run.said(&scene, &seen.units);
            self.seen = Some(seen);
        }
        let waits = matches!(self.run.now().map(|step| &step.task), Some(Task::Todo(_)))
            && !self.run.is_done()
            && !self.said.hint.is_empty()
            && !self.hint;
        if !waits {
            return None;
        }
        let left = HINT_AFTER - (now - self.since);
        self.hint = left <= 0.0;
        Some(left.max(0.0))
    }
}
