//! Reads a lesson file into a lesson: every expression parsed, every name
//! resolved, every caution found. All errors are reported at once.

use super::error::{LessonError, TextError};
use super::eval::Shows;
use super::expr::{Expr, Sort};
use super::place::ScreenPlace;
use super::plan::{self, Act, Whom};
use super::script::{ActFile, ChoiceFile, EngineFile, FORMAT, LessonFile, StepFile, TaskFile, WrongFile};
use super::words::Text;
use crate::engine::Key;
use crate::project::{Construction, Project, demos, syntax, text};
use crate::schema::Role;
use crate::schema::bounds::{self, alternatives, grouped};
use crate::study::cautions::{self, Caution};
use std::sync::Arc;

/// A lesson that was read and found sound.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// A short name, by which progress is kept.
    pub id: String,
    /// The title.
    pub title: String,
    /// The subject, in one sentence.
    pub about: String,
    /// What the reader must know before.
    pub for_whom: String,
    /// Approximate duration, minutes.
    pub minutes: u32,
    /// The engine that it works on.
    pub engine: Arc<Project>,
    /// The cylinder that is shown at the beginning, from 0.
    pub cylinder: usize,
    /// Constructions of a reader's engine on which it works.
    pub own: Vec<Construction>,
    /// Changes of the engine before the first step.
    pub set: Vec<Act>,
    /// The steps; at least one.
    pub steps: Vec<Step>,
}

/// One step.
#[derive(Clone, Debug)]
pub struct Step {
    /// The thought in a few words.
    pub title: Text,
    /// Its sentences.
    pub says: Vec<Text>,
    /// The view of the sheet; `None` for the one before.
    pub view: Option<Shows>,
    /// What it refers to, with the text of its flag.
    pub look: Vec<(ScreenPlace, Text)>,
    /// Changes before it begins.
    pub set: Vec<Act>,
    /// Cautions that belong here.
    pub beside: Vec<&'static Caution>,
    /// The reader's task.
    pub task: Task,
}

/// The reader's task in a step.
#[derive(Clone, Debug)]
pub enum Task {
    /// Read.
    Read,
    /// Change something.
    Todo(Todo),
    /// Answer a question.
    Ask(QuizQuestion),
}

/// Something to change.
#[derive(Clone, Debug)]
pub struct Todo {
    /// The task.
    pub says: Text,
    /// The condition under which it is done.
    pub done: Expr,
    /// What it waits for.
    pub waiting: Text,
    /// The reply when it is done.
    pub well: Text,
    /// A hint after a while.
    pub hint: Text,
    /// Typical mistakes with the reply to each.
    pub wrong: Vec<Wrong>,
    /// The acts that do it.
    pub show: Vec<Act>,
}

/// A typical mistake.
#[derive(Clone, Debug)]
pub struct Wrong {
    /// The condition under which it was made.
    pub when: Expr,
    /// The reply to it.
    pub says: Text,
    /// The acts that make it.
    pub by: Vec<Act>,
}

/// A question with choices, one of them right.
#[derive(Clone, Debug)]
pub struct QuizQuestion {
    /// The question.
    pub asks: Text,
    /// The choices.
    pub choices: Vec<AnswerChoice>,
}

/// A choice.
#[derive(Clone, Debug)]
pub struct AnswerChoice {
    /// The choice.
    pub says: Text,
    /// Whether it is right.
    pub right: bool,
    /// The reply to it.
    pub answer: Text,
}

/// Returns whether a file is meant to be a lesson: its first field is `lesson`.
#[must_use]
pub(crate) fn is_lesson(text: &str) -> bool {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines = text.lines().map(|line| line.split("//").next().unwrap_or_default().trim());
    let first = lines.find(|line| !matches!(*line, "" | "(")).unwrap_or_default();
    first.trim_start_matches('(').trim_start().starts_with("lesson")
}

