//! What each command does. The window alone carries commands out; views only
//! ask for them.

use super::{Window, wrapped};
use crate::app::command::{Action, Command, LessonCommand};
use crate::app::export_job::{BinderRequest, ExportRequest, ExportTask};
use crate::app::layout::Panes;
use crate::app::output::Form;
use crate::app::prompt::{NewEngineWizard, Prompt, Purpose};
use crate::app::session::StateName;
use crate::app::views::Panel;
use crate::clock::{self, stamp};
use crate::project::{Edit, Gesture};
use crate::quantity::{LengthUnit, UnitChoice, VolumeUnit};
use crate::report::{Context, figures_in_plain_text};
use egui::ViewportCommand;
use std::path::Path;
use std::sync::Arc;

impl Window {
    /// Carries out what was asked for.
    pub(super) fn run(&mut self, command: Command, ctx: &egui::Context, frame: &eframe::Frame) {
        match command {
            Command::Edit(edit, gesture) => self.edit(&edit, gesture),
            Command::SetCrank(angle) => self.crank_deg = wrapped(angle),
            Command::ShowCylinder(cylinder) => self.show_cylinder(cylinder),
            Command::Show(panel) => {
                let open = self.settings.panel == panel;
                self.settings.panel = if open { Panel::default() } else { panel };
                self.cabinet.overlay_open = !(open && self.cabinet.overlay_open);
            }
            Command::OpenFile(_) | Command::OpenDemo(_) | Command::NewEngine(_)
                if self.session.history().is_changed() =>
            {
                self.prompt = Some(Prompt::Unsaved { then: Box::new(command) });
            }
            Command::OpenFile(path) => self.open(&path),
            Command::NewEngine(project) => self.begin(*project),
            Command::OpenDemo(index) => {
                self.open_demo(index);
            }
            Command::CompareWith(state) => self.shown_session_mut().compare_with(&state),
            Command::GoTo(key) => self.settings.dimensions.go_to(key),
            Command::Explain(word) => self.explain(word, ctx),
            Command::LeaveWords => self.leave_words(ctx),
            Command::Lesson(asked) => self.run_lesson(asked, ctx),
            Command::SetBinder(settings) => self.binder = settings,
            Command::StopExport => self.export.stop(),
            Command::Action(named) => self.run_named(named, ctx, frame),
        }
    }

    pub(super) fn run_named(&mut self, named: Action, ctx: &egui::Context, frame: &eframe::Frame) {
        match named {
            Action::New => {
                self.prompt = Some(Prompt::NewEngine(Box::new(NewEngineWizard::new(self.models()))))
            }
            Action::Open => self.ask_path(Purpose::Open),
            Action::Save => match self.session.path().map(Path::to_path_buf) {
                Some(path) if self.session.changed_on_disk() => {
                    self.prompt = Some(Prompt::ChangedOnDisk { path });
                }
                Some(path) => {
                    self.save(&path);
                }
                None => self.ask_path(Purpose::SaveAs),
            },
            Action::SaveAs => self.ask_path(Purpose::SaveAs),
            Action::Revert => match self.session.path().map(Path::to_path_buf) {
                Some(path) => self.run(Command::OpenFile(path), ctx, frame),
                None => self.warn("This project has no file yet, so there is nothing to go back to"),
            },
            Action::Quit => ctx.send_viewport_cmd(ViewportCommand::Close),
            Action::Undo => self.shown_session_mut().undo(),
            Action::Redo => self.shown_session_mut().redo(),
            Action::KeepState => self.keep(),
            Action::Print => self.export_as(ExportTask::Print(self.binder.pdf()), ctx),
            Action::SavePdf => self.ask_path(Purpose::Pdf),
            Action::SaveSvg => self.ask_path(Purpose::Svg),
            Action::SavePng => self.ask_path(Purpose::Png),
            Action::SaveCsv => self.ask_path(Purpose::Csv),
            Action::SaveMarkdown => self.ask_path(Purpose::Markdown),
            Action::CopyFigures => self.copy_figures(ctx),
            Action::PlayCrank => self.playing = !self.playing,
            Action::CrankToTop => self.crank_deg = 0.0,
            Action::CrankBack => self.crank_deg = wrapped(self.crank_deg - 1.0),
            Action::CrankOn => self.crank_deg = wrapped(self.crank_deg + 1.0),
            Action::NextCylinder => self.step_cylinder(1),
            Action::PreviousCylinder => self.step_cylinder(self.cylinders().saturating_sub(1)),
            Action::NextUnits => {
                let units = next_units(self.shown_session().project().units);
                self.edit(&Edit::SetUnits(units), None);
            }
            Action::NextTheme => self.settings.theme = Some(self.theme(ctx).next()),
            Action::CrankBySteps => {
                let still = !self.is_still();
                self.settings.still = Some(still);
                self.say(if still { "The crank turns by steps of 10°" } else { "The crank turns smoothly" });
            }
            Action::FollowSystem => {
                self.settings.theme = None;
                self.settings.still = None;
                self.say("Theme and movement follow the system");
            }
            Action::Towers
            | Action::Upright
            | Action::ZoomIn
            | Action::ZoomOut
            | Action::ZoomWhole
            | Action::TrueSize
            | Action::MatchRuler => self.settings.sheet.take(named, ctx.pixels_per_point()),
            Action::GoTo => self.prompt = Some(Prompt::GoTo { typed: String::new(), row: 0 }),
            Action::Keys => self.prompt = Some(Prompt::Keys),
            Action::UsualPanes => self.settings.panes = Panes::default(),
            Action::About => self.prompt = Some(Prompt::About { part: 0 }),
            Action::StepBack => self.run_lesson(LessonCommand::Back, ctx),
            Action::StepOn => self.run_lesson(LessonCommand::Next, ctx),
            Action::LeaveLesson => self.run_lesson(LessonCommand::Leave, ctx),
            Action::Words => self.explain(None, ctx),
            Action::LargeView => self.large_view(ctx),
            Action::Handout => self.ask_path(Purpose::Handout(self.lesson_in_hand())),
            Action::WhatIsThis => self.explain(self.what_is_this(ctx), ctx),
            Action::Panel(panel) => {
                // From a field elsewhere the key of the open panel leads into it.
                if self.settings.panel != panel || !self.cabinet.keyboard_elsewhere {
                    self.run(Command::Show(panel), ctx, frame);
                }
                self.go_into(self.settings.panel, ctx);
            }
        }
        if matches!(named, Action::Undo | Action::Redo) {
            self.status = None;
            self.show_cylinder(self.cylinder);
        }
    }

