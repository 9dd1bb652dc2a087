//! "What is this?": the word of the trade that the thing under the pointer or
//! under the keyboard speaks of.

use super::theme::{Tokens, radius};
use super::views::Panel;
use super::widgets::button::Button;
use crate::lesson::{glossary, in_label, place_of};
use egui::output::OutputEvent;
use egui::{Area, Context, Frame, Id, Order, Pos2, Rect, Response, Ui};

/// What was noted in one frame, by places in the glossary.
#[derive(Clone, Copy, Debug, Default)]
struct Noted {
    pointed: Option<usize>,
    focused: Option<usize>,
}

fn noted_id() -> Id {
    Id::unique("words noted")
}

/// Notes that a part of the window speaks of a word, in case it is asked
/// about.
pub(crate) fn about(ui: &Ui, rect: Rect, word: &str) {
    if ui.rect_contains_pointer(rect) {
        note(ui.ctx(), |noted| noted.pointed = place_of(word));
    }
}

/// The same of something that can have the keyboard.
pub(crate) fn about_of(response: &Response, word: &str) {
    if response.contains_pointer() {
        note(&response.ctx, |noted| noted.pointed = place_of(word));
    }
    if response.has_focus() {
        note(&response.ctx, |noted| noted.focused = place_of(word));
    }
}

fn note(ctx: &Context, change: impl FnOnce(&mut Noted)) {
    ctx.data_mut(|data| change(data.get_temp_mut_or_default(noted_id())));
}

/// What was asked about the words of the trade.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WordsRequest {
    /// The words are shown, in the place of the lessons.
    pub open: bool,
    /// Counts the requests; each one takes the keyboard along.
    pub number: u64,
    /// The word that was asked about last, by its place in the glossary; none
    /// for the list.
    pub word: Option<usize>,
    /// Where it was asked, and what had the keyboard there.
    pub from: Option<(Panel, Option<Id>)>,
}

/// What a window knows of the things in it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Explainer {
    /// The label of what has the keyboard.
    label: Option<(Id, String)>,
    /// Where the menu stands, and for which word.
    menu: Option<(Pos2, usize)>,
}

impl Explainer {
    /// Forgets what was noted in the frame before.
    pub(crate) fn begin(ctx: &Context) {
        ctx.data_mut(|data| data.insert_temp(noted_id(), Noted::default()));
    }

    /// Reads what this frame said of what has the keyboard.
    pub(crate) fn follow(&mut self, ctx: &Context) {
        let gained = ctx.output(|output| {
            output.events.iter().rev().find_map(|event| match event {
                OutputEvent::FocusGained(info) => info.label.clone(),
                _ => None,
            })
        });
        let focus = ctx.memory(|memory| memory.focused());
        match (focus, gained) {
            (Some(id), Some(label)) => self.label = Some((id, label)),
            (Some(id), None) if self.label.as_ref().is_none_or(|(of, _)| *of == id) => {}
            _ => self.label = None,
        }
    }

    /// The word that the keyboard is at.
    pub(crate) fn focused(&self, ctx: &Context) -> Option<usize> {
        let noted: Noted = ctx.data(|data| data.get_temp(noted_id())).unwrap_or_default();
        noted.focused.or_else(|| self.label.as_ref().and_then(|(_, label)| in_label(label)))
    }

    /// The word that the pointer is at.
    #[must_use]
    pub(crate) fn pointed(ctx: &Context) -> Option<usize> {
        ctx.data(|data| data.get_temp::<Noted>(noted_id())).and_then(|noted| noted.pointed)
    }

    /// The menu behind the other button of the pointer; the word that was
    /// asked about.
    pub(crate) fn menu_ui(&mut self, ui: &Ui, pointed: Option<usize>, t: &Tokens) -> Option<usize> {
        let ctx = ui.ctx().clone();
        let (asked, closed) = ctx.input(|input| {
            (
                input.pointer.secondary_clicked(),
                input.pointer.primary_clicked() || input.key_pressed(egui::Key::Escape),
            )
        });
        if asked {
            let at = ctx.input(|input| input.pointer.interact_pos());
            self.menu = at.zip(pointed);
        }
        let (at, place) = self.menu?;
        let words = format!("What is this? {}", glossary().get(place)?.name());
        let mut chosen = false;
        Area::new(Id::unique("what is this")).order(Order::Foreground).fixed_pos(at).show(&ctx, |ui| {
            let frame =
                Frame::new().fill(t.panel).stroke(t.stroke(1.0, t.line2)).corner_radius(radius::BUTTON);
            frame.inner_margin(4.0).show(ui, |ui| {
                let button = Button::plain(Id::unique("what is this, menu"), &words).with_key("F12");
                chosen = button.add(ui, t).clicked();
            });
        });
        if chosen || (closed && !asked) {
            self.menu = None;
        }
        chosen.then_some(place)
    }
}