impl Lesson {
    /// Reads the text of a lesson file and plays it through on its own
    /// engine.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(text: &str) -> Result<Self, Vec<LessonError>> {
        let lesson = Self::parse(text)?;
        match plan::rehearse(&lesson, &lesson.engine, lesson.cylinder) {
            Ok(()) => Ok(lesson),
            Err((place, what)) => Err(vec![LessonError::Content { place, what }]),
        }
    }

    /// Reads the text of a lesson file without playing it, for one that was
    /// played before.
    ///
    /// # Errors
    /// Everything that is wrong with it, as far as reading tells.
    pub(super) fn parse(text: &str) -> Result<Self, Vec<LessonError>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let file: LessonFile = text::options().from_str(text).map_err(|error| {
            vec![LessonError::Syntax {
                line: error.span.start.line,
                column: error.span.start.col,
                what: syntax::what(&error.code),
            }]
        })?;
        if file.lesson != FORMAT {
            return Err(vec![LessonError::Format { found: file.lesson, newest: FORMAT }]);
        }
        let mut reader = Reader::default();
        let lesson = reader.lesson(&file);
        match lesson {
            Some(lesson) if reader.errors.is_empty() => Ok(lesson),
            _ => Err(reader.errors),
        }
    }
}

/// A reader of a lesson that collects its errors.
#[derive(Default)]
struct Reader {
    names: Vec<(String, Expr)>,
    errors: Vec<LessonError>,
    labels: Vec<String>,
    rings: usize,
    cylinders: usize,
    /// Facts that all expressions together ask for.
    work: usize,
}

impl Reader {
    fn wrong(&mut self, place: &str, what: impl Into<String>) {
        self.errors.push(LessonError::Content { place: place.to_owned(), what: what.into() });
    }

    fn taken<T: Default>(&mut self, place: &str, result: Result<T, TextError>) -> T {
        result.unwrap_or_else(|error| {
            self.wrong(place, error.to_string());
            T::default()
        })
    }

    fn text(&mut self, place: &str, text: &str) -> Text {
        let letters = text.chars().count();
        if letters > bounds::NOTES.most {
            let most = grouped(bounds::NOTES.most);
            self.wrong(place, format!("has {} letters; at most {most} are read", grouped(letters)));
            return Text::default();
        }
        let read = Text::parse(text, &self.names);
        let read = self.taken(place, read);
        for expr in read.values() {
            self.count(place, expr);
        }
        read
    }

    /// Reads a text that must not be empty.
    fn words(&mut self, place: &str, text: &str) -> Text {
        if text.trim().is_empty() {
            self.wrong(place, "is empty");
        }
        self.text(place, text)
    }

    fn expr(&mut self, place: &str, text: &str) -> Option<Expr> {
        match Expr::parse(text, &self.names) {
            Ok(expr) => {
                self.count(place, &expr);
                Some(expr)
            }
            Err(error) => {
                self.wrong(place, error.to_string());
                None
            }
        }
    }

    fn truth(&mut self, place: &str, text: &str) -> Option<Expr> {
        let expr = self.expr(place, text)?;
        if expr.sort == Sort::Truth {
            return Some(expr);
        }
        self.wrong(place, format!("‘{text}’ is a number, and a condition is wanted"));
        None
    }

    fn engine(&mut self, file: &LessonFile) -> Option<Project> {
        match &file.engine {
            EngineFile::Demo(id) | EngineFile::Unread(id) => {
                let demo = demos().iter().find(|demo| demo.id == id);
                let Some(demo) = demo else {
                    let known = alternatives(demos().iter().map(|demo| demo.id));
                    self.wrong("engine", format!("there is no demo ‘{id}’; there are {known}"));
                    return None;
                };
                let mut project = demo.project().ok()?;
                if matches!(file.engine, EngineFile::Unread(_)) {
                    project.readings.clear();
                }
                Some(project)
            }
            EngineFile::Project(project) => {
                for finding in project.check() {
                    self.wrong(&format!("engine, {}", finding.place), finding.what);
                }
                Some((**project).clone())
            }
        }
    }

