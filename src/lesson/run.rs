//! Playing of a lesson.

use super::check::{Lesson, Step, Task};
use super::eval::{Moment, Scene};
use super::plan::{Act, Setup, begin};
use super::words::Text;
use crate::project::Project;
use crate::quantity::UnitChoice;
use std::sync::Arc;

/// A lesson being played on a copy of an engine.
#[derive(Clone, Debug)]
pub struct Run {
    lesson: Arc<Lesson>,
    base: Arc<Project>,
    base_cylinder: usize,
    own: bool,
    step: usize,
    start: Moment,
    /// The chosen cylinder and the crank angle when the step began.
    began: (usize, f64),
    /// Whether the task of this step was done.
    done: bool,
    /// Number of steps that were done, up to this one.
    reached: usize,
    /// The choices that were tried in this step, in order.
    tried: Vec<usize>,
}

/// The texts of a step at this moment, all values filled in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reply {
    /// The thought in a few words.
    pub title: String,
    /// Its sentences.
    pub says: Vec<String>,
    /// Texts of the flags, in the order of the places.
    pub flags: Vec<String>,
    /// The task or the question; empty where there is none.
    pub task: String,
    /// What it waits for, or the reply now that it is done.
    pub state: String,
    /// The reply to a mistake that is still made.
    pub wrong: Option<String>,
    /// A hint; may be empty.
    pub hint: String,
    /// The choices of a question, with the reply to each that was tried.
    pub choices: Vec<(String, Option<String>)>,
}

impl Run {
    /// Begins a lesson at a step: on its own engine, or on a copy of the
    /// reader's (`own`), whose chosen cylinder is given.
    #[must_use]
    pub fn begin(lesson: Arc<Lesson>, own: Option<(Arc<Project>, usize)>, step: usize) -> (Self, Setup) {
        let is_own = own.is_some();
        let (base, cylinder) = own.unwrap_or_else(|| (Arc::clone(&lesson.engine), lesson.cylinder));
        let step = step.min(lesson.steps.len().saturating_sub(1));
        let setup = begin(&lesson, &base, cylinder, step);
        let start = Moment::of(Arc::clone(&setup.project));
        let run = Self {
            lesson,
            base,
            base_cylinder: cylinder,
            own: is_own,
            step,
            start,
            began: (setup.cylinder, setup.crank_deg),
            done: false,
            reached: step,
            tried: Vec::new(),
        };
        (run, setup)
    }

    /// Returns the lesson.
    #[must_use]
    pub fn lesson(&self) -> &Lesson {
        &self.lesson
    }

    /// Returns whether it works on a copy of the reader's engine.
    #[must_use]
    pub fn is_own(&self) -> bool {
        self.own
    }

    /// Returns the step, from 0.
    #[must_use]
    pub fn step(&self) -> usize {
        self.step
    }

    /// Returns the step's content.
    #[must_use]
    pub fn now(&self) -> Option<&Step> {
        self.lesson.steps.get(self.step)
    }

    /// Returns how many steps were done.
    #[must_use]
    pub fn reached(&self) -> usize {
        self.reached
    }

    /// Returns the engine when the step began.
    #[must_use]
    pub fn start(&self) -> &Moment {
        &self.start
    }

    /// Returns whether this is the last step.
    #[must_use]
    pub fn is_last(&self) -> bool {
        self.step + 1 >= self.lesson.steps.len()
    }

    /// Returns whether the step lets the reader go on.
    #[must_use]
    pub fn may_go_on(&self) -> bool {
        self.done || self.step < self.reached || self.now().is_none_or(|step| matches!(step.task, Task::Read))
    }

