//! The parts of the window. Each is a function of what is shown; what the
//! person asks for comes back as commands.

pub mod bench;
pub mod binder;
pub mod cabinet;
pub mod compare;
pub mod curves;
pub mod cylinders;
pub mod dimensions;
pub mod edges;
pub mod effects;
pub mod engine;
pub mod figures;
pub mod lessons;
pub mod missing;
pub mod panel;
mod picture;
pub mod presenter;
pub mod readings;
pub mod rings;
pub mod sheet;
pub mod shims;
pub mod title_block;
pub mod top_bar;
pub mod view_context;

pub use panel::Panel;
pub use view_context::ViewContext;
