//! Moves of parts to other cylinders, with everything that was read on them.

use super::Project;
use crate::advise::matching::{Pairing, Part, Swap};
use crate::engine::{Group, Key};
use crate::reading::Subject;

/// The moves of parts: for each cylinder the index of the cylinder from
/// which its part comes. Each list contains every index once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartMoves {
    /// Rods.
    pub rods: Vec<usize>,
    /// Pistons.
    pub pistons: Vec<usize>,
    /// Barrels, with the rings that were fitted to them.
    pub barrels: Vec<usize>,
    /// Chambers.
    pub chambers: Vec<usize>,
}

/// The reason why a deck or a gap that was read does not count any more.
const OTHER_PARTS: &str = "read with other parts in this place";

impl PartMoves {
    /// Returns moves that leave `count` cylinders as they are.
    fn none(count: usize) -> Self {
        let stay: Vec<usize> = (0..count).collect();
        Self { rods: stay.clone(), pistons: stay.clone(), barrels: stay.clone(), chambers: stay }
    }

    fn of(&self, part: Part) -> &[usize] {
        match part {
            Part::Rod => &self.rods,
            Part::Piston => &self.pistons,
            Part::Barrel => &self.barrels,
            Part::Chamber => &self.chambers,
        }
    }

    /// Returns the cylinder from which the part of this one comes.
    fn source(&self, part: Part, place: usize) -> usize {
        self.of(part).get(place).copied().unwrap_or(place)
    }

    /// Returns the cylinder to which the part of this one goes.
    fn target(&self, part: Part, place: usize) -> usize {
        self.of(part).iter().position(|from| *from == place).unwrap_or(place)
    }

    /// Returns whether each list contains each of so many indices once.
    pub(super) fn is_whole(&self, count: usize) -> bool {
        Part::ALL.iter().all(|part| {
            let of = self.of(*part);
            of.len() == count && (0..count).all(|place| of.contains(&place))
        })
    }

    /// Returns whether the cylinder has another of these parts than before.
    fn is_new(&self, place: usize, parts: &[Part]) -> bool {
        parts.iter().any(|part| self.source(*part, place) != place)
    }
}

impl From<&Pairing> for PartMoves {
    fn from(pairing: &Pairing) -> Self {
        let seats = &pairing.seats;
        Self {
            rods: seats.iter().map(|seat| seat.rod).collect(),
            pistons: seats.iter().map(|seat| seat.piston).collect(),
            barrels: seats.iter().map(|seat| seat.barrel).collect(),
            ..Self::none(seats.len())
        }
    }
}

impl Project {
    /// Returns the moves of the chambers when heads are swapped; those under
    /// one head keep their order.
    #[must_use]
    pub fn moves_of_heads(&self, swap: &Swap) -> PartMoves {
        let mut moves = PartMoves::none(self.engine.cylinders.len());
        let under = |head: usize| -> Vec<usize> {
            self.engine
                .heads
                .get(head)
                .map_or_else(Vec::new, |head| self.engine.under_head(&head.label).collect())
        };
        for (place, from) in swap.heads.iter().enumerate() {
            for (to, from) in under(place).into_iter().zip(under(*from)) {
                if let Some(slot) = moves.chambers.get_mut(to) {
                    *slot = from;
                }
            }
        }
        moves
    }

    /// Moves the parts to their new cylinders: their dimensions, the readings
    /// taken on them, and the rings, which stay with the bore that they were
    /// filed for. Readings of an assembly that no longer exists are struck out,
    /// not deleted. Shims stay where they lie.
    pub(super) fn move_parts(&mut self, moves: &PartMoves) {
        self.own_mockup();
        let before = self.engine.clone();
        for (place, cylinder) in self.engine.cylinders.iter_mut().enumerate() {
            for key in Key::all() {
                let Some(part) = Part::of(key) else { continue };
                let from = moves.source(part, place);
                match before.cylinders.get(from).and_then(|from| from.own.get(key)) {
                    Some(entry) => cylinder.own.set(key, entry.clone()),
                    None => cylinder.own.clear(key),
                };
            }
            if moves.is_new(place, &[Part::Rod, Part::Piston, Part::Barrel]) {
                for key in Key::of_group(Group::Mockup) {
                    cylinder.own.clear(key);
                }
            }
        }
        let label = |place: usize| before.cylinders.get(place).map(|c| c.label.clone());
        for reading in &mut self.readings {
            let Some(place) = before.cylinders.iter().position(|c| c.label == reading.cylinder) else {
                continue;
            };
            let part = match &reading.of {
                Subject::Dimension(key) => Part::of(*key),
                Subject::RingGap(_) => Some(Part::Barrel),
                Subject::Deck | Subject::Squish | Subject::WholeFill | Subject::PistonToValve(_) => None,
            };
            if let Some(label) = part.and_then(|part| label(moves.target(part, place))) {
                reading.cylinder = label;
            }
            let parts = match &reading.of {
                Subject::Deck => &Part::ALL[..3],
                Subject::Squish | Subject::WholeFill | Subject::PistonToValve(_) => &Part::ALL[..],
                Subject::Dimension(_) | Subject::RingGap(_) => &[],
            };
            if moves.is_new(place, parts) {
                for value in reading.values.iter_mut().filter(|value| value.struck.is_none()) {
                    value.struck = Some(OTHER_PARTS.to_owned());
                    value.kept = None;
                }
            }
        }
        for fitted in self.rings.iter_mut().flat_map(|ring| &mut ring.fitted) {
            let place = before.cylinders.iter().position(|c| c.label == fitted.cylinder);
            if let Some(label) = place.and_then(|place| label(moves.target(Part::Barrel, place))) {
                fitted.cylinder = label;
            }
        }
    }

