//! Shapes, line kinds, hatching, dimensions, the section and its detail
//! view. Knows no screen and no paper.

pub mod lettering;
pub mod list;
pub mod page;
