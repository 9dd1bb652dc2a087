//! What this program is, and by which licences it and its parts are given.

use super::{PromptAnswer, title};
use crate::app::theme::{Tokens, regular, semibold, space, text};
use crate::app::widgets::button::{Button, Kind};
use crate::licences::{LINES, OWN, PARTS, WHAT};
use egui::{FontFamily, FontId, Id, RichText, ScrollArea, TextWrapMode, Ui, vec2};

const WIDTH: f32 = 620.0;
/// Height of the text that is rolled.
const ROLL: f32 = 240.0;
const LETTERS: f32 = 11.5;

/// Shows the card; `part` is the part whose licence is shown.
pub(super) fn about_ui(ui: &mut Ui, part: &mut usize, t: &Tokens) -> Option<PromptAnswer> {
    ui.set_width(WIDTH);
    title(ui, &format!("crowndeck {}", env!("CARGO_PKG_VERSION")), t);
    let say = |ui: &mut Ui, words: &str| {
        ui.label(RichText::new(words).font(regular(text::BODY)).color(t.ink2));
    };
    say(ui, WHAT);
    say(
        ui,
        "It computes from what was typed. The maker's figures, the machinist and local rules come first.",
    );
    say(ui, "It uses no network and sends nothing.");
    ui.add_space(space::NEAR);
    ui.label(RichText::new(format!("Licence: {OWN}")).font(semibold(text::BODY)).color(t.ink));
    ui.add_space(space::TIGHT);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        for (i, of) in PARTS.iter().enumerate() {
            let kind = if *part == i { Kind::Chosen } else { Kind::Plain };
            let button = Button { kind, ..Button::plain(Id::unique(("licence of", i)), of.name) };
            if button.add(ui, t).clicked() {
                *part = i;
            }
        }
    });
    ui.add_space(space::NEAR);
    let lines = LINES.get(*part).map_or(&[][..], Vec::as_slice);
    let font = FontId::new(LETTERS, FontFamily::Monospace);
    let height = ui.fonts_mut(|fonts| fonts.row_height(&font));
    ui.spacing_mut().item_spacing.y = 0.0;
    ScrollArea::both().id_salt(("licence", *part)).max_height(ROLL).auto_shrink(false).show_rows(
        ui,
        height,
        lines.len(),
        |ui, rows| {
            ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
            for line in lines.get(rows).unwrap_or_default() {
                ui.label(RichText::new(*line).font(font.clone()).color(t.ink));
            }
        },
    );
    ui.add_space(space::GAP);
    ui.button("Close").clicked().then_some(PromptAnswer::Close)
}
