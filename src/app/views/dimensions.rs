//! The list of dimensions: one row each, grouped as the machine is built.

use super::ViewContext;
use crate::app::command::Command;
use crate::app::entry::{self, Typed};
use crate::app::layout::Rows;
use crate::app::theme::{radius, regular, semibold, space, text};
use crate::app::widgets::effect_bar::Effect as EffectBar;
use crate::app::widgets::field::{Check, QuantityField};
use crate::app::widgets::paint;
use crate::app::widgets::row::{DimensionEntry, RowEvent, group_head};
use crate::app::widgets::slider::Slider;
use crate::engine::{Absent, Exists, Group, Key, Provenance};
use crate::project::{Construction, Edit, Gesture};
use crate::quantity::Kind;
use crate::study::{Effect, Outputs};
use egui::{Align, Id, Rect, ScrollArea, Sense, Ui, UiBuilder, pos2, vec2};
use serde::{Deserialize, Serialize};

/// Which figure the effects are told of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Moves {
    /// Deck clearance, mm.
    Deck,
    /// Squish, mm.
    Squish,
    /// Clearance volume, cc.
    Clearance,
    /// Static ratio.
    #[default]
    Ratio,
}

impl Moves {
    const ALL: [Self; 4] = [Self::Deck, Self::Squish, Self::Clearance, Self::Ratio];

    fn name(self) -> &'static str {
        match self {
            Self::Deck => "Deck",
            Self::Squish => "Squish",
            Self::Clearance => "Clearance",
            Self::Ratio => "Ratio",
        }
    }

    fn of(self, outputs: &Outputs) -> f64 {
        match self {
            Self::Deck => outputs.deck_clearance_mm,
            Self::Squish => outputs.squish_clearance_mm,
            Self::Clearance => outputs.clearance_volume_cc,
            Self::Ratio => outputs.static_ratio,
        }
    }
}

/// What the list remembers.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(crate) struct DimensionsView {
    /// Which figure the effects are told of.
    moves: Moves,
    /// Groups that were folded or unfolded by hand.
    unfolded: Vec<(u8, bool)>,
    /// The row that has the keyboard or is held.
    #[serde(skip)]
    pub in_hand: Option<Key>,
    /// The row under the pointer.
    #[serde(skip)]
    pub hovered: Option<Key>,
    /// A row to put the keyboard into.
    #[serde(skip)]
    go_to: Option<Key>,
    /// A row to bring into sight.
    #[serde(skip)]
    reveal: Option<Key>,
    /// Where the rows stand in this frame.
    #[serde(skip)]
    pub rows: Vec<(Key, Rect)>,
}

impl DimensionsView {
    /// Puts the keyboard into the field of a dimension in the next frame.
    pub(crate) fn go_to(&mut self, key: Key) {
        self.unfold(key.row().group, true);
        self.go_to = Some(key);
    }

    /// Brings the row of a dimension into sight in the next frame.
    pub(crate) fn reveal(&mut self, key: Key) {
        self.unfold(key.row().group, true);
        self.reveal = Some(key);
    }

    fn is_unfolded(&self, group: Group) -> bool {
        let by_hand = self.unfolded.iter().find(|(g, _)| *g == group as u8);
        by_hand.map_or(!group.is_folded(), |(_, open)| *open)
    }

    fn unfold(&mut self, group: Group, open: bool) {
        self.unfolded.retain(|(g, _)| *g != group as u8);
        self.unfolded.push((group as u8, open));
    }
}

/// The field of a dimension, for whoever wants to put the keyboard there.
#[must_use]
pub(crate) fn field_id(key: Key) -> Id {
    Id::unique(("dimension", key.index()))
}

/// Whether a dimension belongs to this construction or was given anyway.
#[must_use]
pub(crate) fn belongs(shown: &ViewContext<'_>, key: Key) -> bool {
    if shown.entry(key).is_some() {
        return true;
    }
    let construction = shown.project().engine.construction;
    match key.row().exists {
        Exists::Always => true,
        Exists::UnderBarrels => construction.has_barrels(),
        Exists::TwoStroke => construction == Construction::TwoStroke,
        Exists::FourStroke => construction != Construction::TwoStroke,
        Exists::With(other) => shown.value(other).is_some_and(|value| value > 0.0),
    }
}

