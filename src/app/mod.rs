//! The window: document, commands, views, theme.

mod chooser;
pub mod command;
pub mod entry;
pub mod explain;
mod files;
pub mod icons;
pub mod layout;
mod output;
pub mod podium;
#[cfg(target_os = "linux")]
mod portal;
mod press;
pub mod prompt;
mod recovery;
mod run;
pub mod session;
pub mod theme;
mod tutor;
pub mod views;
pub mod widgets;
pub mod window;
pub mod wishes;

pub use run::{Graphics, run};
pub use window::Window;
