//! The panel of shims: what is in stock, every choice for the head in hand
//! with what it gives up, why others were not chosen, and the one step that
//! puts a choice under the barrels.

mod below;
mod chambers;
mod cuts;
mod details;
mod gaskets;
mod ladder;
mod limits;
mod pairing;
mod row;
mod stock;
mod table;

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use crate::advise::matching::{Goal, Locks};
use crate::advise::shims::{HeadAnswer, Proof, ShimFormatter};
use crate::app::command::Command;
use crate::app::icons::Icon;
use crate::app::search::{PlaceSearch, Search, SearchRunner, Searched, ShimSearch, ShimSearchOutput};
use crate::app::theme::{Tokens, radius, regular, semibold, space, text};
use crate::app::views::readings::parts::row;
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::verdict::{self, Verdict as Shape};
use crate::study::words::plain;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, RichText, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use row::{RowContent, RowPlace};
use std::collections::BTreeMap;
use std::sync::Arc;
use stock::StockView;

/// Looks at an option in a round of the search.
const LOOKS_A_ROUND: u64 = 1 << 16;
/// Height of the bar with the main button.
const BAR: f32 = 38.0;

/// What the panel remembers.
#[derive(Default)]
pub(crate) struct ShimsView {
    shims: SearchRunner<ShimSearch>,
    /// What was found for the document as it stands.
    found: Option<Arc<ShimSearchOutput>>,
    /// Sections that were folded or opened, by heading.
    folded: BTreeMap<&'static str, bool>,
    /// The choice in hand, from 0.
    chosen: usize,
    stock: StockView,
    fault: Option<String>,
    /// Where the parts go best.
    places: SearchRunner<PlaceSearch>,
    /// What may not move.
    locks: Locks,
    /// To what the chambers are opened.
    opening: Goal,
    cuts: cuts::CutsView,
    gaskets: gaskets::GasketsView,
    ladder: ladder::KeptLadder,
}

