//! `crowndeck effects`.

use super::args::EffectsArgs;
use super::failure::Failure;
use super::input::{Input, Reader, solved};
use super::json;
use super::output::{TextTable, print};
use crate::quantity::{Kind, UnitChoice, write};
use crate::study::answers::{Consequence, consequences_of};
use crate::study::{Effect, Outputs, Solved, TargetRatio, words};

/// Answers `effects`.
///
/// # Errors
/// Faults of the engine, the file or the call; a target that is not above 1.
pub(super) fn run(args: &EffectsArgs) -> Result<(), Failure> {
    let mut input = Input::of(&args.source, Reader::of(args.json))?;
    if let Some(ratio) = args.target_ratio {
        input.question.target = Some(TargetRatio::new(ratio).map_err(Failure::engine)?);
    }
    let index = match &args.cylinder {
        Some(label) => input.cylinder(label)?,
        None => 0,
    };
    let answers = input.answers()?;
    let solved = solved(&answers, index)?;
    let label = input.question.cylinders.get(index).map_or("", |c| c.label.as_str());
    let text = if args.json {
        json::text(&json::Effects {
            format: json::FORMAT,
            cylinder: label.to_owned(),
            base: json::Four::of(&Outputs::of_engine(&solved.engine)),
            effects: solved.effects.iter().map(json::OneEffect::of).collect(),
        })?
    } else {
        as_text(&input, index, label, solved)
    };
    print(&text, Reader::of(args.json))
}

fn as_text(input: &Input, index: usize, label: &str, solved: &Solved) -> String {
    let units = &input.units;
    let f = solved.engine.figures();
    let mut text = format!(
        "{}, cylinder {label}\nDeck {}, squish {}, clearance {}, static ratio {}\n\n",
        input.title,
        words::gap(f.deck_clearance, None, units),
        write(Kind::Length, f.squish_clearance, None, units),
        write(Kind::Volume, f.clearance_volume, None, units),
        words::plain(f.static_ratio, 2)
    );
    let target = input.question.target;
    let alone = target.map(|t| format!(">Alone to {}", words::plain(t.get(), 2)));
    let volume = format!(">Clearance, {}", units.unit(Kind::Volume).symbol());
    let mut headings = vec!["Dimension", ">Now", ">One step", ">Deck", ">Squish", &volume, ">Ratio"];
    if let Some(alone) = &alone {
        headings.extend([alone.as_str(), "But"]);
    }
    let mut table = TextTable::new(headings);
    let base = Outputs::of_engine(&solved.engine);
    for effect in &solved.effects {
        let mut row = of_step(effect, &base, units);
        if target.is_some() {
            row.extend(of_target(input, index, effect));
        }
        table.row(row);
    }
    text.push_str(&table.text());
    text.push_str(
        "\nOne step is one sensible change of the dimension at the bench, worked out anew; the other columns say what \
         it changes.\nThen measure again.\n",
    );
    text
}

fn of_step(effect: &Effect, base: &Outputs, units: &UnitChoice) -> Vec<String> {
    let kind = effect.key.kind();
    let step = write(kind, effect.step, None, units);
    let mut row = vec![
        effect.key.name().to_owned(),
        write(kind, effect.value, None, units).to_string(),
        format!("+{step}"),
    ];
    match &effect.after_step {
        Some(after) => {
            let unit = units.unit(Kind::Volume);
            let volume = unit.from_base(after.clearance_volume_cc - base.clearance_volume_cc);
            row.extend([
                gap(after.deck_clearance_mm - base.deck_clearance_mm, units),
                gap(after.squish_clearance_mm - base.squish_clearance_mm, units),
                words::change(volume, 2),
                words::change(after.static_ratio - base.static_ratio, 2),
            ]);
        }
        None => row.extend(["impossible".to_owned(), String::new(), String::new(), String::new()]),
    }
    row
}

/// The change of a gap, "0" where there is none, as in the other columns.
fn gap(change: f64, units: &UnitChoice) -> String {
    let words = words::gap_change(change, None, units);
    if words == words::UNCHANGED { "0".to_owned() } else { words }
}

/// The value that reaches the target, and what stands against it.
fn of_target(input: &Input, index: usize, effect: &Effect) -> [String; 2] {
    let Some(to) = effect.to_target else { return ["cannot".to_owned(), String::new()] };
    let value = write(effect.key.kind(), to.value, None, &input.units).to_string();
    let but = match consequences_of(&input.question, index, effect.key, to.value) {
        Consequence::Faults(faults) => faults.first().map_or(String::new(), |f| f.why.clone()),
        Consequence::Limits(broken) => {
            let told: Vec<String> = broken
                .iter()
                .map(|j| {
                    let name = j.what.name().to_lowercase();
                    format!("{name} {}, {}", j.value_text(&input.units), j.verdict_text(&input.units))
                })
                .collect();
            told.join("; ")
        }
    };
    [value, but]
}
