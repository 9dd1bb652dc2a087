//! The acts of a lesson on its engine, and its rehearsal: each step from its
//! beginning, done as the lesson itself shows it.

use super::check::{Lesson, Step, Task};
use super::eval::{Moment, Scene, Shows, subject};
use super::expr::Expr;
use super::words::Text;
use crate::advise::rings::Stage;
use crate::engine::Key;
use crate::project::{Edit, Origin, Project, Scope};
use crate::quantity::{Kind, Quantity};
use crate::reading;
use crate::schema::Role;
use std::sync::Arc;

/// The cylinders of which a dimension is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whom {
    /// The chosen cylinder, where its present value is stored.
    Chosen,
    /// Every cylinder under the head of the chosen one.
    UnderHead,
    /// This cylinder, from 0.
    Cylinder(usize),
    /// Every cylinder.
    All,
}

/// Something done to the engine or the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// Set a dimension.
    Set {
        /// The cylinders.
        whom: Whom,
        /// The dimension.
        key: Key,
        /// The value.
        to: Expr,
    },
    /// Turn the crank.
    Turn(Expr),
    /// Choose a cylinder, from 0.
    Choose(usize),
    /// Open a view or a panel.
    Open(Shows),
    /// Enter a reading in the chosen cylinder.
    Enter {
        /// The dimension; the deck for that of a trial assembly.
        key: Key,
        /// The position of the reading.
        at: Option<reading::DeckPlace>,
        /// The value that was read.
        to: Expr,
    },
    /// Strike out the outliers among the readings of a dimension.
    Strike(Key),
    /// Enter the gap of a ring, counted from 0, after filing.
    FileRing {
        /// The ring.
        ring: usize,
        /// The gap.
        to: Expr,
    },
    /// Turn a ring gap.
    TurnGap {
        /// The ring whose gap is turned.
        gap: Role,
        /// The angle; `None` for the one that the rule gives.
        to: Option<Expr>,
    },
}

/// The state of a lesson: its engine, and what is chosen and open.
#[derive(Clone, Debug)]
pub struct Setup {
    /// The engine.
    pub project: Arc<Project>,
    /// The chosen cylinder, from 0.
    pub cylinder: usize,
    /// Degrees after piston top dead centre.
    pub crank_deg: f64,
    /// The view of the sheet.
    pub view: Shows,
    /// The panel that was opened in addition.
    pub opened: Option<Shows>,
}

/// Values are set to a millionth of their unit: sums of typed decimals then
/// read as they would be typed.
const FINEST: f64 = 1e6;

impl Act {
    /// Returns the edits that this asks for.
    #[must_use]
    pub fn edits(&self, scene: &Scene<'_>) -> Vec<Edit> {
        match self {
            Self::Set { whom, key, to } => sets(*whom, *key, to, scene),
            Self::Enter { key, at, to } => enters(*key, at.as_ref(), to, scene).into_iter().collect(),
            Self::Strike(key) => strikes(*key, scene),
            Self::FileRing { ring, to } => {
                let label = scene.now.question.cylinders.get(scene.cylinder).map(|c| c.label.as_str());
                let gap = scene.number(to).and_then(|mm| Quantity::of(Kind::Length, rounded(mm)).ok());
                let edit = label.zip(gap).and_then(|(label, gap)| {
                    scene.now.project.gap_edit(*ring, label, Stage::Filed, Some(gap))
                });
                edit.into_iter().collect()
            }
            Self::TurnGap { gap, to } => {
                let to = to.as_ref().map(|to| scene.number(to));
                if to == Some(None) {
                    return Vec::new();
                }
                scene.now.project.turn_gap_edit(*gap, to.flatten()).into_iter().collect()
            }
            Self::Turn(_) | Self::Choose(_) | Self::Open(_) => Vec::new(),
        }
    }
}

fn rounded(value: f64) -> f64 {
    (value * FINEST).round() / FINEST
}

/// Returns the edit that enters the next reading, taken like the last of its
/// kind.
fn enters(key: Key, at: Option<&reading::DeckPlace>, to: &Expr, scene: &Scene<'_>) -> Option<Edit> {
    let project = &scene.now.project;
    let of = subject(key);
    let label = scene.now.question.cylinders.get(scene.cylinder)?.label.clone();
    let value = Quantity::of(key.kind(), rounded(scene.number(to)?)).ok()?;
    let (how, instrument) = project.next_reading(&label, &of, "");
    let mut reading = how.reading(&label, &of, at.cloned());
    let alike = |old: &reading::Reading| {
        let taken = (&old.instrument, old.state, &old.shim);
        old.cylinder == label
            && old.of == of
            && old.place.as_ref() == at
            && taken == (&how.instrument, how.state, &how.shim)
    };
    let line = project.readings.iter().position(alike);
    if let Some(reading) = line {
        return Some(Edit::AddValue { reading, value });
    }
    reading.values.push(value.into());
    Some(Edit::AddReading { reading: Box::new(reading), instrument: instrument.map(Box::new) })
}

