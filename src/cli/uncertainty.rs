//! `crowndeck uncertainty`.

use super::args::{Stated, UncertaintyArgs};
use super::failure::Failure;
use super::input::{Input, Reader, solved};
use super::json;
use super::output::{TextTable, print};
use crate::advise::measure_next::measure_next;
use crate::engine::Engine;
use crate::quantity::{UnitChoice, default_decimals, write};
use crate::reading::{Sample, Trials, outlier};
use crate::study::uncertainty::{by_trials, first_order};
use crate::study::{CylinderInput, Figure, Propagated, Solved, words};

/// Answers `uncertainty`.
///
/// # Errors
/// Faults of the engine, the file or the call; a doubt of a dimension that has
/// no value; doubts within which the engine can't exist.
pub(super) fn run(args: &UncertaintyArgs) -> Result<(), Failure> {
    let mut input = Input::of(&args.source, Reader::of(args.json))?;
    let chosen = match &args.cylinder {
        Some(label) => vec![input.cylinder(label)?],
        None => (0..input.question.cylinders.len()).collect(),
    };
    state(&mut input, &args.doubts)?;
    let answers = input.answers()?;
    let mut all = Vec::new();
    for &index in &chosen {
        let Some(cylinder) = input.question.cylinders.get(index) else { continue };
        let solved = solved(&answers, index)?;
        let trials = args.trials.map_or(Trials::Adaptive, Trials::Fixed);
        all.push(Answer::of(cylinder, &solved.engine, trials, args.seed)?);
    }
    let text = if args.json {
        json::text(&json::Uncertainties {
            format: json::FORMAT,
            cylinders: all.iter().map(Answer::as_json).collect::<Result<_, _>>()?,
        })?
    } else {
        let mut text = format!("{}\n", input.title);
        for (answer, &index) in all.iter().zip(&chosen) {
            text.push_str(&answer.as_text(solved(&answers, index)?, &input.units));
        }
        text.push_str(NOTES);
        text
    };
    print(&text, Reader::of(args.json))
}

/// What the columns mean, and what they do not promise.
const NOTES: &str = "\n± is the expanded uncertainty for 95 %: k standard uncertainties, k from the effective degrees of freedom \
                     (JCGM 100). Trials draw every dimension within its doubts and compute the engine anew (JCGM 101); \
                     where they part from ±, believe the trials.\nOnly doubts that are known count: a value that nobody \
                     measured is not made better by the others.\nThen measure again.\n";

/// Takes the stated doubts over, in all cylinders.
fn state(input: &mut Input, stated: &[Stated]) -> Result<(), Failure> {
    let mut missing = Vec::new();
    for Stated { key, doubt } in stated {
        for cylinder in &mut input.question.cylinders {
            if cylinder.dims.filled(*key).is_none() {
                missing.push(format!(
                    "{key} ({}): a doubt is stated and it has no value; accepted: a value, by --set {key}=…",
                    key.name()
                ));
            }
            cylinder.measured.stated.set(*key, vec![doubt.clone()]);
        }
    }
    missing.dedup();
    input.question.propagate();
    if missing.is_empty() { Ok(()) } else { Err(Failure::Engine(missing)) }
}

/// The answer for one cylinder.
struct Answer<'a> {
    cylinder: &'a CylinderInput,
    engine: &'a Engine,
    first_order: Vec<Propagated>,
    trials: [Sample; 4],
}

impl<'a> Answer<'a> {
    fn of(
        cylinder: &'a CylinderInput,
        engine: &'a Engine,
        trials: Trials,
        seed: u64,
    ) -> Result<Self, Failure> {
        let (propagated, doubts) = cylinder.measured.propagated(engine);
        let trials = by_trials(&propagated, &doubts, trials, seed).map_err(|error| {
            Failure::engine(format!(
                "cylinder {}: {error}; accepted: smaller doubts, or another engine",
                cylinder.label
            ))
        })?;
        Ok(Self { cylinder, engine, first_order: first_order(&propagated, &doubts), trials })
    }

    fn pairs(&self) -> impl Iterator<Item = (&Propagated, &Sample)> {
        // The effective ratio, which comes last, has no trials.
        self.first_order.iter().zip(&self.trials)
    }

    fn as_json(&self) -> Result<json::CylinderUncertainty, Failure> {
        let mut all = self.pairs().map(|(first, sample)| json::Uncertain::of(first, sample));
        // There are four of each.
        let mut next = || all.next().ok_or_else(|| Failure::engine(json::NO_NUMBER));
        Ok(json::CylinderUncertainty {
            label: self.cylinder.label.clone(),
            results: json::FourUncertain {
                deck_clearance_mm: next()?,
                squish_clearance_mm: next()?,
                clearance_volume_cc: next()?,
                static_ratio: next()?,
            },
        })
    }