    /// Takes the keyboard along into a panel that a key opened.
    fn go_into(&mut self, panel: Panel, ctx: &egui::Context) {
        if let Some(view) = self.cabinet.panel(panel) {
            view.take_keyboard(ctx);
        }
    }

    pub(super) fn edit(&mut self, edit: &Edit, gesture: Option<Gesture>) {
        self.gesture_used |= gesture.is_some();
        match self.shown_session_mut().apply(edit, gesture) {
            Ok(()) => self.status = None,
            Err(error) => self.warn(format!("Not changed: {error}")),
        }
    }

    pub(super) fn cylinders(&self) -> usize {
        self.shown_session().project().engine.cylinders.len()
    }

    pub(super) fn show_cylinder(&mut self, cylinder: usize) {
        self.cylinder = cylinder.min(self.cylinders().saturating_sub(1));
    }

    pub(super) fn step_cylinder(&mut self, by: usize) {
        self.cylinder = (self.cylinder + by).checked_rem(self.cylinders()).unwrap_or(0);
    }

    pub(super) fn keep(&mut self) {
        let number = self.shown_session().project().kept.len() + 1;
        let name = format!("state {number}");
        self.edit(&Edit::KeepState { name: name.clone(), date: clock::today() }, None);
        self.shown_session_mut().compare_with(&StateName::Kept(name));
    }

    /// Has the binder made beside the window.
    pub(super) fn export_as(&mut self, task: ExportTask, ctx: &egui::Context) {
        if self.lesson.is_some() {
            // The pages shown are those of the copy; the binder is the person's.
            return self.warn("Leave the lesson first: the binder is made of your own engine");
        }
        let project = Arc::clone(self.session.project());
        let stamp = match stamp(&project) {
            Ok(stamp) => stamp,
            Err(why) => return self.warn(why),
        };
        let choices = self.binder.choices(&project, self.cylinder, self.crank_deg);
        let question = Arc::clone(self.session.question());
        let answers = Arc::clone(self.session.answers());
        let binder = BinderRequest { project, question, answers, choices, stamp };
        if !self.export.begin(ExportRequest { binder, task }, ctx) {
            self.warn("Another file is being made; wait for it or stop it");
        }
    }

    /// The same to a file. What goes wrong there is told when it has.
    pub(super) fn export_file(&mut self, form: Form, path: &Path, ctx: &egui::Context) {
        self.prompt = None;
        self.export_as(ExportTask::Write(form, path.to_path_buf()), ctx);
    }

    pub(super) fn copy_figures(&mut self, ctx: &egui::Context) {
        let context = Context {
            project: self.shown_session().project(),
            question: self.shown_session().question(),
            answers: self.shown_session().answers(),
            units: self.shown_session().project().units,
            cylinder: self.cylinder,
            crank_deg: 0.0,
        };
        ctx.copy_text(figures_in_plain_text(&context));
        self.say("The figures are on the clipboard");
    }
}

fn next_units(units: UnitChoice) -> UnitChoice {
    let length = match units.length {
        LengthUnit::Mm => LengthUnit::InchDecimal,
        LengthUnit::InchDecimal => LengthUnit::Thou,
        LengthUnit::Thou => LengthUnit::InchFraction,
        LengthUnit::InchFraction => LengthUnit::Mm,
    };
    let volume = if length == LengthUnit::Mm { VolumeUnit::Cc } else { units.volume };
    UnitChoice { length, volume }
}
