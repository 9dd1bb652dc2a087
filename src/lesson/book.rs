//! The lessons that come with the program.

use super::check::Lesson;
use std::sync::{Arc, OnceLock};

/// Each lesson's id and the text of its file, in the order in which they are
/// best played.
static TEXTS: [(&str, &str); 11] = [
    ("deck-height", include_str!("../../assets/lessons/deck-height.ron")),
    ("shims-and-level", include_str!("../../assets/lessons/shims-and-level.ron")),
    ("ratio", include_str!("../../assets/lessons/ratio.ron")),
    ("squish", include_str!("../../assets/lessons/squish.ron")),
    ("dead-centre", include_str!("../../assets/lessons/dead-centre.ron")),
    ("stroke-and-deck", include_str!("../../assets/lessons/stroke-and-deck.ron")),
    ("reading-deck", include_str!("../../assets/lessons/reading-deck.ron")),
    ("how-sure", include_str!("../../assets/lessons/how-sure.ron")),
    ("ring-gaps", include_str!("../../assets/lessons/ring-gaps.ron")),
    ("two-stroke", include_str!("../../assets/lessons/two-stroke.ron")),
    ("final-exam", include_str!("../../assets/lessons/final-exam.ron")),
];

/// Returns the id of each lesson, in order; no lesson is read for it.
pub(crate) fn ids() -> impl Iterator<Item = &'static str> {
    TEXTS.iter().map(|(id, _)| *id)
}

/// Returns all lessons, in order, read when they are first asked for. They are
/// not played through then: a test does that. A lesson that could not be read
/// would be left out.
#[must_use]
pub fn book() -> &'static [Arc<Lesson>] {
    static BOOK: OnceLock<Vec<Arc<Lesson>>> = OnceLock::new();
    BOOK.get_or_init(|| TEXTS.iter().filter_map(|(_, text)| Lesson::parse(text).ok()).map(Arc::new).collect())
}

#[must_use]
pub(crate) fn by_id(id: &str) -> Option<&'static Arc<Lesson>> {
    book().iter().find(|lesson| lesson.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_lessons_are_sound_and_no_id_stands_twice() {
        for (id, text) in TEXTS {
            match Lesson::read(text) {
                Ok(lesson) => assert_eq!(lesson.id, id),
                Err(errors) => {
                    let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
                    panic!("{id}\n{}", lines.join("\n"));
                }
            }
        }
        assert_eq!(book().len(), TEXTS.len());
        for (i, lesson) in book().iter().enumerate() {
            assert!(book().iter().skip(i + 1).all(|other| other.id != lesson.id), "{}", lesson.id);
        }
    }
}
