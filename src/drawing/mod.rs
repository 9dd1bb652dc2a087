//! Shapes, line kinds, hatching, dimensions, the section and its detail
//! view. Knows no screen and no paper.

mod annotate;
pub(crate) mod bank;
pub mod clip;
mod corners;
pub mod curves;
pub mod detail;
mod detail_names;
mod detail_values;
pub(crate) mod dim;
#[cfg(test)]
mod fixtures;
pub(crate) mod handles;
pub(crate) mod hatch;
pub mod input;
pub mod label;
mod layout;
pub mod lettering;
pub mod list;
mod nearest;
pub mod page;
mod paint;
pub mod parts;
pub mod pens;
pub mod pictures;
pub mod rings;
pub mod section;
pub mod towers;
pub mod view;
mod volumes;

pub(crate) use annotate::Spot;
pub(crate) use handles::{Handle, HandleKind};
pub(crate) use input::Keys;
pub use input::SectionInput;
pub use layout::Frame;
pub(crate) use layout::Lens;
