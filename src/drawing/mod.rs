//! Shapes, line kinds, hatching, dimensions, the section and its detail
//! view. Knows no screen and no paper.

pub mod clip;
pub mod dim;
pub mod hatch;
pub mod label;
pub mod lettering;
pub mod list;
pub mod page;
pub mod parts;
pub mod pens;
pub mod view;
