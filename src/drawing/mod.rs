//! Shapes, line kinds, hatching, dimensions, the section and its detail
//! view. Knows no screen and no paper.

mod annotate;
pub mod bank;
pub mod clip;
mod corners;
pub mod curves;
pub mod detail;
mod detail_names;
mod detail_values;
pub mod dim;
#[cfg(test)]
mod fixtures;
pub mod handles;
pub mod hatch;
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

pub use annotate::Spot;
pub use handles::{Handle, HandleKind};
pub use input::{Keys, SectionInput};
pub use layout::{Frame, Lens};
