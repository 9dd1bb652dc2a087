//! Pairing of rods, pistons and barrels with the holes of the case.
//!
//! A shim raises barrel and deck together: it can't cure a long rod or a tall
//! piston without taking the barrels out of level. So parts are paired first:
//! long rod with short piston, long barrel over a low face of the case (trade
//! knowledge). Of two pairings the one is better whose barrel tops keep their
//! level tolerance, or miss it by less; then whose decks differ less; then
//! whose tops differ less; then that moves fewer parts.
//!
//! Shims and mock-up readings don't count here: a reading belongs to the parts
//! that were together when it was taken.

use super::even::{Problem, Way, solve, whole};
use crate::advise::budget::Budget;
use crate::engine::{Component, Dims, Engine, Group, Key};
use crate::quantity::{Kind, UnitChoice, write};
use crate::schema::limit::{Limit, LimitId};
use crate::study::{Question, level};

/// A part that can be in another position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Part {
    /// The rod.
    Rod,
    /// The piston, with its pin.
    Piston,
    /// The barrel.
    Barrel,
    /// The chamber of the head.
    Chamber,
}

all!(pub(crate) Part: Rod, Piston, Barrel, Chamber);

impl Part {
    /// Returns the part that a dimension goes with; `None` for one of the
    /// position itself.
    #[must_use]
    pub(crate) fn of(key: Key) -> Option<Self> {
        match key.row().component {
            Component::Rod => Some(Self::Rod),
            Component::Piston => Some(Self::Piston),
            Component::Barrel => Some(Self::Barrel),
            Component::Head => Some(Self::Chamber),
            // One crank and one case for all; sheets and readings stay with the place.
            _ => None,
        }
    }

    /// Returns the dimensions that go with this part.
    pub(crate) fn keys(self) -> impl Iterator<Item = Key> {
        Key::all().filter(move |&key| Self::of(key) == Some(self))
    }
}

/// Parts that stay where they are, by the index of their cylinder; what is
/// missing may move.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Locks {
    /// Rods.
    pub rods: Vec<bool>,
    /// Pistons.
    pub pistons: Vec<bool>,
    /// Barrels, including those that share a casting.
    pub barrels: Vec<bool>,
    /// Whether each piston goes with the barrel it was fitted to.
    pub pistons_stay_in_their_barrels: bool,
}

/// The parts of one hole: the cylinders from which they come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seat {
    /// The rod.
    pub rod: usize,
    /// The piston.
    pub piston: usize,
    /// The barrel.
    pub barrel: usize,
}

/// The evenness of a pairing, without any shim.
#[derive(Clone, Debug, PartialEq)]
pub struct Evenness {
    /// Deck clearance of each cylinder, mm, positive below.
    pub decks_mm: Vec<f64>,
    /// Greatest deck less least, mm.
    pub deck_spread_mm: f64,
    /// Greatest difference of the tops under each head that must be level, mm.
    pub levels_mm: Vec<Option<f64>>,
}

/// A pairing compared with the present one.
#[derive(Clone, Debug, PartialEq)]
pub struct Pairing {
    /// The parts of each hole, by its index.
    pub seats: Vec<Seat>,
    /// The present evenness.
    pub now: Evenness,
    /// The evenness of the pairing.
    pub then: Evenness,
    /// Whether it is proved that none is better.
    pub proved: bool,
}

impl Pairing {
    /// Returns whether any part leaves its position.
    #[must_use]
    pub fn moves(&self) -> bool {
        self.seats.iter().enumerate().any(|(i, s)| *s != Seat { rod: i, piston: i, barrel: i })
    }
}

impl Pairing {
    /// Returns the gain and how far it is proved, in a few sentences.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        let length = |mm: f64| write(Kind::Length, mm, None, units).to_string();
        let proof = if self.proved {
            "It is proved that no pairing is better"
        } else {
            "The best that was found; that none is better is not proved"
        };
        if !self.moves() {
            return format!("Every part stays where it is. {proof}.");
        }
        let worst = |of: &Evenness| of.levels_mm.iter().flatten().copied().fold(0.0, f64::max);
        let level = if self.now.levels_mm.iter().any(Option::is_some) {
            format!(
                "; the worst level under a head is {} now, {} then",
                length(worst(&self.now)),
                length(worst(&self.then))
            )
        } else {
            String::new()
        };
        format!(
            "Decks without shims differ by {} now, {} then{level}. {proof}.",
            length(self.now.deck_spread_mm),
            length(self.then.deck_spread_mm)
        )
    }
}

/// Returns the dimensions of a hole with these parts in it.
fn seated(question: &Question, hole: usize, seat: Seat) -> Option<Dims> {
    let of = |place: usize| question.cylinders.get(place).map(|c| c.dims);
    let mut dims = of(hole)?;
    for (part, from) in
        [(Part::Rod, of(seat.rod)?), (Part::Piston, of(seat.piston)?), (Part::Barrel, of(seat.barrel)?)]
    {
        for key in part.keys() {
            dims.set(key, from.get(key));
        }
    }
    for key in Key::of_group(Group::Mockup).chain([Key::BaseShim]) {
        dims.set(key, None);
    }
    Some(dims)
}

