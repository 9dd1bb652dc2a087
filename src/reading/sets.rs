//! Sets of readings: those of one thing that were read in the same way, with a
//! line for each place.

use super::record::{CrankAngle, DeckPlace, Instrument, Reading, State, Subject};
use super::run::{Axis, above_piston, axis, floats};
use crate::quantity::{Kind, Quantity, Unit, UnitChoice};
use std::sync::LazyLock;

/// The conditions of a set: what all of its lines have in common.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct How {
    /// The id of the instrument.
    pub instrument: Option<String>,
    /// State of the parts.
    pub state: Option<State>,
    /// All base shims that were fitted.
    pub shim: Option<Quantity>,
    /// The date, as typed.
    pub date: String,
}

impl How {
    /// Returns the conditions of one reading.
    #[must_use]
    pub fn of(reading: &Reading) -> Self {
        Self {
            instrument: reading.instrument.clone(),
            state: reading.state,
            shim: reading.shim.clone(),
            date: reading.date.clone(),
        }
    }

    /// Returns an empty reading taken under these conditions.
    #[must_use]
    pub fn reading(&self, cylinder: &str, of: &Subject, place: Option<DeckPlace>) -> Reading {
        Reading {
            cylinder: cylinder.to_owned(),
            of: of.clone(),
            place,
            instrument: self.instrument.clone(),
            values: Vec::new(),
            state: self.state,
            shim: self.shim.clone(),
            date: self.date.clone(),
            note: String::new(),
        }
    }
}

/// Readings of one thing in one cylinder that were taken in the same way.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Set<'a> {
    /// The conditions.
    pub how: How,
    /// The readings with their indices in the list of all, from 0.
    pub lines: Vec<(usize, &'a Reading)>,
}

impl Set<'_> {
    /// Returns the note of the first line that has one.
    #[must_use]
    pub(crate) fn note(&self) -> &str {
        self.lines.iter().map(|(_, r)| r.note.as_str()).find(|note| !note.is_empty()).unwrap_or("")
    }
}

/// Returns the sets of one thing in one cylinder, in the order in which they
/// first appear.
#[must_use]
pub(crate) fn sets<'a>(readings: &'a [Reading], cylinder: &str, of: &Subject) -> Vec<Set<'a>> {
    let mut sets: Vec<Set<'a>> = Vec::new();
    let own = readings.iter().enumerate().filter(|(_, r)| r.cylinder == cylinder && r.of == *of);
    for (index, reading) in own {
        let how = How::of(reading);
        match sets.iter_mut().find(|set| set.how == how) {
            Some(set) => set.lines.push((index, reading)),
            None => sets.push(Set { how, lines: vec![(index, reading)] }),
        }
    }
    sets
}

/// Returns what was read in one cylinder, in the order in which it first
/// appears.
#[must_use]
pub(crate) fn subjects(readings: &[Reading], cylinder: &str) -> Vec<Subject> {
    let mut found: Vec<Subject> = Vec::new();
    for reading in readings.iter().filter(|r| r.cylinder == cylinder) {
        if !found.contains(&reading.of) {
            found.push(reading.of.clone());
        }
    }
    found
}

static ABOVE_PISTON: [Option<DeckPlace>; 4] = [
    Some(DeckPlace::PinAxisFront),
    Some(DeckPlace::PinAxisRear),
    Some(DeckPlace::Thrust),
    Some(DeckPlace::Antithrust),
];
static ALONG_BORE: [Option<DeckPlace>; 3] =
    [Some(DeckPlace::Top), Some(DeckPlace::Middle), Some(DeckPlace::Bottom)];
static ANYWHERE: [Option<DeckPlace>; 1] = [None];

/// The least of a sweep whose angle was not noted, and every 5° from 15°
/// before to 15° after the top (common practice).
static ON_OVERLAP: LazyLock<Vec<Option<DeckPlace>>> = LazyLock::new(|| {
    let angle =
        |degrees: f64| Quantity::of(Kind::Angle, degrees).ok().map(|q| DeckPlace::Crank(CrankAngle(q)));
    let angles = [-15.0, -10.0, -5.0, 0.0, 5.0, 10.0, 15.0].into_iter().filter_map(angle);
    std::iter::once(None).chain(angles.map(Some)).collect()
});

/// Returns the places at which a careful hand reads it.
#[must_use]
pub(crate) fn usual_places(of: &Subject) -> &'static [Option<DeckPlace>] {
    match of {
        Subject::Deck | Subject::Squish => &ABOVE_PISTON,
        Subject::Dimension(crate::engine::Key::Bore) => &ALONG_BORE,
        Subject::PistonToValve(_) => &ON_OVERLAP,
        Subject::Dimension(_) | Subject::RingGap(_) | Subject::WholeFill => &ANYWHERE,
    }
}

