//! The file form of a lesson: RON, checked and resolved by
//! [`Lesson::read`](super::Lesson::read).
//!
//! ```ron
//! (
//!     lesson: 1,
//!     id: "a-name",
//!     title: "What it is called",
//!     about: "What is learnt, in one sentence",
//!     for_whom: "Who has never …",
//!     minutes: 10,
//!     engine: demo("sorrendel-f6"),
//!     cylinder: "1",
//!     own: [separate_barrels],
//!     names: [("aim", "start(base_shim) + 0.2 mm")],
//!     steps: [
//!         (
//!             title: "One thought",
//!             says: ["A sentence with {base_shim}."],
//!             view: section,
//!             look: [(at: "gap", says: "this gap")],
//!             task: todo(
//!                 says: "Raise the shim to {aim}.",
//!                 done: "abs(base_shim − aim) < 0.011 mm",
//!                 waiting: "it is {base_shim}, aim for {aim}",
//!                 hint: "Type it into its field.",
//!                 wrong: [(when: "base_shim < start(base_shim)", says: "That lowers it.", by: [set("base_shim", "0")])],
//!                 show: [set("base_shim", "aim")],
//!             ),
//!         ),
//!     ],
//! )
//! ```

use super::eval::Shows;
use crate::project::{Construction, Project};
use serde::Deserialize;

/// The format that this program reads.
pub(crate) const FORMAT: u32 = 1;

/// A lesson file.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LessonFile {
    /// The number of the format.
    pub lesson: u32,
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
    /// The engine that it works on, always a copy.
    pub engine: EngineFile,
    /// The label of the cylinder that is shown; the first one if absent.
    #[serde(default)]
    pub cylinder: Option<String>,
    /// Constructions of a reader's engine for which the lesson works on a copy
    /// of it; empty for none.
    #[serde(default)]
    pub own: Vec<Construction>,
    /// Changes of the engine before the lesson begins.
    #[serde(default)]
    pub set: Vec<ActFile>,
    /// Names for expressions, each of which may use those before it.
    #[serde(default)]
    pub names: Vec<(String, String)>,
    /// The steps.
    pub steps: Vec<StepFile>,
}

/// The engine of a lesson.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum EngineFile {
    /// A demo project by its id.
    Demo(String),
    /// The same before any reading was taken on it.
    Unread(String),
    /// A whole project, as in a project file.
    Project(Box<Project>),
}

/// One step: one thought.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct StepFile {
    /// The thought in a few words.
    pub title: String,
    /// One to three sentences, as paragraphs.
    pub says: Vec<String>,
    /// The view of the sheet; the one before if absent.
    #[serde(default)]
    pub view: Option<Shows>,
    /// What it refers to.
    #[serde(default)]
    pub look: Vec<LookFile>,
    /// Changes before it begins.
    #[serde(default)]
    pub set: Vec<ActFile>,
    /// Cautions that belong here, by their ids.
    #[serde(default)]
    pub beside: Vec<String>,
    /// The reader's task, if it has one.
    #[serde(default)]
    pub task: Option<TaskFile>,
}

/// Something that a step refers to.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LookFile {
    /// A dimension by its key, or a place by its name.
    pub at: String,
    /// The text of its flag; empty for no flag.
    #[serde(default)]
    pub says: String,
}

/// Something done to the engine or the window.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ActFile {
    /// Set a dimension of the chosen cylinder.
    Set(String, String),
    /// Set a dimension of every cylinder under the head of the chosen one.
    SetUnderHead(String, String),
    /// Set a dimension of the cylinder with this label.
    SetOf(String, String, String),
    /// Set a dimension of every cylinder.
    SetAll(String, String),
    /// Turn the crank.
    Turn(String),
    /// Choose the cylinder with this label.
    Choose(String),
    /// Open a view or a panel.
    Open(Shows),
    /// Enter a reading of a dimension of the chosen cylinder (`mockup_deck`
    /// for the deck, at a place), taken like the last one.
    Enter(String, Option<String>, String),
    /// Strike out the outlying readings of a dimension.
    Strike(String),
    /// Enter the gap of a ring of the chosen cylinder, from 1 at the top,
    /// after filing.
    FileRing(usize, String),
    /// Turn the gap of a compression ring, from 1 at the top.
    TurnGap(usize, String),
    /// Put the gap of a compression ring back to the angle that the rule gives.
    GapByRule(usize),
}

/// A task of the reader.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum TaskFile {
    /// Change something.
    Todo {
        /// The task.
        says: String,
        /// The condition under which it is done.
        done: String,
        /// What it waits for.
        #[serde(default)]
        waiting: String,
        /// The reply when it is done.
        #[serde(default)]
        well: String,
        /// A hint after a while.
        #[serde(default)]
        hint: String,
        /// Typical mistakes with the reply to each; the first that holds.
        #[serde(default)]
        wrong: Vec<WrongFile>,
        /// The acts that do it.
        show: Vec<ActFile>,
    },
    /// Answer a question.
    Ask {
        /// The question.
        asks: String,
        /// The choices.
        choices: Vec<ChoiceFile>,
    },
}

/// A typical mistake.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WrongFile {
    /// The condition under which it was made.
    pub when: String,
    /// The reply to it.
    pub says: String,
    /// The acts that make it: the rehearsal makes every mistake and checks
    /// whether it is answered.
    pub by: Vec<ActFile>,
}

/// A choice of a question.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ChoiceFile {
    /// The choice.
    pub says: String,
    /// Whether it is right; one of them is.
    #[serde(default)]
    pub right: bool,
    /// The reply to it.
    pub answer: String,
}
