//! What is asked about the words of the trade.

use super::Window;
use crate::app::explain::Explainer;
use crate::app::views::Panel;
use crate::lesson::place_of_key;
use egui::Context;

impl Window {
    /// Shows a word in the panel of the lessons, or all words; a lesson that
    /// is open goes on where it stands.
    pub(super) fn explain(&mut self, word: Option<usize>, ctx: &Context) {
        let words = &mut self.words;
        if !(words.open && self.settings.panel == Panel::Lessons) {
            words.from = Some((self.settings.panel, ctx.memory(|memory| memory.focused())));
        }
        words.open = true;
        words.number += 1;
        words.word = word;
        self.settings.panel = Panel::Lessons;
        self.cabinet.overlay_open = true;
    }

    /// Back to the panel where a word was asked for, and to what had the
    /// keyboard there.
    pub(super) fn leave_words(&mut self, ctx: &Context) {
        self.words.open = false;
        if let Some((panel, focus)) = self.words.from.take() {
            self.settings.panel = panel;
            if let Some(id) = focus {
                ctx.memory_mut(|memory| memory.request_focus(id));
            }
        }
    }

    /// The word for what has the keyboard, else for what is pointed at.
    pub(super) fn what_is_this(&self, ctx: &Context) -> Option<usize> {
        let in_hand = self.settings.dimensions.in_hand.or(self.settings.sheet.in_hand);
        in_hand
            .and_then(place_of_key)
            .or_else(|| self.explainer.focused(ctx))
            .or_else(|| self.pointed_at(ctx))
    }

    /// The word for what is pointed at.
    pub(super) fn pointed_at(&self, ctx: &Context) -> Option<usize> {
        let hovered = self.settings.dimensions.hovered.or(self.settings.sheet.hovered);
        hovered.and_then(place_of_key).or_else(|| Explainer::pointed(ctx))
    }
}
