//! Dialogs of the desktop and what they answer. They run beside the window,
//! which never waits for them.

use super::output::{self, Handed, Printout};
use super::prompt::Purpose;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};

/// What came back from beside the window.
#[derive(Clone, Debug)]
pub(super) enum Done {
    /// A dialog gave this path, or none: cancelled, or there is no dialog.
    Chosen(Purpose, Option<PathBuf>),
    /// What became of pages that were to be printed.
    Handed(Result<Handed, String>),
}

/// The way back from what runs beside the window.
#[derive(Debug)]
pub(super) struct FileTasks {
    sender: Sender<Done>,
    receiver: Receiver<Done>,
    dialog_open: bool,
}

impl Default for FileTasks {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, dialog_open: false }
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
        if self.dialog_open {
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
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let opened = match purpose {
            Purpose::Open => wait(dialog.pick_file(), purpose, sender, ctx),
            _ => wait(dialog.save_file(), purpose, sender, ctx),
        };
        self.dialog_open = opened;
    }

    /// Prints pages with the desktop's dialog; whether it could begin.
    pub(super) fn print(&mut self, job: Printout, ctx: &egui::Context) -> bool {
        if self.dialog_open {
            return false;
        }
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let work = move || {
            let handed = output::print(&job);
            if sender.send(Done::Handed(handed)).is_ok() {
                ctx.request_repaint();
            }
        };
        self.dialog_open = std::thread::Builder::new().name("print dialog".into()).spawn(work).is_ok();
        self.dialog_open
    }

    /// What came back since the last call.
    pub(super) fn done(&mut self) -> Vec<Done> {
        let done: Vec<Done> = self.receiver.try_iter().collect();
        if !done.is_empty() {
            self.dialog_open = false;
        }
        done
    }
}

/// Waits for a dialog on a thread of its own; whether the thread could start.
fn wait(
    answer: impl Future<Output = Option<rfd::FileHandle>> + Send + 'static,
    purpose: Purpose,
    sender: Sender<Done>,
    ctx: egui::Context,
) -> bool {
    let thread = std::thread::Builder::new().name("file dialog".into());
    let work = move || {
        let path = pollster::block_on(answer).map(|handle| handle.path().to_path_buf());
        // A window that is gone needs no answer.
        if sender.send(Done::Chosen(purpose, path)).is_ok() {
            ctx.request_repaint();
        }
    };
    thread.spawn(work).is_ok()
}