    fn lesson(&mut self, file: &LessonFile) -> Option<Lesson> {
        for (place, text) in
            [("id", &file.id), ("title", &file.title), ("about", &file.about), ("for_whom", &file.for_whom)]
        {
            if text.trim().is_empty() {
                self.wrong(place, "is empty");
            }
        }
        if !self.size(file) {
            return None;
        }
        let engine = self.engine(file)?;
        self.cylinders = engine.engine.cylinders.len();
        self.rings = engine.rings.len();
        self.labels = engine.engine.cylinders.iter().map(|c| c.label.clone()).collect();
        let cylinder = match &file.cylinder {
            None => Some(0),
            Some(label) => self.cylinder("cylinder", label),
        };
        for (name, text) in &file.names {
            let place = format!("name ‘{name}’");
            let is_name = name.chars().all(|c| c.is_alphanumeric() || c == '_')
                && name.chars().next().is_some_and(char::is_alphabetic);
            if !is_name || Key::from_id(name).is_some() || super::fact::Fact::from_id(name).is_some() {
                self.wrong(&place, "is no name that is free: use letters and underscores");
            }
            if let Some(expr) = self.expr(&place, text) {
                self.names.push((name.clone(), expr));
            }
        }
        if file.steps.is_empty() {
            self.wrong("steps", "there are none");
        }
        let set = self.acts("set", &file.set);
        let steps = file.steps.iter().enumerate().map(|(i, step)| self.step(i + 1, step)).collect();
        Some(Lesson {
            id: file.id.clone(),
            title: file.title.clone(),
            about: file.about.clone(),
            for_whom: file.for_whom.clone(),
            minutes: file.minutes,
            engine: Arc::new(engine),
            cylinder: cylinder?,
            own: file.own.clone(),
            set,
            steps,
        })
    }

    /// Whether the lesson is no longer than any may be. Told before anything
    /// in it is worked out.
    fn size(&mut self, file: &LessonFile) -> bool {
        let parts = |step: &StepFile| {
            let task = match &step.task {
                None => 0,
                Some(TaskFile::Todo { wrong, show, .. }) => {
                    show.len() + wrong.iter().map(|wrong| 1 + wrong.by.len()).sum::<usize>()
                }
                Some(TaskFile::Ask { choices, .. }) => choices.len(),
            };
            step.says.len() + step.look.len() + step.set.len() + step.beside.len() + task
        };
        let count = file.set.len() + file.steps.iter().map(parts).sum::<usize>();
        for (place, count, bound) in [
            ("steps", file.steps.len(), bounds::LESSON_STEPS),
            ("names", file.names.len(), bounds::LESSON_NAMES),
            ("lesson", count, bounds::LESSON_PARTS),
        ] {
            if let Some(what) = bound.exceeded(count) {
                self.wrong(place, what);
            }
        }
        for (place, text) in
            [("id", &file.id), ("title", &file.title), ("about", &file.about), ("for_whom", &file.for_whom)]
        {
            let letters = text.chars().count();
            if letters > bounds::LINE.most {
                let most = bounds::LINE.most;
                self.wrong(place, format!("has {} letters; at most {most} are read", grouped(letters)));
            }
        }
        self.errors.is_empty()
    }

    /// Counts the work of an expression, which a step asks again and again.
    fn count(&mut self, place: &str, expr: &Expr) {
        let before = self.work;
        self.work = before.saturating_add(expr.work(self.cylinders));
        let most = bounds::LESSON_WORK.most;
        if before <= most && self.work > most {
            let what =
                format!("the lesson asks for more than {} facts, each of every cylinder", grouped(most));
            self.wrong(place, what);
        }
    }

    fn cylinder(&mut self, place: &str, label: &str) -> Option<usize> {
        let found = self.labels.iter().position(|known| known == label);
        if found.is_none() {
            let known = alternatives(self.labels.iter().map(String::as_str));
            self.wrong(place, format!("there is no cylinder ‘{label}’; there are {known}"));
        }
        found
    }

