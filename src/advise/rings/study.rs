//! The study of the rings of a document: all that the window, the paper and the
//! command line show.

use super::answer::{GapAnswer, Heat, RingAnswer, RingFault, answers};
use super::filing::Verdict;
use super::question::RingQuestion;
use super::stagger::{GapPlace, Warning, Zone, warnings};
use crate::schema::{RingLayout, Temperatures};
use crate::study::cautions::Caution;

/// The answers about rings.
#[derive(Clone, Debug, PartialEq)]
pub struct RingStudy {
    /// The question.
    pub asked: RingQuestion,
    /// Ring by ring in the order of the set; empty where the input has a fault.
    pub rings: Vec<RingAnswer>,
    /// Faults of the input.
    pub faults: Vec<RingFault>,
    /// Angles of the gaps.
    pub places: Vec<GapPlace>,
    /// The zones that they keep off.
    pub zones: Vec<Zone>,
    /// Warnings about their angles.
    pub warnings: Vec<Warning>,
    /// The temperatures that the user assumes.
    pub heat: Option<Temperatures>,
    /// Whether it is a diesel, for the side clearance.
    pub diesel: bool,
    /// The cautions about rings.
    pub cautions: Vec<&'static Caution>,
}

impl RingStudy {
    /// Answers the question.
    #[must_use]
    pub fn new(
        asked: RingQuestion,
        layout: &RingLayout,
        diesel: bool,
        cautions: Vec<&'static Caution>,
    ) -> Self {
        let heat = layout.heat.map(|heat| Heat {
            ring_kelvin: heat.ring - heat.measured_at,
            bore_kelvin: heat.bore - heat.measured_at,
        });
        let (rings, faults) = match answers(&asked.rings, &asked.bores, heat) {
            Ok(rings) => (rings, Vec::new()),
            Err(faults) => (Vec::new(), faults),
        };
        let zones = asked.zones(layout);
        let places = asked.places(layout, &zones);
        let warnings = warnings(&places, &zones);
        Self { asked, rings, faults, places, zones, warnings, heat: layout.heat, diesel, cautions }
    }

    /// Returns the answer for one ring in one bore.
    #[must_use]
    pub fn gap(&self, ring: usize, cylinder: &str) -> Option<&GapAnswer> {
        self.rings.get(ring)?.gaps.iter().find(|gap| gap.cylinder == cylinder)
    }

    /// Returns how many rings there are to file, and how many are unmeasured.
    #[must_use]
    pub fn left_to_do(&self) -> LeftToDo {
        let gaps = || self.rings.iter().flat_map(|ring| &ring.gaps);
        let count = |wanted: fn(&Verdict) -> bool| gaps().filter(|gap| wanted(&gap.verdict)).count();
        LeftToDo {
            rings: gaps().count(),
            to_file: count(|verdict| matches!(verdict, Verdict::File { .. })),
            unmeasured: count(|verdict| matches!(verdict, Verdict::Unmeasured)),
            wrong: count(|verdict| matches!(verdict, Verdict::TooTight { .. } | Verdict::TooWide { .. })),
        }
    }
}

/// The work that is left on the rings of an engine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LeftToDo {
    /// Number of all rings of all cylinders.
    pub rings: usize,
    /// Number of those to be filed.
    pub to_file: usize,
    /// Number of those unmeasured in their bore.
    pub unmeasured: usize,
    /// Number of those too tight for a ring that is not filed, or too wide.
    pub wrong: usize,
}