    /// Makes a deck that was given for all cylinders each one's own, so that it
    /// can go from one of them.
    fn own_mockup(&mut self) {
        for key in Key::of_group(Group::Mockup) {
            let Some(entry) = self.engine.nominal.clear(key) else { continue };
            for cylinder in &mut self.engine.cylinders {
                if cylinder.own.get(key).is_none() {
                    cylinder.own.set(key, entry.clone());
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Edit, demos};
    use super::*;
    use crate::advise::matching::{Locks, pair};
    use crate::advise::shims::Budget;

    fn flat_six() -> Project {
        demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap()
    }

    fn values(project: &Project, key: Key) -> Vec<f64> {
        (0..project.engine.cylinders.len()).map(|i| project.dims(i).unwrap().get(key).unwrap()).collect()
    }

    #[test]
    fn parts_take_their_dimensions_readings_and_rings_along() {
        let project = flat_six();
        // The barrels of 1 and 5 change places.
        let mut moves = PartMoves::none(6);
        moves.barrels.swap(0, 4);
        let next = Edit::MoveParts { what: "Pair".into(), moves: moves.into() }.apply(&project).unwrap();
        let (then, now) = (values(&project, Key::BarrelLength), values(&next, Key::BarrelLength));
        assert_eq!((now[0], now[4], now[2]), (then[4], then[0], then[2]));
        assert_eq!(values(&next, Key::RodLength), values(&project, Key::RodLength));
        let read = |of: &Project, label: &str, key: Key| -> Vec<Vec<crate::reading::Value>> {
            let all = of.readings.iter().filter(|r| r.cylinder == label && r.of == Subject::Dimension(key));
            all.map(|r| r.values.clone()).collect()
        };
        assert!(!read(&project, "1", Key::BarrelLength).is_empty());
        assert_eq!(read(&next, "5", Key::BarrelLength), read(&project, "1", Key::BarrelLength));
        assert_eq!(read(&next, "5", Key::RodLength), read(&project, "5", Key::RodLength));
        let rings = |of: &Project, label: &str| {
            let all = of.rings.iter().flat_map(|r| &r.fitted).filter(|f| f.cylinder == label);
            all.map(|f| f.delivered.clone()).collect::<Vec<_>>()
        };
        assert_eq!(rings(&next, "5"), rings(&project, "1"));
        // The deck of 1 was read over another barrel; that of 3 still counts.
        let counts = |label: &str| {
            next.readings
                .iter()
                .filter(|r| r.cylinder == label && r.of == Subject::Deck)
                .all(|r| r.values.iter().any(|value| value.struck.is_none()))
        };
        assert!(!counts("1") && counts("3"));
        assert_eq!(next.readings.len(), project.readings.len(), "nothing is deleted");
    }

    #[test]
    fn a_pairing_that_is_taken_gives_what_it_promised_and_then_moves_nothing_more() {
        let project = flat_six();
        let budget = || Budget::new(60_000, &|| false);
        let found = pair(&project.question(), &Locks::default(), &mut budget()).unwrap();
        assert!(found.moves());
        let moves = PartMoves::from(&found);
        let next = Edit::MoveParts { what: "Pair".into(), moves: moves.into() }.apply(&project).unwrap();
        let after = pair(&next.question(), &Locks::default(), &mut budget()).unwrap();
        assert_eq!(after.now.decks_mm.len(), 6);
        for (now, then) in after.now.decks_mm.iter().zip(&found.then.decks_mm) {
            assert!((now - then).abs() < 1e-9, "{now} against {then}");
        }
        // The better of both can't be worse than the present state.
        assert!(after.then.deck_spread_mm <= after.now.deck_spread_mm + 1e-9);
    }

    #[test]
    fn a_part_can_not_be_in_two_places() {
        let mut moves = PartMoves::none(6);
        moves.rods[0] = 1;
        let edit = Edit::MoveParts { what: "Pair".into(), moves: moves.into() };
        assert!(edit.apply(&flat_six()).is_err());
        let short = Edit::MoveParts { what: "Pair".into(), moves: PartMoves::none(5).into() };
        assert!(short.apply(&flat_six()).is_err());
    }
}