    fn step(&mut self, number: usize, file: &StepFile) -> Step {
        let at = |what: &str| format!("step {number}, {what}");
        if !(1..=3).contains(&file.says.len()) {
            self.wrong(&at("says"), format!("has {} paragraphs; use one to three", file.says.len()));
        }
        let look = file.look.iter().filter_map(|look| {
            let place = ScreenPlace::from_id(&look.at);
            if place.is_none() {
                let known = alternatives(ScreenPlace::names());
                let what = format!("‘{}’ is no dimension and no place; places are {known}", look.at);
                self.wrong(&at("look"), what);
            }
            Some((place?, self.text(&at("look"), &look.says)))
        });
        let look = look.collect();
        if let Some(view) = file.view.filter(|view| !matches!(view, Shows::Section | Shows::Towers)) {
            self.wrong(
                &at("view"),
                format!("‘{}’ is no view of the sheet; use section or towers", view.id()),
            );
        }
        let beside = file.beside.iter().filter_map(|id| {
            let found = cautions::all().find(|caution| caution.id == id);
            if found.is_none() {
                self.wrong(&at("beside"), format!("there is no caution ‘{id}’"));
            }
            found
        });
        let beside = beside.collect();
        Step {
            title: self.words(&at("title"), &file.title),
            says: file.says.iter().map(|text| self.words(&at("says"), text)).collect(),
            view: file.view,
            look,
            set: self.acts(&at("set"), &file.set),
            beside,
            task: file.task.as_ref().and_then(|task| self.task(number, task)).unwrap_or(Task::Read),
        }
    }

    fn task(&mut self, number: usize, file: &TaskFile) -> Option<Task> {
        let at = |what: &str| format!("step {number}, {what}");
        match file {
            TaskFile::Todo { says, done, waiting, well, hint, wrong, show } => {
                let says = self.words(&at("says"), says);
                let waiting = self.text(&at("waiting"), waiting);
                let well = self.text(&at("well"), well);
                let hint = self.text(&at("hint"), hint);
                let wrong = wrong.iter().filter_map(|WrongFile { when, says, by }| {
                    let says = self.words(&at("wrong"), says);
                    let by = self.acts(&at("wrong"), by);
                    Some(Wrong { when: self.truth(&at("wrong"), when)?, says, by })
                });
                let wrong = wrong.collect();
                let show = self.acts(&at("show"), show);
                Some(Task::Todo(Todo {
                    done: self.truth(&at("done"), done)?,
                    says,
                    waiting,
                    well,
                    hint,
                    wrong,
                    show,
                }))
            }
            TaskFile::Ask { asks, choices } => {
                let right = choices.iter().filter(|choice| choice.right).count();
                if right != 1 || choices.len() < 2 {
                    self.wrong(
                        &at("choices"),
                        format!("{right} of {} are right; use two or more with one right", choices.len()),
                    );
                }
                let asks = self.words(&at("asks"), asks);
                let choices = choices.iter().map(|ChoiceFile { says, right, answer }| AnswerChoice {
                    says: self.words(&at("choices"), says),
                    right: *right,
                    answer: self.words(&at("answer"), answer),
                });
                Some(Task::Ask(QuizQuestion { asks, choices: choices.collect() }))
            }
        }
    }

    fn acts(&mut self, place: &str, files: &[ActFile]) -> Vec<Act> {
        files.iter().filter_map(|file| self.act(place, file)).collect()
    }

    fn act(&mut self, place: &str, file: &ActFile) -> Option<Act> {
        match file {
            ActFile::Set(key, to) => self.set(place, Whom::Chosen, key, to),
            ActFile::SetUnderHead(key, to) => self.set(place, Whom::UnderHead, key, to),
            ActFile::SetAll(key, to) => self.set(place, Whom::All, key, to),
            ActFile::SetOf(label, key, to) => {
                let cylinder = self.cylinder(place, label)?;
                self.set(place, Whom::Cylinder(cylinder), key, to)
            }
            ActFile::Turn(angle) => {
                let angle = self.expr(place, angle)?;
                if !matches!(angle.sort, Sort::Angle | Sort::Plain) {
                    self.wrong(place, "an angle is wanted to turn the crank to");
                }
                Some(Act::Turn(angle))
            }
            ActFile::Choose(label) => self.cylinder(place, label).map(Act::Choose),
            ActFile::Open(shows) => Some(Act::Open(*shows)),
            ActFile::Enter(key, at, to) => {
                let key = self.key(place, key)?;
                let at = match at {
                    None => None,
                    Some(id) => {
                        let found = super::fact::place(id);
                        if found.is_none() {
                            self.wrong(place, format!("‘{id}’ is no place of a reading"));
                        }
                        Some(found?)
                    }
                };
                let to = self.value_of(place, key, to)?;
                Some(Act::Enter { key, at, to })
            }
            ActFile::Strike(key) => self.key(place, key).map(Act::Strike),
            ActFile::FileRing(ring, to) => {
                let ring = self.ring(place, *ring)?;
                let to = self.length(place, to)?;
                Some(Act::FileRing { ring, to })
            }
            ActFile::TurnGap(ring, to) => {
                let gap = self.gap(place, *ring)?;
                let to = self.expr(place, to)?;
                if to.sort != Sort::Angle {
                    self.wrong(place, "an angle is wanted to turn the gap to");
                }
                Some(Act::TurnGap { gap, to: Some(to) })
            }
            ActFile::GapByRule(ring) => Some(Act::TurnGap { gap: self.gap(place, *ring)?, to: None }),
        }
    }

