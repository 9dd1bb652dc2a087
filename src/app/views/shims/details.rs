//! The choice in hand in full: barrel by barrel, at the values as they stand
//! and at the unfavourable end of their doubt, and its picture.

use super::table::{self, Column, left, right};
use crate::advise::shims::{ShimChoice, ShimFormatter, worst};
use crate::app::theme::{Tokens, regular, text};
use crate::app::views::ViewContext;
use crate::app::views::cabinet::shape;
use crate::app::views::picture;
use crate::app::views::readings::parts::{caption, row};
use crate::app::widgets::{paint, verdict};
use crate::drawing::pens::Pens;
use crate::report::shims::choice_table;
use crate::scene::shim_bank::shim_bank;
use crate::study::verdict::Judgement;
use egui::accesskit::Role;
use egui::{Id, Sense, Ui, WidgetInfo, pos2, vec2};

/// Height of the picture.
const PICTURE: f32 = 176.0;
/// The same for a barrel alone, which has no level line.
const ALONE: f32 = 112.0;

/// What is told.
pub(super) struct Details<'a> {
    /// Turns it into words.
    pub telling: ShimFormatter<'a>,
    /// The place of the head in the question.
    pub head: usize,
    /// The choice.
    pub choice: &'a ShimChoice,
    /// Every limit judged with it.
    pub judged: &'a [Judgement],
}

/// Shows table, both verdicts and picture.
pub(super) fn details_ui(ui: &mut Ui, of: &Details<'_>, shown: &ViewContext<'_>) {
    let t = shown.t;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        table_ui(ui, of.choice, of.telling, t);
        verdict_ui(ui, of, shown);
        picture_ui(ui, of, shown);
    });
}

/// Level line and leaves.
fn picture_ui(ui: &mut Ui, of: &Details<'_>, shown: &ViewContext<'_>) {
    let t = shown.t;
    let alone = of.choice.fits.len() < 2;
    let rect = row(ui, if alone { ALONE } else { PICTURE });
    let bank = shim_bank(of.telling.ask, of.head, &of.choice.fits, shown.units());
    let drawn = bank.draw(picture::area(rect.shrink2(vec2(6.0, 4.0))), &Pens::SCREEN.times(0.92));
    picture::paint_list(ui, rect, &drawn.list, t);
    let times = drawn.level_scale / drawn.leaf_scale;
    let scales = if alone {
        "Leaves drawn apart.".to_owned()
    } else {
        format!("Leaves drawn apart; differences of the tops {times:.0} times as large as they.")
    };
    let words = format!("Level line and shims: {} {scales}", bank.words());
    ui.interact(rect, Id::unique("bank of the choice"), Sense::hover())
        .widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
    caption(ui, &scales, t);
}

/// What holds at the values as they stand, and what is left of that at the
/// unfavourable end of their uncertainty.
fn verdict_ui(ui: &mut Ui, of: &Details<'_>, shown: &ViewContext<'_>) {
    let t = shown.t;
    let mut line = |kind: verdict::Verdict, words: &str| {
        let galley = paint::wrapped(
            ui.painter(),
            words,
            regular(text::DIMENSION),
            kind.word_color(t),
            ui.available_width() - 36.0,
        );
        let rect = row(ui, galley.size().y + 5.0);
        kind.paint(ui.painter(), pos2(rect.left() + 17.0, rect.top() + 10.0), 13.0, t);
        ui.painter().galley(pos2(rect.left() + 32.0, rect.top() + 2.0), galley, t.ink);
        ui.interact(rect, Id::unique(("verdict", words)), Sense::hover())
            .widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    };
    line(verdict::Verdict::Inside, "At the values as they stand: every limit is held.");
    match worst(of.judged) {
        Some(judged) => {
            let words = format!("At the unfavourable end: {}.", judged.sentence(shown.units()));
            line(shape(&judged.verdict), &words);
        }
        None => line(verdict::Verdict::Unknown, "At the unfavourable end: no limit is set to judge by."),
    }
}

const COLUMNS: [Column; 6] =
    [left(0.0).strong(), left(0.1), right(0.59).strong(), right(0.74), right(0.87), right(1.0)];

/// What each barrel becomes.
fn table_ui(ui: &mut Ui, choice: &ShimChoice, telling: ShimFormatter<'_>, t: &Tokens) {
    let id = |place: usize| Id::unique(("choice of barrel", place));
    table::table_ui(ui, &choice_table(telling, choice), &COLUMNS, id, t);
}
