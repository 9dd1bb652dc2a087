//! The window: its state and its frame. What the commands do, how files are
//! opened and saved, and what is kept between two runs stand in modules below.

mod answers;
mod commands;
mod files;
mod lessons;
mod presenter;
mod settings;
mod words;

use super::appearance::AppearanceWatcher;
use super::binder_settings::BinderSettings;
use super::command::{self, Command};
use super::explain::{Explainer, WordsRequest};
use super::export_job::ExportJob;
use super::file_tasks::FileTasks;
use super::layout::layout_with;
use super::lesson_session::LessonSession;
use super::presenter::{SavedState, has_meaning, places};
use super::prompt::{Prompt, prompt_ui};
use super::recovery::Recovery;
use super::session::Session;
use super::theme::Theme;
use super::views::ViewContext;
use super::views::cabinet::{Cabinet, cabinet_ui};
use super::views::curves::{CurvesView, curves_ui};
use super::views::dimensions::dimensions_ui;
use super::views::edges::edges_ui;
use super::views::lessons::spotlight::spotlight_ui;
use super::views::presenter::presenter_ui;
use super::views::sheet::sheet_ui;
use super::views::top_bar::{Status, TopBar, top_bar_ui};
use crate::engine::Key;
use crate::project::{self, Gesture};
use egui::{Id, Ui, ViewportCommand};
use settings::Settings;
use std::path::{Path, PathBuf};

/// Degrees a second while the crank turns by itself.
const PLAY_DEG_PER_SECOND: f64 = 60.0;
/// With less movement: so far at once, and so long in between.
const STILL_DEG: f64 = 10.0;
const STILL_STEP: std::time::Duration = std::time::Duration::from_millis(500);
/// Between two pictures of a turning crank.
const PLAY_STEP: std::time::Duration = std::time::Duration::from_millis(16);
/// Where eframe keeps the settings.
const SETTINGS: &str = "settings";

/// The window.
pub struct Window {
    session: Session,
    lesson: Option<LessonSession>,
    /// What stood in the window before the large view; none while it is not
    /// shown.
    presenter: Option<SavedState>,
    presenter_overflow: f32,
    settings: Settings,
    cylinder: usize,
    crank_deg: f64,
    playing: bool,
    /// When the crank went by its last step, s of egui's clock.
    stepped_at: Option<f64>,
    curves: CurvesView,
    cabinet: Cabinet,
    binder: BinderSettings,
    words: WordsRequest,
    /// The lesson whose card is open in the list.
    lesson_card: Option<usize>,
    explainer: Explainer,
    prompt: Option<Prompt>,
    status: Option<Status>,
    file_tasks: FileTasks,
    export: ExportJob,
    recovery: Recovery,
    queue: Vec<Command>,
    gesture: Gesture,
    gesture_used: bool,
    appearance: AppearanceWatcher,
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
            lesson: None,
            presenter: None,
            presenter_overflow: 0.0,
            settings,
            cylinder: 0,
            crank_deg: 0.0,
            playing: false,
            stepped_at: None,
            curves: CurvesView::default(),
            cabinet: Cabinet::default(),
            binder: BinderSettings::default(),
            words: WordsRequest::default(),
            lesson_card: None,
            explainer: Explainer::default(),
            prompt: None,
            status: None,
            file_tasks: FileTasks::default(),
            export: ExportJob::default(),
            recovery: Recovery::new(cc.storage.and_then(|_| unsaved_place())),
            queue: Vec::new(),
            gesture: Gesture(0),
            gesture_used: false,
            appearance: AppearanceWatcher::default(),
            theme_applied: None,
            title_shown: String::new(),
            may_close: false,
        };
        if cc.storage.is_some() {
            window.appearance.listen(&cc.egui_ctx);
        }
        window.apply_theme(&cc.egui_ctx);
        match file {
            Some(path) => window.open(path),
            None => window.offer_recovery(),
        }
        window
    }

    /// The person's document and its answers, also while a lesson shows its
    /// own copy.
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

    /// The panel that is open.
    #[must_use]
    pub fn panel(&self) -> super::views::Panel {
        self.settings.panel
    }

    /// What was said last about something done or gone wrong.
    #[must_use]
    pub fn status(&self) -> Option<&Status> {
        self.status.as_ref()
    }

    fn say(&mut self, text: impl Into<String>) {
        self.status = Some(Status { text: text.into(), warns: false });
    }

    fn warn(&mut self, text: impl Into<String>) {
        self.status = Some(Status { text: text.into(), warns: true });
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
        if self.playing && self.is_still() {
            let now = ctx.input(|input| input.time);
            let since = now - *self.stepped_at.get_or_insert(now);
            if since >= STILL_STEP.as_secs_f64() {
                self.crank_deg = wrapped(self.crank_deg + STILL_DEG);
                self.stepped_at = Some(now);
            }
            ctx.request_repaint_after(STILL_STEP);
        } else if self.playing {
            let seconds = ctx.input(|i| f64::from(i.stable_dt).min(0.1));
            self.crank_deg = wrapped(self.crank_deg + PLAY_DEG_PER_SECOND * seconds);
            ctx.request_repaint_after(PLAY_STEP);
        } else {
            self.stepped_at = None;
        }
    }
}