/// Returns deck and height of the top, mm, of parts without shims.
fn heights(dims: &Dims) -> Option<(f64, f64)> {
    let mut free = *dims;
    // A piston that meets the head before shims are fitted is no fault yet.
    let of = |key| dims.filled(key).unwrap_or(0.0);
    let far = 10.0 * (of(Key::Bore) + of(Key::Stroke) + of(Key::RodLength) + of(Key::CompressionHeight));
    for (key, value) in
        [(Key::GasketThickness, 0.0), (Key::HeadStep, far), (Key::ChamberVolume, far * far * far)]
    {
        free.set(key, Some(value));
    }
    let engine = Engine::new(free).ok()?;
    Some((engine.figures().deck_clearance, level::top(dims)?))
}

/// At most so many ways to fill a hole are listed, all holes together: those
/// of 26 cylinders whose parts may all change places.
const MAX_WAYS: usize = 26 * 26 * 26 * 26;

/// Returns the best pairing that the search finds within its budget.
///
/// # Errors
/// A sentence that says what has to be given or corrected first.
pub(crate) fn pair(question: &Question, locks: &Locks, budget: &mut Budget<'_>) -> Result<Pairing, String> {
    let count = question.cylinders.len();
    if count < 2 {
        return Err("One cylinder alone: there is nothing to pair".into());
    }
    let label = |i: usize| question.cylinders.get(i).map_or("", |c| c.label.as_str());
    let locked = |of: &[bool], i: usize| of.get(i).copied().unwrap_or(false);
    let fits =
        |of: &[bool], hole: usize, from: usize| hole == from || !(locked(of, hole) || locked(of, from));
    let free = |of: &[bool]| (0..count).filter(|&place| !locked(of, place)).count().max(1);
    let pistons = if locks.pistons_stay_in_their_barrels { 1 } else { free(&locks.pistons) };
    let ways = [count, free(&locks.rods), pistons, free(&locks.barrels)];
    if ways.into_iter().try_fold(1_usize, usize::checked_mul).is_none_or(|ways| ways > MAX_WAYS) {
        return Err(format!(
            "{count} cylinders can be paired in too many ways to look at: lock parts that stay where they are"
        ));
    }
    let mut problem = Problem::default();
    for head in &question.heads {
        let tolerance = head.tolerance.as_ref().map(Limit::base).or(question.limits.value(LimitId::Level));
        problem.tolerances.push(whole(tolerance.unwrap_or(0.0)));
    }
    let mut stands = Vec::new();
    for hole in 0..count {
        let mut ways = Vec::new();
        for rod in (0..count).filter(|&rod| fits(&locks.rods, hole, rod)) {
            for piston in (0..count).filter(|&piston| fits(&locks.pistons, hole, piston)) {
                for barrel in (0..count).filter(|&barrel| fits(&locks.barrels, hole, barrel)) {
                    if locks.pistons_stay_in_their_barrels && piston != barrel {
                        continue;
                    }
                    let seat = Seat { rod, piston, barrel };
                    let Some((deck, top)) = seated(question, hole, seat).and_then(|dims| heights(&dims))
                    else {
                        continue;
                    };
                    let head = question.cylinders.get(hole).map_or(0, |c| c.head);
                    let level = question.heads.get(head).is_some_and(|h| h.level);
                    let uses = [rod, piston, barrel];
                    ways.push(Way {
                        uses,
                        low: whole(deck),
                        high: whole(deck),
                        top: level.then_some((head, whole(top))),
                        moved: uses.iter().map(|from| u32::from(*from != hole)).sum(),
                    });
                }
            }
        }
        let Some(now) = ways.iter().find(|way| way.moved == 0) else {
            return Err(format!(
                "Cylinder {} can't be computed as it stands: give its dimensions or put them right first",
                label(hole)
            ));
        };
        stands.push(*now);
        problem.places.push(ways);
    }
    let found = solve(&problem, &stands, budget);
    let ways = found.ways.unwrap_or_else(|| stands.clone());
    let seats: Vec<Seat> =
        ways.iter().map(|way| Seat { rod: way.uses[0], piston: way.uses[1], barrel: way.uses[2] }).collect();
    let own: Vec<Seat> = (0..count).map(|i| Seat { rod: i, piston: i, barrel: i }).collect();
    Ok(Pairing {
        now: evenness(question, &own),
        then: evenness(question, &seats),
        seats,
        proved: found.proved,
    })
}

fn evenness(question: &Question, seats: &[Seat]) -> Evenness {
    let all: Vec<(usize, f64, f64)> = seats
        .iter()
        .enumerate()
        .filter_map(|(hole, &seat)| {
            let (deck, top) = heights(&seated(question, hole, seat)?)?;
            Some((question.cylinders.get(hole)?.head, deck, top))
        })
        .collect();
    let spread = |values: &mut dyn Iterator<Item = f64>| {
        let span = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| (l.min(v), m.max(v)));
        (span.1 - span.0).max(0.0)
    };
    Evenness {
        decks_mm: all.iter().map(|one| one.1).collect(),
        deck_spread_mm: spread(&mut all.iter().map(|one| one.1)),
        levels_mm: (0..question.heads.len())
            .map(|head| {
                question.heads.get(head).filter(|h| h.level)?;
                Some(spread(&mut all.iter().filter(|one| one.0 == head).map(|one| one.2)))
            })
            .collect(),
    }
}
