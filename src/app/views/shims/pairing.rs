//! Which rod, piston and barrel goes into which hole before any shim is
//! chosen, what may not move, and what it buys.

use super::ShimsView;
use super::table::{self, Column, left, right};
use crate::advise::matching::{Locks, Pairing};
use crate::app::command::Command;
use crate::app::search::{PlaceSearch, Searched};
use crate::app::theme::{regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, row, say};
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::paint;
use crate::engine::words::gap;
use crate::project::{Edit, PartMoves};
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// Height of a line with its locks.
const LINE: f32 = 30.0;
const CELL: f32 = 84.0;

const HEADS: [&str; 6] = ["Hole", "Rod", "Piston", "Barrel", "Deck now", "Deck then"];
const COLUMNS: [Column; 6] =
    [left(0.0).strong(), left(0.08), left(0.25), left(0.42), right(0.79), right(1.0).strong()];

/// What is asked: nothing that shares a casting moves.
pub(super) fn places(shown: &ViewContext<'_>, view: &ShimsView) -> PlaceSearch {
    let mut locks = view.locks.clone();
    for (place, forced) in shown.project().pairing_locks().barrels.into_iter().enumerate() {
        if forced {
            set(&mut locks.barrels, place, true);
        }
    }
    PlaceSearch { of: Searched::of(shown.session), locks }
}

fn is_set(of: &[bool], place: usize) -> bool {
    of.get(place).copied().unwrap_or(false)
}

fn set(of: &mut Vec<bool>, place: usize, to: bool) {
    if of.len() <= place {
        of.resize(place + 1, false);
    }
    if let Some(slot) = of.get_mut(place) {
        *slot = to;
    }
}

/// Shows all of it.
pub(super) fn pairing_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, out: &mut Vec<Command>) {
    let t = shown.t;
    ui.spacing_mut().item_spacing.y = 1.0;
    let wanted = places(shown, view);
    view.places.refresh(&wanted, ui.ctx());
    caption(
        ui,
        "Before any shim: long rod with short piston, long barrel over a low face. Press what must stay where it is.",
        t,
    );
    let mut stay = view.locks.pistons_stay_in_their_barrels;
    if ui.checkbox(&mut stay, "Each piston stays with the barrel that it was fitted to").changed() {
        view.locks.pistons_stay_in_their_barrels = stay;
    }
    let told = view.places.found(&wanted);
    let now = told.as_ref().is_some_and(|(_, now)| *now);
    let found = match told.as_ref().map(|(told, _)| &told.pairing) {
        Some(Err(why)) => {
            caption(ui, &format!("{why}."), t);
            return;
        }
        Some(Ok(pairing)) => Some(pairing),
        None => None,
    };
    if let Some(pairing) = found {
        lines_ui(ui, shown, &wanted.locks, &mut view.locks, pairing);
        if now {
            caption(ui, &pairing.sentence(shown.units()), t);
        }
    }
    super::progress_ui(ui, &view.places, &wanted, "Looking through the pairings", t);
    if now && let Some(pairing) = found.filter(|pairing| pairing.moves()) {
        caption(
            ui,
            "Look at the clearance of each piston in its new bore first; matched weights and marks stay together. \
             Readings go with their parts; decks that were read with other parts are struck out, not deleted. \
             Then read the deck again in every hole that changed.",
            t,
        );
        let take = Button::plain(Id::unique("take pairing"), "Pair the parts so");
        if take.add(ui, t).clicked() {
            let moves = Box::new(PartMoves::from(pairing));
            out.push(Command::Edit(Edit::MoveParts { what: "Pair the parts".into(), moves }, None));
        }
        super::gap(ui);
    }
}

/// What goes where, a line a hole.
fn lines_ui(ui: &mut Ui, shown: &ViewContext<'_>, locks: &Locks, own: &mut Locks, pairing: &Pairing) {
    let t = shown.t;
    table::head_ui(ui, &COLUMNS, HEADS, t);
    let label = |place: usize| shown.question().cylinders.get(place).map_or("", |c| c.label.as_str());
    for (hole, seat) in pairing.seats.iter().enumerate() {
        let rect = row(ui, LINE);
        let middle = rect.center().y;
        let at = pos2(rect.left() + 8.0, middle);
        paint::text_mid(ui.painter(), at, Align::Min, label(hole), semibold(text::DIMENSION), t.ink);
        let parts = [
            (seat.rod, "Rod", 0.08, &locks.rods, &mut own.rods),
            (seat.piston, "Piston", 0.25, &locks.pistons, &mut own.pistons),
            (seat.barrel, "Barrel", 0.42, &locks.barrels, &mut own.barrels),
        ];
        for (from, name, share, all, own) in parts {
            let locked = is_set(all, hole);
            let forced = locked && !is_set(own, hole);
            let says = match (locked, from == hole) {
                (true, _) => "locked".to_owned(),
                (false, true) => "stays".to_owned(),
                (false, false) => format!("from {}", label(from)),
            };
            let kind = if locked { Kind::Chosen } else { Kind::Plain };
            let tooltip = if forced {
                "It shares a casting and can't move alone"
            } else {
                "Press to lock it in its place, or to let it move"
            };
            let id = Id::unique(("part", name, hole));
            let button = Button { kind, tooltip, enabled: !forced, ..Button::plain(id, &says) };
            let at = pos2(rect.left() + rect.width() * share, middle - 13.0);
            let response = button.show(ui, Rect::from_min_size(at, vec2(CELL, 26.0)), t);
            let spoken = format!("{name} for hole {}: {says}", label(hole));
            if response.accessible_name(spoken).clicked() {
                set(own, hole, !locked);
            }
        }
        for (decks, column, font) in [
            (&pairing.now.decks_mm, COLUMNS[4], regular(text::DIMENSION)),
            (&pairing.then.decks_mm, COLUMNS[5], semibold(text::DIMENSION)),
        ] {
            let Some(mm) = decks.get(hole) else { continue };
            let at = pos2(rect.left() + rect.width() * column.at - 8.0, middle);
            paint::text_mid(ui.painter(), at, Align::Max, &gap(*mm, None, shown.units()), font, t.ink);
        }
    }
    say(ui, "Decks without any shim.", regular(text::CAPTION), t.ink3);
}