    fn as_text(&self, solved: &Solved, units: &UnitChoice) -> String {
        let mut text = format!("\nCylinder {}\n", self.cylinder.label);
        text.push_str(&self.figures(units));
        for figure in [Figure::SquishClearance, Figure::StaticRatio] {
            if let Some(found) = self.first_order.iter().find(|p| p.figure == figure) {
                text.push_str(&sources(found, units));
            }
        }
        let mut lines: Vec<String> = Vec::new();
        if let Some(sample) = self.trials.iter().find(|s| s.left_out > 0) {
            lines.push(format!("{} trials can't exist and are left out", sample.left_out));
        }
        if let Some(sample) = self.trials.iter().find(|s| !s.settled) {
            lines.push(format!("Two digits had not settled after {} trials", sample.trials));
        }
        let odd = |(of, odd): &(crate::reading::Subject, crate::reading::Outlier)| {
            format!("In the readings of the {}: {} ({})", of.name(), odd.sentence(of, units), outlier::RULE)
        };
        lines.extend(self.cylinder.measured.odd.iter().map(odd));
        lines.extend(solved.routes.iter().map(|c| format!("{}. {}", c.route.name(), c.sentence(units))));
        for figure in [Figure::SquishClearance, Figure::StaticRatio] {
            let advice = measure_next(figure, self.engine, &self.cylinder.measured);
            lines.extend(advice.into_iter().flat_map(|advice| advice.sentences(units)));
        }
        let mut told: Vec<&String> = Vec::new();
        for line in &lines {
            if !told.contains(&line) {
                told.push(line);
                text.push_str(&format!("  {line}\n"));
            }
        }
        text
    }

    fn figures(&self, units: &UnitChoice) -> String {
        let mut table = TextTable::new([
            "Figure",
            ">Value",
            ">±",
            ">k",
            ">Degrees of freedom",
            ">Trials, mean",
            ">95 % of trials",
        ]);
        for (first, sample) in self.pairs() {
            let u = &first.uncertainty;
            let number = |v: f64| of_figure(first.figure, v, u.expanded(), units);
            let mut row = vec![title(first.figure), number(first.value)];
            if u.standard > 0.0 {
                let dof = u.degrees_of_freedom;
                row.extend([
                    spread(first.figure, u.expanded(), units),
                    words::plain(u.coverage_factor, 2),
                    if dof < 1000.0 { words::plain(dof, 0) } else { "∞".to_owned() },
                    number(sample.mean),
                    format!("{} to {}", number(sample.low_95), number(sample.high_95)),
                ]);
            } else {
                row.extend(["not known", "–", "–", "–", "–"].map(str::to_owned));
            }
            table.row(row);
        }
        table.text()
    }
}

fn title(figure: Figure) -> String {
    let mut chars = figure.name().chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// Decimals for a figure with this expanded uncertainty: at most one more
/// than a figure without one has.
fn decimals(figure: Figure, expanded: f64, units: &UnitChoice) -> u8 {
    let (usual, expanded) = match figure.kind() {
        Some(kind) => (default_decimals(units.unit(kind)), units.unit(kind).from_base(expanded)),
        None => (2, expanded),
    };
    if expanded > 0.0 { words::decimals_for(expanded, usual + 1) } else { usual }
}

fn of_figure(figure: Figure, value: f64, expanded: f64, units: &UnitChoice) -> String {
    let decimals = decimals(figure, expanded, units);
    match figure {
        Figure::DeckClearance => words::gap(value, Some(decimals), units),
        _ => match figure.kind() {
            Some(kind) => write(kind, value, Some(decimals), units).to_string(),
            None => words::plain(value, decimals),
        },
    }
}

/// The ± of a figure in the user's unit.
fn spread(figure: Figure, expanded: f64, units: &UnitChoice) -> String {
    let decimals = decimals(figure, expanded, units);
    match figure.kind() {
        Some(kind) => words::plus_minus(units.unit(kind).from_base(expanded), decimals),
        None => words::plus_minus(expanded, decimals),
    }
}

/// Where the doubt of a figure comes from, the largest share first.
fn sources(found: &Propagated, units: &UnitChoice) -> String {
    let mut parts: Vec<_> = found.contributions.iter().filter(|c| c.share.abs() >= 0.005).collect();
    if parts.is_empty() {
        return String::new();
    }
    parts.sort_by(|a, b| b.share.total_cmp(&a.share));
    let line = |c: &&crate::study::uncertainty::Contribution| {
        let own = words::small(c.key.kind(), c.standard, units);
        format!("{} {} % (u = {own})", c.key.name().to_lowercase(), words::plain(c.share * 100.0, 0))
    };
    format!(
        "  The doubt of the {} comes from: {}\n",
        found.figure.name(),
        parts.iter().map(line).collect::<Vec<_>>().join(", ")
    )
}