fn strikes(key: Key, scene: &Scene<'_>) -> Vec<Edit> {
    let Some(input) = scene.now.question.cylinders.get(scene.cylinder) else { return Vec::new() };
    let project = &scene.now.project;
    let all = reading::evaluate(&project.readings, &project.instruments).unwrap_or_default();
    let own = all.into_iter().filter(|e| e.cylinder == input.label && e.of == subject(key));
    let odd = own.flat_map(|e| e.odd).filter(|odd| odd.kept.is_none());
    let strike = |odd: reading::Outlier| Edit::StrikeValue {
        reading: odd.reading,
        value: odd.value,
        reason: Some(odd.cause.reason().to_owned()),
    };
    odd.map(strike).collect()
}

/// Returns the edits that set one dimension of one or of several cylinders.
fn sets(whom: Whom, key: Key, to: &Expr, scene: &Scene<'_>) -> Vec<Edit> {
    let engine = &scene.now.project.engine;
    let label = |i: usize| engine.cylinders.get(i).map(|c| c.label.clone());
    let own = |i: usize| label(i).map(Scope::Cylinder);
    let scopes: Vec<(usize, Scope)> = match whom {
        Whom::Chosen => {
            let is_own = engine.entry(scene.cylinder, key).is_some_and(|(_, o)| o == Origin::Own);
            let scope = if is_own { own(scene.cylinder) } else { Some(Scope::Nominal) };
            scope.map(|scope| (scene.cylinder, scope)).into_iter().collect()
        }
        Whom::Cylinder(i) => own(i).map(|scope| (i, scope)).into_iter().collect(),
        Whom::UnderHead => {
            let head = engine.cylinders.get(scene.cylinder).map_or("", |c| c.head.as_str());
            engine.under_head(head).filter_map(|i| Some((i, own(i)?))).collect()
        }
        Whom::All => (0..engine.cylinders.len()).filter_map(|i| Some((i, own(i)?))).collect(),
    };
    let edit = |(cylinder, scope): (usize, Scope)| {
        let value = rounded(Scene { cylinder, ..*scene }.number(to)?);
        let known = engine.entry(cylinder, key).map_or_else(Default::default, |(entry, _)| entry.known);
        Some(Edit::SetDimension { scope, key, value: Quantity::of(key.kind(), value).ok()?, known })
    };
    scopes.into_iter().filter_map(edit).collect()
}

impl Setup {
    /// Returns the open views and panels, for an expression.
    #[must_use]
    pub fn shows(&self) -> Vec<Shows> {
        std::iter::once(self.view).chain(self.opened).collect()
    }

    /// Returns the state before the first step.
    fn first(lesson: &Lesson, base: &Arc<Project>, cylinder: usize) -> Self {
        let project = Arc::clone(base);
        Self { project, cylinder, crank_deg: 0.0, view: Shows::Section, opened: None }
            .after(&lesson.set, None)
    }

    fn scene<'a>(&self, now: &'a Moment, start: &'a Moment, shows: &'a [Shows]) -> Scene<'a> {
        Scene { now, start, cylinder: self.cylinder, crank_deg: self.crank_deg, shows }
    }

    /// Returns the state after some acts. `start` is the moment that the
    /// expressions call so.
    fn after(mut self, acts: &[Act], start: Option<&Moment>) -> Self {
        for act in acts {
            let now = Moment::of(Arc::clone(&self.project));
            let shows = self.shows();
            let scene = self.scene(&now, start.unwrap_or(&now), &shows);
            match act {
                Act::Turn(angle) => self.crank_deg = scene.number(angle).unwrap_or(self.crank_deg),
                Act::Choose(cylinder) => self.cylinder = *cylinder,
                Act::Open(shows @ (Shows::Section | Shows::Towers)) => self.view = *shows,
                Act::Open(shows) => self.opened = Some(*shows),
                _ => {
                    let mut project = (*self.project).clone();
                    for edit in act.edits(&scene) {
                        // What can't be done leaves the engine; the rehearsal
                        // then finds the task undone.
                        project = edit.apply(&project).unwrap_or(project);
                    }
                    self.project = Arc::new(project);
                }
            }
        }
        self
    }

    fn for_step(mut self, step: &Step) -> Self {
        self.opened = None;
        if let Some(view) = step.view {
            self.view = view;
        }
        self.after(&step.set, None)
    }
}

