//! The line above the title block: what the last change did, or what a step
//! of the dimension in hand would do.

use crate::app::theme::{regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::widgets::paint;
use crate::engine::Key;
use crate::quantity::Kind;
use crate::study::{Outputs, words};
use egui::{Align, Galley, Pos2, Rect, Ui, pos2};
use std::sync::Arc;

/// Height of the line over the title block.
pub(super) const HEIGHT: f32 = 28.0;

/// What is said: the cause, and its effects, the one most asked for last.
struct Note {
    cause: String,
    /// The cause in fewer letters.
    short: String,
    effects: Vec<String>,
}

/// Shows the line over `block`.
pub(super) fn note_line(ui: &Ui, block: Rect, shown: &ViewContext<'_>) {
    let Some(note) = note(shown) else { return };
    let left = block.left() + 18.0;
    let room = block.right() - 4.0 - left;
    line(ui, pos2(left, block.top() - 10.0), room, &note, shown);
}

/// Writes as much of a note as there is room for: first the cause gets
/// shorter, then only the last effect stays.
fn line(ui: &Ui, at: Pos2, room: f32, note: &Note, shown: &ViewContext<'_>) {
    let t = shown.t;
    let painter = ui.painter();
    let whole = note.effects.join(", ");
    let last = note.effects.last().cloned().unwrap_or_default();
    let lay = |(cause, effect): (&str, &str)| {
        let cause = paint::line(painter, cause, semibold(text::BODY), t.ink);
        (cause, paint::line(painter, effect, regular(text::BODY), t.ink))
    };
    let fits = |(cause, effect): &(Arc<Galley>, Arc<Galley>)| cause.size().x + 5.0 + effect.size().x <= room;
    let ways = [(&*note.cause, &*whole), (&note.short, &whole), (&note.cause, &last)];
    let found = ways.into_iter().map(lay).find(fits);
    let (cause, effect) = found.unwrap_or_else(|| lay((&note.short, &last)));
    painter.circle_filled(pos2(at.x - 9.0, at.y - 4.0), 3.0, t.accent);
    let cause = paint::place(painter, at, Align::Min, cause, t.ink);
    paint::place(painter, pos2(cause.right() + 5.0, at.y), Align::Min, effect, t.ink);
}

fn note(shown: &ViewContext<'_>) -> Option<Note> {
    let solved = shown.solved()?;
    let now = Outputs::of_engine(&solved.engine);
    let moved: Vec<Key> = Key::all().filter(|&key| shown.moved(key)).collect();
    if let ([key], Some(before)) = (moved.as_slice(), shown.reference_solved())
        && let (Some(from), Some(to)) = (shown.reference_value(*key), shown.value(*key))
        && shown.in_hand != Some(*key)
    {
        let old = Outputs::of_engine(&before.engine);
        let (from, to) = (shown.written(key.kind(), from), shown.written(key.kind(), to));
        let cause = |name: &str| format!("{name} {} to {}:", from.number, to.number);
        let gap = now.deck_clearance_mm - old.deck_clearance_mm;
        let ratio = words::change(now.static_ratio - old.static_ratio, 2);
        return Some(Note {
            cause: cause(short_name(*key)),
            short: cause(shortest_name(*key)),
            effects: vec![format!("gap {}", signed(shown, gap)), format!("ratio {ratio}")],
        });
    }
    step_note_of(shown, shown.in_hand)
}

fn signed(shown: &ViewContext<'_>, base: f64) -> String {
    let written = shown.written(Kind::Length, base);
    if base > 0.0 { format!("+{}", written.number) } else { written.number }
}

/// The name of a dimension in one word where there is one.
fn short_name(key: Key) -> &'static str {
    if key == Key::BaseShim { "Shim" } else { key.row().short }
}

/// The same in fewer letters, where the drawing shows what is meant.
fn shortest_name(key: Key) -> &'static str {
    match key {
        Key::GasketThickness => "Gasket",
        Key::CompressionHeight => "Height",
        Key::TopLandHeight | Key::TopLandDiameter => "Top land",
        _ => short_name(key),
    }
}

/// What one step of the shim (of the gasket in a block) does, in one line.
#[must_use]
pub(crate) fn step_note(shown: &ViewContext<'_>) -> Option<String> {
    let note = step_note_of(shown, None)?;
    Some(format!("{} {}", note.cause, note.effects.last()?))
}

fn step_note_of(shown: &ViewContext<'_>, key: Option<Key>) -> Option<Note> {
    let solved = shown.solved()?;
    let now = Outputs::of_engine(&solved.engine);
    let fallback =
        if shown.project().engine.construction.has_barrels() { Key::BaseShim } else { Key::GasketThickness };
    let key = key.unwrap_or(fallback);
    let effect = solved.effects.iter().find(|effect| effect.key == key)?;
    let after = effect.after_step.as_ref()?;
    let gap = after.squish_clearance_mm - now.squish_clearance_mm;
    let gap = if gap.abs() < 5e-7 { "0".to_owned() } else { signed(shown, gap) };
    let cause =
        |name: &str| format!("{} of {}:", shown.written(key.kind(), effect.step), name.to_lowercase());
    Some(Note {
        cause: cause(short_name(key)),
        short: cause(shortest_name(key)),
        effects: vec![
            format!("gap {gap}"),
            format!("ratio {}", words::change(after.static_ratio - now.static_ratio, 2)),
        ],
    })
}
