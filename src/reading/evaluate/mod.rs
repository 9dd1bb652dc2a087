//! Evaluates all readings of one thing in one cylinder: mean, uncertainty,
//! rock, outliers, remarks.

use super::cause::{self, Cause};
use super::combine::{Combined, Uncertainty};
use super::compare::Comparison;
use super::component::{ComponentError, UncertaintyComponent};
use super::outlier;
use super::record::{CrankAngle, DeckPlace, Instrument, Reading, State, Subject};
use super::remark::Remark;
use super::run::{AtPlace, Axis, Mean, Run, above_piston, axis, counted, floats, joined, mean_of, one_edge};
use super::scale::Scale;
use super::stats::{mean, median, standard_deviation};
use crate::quantity::{Quantity, UnitChoice, write};
use std::collections::HashMap;

/// The evaluation of one thing in one cylinder. Raw values are never changed or
/// dropped; a value that was struck out does not count.
#[derive(Clone, Debug, PartialEq)]
pub struct Evaluation {
    /// The label of the cylinder.
    pub cylinder: String,
    /// The subject.
    pub of: Subject,
    /// The values by place, in the order in which they were entered.
    pub places: Vec<PlaceMean>,
    /// The mean that counts, with its uncertainty; `None` where no value
    /// counts.
    pub estimate: Option<Estimate>,
    /// The rock of the piston; `None` where not both edges were read.
    pub rock: Option<Rock>,
    /// For piston to valve: the crank angle of the least, which counts. `None`
    /// where it was not noted.
    pub least_at: Option<CrankAngle>,
    /// Outlying values.
    pub odd: Vec<Outlier>,
    /// Remarks for the user.
    pub remarks: Vec<Remark>,
}

/// The values read at one place with one instrument.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceMean {
    /// The place.
    pub place: Option<DeckPlace>,
    /// State of the parts.
    pub state: Option<State>,
    /// All base shims that were fitted, mm, where that was noted.
    pub shim: Option<f64>,
    /// Number of values that count.
    pub count: usize,
    /// Mean, in the base unit; `None` where no value counts.
    pub mean: Option<f64>,
    /// Standard deviation; `None` for fewer than two values.
    pub standard_deviation: Option<f64>,
    /// Largest less smallest; `None` where no value counts.
    pub spread: Option<f64>,
}

/// A value with its uncertainty components.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The value in the base unit.
    pub value: f64,
    /// The uncertainty components.
    pub doubts: Vec<UncertaintyComponent>,
    /// For a deck or squish: the base shims with which it holds, mm, where
    /// that was noted.
    pub shim: Option<f64>,
}

impl Estimate {
    /// Returns the combined uncertainty of the value.
    #[must_use]
    pub fn uncertainty(&self) -> Uncertainty {
        let mut all = Combined::new();
        all.add(1.0, &self.doubts);
        all.uncertainty()
    }
}

/// The rock of a piston about its pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rock {
    /// Height of the edge above the plane of the rim, mm: half of anti-thrust
    /// less thrust, positive when the thrust side is higher.
    pub half: f64,
    /// The mean of both edges, mm: the height of the rim if the piston rocks as
    /// far to one side as to the other.
    pub edges: f64,
}

/// An outlying value, by the rule of [`outlier`](super::outlier).
#[derive(Clone, Debug, PartialEq)]
pub struct Outlier {
    /// Index of its reading in the list that was evaluated, from 0.
    pub reading: usize,
    /// Index in that reading, from 0.
    pub value: usize,
    /// The value as it was written.
    pub written: String,
    /// The value in the base unit.
    pub read: f64,
    /// Median of the values that it was compared with.
    pub middle: f64,
    /// Its score; negative below the others.
    pub score: f64,
    /// Likely cause.
    pub cause: Cause,
    /// Reason why it counts all the same, where somebody looked at it and gave
    /// one.
    pub kept: Option<String>,
}

impl Outlier {
    /// Returns the sentence for it: "32.9 cc stands 0.9 cc below the others: an
    /// air bubble makes a fill read low. …".
    #[must_use]
    pub fn sentence(&self, of: &Subject, units: &UnitChoice) -> String {
        let number = |v: f64| write(of.kind(), v, None, units).to_string();
        let side = if self.read < self.middle { "below" } else { "above" };
        let found = format!(
            "{} stands {} {side} the others: {}",
            self.written,
            number((self.read - self.middle).abs()),
            self.cause.text(),
        );
        match &self.kept {
            Some(reason) => format!("{found}. Somebody looked at it and kept it in: {reason}"),
            None => format!("{found}. {}, or strike it out", self.cause.check()),
        }
    }
}