/// Shows the panel.
pub(crate) fn dimensions_ui(
    ui: &mut Ui,
    rect: Rect,
    shown: &ViewContext<'_>,
    view: &mut DimensionsView,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    ui.painter().rect_filled(rect, radius::PANEL, t.panel);
    let head = Rect::from_min_size(rect.min, vec2(rect.width(), 40.0));
    head_ui(ui, head, shown, view);
    let list = Rect::from_min_max(pos2(rect.left(), head.bottom()), rect.max - vec2(0.0, 6.0));
    view.hovered = None;
    view.rows.clear();
    view.in_hand = None;
    let effects = shown.solved().map(|s| s.effects.as_slice()).unwrap_or_default();
    let largest =
        effects.iter().filter_map(|e| moved_by_step(shown, view.moves, e)).map(f64::abs).fold(0.0, f64::max);
    ui.scope_builder(UiBuilder::new().max_rect(list).id_salt("dimensions"), |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            for group in Group::ALL {
                let keys: Vec<Key> = Key::of_group(group).filter(|&key| belongs(shown, key)).collect();
                let foldable = group.is_folded();
                let open = view.is_unfolded(group);
                let meaning =
                    if foldable && !open { summary(shown, group) } else { group.meaning().to_owned() };
                let response = group_head(ui, group.name(), &meaning, t);
                // An identity of its own: the head itself senses nothing, and
                // what is not to be focused gives the keyboard away.
                let fold = Id::unique(("dimensions head", group.name()));
                let response = ui.interact(response.rect, fold, Sense::click());
                response.widget_info(|| {
                    let state = if open { "fold" } else { "unfold" };
                    egui::WidgetInfo::labeled(
                        egui::accesskit::Role::Button,
                        true,
                        format!("{}: {state}", group.name()),
                    )
                });
                if response.has_focus() {
                    paint::focus_ring(ui.painter(), response.rect, radius::FIELD, t);
                }
                if response.clicked() {
                    view.unfold(group, !open);
                }
                if !open {
                    continue;
                }
                for key in keys {
                    let effect = effects.iter().find(|e| e.key == key);
                    let share = effect
                        .and_then(|e| moved_by_step(shown, view.moves, e))
                        .map(|moved| (moved, largest));
                    row_ui(ui, key, share, shown, view, gesture, out);
                }
            }
        });
    });
}

fn head_ui(ui: &mut Ui, rect: Rect, shown: &ViewContext<'_>, view: &mut DimensionsView) {
    let t = shown.t;
    let painter = ui.painter().clone();
    let mid = rect.center().y;
    paint::text_mid(
        &painter,
        pos2(rect.left() + space::INNER, mid),
        Align::Min,
        "Dimensions",
        semibold(15.0),
        t.ink,
    );
    if shown.layout.rows == Rows::Plain {
        return;
    }
    let galley = paint::line(&painter, view.moves.name(), semibold(text::BODY), t.ink);
    let right = rect.right() - space::INNER;
    let size = galley.size();
    let button = Rect::from_min_size(pos2(right - size.x, mid - size.y / 2.0), size);
    let response = ui.interact(button.expand(3.0), ui.scope_id().with("moves"), Sense::click());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(
            egui::accesskit::Role::Button,
            true,
            format!("One step moves {}, choose another figure", view.moves.name()),
        )
    });
    if response.has_focus() {
        paint::focus_ring(&painter, button, radius::FIELD, t);
    }
    painter.galley(button.min, galley, t.ink);
    paint::hline(&painter, button.left(), button.right(), button.bottom(), t.stroke(1.0, t.ink2));
    paint::text_mid(
        &painter,
        pos2(button.left() - space::NEAR, mid),
        Align::Max,
        "one step moves",
        regular(text::CAPTION),
        t.ink2,
    );
    if response.clicked() {
        let next = Moves::ALL.iter().position(|&m| m == view.moves).map_or(0, |i| (i + 1) % Moves::ALL.len());
        view.moves = Moves::ALL.get(next).copied().unwrap_or_default();
    }
    response.on_hover_text("Which figure the arrows on the right tell of: deck, squish, clearance or ratio");
}