/// Returns the state when a step begins, counted from 0: all steps before it
/// done as the lesson shows them.
#[must_use]
pub(crate) fn begin(lesson: &Lesson, base: &Arc<Project>, cylinder: usize, step: usize) -> Setup {
    let mut setup = Setup::first(lesson, base, cylinder);
    for (index, own) in lesson.steps.iter().enumerate().take(step + 1) {
        setup = setup.for_step(own);
        if index < step
            && let Task::Todo(todo) = &own.task
        {
            let start = Moment::of(Arc::clone(&setup.project));
            setup = setup.after(&todo.show, Some(&start));
        }
    }
    setup
}

/// Returns the state when a step that began so was done as the lesson shows it.
#[must_use]
pub(crate) fn done(lesson: &Lesson, setup: &Setup, start: &Moment, step: usize) -> Setup {
    match lesson.steps.get(step).map(|step| &step.task) {
        Some(Task::Todo(todo)) => setup.clone().after(&todo.show, Some(start)),
        _ => setup.clone(),
    }
}

/// Plays a lesson through on an engine.
///
/// # Errors
/// The place and the reason why it does not work there: a value that is not
/// there, a task that is done before it begins or not by what is shown.
pub(crate) fn rehearse(
    lesson: &Lesson,
    base: &Arc<Project>,
    cylinder: usize,
) -> Result<(), (String, String)> {
    let mut setup = Setup::first(lesson, base, cylinder);
    for (index, step) in lesson.steps.iter().enumerate() {
        let at = |what: &str| format!("step {}{what}", index + 1);
        setup = setup.for_step(step);
        let start = Moment::of(Arc::clone(&setup.project));
        let shows = setup.shows();
        let scene = setup.scene(&start, &start, &shows);
        let complete = |what: &str, texts: &[&Text], scene: &Scene<'_>| {
            let missing = texts.iter().flat_map(|text| text.values()).any(|expr| scene.value(expr).is_none());
            if missing { Err((at(what), "a value is not there for this engine".to_owned())) } else { Ok(()) }
        };
        complete(", title", &[&step.title], &scene)?;
        complete(", says", &step.says.iter().collect::<Vec<_>>(), &scene)?;
        complete(", look", &step.look.iter().map(|(_, text)| text).collect::<Vec<_>>(), &scene)?;
        match &step.task {
            Task::Read => {}
            Task::Ask(question) => {
                let choices = question.choices.iter().flat_map(|choice| [&choice.says, &choice.answer]);
                complete(", task", &choices.chain([&question.asks]).collect::<Vec<_>>(), &scene)?;
            }
            Task::Todo(todo) => {
                complete(", task", &[&todo.says, &todo.waiting, &todo.hint], &scene)?;
                if scene.holds(&todo.done) {
                    return Err((at(""), "the task is done before it begins".into()));
                }
                if let Some(wrong) = todo.wrong.iter().find(|wrong| scene.holds(&wrong.when)) {
                    let what = format!(
                        "a mistake is told before it is made: ‘{}’",
                        wrong.says.fill(&scene, &Default::default())
                    );
                    return Err((at(", wrong"), what));
                }
                for (number, wrong) in todo.wrong.iter().enumerate() {
                    let setup = setup.clone().after(&wrong.by, Some(&start));
                    let after = Moment::of(Arc::clone(&setup.project));
                    let shows = setup.shows();
                    let scene = setup.scene(&after, &start, &shows);
                    let told = todo.wrong.iter().position(|wrong| scene.holds(&wrong.when));
                    let place = format!(", wrong {}", number + 1);
                    if told != Some(number) {
                        return Err((at(&place), "what ‘by’ does is not this mistake".into()));
                    }
                    if scene.holds(&todo.done) {
                        return Err((at(&place), "the mistake does what the task asks".into()));
                    }
                    complete(&place, &[&wrong.says], &scene)?;
                }
                setup = setup.after(&todo.show, Some(&start));
                let after = Moment::of(Arc::clone(&setup.project));
                let shows = setup.shows();
                let scene = setup.scene(&after, &start, &shows);
                if !scene.holds(&todo.done) {
                    return Err((at(""), "what ‘show’ does is not what ‘done’ asks".into()));
                }
                complete(", well", &[&todo.well], &scene)?;
            }
        }
    }
    Ok(())
}

/// Returns whether a lesson works on a copy of this engine.
#[must_use]
pub(crate) fn fits(lesson: &Lesson, project: &Arc<Project>, cylinder: usize) -> bool {
    lesson.own.contains(&project.engine.construction) && rehearse(lesson, project, cylinder).is_ok()
}
