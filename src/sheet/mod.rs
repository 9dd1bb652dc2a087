//! The binder pages: a section, figures, dimensions and cautions, laid out on
//! paper in millimetres. Knows neither PDF nor SVG, and no clock.

mod draft;
mod frame;
mod paper;
mod scale;
mod section_page;

pub use draft::Row;
pub use paper::{Paper, Stamp};
pub use scale::Scale;
pub use section_page::{Caution, Drawings, Picture, SectionPage, Weight};