/// Evaluates all readings: one result for each thing in each cylinder, in the
/// order in which they first appear.
///
/// # Errors
/// When an uncertainty overflows the numbers that can be computed with.
pub(crate) fn evaluate(
    readings: &[Reading],
    instruments: &[Instrument],
) -> Result<Vec<Evaluation>, ComponentError> {
    let mut groups: Vec<Vec<(usize, &Reading)>> = Vec::new();
    let mut places: HashMap<(&str, &Subject), usize> = HashMap::new();
    for (index, reading) in readings.iter().enumerate() {
        let place = *places.entry((reading.cylinder.as_str(), &reading.of)).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        if let Some(group) = groups.get_mut(place) {
            group.push((index, reading));
        }
    }
    let one = |group: &Vec<(usize, &Reading)>| {
        let (_, first) = group.first()?;
        let evaluated = match first.of {
            Subject::PistonToValve(_) => evaluate_sweep(&first.cylinder, &first.of, group, instruments),
            _ => evaluate_one(&first.cylinder, &first.of, group, instruments),
        };
        Some(evaluated)
    };
    groups.iter().filter_map(one).collect()
}

fn evaluate_one(
    cylinder: &str,
    of: &Subject,
    readings: &[(usize, &Reading)],
    instruments: &[Instrument],
) -> Result<Evaluation, ComponentError> {
    let mut remarks = Remarks::default();
    for (_, reading) in readings {
        remarks.of_reading(reading, instruments);
    }
    let runs = runs_of(of, readings, instruments);
    let odd = outliers_in(of, readings, instruments);
    let rock = runs.iter().rev().find_map(rock_of);
    let chosen = chosen(of, &runs, &mut remarks);
    let unsaid = chosen.iter().any(|run| run.shim.is_none());
    let shim = chosen.iter().rev().find_map(|run| run.shim);
    if unsaid && shim.is_some() {
        remarks.add(Remark::ShimUnsaid);
    }
    let mut means: Vec<Mean> = Vec::new();
    for run in &chosen {
        if let Some(mut mean) = mean_of(of, run, rock.map(|rock| rock.half))? {
            if above_piston(of) {
                // Brought to the shim for which the result holds.
                mean.value += shim.unwrap_or(0.0) - run.shim.unwrap_or(0.0);
            }
            remarks.of_run(of, run, rock.is_some());
            means.push(mean);
        }
    }
    for pair in means.windows(2) {
        if let [a, b] = pair {
            let comparison = Comparison::of((a.value, &a.doubts), (b.value, &b.doubts));
            if comparison.parts() {
                let (difference, expanded) = (comparison.difference.abs(), comparison.expanded);
                remarks.add(Remark::RunsPart { difference, expanded });
            }
        }
    }
    let estimate = joined(&means)?.map(|Mean { value, doubts }| Estimate { value, doubts, shim });
    match (&estimate, rock) {
        (None, _) => remarks.add(Remark::NoValue),
        (Some(estimate), Some(rock)) if (estimate.value - rock.edges).abs() > rock.half.abs() => {
            remarks.add(Remark::NotBetweenEdges);
        }
        _ => {}
    }
    let places = runs.iter().flat_map(place_means).collect();
    Ok(Evaluation {
        cylinder: cylinder.to_owned(),
        of: of.clone(),
        places,
        estimate,
        rock,
        least_at: None,
        odd,
        remarks: remarks.0,
    })
}

