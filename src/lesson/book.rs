//! The lessons that come with the program.

use super::check::Lesson;
use std::sync::{Arc, OnceLock};

/// The text of each lesson, in the order in which they are best played.
static TEXTS: [&str; 5] = [
    include_str!("../../assets/lessons/deck-height.ron"),
    include_str!("../../assets/lessons/shims-and-level.ron"),
    include_str!("../../assets/lessons/ratio.ron"),
    include_str!("../../assets/lessons/squish.ron"),
    include_str!("../../assets/lessons/dead-centre.ron"),
];

/// All lessons, in order. A lesson that could not be read would be left out;
/// a test reads them all.
#[must_use]
pub fn book() -> &'static [Arc<Lesson>] {
    static BOOK: OnceLock<Vec<Arc<Lesson>>> = OnceLock::new();
    BOOK.get_or_init(|| TEXTS.iter().filter_map(|text| Lesson::read(text).ok()).map(Arc::new).collect())
}

/// The lesson with this id.
#[must_use]
pub fn by_id(id: &str) -> Option<&'static Arc<Lesson>> {
    book().iter().find(|lesson| lesson.id == id)
}

/// The text of a lesson's file.
#[must_use]
pub fn source(index: usize) -> Option<&'static str> {
    TEXTS.get(index).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_lessons_are_sound_and_no_id_stands_twice() {
        for text in TEXTS {
            if let Err(errors) = Lesson::read(text) {
                let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
                panic!("{}\n{}", text.lines().take(4).collect::<Vec<_>>().join(" "), lines.join("\n"));
            }
        }
        assert_eq!(book().len(), TEXTS.len());
        for (i, lesson) in book().iter().enumerate() {
            assert!(book().iter().skip(i + 1).all(|other| other.id != lesson.id), "{}", lesson.id);
        }
    }
}
