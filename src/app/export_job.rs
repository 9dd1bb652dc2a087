//! The binder made beside the window, as files and for the printer. One file at
//! a time; the job says how far it is and stops when asked.

use super::job::{Job, Monitor, Progress};
use super::output::{self, Form, Printout};
use crate::drawing::page::Document;
use crate::lesson::book;
use crate::project::Project;
use crate::sheet::{BinderError, Choices, Context, Stamp, binder, handout};
use crate::study::{Answers, Question};
use std::path::PathBuf;
use std::sync::Arc;

/// The binder of a document that no longer changes.
#[derive(Clone, Debug)]
pub(super) struct BinderRequest {
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
}

/// What is to be made.
#[derive(Clone, Debug)]
pub(super) struct ExportRequest {
    /// Of which document, and how.
    pub binder: BinderRequest,
    /// What to do with it.
    pub task: ExportTask,
}

/// What to do with the binder.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum ExportTask {
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
    /// This file was written.
    Written(PathBuf),
    /// Pages for a printer.
    ForPrinter(Printout),
}

/// Makes the binder beside the window, one file at a time.
pub(super) struct ExportJob {
    job: Job<Result<ExportOutput, String>>,
}

impl Default for ExportJob {
    fn default() -> Self {
        Self { job: Job::named("binder") }
    }
}

impl ExportJob {
    /// Begins a job. Returns whether it could: one at a time, and the system
    /// must give a thread.
    pub(super) fn begin(&mut self, request: ExportRequest, ctx: &egui::Context) -> bool {
        self.job.start(ctx, move |monitor| request.carry_out(monitor))
    }

    /// Asks the job to stop at the next sheet.
    pub(super) fn stop(&self) {
        self.job.stop();
    }

    /// Returns what came of the job, once, after it has ended.
    pub(super) fn ended(&mut self) -> Option<Result<ExportOutput, String>> {
        let ended = self.job.poll()?;
        Some(ended.unwrap_or_else(|failed| Err(format!("The binder was not made: {failed}"))))
    }

    /// Sheets made and sheets in all, while a file is being made.
    #[must_use]
    pub(super) fn progress(&self) -> Option<(usize, usize)> {
        let Progress { done, total } = self.job.progress()?;
        Some((usize::try_from(done).ok()?, usize::try_from(total).ok()?))
    }
}

impl BinderRequest {
    fn context(&self) -> Context<'_> {
        Context {
            project: &self.project,
            question: &self.question,
            answers: &self.answers,
            units: self.choices.units,
            cylinder: self.choices.cylinder,
            crank_deg: self.choices.crank_deg,
        }
    }

    /// Makes the pages, sheet by sheet until the job is stopped.
    ///
    /// # Errors
    /// A sentence that says why they were not made.
    pub(super) fn pages(&self, monitor: &Monitor) -> Result<Document, String> {
        binder(&self.context(), &self.choices, &self.stamp, &mut goes_on(monitor))
            .map_err(|error: BinderError| format!("The binder was not made: {error}"))
    }
}

/// Says which sheet of how many is being made, and hears whether to go on.
fn goes_on(monitor: &Monitor) -> impl FnMut(usize, usize) -> bool {
    |done, of| {
        monitor.report(done as u64, of as u64);
        !monitor.is_stopped()
    }
}

impl ExportRequest {
    fn carry_out(&self, monitor: &Monitor) -> Result<ExportOutput, String> {
        let BinderRequest { project, choices, stamp, .. } = &self.binder;
        match &self.task {
            ExportTask::Write(form, path) => {
                let bytes = if form.has_pages() {
                    output::of_pages(&self.binder.pages(monitor)?, *form)?
                } else {
                    output::of_tables(&self.binder.context(), &choices.sheets, *form)
                };
                output::write(path, &bytes)?;
                Ok(ExportOutput::Written(path.clone()))
            }
            ExportTask::Handout(index, path) => {
                let lesson = book().get(*index).ok_or("there is no such lesson")?;
                let engine = (project, choices.cylinder);
                let document =
                    handout(lesson, engine, choices.units, choices.paper, stamp, &mut goes_on(monitor))
                        .ok_or("The handout was not made: stopped; nothing was written")?;
                output::write(path, &output::of_pages(&document, Form::Pdf { page: None })?)?;
                Ok(ExportOutput::Written(path.clone()))
            }
            ExportTask::Print(form) => {
                let pdf = output::of_pages(&self.binder.pages(monitor)?, *form)?;
                let (title, paper) = (project.title.clone(), choices.paper);
                Ok(ExportOutput::ForPrinter(Printout { title, paper, pdf }))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::job::tests::{assert_ends_soon, wait};
    use crate::clock::stamp;
    use crate::project::{demo, demos};
    use crate::sheet::{Paper, SheetKind};
    use std::time::Instant;

    fn request(project: Project, task: ExportTask) -> ExportRequest {
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
        let (question, project) = (Arc::new(question), Arc::new(project));
        ExportRequest { binder: BinderRequest { project, question, answers, choices, stamp }, task }
    }

    #[test]
    fn a_file_is_written_beside_the_window_and_one_job_runs_at_a_time() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("binder.pdf");
        let (mut export, ctx) = (ExportJob::default(), egui::Context::default());
        let form = Form::Pdf { page: None };
        assert!(export.begin(request(demo(), ExportTask::Write(form, path.clone())), &ctx));
        assert!(export.progress().is_some());
        assert!(!export.begin(request(demo(), ExportTask::Print(form)), &ctx));
        assert!(matches!(wait(|| export.ended()), Ok(ExportOutput::Written(written)) if written == path));
        assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF") && export.progress().is_none());
    }

    /// Before each sheet the job hears whether it goes on.
    #[test]
    fn a_job_that_is_stopped_ends_within_a_tenth_of_a_second_and_writes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("binder.pdf");
        let (mut export, ctx) = (ExportJob::default(), egui::Context::default());
        // Many sheets, so that the stop comes before the last one.
        let flat_six = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap();
        let mut request = request(flat_six, ExportTask::Write(Form::Pdf { page: None }, path.clone()));
        request.binder.choices.every_cylinder = true;
        assert_ends_soon(|| {
            assert!(export.begin(request.clone(), &ctx));
            wait(|| export.progress().filter(|(done, _)| *done > 0));
            let start = Instant::now();
            export.stop();
            let why = wait(|| export.ended()).unwrap_err();
            assert!(why.contains("stopped") && !path.exists(), "{why}");
            start.elapsed()
        });
    }

    #[test]
    fn a_folder_that_is_not_there_is_told() {
        let (mut export, ctx) = (ExportJob::default(), egui::Context::default());
        let path = PathBuf::from("/no/such/folder/figures.csv");
        assert!(export.begin(request(demo(), ExportTask::Write(Form::Csv, path)), &ctx));
        let why = wait(|| export.ended()).unwrap_err();
        assert!(why.contains("/no/such/folder/figures.csv was not written"), "{why}");
    }
}
