//! The window: takes what the views ask for, carries it out, and lays the
//! views out.

use super::command::{self, Command, Named};
use super::files::{Beside, Done};
use super::layout::layout;
use super::output::{self, Form};
use super::press::{Made, Order, Press, Task};
use super::prompt::{Answer, Prompt, Purpose, prompt_ui};
use super::session::Session;
use super::theme::{self, Theme};
use super::views::curves::{CurvesView, curves_ui};
use super::views::dimensions::{DimensionsView, dimensions_ui};
use super::views::right::{RightView, right_ui};
use super::views::sheet::{SheetView, sheet_ui};
use super::views::top_bar::{Status, TopBar, top_bar_ui};
use super::views::{Drawer, Shown};
use crate::cli::stamp;
use crate::engine::Key;
use crate::project::{self, Assembly, Construction, Edit, Gesture, Project, demos};
use crate::quantity::{LengthUnit, UnitChoice, VolumeUnit};
use crate::sheet::{Context, figures_in_plain_text};
use egui::{Id, Ui, ViewportCommand};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Degrees a second while the crank turns by itself.
const PLAY_DEG_PER_SECOND: f64 = 60.0;
/// Between two pictures of a turning crank.
const PLAY_STEP: std::time::Duration = std::time::Duration::from_millis(16);
/// Files that the menu remembers.
const RECENT: usize = 8;
/// Where eframe keeps the settings.
const SETTINGS: &str = "settings";

/// What is kept between two runs of the program. The project is not: it is
/// saved when the person says so.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct Settings {
    /// None: as the system asks for.
    theme: Option<Theme>,
    drawer: Drawer,
    dimensions: DimensionsView,
    recent: Vec<PathBuf>,
}

/// The window.
pub struct Window {
    session: Session,
    settings: Settings,
    cylinder: usize,
    crank_deg: f64,
    playing: bool,
    curves: CurvesView,
    sheet: SheetView,
    right: RightView,
    prompt: Option<Prompt>,
    status: Option<Status>,
    beside: Beside,
    press: Press,
    queue: Vec<Command>,
    gesture: Gesture,
    gesture_used: bool,
    theme_applied: Option<Theme>,
    title_shown: String,
    may_close: bool,
}

impl Window {
    /// The window on a file, or on the built-in example.
    #[must_use]
    pub fn new(cc: &eframe::CreationContext<'_>, file: Option<&Path>) -> Self {
        let settings: Settings =
            cc.storage.and_then(|storage| eframe::get_value(storage, SETTINGS)).unwrap_or_default();
        let mut window = Self {
            session: Session::new(project::demo(), None),
            settings,
            cylinder: 0,
            crank_deg: 0.0,
            playing: false,
            curves: CurvesView::default(),
            sheet: SheetView::default(),
            right: RightView::default(),
            prompt: None,
            status: None,
            beside: Beside::default(),
            press: Press::default(),
            queue: Vec::new(),
            gesture: Gesture(0),
            gesture_used: false,
            theme_applied: None,
            title_shown: String::new(),
            may_close: false,
        };
        window.apply_theme(&cc.egui_ctx);
        if let Some(path) = file {
            window.open(path);
        }
        window
    }

    /// The document and its answers.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// Degrees after piston top dead centre.
    #[must_use]
    pub fn crank_deg(&self) -> f64 {
        self.crank_deg
    }

    /// The chosen cylinder, from 0.
    #[must_use]
    pub fn cylinder(&self) -> usize {
        self.cylinder
    }

    /// What was said last about something done or gone wrong.
    #[must_use]
    pub fn status(&self) -> Option<&Status> {
        self.status.as_ref()
    }

    fn theme(&self, ctx: &egui::Context) -> Theme {
        let system = ctx.system_theme().unwrap_or(egui::Theme::Light);
        self.settings.theme.unwrap_or_else(|| Theme::following(system, false))
    }

    fn apply_theme(&mut self, ctx: &egui::Context) {
        let theme = self.theme(ctx);
        if self.theme_applied != Some(theme) {
            theme::apply(ctx, theme);
            self.theme_applied = Some(theme);
        }
    }

    fn say(&mut self, text: impl Into<String>) {
        self.status = Some(Status { text: text.into(), warns: false });
    }

    fn warn(&mut self, text: impl Into<String>) {
        self.status = Some(Status { text: text.into(), warns: true });
    }