/// A section of the panel.
struct Section {
    /// Its heading.
    title: &'static str,
    /// Whether it is open until somebody folds it.
    open: bool,
    /// Whether it has anything to say about this engine.
    when: fn(&ViewContext<'_>) -> bool,
    /// What it says while it is folded; may be empty.
    status: fn(&ViewContext<'_>) -> String,
    /// What stands in it.
    body: fn(&mut Ui, &ViewContext<'_>, &mut ShimsView, &mut Vec<Command>),
}

/// All sections, from the top.
static SECTIONS: &[Section] = &[
    Section { title: "Choices", open: true, when: has_barrels, status: |_| String::new(), body: choices_ui },
    Section {
        title: "As the shims lie now",
        open: true,
        when: has_barrels,
        status: |_| "read again, expected and read".into(),
        body: below::loop_ui,
    },
    Section {
        title: "Base gaskets and ports",
        open: true,
        when: ladder::applies,
        status: |_| "squish and port timing of each height".into(),
        body: |ui, shown, view, _| ladder::ladder_ui(ui, shown, view),
    },
    Section {
        title: "Head gasket",
        open: true,
        when: |shown| !has_barrels(shown) || !shown.project().gaskets.is_empty(),
        status: gaskets::status,
        body: gaskets::gaskets_ui,
    },
    Section {
        title: "Limits and aim",
        open: false,
        when: |_| true,
        status: limits::status,
        body: limits::limits_ui,
    },
    Section {
        title: "Pairing of parts",
        open: false,
        when: |shown| shown.question().cylinders.len() > 1,
        status: |_| "rods, pistons and barrels, before any shim".into(),
        body: pairing::pairing_ui,
    },
    Section {
        title: "Chambers",
        open: false,
        when: |_| true,
        status: |_| "how much to open each".into(),
        body: chambers::chambers_ui,
    },
    Section {
        title: "Cut instead",
        open: false,
        when: |_| true,
        status: |_| "barrel tops, case, deck or head".into(),
        body: cuts::cuts_ui,
    },
    Section {
        title: "Before you fit or turn",
        open: true,
        when: |_| true,
        status: |_| "cautions".into(),
        body: |ui, shown, _, _| below::cautions_ui(ui, shown),
    },
];

fn has_barrels(shown: &ViewContext<'_>) -> bool {
    shown.project().engine.construction.has_barrels()
}

impl PanelView for ShimsView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        shims_ui(ui, cx, self, out);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        (shims_status(cx), None)
    }
}

fn shims_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, out: &mut Vec<Command>) {
    let wanted = ShimSearch(Searched::of(shown.session));
    view.shims.refresh(&wanted, ui.ctx());
    view.found = view.shims.found(&wanted).filter(|(_, now)| *now).map(|(found, _)| found);
    let room = ui.available_rect_before_wrap();
    let bar = Rect::from_min_max(pos2(room.left(), room.bottom() - BAR), room.max);
    // Nothing goes under the cylinders of a block: no bar to fit it.
    let barrels = has_barrels(shown);
    let foot = if barrels { bar.top() - space::TIGHT } else { room.bottom() };
    let rest = Rect::from_min_max(room.min, pos2(room.right(), foot));
    ui.scope_builder(UiBuilder::new().max_rect(rest).id_salt("choices"), |ui| {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 5.0);
            ui.set_max_width(ui.available_width() - 10.0);
            head_ui(ui, shown, out);
            if barrels {
                stock::stock_ui(ui, shown, &mut view.stock, out);
            }
            for section in SECTIONS.iter().filter(|section| (section.when)(shown)) {
                if heading_ui(ui, section, shown, view) {
                    ui.push_id(section.title, |ui| (section.body)(ui, shown, view, out));
                }
            }
        });
    });
    if barrels {
        ui.scope_builder(UiBuilder::new().max_rect(bar).id_salt("take"), |ui| {
            take_ui(ui, shown, view, out);
        });
    }
    ui.advance_cursor_after_rect(room);
}

/// The heading of a section, which folds it; whether it is open.
fn heading_ui(ui: &mut Ui, section: &Section, shown: &ViewContext<'_>, view: &mut ShimsView) -> bool {
    let t = shown.t;
    let open = view.folded.get(section.title).map_or(section.open, |folded| !folded);
    let line = row(ui, 26.0);
    let response = ui.interact(line, Id::unique(("shims section", section.title)), Sense::click());
    let painter = ui.painter();
    painter.rect_filled(line.shrink2(vec2(0.0, 1.0)), radius::FIELD, t.row);
    let icon = if open { Icon::Fold } else { Icon::Unfold };
    icon.paint(painter, pos2(line.left() + 11.0, line.center().y), 13.0, t.ink2);
    let at = pos2(line.left() + 24.0, line.center().y);
    let named = paint::text_mid(painter, at, Align::Min, section.title, semibold(text::BODY), t.ink);
    let status = if open { String::new() } else { (section.status)(shown) };
    let room = line.right() - 8.0 - named.right() - 12.0;
    let galley = paint::fitted(painter, &status, regular(text::CAPTION), t.ink2, room.max(0.0));
    let baseline = paint::baseline_for_middle(line.center().y, text::CAPTION);
    paint::place(painter, pos2(line.right() - 8.0, baseline), Align::Max, galley, t.ink2);
    if response.has_focus() {
        paint::focus_ring(painter, line.shrink(3.0), radius::FIELD, t);
        response.scroll_to_me(None);
    }
    let words =
        if status.is_empty() { section.title.to_owned() } else { format!("{}, {status}", section.title) };
    response.widget_info(|| WidgetInfo::selected(Role::DisclosureTriangle, true, open, &words));
    if response.clicked() {
        view.folded.insert(section.title, open);
        return !open;
    }
    open
}

