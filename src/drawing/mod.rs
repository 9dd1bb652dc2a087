//! Shapes, line kinds, hatching, dimensions, the section and its detail
//! view. Knows no screen and no paper.

pub mod list;
