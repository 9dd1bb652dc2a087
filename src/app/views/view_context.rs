//! What every view reads.

use super::Panel;
use crate::app::binder_settings::BinderSettings;
use crate::app::explain::WordsRequest;
use crate::app::layout::Layout;
use crate::app::lesson_session::LessonSession;
use crate::app::session::{Reference, Session};
use crate::app::theme::Tokens;
use crate::engine::{Engine, Key, Provenance};
use crate::lesson::Progress;
use crate::project::{Entry, Gesture, Origin, Project, Scope};
use crate::quantity::{Kind, UnitChoice, Written, write};
use crate::study::answers::{Answers, Solved};
use crate::study::question::Question;

/// What is shown in this frame; nothing of it can be changed through it.
#[derive(Clone, Copy)]
pub(crate) struct ViewContext<'a> {
    /// The document and its answers.
    pub session: &'a Session,
    /// The chosen cylinder, from 0.
    pub cylinder: usize,
    /// Degrees after piston top dead centre.
    pub crank_deg: f64,
    /// Colours and strokes.
    pub t: &'a Tokens,
    /// Where everything stands.
    pub layout: &'a Layout,
    /// The dimension in hand: its row, handle and lines are lit.
    pub in_hand: Option<Key>,
    /// The dimension under the pointer, in the list or on the drawing.
    pub lit: Option<Key>,
    /// The panel that is open.
    pub panel: Panel,
    /// The lesson that is open; `session` is then its copy.
    pub lesson: Option<&'a LessonSession>,
    /// How far each lesson was played.
    pub progress: &'a Progress,
    /// The lesson whose card is open in the list.
    pub lesson_card: Option<usize>,
    /// What was asked about the words of the trade.
    pub words: WordsRequest,
    /// What is wanted of the binder.
    pub binder: &'a BinderSettings,
    /// Sheets made and sheets in all, while a file of the binder is made.
    pub exporting: Option<(usize, usize)>,
    /// What the pointer or an arrow key does until it is let go: its edits
    /// make one step for undo.
    pub gesture: Gesture,
}

impl<'a> ViewContext<'a> {
    /// The document.
    #[must_use]
    pub(crate) fn project(&self) -> &'a Project {
        self.session.project()
    }

    /// What was asked of the studies.
    #[must_use]
    pub(crate) fn question(&self) -> &'a Question {
        self.session.question()
    }

    /// All answers.
    #[must_use]
    pub(crate) fn answers(&self) -> &'a Answers {
        self.session.answers()
    }

    /// The units that the person reads in.
    #[must_use]
    pub(crate) fn units(&self) -> &'a UnitChoice {
        &self.project().units
    }

    /// The chosen cylinder, if it can exist.
    #[must_use]
    pub(crate) fn solved(&self) -> Option<&'a Solved> {
        self.answers().cylinders.get(self.cylinder)?.solved()
    }

    /// The engine to draw, and whether it is the present one.
    #[must_use]
    pub(crate) fn engine(&self) -> Option<(&'a Engine, bool)> {
        self.session.shown_engine(self.cylinder)
    }

    /// The state that the present one is compared with.
    #[must_use]
    pub(crate) fn reference(&self) -> &'a Reference {
        self.session.reference()
    }

    /// The chosen cylinder in the state of comparison, if it could exist.
    #[must_use]
    pub(crate) fn reference_solved(&self) -> Option<&'a Solved> {
        self.reference().answers.cylinders.get(self.cylinder)?.solved()
    }

    /// A dimension of the chosen cylinder as it was given.
    #[must_use]
    pub(crate) fn entry(&self, key: Key) -> Option<(&'a Entry, Origin)> {
        self.project().engine.entry(self.cylinder, key)
    }

    /// The value that counts for a dimension, in its base unit.
    #[must_use]
    pub(crate) fn value(&self, key: Key) -> Option<f64> {
        self.project().dims(self.cylinder)?.filled(key)
    }

    /// The value that counted in the state of comparison.
    #[must_use]
    pub(crate) fn reference_value(&self, key: Key) -> Option<f64> {
        self.reference().engine.dims(self.cylinder)?.filled(key)
    }

    /// Whether a dimension differs from the state of comparison.
    #[must_use]
    pub(crate) fn moved(&self, key: Key) -> bool {
        self.value(key) != self.reference_value(key)
    }

    /// How a dimension is known; a value that stands for an absent one is
    /// assumed.
    #[must_use]
    pub(crate) fn known(&self, key: Key) -> Provenance {
        self.entry(key).map_or(Provenance::Assumed, |(entry, _)| entry.known)
    }

    /// Where a new value of this dimension belongs: where the present one
    /// stands, so that one nominal value is not split by accident.
    #[must_use]
    pub(crate) fn scope(&self, key: Key) -> Scope {
        let own = self.entry(key).is_some_and(|(_, origin)| origin == Origin::Own);
        match self.project().engine.cylinders.get(self.cylinder) {
            Some(cylinder) if own => Scope::Cylinder(cylinder.label.clone()),
            _ => Scope::Nominal,
        }
    }

    /// A value in the units that the person reads in.
    #[must_use]
    pub(crate) fn written(&self, kind: Kind, base: f64) -> Written {
        write(kind, base, None, self.units())
    }

    /// The label of the chosen cylinder.
    #[must_use]
    pub(crate) fn cylinder_label(&self) -> &'a str {
        self.project().engine.cylinders.get(self.cylinder).map_or("", |c| c.label.as_str())
    }
}
