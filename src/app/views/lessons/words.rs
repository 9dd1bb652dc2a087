//! The words of the trade: a list to search in, and a page for each word with
//! its picture on the engine that is open.

use super::parts::paragraph;
use super::word_picture::{KeptPicture, picture_ui};
use crate::app::command::{Action, Command};
use crate::app::explain::WordsRequest;
use crate::app::memo::Memo;
use crate::app::theme::{radius, regular, semibold, space, text, width};
use crate::app::views::{Panel, ViewContext};
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::paint;
use crate::lesson::{Moment, Stand, Term, find, glossary};
use egui::accesskit::Role;
use egui::{
    Align, Align2, Frame, Id, Key, Margin, Modifiers, ScrollArea, Sense, StrokeKind, TextEdit, Ui, UiBuilder,
    WidgetInfo, pos2, vec2,
};
use std::sync::Arc;

const ROW: f32 = 38.0;

/// What the words remember.
#[derive(Clone, Debug, Default)]
pub(crate) struct WordsView {
    /// The request that was followed last.
    followed: u64,
    /// The word whose page is open, by its place in the glossary.
    chosen: Option<usize>,
    /// What is searched for.
    typed: String,
    /// What that finds.
    found: Memo<String, Vec<usize>>,
    /// The keyboard is to be put here.
    take_keyboard: bool,
    /// Something in the panel had the keyboard in the frame before.
    had_keyboard: bool,
    picture: KeptPicture,
}

impl WordsView {
    /// Shows the word that was asked about, or the list.
    fn follow(&mut self, request: &WordsRequest) {
        if self.followed == request.number {
            return;
        }
        self.followed = request.number;
        self.chosen = request.word;
        self.take_keyboard = true;
        if request.word.is_none() {
            self.typed.clear();
        }
    }
}

/// Shows the words in the panel.
pub(crate) fn words_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut WordsView, out: &mut Vec<Command>) {
    view.follow(&shown.words);
    let panel = ui.max_rect().expand(space::INNER);
    tabs_ui(ui, shown, view, out);
    match view.chosen.and_then(|place| glossary().get(place)) {
        Some(term) => page_ui(ui, shown, term, view, out),
        None => list_ui(ui, shown, view),
    }
    let focused = ui.memory(|memory| memory.focused());
    view.had_keyboard = focused
        .and_then(|id| ui.ctx().read_response(id))
        .is_some_and(|response| panel.intersects(response.rect));
}

/// The two halves of the panel; from the words back to where they were asked
/// for.
fn tabs_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut WordsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let take = std::mem::take(&mut view.take_keyboard);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 0.0);
        let back = match (shown.words.from, shown.lesson) {
            (Some((panel, _)), _) if panel != Panel::Lessons => format!("Back to {}", panel.row().name),
            (_, Some(_)) => "Back to the lesson".to_owned(),
            _ => "Lessons".to_owned(),
        };
        let button = Button::plain(Id::unique("words back"), &back).tooltip("Escape");
        let response = button.add(ui, t);
        let page = view.chosen.is_some();
        let words = Button { kind: Kind::Chosen, ..Button::plain(Id::unique("words tab"), "Words") };
        let words = if page { Button::plain(words.id, "All words") } else { words };
        let all = words.add(ui, t);
        if all.clicked() {
            view.chosen = None;
            view.take_keyboard = true;
        }
        if take && page {
            all.request_focus();
        }
        let left = view.had_keyboard && ui.input(|input| input.key_pressed(Key::Escape));
        if response.clicked() || left {
            out.push(Command::LeaveWords);
        }
    });
    ui.add_space(6.0);
    if take && view.chosen.is_none() {
        ui.memory_mut(|memory| memory.request_focus(search_id()));
    }
}

fn search_id() -> Id {
    Id::unique("words search")
}

/// The search and what it finds.
fn list_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut WordsView) {
    let t = shown.t;
    let has_keys = ui.memory(|memory| memory.has_focus(search_id()));
    if has_keys
        && let Some(&first) = view.found.last().and_then(|(_, found)| found.first())
        && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::ArrowDown))
    {
        ui.memory_mut(|memory| memory.request_focus(row_id(first)));
    }
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 28.0), Sense::hover());
    let stroke = if has_keys { t.stroke(width::HEAVY, t.accent) } else { t.stroke(width::REST, t.line2) };
    ui.painter().rect(rect, radius::FIELD, t.field, stroke, StrokeKind::Inside);
    let field = TextEdit::singleline(&mut view.typed)
        .id(search_id())
        .hint_text("Word, other name, or meaning")
        .font(regular(text::VALUE))
        .text_color(t.ink)
        .frame(Frame::NONE.inner_margin(Margin::symmetric(8, 2)))
        .min_size(rect.size())
        .align(Align2::LEFT_CENTER)
        .desired_width(rect.width());
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).id_salt("words search"));
    let response = child.add(field).accessible_name("Search the words");
    let found = view.found.get(view.typed.clone(), |typed| find(typed));
    let enter = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if enter && let Some(&first) = found.first() {
        view.chosen = Some(first);
        view.take_keyboard = true;
    }
    ui.add_space(4.0);
    let words = match found.len() {
        0 => "No word is called so, and none means it.".to_owned(),
        1 => "1 word".to_owned(),
        many => format!("{many} words"),
    };
    paragraph(ui, &words, regular(text::CAPTION), t.ink2, 2.0);
    let mut chosen = None;
    ScrollArea::vertical().auto_shrink(false).id_salt("words").show(ui, |ui| {
        for &place in &*found {
            if let Some(term) = glossary().get(place)
                && row_ui(ui, shown, place, term, &view.typed)
            {
                chosen = Some(place);
            }
        }
    });
    if chosen.is_some() {
        view.chosen = chosen;
        view.take_keyboard = true;
    }
}

