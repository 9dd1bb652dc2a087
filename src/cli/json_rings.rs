//! The JSON object of `rings`:
//!
//! ```json
//! {"format": 1, "project": "…",
//!  "hot": {"ring_temperature_c": 0, "bore_temperature_c": 0, "measured_at_c": 20},
//!  "rings": [{"ring": "top", "material": "…", "rule": "bore × 0.0045", "source": "…",
//!    "side_clearance_mm": 0, "side_clearance": "inside", "back_clearance_mm": null,
//!    "cylinders": [{"cylinder": "1", "bore_mm": 0, "wanted_mm": 0,
//!      "delivered_mm": 0, "filed_mm": null, "final_mm": null, "gap_mm": 0,
//!      "doubt_mm": null, "verdict": "file", "to_file_mm": 0, "next_step": {"remove_mm": 0, "stop_at_mm": 0},
//!      "steps": [{"remove_mm": 0, "stop_at_mm": 0}], "read_where_mm": null, "depth_mm": null,
//!      "expected_to_file_mm": null, "too_tight_by_mm": null, "too_wide_by_mm": null,
//!      "hot_gap_mm": null, "closes_at_mm": null, "text": "…"}]}],
//!  "start_positions": [{"gap": "top ring", "angle_deg": 65, "clock": "2:10", "pegged": false}],
//!  "warnings": ["…"], "cautions": ["…"]}
//! ```
//!
//! `gap_mm` is the last stage that was read: final, else filed, else
//! delivered; where the bore is wider or narrower at the place of the reading,
//! told for the bore that counts. `doubt_mm` is its uncertainty, ± for 95 %,
//! where the instrument is known. `verdict` is one of `unmeasured`, `file`, `too_tight`, `leave`,
//! `too_wide`; `to_file_mm` is 0 where nothing is to be filed and null where
//! nothing was measured, and then `expected_to_file_mm` tells what a ring as
//! sold would need. `next_step` is there while there is something to file, and `steps` holds it
//! and those after it, the last of which ends at what is wanted. `read_where_mm` is the width of
//! the bore where the gaps were read, `depth_mm` how far below its top, where they were entered.
//! `side_clearance` is `tight`, `inside`, `wide` or `worn`. `hot` and what
//! follows from it are null unless the call or the project assumes temperatures; a hot gap
//! below 0 means that the ends meet and press; `closes_at_mm` is the cold gap
//! that just closes, 0 where none does. Angles are degrees from the front end
//! of the piston pin, clockwise seen from above; `start_positions` leaves
//! out a ring that is pegged nobody says where.

use super::json::{FORMAT, Number, n};
use super::rings::Rings;
use crate::advise::rings;
use crate::advise::rings::{GapAnswer, Verdict, Warning, clock};
use crate::quantity::UnitChoice;
use serde::Serialize;

/// `rings --json`.
#[derive(Debug, Serialize)]
pub(super) struct RingsObject {
    pub format: u32,
    pub project: String,
    pub hot: Option<Hot>,
    pub rings: Vec<Ring>,
    pub start_positions: Vec<Position>,
    pub warnings: Vec<String>,
    pub cautions: Vec<String>,
}

/// The temperatures that the call assumes.
#[derive(Debug, Serialize)]
pub(super) struct Hot {
    pub ring_temperature_c: Number,
    pub bore_temperature_c: Number,
    pub measured_at_c: Number,
}

/// One ring.
#[derive(Debug, Serialize)]
pub(super) struct Ring {
    pub ring: String,
    pub material: String,
    pub rule: String,
    pub source: String,
    pub side_clearance_mm: Option<Number>,
    pub side_clearance: Option<&'static str>,
    pub back_clearance_mm: Option<Number>,
    pub cylinders: Vec<Gap>,
}

/// One ring in one bore.
#[derive(Debug, Serialize)]
pub(super) struct Gap {
    pub cylinder: String,
    pub bore_mm: Number,
    pub wanted_mm: Number,
    pub delivered_mm: Option<Number>,
    pub filed_mm: Option<Number>,
    pub final_mm: Option<Number>,
    pub gap_mm: Option<Number>,
    pub doubt_mm: Option<Number>,
    pub verdict: &'static str,
    pub to_file_mm: Option<Number>,
    pub next_step: Option<Step>,
    pub steps: Vec<Step>,
    pub read_where_mm: Option<Number>,
    pub depth_mm: Option<Number>,
    pub expected_to_file_mm: Option<Number>,
    pub too_tight_by_mm: Option<Number>,
    pub too_wide_by_mm: Option<Number>,
    pub hot_gap_mm: Option<Number>,
    pub closes_at_mm: Option<Number>,
    pub text: String,
}

