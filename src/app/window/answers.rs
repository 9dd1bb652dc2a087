//! What the person said to a prompt.

use super::Window;
use crate::app::command::{Command, Named};
use crate::app::prompt::{Answer, Prompt, Purpose};
use egui::ViewportCommand;
use std::path::Path;

impl Window {
    pub(super) fn answer(&mut self, answer: Answer, ctx: &egui::Context, frame: &eframe::Frame) {
        match answer {
            Answer::Close => self.prompt = None,
            Answer::Path(purpose, path) => self.take_path(purpose, &path, ctx),
            Answer::Browse(purpose) => {
                let near = self.session.path().map(Path::to_path_buf);
                self.beside.ask(purpose, near.as_deref(), frame, ctx);
            }
            Answer::SaveThen(then) => {
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
            Answer::LoseThen(then) => {
                self.prompt = None;
                self.go_on(*then, ctx, frame);
            }
            Answer::SaveOver(path) => {
                self.prompt = None;
                self.save(&path);
            }
            Answer::TakeRecovered(place) => {
                self.prompt = None;
                self.take_recovered(&place);
            }
            Answer::DropRecovered(place) => {
                self.prompt = None;
                self.recovery.forget(place);
            }
            Answer::Do(command) => {
                self.prompt = None;
                self.run(*command, ctx, frame);
            }
            Answer::GoTo(key) => {
                self.prompt = None;
                self.settings.dimensions.go_to(key);
            }
        }
    }

    /// Does what the question about unsaved changes held back.
    pub(super) fn go_on(&mut self, command: Command, ctx: &egui::Context, frame: &eframe::Frame) {
        match command {
            Command::OpenFile(path) => self.open(&path),
            Command::Named(Named::Quit) => {
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            Command::Begin(project) => self.begin(*project),
            Command::OpenDemo(index) => self.open_demo(index),
            other => self.run(other, ctx, frame),
        }
    }
}
