//! How much to open each chamber to match, and which head goes where.

use super::ShimsView;
use super::table::{self, Column, left, right};
use crate::advise::matching::{Goal, Opening, open};
use crate::app::command::Command;
use crate::app::theme::{semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, row, say};
use crate::app::widgets::button::{Button, Kind as ButtonKind};
use crate::project::Edit;
use crate::quantity::{Kind, write};
use crate::report::openings::{openings_table, swap_measure, swap_moves};
use crate::study::words::plain;
use egui::{Id, Rect, Ui, pos2};

const GOALS: [(Goal, &str); 3] = [
    (Goal::Volumes, "All hold the same"),
    (Goal::Ratios, "One ratio for all"),
    (Goal::Wanted, "The ratio wanted"),
];

const COLUMNS: [Column; 7] = [
    left(0.0).strong(),
    right(0.2),
    right(0.38).strong(),
    right(0.55),
    right(0.73),
    right(0.87),
    right(1.0).strong(),
];

/// Shows all of it.
pub(super) fn chambers_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut ShimsView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    ui.spacing_mut().item_spacing.y = 1.0;
    heads_ui(ui, shown, view, out);
    let line = row(ui, 34.0);
    let mut left = line.left();
    for (goal, name) in GOALS {
        let kind = if goal == view.opening { ButtonKind::Chosen } else { ButtonKind::Plain };
        let button = Button { kind, ..Button::plain(Id::unique(("open chambers", name)), name) };
        let rect = Rect::from_min_size(pos2(left, line.top() + 3.0), button.size(ui.painter(), t));
        left = rect.right() + 6.0;
        if button.show(ui, rect, t).clicked() {
            view.opening = goal;
        }
    }
    let all = match open(shown.question(), view.opening) {
        Ok(all) => all,
        Err(why) => {
            caption(ui, &format!("{why}."), t);
            return;
        }
    };
    let volume = |cc: f64| write(Kind::Volume, cc, Some(2), shown.units()).to_string();
    let id = |place: usize| Id::unique(("chamber", place));
    table::table_ui(ui, &openings_table(shown.question(), shown.units(), &all), &COLUMNS, id, t);
    let larger = |o: &Opening| {
        let label = shown.question().cylinders.get(o.cylinder).map_or("", |c| c.label.as_str());
        format!("{label} by {}", volume(-o.open_cc))
    };
    let too_large: Vec<String> = all.iter().filter(|o| o.open_cc < -5e-4).map(larger).collect();
    if !too_large.is_empty() {
        let words = format!(
            "Already larger than that: {}. Metal can't be put back; choose another goal.",
            too_large.join(", ")
        );
        say(ui, &words, semibold(text::CAPTION), t.warn);
    }
    caption(
        ui,
        "Open where the wall is thick and the flow wants it, a little at a time, and fill each chamber again: a bubble of \
         10 mm is 0.5 cc. The machinist has the last word on what the wall can lose.",
        t,
    );
    let any = |o: &Opening| o.open_cc > 5e-3;
    if too_large.is_empty() && all.iter().any(any) {
        let words = "Put them into the engine as a trial";
        if Button::plain(Id::unique("try chambers"), words).add(ui, t).clicked() {
            match shown.project().try_openings("Try opened chambers".into(), &all) {
                Ok(edit) => out.push(Command::Edit(edit, None)),
                Err(why) => view.fault = Some(why.to_string()),
            }
        }
        super::gap(ui);
    }
}

/// Which head goes where, if that is better than how they stand.
fn heads_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, out: &mut Vec<Command>) {
    let t = shown.t;
    if shown.question().heads.len() < 2 {
        return;
    }
    let wanted = super::pairing::places(shown, view);
    view.places.refresh(&wanted, ui.ctx());
    let told = view.places.found(&wanted).filter(|(_, now)| *now);
    let Some((told, _)) = told else {
        super::progress_ui(ui, &view.places, &wanted, "Looking where the heads go best", t);
        return;
    };
    let swap = match &told.swap {
        Ok(swap) => swap,
        Err(why) => {
            caption(ui, &format!("{why}."), t);
            return;
        }
    };
    let what = swap_measure(shown.question());
    if swap.then >= swap.now - 1e-9 {
        let proved = if swap.proved { "" } else { " that was found" };
        caption(ui, &format!("The heads stand where {what} is least{proved}: {}.", plain(swap.now, 2)), t);
        return;
    }
    let words = format!(
        "Put {}: it brings {what} from {} to {} without any cut, if the heads can be swapped.",
        swap_moves(shown.question(), swap),
        plain(swap.now, 2),
        plain(swap.then, 2)
    );
    say(ui, &words, semibold(text::CAPTION), t.ink);
    if Button::plain(Id::unique("swap heads"), "Swap the heads so").add(ui, t).clicked() {
        let moves = Box::new(shown.project().moves_of_heads(swap));
        out.push(Command::Edit(Edit::MoveParts { what: "Swap the heads".into(), moves }, None));
    }
}
