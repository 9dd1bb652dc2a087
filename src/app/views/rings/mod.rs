//! The panel of rings: every ring of the piston in hand with its gap wanted
//! and read, what to file and where to stop; where the gaps stand; ring and
//! groove; what heat leaves of the gaps; the set itself.

mod all;
mod choices;
mod filing;
mod gaps;
mod groove;
mod heat;
mod plan;
mod ports;
mod scales;
mod set;
mod typed;

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use super::readings::parts::row;
use crate::advise::rings::Role;
use crate::app::command::Command;
use crate::app::theme::{Tokens, regular, semibold, text};
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::paint;
use crate::drawing::rings::plan::Dial;
use crate::project::Edit;
use egui::accesskit::Role as Spoken;
use egui::{Id, Rect, RichText, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};

/// A page of the panel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    /// What is read, filed and turned.
    #[default]
    Gaps,
    /// Ring and groove.
    Groove,
    /// What heat leaves of the gaps.
    Hot,
    /// Which rings there are, and the ports.
    Set,
}

impl Page {
    const ALL: [(Self, &'static str); 4] =
        [(Self::Gaps, "Gaps"), (Self::Groove, "In the groove"), (Self::Hot, "Hot"), (Self::Set, "The set")];
}

/// What the panel remembers.
#[derive(Default)]
pub(crate) struct RingsView {
    page: Page,
    dial: Dial,
    /// The gap in hand on the plan.
    marked: Option<Role>,
    /// The ring in hand, from 0.
    ring: usize,
    /// What was wrong with the last thing typed.
    fault: Option<String>,
    /// The field that has the keyboard from the next frame on. Had it at once,
    /// it would take what was typed in this frame a second time.
    next: Option<Id>,
    /// A gap that was questioned: whose, and as typed. Typed once more it is
    /// taken.
    asked: Option<(Id, String)>,
}

impl RingsView {
    /// Sends a change on its way; what was wrong before no longer matters.
    fn take(&mut self, edit: Option<Edit>, out: &mut Vec<Command>) {
        self.fault = None;
        out.extend(edit.map(|edit| Command::Edit(edit, None)));
    }
}

impl PanelView for RingsView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        rings_ui(ui, cx, self, out);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        (rings_status(cx), None)
    }
}

fn rings_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let rings = &shown.project().rings;
    view.ring = view.ring.min(rings.len().saturating_sub(1));
    if rings.is_empty() && view.page != Page::Set {
        view.page = Page::Set;
    }
    if let Some(next) = view.next.take() {
        ui.memory_mut(|memory| memory.request_focus(next));
    }
    pages_ui(ui, shown, view);
    // What is seen without scrolling sets the size of the plan.
    let room = ui.available_height();
    ScrollArea::vertical().id_salt(("rings", view.page as u8)).auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 5.0);
        ui.set_max_width(ui.available_width() - 10.0);
        ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Wrap);
        for fault in &shown.session.rings().faults {
            warn(ui, &fault.sentence(shown.units()), t);
        }
        if let Some(fault) = &view.fault {
            warn(ui, fault, t);
        }
        match view.page {
            Page::Gaps => {
                gaps::gaps_ui(ui, shown, view, out);
                filing::sentence_ui(ui, shown, view);
                plan::plan_ui(ui, shown, view, room, out);
                filing::filing_ui(ui, shown, view, out);
                all::all_ui(ui, shown, view, out);
            }
            Page::Groove => groove::groove_ui(ui, shown, view, out),
            Page::Hot => heat::heat_ui(ui, shown, view, out),
            Page::Set => set::set_ui(ui, shown, view, out),
        }
    });
}

/// The pages side by side; the open one is marked.
fn pages_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView) {
    let line = row(ui, 34.0);
    let mut left = line.left();
    for (page, name) in Page::ALL {
        let plain = Button::plain(Id::unique(("rings page", name)), name);
        let button = if page == view.page { Button { kind: Kind::Chosen, ..plain } } else { plain };
        let rect = Rect::from_min_size(pos2(left, line.top()), button.size(ui.painter(), shown.t));
        left = rect.right() + 6.0;
        if button.show(ui, rect, shown.t).clicked() {
            view.page = page;
            view.fault = None;
        }
    }
}

/// What is left to do, for the closed panel.
fn rings_status(shown: &ViewContext<'_>) -> String {
    let left = shown.session.rings().left_to_do();
    match (left.rings, left.to_file, left.unmeasured) {
        (0, ..) => "none entered".into(),
        (_, 0, 0) => "none to file".into(),
        (_, 0, 1) => "1 not measured".into(),
        (_, 0, unmeasured) => format!("{unmeasured} not measured"),
        (_, 1, _) => "1 gap to file".into(),
        (_, to_file, _) => format!("{to_file} gaps to file"),
    }
}

/// The buttons of all rings, to take one in hand.
fn which_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView) {
    ui.horizontal_wrapped(|ui| {
        for (index, ring) in shown.project().rings.iter().enumerate() {
            let kind = if view.ring == index { Kind::Chosen } else { Kind::Plain };
            let title = ring.title();
            let button = Button { kind, ..Button::plain(Id::unique(("ring in hand", index)), &title) };
            if button.add(ui, shown.t).clicked() {
                view.ring = index;
            }
        }
    });
}

/// With a capital at its head.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A line in small letters.
fn say(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
}

/// A line that nobody should miss.
fn warn(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(semibold(text::DIMENSION)).color(t.warn));
}

/// A line that stands over what follows.
fn title(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(semibold(text::BODY)).color(t.ink));
}

fn bullet(ui: &mut Ui, words: &str, t: &Tokens) {
    let room = ui.available_width() - 12.0;
    let galley = paint::wrapped(ui.painter(), words, regular(text::CAPTION), t.ink2, room);
    let size = vec2(ui.available_width(), galley.size().y);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    ui.painter().circle_filled(rect.min + vec2(4.0, 8.0), 2.0, t.ink2);
    ui.painter().galley(rect.min + vec2(12.0, 0.0), galley, t.ink2);
    response.widget_info(|| WidgetInfo::labeled(Spoken::Label, true, words));
}
