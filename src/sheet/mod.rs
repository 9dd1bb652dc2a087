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
pub use cautions::{Caution, Weight};
pub use cylinder::{SheetError, cylinder_page, worst_cylinder};
pub use draft::FactRow;
pub use export::{csv, csv_file, figures_in_markdown, figures_in_plain_text};
pub use flow::{DraftPage, Drawn, Figure, Item, Sheet};
pub use handout::handout;
pub use lesson_picture::anchor;
pub use paper::{Paper, Stamp};
pub use scale::Scale;
pub use section_page::SectionPage;
pub use table::{Align, Cell, Column, Table, Words};
pub use term_picture::term_picture;
pub use title_block::TitleBlock;