    /// Carries out what was asked for.
    fn run(&mut self, command: Command, ctx: &egui::Context, frame: &eframe::Frame) {
        match command {
            Command::Edit(edit, gesture) => self.edit(&edit, gesture),
            Command::SetCrank(angle) => self.crank_deg = wrapped(angle),
            Command::ShowCylinder(cylinder) => self.show_cylinder(cylinder),
            Command::Show(drawer) => {
                let open = self.settings.drawer == drawer;
                self.settings.drawer = if open { Drawer::default() } else { drawer };
                self.right.called = !(open && self.right.called);
            }
            Command::OpenFile(_) | Command::OpenDemo(_) | Command::Begin(..)
                if self.session.history().is_changed() =>
            {
                self.prompt = Some(Prompt::Unsaved { then: Box::new(command) });
            }
            Command::OpenFile(path) => self.open(&path),
            Command::Begin(construction, heads) => self.begin(construction, &heads),
            Command::OpenDemo(index) => {
                self.open_demo(index);
            }
            Command::StopPress => self.press.stop(),
            Command::Named(named) => self.run_named(named, ctx, frame),
        }
    }

    fn run_named(&mut self, named: Named, ctx: &egui::Context, frame: &eframe::Frame) {
        match named {
            Named::New => self.prompt = Some(Prompt::begin()),
            Named::Open => self.ask_path(Purpose::Open),
            Named::Save => match self.session.path().map(Path::to_path_buf) {
                Some(path) => {
                    self.save(&path);
                }
                None => self.ask_path(Purpose::SaveAs),
            },
            Named::SaveAs => self.ask_path(Purpose::SaveAs),
            Named::Revert => match self.session.path().map(Path::to_path_buf) {
                Some(path) => self.run(Command::OpenFile(path), ctx, frame),
                None => self.warn("This project has no file yet, so there is nothing to go back to"),
            },
            Named::Quit => ctx.send_viewport_cmd(ViewportCommand::Close),
            Named::Undo => self.session.undo(),
            Named::Redo => self.session.redo(),
            Named::KeepState => self.keep(),
            Named::Print => self.order(Task::Print(self.right.binder.pdf()), ctx),
            Named::SavePdf => self.ask_path(Purpose::Pdf),
            Named::SaveSvg => self.ask_path(Purpose::Svg),
            Named::SavePng => self.ask_path(Purpose::Png),
            Named::SaveCsv => self.ask_path(Purpose::Csv),
            Named::SaveMarkdown => self.ask_path(Purpose::Markdown),
            Named::CopyFigures => self.copy_figures(ctx),
            Named::PlayCrank => self.playing = !self.playing,
            Named::CrankToTop => self.crank_deg = 0.0,
            Named::CrankBack => self.crank_deg = wrapped(self.crank_deg - 1.0),
            Named::CrankOn => self.crank_deg = wrapped(self.crank_deg + 1.0),
            Named::NextCylinder => self.step_cylinder(1),
            Named::PreviousCylinder => self.step_cylinder(self.cylinders().saturating_sub(1)),
            Named::NextUnits => {
                let units = next_units(self.session.project().units);
                self.edit(&Edit::SetUnits(units), None);
            }
            Named::NextTheme => self.settings.theme = Some(self.theme(ctx).next()),
            Named::GoTo => self.prompt = Some(Prompt::GoTo { typed: String::new(), row: 0 }),
            Named::Drawer(drawer) => self.run(Command::Show(drawer), ctx, frame),
        }
        if matches!(named, Named::Undo | Named::Redo) {
            self.status = None;
            self.show_cylinder(self.cylinder);
        }
    }

    fn edit(&mut self, edit: &Edit, gesture: Option<Gesture>) {
        self.gesture_used |= gesture.is_some();
        match self.session.apply(edit, gesture) {
            Ok(()) => self.status = None,
            Err(error) => self.warn(format!("Not changed: {error}")),
        }
    }

    fn cylinders(&self) -> usize {
        self.session.project().engine.cylinders.len()
    }

    fn show_cylinder(&mut self, cylinder: usize) {
        self.cylinder = cylinder.min(self.cylinders().saturating_sub(1));
    }

    fn step_cylinder(&mut self, by: usize) {
        self.cylinder = (self.cylinder + by).checked_rem(self.cylinders()).unwrap_or(0);
    }

    fn keep(&mut self) {
        let number = self.session.project().kept.len() + 1;
        let name = format!("state {number}");
        self.edit(&Edit::KeepState { name: name.clone(), date: output::today() }, None);
        self.session.refer_to_present(name);
    }

    fn ask_path(&mut self, purpose: Purpose) {
        let suggested = match (self.session.path(), purpose) {
            (Some(path), _) => path.with_extension(purpose.ending()),
            (None, Purpose::Open) => PathBuf::new(),
            (None, _) => PathBuf::from(output::file_name(&self.session.project().title, purpose.ending())),
        };
        let typed = if purpose == Purpose::Open { String::new() } else { suggested.display().to_string() };
        self.prompt = Some(Prompt::Path { purpose, typed, error: None });
    }

