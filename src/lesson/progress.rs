//! The user's progress in each lesson.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The progress in one lesson.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Mark {
    /// The step at which it was left, from 0.
    pub step: usize,
    /// Whether it was played to its end once.
    pub finished: bool,
    /// Whether it was played on a copy of the user's own engine.
    pub own: bool,
}

/// The progress in all lessons, by id.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Progress(BTreeMap<String, Mark>);

impl Progress {
    /// Returns the progress in a lesson; `None` for one never begun.
    #[must_use]
    pub fn of(&self, id: &str) -> Option<Mark> {
        self.0.get(id).copied()
    }

    /// Records the step of a lesson.
    pub fn at(&mut self, id: &str, step: usize, own: bool) {
        let mark = self.0.entry(id.to_owned()).or_default();
        mark.step = step;
        mark.own = own;
    }

    /// Records that a lesson was played to its end; it begins anew then.
    pub fn finish(&mut self, id: &str) {
        let mark = self.0.entry(id.to_owned()).or_default();
        mark.finished = true;
        mark.step = 0;
    }

    /// Returns how many of these lessons were played to their end.
    #[must_use]
    pub fn finished<'a>(&self, ids: impl Iterator<Item = &'a str>) -> usize {
        ids.filter(|id| self.of(id).is_some_and(|mark| mark.finished)).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finished_lesson_stays_finished_and_begins_anew() {
        let mut progress = Progress::default();
        assert_eq!(progress.of("a"), None);
        progress.at("a", 4, false);
        assert_eq!(progress.of("a").map(|mark| (mark.step, mark.finished)), Some((4, false)));
        progress.finish("a");
        progress.at("a", 1, true);
        assert_eq!(progress.of("a"), Some(Mark { step: 1, finished: true, own: true }));
        assert_eq!(progress.finished(["a", "b"].into_iter()), 1);
        let text = ron::to_string(&progress).unwrap();
        assert_eq!(ron::from_str::<Progress>(&text).unwrap(), progress);
    }
}