    fn set(&mut self, place: &str, whom: Whom, key: &str, to: &str) -> Option<Act> {
        let key = self.key(place, key)?;
        let to = self.value_of(place, key, to)?;
        Some(Act::Set { whom, key, to })
    }

    fn key(&mut self, place: &str, key: &str) -> Option<Key> {
        let found = Key::from_id(key);
        if found.is_none() {
            self.wrong(place, format!("‘{key}’ is no dimension"));
        }
        found
    }

    /// Returns the index of a ring in the set, from 0.
    fn ring(&mut self, place: &str, number: usize) -> Option<usize> {
        if (1..=self.rings).contains(&number) {
            return Some(number - 1);
        }
        self.wrong(place, format!("there is no ring {number}; there are {}", self.rings));
        None
    }

    fn gap(&mut self, place: &str, number: usize) -> Option<Role> {
        let ring = self.ring(place, number)?;
        u8::try_from(ring + 1).ok().map(Role::Compression)
    }

    fn length(&mut self, place: &str, text: &str) -> Option<Expr> {
        let expr = self.expr(place, text)?;
        if expr.sort != Sort::Length {
            self.wrong(place, format!("‘{text}’ is no length"));
        }
        Some(expr)
    }

    /// Reads a value that a dimension can have.
    fn value_of(&mut self, place: &str, key: Key, to: &str) -> Option<Expr> {
        let to = self.expr(place, to)?;
        let fits = to.sort.kind() == Some(key.kind())
            || (to.sort == Sort::Plain && to.node == super::expr::Node::Number(0.0));
        if !fits {
            self.wrong(place, format!("{key} is {}, and its value here is not", key.kind().with_article()));
        }
        Some(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOUND: &str = r#"// A comment.
(
    lesson: 1,
    id: "x",
    title: "X",
    about: "What X is",
    for_whom: "Anybody",
    minutes: 3,
    engine: demo("sorrendel-f6"),
    own: [separate_barrels],
    names: [("aim", "start(base_shim) + 0.2 mm")],
    steps: [
        (
            title: "One",
            says: ["The gap is {deck_clearance:size}."],
            look: [(at: "gap", says: "this gap"), (at: "base_shim")],
            beside: ["eyes"],
            task: todo(
                says: "Raise the shim to {aim}.",
                done: "abs(base_shim − aim) < 0.011 mm",
                wrong: [(when: "base_shim < start(base_shim)", says: "That lowers it.", by: [set("base_shim", "0")])],
                show: [set("base_shim", "aim")],
            ),
        ),
        (
            title: "Two",
            says: ["Now the shim is {base_shim}."],
            task: ask(
                asks: "Which?",
                choices: [(says: "This", right: true, answer: "Yes."), (says: "That", answer: "No.")],
            ),
        ),
    ],
)"#;

    #[test]
    fn a_sound_lesson_is_read() {
        let lesson = Lesson::read(SOUND).unwrap();
        assert_eq!((lesson.steps.len(), lesson.cylinder), (2, 0));
        assert!(is_lesson(SOUND));
        assert!(!is_lesson(demos()[0].text));
        assert!(is_lesson("(lesson: 1, damaged"));
    }

    /// What a stranger's lesson may try: names that double, ten thousand
    /// terms, a hundred thousand steps, facts of all cylinders of all
    /// cylinders. Each is refused at once, with its place.
    #[test]
    fn a_lesson_of_any_size_is_refused_in_time() {
        let doubling: String =
            (1..=22).map(|i| format!("(\"n{i}\", \"n{} + n{}\"), ", i - 1, i - 1)).collect();
        let names = format!("names: [(\"n0\", \"base_shim\"), {doubling} (\"aim\"");
        let terms = format!("(\"aim\", \"start(base_shim) {} \")", "+ 0.1 mm".repeat(10_000));
        let step = "(title: \"T\", says: [\"S\"]),";
        let steps = format!("steps: [{}", step.repeat(100_000));
        let nested = format!("(\"aim\", \"{}start(base_shim)+0.2 mm{}\")", "least(".repeat(9), ")".repeat(9));
        for (from, to, told) in [
            ("names: [(\"aim\"", names.as_str(), "this has more than 1,000 operations"),
            ("(\"aim\", \"start(base_shim) + 0.2 mm\")", &terms, "this has more than 1,000 operations"),
            ("steps: [", &steps, "steps: has 100,002 steps of a lesson; at most 200 are read"),
            ("(\"aim\", \"start(base_shim) + 0.2 mm\")", &nested, "the lesson asks for more than"),
        ] {
            assert!(SOUND.contains(from), "{from}");
            let start = std::time::Instant::now();
            let errors = Lesson::read(&SOUND.replacen(from, to, 1)).unwrap_err();
            assert!(
                errors.iter().any(|error| error.to_string().contains(told)),
                "{told}\n{:?}",
                errors.first()
            );
            assert!(start.elapsed().as_secs() < 2, "{told}: {:?}", start.elapsed());
        }
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        for (from, to, told) in [
            ("lesson: 1", "lesson: 2", "the lesson has format 2, and this program reads 1"),
            ("minutes: 3", "minuets: 3", "line 8, column 5: ‘minuets’ is not known here"),
            ("sorrendel-f6", "nobody", "engine: there is no demo ‘nobody’; there are tarnbeck-ft62"),
            (
                "\"gap\"",
                "\"gasp\"",
                "step 1, look: ‘gasp’ is no dimension and no place; places are dimensions",
            ),
            ("\"eyes\"", "\"ears\"", "step 1, beside: there is no caution ‘ears’"),
            ("{deck_clearance:size}", "1.10 mm", "step 1, says: column 12: ‘1’ is typed"),
            ("0.011 mm", "0.011", "step 1, done: column 24: a number without unit stands against a length"),
            ("\"Two\"", "\"\"", "step 2, title: is empty"),
            (", right: true", "", "step 2, choices: 0 of 2 are right; use two or more with one right"),
            (
                "set(\"base_shim\", \"aim\")",
                "set(\"base_shim\", \"3 cc\")",
                "step 1, show: base_shim is a length",
            ),
            (
                "set(\"base_shim\", \"aim\")",
                "set(\"base_shim\", \"0\")",
                "step 1: what ‘show’ does is not what ‘done’ asks",
            ),
            (
                ", by: [set(\"base_shim\", \"0\")]",
                ", by: [set(\"base_shim\", \"aim\")]",
                "step 1, wrong 1: what ‘by’ does is not this mistake",
            ),
            ("+ 0.2 mm", "+ 0 mm", "step 1: the task is done before it begins"),
            ("(\"aim\"", "(\"bore\"", "name ‘bore’: is no name that is free"),
            ("{base_shim}.", "{mockup_deck}.", "step 2, says: a value is not there for this engine"),
        ] {
            assert!(SOUND.contains(from), "{from}");
            let errors = Lesson::read(&SOUND.replacen(from, to, 1)).unwrap_err();
            assert!(errors.iter().any(|error| error.to_string().starts_with(told)), "{told}\n{errors:?}");
        }
    }
}