/// Notches of a wheel that follow each other within so many seconds are one
/// step for undo.
const ROLL_PAUSE: f32 = 0.6;

/// An angle within −180° (left out) to 180°.
fn wrapped(angle: f64) -> f64 {
    let turned = angle.rem_euclid(360.0);
    if turned > 180.0 { turned - 360.0 } else { turned }
}

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.take_events(ctx);
        for command in std::mem::take(&mut self.queue) {
            self.run(command, ctx, frame);
        }
        self.recovery.follow(&self.session);
        self.play(ctx);
        self.teach(ctx);
        self.apply_theme(ctx);
        self.show_title(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let arrows = [egui::Key::ArrowUp, egui::Key::ArrowDown, egui::Key::ArrowLeft, egui::Key::ArrowRight];
        let held = ctx.input(|i| {
            let rolls = i.time_since_last_scroll() < ROLL_PAUSE;
            rolls || i.pointer.any_down() || arrows.iter().any(|&key| i.key_down(key))
        });
        if !held && self.gesture_used {
            // What comes next is another step for undo.
            self.gesture = Gesture(self.gesture.0 + 1);
            self.gesture_used = false;
        }
        let mut out: Vec<Command> = Vec::new();
        let is_large = self.presenter.is_some();
        if is_large {
            self.keep_large(&ctx);
        }
        if self.prompt.is_none() {
            if is_large {
                out.extend(self.large_keys(&ctx));
            }
            let pressed = command::pressed(&ctx).into_iter();
            out.extend(pressed.filter(|named| !is_large || has_meaning(*named)).map(Command::Action));
        }
        Explainer::begin(&ctx);
        let rect = ui.max_rect();
        let theme = self.theme(&ctx);
        let t = theme.tokens();
        ui.painter().rect_filled(rect, 0.0, t.board);
        let places = is_large.then(|| places(rect.size(), self.lesson.is_some()));
        let wide = self.settings.panel.row().wide;
        let layout = match &places {
            Some(places) => places.layout.clone(),
            None => layout_with(rect.size(), wide, &self.settings.panes),
        };
        let Settings { dimensions, sheet, panes, panel, recent, progress, .. } = &mut self.settings;
        let shown = ViewContext {
            session: self.lesson.as_ref().map_or(&self.session, LessonSession::session),
            cylinder: self.cylinder,
            crank_deg: self.crank_deg,
            t,
            layout: &layout,
            in_hand: dimensions.in_hand.or(sheet.in_hand),
            lit: dimensions.hovered.or(sheet.hovered),
            panel: *panel,
            lesson: self.lesson.as_ref(),
            progress,
            lesson_card: self.lesson_card,
            words: self.words,
            binder: &self.binder,
            exporting: self.export.progress(),
            gesture: self.gesture,
        };
        if let Some(places) = &places {
            sheet_ui(ui, layout.sheet, &shown, sheet, self.gesture, &mut out);
            let zoom = f64::from(ctx.zoom_factor());
            let (points_per_mm, matched) = sheet.screen(ctx.native_pixels_per_point().unwrap_or(1.0));
            let screen = (points_per_mm / zoom, matched);
            self.presenter_overflow = presenter_ui(ui, places, &shown, screen, &mut out);
        } else {
            let bar = TopBar { theme, status: self.status.as_ref(), recent };
            top_bar_ui(ui, layout.top, &shown, &bar, &mut out);
            dimensions_ui(ui, layout.left, &shown, dimensions, self.gesture, &mut out);
            sheet_ui(ui, layout.sheet, &shown, sheet, self.gesture, &mut out);
            curves_ui(ui, layout.curves, &shown, &mut self.curves, &mut out);
            cabinet_ui(ui, &shown, &mut self.cabinet, &mut out);
            edges_ui(ui, &layout, wide, panes, t);
            spotlight_ui(ui, &shown, &dimensions.rows);
        }
        let pointed = self.pointed_at(&ctx);
        out.extend(self.explainer.menu_ui(ui, pointed, t).map(|word| Command::Explain(Some(word))));
        self.explainer.follow(&ctx);
        let answer = self.prompt.as_mut().and_then(|prompt| prompt_ui(ui, prompt, layout.sheet, t));
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

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.recovery.finish();
    }
}

/// Where a document is kept that has no file yet.
fn unsaved_place() -> Option<PathBuf> {
    eframe::storage_dir("crowndeck").map(|folder| folder.join("unsaved.ron"))
}

/// The field of a dimension, by which tests and the search find it.
#[must_use]
pub fn field_id(key: Key) -> Id {
    super::views::dimensions::field_id(key)
}