    /// Returns whether the step has a task and it was done.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.done
    }

    /// Goes to another step, which begins as if all before it had been done
    /// as the lesson shows them.
    pub fn go_to(&mut self, step: usize) -> Setup {
        self.step = step.min(self.lesson.steps.len().saturating_sub(1));
        self.reached = self.reached.max(self.step);
        self.done = false;
        self.tried.clear();
        let setup = begin(&self.lesson, &self.base, self.base_cylinder, self.step);
        self.start = Moment::of(Arc::clone(&setup.project));
        self.began = (setup.cylinder, setup.crank_deg);
        setup
    }

    /// Checks whether the task is done now, and returns whether that is new. A
    /// task that was done stays done.
    pub fn look(&mut self, scene: &Scene<'_>) -> bool {
        let is_new = !self.done
            && match self.now().map(|step| &step.task) {
                Some(Task::Todo(todo)) => scene.holds(&todo.done),
                _ => false,
            };
        self.done |= is_new;
        is_new
    }

    /// Takes a choice of the question and returns whether it was the right one.
    pub fn choose(&mut self, choice: usize) -> bool {
        let right = match self.now().map(|step| &step.task) {
            Some(Task::Ask(question)) => question.choices.get(choice).is_some_and(|choice| choice.right),
            _ => false,
        };
        if !self.tried.contains(&choice) {
            self.tried.push(choice);
        }
        self.done |= right;
        right
    }

    /// Returns the last choice that was tried.
    #[must_use]
    pub fn last_choice(&self) -> Option<usize> {
        self.tried.last().copied()
    }

    /// Returns the acts that do the task, for a reader who asks to be shown.
    #[must_use]
    pub fn shown_acts(&self) -> &[Act] {
        match self.now().map(|step| &step.task) {
            Some(Task::Todo(todo)) => &todo.show,
            _ => &[],
        }
    }

    /// Returns the texts of the step, in these units. The thought, the task,
    /// its hint and a question refer to the engine as the step began; what is
    /// waited for, the reply to a mistake and the flags follow it.
    #[must_use]
    pub fn said(&self, scene: &Scene<'_>, units: &UnitChoice) -> Reply {
        let Some(step) = self.now() else { return Reply::default() };
        let fill = |text: &Text| text.fill(scene, units);
        let (cylinder, crank_deg) = self.began;
        let began = Scene { now: &self.start, start: &self.start, cylinder, crank_deg, shows: scene.shows };
        let told = |text: &Text| text.fill(&began, units);
        let mut said = Reply {
            title: told(&step.title),
            says: step.says.iter().map(told).collect(),
            flags: step.look.iter().map(|(_, text)| fill(text)).collect(),
            ..Reply::default()
        };
        match &step.task {
            Task::Read => {}
            Task::Todo(todo) => {
                said.task = told(&todo.says);
                said.state = if self.done { fill(&todo.well) } else { fill(&todo.waiting) };
                if self.done && said.state.is_empty() {
                    said.state = "Done.".into();
                }
                if !self.done {
                    let made = todo.wrong.iter().find(|wrong| scene.holds(&wrong.when));
                    said.wrong = made.map(|wrong| fill(&wrong.says));
                }
                said.hint = told(&todo.hint);
            }
            Task::Ask(question) => {
                said.task = told(&question.asks);
                let choices = question.choices.iter().enumerate().map(|(i, choice)| {
                    (told(&choice.says), self.tried.contains(&i).then(|| told(&choice.answer)))
                });
                said.choices = choices.collect();
            }
        }
        said
    }
}

#[cfg(test)]
mod tests {
    use super::super::book;
    use super::*;

    fn scene<'a>(run: &'a Run, now: &'a Moment, setup: &Setup) -> Scene<'a> {
        Scene { now, start: run.start(), cylinder: setup.cylinder, crank_deg: setup.crank_deg, shows: &[] }
    }

    #[test]
    fn a_step_waits_until_it_is_done_and_then_stays_done() {
        let lesson = Arc::clone(&book()[0]);
        let sets = |step: &Step| match &step.task {
            Task::Todo(todo) => matches!(todo.show[..], [Act::Set { .. }]),
            _ => false,
        };
        let step = lesson.steps.iter().position(sets).expect("a task for the engine");
        let (mut run, setup) = Run::begin(lesson, None, step);
        let before = Moment::of(Arc::clone(&setup.project));
        let at = scene(&run, &before, &setup);
        let said = run.said(&at, &UnitChoice::default());
        assert!(!said.task.is_empty() && !said.title.is_empty());
        assert!(!run.look(&Scene { start: &before, ..scene(&run.clone(), &before, &setup) }));
        assert!(!run.may_go_on());
        let mut project = (*setup.project).clone();
        let copy = run.clone();
        for act in copy.shown_acts() {
            let moment = Moment::of(Arc::new(project.clone()));
            for edit in act.edits(&scene(&copy, &moment, &setup)) {
                project = edit.apply(&project).unwrap();
            }
        }
        let after = Moment::of(Arc::new(project));
        assert!(run.look(&scene(&copy, &after, &setup)));
        assert!(run.may_go_on());
        // Taken back, it stays done.
        assert!(!run.look(&scene(&copy, &before, &setup)));
        assert!(run.is_done());
    }

    #[test]
    fn a_question_is_answered_and_only_the_right_choice_goes_on() {
        let lesson = Arc::clone(&book()[0]);
        let (step, right) = lesson
            .steps
            .iter()
            .enumerate()
            .find_map(|(i, step)| match &step.task {
                Task::Ask(question) => Some((i, question.choices.iter().position(|c| c.right)?)),
                _ => None,
            })
            .expect("a question");
        let (mut run, setup) = Run::begin(lesson, None, step);
        let wrong = usize::from(right == 0);
        assert!(!run.choose(wrong) && !run.may_go_on());
        assert_eq!(run.last_choice(), Some(wrong));
        assert!(run.choose(right) && run.may_go_on());
        let now = Moment::of(setup.project);
        let scene = Scene { now: &now, start: &now, cylinder: 0, crank_deg: 0.0, shows: &[] };
        let said = run.said(&scene, &UnitChoice::default());
        assert!(said.choices[wrong].1.is_some() && said.choices[right].1.is_some());
    }
}
