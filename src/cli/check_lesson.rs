//! `crowndeck check` of a lesson file.

use super::failure::Failure;
use super::input::Reader;
use super::output::print;
use crate::lesson::{Lesson, Task};
use crate::project::visible;
use std::path::Path;

/// Checks the text of a lesson file.
///
/// # Errors
/// Everything that is wrong with it.
pub(super) fn report(path: &Path, text: &str) -> Result<(), Failure> {
    let file = path.display();
    let lesson = Lesson::read(text).map_err(|errors| {
        Failure::Engine(errors.iter().map(|error| format!("{file}: {error}; {}", error.hint())).collect())
    })?;
    let tasks = lesson.steps.iter().filter(|step| !matches!(step.task, Task::Read)).count();
    let told = format!(
        "Lesson ‘{}’: {} steps, {tasks} of them with a task. It was played through as it shows its tasks, and nothing was found.\n",
        visible(&lesson.title),
        lesson.steps.len()
    );
    print(&told, Reader::Terminal)
}