    /// Does with a path what it was wanted for; a failure stands beside the
    /// field.
    fn take_path(&mut self, purpose: Purpose, path: &Path, ctx: &egui::Context) {
        let done = match purpose {
            Purpose::Open => match project::load(path) {
                Ok(_) if self.session.history().is_changed() => {
                    self.prompt =
                        Some(Prompt::Unsaved { then: Box::new(Command::OpenFile(path.to_path_buf())) });
                    return;
                }
                Ok(project) => {
                    self.show_project(project, Some(path));
                    Ok(())
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
            Purpose::Pdf => return self.order_file(self.right.binder.pdf(), path, ctx),
            Purpose::Svg => return self.order_file(self.right.binder.svg(), path, ctx),
            Purpose::Png => return self.order_file(self.right.binder.png(), path, ctx),
            Purpose::Csv => return self.order_file(Form::Csv, path, ctx),
            Purpose::Markdown => return self.order_file(Form::Markdown, path, ctx),
        };
        match done {
            Ok(()) => self.prompt = None,
            Err(error) => {
                let typed = path.display().to_string();
                self.prompt = Some(Prompt::Path { purpose, typed, error: Some(error) });
            }
        }
    }

    fn take_status(&mut self) -> String {
        self.status.take().map_or_else(String::new, |status| status.text)
    }

    fn save(&mut self, path: &Path) -> bool {
        let written = Arc::clone(self.session.project());
        match project::save(&written, path) {
            Ok(()) => {
                self.session.saved(written, path.to_path_buf());
                self.remember(path);
                self.say(format!("Saved to {}", path.display()));
                true
            }
            Err(error) => {
                self.warn(format!("{error}. {}", error.hint()));
                false
            }
        }
    }

    fn open(&mut self, path: &Path) {
        match project::load(path) {
            Ok(project) => self.show_project(project, Some(path)),
            Err(error) => self.warn(format!("{}: {error}. The file was not changed", path.display())),
        }
    }

    fn begin(&mut self, construction: Construction, heads: &[usize]) {
        let engine = Assembly::begun(construction, heads);
        self.show_project(Project { title: "My engine".into(), engine, ..Project::default() }, None);
    }

    fn open_demo(&mut self, index: usize) {
        match demos().get(index).map(|demo| demo.project()) {
            Some(Ok(project)) => self.show_project(project, None),
            Some(Err(error)) => self.warn(error.to_string()),
            None => {}
        }
    }

    fn show_project(&mut self, project: Project, path: Option<&Path>) {
        self.session = Session::new(project, path.map(Path::to_path_buf));
        self.cylinder = 0;
        self.crank_deg = 0.0;
        self.playing = false;
        self.status = None;
        if let Some(path) = path {
            self.remember(path);
        }
    }

    fn remember(&mut self, path: &Path) {
        self.settings.recent.retain(|known| known != path);
        self.settings.recent.insert(0, path.to_path_buf());
        self.settings.recent.truncate(RECENT);
    }

    /// Has the binder made beside the window.
    fn order(&mut self, task: Task, ctx: &egui::Context) {
        let project = Arc::clone(self.session.project());
        let stamp = match stamp(&project) {
            Ok(stamp) => stamp,
            Err(why) => return self.warn(why),
        };
        let choices = self.right.binder.choices(&project, self.cylinder);
        let question = Arc::clone(self.session.question());
        let answers = Arc::clone(self.session.answers());
        let order = Order { project, question, answers, choices, stamp, task };
        if !self.press.begin(order, ctx) {
            self.warn("Another file is being made; wait for it or stop it");
        }
    }

    /// The same to a file. What goes wrong there is told when it has.
    fn order_file(&mut self, form: Form, path: &Path, ctx: &egui::Context) {
        self.prompt = None;
        self.order(Task::Write(form, path.to_path_buf()), ctx);
    }

    fn copy_figures(&mut self, ctx: &egui::Context) {
        let context = Context {
            project: self.session.project(),
            question: self.session.question(),
            answers: self.session.answers(),
            units: self.session.project().units,
            cylinder: self.cylinder,
        };
        ctx.copy_text(figures_in_plain_text(&context));
        self.say("The figures are on the clipboard");
    }

    fn answer(&mut self, answer: Answer, ctx: &egui::Context, frame: &eframe::Frame) {
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
                    Some(path) if self.save(&path) => self.go_on(*then, ctx, frame),
                    Some(_) => {}
                    None => self.ask_path(Purpose::SaveAs),
                }
            }
            Answer::LoseThen(then) => {
                self.prompt = None;
                self.go_on(*then, ctx, frame);
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
    fn go_on(&mut self, command: Command, ctx: &egui::Context, frame: &eframe::Frame) {
        match command {
            Command::OpenFile(path) => self.open(&path),
            Command::Named(Named::Quit) => {
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            Command::Begin(construction, heads) => self.begin(construction, &heads),
            Command::OpenDemo(index) => self.open_demo(index),
            other => self.run(other, ctx, frame),
        }
    }

    fn take_events(&mut self, ctx: &egui::Context) {
        match self.press.ended() {
            Some(Ok(Made::Written(path))) => self.say(format!("Written to {}", path.display())),
            Some(Ok(Made::ForPrinter(job))) => {
                if !self.beside.print(job, ctx) {
                    self.warn("Another dialog is open; close it and print again");
                }
            }
            Some(Ok(Made::Pages(_))) | None => {}
            Some(Err(why)) => self.warn(why),
        }
        for done in self.beside.done() {
            match done {
                Done::Chosen(purpose, Some(path)) => self.take_path(purpose, &path, ctx),
                Done::Chosen(_, None) => {}
                Done::Handed(Ok(handed)) => self.say(handed.words()),
                Done::Handed(Err(why)) => self.warn(why),
            }
        }
        if ctx.input(|i| i.viewport().close_requested())
            && !self.may_close
            && self.session.history().is_changed()
        {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.prompt = Some(Prompt::Unsaved { then: Box::new(Command::Named(Named::Quit)) });
        }
        let dropped: Vec<PathBuf> =
            ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_path_buf()).collect());
        if let Some(path) = dropped.into_iter().next() {
            self.queue.push(Command::OpenFile(path));
        }
    }

    fn show_title(&mut self, ctx: &egui::Context) {
        let mark = if self.session.history().is_changed() { "• " } else { "" };
        let title = format!("{mark}{} – crowndeck", self.session.project().title);
        if title != self.title_shown {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title_shown = title;
        }
    }

    fn play(&mut self, ctx: &egui::Context) {
        if self.playing {
            let seconds = ctx.input(|i| f64::from(i.stable_dt).min(0.1));
            self.crank_deg = wrapped(self.crank_deg + PLAY_DEG_PER_SECOND * seconds);
            ctx.request_repaint_after(PLAY_STEP);
        }
    }
}

/// An angle within −180° (left out) to 180°.
fn wrapped(angle: f64) -> f64 {
    let turned = angle.rem_euclid(360.0);
    if turned > 180.0 { turned - 360.0 } else { turned }
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

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.take_events(ctx);
        for command in std::mem::take(&mut self.queue) {
            self.run(command, ctx, frame);
        }
        self.play(ctx);
        self.apply_theme(ctx);
        self.show_title(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let arrows = [egui::Key::ArrowUp, egui::Key::ArrowDown, egui::Key::ArrowLeft, egui::Key::ArrowRight];
        let held = ctx.input(|i| i.pointer.any_down() || arrows.iter().any(|&key| i.key_down(key)));
        if !held && self.gesture_used {
            // What comes next is another step for undo.
            self.gesture = Gesture(self.gesture.0 + 1);
            self.gesture_used = false;
        }
        let mut out: Vec<Command> = Vec::new();
        if self.prompt.is_none() {
            out.extend(command::pressed(&ctx).into_iter().map(Command::Named));
        }
        let rect = ui.max_rect();
        let theme = self.theme(&ctx);
        let t = theme.tokens();
        ui.painter().rect_filled(rect, 0.0, t.board);
        let layout = layout(rect.size(), self.settings.drawer.row().wide);
        let dimensions = &mut self.settings.dimensions;
        let shown = Shown {
            session: &self.session,
            cylinder: self.cylinder,
            crank_deg: self.crank_deg,
            t,
            layout: &layout,
            in_hand: dimensions.in_hand.or(self.sheet.in_hand),
            lit: dimensions.hovered.or(self.sheet.hovered),
            drawer: self.settings.drawer,
            pressing: self.press.progress(),
            gesture: self.gesture,
        };
        let bar = TopBar { theme, status: self.status.as_ref(), recent: &self.settings.recent };
        top_bar_ui(ui, layout.top, &shown, &bar, &mut out);
        dimensions_ui(ui, layout.left, &shown, dimensions, self.gesture, &mut out);
        sheet_ui(ui, layout.sheet, &shown, &mut self.sheet, self.gesture, &mut out);
        curves_ui(ui, layout.curves, &shown, &mut self.curves, &mut out);
        right_ui(ui, &shown, &mut self.right, &mut out);
        let answer = self.prompt.as_mut().and_then(|prompt| prompt_ui(ui, prompt, t));
        // Answers come from responses, which are true in one pass only, so
        // nothing is done twice when egui lays a frame out again.
        if let Some(answer) = answer {
            self.answer(answer, &ctx, frame);
            ctx.request_repaint();
        }
        if !out.is_empty() {
            self.queue.append(&mut out);
            ctx.request_repaint();
        }
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, SETTINGS, &self.settings);
    }
}

/// The field of a dimension, by which tests and the search find it.
#[must_use]
pub fn field_id(key: Key) -> Id {
    super::views::dimensions::field_id(key)
}
