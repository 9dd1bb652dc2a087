//! Files: open, save, a new start, and what comes from outside the window: a
//! dialog's answer, a finished file, a dropped one, the close button.

use super::Window;
use crate::app::command::{Action, Command};
use crate::app::export_job::ExportOutput;
use crate::app::file_tasks::Done;
use crate::app::output::{self, Form, Printout};
use crate::app::prompt::{Prompt, Purpose};
use crate::app::session::Session;
use crate::engine::{Group, Key};
use crate::lesson::book;
use crate::project::{self, Project, demos};
use egui::ViewportCommand;
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl Window {
    pub(super) fn ask_path(&mut self, purpose: Purpose) {
        let suggested = match (self.session.path(), purpose) {
            (path, Purpose::Handout(lesson)) => {
                let title = book().get(lesson).map_or("lesson", |lesson| &lesson.title);
                let name = output::file_name(title, purpose.ending());
                path.map_or_else(|| PathBuf::from(&name), |path| path.with_file_name(&name))
            }
            (Some(path), _) => path.with_extension(purpose.ending()),
            (None, Purpose::Open) => PathBuf::new(),
            (None, _) => PathBuf::from(output::file_name(&self.session.project().title, purpose.ending())),
        };
        let typed = if purpose == Purpose::Open { String::new() } else { suggested.display().to_string() };
        self.prompt = Some(Prompt::Path { purpose, typed, error: None });
    }

    /// Does with a path what it was wanted for; a failure stands beside the
    /// field.
    pub(super) fn take_path(&mut self, purpose: Purpose, path: &Path, ctx: &egui::Context) {
        let done = match purpose {
            Purpose::Open => match project::load(path) {
                Ok(_) if self.session.history().is_changed() => {
                    self.prompt =
                        Some(Prompt::Unsaved { then: Box::new(Command::OpenFile(path.to_path_buf())) });
                    return;
                }
                Ok(project) => {
                    self.prompt = None;
                    self.show_project(project, Some(path));
                    self.offer_recovery();
                    return;
                }
                Err(error) => Err(error.to_string()),
            },
            Purpose::SaveAs => {
                if self.save(path) {
                    Ok(())
                } else {
                    Err(self.take_status())
                }
            }
            Purpose::Pdf => return self.export_file(self.binder.pdf(), path, ctx),
            Purpose::Svg => return self.export_file(self.binder.svg(), path, ctx),
            Purpose::Png => return self.export_file(self.binder.png(), path, ctx),
            Purpose::Csv => return self.export_file(Form::Csv, path, ctx),
            Purpose::Markdown => return self.export_file(Form::Markdown, path, ctx),
            Purpose::Handout(lesson) => return self.export_handout(lesson, path, ctx),
        };
        match done {
            Ok(()) => self.prompt = None,
            Err(error) => {
                let typed = path.display().to_string();
                self.prompt = Some(Prompt::Path { purpose, typed, error: Some(error) });
            }
        }
    }

    pub(super) fn take_status(&mut self) -> String {
        self.status.take().map_or_else(String::new, |status| status.text)
    }

    pub(super) fn save(&mut self, path: &Path) -> bool {
        let written = Arc::clone(self.session.project());
        match project::save(&written, path) {
            Ok(older) => {
                self.session.saved(written, path.to_path_buf());
                self.settings.remember(path);
                let older = older.as_deref().and_then(Path::file_name).map_or_else(String::new, |name| {
                    format!("; the file as it was before is beside it as {}", name.display())
                });
                self.say(format!("Saved to {}{older}", path.display()));
                true
            }
            Err(error) => {
                self.warn(format!("{error}; {}", error.hint()));
                false
            }
        }
    }

    pub(super) fn open(&mut self, path: &Path) {
        match project::load(path) {
            Ok(project) => {
                self.show_project(project, Some(path));
                self.offer_recovery();
            }
            Err(error) => self.warn(format!("{}: {error}. The file was not changed", path.display())),
        }
    }

    /// Asks what becomes of work that an earlier run could not save.
    pub(super) fn offer_recovery(&mut self) {
        if let Some(place) = self.recovery.left_behind(&self.session) {
            self.prompt = Some(Prompt::Recovered { place });
        }
    }

    /// Puts that work over what the file holds, not saved yet.
    pub(super) fn take_recovered(&mut self, place: &Path) {
        match project::load(place) {
            Ok(kept) => {
                let saved = Project::clone(self.session.project());
                let path = self.session.path().map(Path::to_path_buf);
                self.leave_lesson();
                self.session = Session::recovered(saved, kept, path);
                self.show_cylinder(0);
                self.say("The unsaved work is back; it is not saved yet");
            }
            Err(error) => self.warn(format!("{}: {error}. The file was not changed", place.display())),
        }
    }

    /// Shows a new engine, the keyboard in the first field that is wanted.
    pub(super) fn begin(&mut self, project: Project) {
        self.show_project(project, None);
        let engine = &self.session.project().engine;
        let mut listed = Group::ALL.into_iter().flat_map(Key::of_group);
        let first = listed.find(|key| engine.wanted(0).any(|wanted| wanted == *key));
        if let Some(key) = first {
            self.settings.dimensions.go_to(key);
        }
    }

    /// The engines that another one can be begun from: the present one, and
    /// the one opened before it.
    pub(super) fn models(&self) -> Vec<Project> {
        let present = Project::clone(self.session.project());
        let before = self.settings.recent.iter().find(|path| Some(path.as_path()) != self.session.path());
        let before = before.and_then(|path| project::load(path).ok());
        std::iter::once(present).chain(before).collect()
    }

    pub(super) fn open_demo(&mut self, index: usize) {
        match demos().get(index).map(|demo| demo.project()) {
            Some(Ok(project)) => self.show_project(project, None),
            Some(Err(error)) => self.warn(error.to_string()),
            None => {}
        }
    }

    pub(super) fn show_project(&mut self, project: Project, path: Option<&Path>) {
        self.leave_lesson();
        self.session = Session::new(project, path.map(Path::to_path_buf));
        self.cylinder = 0;
        self.crank_deg = 0.0;
        self.playing = false;
        self.status = None;
        if let Some(path) = path {
            self.settings.remember(path);
        }
    }

    fn print(&mut self, pages: Printout, ctx: &egui::Context) {
        if !self.file_tasks.print(pages, ctx) {
            self.warn("Another dialog is open; close it and print again");
        }
    }

    pub(super) fn take_events(&mut self, ctx: &egui::Context) {
        match self.export.ended() {
            Some(Ok(ExportOutput::Written(path))) => self.say(format!("Written to {}", path.display())),
            Some(Ok(ExportOutput::ForPrinter(pages))) => self.print(pages, ctx),
            None => {}
            Some(Err(why)) => self.warn(why),
        }
        match self.file_tasks.done() {
            Some(Done::Chosen(purpose, Some(path))) => self.take_path(purpose, &path, ctx),
            Some(Done::Handed(Ok(handed))) => self.say(handed.words()),
            Some(Done::Handed(Err(why))) => self.warn(why),
            Some(Done::Chosen(_, None)) | None => {}
        }
        if ctx.input(|i| i.viewport().close_requested())
            && !self.may_close
            && self.session.history().is_changed()
        {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.prompt = Some(Prompt::Unsaved { then: Box::new(Command::Action(Action::Quit)) });
        }
        let dropped: Vec<PathBuf> =
            ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_path_buf()).collect());
        if let Some(path) = dropped.into_iter().next() {
            self.queue.push(Command::OpenFile(path));
        }
    }
}
