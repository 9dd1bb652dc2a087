//! The large view for a teacher: how it is entered and left, and its keys.

use super::{Window, wrapped};
use crate::app::command::{Action, Command, LessonCommand};
use crate::app::presenter::{self, SavedState};
use egui::{Context, EventFilter, Key, Modifiers, ViewportCommand};

/// Degrees that an arrow key turns the crank by; with Shift ten times that.
const STEP_DEG: f64 = 1.0;

impl Window {
    /// Whether the large view is shown.
    #[must_use]
    pub fn is_large(&self) -> bool {
        self.presenter.is_some()
    }

    /// How far the step in the large view reached beyond its room, points; not
    /// above 0 where all of it is in sight.
    #[must_use]
    pub fn large_overflow(&self) -> f32 {
        self.presenter_overflow
    }

    /// Enters the large view, or leaves it.
    pub(super) fn large_view(&mut self, ctx: &Context) {
        if self.presenter.is_some() {
            return self.leave_large_view(ctx);
        }
        self.presenter = Some(SavedState {
            full_screen: ctx.input(|input| input.viewport().fullscreen.unwrap_or(false)),
            zoom: ctx.zoom_factor(),
            panel: self.settings.panel,
            overlay_open: self.cabinet.overlay_open,
            sheet: self.settings.sheet.clone(),
            cylinder: self.cylinder,
            crank_deg: self.crank_deg,
            playing: self.playing,
            step: self.lesson.as_ref().map(|playing| playing.run().step()),
            focus: ctx.memory(|memory| memory.focused()),
            fitted: None,
        });
        self.settings.sheet.whole();
        self.settings.dimensions.in_hand = None;
        self.settings.dimensions.hovered = None;
        ctx.memory_mut(egui::Memory::stop_text_input);
        ctx.send_viewport_cmd(ViewportCommand::Fullscreen(true));
    }

    /// Gives the window back as it was. Where the lesson was gone on with, its
    /// step says what is shown.
    pub(super) fn leave_large_view(&mut self, ctx: &Context) {
        let Some(before) = self.presenter.take() else { return };
        ctx.send_viewport_cmd(ViewportCommand::Fullscreen(before.full_screen));
        ctx.set_zoom_factor(before.zoom);
        self.settings.panel = before.panel;
        self.cabinet.overlay_open = before.overlay_open;
        let towers = self.settings.sheet.shows_towers();
        self.settings.sheet = before.sheet;
        self.playing = before.playing;
        let step = self.lesson.as_ref().map(|playing| playing.run().step());
        if step == before.step {
            self.crank_deg = before.crank_deg;
            self.show_cylinder(before.cylinder);
        } else {
            self.settings.sheet.show_towers(towers);
        }
        if let Some(id) = before.focus {
            ctx.memory_mut(|memory| memory.request_focus(id));
        }
    }

    /// Keeps everything as large as the window allows.
    pub(super) fn keep_large(&mut self, ctx: &Context) {
        let size = ctx.content_rect().size();
        let Some(before) = self.presenter.as_mut().filter(|before| before.fitted != Some(size)) else {
            return;
        };
        before.fitted = Some(size);
        let now = ctx.zoom_factor();
        let wanted = presenter::zoom(size * now);
        if (wanted / now - 1.0).abs() > 0.005 {
            ctx.set_zoom_factor(wanted);
        }
    }

    /// The keys that only the large view has, and what they ask for.
    pub(super) fn large_keys(&self, ctx: &Context) -> Vec<Command> {
        if let Some(id) = ctx.memory(|memory| memory.focused()) {
            // Left and right turn the crank and don't walk over the buttons.
            let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
            ctx.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
        }
        let mut out = Vec::new();
        let choices = self.lesson.as_ref().map_or(0, |playing| playing.said().choices.len());
        ctx.input_mut(|input| {
            for (key, way) in [(Key::ArrowLeft, -1.0), (Key::ArrowRight, 1.0)] {
                for (modifiers, times) in [(Modifiers::SHIFT, 10.0), (Modifiers::NONE, 1.0)] {
                    let presses = input.count_and_consume_key(modifiers, key);
                    if presses > 0 {
                        let by = way * times * STEP_DEG * f64::from(u32::try_from(presses).unwrap_or(1));
                        out.push(Command::SetCrank(wrapped(self.crank_deg + by)));
                    }
                }
            }
            let digits = [
                Key::Num1,
                Key::Num2,
                Key::Num3,
                Key::Num4,
                Key::Num5,
                Key::Num6,
                Key::Num7,
                Key::Num8,
                Key::Num9,
            ];
            for (i, key) in digits.into_iter().enumerate().take(choices) {
                if input.consume_key(Modifiers::NONE, key) {
                    out.push(Command::Lesson(LessonCommand::Choose(i)));
                }
            }
            if self.lesson.is_some() && input.consume_key(Modifiers::NONE, Key::S) {
                out.push(Command::Lesson(LessonCommand::ShowMe));
            }
            if input.consume_key(Modifiers::NONE, Key::Escape) {
                out.push(Command::Action(Action::LargeView));
            }
        });
        out
    }
}
