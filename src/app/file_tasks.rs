//! Dialogs of the desktop and what they answer. They run beside the window,
//! which never waits for them.

use super::job::Job;
use super::output::{self, Handed, Printout};
use super::prompt::Purpose;
use std::path::{Path, PathBuf};

/// What came back from beside the window.
#[derive(Clone, Debug)]
pub(super) enum Done {
    /// A dialog gave this path, or none: cancelled, or there is no dialog.
    Chosen(Purpose, Option<PathBuf>),
    /// What became of pages that were to be printed.
    Handed(Result<Handed, String>),
}

/// The dialog that is open; one at a time.
#[derive(Debug)]
pub(super) struct FileTasks(Job<Done>);

impl Default for FileTasks {
    fn default() -> Self {
        Self(Job::named("dialog"))
    }
}

impl FileTasks {
    /// Asks for a path with the desktop's dialog; never two at once.
    pub(super) fn ask(
        &mut self,
        purpose: Purpose,
        near: Option<&Path>,
        frame: &eframe::Frame,
        ctx: &egui::Context,
    ) {
        if self.0.is_running() {
            return;
        }
        let mut dialog = rfd::AsyncFileDialog::new().set_parent(frame).add_filter(
            match purpose {
                Purpose::Open | Purpose::SaveAs => "crowndeck project",
                Purpose::Pdf | Purpose::Handout(_) => "PDF",
                Purpose::Svg => "SVG",
                Purpose::Png => "PNG",
                Purpose::Csv => "CSV",
                Purpose::Markdown => "Markdown",
            },
            &[purpose.ending()],
        );
        if let Some(folder) = near.and_then(Path::parent) {
            dialog = dialog.set_directory(folder);
        }
        if let (Some(name), false) = (near.and_then(Path::file_stem), purpose == Purpose::Open) {
            dialog = dialog.set_file_name(format!("{}.{}", name.to_string_lossy(), purpose.ending()));
        }
        match purpose {
            Purpose::Open => self.wait(dialog.pick_file(), purpose, ctx),
            _ => self.wait(dialog.save_file(), purpose, ctx),
        }
    }

    /// Waits for a dialog beside the window.
    fn wait(
        &mut self,
        answer: impl Future<Output = Option<rfd::FileHandle>> + Send + 'static,
        purpose: Purpose,
        ctx: &egui::Context,
    ) {
        // Where no thread can start, the path is typed: the prompt stays open.
        self.0.start(ctx, move |_| {
            Done::Chosen(purpose, pollster::block_on(answer).map(|handle| handle.path().to_path_buf()))
        });
    }

    /// Prints pages with the desktop's dialog; whether it could begin.
    pub(super) fn print(&mut self, job: Printout, ctx: &egui::Context) -> bool {
        self.0.start(ctx, move |_| Done::Handed(output::print(&job)))
    }

    /// What came back, once.
    pub(super) fn done(&mut self) -> Option<Done> {
        let ended = self.0.poll()?;
        Some(ended.unwrap_or_else(|failed| Done::Handed(Err(format!("The dialog gave no answer: {failed}")))))
    }
}