/// Returns whether a reading concerns the rock or a floating barrel and stays
/// out of the mean, as others in `all` are on the pin axis or clamped.
#[must_use]
pub(crate) fn beside_the_mean(reading: &Reading, all: &[Reading]) -> bool {
    if !above_piston(&reading.of) {
        return false;
    }
    let counting = |other: &&Reading| {
        other.cylinder == reading.cylinder
            && other.of == reading.of
            && other.values.iter().any(|v| v.struck.is_none() && v.value.kind() == other.of.kind())
    };
    let edge = |r: &Reading| axis(r.place.as_ref()) == Axis::Edge;
    let held = |r: &Reading| !floats(r.state);
    let others = || all.iter().filter(counting);
    (!held(reading) && others().any(held)) || (edge(reading) && others().any(|r| !edge(r)))
}

/// Returns the unit in which the next value of a line is most likely read: that
/// of the last one, else that of the instrument's scale, else the user's.
#[must_use]
pub(crate) fn next_unit(
    of: &Subject,
    line: Option<&Reading>,
    instrument: Option<&Instrument>,
    units: &UnitChoice,
) -> Unit {
    let kind = of.kind();
    let last = line.and_then(|r| r.values.iter().rev().map(|v| v.value.unit()).find(|u| u.kind() == kind));
    let scale = instrument.map(|i| i.step.unit()).filter(|unit| unit.kind() == kind);
    last.or(scale).unwrap_or_else(|| units.unit(kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Key;

    fn deck(place: DeckPlace, state: State, value: &str) -> Reading {
        let how = How { instrument: Some("indicator".into()), state: Some(state), ..How::default() };
        let mut reading = how.reading("1", &Subject::Deck, Some(place));
        reading.values.push(Quantity::parse_with_unit(value).unwrap().into());
        reading
    }

    #[test]
    fn readings_taken_in_one_way_are_one_set() {
        let all = [
            deck(DeckPlace::PinAxisFront, State::HeldByHand, "1.3 mm"),
            deck(DeckPlace::PinAxisFront, State::Clamped, "1.2 mm"),
            deck(DeckPlace::PinAxisRear, State::Clamped, "1.2 mm"),
            How::default().reading("1", &Subject::Dimension(Key::Bore), None),
            How::default().reading("2", &Subject::Deck, None),
        ];
        let found = sets(&all, "1", &Subject::Deck);
        let lines: Vec<Vec<usize>> =
            found.iter().map(|s| s.lines.iter().map(|(i, _)| *i).collect()).collect();
        assert_eq!(lines, [vec![0], vec![1, 2]]);
        assert_eq!(subjects(&all, "1"), [Subject::Deck, Subject::Dimension(Key::Bore)]);
    }

    #[test]
    fn edges_and_floating_barrels_stay_beside_the_mean_while_there_is_better() {
        let front = deck(DeckPlace::PinAxisFront, State::Clamped, "1.2 mm");
        let edge = deck(DeckPlace::Thrust, State::Clamped, "1.1 mm");
        let hand = deck(DeckPlace::PinAxisFront, State::HeldByHand, "1.3 mm");
        let all = [front.clone(), edge.clone(), hand.clone()];
        assert!(!beside_the_mean(&front, &all));
        assert!(beside_the_mean(&edge, &all) && beside_the_mean(&hand, &all));
        assert!(!beside_the_mean(&edge, std::slice::from_ref(&edge)));
        assert!(!beside_the_mean(&hand, std::slice::from_ref(&hand)));
    }

    #[test]
    fn the_next_value_is_read_in_the_unit_of_the_last() {
        let mm = UnitChoice::default();
        let line = deck(DeckPlace::PinAxisFront, State::Clamped, "43 thou");
        assert_eq!(next_unit(&Subject::Deck, Some(&line), None, &mm), Unit::Thou);
        let feeler = Instrument {
            id: "feeler".into(),
            name: "Feeler".into(),
            step: Quantity::parse_with_unit("0.001 in").unwrap(),
            repeatability: None,
            note: String::new(),
        };
        assert_eq!(next_unit(&Subject::Deck, None, Some(&feeler), &mm), Unit::Inch);
        assert_eq!(next_unit(&Subject::WholeFill, None, Some(&feeler), &mm), Unit::CubicCentimetre);
    }
}
