//! What was measured, with which instrument, and how far it can be trusted.

pub mod record;

pub use record::{Instrument, Place, Reading, State, Subject, Value};
