//! `crowndeck check`.

use super::args::CheckArgs;
use super::failure::Failure;
use super::input::{Input, Reader, unreadable};
use super::output::print;
use crate::engine::Key;
use crate::engine::solid::SolidFault;
use crate::lesson::is_lesson;
use crate::project::{Project, from_visible_text, read_text};
use crate::scene::cylinder::parts_input;
use crate::schema::bounds::first_messages;
use crate::study::plausible::question;
use crate::study::{Answers, Subject};

/// Answers `check`: what is questioned goes to standard output, one line each.
///
/// # Errors
/// When the project can't be read, contradicts itself, or describes an engine
/// that can't exist; all of it at once.
pub(super) fn run(args: &CheckArgs) -> Result<(), Failure> {
    let text = read_text(&args.project).map_err(|error| unreadable(&args.project, &error))?;
    if is_lesson(&text) {
        return super::check_lesson::report(&args.project, &text);
    }
    let project = from_visible_text(&text).map_err(|error| unreadable(&args.project, &error))?;
    // What contradicts itself was refused there; what is left are remarks.
    let mut remarks: Vec<String> = project.check().iter().map(|f| format!("{f}; {}", f.hint)).collect();
    let input = Input::of_project(&project);
    let answers = Answers::to(&input.question);
    let faults = input.faults(&answers);
    remarks.extend(questions(&project, &input, &answers));
    remarks = first_messages(remarks);
    let mut text: String = remarks.iter().map(|line| format!("{line}\n")).collect();
    if remarks.is_empty() && faults.is_empty() {
        let cylinders = input.question.cylinders.len();
        let noun = if cylinders == 1 { "cylinder" } else { "cylinders" };
        text = format!("Nothing found in {cylinders} {noun}. Then measure again.\n");
    }
    print(&text, Reader::Terminal)?;
    if faults.is_empty() { Ok(()) } else { Err(Failure::Engine(faults)) }
}

/// Severity of a verdict that says nothing to look at.
const INSIDE: u8 = 0;

/// Everything that a sheet says to look at: values as typed that look like a
/// slip, readings and parts that stand out, limits that are broken, may be or
/// can't be judged, shapes that can't be drawn as wished, cautions that the
/// figures call for; each once with all that it is about.
fn questions(project: &Project, input: &Input, answers: &Answers) -> Vec<String> {
    let slips = (0..project.engine.cylinders.len()).flat_map(|cylinder| {
        Key::all().filter_map(move |key| {
            let (entry, _) = project.engine.entry(cylinder, key)?;
            Some((Subject::Cylinder(cylinder), question(key, &entry.value)?.text))
        })
    });
    let judged = answers
        .judged()
        .filter(|judged| judged.verdict.severity() > INSIDE)
        .map(|judged| (judged.subject, judged.sentence(&input.units)));
    let looked = (0..input.question.cylinders.len()).flat_map(|cylinder| {
        // Values as typed were questioned above, with the text as it was typed.
        let questioned = answers.cylinders.get(cylinder).map_or(&[][..], |c| &c.questioned);
        let texts = answers.to_look_at(cylinder, &input.units).into_iter();
        let others = texts.filter(move |text| questioned.iter().all(|q| q.text != *text));
        others.map(move |text| (Subject::Cylinder(cylinder), text))
    });
    let solved = |cylinder: usize| Some((cylinder, answers.cylinders.get(cylinder)?.solved()?));
    let of_cylinders = || (0..input.question.cylinders.len()).filter_map(solved);
    let shapes = of_cylinders().flat_map(|(cylinder, solved)| {
        let faults = match parts_input(&project.engine, &solved.engine) {
            Ok((_, faults)) => faults,
            Err(fault) => vec![fault],
        };
        let told = move |fault: SolidFault| {
            (Subject::Cylinder(cylinder), format!("drawn otherwise than wished: {fault}"))
        };
        faults.into_iter().map(told)
    });
    let cautions = of_cylinders().flat_map(|(cylinder, solved)| {
        solved.cautions.iter().map(move |caution| (Subject::Cylinder(cylinder), caution.text.to_owned()))
    });
    let rings = project.ring_study();
    let rings = rings.warnings.iter().map(|warning| (Subject::Engine, warning.sentence()));
    let mut lines: Vec<(Vec<Subject>, String)> = Vec::new();
    for (subject, text) in slips.chain(looked).chain(judged).chain(shapes).chain(cautions).chain(rings) {
        match lines.iter_mut().find(|(_, of)| *of == text) {
            Some((subjects, _)) => subjects.push(subject),
            None => lines.push((vec![subject], text)),
        }
    }
    lines.into_iter().map(|(subjects, text)| format!("{}: {text}", input.subjects(&subjects))).collect()
}