/// What the closed panel says.
fn shims_status(shown: &ViewContext<'_>) -> String {
    let project = shown.project();
    if project.engine.construction.is_block() {
        return gaskets::status(shown);
    }
    match project.shims.iter().map(|shim| u64::from(shim.count)).sum::<u64>() {
        0 => "none in the drawer".into(),
        1 => "1 in the drawer".into(),
        all => format!("{all} in the drawer"),
    }
}

/// A line in small letters.
fn say(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
}

/// A line that stands over what follows.
fn title(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(semibold(text::BODY)).color(t.ink));
}

/// The head that is looked at: that of the cylinder in hand.
fn head_in_hand(shown: &ViewContext<'_>) -> Option<usize> {
    shown.question().cylinders.get(shown.cylinder).map(|cylinder| cylinder.head)
}

/// Which head, and a button for each other one.
fn head_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let question = shown.question();
    let Some(head) = head_in_hand(shown) else { return };
    let under = |head: usize| -> Vec<(usize, &str)> {
        let cylinders = question.cylinders.iter().enumerate();
        cylinders.filter(|(_, c)| c.head == head).map(|(i, c)| (i, c.label.as_str())).collect()
    };
    let label = |head: usize| question.heads.get(head).map_or("", |head| head.label.as_str());
    let labels: Vec<&str> = under(head).into_iter().map(|(_, label)| label).collect();
    let what = if has_barrels(shown) { "barrel" } else { "cylinder" };
    let carries = match labels.as_slice() {
        [one] => format!("Head {} carries {what} {one} alone.", label(head)),
        several => format!("Head {} carries {what}s {}.", label(head), several.join(", ")),
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(carries).font(semibold(text::BODY)).color(t.ink));
        for other in (0..question.heads.len()).filter(|other| *other != head) {
            if let Some((first, _)) = under(other).first() {
                let words = format!("Head {}", label(other));
                if Button::plain(Id::unique(("head", other)), &words).add(ui, t).clicked() {
                    out.push(Command::ShowCylinder(*first));
                }
            }
        }
    });
}

/// The choices for the head in hand, or that they are being looked for.
fn choices_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, _: &mut Vec<Command>) {
    if let Some(found) = view.found.clone() {
        return found_ui(ui, shown, view, &found);
    }
    let wanted = ShimSearch(Searched::of(shown.session));
    progress_ui(ui, &view.shims, &wanted, "Looking through the stacks", shown.t);
}

/// While a search runs: how much it has looked at, and how to stop it.
fn progress_ui<S: Search>(ui: &mut Ui, search: &SearchRunner<S>, wanted: &S, doing: &str, t: &Tokens) {
    if let Some(why) = search.failure(wanted) {
        say(ui, &why, t);
    }
    let Some(rounds) = search.rounds() else { return };
    ui.horizontal(|ui| {
        say(ui, doing, t);
        // A short search is over before anybody could stop it.
        if rounds > 0 {
            let nodes = (rounds * LOOKS_A_ROUND) as f64 / 1e6;
            say(ui, &format!("{} million looks", plain(nodes, 1)), t);
            if Button::plain(Id::unique(("stop", doing)), "Stop with the best so far").add(ui, t).clicked() {
                search.stop();
            }
        }
    });
    ui.ctx().request_repaint_after(std::time::Duration::from_millis(200));
}

/// A little room below what was said.
fn gap(ui: &mut Ui) {
    row(ui, 6.0);
}