/// Evaluates a distance that was read at several crank angles: each angle on
/// its own, never a mean over them. The least of these means counts, with its
/// own doubts; between two angles 5° apart the true least is about 0.001 mm
/// less (a parabola through the lowest and its neighbours). Values over other
/// shims than the last are of another distance and are left out.
fn evaluate_sweep(
    cylinder: &str,
    of: &Subject,
    readings: &[(usize, &Reading)],
    instruments: &[Instrument],
) -> Result<Evaluation, ComponentError> {
    let has_value = |reading: &Reading| counting(reading).next().is_some();
    let shim = |reading: &Reading| reading.shim.as_ref().map(Quantity::base);
    let last = readings.iter().rev().find(|(_, r)| has_value(r)).and_then(|(_, r)| shim(r));
    let (own, other): (Vec<_>, Vec<_>) = readings.iter().copied().partition(|(_, r)| shim(r) == last);
    let mut sweep: Vec<Vec<(usize, &Reading)>> = Vec::new();
    for &(index, reading) in &own {
        match sweep.iter_mut().find(|at| at.first().is_some_and(|(_, r)| r.place == reading.place)) {
            Some(at) => at.push((index, reading)),
            None => sweep.push(vec![(index, reading)]),
        }
    }
    let mut remarks = Remarks::default();
    let (mut places, mut odd) = (Vec::new(), Vec::new());
    let mut least: Option<(Estimate, Option<CrankAngle>)> = None;
    let mut degrees: Vec<f64> = Vec::new();
    for at in &sweep {
        let one = evaluate_one(cylinder, of, at, instruments)?;
        places.extend(one.places);
        odd.extend(one.odd);
        one.remarks.into_iter().filter(|remark| *remark != Remark::NoValue).for_each(|r| remarks.add(r));
        let Some(estimate) = one.estimate else { continue };
        let angle = at.first().and_then(|(_, reading)| match &reading.place {
            Some(DeckPlace::Crank(angle)) => Some(angle.clone()),
            _ => None,
        });
        match &angle {
            Some(angle) => degrees.push(angle.degrees()),
            None => remarks.add(Remark::AngleUnsaid),
        }
        if least.as_ref().is_none_or(|(before, _)| estimate.value < before.value) {
            least = Some((Estimate { shim: last, ..estimate }, angle));
        }
    }
    if own.iter().any(|(_, reading)| counting(reading).any(|(_, value)| value <= 0.0)) {
        remarks.add(Remark::Contact);
    }
    if other.iter().any(|(_, reading)| has_value(reading)) {
        remarks.add(Remark::OtherShims);
    }
    let (estimate, least_at) = least.unzip();
    let least_at = least_at.flatten();
    if estimate.is_none() {
        remarks.add(Remark::NoValue);
    }
    let ends = || degrees.iter().copied().reduce(f64::min).zip(degrees.iter().copied().reduce(f64::max));
    if degrees.len() >= 3
        && let Some((at, (first, last))) = least_at.as_ref().map(CrankAngle::degrees).zip(ends())
        && (at == first || at == last)
    {
        remarks.add(Remark::LeastAtEnd);
    }
    Ok(Evaluation {
        cylinder: cylinder.to_owned(),
        of: of.clone(),
        places,
        estimate,
        rock: None,
        least_at,
        odd,
        remarks: remarks.0,
    })
}

/// Returns the values of a reading that count: not struck out, of the right
/// kind.
fn counting(reading: &Reading) -> impl Iterator<Item = (usize, f64)> {
    let kind = reading.of.kind();
    let of_kind = reading.values.iter().enumerate().filter(move |(_, v)| v.value.kind() == kind);
    of_kind.filter(|(_, v)| v.struck.is_none()).map(|(i, v)| (i, v.value.base()))
}

/// Groups readings that belong together, in the order in which they first
/// appear.
fn runs_of(of: &Subject, readings: &[(usize, &Reading)], instruments: &[Instrument]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (_, reading) in readings {
        let scale = Scale::of(reading, instruments);
        let shim = reading.shim.as_ref().filter(|_| above_piston(of)).map(|s| s.base());
        let alike = |run: &&mut Run| {
            let same_hold = !above_piston(of) || floats(run.state) == floats(reading.state);
            run.scale.id == scale.id && run.shim == shim && same_hold
        };
        let run = match runs.iter_mut().position(|run| alike(&run)) {
            Some(at) => runs.get_mut(at),
            None => {
                runs.push(Run { scale: scale.clone(), state: reading.state, shim, places: Vec::new() });
                runs.last_mut()
            }
        };
        let Some(run) = run else { continue };
        // Without an instrument the finest last digit serves as the step.
        run.scale.step = match (run.scale.step, scale.step) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        let values = counting(reading).map(|(_, base)| base);
        match run.places.iter_mut().find(|p| p.place == reading.place) {
            Some(at) => at.values.extend(values),
            None => run.places.push(AtPlace { place: reading.place.clone(), values: values.collect() }),
        }
    }
    runs
}

