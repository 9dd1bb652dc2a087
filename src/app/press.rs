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
pub struct Order {
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
    pub task: Task,
}

/// What to do with the binder.
#[derive(Clone, Debug, PartialEq)]
pub enum Task {
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
pub enum Made {
    /// The pages.
    Pages(Arc<Document>),
    /// This file was written.
    Written(PathBuf),
    /// Pages for a printer.
    ForPrinter(Printout),
}

enum Said {
    Progress(usize, usize),
    Ended(Result<Made, String>),
}

struct Job {
    stop: Arc<AtomicBool>,
    progress: (usize, usize),
    shows: bool,
}

/// The press.
pub struct Press {
    sender: Sender<Said>,
    receiver: Receiver<Said>,
    job: Option<Job>,
}

impl Default for Press {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, job: None }
    }
}

impl Press {
    /// Begins a job; whether it could: one at a time, and the system must
    /// give a thread.
    pub fn begin(&mut self, order: Order, ctx: &egui::Context) -> bool {
        if self.job.is_some() {
            return false;
        }
        let stop = Arc::new(AtomicBool::new(false));
        let shows = order.task == Task::Show;
        let (sender, ctx, stopped) = (self.sender.clone(), ctx.clone(), Arc::clone(&stop));
        let work = move || {
            // A window that is gone needs no answer.
            let say = |said: Said| {
                if sender.send(said).is_ok() {
                    ctx.request_repaint();
                }
            };
            let mut goes_on = |done: usize, of: usize| {
                say(Said::Progress(done, of));
                !stopped.load(Ordering::Relaxed)
            };
            let made = order.carry_out(&mut goes_on);
            say(Said::Ended(made));
        };
        let started = std::thread::Builder::new().name("binder".into()).spawn(work).is_ok();
        if started {
            self.job = Some(Job { stop, progress: (0, 0), shows });
        }
        started
    }

    /// Asks the job to stop at the next sheet.
    pub fn stop(&self) {
        if let Some(job) = &self.job {
            job.stop.store(true, Ordering::Relaxed);
        }
    }

    /// What came of a job that has ended since the last call.
    pub fn ended(&mut self) -> Option<Result<Made, String>> {
        while let Ok(said) = self.receiver.try_recv() {
            match (said, &mut self.job) {
                (Said::Progress(done, of), Some(job)) => job.progress = (done, of),
                (Said::Progress(..), None) => {}
                (Said::Ended(made), _) => {
                    self.job = None;
                    return Some(made);
                }
            }
        }
        None
    }

    /// Sheets made and sheets in all, while a file is being made.
    #[must_use]
    pub fn progress(&self) -> Option<(usize, usize)> {
        self.job.as_ref().filter(|job| !job.shows).map(|job| job.progress)
    }

    /// Whether a job is running.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.job.is_some()
    }
}

impl Order {
    fn carry_out(&self, goes_on: &mut dyn FnMut(usize, usize) -> bool) -> Result<Made, String> {
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
            Task::Show => pages(goes_on).map(|document| Made::Pages(Arc::new(document))),
            Task::Write(form, path) => {
                let bytes = if form.has_pages() {
                    output::of_pages(&pages(goes_on)?, *form)?
                } else {
                    output::of_tables(&context, &self.choices.sheets, *form)
                };
                output::write(path, &bytes)?;
                Ok(Made::Written(path.clone()))
            }
            Task::Handout(index, path) => {
                let lesson = book().get(*index).ok_or("there is no such lesson")?;
                let engine = (&self.project, self.choices.cylinder);
                let Choices { units, paper, .. } = self.choices;
                let document = handout(lesson, engine, units, paper, &self.stamp, goes_on)
                    .ok_or("The handout was not made: stopped; nothing was written")?;
                output::write(path, &output::of_pages(&document, Form::Pdf { page: None })?)?;
                Ok(Made::Written(path.clone()))
            }
            Task::Print(form) => {
                let pdf = output::of_pages(&pages(goes_on)?, *form)?;
                let (title, paper) = (self.project.title.clone(), self.choices.paper);
                Ok(Made::ForPrinter(Printout { title, paper, pdf }))
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

    fn order(task: Task) -> Order {
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
        Order { question: Arc::new(question), project: Arc::new(project), answers, choices, stamp, task }
    }

    fn wait(press: &mut Press) -> Result<Made, String> {
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
        let (mut press, ctx) = (Press::default(), egui::Context::default());
        let form = Form::Pdf { page: None };
        assert!(press.begin(order(Task::Write(form, path.clone())), &ctx));
        assert!(press.is_busy() && press.progress().is_some());
        assert!(!press.begin(order(Task::Show), &ctx));
        assert!(matches!(wait(&mut press), Ok(Made::Written(written)) if written == path));
        assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF") && !press.is_busy());
    }

    #[test]
    fn a_job_that_is_stopped_writes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("binder.pdf");
        let (mut press, ctx) = (Press::default(), egui::Context::default());
        assert!(press.begin(order(Task::Write(Form::Pdf { page: None }, path.clone())), &ctx));
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
        let (mut press, ctx) = (Press::default(), egui::Context::default());
        let path = PathBuf::from("/no/such/folder/figures.csv");
        assert!(press.begin(order(Task::Write(Form::Csv, path)), &ctx));
        let why = wait(&mut press).unwrap_err();
        assert!(why.contains("/no/such/folder/figures.csv was not written"), "{why}");
    }
}
