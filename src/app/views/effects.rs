//! What moves what: each dimension's sensible step, what it does to deck and
//! ratio, and how far it would have to move alone to reach the wanted ratio.

use super::panel::{PanelStatus, PanelView};
use super::{ViewContext, sheet};
use crate::app::command::Command;
use crate::app::explain::about;
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::effect_bar::paint_bar;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::app::widgets::{paint, panel};
use crate::engine::{Group, Key};
use crate::study::answers::{Consequence, consequences_of};
use crate::study::{Effect, Outputs, words};
use egui::{Align, Rect, ScrollArea, Sense, Ui, pos2, vec2};

const ROW: f32 = 38.0;

/// One row as it is written.
struct Row<'a> {
    effect: &'a Effect,
    deck: f64,
    ratio: f64,
}

/// The panel; it remembers nothing.
#[derive(Default)]
pub(crate) struct EffectsView;

impl PanelView for EffectsView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, _: &mut Vec<Command>) {
        effects_ui(ui, cx);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        (sheet::step_note(cx).unwrap_or_default(), None)
    }
}

fn effects_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let t = shown.t;
    let Some(solved) = shown.solved() else {
        ui.label("Nothing to tell while the engine can't exist");
        return;
    };
    let now = Outputs::of_engine(&solved.engine);
    let mut rows: Vec<Row<'_>> = solved
        .effects
        .iter()
        .filter(|effect| !matches!(effect.key.row().group, Group::Timing))
        .map(|effect| {
            let (deck, ratio) = match &effect.after_step {
                Some(after) => {
                    (after.deck_clearance_mm - now.deck_clearance_mm, after.static_ratio - now.static_ratio)
                }
                None => {
                    (effect.slope.deck_clearance_mm * effect.step, effect.slope.static_ratio * effect.step)
                }
            };
            Row { effect, deck, ratio }
        })
        .collect();
    rows.sort_by(|a, b| b.ratio.abs().total_cmp(&a.ratio.abs()));
    let largest = rows.first().map_or(0.0, |row| row.ratio.abs());
    head_ui(ui, shown);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for row in &rows {
            let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
            let spoken = row_ui(ui, rect, row, largest, shown);
            response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &spoken));
            about(ui, rect, row.effect.key.id());
            panel::divider(ui.painter(), rect, rect.bottom() - 0.5, t);
        }
    });
}

/// Right ends of the columns.
fn columns(rect: Rect) -> [f32; 3] {
    [rect.left() + rect.width() * 0.47, rect.left() + rect.width() * 0.70, rect.right()]
}

fn head_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let t = shown.t;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), Sense::hover());
    let [deck, ratio, alone] = columns(rect);
    let y = rect.center().y;
    let font = || regular(text::CAPTION);
    paint::text_mid(ui.painter(), pos2(rect.left(), y), Align::Min, "one step of", font(), t.ink2);
    paint::text_mid(ui.painter(), pos2(deck, y), Align::Max, "deck", font(), t.ink2);
    paint::text_mid(ui.painter(), pos2(ratio, y), Align::Max, "ratio", font(), t.ink2);
    let wanted = match shown.question().target {
        Some(target) => format!("alone to {}", words::plain(target.get(), 2)),
        None => "no ratio wanted".into(),
    };
    paint::text_mid(ui.painter(), pos2(alone, y), Align::Max, &wanted, font(), t.ink2);
    panel::divider(ui.painter(), rect, rect.bottom(), t);
}

/// Paints a row; gives it back in words.
fn row_ui(ui: &Ui, rect: Rect, row: &Row<'_>, largest: f64, shown: &ViewContext<'_>) -> String {
    let t = shown.t;
    let painter = ui.painter();
    let key = row.effect.key;
    if shown.in_hand == Some(key) || shown.lit == Some(key) {
        painter.rect_filled(rect.expand2(vec2(14.0, 0.0)), 0.0, t.accent_tint);
    }
    let [deck_x, ratio_x, alone_x] = columns(rect);
    let first = rect.top() + 15.0;
    let second = rect.top() + 30.0;
    let kind = key.kind();
    let step = shown.written(kind, row.effect.step).to_string();
    paint::text(painter, pos2(rect.left(), first), Align::Min, key.row().short, regular(text::BODY), t.ink);
    paint::text(painter, pos2(rect.left(), second), Align::Min, &step, regular(text::LEAST), t.ink3);
    let deck = length_change(shown, row.deck);
    let ratio = words::change(row.ratio, 2);
    paint::text(painter, pos2(deck_x, first), Align::Max, &deck, regular(text::DIMENSION), t.ink2);
    paint::text(painter, pos2(ratio_x, first), Align::Max, &ratio, semibold(text::DIMENSION), t.ink);
    #[expect(clippy::cast_possible_truncation, reason = "the length of a bar on a screen")]
    let share = if largest > 0.0 { (row.ratio / largest) as f32 } else { 0.0 };
    paint_bar(painter, pos2(ratio_x - 16.0, rect.top() + 26.0), 16.0, share, t);
    let (alone, breaks) = alone(shown, row.effect);
    let colour = if breaks.is_some() { t.warn } else { t.ink };
    paint::text(painter, pos2(alone_x, first), Align::Max, &alone, semibold(text::DIMENSION), colour);
    if let Some(breaks) = &breaks {
        let room = alone_x - ratio_x - 24.0;
        let galley = paint::fitted(painter, breaks, regular(text::LEAST), t.warn, room);
        let placed = paint::place(painter, pos2(alone_x, second), Align::Max, galley, t.warn);
        Shape::Over.paint(painter, placed.left_center() - vec2(8.0, 0.0), 12.0, t);
    }
    format!(
        "{step} more of {}: deck {deck}, ratio {ratio}; alone {alone}{}",
        key.name(),
        breaks.map(|b| format!(", but {b}")).unwrap_or_default()
    )
}

fn length_change(shown: &ViewContext<'_>, mm: f64) -> String {
    let written = shown.written(crate::quantity::Kind::Length, mm);
    if written.number.chars().all(|c| matches!(c, '0' | '.')) {
        "–".into()
    } else if mm > 0.0 {
        format!("+{}", written.number)
    } else {
        written.number
    }
}

/// How far the dimension alone would have to move, and what that breaks.
fn alone(shown: &ViewContext<'_>, effect: &Effect) -> (String, Option<String>) {
    if shown.question().target.is_none() {
        return (String::new(), None);
    }
    let Some(to) = effect.to_target else { return ("cannot".into(), None) };
    let written = shown.written(effect.key.kind(), to.change);
    let sign = if to.change > 0.0 { "+" } else { "" };
    let breaks = match consequences_of(shown.question(), shown.cylinder, effect.key, to.value) {
        Consequence::Faults(faults) => faults.first().map(|fault| fault.why.clone()),
        Consequence::Limits(judged) => judged.first().map(|judged| {
            let value = judged.value_text(shown.units());
            let number = value.split(' ').next().unwrap_or(&value);
            format!("{} {number}", judged.what.name().to_lowercase())
        }),
    };
    let breaks = breaks.or_else(|| too_far(effect.key, to.value).then(|| "out of all sense".to_owned()));
    (format!("{sign}{written}"), breaks)
}

/// Whether a value lies outside what such a part can be.
fn too_far(key: Key, value: f64) -> bool {
    let (low, high) = key.row().plausible;
    value < low || value > high
}
