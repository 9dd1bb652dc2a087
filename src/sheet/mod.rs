//! The binder pages: a section, figures, dimensions and cautions, laid out on
//! paper in millimetres. Knows neither PDF nor SVG, and no clock.

mod cautions;
mod cylinder;
mod draft;
mod frame;
mod paper;
mod picture;
mod scale;
mod section_page;

pub use cautions::{Caution, Weight};
pub use cylinder::{SheetError, cylinder_page, worst_cylinder};
pub use draft::Row;
pub use paper::{Paper, Stamp};
pub use picture::{measured, parts_input};
pub use scale::Scale;
pub use section_page::SectionPage;
