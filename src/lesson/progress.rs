//! How far a person has come with each lesson.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How far one lesson was played.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Mark {
    /// The step where it was left, from 0.
    pub step: usize,
    /// It was played to its end once.
    pub finished: bool,
    /// It was on a copy of the person's own engine.
    pub own: bool,
}

/// How far each lesson was played, by its id.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Progress(BTreeMap<String, Mark>);

impl Progress {
    /// How far a lesson was played; nothing for one never begun.
    #[must_use]
    pub fn of(&self, id: &str) -> Option<Mark> {
        self.0.get(id).copied()
    }

    /// Remembers the step at which a lesson stands.
    pub fn at(&mut self, id: &str, step: usize, own: bool) {
        let mark = self.0.entry(id.to_owned()).or_default();
        mark.step = step;
        mark.own = own;
    }

    /// Remembers that a lesson was played to its end; it begins anew then.
    pub fn finish(&mut self, id: &str) {
        let mark = self.0.entry(id.to_owned()).or_default();
        mark.finished = true;
        mark.step = 0;
    }

    /// How many of these lessons were played to their end.
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
