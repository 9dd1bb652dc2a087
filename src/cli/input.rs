//! The engine that a call is about: a project or the built-in example, with
//! the values that the call sets.

use super::args::{Settable, Setting, SourceArgs};
use super::failure::{Failure, fault_messages};
use crate::engine::Key;
use crate::project::{self, LoadError, Project, visible};
use crate::quantity::{Quantity, UnitChoice};
use crate::schema::Usage;
use crate::schema::bounds::{alternatives, shortened};
use crate::study::{Answers, CylinderAnswer, CylinderInput, Question, Solved, Subject};
use std::path::Path;

/// Who reads what is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reader {
    /// A person at a terminal: what would steer it is made visible.
    Terminal,
    /// Another program: every text as it is.
    Program,
}

impl Reader {
    /// The reader of an answer as text, or as JSON.
    pub(super) fn of(json: bool) -> Self {
        if json { Self::Program } else { Self::Terminal }
    }
}

/// What a call is about.
pub(super) struct Input {
    /// The name of the engine.
    pub title: String,
    /// The units to write in.
    pub units: UnitChoice,
    /// How hard the engine works, where that is said.
    pub usage: Option<Usage>,
    /// What is asked.
    pub question: Question,
}

impl Input {
    /// From the source of a call.
    ///
    /// # Errors
    /// When the project can't be read or a value can't be used.
    pub(super) fn of(source: &SourceArgs, reader: Reader) -> Result<Self, Failure> {
        let project = match &source.project {
            Some(path) => load(path, reader)?,
            None => project::example(),
        };
        let mut input = Self::of_project(&project);
        input.set(&source.settings)?;
        Ok(input)
    }

    /// From a project as it stands.
    pub(super) fn of_project(project: &Project) -> Self {
        Self {
            title: project.title.clone(),
            units: project.units,
            usage: project.duty.usage,
            question: project.question(),
        }
    }

    /// Sets values in all cylinders; the last one of a dimension counts.
    fn set(&mut self, settings: &[Setting]) -> Result<(), Failure> {
        let mut wrong = Vec::new();
        for Setting { what, text } in settings {
            let done = match what {
                Settable::Dimension(key) => value(*key, text).map(|base| {
                    for cylinder in &mut self.question.cylinders {
                        cylinder.dims.set(*key, Some(base));
                        cylinder.measured.forget(*key);
                    }
                }),
                Settable::Use => usage(text).map(|usage| {
                    self.usage = Some(usage);
                    self.question.build.usage = usage;
                }),
            };
            wrong.extend(done.err());
        }
        self.question.propagate();
        if wrong.is_empty() { Ok(()) } else { Err(Failure::Engine(wrong)) }
    }

    /// The place of the cylinder with this label.
    ///
    /// # Errors
    /// When there is none.
    pub(super) fn cylinder(&self, label: &str) -> Result<usize, Failure> {
        let labels = || self.question.cylinders.iter().map(|c| c.label.as_str());
        let shown = visible(label);
        labels().position(|l| l == label || l == shown).ok_or_else(|| {
            let all = alternatives(labels());
            Failure::Call(format!("--cylinder ‘{label}’: there is no such cylinder; there are: {all}"))
        })
    }

    /// What figures belong to, in words: "engine", "head R", "cylinders 1, 2".
    pub(super) fn subjects(&self, subjects: &[Subject]) -> String {
        let label = |subject: &Subject| match *subject {
            Subject::Engine => None,
            Subject::Head(i) => self.question.heads.get(i).map(|h| h.label.as_str()),
            Subject::Cylinder(i) => self.question.cylinders.get(i).map(|c| c.label.as_str()),
        };
        let noun = match subjects.first() {
            None | Some(Subject::Engine) => return "engine".to_owned(),
            Some(Subject::Head(_)) => "head",
            Some(Subject::Cylinder(_)) => "cylinder",
        };
        let plural = if subjects.len() > 1 { "s" } else { "" };
        let labels: Vec<&str> = subjects.iter().filter_map(label).collect();
        format!("{noun}{plural} {}", labels.join(", "))
    }

    /// The answers, if every cylinder can exist.
    ///
    /// # Errors
    /// All faults of all cylinders.
    pub(super) fn answers(&self) -> Result<Answers, Failure> {
        let answers = Answers::to(&self.question);
        let faults = self.faults(&answers);
        if faults.is_empty() { Ok(answers) } else { Err(Failure::Engine(faults)) }
    }

    /// All faults of all cylinders as messages.
    pub(super) fn faults(&self, answers: &Answers) -> Vec<String> {
        let several = self.question.cylinders.len() > 1;
        let of = |(input, answer): (&CylinderInput, &CylinderAnswer)| match &answer.result {
            Err(faults) => fault_messages(several.then_some(input.label.as_str()), faults),
            Ok(_) => Vec::new(),
        };
        self.question.cylinders.iter().zip(&answers.cylinders).flat_map(of).collect()
    }
}

/// A cylinder of answers that were all possible.
///
/// # Errors
/// When the place is none: the caller has looked it up, so this is not seen.
pub(super) fn solved(answers: &Answers, index: usize) -> Result<&Solved, Failure> {
    answers
        .cylinders
        .get(index)
        .and_then(CylinderAnswer::solved)
        .ok_or_else(|| Failure::engine("the engine has no cylinder; accepted: at least one"))
}

/// Reads a project.
///
/// # Errors
/// When it can't be read: each message says where and what to do.
pub(super) fn load(path: &Path, reader: Reader) -> Result<Project, Failure> {
    let read = match reader {
        Reader::Terminal => project::load_visible(path),
        Reader::Program => project::load(path),
    };
    read.map_err(|error| unreadable(path, &error))
}

/// Why a file can't be read: each message says where and what to do.
pub(super) fn unreadable(path: &Path, error: &LoadError) -> Failure {
    let file = path.display();
    match error {
        LoadError::Content(findings) => {
            Failure::Engine(findings.iter().map(|f| format!("{file}: {f}; {}", f.hint)).collect())
        }
        // It names the file itself.
        LoadError::Io { .. } => Failure::engine(format!("{error}; {}", error.hint())),
        _ => Failure::engine(format!("{file}: {error}; {}", error.hint())),
    }
}

/// The use of the engine that a text names.
fn usage(text: &str) -> Result<Usage, String> {
    let all = Usage::ALL.map(Usage::id).join(", ");
    Usage::from_id(text).ok_or_else(|| format!("use ‘{text}’: there is no such use; accepted: {all}"))
}

/// The value of a dimension in its base unit.
fn value(key: Key, text: &str) -> Result<f64, String> {
    Quantity::parse(key.kind(), text).map(|quantity| quantity.base()).map_err(|error| {
        let not_finite = text.parse::<f64>().is_ok_and(|number| !number.is_finite());
        let name = Key::name(key);
        if not_finite {
            let text = shortened(text);
            format!("{key} ({name}) {text}: it is not a finite number; accepted: a finite number")
        } else {
            let kind = key.kind();
            let text = shortened(text);
            let accepted = format!("{} in {}", kind.with_article(), kind.units_in_words());
            format!("{key} ({name}) ‘{text}’: {error}; accepted: {accepted}; {}", error.hint())
        }
    })
}
