//! The binder pages, laid out on paper in millimetres. Knows neither PDF nor
//! SVG, and no clock.

mod binder;
mod cautions;
mod cylinder;
mod draft;
mod flow;
mod frame;
mod handout;
mod lesson_picture;
mod paper;
mod pictures;
mod ring_card_picture;
mod scale;
mod section_page;
mod table;
mod term_picture;
mod title_block;

pub use crate::report::{Context, SheetKind};
pub use binder::{BinderError, Choices, binder};
pub(crate) use cylinder::cylinder_page;
pub use cylinder::worst_cylinder;
pub(crate) use flow::Drawn;
pub use handout::handout;
pub(crate) use lesson_picture::anchor;
pub use paper::{Paper, Stamp};
pub(crate) use term_picture::term_picture;
