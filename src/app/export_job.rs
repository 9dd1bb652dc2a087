//! The press: makes the binder beside the window, which never waits for it.
//! One job at a time; it says how far it is and stops when asked.

use super::output::{self, Form, Printout};
use crate::drawing::page::Document;
use crate::lesson::book;
use crate::project::Project;
use crate::sheet::{BinderError, Choices, Context, Stamp, binder, handout};
use crate::study::{Answers, Question};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

/// What is to be made, of a document that no longer changes.
#[derive(Clone, Debug)]
pub(super) struct ExportRequest {
    /// The document.
    pub project: Arc<Project>,
    /// What was asked of it.
    pub question: Arc<Question>,
    /// What follows from it.
    pub answers: Arc<Answers>,
    /// The sheets, the paper, the units, the cylinder.
    pub choices: Choices,
    /// Date and name.
    pub stamp: Stamp,
    /// What to do with it.
    pub task: ExportTask,
}

/// What to do with the binder.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum ExportTask {
    /// Show it.
    Show,
    /// Write it to a file.
    Write(Form, PathBuf),
    /// Make it ready for a printer.
    Print(Form),
    /// Write the handout of the lesson of this place in the book to a file; the
    /// document is the engine that it works on.
    Handout(usize, PathBuf),
}

/// What came of it.
#[derive(Clone, Debug)]
pub(super) enum ExportOutput {
    /// The pages.
    Pages(Arc<Document>),
    /// This file was written.
    Written(PathBuf),
    /// Pages for a printer.
    ForPrinter(Printout),
}

enum Message {
    Progress(usize, usize),
    Ended(Result<ExportOutput, String>),
}

struct Job {
    stop: Arc<AtomicBool>,
    progress: (usize, usize),
    shows: bool,
}

/// The press.
pub(super) struct ExportJob {
    sender: Sender<Message>,
    receiver: Receiver<Message>,
    job: Option<Job>,
}

impl Default for ExportJob {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, job: None }
    }
}

impl ExportJob {
    /// Begins a job; whether it could: one at a time, and the system must
    /// give a thread.
    pub(super) fn begin(&mut self, order: ExportRequest, ctx: &egui::Context) -> bool {
        if self.job.is_some() {
            return false;
        }
        let stop = Arc::new(AtomicBool::new(false));
        let shows = order.task == ExportTask::Show;
        let (sender, ctx, stopped) = (self.sender.clone(), ctx.clone(), Arc::clone(&stop));
        let work = move || {
            // A window that is gone needs no answer.
            let say = |said: Message| {
                if sender.send(said).is_ok() {
                    ctx.request_repaint();
                }
            };
            let mut goes_on = |done: usize, of: usize| {
                say(Message::Progress(done, of));
                !stopped.load(Ordering::Relaxed)
            };
            let made = order.carry_out(&mut goes_on);
            say(Message::Ended(made));
        };
        let started = std::thread::Builder::new().name("binder".into()).spawn(work).is_ok();
        if started {
            self.job = Some(Job { stop, progress: (0, 0), shows });
        }
        started
    }

    /// Asks the job to stop at the next sheet.
    pub(super) fn stop(&self) {
        if let Some(job) = &self.job {
            job.stop.store(true, Ordering::Relaxed);
        }
    }

    /// What came of a job that has ended since the last call.
    pub(super) fn ended(&mut self) -> Option<Result<ExportOutput, String>> {
        while let Ok(said) = self.receiver.try_recv() {
            match (said, &mut self.job) {
                (Message::Progress(done, of), Some(job)) => job.progress = (done, of),
                (Message::Progress(..), None) => {}
                (Message::Ended(made), _) => {
                    self.job = None;
                    return Some(made);
                }
            }
        }
        None
    }

    /// Sheets made and sheets in all, while a file is being made.
    #[must_use]
    pub(super) fn progress(&self) -> Option<(usize, usize)> {
        self.job.as_ref().filter(|job| !job.shows).map(|job| job.progress)
    }

    /// Whether a job is running.
    #[must_use]
    pub(super) fn is_busy(&self) -> bool {
        self.job.is_some()
    }
}

