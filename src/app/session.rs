//! The open document with everything that follows from it, computed once per
//! change and shared by all views.

use super::memo::Revision;
use crate::advise::rings::RingStudy;
use crate::engine::Engine;
use crate::project::{self, Assembly, Edit, EditError, Gesture, History, Project};
use crate::study::answers::Answers;
use crate::study::question::Question;
use std::cell::OnceCell;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A state of the engine, by name.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub enum StateName {
    /// As it stands.
    Now,
    /// As it was when the file was opened or the engine begun.
    #[default]
    Opened,
    /// Kept under this name.
    Kept(String),
}

impl StateName {
    /// The name on a screen.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::Now => "now",
            Self::Opened => AS_OPENED,
            Self::Kept(name) => name,
        }
    }
}

/// A state of the engine that the present one is compared with.
#[derive(Clone, Debug)]
pub struct Reference {
    /// Which state it is.
    pub state: StateName,
    /// What it is called: "as opened".
    pub name: String,
    /// The engine as it was.
    pub engine: Assembly,
    /// What followed from it.
    pub answers: Arc<Answers>,
    /// The revision of these answers.
    pub(crate) revision: Revision,
}

/// The document, its answers and the state it is compared with. The only
/// place of the window that changes a document.
#[derive(Debug)]
pub struct Session {
    history: History,
    path: Option<PathBuf>,
    revision: Revision,
    question: Arc<Question>,
    answers: Arc<Answers>,
    /// Found when somebody looks.
    rings: OnceCell<RingStudy>,
    reference: Reference,
    opened: Reference,
    /// What the file held when it was last read or written.
    on_disk: Option<u64>,
    /// The last engine of each cylinder that could exist: what is shown grey
    /// while the present one can't.
    last_possible: Vec<Option<Engine>>,
}

/// The name of the reference until a state is kept.
const AS_OPENED: &str = "as opened";

impl Session {
    /// A document as it was read from `path`, or one that has no file yet.
    #[must_use]
    pub fn new(project: Project, path: Option<PathBuf>) -> Self {
        Self::of(History::new(project), path)
    }

    /// What a crash kept from being saved, over what the file holds.
    #[must_use]
    pub fn recovered(saved: Project, present: Project, path: Option<PathBuf>) -> Self {
        Self::of(History::recovered(saved, present), path)
    }

    fn of(history: History, path: Option<PathBuf>) -> Self {
        let revision = Revision::next();
        let question = Arc::new(history.present().question());
        let answers = Arc::new(Answers::to(&question));
        let opened = Reference {
            state: StateName::Opened,
            name: AS_OPENED.into(),
            engine: history.present().engine.clone(),
            answers: Arc::clone(&answers),
            revision,
        };
        let on_disk = path.as_deref().and_then(project::fingerprint);
        let reference = opened.clone();
        let mut session = Self {
            history,
            path,
            revision,
            question,
            answers,
            rings: OnceCell::new(),
            reference,
            opened,
            on_disk,
            last_possible: Vec::new(),
        };
        session.remember_possible();
        session
    }

    /// The document as it stands.
    #[must_use]
    pub fn project(&self) -> &Arc<Project> {
        self.history.present()
    }

    /// The document with its past.
    #[must_use]
    pub fn history(&self) -> &History {
        &self.history
    }

    /// The revision of the document, its question and its answers; every change
    /// makes another one.
    #[must_use]
    pub(crate) fn revision(&self) -> Revision {
        self.revision
    }

    /// What was asked of the studies.
    #[must_use]
    pub fn question(&self) -> &Arc<Question> {
        &self.question
    }

    /// All answers.
    #[must_use]
    pub fn answers(&self) -> &Arc<Answers> {
        &self.answers
    }

    /// Everything that follows from the rings.
    #[must_use]
    pub fn rings(&self) -> &RingStudy {
        let project = self.history.present();
        self.rings.get_or_init(|| project.ring_study_of(&self.question, &project.ring_layout))
    }

