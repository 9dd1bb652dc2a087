//! `crowndeck check`.

use super::args::CheckArgs;
use super::failure::Failure;
use super::input::{Input, load};
use super::output::print;
use crate::engine::Key;
use crate::project::Project;
use crate::study::plausible::question;
use crate::study::{Answers, Subject};

/// Answers `check`: what is questioned goes to standard output, one line each.
///
/// # Errors
/// When the project can't be read, contradicts itself, or describes an engine
/// that can't exist; all of it at once.
pub(super) fn run(args: &CheckArgs) -> Result<(), Failure> {
    if let Some(of_lesson) = super::check_lesson::checked(&args.project) {
        return of_lesson;
    }
    // What contradicts itself was refused there; what is left are remarks.
    let project = load(&args.project)?;
    let mut remarks: Vec<String> = project.check().iter().map(|f| format!("{f}; {}", f.hint)).collect();
    let input = Input::of_project(&project);
    let answers = Answers::to(&input.question);
    let faults = input.faults(&answers);
    remarks.extend(questions(&project, &input, &answers));
    let mut text: String = remarks.iter().map(|line| format!("{line}\n")).collect();
    if remarks.is_empty() && faults.is_empty() {
        let cylinders = input.question.cylinders.len();
        let noun = if cylinders == 1 { "cylinder" } else { "cylinders" };
        text = format!("Nothing found in {cylinders} {noun}. Then measure again.\n");
    }
    print(&text)?;
    if faults.is_empty() { Ok(()) } else { Err(Failure::Engine(faults)) }
}

/// Values as typed that look like a slip, readings and parts that stand out,
/// and limits that are broken or may be; each once with all that it is about.
fn questions(project: &Project, input: &Input, answers: &Answers) -> Vec<String> {
    let slips = (0..project.engine.cylinders.len()).flat_map(|cylinder| {
        Key::all().filter_map(move |key| {
            let (entry, _) = project.engine.entry(cylinder, key)?;
            Some((Subject::Cylinder(cylinder), question(key, &entry.value)?.text))
        })
    });
    let judged = answers
        .judged()
        .filter(|judged| judged.verdict.warns())
        .map(|judged| (judged.subject, judged.sentence(&input.units)));
    let looked = (0..input.question.cylinders.len()).flat_map(|cylinder| {
        // Values as typed were questioned above, with the text as it was typed.
        let questioned = answers.cylinders.get(cylinder).map_or(&[][..], |c| &c.questioned);
        let texts = answers.to_look_at(cylinder, &input.units).into_iter();
        let others = texts.filter(move |text| questioned.iter().all(|q| q.text != *text));
        others.map(move |text| (Subject::Cylinder(cylinder), text))
    });
    let mut lines: Vec<(Vec<Subject>, String)> = Vec::new();
    for (subject, text) in slips.chain(looked).chain(judged) {
        match lines.iter_mut().find(|(_, of)| *of == text) {
            Some((subjects, _)) => subjects.push(subject),
            None => lines.push((vec![subject], text)),
        }
    }
    lines.into_iter().map(|(subjects, text)| format!("{}: {text}", input.subjects(&subjects))).collect()
}
