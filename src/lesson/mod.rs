//! Lessons and the glossary: what is taught, from data, with every number
//! computed from the engine that is shown.
//!
//! A lesson is a RON file ([`script`]). Its sentences hold no digits: a number
//! is an expression in braces ([`words`]), and an expression ([`expr`]) speaks
//! of facts of the engine at hand ([`fact`]). [`Lesson::read`] resolves all of
//! it once and says where anything is wrong. [`Run`] plays a lesson on its own
//! copy of an engine; it knows no window, no file and no clock.

mod book;
mod check;
mod error;
mod eval;
pub mod expr;
pub mod fact;
mod glossary;
mod lexer;
mod place;
mod plan;
mod progress;
mod run;
pub mod script;
pub mod words;

pub use book::{book, by_id, ids, source};
pub use check::{AnswerChoice, Lesson, QuizQuestion, Step, Task, Todo, Wrong, is_lesson};
pub use error::{LessonError, TextError};
pub use eval::{Moment, Scene, Shows, Value};
pub use expr::{Expr, Sort};
pub use glossary::{
    CurveKind, Stand, Term, TermPicture, Tongue, find, glossary, in_label, place_of, place_of_key,
};
pub use place::{ScreenPlace, WindowArea};
pub use plan::{Act, Setup, Whom, begin, done, fits, rehearse};
pub use progress::{Mark, Progress};
pub use run::{Reply, Run};
