//! The limits that a builder holds an engine to: one list, each with where it
//! comes from. A limit warns; it never forbids.

mod given;
mod table;
mod text;

pub(crate) use given::COMMON_PRACTICE;
pub use given::{Limit, LimitValue, Limits, Support};
pub(crate) use table::Form;
pub use table::{Judged, LimitId, Measure};
pub use text::{LimitError, LimitText};