/// Returns the runs that the mean is taken from: above a piston those with the
/// barrel clamped, where there are any.
fn chosen(of: &Subject, runs: &[Run], remarks: &mut Remarks) -> Vec<Run> {
    let has_value = |run: &&Run| run.places.iter().any(|p| !p.values.is_empty());
    let filled: Vec<Run> = runs.iter().filter(has_value).cloned().collect();
    if !above_piston(of) {
        return filled;
    }
    let (floating, held): (Vec<Run>, Vec<Run>) = filled.into_iter().partition(|run| floats(run.state));
    if held.is_empty() {
        return floating;
    }
    if !floating.is_empty() {
        remarks.add(Remark::FloatingLeftOut);
    }
    held
}

fn rock_of(run: &Run) -> Option<Rock> {
    let at = |place: &DeckPlace| run.places.iter().find(|p| p.place.as_ref() == Some(place));
    let mean_at = |place| at(place).and_then(|p| mean(&p.values));
    let (thrust, antithrust) = match (mean_at(&DeckPlace::Thrust), mean_at(&DeckPlace::Antithrust)) {
        (Some(thrust), Some(antithrust)) => (thrust, antithrust),
        // Both sides in one reading, thrust first.
        _ => match at(&DeckPlace::ThrustAxis)?.values.as_slice() {
            &[thrust, antithrust] => (thrust, antithrust),
            _ => return None,
        },
    };
    Some(Rock { half: (antithrust - thrust) / 2.0, edges: thrust + (antithrust - thrust) / 2.0 })
}

fn place_means(run: &Run) -> impl Iterator<Item = PlaceMean> {
    run.places.iter().map(|p| {
        let least = p.values.iter().copied().reduce(f64::min);
        let most = p.values.iter().copied().reduce(f64::max);
        PlaceMean {
            place: p.place.clone(),
            state: run.state,
            shim: run.shim,
            count: p.values.len(),
            mean: mean(&p.values),
            standard_deviation: standard_deviation(&p.values),
            spread: least.zip(most).map(|(least, most)| most - least),
        }
    })
}

/// Returns the outliers among values read at the same place or, where fewer
/// than three were read there, along the same axis.
fn outliers_in(of: &Subject, readings: &[(usize, &Reading)], instruments: &[Instrument]) -> Vec<Outlier> {
    let scales: Vec<Scale> = readings.iter().map(|(_, reading)| Scale::of(reading, instruments)).collect();
    // What a reading is compared with: read in the same way, at the same place
    // or, with `None`, anywhere along the pin.
    let way = |reading: &Reading, scale: &Scale, same_place: bool| Way {
        // An angle is the same however it was typed.
        place: same_place.then(|| match &reading.place {
            Some(DeckPlace::Crank(angle)) => format!("{} degrees", angle.0.base() + 0.0),
            place => format!("{place:?}"),
        }),
        scale: scale.id.clone(),
        // Adding 0 turns −0 into 0.
        shim: reading.shim.as_ref().map(|shim| (shim.base() + 0.0).to_bits()),
        floats: above_piston(of) && floats(reading.state),
    };
    let mut pools: HashMap<Way, Vec<f64>> = HashMap::new();
    for ((_, reading), scale) in readings.iter().zip(&scales) {
        let mut add = |same_place| {
            let values = counting(reading).map(|(_, base)| base);
            pools.entry(way(reading, scale, same_place)).or_default().extend(values);
        };
        add(true);
        if above_piston(of) && axis(reading.place.as_ref()) == Axis::Pin {
            add(false);
        }
    }
    let mut judged: HashMap<(Way, u64), Option<Pool>> = HashMap::new();
    let mut found = Vec::new();
    for (&(index, reading), scale) in readings.iter().zip(&scales) {
        let floor = outlier::floor(scale.step.unwrap_or(0.0), scale.repeatability);
        let mut own = way(reading, scale, true);
        if pools.get(&own).is_none_or(|values| values.len() < 3) && above_piston(of) {
            if axis(reading.place.as_ref()) != Axis::Pin {
                continue;
            }
            own.place = None;
        }
        let Some(values) = pools.get(&own) else { continue };
        let pool = judged.entry((own, floor.to_bits())).or_insert_with(|| Pool::of(values, floor));
        let Some(Pool { middle, scores }) = pool else { continue };
        let middle = *middle;
        for (value, read) in counting(reading) {
            let score = scores.get(&(read + 0.0).to_bits()).copied().unwrap_or(0.0);
            if score.abs() > outlier::LIMIT {
                let near = outlier::LIMIT * floor;
                let cause = cause::likely(of, reading.place.as_ref(), reading.state, read, middle, near);
                let Some(own) = reading.values.get(value) else { continue };
                let (written, kept) = (own.value.text().to_owned(), own.kept.clone());
                found.push(Outlier { reading: index, value, written, read, middle, score, cause, kept });
            }
        }
    }
    found
}

