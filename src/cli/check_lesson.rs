//! `crowndeck check` of a lesson file.

use super::failure::Failure;
use super::output::print;
use crate::lesson::{Lesson, Task, is_lesson};
use crate::project::text::MAX_BYTES;
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// Checks a file if it means to be a lesson; none for any other, which is
/// left to whoever reads projects.
pub(super) fn checked(path: &Path) -> Option<Result<(), Failure>> {
    let mut bytes = Vec::new();
    File::open(path).and_then(|file| file.take(MAX_BYTES).read_to_end(&mut bytes)).ok()?;
    let text = String::from_utf8(bytes).ok()?;
    is_lesson(&text).then(|| report(path, &text))
}

fn report(path: &Path, text: &str) -> Result<(), Failure> {
    let file = path.display();
    let lesson = Lesson::read(text).map_err(|errors| {
        Failure::Engine(errors.iter().map(|error| format!("{file}: {error}; {}", error.hint())).collect())
    })?;
    let tasks = lesson.steps.iter().filter(|step| !matches!(step.task, Task::Read)).count();
    print(&format!(
        "Lesson ‘{}’: {} steps, {tasks} of them with a task. It was played through as it shows its tasks, and nothing was found.\n",
        lesson.title,
        lesson.steps.len()
    ))
}