/// The answer for the head in hand.
fn found_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, found: &ShimSearchOutput) {
    let t = shown.t;
    let telling = ShimFormatter { ask: &found.ask, units: shown.units() };
    for remark in telling.remarks() {
        say(ui, &remark, t);
    }
    let Some((head, judged)) = answer_in_hand(shown, found) else { return };
    view.chosen = view.chosen.min(head.choices.len().saturating_sub(1));
    if head.is_possible() {
        row::heads_ui(ui, &head.choices[0], &telling, t);
    }
    for (place, choice) in head.choices.iter().enumerate() {
        let judged = judged.get(place).map_or(&[][..], Vec::as_slice);
        let best = head.choices.first().filter(|_| place > 0);
        let says = RowContent::of_choice(
            &telling,
            head.head,
            choice,
            place,
            best,
            judged,
            choice.is_under(shown.question()),
        );
        let at = RowPlace { id: Id::unique(("choice", place)), chosen: place == view.chosen };
        if row::row_ui(ui, &at, &says, t).clicked() {
            view.chosen = place;
        }
        if at.chosen {
            details::details_ui(ui, &details::Details { telling, head: head.head, choice, judged }, shown);
        }
    }
    let none = telling.why_none(&found.answer, head);
    if !none.is_empty() {
        let words = "No choice holds every limit";
        let line = row(ui, 22.0);
        verdict::with_word(ui.painter(), line.left_center(), Shape::Over, words, text::BODY, t);
        ui.interact(line, Id::unique("no choice"), Sense::hover())
            .widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    }
    for sentence in none {
        say(ui, &sentence, t);
    }
    if !head.misses.is_empty() {
        title(ui, "Not chosen, and why", t);
        for (place, miss) in head.misses.iter().enumerate() {
            let says = RowContent::of_miss(&telling, head.head, miss, miss.is_under(shown.question()));
            row::row_ui(ui, &RowPlace { id: Id::unique(("miss", place)), chosen: false }, &says, t);
            let breaks: Vec<String> = miss.breaks.iter().map(|broken| telling.broken(broken)).collect();
            say(ui, &capital(&format!("{}.", breaks.join("; "))), t);
        }
    }
    say(ui, &telling.proof(&found.answer), t);
    if matches!(found.answer.proof, Proof::Stopped { .. } | Proof::FirstProved)
        && Button::plain(Id::unique("search again"), "Look again").add(ui, t).clicked()
    {
        view.shims.again();
    }
}

/// The answer for the head in hand, with its choices judged.
fn answer_in_hand<'a>(
    shown: &ViewContext<'_>,
    found: &'a ShimSearchOutput,
) -> Option<(&'a HeadAnswer, &'a Vec<Vec<crate::study::verdict::Judgement>>)> {
    let head = head_in_hand(shown)?;
    found.answer.heads.iter().zip(&found.judged).find(|(answer, _)| answer.head == head)
}

/// With a capital letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The main button.
fn take_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let found = view.found.clone();
    let choice = found.as_deref().and_then(|found| {
        let (head, _) = answer_in_hand(shown, found)?;
        Some((found, head, head.choices.get(view.chosen)?))
    });
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing = vec2(10.0, 0.0);
        let Some((found, head, choice)) = choice else {
            Button::primary(Id::unique("fit"), "Fit a choice").enabled(false).add(ui, t);
            return;
        };
        let telling = ShimFormatter { ask: &found.ask, units: shown.units() };
        let barrels = if choice.fits.len() == 1 { "barrel" } else { "barrels" };
        let words = format!("Fit choice {} to {barrels} {}", view.chosen + 1, telling.labels(choice));
        let fitted = choice.is_under(shown.question());
        if Button::primary(Id::unique("fit"), &words).enabled(!fitted).add(ui, t).clicked() {
            match shown.project().fit_shims(words.clone(), &choice.fits) {
                Ok(edit) => {
                    view.fault = None;
                    out.push(Command::Edit(edit, None));
                }
                Err(why) => view.fault = Some(why.to_string()),
            }
        }
        let others = found.answer.heads.iter().any(|other| other.head != head.head);
        let then = match (&view.fault, fitted) {
            (Some(fault), _) => fault.clone(),
            (None, true) => "These lie under the barrels now. Measure again.".into(),
            (None, false) if others && view.chosen > 0 => {
                "Then measure again. Another head may want the same shims.".into()
            }
            (None, false) => "Then measure again.".into(),
        };
        say(ui, &then, t);
    });
}
