//! The binder pages, laid out on paper in millimetres. Knows neither PDF nor
//! SVG, and no clock.

mod binder;
mod cautions;
mod cylinder;
mod draft;
mod export;
mod flow;
mod frame;
mod handout;
mod lesson_picture;
mod paper;
mod ring_card_picture;
mod scale;
mod section_page;
mod sheets;
mod table;
mod term_picture;
mod title_block;
mod wording;

pub use binder::{BinderError, Choices, Context, SheetKind, binder, tables};
pub(crate) use cylinder::cylinder_page;
pub use cylinder::worst_cylinder;
pub(crate) use export::csv_file;
pub use export::{csv, figures_in_markdown, figures_in_plain_text};
pub(crate) use flow::Drawn;
pub use handout::handout;
pub(crate) use lesson_picture::anchor;
pub use paper::{Paper, Stamp};
pub(crate) use scale::Scale;
pub use table::{Cell, Column, Table};
pub(crate) use term_picture::term_picture;
