//! The handout of a lesson: its steps with the engine as each shows it, what
//! is to be done and asked, room to write; the answers apart at the end.
//! Every number comes from the engine of the lesson.

use super::flow::{Figure, Item, Sheet};
use super::lesson_picture::{flagged, is_wide, step_picture};
use super::paper::{Paper, Stamp};
use super::title_block::TitleBlock;
use crate::drawing::page::{Document, Page};
use crate::lesson::words::Text;
use crate::lesson::{Lesson, Moment, Scene, Setup, Step, Task, begin, done};
use crate::project::Project;
use crate::quantity::UnitChoice;
use crate::report::section::{Note, Weight};
use kurbo::Size;
use std::sync::Arc;

/// Height of a picture of a lying cylinder, of any other, mm.
const LYING: f64 = 66.0;
const STANDING: f64 = 108.0;
/// A step begins where there is room for its heading, its picture and the
/// first lines of text.
const WORDS: f64 = 22.0;
/// A question with its choices, or a line to write on.
const TASK: f64 = 32.0;

/// One step on the engine as it then stands.
struct Played<'a> {
    number: usize,
    step: &'a Step,
    setup: Setup,
    start: Moment,
    done: Setup,
    after: Moment,
    units: UnitChoice,
}

/// The engine with values shown in these units.
fn in_units(mut setup: Setup, units: UnitChoice) -> Setup {
    setup.project = Arc::new(Project { units, ..(*setup.project).clone() });
    setup
}

impl<'a> Played<'a> {
    fn of(
        lesson: &'a Lesson,
        base: &Arc<Project>,
        cylinder: usize,
        index: usize,
        units: UnitChoice,
    ) -> Option<Self> {
        let step = lesson.steps.get(index)?;
        let setup = in_units(begin(lesson, base, cylinder, index), units);
        let start = Moment::of(Arc::clone(&setup.project));
        let done = done(lesson, &setup, &start, index);
        let after = Moment::of(Arc::clone(&done.project));
        Some(Self { number: index + 1, step, setup, start, done, after, units })
    }

    /// A sentence at the beginning of the step.
    fn first(&self, text: &Text) -> String {
        text.fill(&scene(&self.setup, &self.start, &self.start), &self.units)
    }

    /// A sentence after its task.
    fn then(&self, text: &Text) -> String {
        text.fill(&scene(&self.done, &self.after, &self.start), &self.units)
    }

    fn items(self: &Arc<Self>) -> Vec<Item<'a>> {
        let height = picture_height(&self.setup);
        let mut items = vec![
            Item::Together(height + WORDS),
            Item::Heading(format!("{}  {}", self.number, self.first(&self.step.title))),
        ];
        let own = Arc::clone(self);
        items.push(Item::Figure(Figure {
            least: height,
            most: height,
            draw: Box::new(move |room: Size| {
                step_picture(&own.setup, own.step, &own.start, room).unwrap_or_default()
            }),
        }));
        let flags: Vec<String> = flagged(self.step)
            .enumerate()
            .filter_map(|(number, (index, _))| {
                let (_, text) = self.step.look.get(index)?;
                Some(format!("{}: {}", number + 1, self.first(text)))
            })
            .collect();
        if !flags.is_empty() {
            items.push(Item::Text(format!("{}.", flags.join("; "))));
        }
        items.extend(self.step.says.iter().map(|text| Item::Text(self.first(text))));
        let cautions: Vec<Note> = self
            .step
            .beside
            .iter()
            .map(|caution| Note { weight: Weight::Standing, text: caution.text.to_owned() })
            .collect();
        if !cautions.is_empty() {
            items.push(Item::Cautions(cautions));
        }
        match &self.step.task {
            Task::Read => {}
            Task::Todo(todo) => {
                items.push(Item::Together(TASK));
                items.push(Item::Text(format!("Your turn: {}", self.first(&todo.says))));
                items.push(Item::Text("What did you see?".to_owned()));
                items.push(Item::Lines(1));
            }
            Task::Ask(question) => {
                let choices = question
                    .choices
                    .iter()
                    .zip('a'..)
                    .map(|(choice, letter)| format!("{letter})  {}", self.first(&choice.says)));
                let lines: Vec<String> = std::iter::once(format!("Question: {}", self.first(&question.asks)))
                    .chain(choices)
                    .collect();
                items.push(Item::Together(TASK));
                items.push(Item::Text(lines.join("\n")));
            }
        }
        items
    }

    /// What is right, and what is said to the rest.
    fn answer(&self) -> Option<String> {
        let number = self.number;
        match &self.step.task {
            Task::Read => None,
            Task::Todo(todo) => {
                let well = self.then(&todo.well);
                Some(format!("{number}  {}", if well.is_empty() { "Done." } else { &well }))
            }
            Task::Ask(question) => {
                let mut lines = Vec::new();
                for (choice, letter) in question.choices.iter().zip('a'..) {
                    let mark = if choice.right { "right" } else { "not" };
                    lines.push((!choice.right, format!("{letter}) {mark}: {}", self.first(&choice.answer))));
                }
                lines.sort_by_key(|(wrong, _)| *wrong);
                let lines: Vec<String> = lines.into_iter().map(|(_, words)| words).collect();
                Some(format!("{number}  {}", lines.join("\n")))
            }
        }
    }
}

