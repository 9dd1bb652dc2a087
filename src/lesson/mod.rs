//! Lessons and the glossary: teaching from data, with every number computed
//! from the engine that is shown.
//!
//! A lesson is a RON file (`script`). Its sentences hold no digits: a number
//! is an expression in braces (`words`), and an expression (`expr`) names
//! facts of the engine at hand (`fact`). [`Lesson::read`] resolves all of it
//! once and says where anything is wrong. [`Run`] plays a lesson on its own
//! copy of an engine; it knows no window, no file and no clock.

mod book;
mod check;
mod error;
mod eval;
pub(crate) mod expr;
pub(crate) mod fact;
mod glossary;
mod lexer;
mod place;
mod plan;
mod progress;
mod run;
pub(crate) mod script;
pub(crate) mod words;

pub use book::book;
pub(crate) use book::{by_id, ids};
pub use check::{Lesson, Task};
pub(crate) use check::{Step, is_lesson};
pub use eval::{Moment, Scene, Shows};
pub use expr::{Expr, Sort};
pub(crate) use glossary::{CurveKind, Stand, Term, TermPicture, place_of_key};
pub use glossary::{find, glossary, in_label, place_of};
pub use place::ScreenPlace;
pub(crate) use place::WindowArea;
pub use plan::{Act, Whom};
pub(crate) use plan::{Setup, begin, done, fits};
pub(crate) use progress::{Mark, Progress};
pub(crate) use run::Reply;
pub use run::Run;
