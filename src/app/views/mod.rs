//! The parts of the window. Each is a function of what is shown; what the
//! person asks for comes back as commands.

pub mod bench;
pub mod binder;
pub mod compare;
pub mod curves;
pub mod cylinders;
pub mod dimensions;
pub mod drawer;
pub mod edges;
pub mod effects;
pub mod engine;
pub mod figures;
pub mod lessons;
pub mod missing;
mod picture;
pub mod podium;
pub mod readings;
pub mod right;
pub mod rings;
pub mod sheet;
pub mod shims;
pub mod shown;
pub mod title_block;
pub mod top_bar;

pub use drawer::Drawer;
pub use shown::Shown;
