//! What the person said to a prompt.

use super::Window;
use crate::app::command::{Action, Command};
use crate::app::prompt::{Prompt, PromptAnswer, Purpose};
use egui::ViewportCommand;
use std::path::Path;

impl Window {
    pub(super) fn answer(&mut self, answer: PromptAnswer, ctx: &egui::Context, frame: &eframe::Frame) {
        match answer {
            PromptAnswer::Close => self.prompt = None,
            PromptAnswer::Path(purpose, path) => self.take_path(purpose, &path, ctx),
            PromptAnswer::Browse(purpose) => {
                let near = self.session.path().map(Path::to_path_buf);
                self.file_tasks.ask(purpose, near.as_deref(), frame, ctx);
            }
            PromptAnswer::SaveThen(then) => {
                self.prompt = None;
                match self.session.path().map(Path::to_path_buf) {
                    Some(path) if self.session.changed_on_disk() => {
                        self.prompt = Some(Prompt::ChangedOnDisk { path });
                    }
                    Some(path) if self.save(&path) => self.go_on(*then, ctx, frame),
                    Some(_) => {}
                    None => self.ask_path(Purpose::SaveAs),
                }
            }
            PromptAnswer::LoseThen(then) => {
                self.prompt = None;
                self.go_on(*then, ctx, frame);
            }
            PromptAnswer::SaveOver(path) => {
                self.prompt = None;
                self.save(&path);
            }
            PromptAnswer::TakeRecovered(place) => {
                self.prompt = None;
                self.take_recovered(&place);
            }
            PromptAnswer::DropRecovered(place) => {
                self.prompt = None;
                self.recovery.forget(place);
            }
            PromptAnswer::Do(command) => {
                self.prompt = None;
                self.run(*command, ctx, frame);
            }
            PromptAnswer::GoTo(key) => {
                self.prompt = None;
                self.settings.dimensions.go_to(key);
            }
        }
    }

    /// Does what the question about unsaved changes held back.
    pub(super) fn go_on(&mut self, command: Command, ctx: &egui::Context, frame: &eframe::Frame) {
        match command {
            Command::OpenFile(path) => self.open(&path),
            Command::Action(Action::Quit) => {
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            Command::NewEngine(project) => self.begin(*project),
            Command::OpenDemo(index) => self.open_demo(index),
            other => self.run(other, ctx, frame),
        }
    }
}