/// The next step of filing.
#[derive(Debug, Serialize)]
pub(super) struct Step {
    pub remove_mm: Number,
    pub stop_at_mm: Number,
}

/// Where a gap starts.
#[derive(Debug, Serialize)]
pub(super) struct Position {
    pub gap: String,
    pub angle_deg: Number,
    pub clock: String,
    pub pegged: bool,
}

impl RingsObject {
    /// From the answers.
    pub(super) fn of(rings: &Rings) -> Self {
        let (project, study) = (&rings.project, &rings.study);
        let units = &project.units;
        let ring = |(index, ring): (usize, &crate::schema::Ring)| {
            let side = ring.side_clearance.as_ref().map(crate::quantity::Quantity::base);
            let verdict = side.and_then(|mm| study.asked.side(index, mm, study.diesel));
            Some(Ring {
                ring: ring.name.clone(),
                material: ring.material.clone(),
                rule: study.asked.rings.get(index)?.wanted.rule(units),
                source: ring.source.clone(),
                side_clearance_mm: side.map(n),
                side_clearance: verdict.map(|(_, verdict)| verdict.word()),
                back_clearance_mm: ring.back_clearance.as_ref().map(|back| n(back.base())),
                cylinders: study.rings.get(index)?.gaps.iter().map(|gap| Gap::of(gap, ring, units)).collect(),
            })
        };
        let position = |place: &rings::GapPlace| Position {
            gap: place.role.name(),
            angle_deg: n(place.angle_deg),
            clock: clock(place.angle_deg),
            pegged: place.pegged,
        };
        Self {
            format: FORMAT,
            project: project.title.clone(),
            hot: study.heat.map(|hot| Hot {
                ring_temperature_c: n(hot.ring),
                bore_temperature_c: n(hot.bore),
                measured_at_c: n(hot.measured_at),
            }),
            rings: project.rings.iter().enumerate().filter_map(ring).collect(),
            start_positions: study.places.iter().map(position).collect(),
            warnings: study.warnings.iter().map(Warning::sentence).collect(),
            cautions: study.cautions.iter().map(|caution| caution.text.to_owned()).collect(),
        }
    }
}

impl Gap {
    fn of(gap: &GapAnswer, ring: &crate::schema::Ring, units: &UnitChoice) -> Self {
        let fitted = ring.fitted.iter().find(|fitted| fitted.cylinder == gap.cylinder);
        let depth = fitted.and_then(|fitted| fitted.depth.as_ref());
        let step = |step: rings::Step| Step { remove_mm: n(step.remove_mm), stop_at_mm: n(step.stop_at_mm) };
        let (verdict, to_file, next, tight, wide) = match gap.verdict {
            Verdict::Unmeasured => ("unmeasured", None, None, None, None),
            Verdict::File { remove_mm, next } => ("file", Some(remove_mm), Some(next), None, None),
            Verdict::TooTight { short_mm } => ("too_tight", Some(0.0), None, Some(short_mm), None),
            Verdict::Leave { .. } => ("leave", Some(0.0), None, None, None),
            Verdict::TooWide { over_mm, .. } => ("too_wide", Some(0.0), None, None, Some(over_mm)),
        };
        Self {
            cylinder: gap.cylinder.clone(),
            bore_mm: n(gap.bore_mm),
            wanted_mm: n(gap.wanted_mm),
            delivered_mm: gap.stages.delivered_mm.map(n),
            filed_mm: gap.stages.filed_mm.map(n),
            final_mm: gap.stages.final_mm.map(n),
            gap_mm: gap.now.map(|(_, mm)| n(mm)),
            doubt_mm: gap.stages.doubt_mm.map(n),
            verdict,
            to_file_mm: to_file.map(n),
            next_step: next.map(step),
            steps: gap.steps().into_iter().map(step).collect(),
            read_where_mm: gap.stages.read_where_mm.map(n),
            depth_mm: depth.map(|depth| n(depth.base())),
            expected_to_file_mm: gap.expected_to_file_mm.map(|mm| n(mm.max(0.0))),
            too_tight_by_mm: tight.map(n),
            too_wide_by_mm: wide.map(n),
            hot_gap_mm: gap.hot.and_then(|hot| hot.gap_mm).map(n),
            closes_at_mm: gap.hot.map(|hot| n(hot.closes_at_mm.max(0.0))),
            text: gap.sentence(units),
        }
    }
}
