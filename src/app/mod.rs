//! The window: document, commands, views, theme.

pub mod appearance;
pub(crate) mod binder_settings;
pub mod command;
pub(crate) mod entry;
pub(crate) mod explain;
mod export_job;
mod file_tasks;
pub(crate) mod icons;
mod job;
pub mod layout;
mod lesson_session;
pub(crate) mod memo;
mod output;
#[cfg(target_os = "linux")]
mod portal;
pub mod presenter;
pub(crate) mod prompt;
mod recovery;
mod run;
mod search;
pub(crate) mod session;
pub mod theme;
pub mod views;
pub mod widgets;
pub mod window;

pub use run::{Graphics, run};
pub use window::Window;