/// What stands on the head of a folded group.
fn summary(shown: &ViewContext<'_>, group: Group) -> String {
    let written = |key: Key| {
        let entry = shown.entry(key)?.0;
        Some(entry::field_text(key, Some(&entry.value), None, shown.units()).whole())
    };
    match group {
        Group::Timing => written(Key::IntakeClosing)
            .map(|angle| format!("intake closes {angle} after bottom"))
            .or_else(|| written(Key::PortClosing).map(|angle| format!("port closes {angle} before the top")))
            .unwrap_or_else(|| "not given".into()),
        _ => match (written(Key::MockupDeck), written(Key::MockupShim)) {
            (Some(deck), Some(shim)) => format!("{deck}, read with {shim} shim"),
            (Some(deck), None) => format!("{deck}, read without shim"),
            _ => "no deck reading in use".into(),
        },
    }
}

/// By how much one sensible step of a dimension moves the chosen figure.
fn moved_by_step(shown: &ViewContext<'_>, moves: Moves, effect: &Effect) -> Option<f64> {
    let now = Outputs::of_engine(&shown.solved()?.engine);
    Some(match &effect.after_step {
        Some(after) => moves.of(after) - moves.of(&now),
        None => moves.of(&effect.slope) * effect.step,
    })
}

/// "−0.09", or "0" where it rounds to nothing.
fn effect_text(moves: Moves, moved: f64) -> String {
    let decimals = if moves == Moves::Clearance { 1 } else { 2 };
    let text = format!("{moved:+.decimals$}");
    if text.bytes().any(|b| matches!(b, b'1'..=b'9')) { text.replace('-', "\u{2212}") } else { "0".into() }
}

