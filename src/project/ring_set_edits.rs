//! Edits of the set of rings itself: its rings, their materials and clearances
//! in the grooves, pegs and ports.

use super::{Edit, Project};
use crate::advise::rings::{FACTORS, MIN_OIL, WhichRing};
use crate::quantity::{Kind, Quantity};
use crate::schema::limit::COMMON_PRACTICE;
use crate::schema::{Port, Ring, RingLayout, WantedGap};

/// A length that is the same for a ring in every bore.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RingLength {
    /// The end gap as sold.
    SoldGap,
    /// The axial clearance in its groove.
    Side,
    /// The room behind it when its face is flush with the land.
    Back,
    /// Height along the bore.
    Height,
    /// Thickness from face to back.
    Thickness,
}

impl RingLength {
    /// Returns its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SoldGap => "gap as sold",
            Self::Side => "side clearance",
            Self::Back => "back clearance",
            Self::Height => "height",
            Self::Thickness => "thickness",
        }
    }

    /// Returns that length of a ring.
    #[must_use]
    pub fn of(self, ring: &Ring) -> Option<&Quantity> {
        match self {
            Self::SoldGap => ring.supplied_gap.as_ref(),
            Self::Side => ring.side_clearance.as_ref(),
            Self::Back => ring.back_clearance.as_ref(),
            Self::Height => ring.height.as_ref(),
            Self::Thickness => ring.thickness.as_ref(),
        }
    }

    fn place(self, ring: &mut Ring) -> &mut Option<Quantity> {
        match self {
            Self::SoldGap => &mut ring.supplied_gap,
            Self::Side => &mut ring.side_clearance,
            Self::Back => &mut ring.back_clearance,
            Self::Height => &mut ring.height,
            Self::Thickness => &mut ring.thickness,
        }
    }
}

/// A ring that can be added to a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NewRing {
    /// A compression ring below the present ones.
    Compression,
    /// Two rails on an expander.
    Rails,
    /// An oil ring in one piece.
    OnePiece,
}

impl Project {
    /// Returns the edit that sets a length of a ring of the set, or clears it.
    ///
    /// ```
    /// use crowndeck::project::{RingLength, demo};
    /// use crowndeck::quantity::{Kind, Quantity};
    /// let side = Quantity::parse(Kind::Length, "0.05 mm").unwrap();
    /// let edit = demo().ring_length_edit(0, RingLength::Side, Some(side)).unwrap();
    /// assert_eq!(edit.label(&demo()), "Top ring, side clearance: 0.05 mm");
    /// ```
    #[must_use]
    pub fn ring_length_edit(&self, ring: usize, which: RingLength, value: Option<Quantity>) -> Option<Edit> {
        let told = value.as_ref().map_or_else(|| "taken back".to_owned(), ToString::to_string);
        let what = format!("{}, {}: {told}", self.rings.get(ring)?.title(), which.name());
        self.ring_edit(ring, what, |ring| *which.place(ring) = value)
    }

    /// Returns the edit that sets the material of a ring.
    #[must_use]
    pub fn ring_material_edit(&self, ring: usize, words: &str) -> Option<Edit> {
        let what = format!("{}, made of: {words}", self.rings.get(ring)?.title());
        self.ring_edit(ring, what, |ring| words.clone_into(&mut ring.material))
    }

    /// Returns the edit that sets the material of the barrels, for the effect
    /// of heat on the gaps.
    #[must_use]
    pub fn barrel_metal_edit(&self, words: &str) -> Edit {
        let mut engine = self.engine.clone();
        words.clone_into(&mut engine.materials.barrel);
        Edit::SetEngine { what: format!("Barrel, made of: {words}"), engine: Box::new(engine) }
    }

    /// Returns the edit that sets the angle of the peg of a ring; `None` for a
    /// ring that is free to turn.
    #[must_use]
    pub fn peg_edit(&self, ring: usize, at: Option<Quantity>) -> Option<Edit> {
        let title = self.rings.get(ring)?.title();
        let what = match &at {
            Some(at) => format!("{title}, its peg at {at}"),
            None => format!("{title}, no place of a peg"),
        };
        self.ring_edit(ring, what, |ring| ring.peg = at)
    }

