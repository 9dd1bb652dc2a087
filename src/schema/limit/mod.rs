//! The limits that a builder holds an engine to: one list, each with where it
//! comes from. A limit warns; it never forbids.

mod given;
mod row;
mod table;
mod text;

pub(crate) use given::COMMON_PRACTICE;
pub use given::{Limit, LimitValue, Limits, Support};
pub use row::Measure;
pub(crate) use row::{Feed, Form, Scope};
pub use table::{Judged, LimitId};
pub use text::{LimitError, LimitText};