fn row_ui(
    ui: &mut Ui,
    key: Key,
    effect: Option<(f64, f64)>,
    shown: &ViewContext<'_>,
    view: &mut DimensionsView,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let row = key.row();
    let entry = shown.entry(key);
    let value = shown.value(key);
    let field_text = entry::field_text(key, entry.map(|(e, _)| &e.value), value, shown.units());
    let known = match (entry, row.absent) {
        (None, Absent::Required) => crate::app::widgets::mark::ProvenanceMark::Missing,
        (entry, _) => match entry.map_or(Provenance::Assumed, |(e, _)| e.known) {
            Provenance::Measured => crate::app::widgets::mark::ProvenanceMark::Measured,
            Provenance::Maker | Provenance::Assumed => crate::app::widgets::mark::ProvenanceMark::Assumed,
        },
    };
    let unit = field_text.unit;
    let check = |typed: &str| match entry::read(key, typed, unit) {
        Typed::Fine(_) => Check::Fine,
        Typed::Refused(why) => Check::Refused(why + &still_uses(&field_text.whole())),
        Typed::Question { ask, choices, enter, .. } => Check::Question { ask, choices, enter },
    };
    let meaning = |typed: &str| entry::meaning(key, typed, unit, shown.units());
    let effect_words = effect.map(|(moved, _)| {
        let words = effect_text(view.moves, moved);
        let step = shown.written(row.kind, row.step);
        let sentence = format!(
            "{step} more of {}: {} {words}",
            row.name.to_lowercase(),
            view.moves.name().to_lowercase()
        );
        (words, sentence)
    });
    let label = if shown.layout.rows == Rows::Full { row.name } else { row.short };
    let help = help(shown, key);
    let known_how = known_how(shown, key);
    let rule = value.map(|value| {
        let span = entry::rule_span(key, value, shown.reference_value(key), shown.units());
        (value, span, shown.reference_value(key).filter(|_| shown.moved(key)))
    });
    let value_text = field_text.whole();
    let output =
        DimensionEntry {
            field: QuantityField {
                id: field_id(key),
                name: row.name,
                value: &field_text.number,
                unit,
                known,
                moved: shown.moved(key),
                struck: false,
                check: &check,
                meaning: &meaning,
            },
            label,
            known_how: &known_how,
            help: &help,
            effect: effect.zip(effect_words.as_ref()).map(|((moved, largest), (words, sentence))| {
                EffectBar { text: words, share: share(moved, largest), sentence }
            }),
            rule: rule.as_ref().map(|(value, span, kept)| Slider {
                name: row.name,
                value_text: &value_text,
                value: *value,
                range: span.from..=span.to,
                step: span.step,
                kept: *kept,
            }),
            standing: (known == crate::app::widgets::mark::ProvenanceMark::Missing).then_some(missing(key)),
            rows: shown.layout.rows,
            in_hand: shown.in_hand == Some(key),
        }
        .show(ui, t);
    if view.go_to == Some(key) {
        view.go_to = None;
        output.field.request_focus();
        output.field.scroll_to_me(None);
    }
    if view.reveal == Some(key) {
        view.reveal = None;
        output.field.scroll_to_me(Some(Align::Center));
    }
    view.rows.push((key, output.rect));
    if output.taken {
        view.in_hand = Some(key);
    }
    if output.hovered {
        view.hovered = Some(key);
    }
    let step = entry::rule_step(key, shown.units());
    let set = |value: Option<crate::quantity::Quantity>| {
        value.map(|value| Edit::SetDimension { scope: shown.scope(key), key, value, known: shown.known(key) })
    };
    let edit = match output.event {
        None => None,
        Some(RowEvent::Typed(text)) if text.trim().is_empty() => {
            entry.map(|_| (Edit::ClearDimension { scope: shown.scope(key), key }, None))
        }
        Some(RowEvent::Typed(text)) => match entry::read(key, &text, unit) {
            Typed::Fine(value) | Typed::Question { meant: value, .. } => {
                set(Some(value)).map(|edit| (edit, None))
            }
            Typed::Refused(_) => None,
        },
        Some(RowEvent::Step(steps)) => {
            let now = value.unwrap_or(0.0);
            set(entry::stepped(key, now, steps * step, shown.units())).map(|edit| (edit, Some(gesture)))
        }
        Some(RowEvent::Marked) => entry.map(|(entry, _)| {
            let known = match entry.known {
                Provenance::Measured => Provenance::Maker,
                Provenance::Maker => Provenance::Assumed,
                Provenance::Assumed => Provenance::Measured,
            };
            (Edit::SetDimension { scope: shown.scope(key), key, value: entry.value.clone(), known }, None)
        }),
        Some(RowEvent::Slid(value)) => {
            set(entry::stepped(key, value, 0.0, shown.units())).map(|edit| (edit, Some(gesture)))
        }
    };
    if let Some((edit, gesture)) = edit {
        out.push(Command::Edit(edit, gesture));
    }
}

/// Size of an effect against the largest one.
#[expect(clippy::cast_possible_truncation, reason = "the length of a bar on a screen")]
fn share(moved: f64, largest: f64) -> f32 {
    if largest > 0.0 { (moved / largest) as f32 } else { 0.0 }
}

fn still_uses(value: &str) -> String {
    if value.is_empty() { String::new() } else { format!(" The engine still uses {value}.") }
}

/// The sentence below a dimension that nobody gave.
fn missing(key: Key) -> &'static str {
    match key.kind() {
        Kind::Volume => "No ratio without it. Fill the chamber, or type a guess.",
        Kind::Length | Kind::Angle => "The engine can't be drawn without it. Measure it, or type a guess.",
    }
}

fn help(shown: &ViewContext<'_>, key: Key) -> String {
    let row = key.row();
    let scope = match shown.scope(key) {
        crate::project::Scope::Nominal if shown.project().engine.cylinders.len() > 1 => {
            "\nOne value for all cylinders."
        }
        _ => "",
    };
    format!("{}\n{}\nHow to measure: {}{scope}", row.meaning, row.matters, row.measure)
}

fn known_how(shown: &ViewContext<'_>, key: Key) -> String {
    match shown.entry(key) {
        None => "not given".into(),
        Some((entry, _)) if entry.note.is_empty() => format!("{}; press to change", entry.known.word()),
        Some((entry, _)) => format!("{}: {}; press to change", entry.known.word(), entry.note),
    }
}
