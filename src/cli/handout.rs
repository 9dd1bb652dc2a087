//! `crowndeck sheet --lesson`: the handout of a lesson.

use super::failure::Failure;
use super::input::{Reader, load, unreadable};
use crate::clock::stamp;
use crate::drawing::page::Document;
use crate::lesson::{Lesson, book, by_id, fits};
use crate::project::read_text;
use crate::schema::bounds::alternatives;
use crate::sheet::{Paper, handout, worst_cylinder};
use crate::study::Answers;
use std::path::Path;
use std::sync::Arc;

/// The handout of a lesson of the book or of a file, on the lesson's own
/// engine or on a copy of a project.
///
/// # Errors
/// When there is no such lesson, its file is at fault, or it does not fit the
/// project.
pub(super) fn document(
    name: &str,
    project: Option<&Path>,
    cylinder: Option<&str>,
    paper: Paper,
) -> Result<Document, Failure> {
    let lesson = lesson(name)?;
    let (base, cylinder) = match project {
        None => (Arc::clone(&lesson.engine), lesson.cylinder),
        Some(path) => {
            let project = load(path, Reader::Program)?;
            let place = match cylinder {
                Some(label) => project.cylinder_index(label).ok_or_else(|| {
                    Failure::Call(format!("--cylinder {label}: {} has no such cylinder", path.display()))
                })?,
                None => worst_cylinder(&Answers::to(&project.question())),
            };
            (Arc::new(project), place)
        }
    };
    if project.is_some() && !fits(&lesson, &base, cylinder) {
        return Err(Failure::engine(format!(
            "the lesson ‘{}’ does not work on {}: it needs dimensions, limits or a construction that this engine does \
             not have; without a project the lesson's own engine is used",
            lesson.title, base.title
        )));
    }
    let stamp = stamp(&base).map_err(Failure::engine)?;
    handout(&lesson, (&base, cylinder), base.units, paper, &stamp, &mut |_, _| true)
        .ok_or_else(|| Failure::engine("the handout was not made"))
}

/// A lesson of the book by its id, or of a file.
fn lesson(name: &str) -> Result<Arc<Lesson>, Failure> {
    if let Some(lesson) = by_id(name) {
        return Ok(Arc::clone(lesson));
    }
    let path = Path::new(name);
    if !path.is_file() {
        let known: Vec<&str> = book().iter().map(|lesson| lesson.id.as_str()).collect();
        return Err(Failure::Call(format!(
            "--lesson {name}: no lesson and no file is called so; there are: {}",
            alternatives(known)
        )));
    }
    let text = read_text(path).map_err(|error| unreadable(path, &error))?;
    Lesson::read(&text).map(Arc::new).map_err(|errors| {
        Failure::Engine(errors.iter().map(|error| format!("{name}: {error}; {}", error.hint())).collect())
    })
}