    /// The state that the present one is compared with.
    #[must_use]
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// The file of the document.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The engine of a cylinder, or the last one that could exist, and whether
    /// it is the present one.
    #[must_use]
    pub fn shown_engine(&self, cylinder: usize) -> Option<(&Engine, bool)> {
        let present = self.answers.cylinders.get(cylinder)?.solved();
        present
            .map(|solved| (&solved.engine, true))
            .or_else(|| self.last_possible.get(cylinder)?.as_ref().map(|engine| (engine, false)))
    }

    /// Makes an edit; with the gesture of the last step it extends that step.
    ///
    /// # Errors
    /// When the edit can't be made; nothing has changed then.
    pub fn apply(&mut self, edit: &Edit, gesture: Option<Gesture>) -> Result<(), EditError> {
        self.history.apply(edit, gesture)?;
        self.refresh();
        Ok(())
    }

    /// Takes steps back until so many are left to take back, or does steps
    /// again until there are so many.
    pub fn go_to_step(&mut self, steps: usize) {
        while self.history.undo_labels().len() > steps && self.history.undo().is_some() {}
        while self.history.undo_labels().len() < steps && self.history.redo().is_some() {}
        self.refresh();
    }

    /// Takes the last step back.
    pub fn undo(&mut self) {
        if self.history.undo().is_some() {
            self.refresh();
        }
    }

    /// Does the last step again that was taken back.
    pub fn redo(&mut self) {
        if self.history.redo().is_some() {
            self.refresh();
        }
    }

    /// The states that can be compared with, the newest last.
    #[must_use]
    pub fn states(&self) -> Vec<StateName> {
        let kept = self.project().kept.iter().map(|kept| StateName::Kept(kept.name.clone()));
        std::iter::once(StateName::Opened).chain(kept).collect()
    }

    /// A state with what follows from it under the limits and readings of the
    /// present document; none for a kept state that is gone.
    #[must_use]
    pub fn state(&self, state: &StateName) -> Option<Reference> {
        let engine = match state {
            StateName::Now => {
                return Some(Reference {
                    state: StateName::Now,
                    name: state.words().into(),
                    engine: self.project().engine.clone(),
                    answers: Arc::clone(&self.answers),
                    revision: self.revision,
                });
            }
            StateName::Opened => return Some(self.opened.clone()),
            StateName::Kept(name) => {
                self.project().kept.iter().find(|kept| kept.name == *name)?.engine.clone()
            }
        };
        let project = Project { engine: engine.clone(), ..Project::clone(self.project()) };
        let answers = Arc::new(Answers::to(&project.question()));
        Some(Reference {
            state: state.clone(),
            name: state.words().into(),
            engine,
            answers,
            revision: Revision::next(),
        })
    }

    /// Compares from now on with this state; nothing happens if it is gone.
    pub fn compare_with(&mut self, state: &StateName) {
        if let Some(reference) = self.state(state) {
            self.reference = reference;
        }
    }

    /// Whether the file was changed by someone else since it was last read or
    /// written here.
    #[must_use]
    pub fn changed_on_disk(&self) -> bool {
        let now = self.path.as_deref().and_then(project::fingerprint);
        now.is_some() && now != self.on_disk
    }

    /// Remembers that `saved` was written to `path`.
    pub fn saved(&mut self, saved: Arc<Project>, path: PathBuf) {
        self.history.mark_saved(saved);
        self.on_disk = project::fingerprint(&path);
        self.path = Some(path);
    }

    fn refresh(&mut self) {
        self.revision = Revision::next();
        self.question = Arc::new(self.history.present().question());
        self.answers = Arc::new(Answers::to(&self.question));
        self.rings = OnceCell::new();
        self.remember_possible();
    }

    fn remember_possible(&mut self) {
        self.last_possible.resize(self.answers.cylinders.len(), None);
        for (last, answer) in self.last_possible.iter_mut().zip(&self.answers.cylinders) {
            if let Some(solved) = answer.solved() {
                *last = Some(solved.engine);
            }
        }
    }
}