fn row_id(place: usize) -> Id {
    Id::unique(("word", place))
}

/// One word in two lines; whether it was pressed.
fn row_ui(ui: &mut Ui, shown: &ViewContext<'_>, place: usize, term: &Term, typed: &str) -> bool {
    let t = shown.t;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let response = ui.interact(rect, row_id(place), Sense::click());
    let second = term.called(typed).unwrap_or_else(|| term.means().to_owned());
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if response.hovered() {
            painter.rect_filled(rect, radius::BUTTON, t.row);
        }
        let room = rect.width() - 12.0;
        let name = paint::fitted(painter, term.name(), semibold(text::BODY), t.ink, room);
        paint::place(painter, pos2(rect.left() + 4.0, rect.top() + 15.0), Align::Min, name, t.ink);
        let line = paint::fitted(painter, &second, regular(text::CAPTION), t.ink2, room);
        paint::place(painter, pos2(rect.left() + 4.0, rect.top() + 31.0), Align::Min, line, t.ink2);
        if response.has_focus() {
            paint::focus_ring(painter, rect.shrink(2.0), radius::BUTTON, t);
        }
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Word: {}", term.name())));
    response.clicked()
}

/// Everything about one word.
fn page_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    term: &Arc<Term>,
    view: &mut WordsView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let place = view.chosen;
    ScrollArea::vertical().auto_shrink(false).id_salt(("word page", place)).show(ui, |ui| {
        let title = paragraph(ui, term.name(), semibold(text::LESSON), t.ink, 3.0);
        ui.ctx().accesskit_node_builder(title.id, |node| node.set_role(Role::Heading));
        if let Some(here) = here(shown, term) {
            paragraph(ui, &format!("Here: {here}"), semibold(text::BODY), t.accent, 4.0);
        }
        paragraph(ui, term.means(), regular(text::BODY), t.ink, 4.0);
        if !term.matters().is_empty() {
            paragraph(ui, term.matters(), regular(text::BODY), t.ink, 4.0);
        }
        picture_ui(ui, shown, term, &mut view.picture);
        let mut part = |name: &str, words: &[String]| {
            if !words.is_empty() {
                paragraph(ui, name, semibold(text::CAPTION), t.ink2, 1.0);
                for words in words {
                    paragraph(ui, words, regular(text::BODY), t.ink, 2.0);
                }
                ui.add_space(5.0);
            }
        };
        part("Also called", &term.also_by_tongue());
        part("What it is taken for", &[term.confused().to_owned()]);
        if !term.measured().is_empty() {
            part("How it is measured", &[term.measured().to_owned()]);
        }
        stands_ui(ui, shown, term, out);
        if !term.see().is_empty() {
            paragraph(ui, "See also", semibold(text::CAPTION), t.ink2, 2.0);
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
                for &other in term.see() {
                    let Some(word) = glossary().get(other) else { continue };
                    if Button::plain(Id::unique(("see", other)), word.name()).add(ui, t).clicked() {
                        view.chosen = Some(other);
                        view.take_keyboard = true;
                    }
                }
            });
            ui.add_space(8.0);
        }
    });
}

/// What the word is on the engine that is shown.
fn here(shown: &ViewContext<'_>, term: &Term) -> Option<String> {
    let now = Moment {
        project: Arc::clone(shown.session.project()),
        question: Arc::clone(shown.session.question()),
        answers: Arc::clone(shown.session.answers()),
    };
    term.here(&now, shown.cylinder, shown.units())
}

/// Where in the window the word is met, and the way there.
fn stands_ui(ui: &mut Ui, shown: &ViewContext<'_>, term: &Term, out: &mut Vec<Command>) {
    let t = shown.t;
    let stands: Vec<Stand> = term.at().collect();
    if stands.is_empty() {
        return;
    }
    paragraph(ui, "Where it stands", semibold(text::CAPTION), t.ink2, 2.0);
    let always: Vec<&str> =
        stands.iter().filter(|&&stand| way(stand, term).is_none()).map(|stand| stand.name()).collect();
    if !always.is_empty() {
        paragraph(ui, &format!("Always in sight: {}.", always.join(", ")), regular(text::BODY), t.ink, 4.0);
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        for stand in stands {
            let Some(command) = way(stand, term) else { continue };
            if Button::plain(Id::unique(("stands", stand.name())), stand.name()).add(ui, t).clicked() {
                out.push(command);
            }
        }
    });
    ui.add_space(6.0);
}

/// The command that leads there; none for what is always in sight.
fn way(stand: Stand, term: &Term) -> Option<Command> {
    let panel = match stand {
        Stand::Dimensions => return term.dimension().map(Command::GoTo),
        Stand::Towers => return Some(Command::Action(Action::Towers)),
        Stand::TitleBlock | Stand::Curves | Stand::Cylinders => return None,
        Stand::Lessons => Panel::Lessons,
        Stand::Figures => Panel::Figures,
        Stand::Effects => Panel::Effects,
        Stand::Readings => Panel::Readings,
        Stand::Shims => Panel::Shims,
        Stand::Rings => Panel::Rings,
        Stand::Binder => Panel::Binder,
        Stand::Bench => Panel::Bench,
    };
    Some(Command::Show(panel))
}