fn picture_height(setup: &Setup) -> f64 {
    if is_wide(setup) { LYING } else { STANDING }
}

fn scene<'a>(setup: &'a Setup, now: &'a Moment, start: &'a Moment) -> Scene<'a> {
    Scene { now, start, cylinder: setup.cylinder, crank_deg: setup.crank_deg, shows: &[] }
}

/// The handout of a lesson on an engine, whose cylinder is counted from 0:
/// its own, or one that it fits. `goes_on` is asked before each step with the
/// number of steps made and the number of all; where it says no, there is
/// none.
#[must_use]
pub fn handout(
    lesson: &Lesson,
    (base, cylinder): (&Arc<Project>, usize),
    units: UnitChoice,
    paper: Paper,
    stamp: &Stamp,
    goes_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Document> {
    let mut items = Vec::new();
    let mut answers = Vec::new();
    for index in 0..lesson.steps.len() {
        if !goes_on(index, lesson.steps.len()) {
            return None;
        }
        let played = Arc::new(Played::of(lesson, base, cylinder, index, units)?);
        items.extend(played.items());
        answers.extend(played.answer().map(Item::Text));
    }
    let lead = format!(
        "{}. {} Each picture is drawn to scale, as its bar shows; the circles enlarge as they say. Pictures and figures are \
         those of {}.",
        lesson.about, lesson.for_whom, base.title
    );
    let steps = Sheet {
        title: lesson.title.clone(),
        heading: String::new(),
        lead,
        kind: "Lesson handout",
        scale: String::new(),
        items,
    };
    let answers = Sheet {
        title: format!("{}, answers", lesson.title),
        heading: String::new(),
        lead: "For whoever teaches: keep these pages back. The numbers are those of the steps.".to_owned(),
        kind: "Lesson answers",
        scale: String::new(),
        items: answers,
    };
    let imprint = TitleBlock::of(base, paper, stamp);
    let room = |sheet: &Sheet<'_>| imprint.room(&sheet.title, sheet.kind, "");
    let mut leaves = steps.draft_pages(room(&steps));
    leaves.extend(answers.draft_pages(room(&answers)));
    let sheets = leaves.len();
    let pages: Vec<Page> =
        leaves.into_iter().enumerate().map(|(i, leaf)| imprint.page(leaf, (i + 1, sheets))).collect();
    Some(Document {
        title: format!("{}, lesson handout", lesson.title),
        author: stamp.author.clone(),
        subject: format!("{}, in {} steps, with questions and answers", lesson.about, lesson.steps.len()),
        date: stamp.date,
        pages,
    })
}