impl ExportRequest {
    fn carry_out(&self, goes_on: &mut dyn FnMut(usize, usize) -> bool) -> Result<ExportOutput, String> {
        let context = Context {
            project: &self.project,
            question: &self.question,
            answers: &self.answers,
            units: self.choices.units,
            cylinder: self.choices.cylinder,
            crank_deg: self.choices.crank_deg,
        };
        let pages = |goes_on: &mut dyn FnMut(usize, usize) -> bool| {
            binder(&context, &self.choices, &self.stamp, goes_on)
                .map_err(|error: BinderError| format!("The binder was not made: {error}"))
        };
        match &self.task {
            ExportTask::Show => pages(goes_on).map(|document| ExportOutput::Pages(Arc::new(document))),
            ExportTask::Write(form, path) => {
                let bytes = if form.has_pages() {
                    output::of_pages(&pages(goes_on)?, *form)?
                } else {
                    output::of_tables(&context, &self.choices.sheets, *form)
                };
                output::write(path, &bytes)?;
                Ok(ExportOutput::Written(path.clone()))
            }
            ExportTask::Handout(index, path) => {
                let lesson = book().get(*index).ok_or("there is no such lesson")?;
                let engine = (&self.project, self.choices.cylinder);
                let Choices { units, paper, .. } = self.choices;
                let document = handout(lesson, engine, units, paper, &self.stamp, goes_on)
                    .ok_or("The handout was not made: stopped; nothing was written")?;
                output::write(path, &output::of_pages(&document, Form::Pdf { page: None })?)?;
                Ok(ExportOutput::Written(path.clone()))
            }
            ExportTask::Print(form) => {
                let pdf = output::of_pages(&pages(goes_on)?, *form)?;
                let (title, paper) = (self.project.title.clone(), self.choices.paper);
                Ok(ExportOutput::ForPrinter(Printout { title, paper, pdf }))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::stamp;
    use crate::project::demo;
    use crate::sheet::{Paper, SheetKind};
    use std::time::{Duration, Instant};

    fn order(task: ExportTask) -> ExportRequest {
        let project = demo();
        let question = project.question();
        let answers = Arc::new(Answers::to(&question));
        let choices = Choices {
            sheets: SheetKind::fitting(&project),
            paper: Paper::A4,
            units: project.units,
            cylinder: 0,
            every_cylinder: false,
            crank_deg: 0.0,
        };
        let stamp = stamp(&project).unwrap();
        ExportRequest {
            question: Arc::new(question),
            project: Arc::new(project),
            answers,
            choices,
            stamp,
            task,
        }
    }

    fn wait(press: &mut ExportJob) -> Result<ExportOutput, String> {
        let start = Instant::now();
        loop {
            if let Some(ended) = press.ended() {
                return ended;
            }
            assert!(start.elapsed() < Duration::from_secs(60), "the press never ends");
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    #[test]
    fn a_file_is_written_beside_the_window_and_one_job_runs_at_a_time() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("binder.pdf");
        let (mut press, ctx) = (ExportJob::default(), egui::Context::default());
        let form = Form::Pdf { page: None };
        assert!(press.begin(order(ExportTask::Write(form, path.clone())), &ctx));
        assert!(press.is_busy() && press.progress().is_some());
        assert!(!press.begin(order(ExportTask::Show), &ctx));
        assert!(matches!(wait(&mut press), Ok(ExportOutput::Written(written)) if written == path));
        assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF") && !press.is_busy());
    }

    #[test]
    fn a_job_that_is_stopped_writes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("binder.pdf");
        let (mut press, ctx) = (ExportJob::default(), egui::Context::default());
        assert!(press.begin(order(ExportTask::Write(Form::Pdf { page: None }, path.clone())), &ctx));
        press.stop();
        let ended = wait(&mut press);
        // The stop may come after the last sheet; then the file is whole.
        match ended {
            Err(why) => assert!(why.contains("stopped") && !path.exists(), "{why}"),
            Ok(_) => assert!(path.exists()),
        }
    }

    #[test]
    fn a_folder_that_is_not_there_is_told() {
        let (mut press, ctx) = (ExportJob::default(), egui::Context::default());
        let path = PathBuf::from("/no/such/folder/figures.csv");
        assert!(press.begin(order(ExportTask::Write(Form::Csv, path)), &ctx));
        let why = wait(&mut press).unwrap_err();
        assert!(why.contains("/no/such/folder/figures.csv was not written"), "{why}");
    }
}
