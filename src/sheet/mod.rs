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
mod picture;
mod ring_card_picture;
mod ring_picture;
mod scale;
mod section_page;
mod sheets;
mod shim_bank;
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
pub use picture::{measured, parts_input, stepped, turn};
pub use ring_picture::{
    filing_input, filing_words, groove_input, number as ring_number, plan_input, plan_words,
};
pub use scale::Scale;
pub use section_page::SectionPage;
pub use shim_bank::shim_bank;
pub use table::{Align, Cell, Column, Table, Words};
pub use term_picture::term_picture;
pub use title_block::TitleBlock;