/// In which way a value was read: those read in one way are compared.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Way {
    /// Where; `None` for anywhere along the pin.
    place: Option<String>,
    scale: Option<String>,
    shim: Option<u64>,
    floats: bool,
}

/// The middle of values that are compared, and the score of each.
struct Pool {
    middle: f64,
    scores: HashMap<u64, f64>,
}

impl Pool {
    fn of(values: &[f64], floor: f64) -> Option<Self> {
        let scores = outlier::scores(values, floor)?;
        let bits = values.iter().map(|value| (value + 0.0).to_bits());
        Some(Self { middle: median(values)?, scores: bits.zip(scores).collect() })
    }
}

/// Remarks, each at most once.
#[derive(Default)]
struct Remarks(Vec<Remark>);

impl Remarks {
    fn add(&mut self, remark: Remark) {
        if !self.0.contains(&remark) {
            self.0.push(remark);
        }
    }

    fn of_reading(&mut self, reading: &Reading, instruments: &[Instrument]) {
        let kind = reading.of.kind();
        for value in reading.values.iter().filter(|v| v.value.kind() != kind) {
            self.add(Remark::WrongKind(value.value.text().to_owned()));
        }
        let mut units = reading.values.iter().filter(|v| v.struck.is_none()).map(|v| v.value.unit());
        if units.next().is_some_and(|first| units.any(|unit| unit != first)) {
            self.add(Remark::MixedUnits);
        }
        let scale = Scale::of(reading, instruments);
        match (&reading.instrument, &scale.id) {
            (None, _) => self.add(Remark::NoInstrument),
            (Some(id), None) => self.add(Remark::UnknownInstrument(id.clone())),
            (Some(_), Some(_)) => {
                if scale.step.is_none_or(|step| step == 0.0) {
                    self.add(Remark::NoStep);
                }
                if scale.repeatability.is_none() {
                    self.add(Remark::NoRepeatability);
                }
            }
        }
    }

    /// Adds the remarks on a run that counts.
    fn of_run(&mut self, of: &Subject, run: &Run, rock_known: bool) {
        let places = counted(of, run);
        let total: usize = places.iter().map(|p| p.values.len()).sum();
        let all_equal = |p: &&AtPlace| p.values.windows(2).all(|pair| matches!(pair, [a, b] if a == b));
        if total == 1 {
            self.add(Remark::SingleValue { stated: run.scale.repeatability.is_some() });
        } else if places.iter().all(all_equal) && places.iter().any(|p| p.values.len() > 1) {
            self.add(Remark::AllEqual);
        }
        for place in &places {
            if let [a, b] = place.values.as_slice() {
                let ordinary =
                    outlier::LIMIT * outlier::floor(run.scale.step.unwrap_or(0.0), run.scale.repeatability);
                if (a - b).abs() > ordinary && place.place != Some(DeckPlace::ThrustAxis) {
                    self.add(Remark::TwoApart((a - b).abs()));
                }
            }
        }
        if !above_piston(of) {
            return;
        }
        if floats(run.state) {
            self.add(Remark::Floating);
        }
        if one_edge(of, &places) {
            self.add(Remark::OneEdge);
        }
        let only = |place: DeckPlace| places.iter().all(|p| p.place.as_ref() == Some(&place));
        for end in [DeckPlace::PinAxisFront, DeckPlace::PinAxisRear] {
            if only(end.clone()) {
                self.add(Remark::OneEnd(end));
            }
        }
        if places.iter().any(|p| matches!(p.place, None | Some(DeckPlace::Other(_)))) {
            self.add(Remark::PlaceUnsaid);
        }
        if *of == Subject::Deck && !rock_known {
            self.add(Remark::RockUnread);
        }
        if *of == Subject::Squish {
            self.add(Remark::Springback);
        }
    }
}

#[cfg(test)]
mod tests;
