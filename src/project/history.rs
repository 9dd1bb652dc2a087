//! Undo and redo: the only place where the document changes.

use super::{Edit, EditError, Project};
use std::sync::Arc;

/// A drag, a run of arrow presses or a scroll: all edits of one gesture are one
/// step. The caller takes a new number when a press begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gesture(pub u64);

/// A step that can be undone or redone.
#[derive(Clone, Debug)]
struct Step {
    label: String,
    /// The project before it (in undo) or after it (in redo).
    project: Arc<Project>,
    gesture: Option<Gesture>,
}

/// The document with its past.
#[derive(Clone, Debug)]
pub struct History {
    present: Arc<Project>,
    undo: Vec<Step>,
    redo: Vec<Step>,
    revision: u64,
    saved: Arc<Project>,
}

impl History {
    /// Creates the history of a document as it was read, with no change to
    /// save.
    #[must_use]
    pub fn new(project: Project) -> Self {
        let present = Arc::new(project);
        let saved = Arc::clone(&present);
        Self { present, undo: Vec::new(), redo: Vec::new(), revision: 0, saved }
    }

    /// Creates the history of a document that a crash kept from being saved:
    /// `present` differs from what the file holds.
    #[must_use]
    pub fn recovered(saved: Project, present: Project) -> Self {
        Self { present: Arc::new(present), ..Self::new(saved) }
    }

    /// Returns the present document.
    #[must_use]
    pub fn present(&self) -> &Arc<Project> {
        &self.present
    }

    /// Returns a counter of all changes of the document, undo and redo
    /// included; for whoever keeps something computed from it.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Makes an edit. With the gesture of the last step it extends that step;
    /// an edit that does not change the document leaves no step.
    ///
    /// # Errors
    /// As [`Edit::apply`]; the document is unchanged then.
    pub fn apply(&mut self, edit: &Edit, gesture: Option<Gesture>) -> Result<(), EditError> {
        let next = edit.apply(&self.present)?;
        if next == *self.present {
            return Ok(());
        }
        let extends = gesture.is_some()
            && self.redo.is_empty()
            && self.undo.last().is_some_and(|s| s.gesture == gesture);
        let before = match self.undo.pop() {
            Some(step) if extends => step.project,
            Some(step) => {
                self.undo.push(step);
                Arc::clone(&self.present)
            }
            None => Arc::clone(&self.present),
        };
        // A drag that ends where it began leaves no step.
        if next != *before {
            self.undo.push(Step { label: edit.label(&before), project: before, gesture });
        }
        self.redo.clear();
        self.present = Arc::new(next);
        self.revision += 1;
        Ok(())
    }

    /// Undoes the last step and returns its name, for the status line; `None`
    /// if there is none.
    pub fn undo(&mut self) -> Option<String> {
        let step = self.undo.pop()?;
        let after = std::mem::replace(&mut self.present, step.project);
        self.redo.push(Step { label: step.label.clone(), project: after, gesture: None });
        self.revision += 1;
        Some(step.label)
    }

    /// Redoes the last undone step and returns its name; `None` if there is
    /// none.
    pub fn redo(&mut self) -> Option<String> {
        let step = self.redo.pop()?;
        let before = std::mem::replace(&mut self.present, step.project);
        // Without its gesture: a later drag must not grow into it.
        self.undo.push(Step { label: step.label.clone(), project: before, gesture: None });
        self.revision += 1;
        Some(step.label)
    }

    /// Returns the name of the step that undo would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.undo.last().map(|step| step.label.as_str())
    }

    /// Returns the name of the step that redo would do again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.redo.last().map(|step| step.label.as_str())
    }

    /// Returns the names of the steps that can be undone, the latest first.
    pub fn undo_labels(&self) -> impl ExactSizeIterator<Item = &str> {
        self.undo.iter().rev().map(|step| step.label.as_str())
    }

    /// Returns the names of the steps that can be redone, the next one first.
    pub fn redo_labels(&self) -> impl ExactSizeIterator<Item = &str> {
        self.redo.iter().rev().map(|step| step.label.as_str())
    }

    /// Records that this document was saved: the one that was given to the
    /// writer, which may be older than the present one.
    pub fn mark_saved(&mut self, saved: Arc<Project>) {
        self.saved = saved;
    }

    /// Returns whether the document differs from what was saved. Undoing all
    /// changes makes it equal again.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        !Arc::ptr_eq(&self.present, &self.saved) && *self.present != *self.saved
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Scope, demo};
    use super::*;
    use crate::engine::{Key, Provenance};
    use crate::quantity::{Kind, Quantity, UnitChoice};
    use proptest::prelude::*;

    /// Sets a shim as a drag leaves it: to the hundredth.
    fn shim(hundredths: u32) -> Edit {
        let base = f64::from(hundredths) / 100.0;
        Edit::SetDimension {
            scope: Scope::Cylinder("1".into()),
            key: Key::BaseShim,
            value: Quantity::rounded(Kind::Length, base, Some(2), &UnitChoice::default()).unwrap(),
            known: Provenance::Measured,
        }
    }

    #[test]
    fn a_drag_is_one_step_with_its_first_and_last_value() {
        let mut history = History::new(demo());
        let drag = Some(Gesture(1));
        for value in [60, 70, 80] {
            history.apply(&shim(value), drag).unwrap();
        }
        assert_eq!(history.undo_label(), Some("Base shim, cylinder 1: 0.50 mm to 0.80 mm"));
        history.apply(&shim(90), Some(Gesture(2))).unwrap();
        assert_eq!(history.undo().as_deref(), Some("Base shim, cylinder 1: 0.80 mm to 0.90 mm"));
        assert!(history.undo().is_some());
        assert_eq!(history.undo(), None);
        assert_eq!(**history.present(), demo());
        assert_eq!(history.redo_label(), Some("Base shim, cylinder 1: 0.50 mm to 0.80 mm"));
    }

    #[test]
    fn a_drag_back_to_its_start_leaves_no_step_and_no_change() {
        let mut history = History::new(demo());
        let start = history.present().readings.clone();
        for value in [60, 50] {
            history.apply(&shim(value), Some(Gesture(1))).unwrap();
        }
        assert_eq!((history.undo_label(), history.is_changed()), (None, false));
        assert_eq!(history.present().readings, start);
        history.apply(&shim(50), None).unwrap();
        assert_eq!((history.undo_label(), history.revision()), (None, 2));
    }

    #[test]
    fn what_was_saved_is_what_was_given_to_the_writer() {
        let mut history = History::new(demo());
        history.apply(&shim(60), None).unwrap();
        let written = Arc::clone(history.present());
        history.apply(&shim(70), None).unwrap();
        history.mark_saved(written);
        assert!(history.is_changed());
        history.undo();
        assert!(!history.is_changed());
        history.undo();
        assert!(history.is_changed());
    }

    proptest! {
        #[test]
        fn undoing_all_gives_the_start_and_redoing_all_the_end(
            edits in prop::collection::vec((0_u32..5, 0_u64..4), 0..30)
        ) {
            let mut history = History::new(demo());
            for (value, gesture) in edits {
                history.apply(&shim(value * 10), (gesture > 0).then_some(Gesture(gesture))).unwrap();
            }
            let end = Arc::clone(history.present());
            while history.undo().is_some() {}
            prop_assert_eq!(&**history.present(), &demo());
            while history.redo().is_some() {}
            prop_assert_eq!(&**history.present(), &*end);
        }
    }
}