    /// Returns the edit that adds a ring to the set, above the oil ring where
    /// it is none itself.
    #[must_use]
    pub fn add_ring_edit(&self, ring: Ring) -> Edit {
        let mut rings = self.rings.clone();
        let what = format!("{} added", ring.title());
        // Compression rings are above the oil ring.
        let oil = |ring: &Ring| ring.name.to_lowercase().contains("oil");
        let at = if oil(&ring) { rings.len() } else { rings.iter().position(oil).unwrap_or(rings.len()) };
        rings.insert(at, ring);
        Edit::SetRings { what, rings }
    }

    /// Returns the edit that removes a ring from the set, with its gaps.
    #[must_use]
    pub fn remove_ring_edit(&self, ring: usize) -> Option<Edit> {
        let what = format!("{} removed, with its gaps", self.rings.get(ring)?.title());
        let mut rings = self.rings.clone();
        rings.remove(ring);
        Some(Edit::SetRings { what, rings })
    }

    /// Returns the edit that changes the ports in the bore.
    #[must_use]
    pub fn ports_edit(&self, what: String, ports: Vec<Port>) -> Edit {
        let layout = Box::new(RingLayout { ports, ..self.ring_layout.clone() });
        Edit::SetRingLayout { what, layout }
    }

    /// Returns a ring to add, with a name that no other has and the values of
    /// common practice for its position; the maker's sheet comes first.
    #[must_use]
    pub fn new_ring(&self, kind: NewRing) -> Ring {
        let names: &[&str] = match kind {
            NewRing::Compression => &["top", "second", "third", "fourth"],
            NewRing::Rails => &["oil rail", "second oil rail"],
            NewRing::OnePiece => &["oil", "second oil"],
        };
        let free = |name: &&&str| !self.rings.iter().any(|ring| ring.name == **name);
        let name = names.iter().find(free).copied().unwrap_or("further");
        let which = if name == "top" { WhichRing::Top } else { WhichRing::Second };
        let proposed = |duty: &str| {
            FACTORS.iter().find(|row| row.ring == which && row.duty.starts_with(duty)).map(|row| row.proposed)
        };
        let factor = proposed("road").or_else(|| proposed("wider")).unwrap_or_default();
        let least = |place: usize| {
            let mm = MIN_OIL.get(place).map_or(0.0, |row| row.mm);
            Quantity::of(Kind::Length, mm)
        };
        let (material, wanted) = match kind {
            NewRing::Compression => ("", None),
            NewRing::Rails => ("steel rails", least(0).ok()),
            NewRing::OnePiece => ("one-piece cast iron", least(1).ok()),
        };
        Ring {
            name: name.to_owned(),
            material: material.to_owned(),
            wanted: wanted.map_or(WantedGap::PerBore(factor), WantedGap::AtLeast),
            source: format!("{}; the ring maker's sheet governs", COMMON_PRACTICE),
            supplied_gap: None,
            side_clearance: None,
            back_clearance: None,
            height: None,
            thickness: None,
            peg: None,
            fitted: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demo;

    #[test]
    fn rings_are_added_in_their_order_and_removed() {
        let mut project = demo();
        project.rings.clear();
        project.readings.retain(|reading| !matches!(reading.of, crate::reading::Subject::RingGap(_)));
        for kind in [NewRing::Compression, NewRing::Rails, NewRing::Compression] {
            project = project.add_ring_edit(project.new_ring(kind)).apply(&project).unwrap();
        }
        let names: Vec<_> = project.rings.iter().map(|ring| ring.name.as_str()).collect();
        assert_eq!(names, ["top", "second", "oil rail"]);
        assert_eq!(project.rings[1].wanted, WantedGap::PerBore(0.0050));
        assert!(project.ring_study().faults.is_empty());
        let edit = project.remove_ring_edit(1).unwrap();
        assert_eq!(edit.label(&project), "Second ring removed, with its gaps");
        assert_eq!(edit.apply(&project).unwrap().rings.len(), 2);
        assert!(project.remove_ring_edit(9).is_none());
    }

    #[test]
    fn a_peg_and_a_port_are_told_where_they_meet() {
        let project = demo();
        let angle = |text: &str| Quantity::parse(Kind::Angle, text).unwrap();
        let project = project.peg_edit(0, Some(angle("75 deg"))).unwrap().apply(&project).unwrap();
        let port = Port { name: "exhaust port".into(), at: angle("90 deg"), width: angle("58 deg") };
        let project = project.ports_edit("Port added".into(), vec![port]).apply(&project).unwrap();
        let told: Vec<_> = project.ring_study().warnings.iter().map(|w| w.sentence()).collect();
        assert!(told.iter().any(|words| words.contains("pegged at 75°, on the exhaust port")), "{told:?}");
    }
}
