//! The parts of the window. Each is a function of what is shown; what the
//! person asks for comes back as commands.

pub(crate) mod bench;
pub(crate) mod binder;
pub(crate) mod cabinet;
pub(crate) mod compare;
pub(crate) mod curves;
pub(crate) mod cylinders;
pub(crate) mod dimensions;
pub(crate) mod edges;
pub(crate) mod effects;
pub(crate) mod engine;
pub(crate) mod figures;
pub(crate) mod lessons;
pub(crate) mod missing;
pub mod panel;
mod picture;
pub(crate) mod presenter;
pub(crate) mod readings;
pub(crate) mod rings;
pub mod sheet;
pub(crate) mod shims;
pub(crate) mod title_block;
pub(crate) mod top_bar;
pub(crate) mod view_context;

pub use panel::Panel;
pub(crate) use view_context::ViewContext;
