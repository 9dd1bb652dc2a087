//! Answers for every ring of every cylinder: wanted gap, present gap, what to
//! do.

use super::filing::{REACHED_MM, Step, Verdict, judge, plan, widest_used};
use super::gap::{GapRule, gap_in_bore};
use super::heat::{Growth, cold_gap_that_closes, hot_gap};

/// One ring of the set.
#[derive(Clone, Debug, PartialEq)]
pub struct RingInput {
    /// Its name.
    pub name: String,
    /// The wanted gap.
    pub wanted: GapRule,
    /// The gap as sold, mm.
    pub sold_mm: Option<f64>,
    /// Expansion of the ring, per kelvin, where its metal is known.
    pub per_kelvin: Option<f64>,
    /// The gaps that were read in the bores.
    pub stages: Vec<Stages>,
}

/// The end gap of one ring in its own bore at each stage, mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stages {
    /// The label of the cylinder.
    pub cylinder: String,
    /// As delivered.
    pub delivered_mm: Option<f64>,
    /// After the last filing.
    pub filed_mm: Option<f64>,
    /// As assembled.
    pub final_mm: Option<f64>,
    /// Width of the bore where they were read, where that is not the width that
    /// counts.
    pub read_where_mm: Option<f64>,
    /// Expanded uncertainty of such a gap, ± for 95 %.
    pub doubt_mm: Option<f64>,
}

/// A stage of a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// As delivered.
    Delivered,
    /// After the last filing.
    Filed,
    /// As assembled.
    Final,
}

/// One bore.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// The label of the cylinder.
    pub cylinder: String,
    /// Its diameter, mm; `None` where it was not entered.
    pub mm: Option<f64>,
    /// Expansion of the bore, per kelvin, where its metal is known.
    pub per_kelvin: Option<f64>,
}

/// Temperatures that the user assumes, above that of the measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Heat {
    /// Of the ring, K.
    pub ring_kelvin: f64,
    /// Of the bore, K.
    pub bore_kelvin: f64,
}

/// The effect of heat on a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hot {
    /// The present gap hot, mm; below 0 the ends meet and press. `None` where
    /// it is unmeasured.
    pub gap_mm: Option<f64>,
    /// The wanted gap hot, mm.
    pub wanted_mm: f64,
    /// The cold gap that just closes, mm; 0 or less: none ever does.
    pub closes_at_mm: f64,
}

/// One ring in one bore.
#[derive(Clone, Debug, PartialEq)]
pub struct GapAnswer {
    /// The label of the cylinder.
    pub cylinder: String,
    /// The bore, mm.
    pub bore_mm: f64,
    /// The wanted gap, mm.
    pub wanted_mm: f64,
    /// The widest gap with which this ring is used as it is, mm.
    pub widest_mm: f64,
    /// Whether the wanted gap is a least one: this ring is not filed.
    pub at_least: bool,
    /// The gaps that were read.
    pub stages: Stages,
    /// The last stage that was read, and its gap converted to the width of bore
    /// that counts, mm.
    pub now: Option<(Stage, f64)>,
    /// The verdict.
    pub verdict: Verdict,
    /// Where no gap was read in the bore: what a ring as sold would need filed,
    /// mm; below 0 for no filing.
    pub expected_to_file_mm: Option<f64>,
    /// Hot, where temperatures were assumed and both metals are known.
    pub hot: Option<Hot>,
}

/// One ring in all bores.
#[derive(Clone, Debug, PartialEq)]
pub struct RingAnswer {
    /// Its name.
    pub name: String,
    /// In the order of the bores.
    pub gaps: Vec<GapAnswer>,
}

/// A fault of the input.
#[derive(Clone, Debug, PartialEq)]
pub enum RingFault {
    /// An impossible wanted gap.
    Wanted {
        /// The ring.
        ring: String,
        /// The gap, mm.
        mm: f64,
    },
    /// An impossible read gap.
    Gap {
        /// The ring.
        ring: String,
        /// The cylinder.
        cylinder: String,
        /// The gap, mm.
        mm: f64,
    },
    /// A bore that is missing or impossible.
    Bore {
        /// The cylinder.
        cylinder: String,
    },
    /// A ring names a cylinder that does not exist.
    NoCylinder {
        /// The ring.
        ring: String,
        /// The cylinder.
        cylinder: String,
    },
}

/// Returns the answers for all rings in all bores.
///
/// # Errors
/// Every fault of the input.
pub(crate) fn answers(
    rings: &[RingInput],
    bores: &[Bore],
    heat: Option<Heat>,
) -> Result<Vec<RingAnswer>, Vec<RingFault>> {
    let faults = faults(rings, bores);
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(rings
        .iter()
        .map(|ring| RingAnswer {
            name: ring.name.clone(),
            gaps: bores.iter().filter_map(|bore| answer(ring, bore, heat)).collect(),
        })
        .collect())
}

fn answer(ring: &RingInput, bore: &Bore, heat: Option<Heat>) -> Option<GapAnswer> {
    let bore_mm = bore.mm?;
    let stages = ring.stages.iter().find(|stages| stages.cylinder == bore.cylinder).cloned();
    let stages = stages.unwrap_or_else(|| Stages { cylinder: bore.cylinder.clone(), ..Stages::default() });
    let now = stages.now().map(|(stage, mm)| (stage, stages.in_bore(mm, bore_mm)));
    let wanted_mm = ring.wanted.mm(bore_mm);
    let gap = now.map(|(_, mm)| mm);
    let hot = heat.zip(ring.per_kelvin).zip(bore.per_kelvin).map(|((heat, of_ring), of_bore)| {
        let of_ring = Growth { per_kelvin: of_ring, kelvin: heat.ring_kelvin };
        let of_bore = Growth { per_kelvin: of_bore, kelvin: heat.bore_kelvin };
        Hot {
            gap_mm: gap.map(|gap| hot_gap(bore_mm, gap, of_ring, of_bore)),
            wanted_mm: hot_gap(bore_mm, wanted_mm, of_ring, of_bore),
            closes_at_mm: cold_gap_that_closes(bore_mm, of_ring, of_bore),
        }
    });
    Some(GapAnswer {
        cylinder: bore.cylinder.clone(),
        bore_mm,
        wanted_mm,
        widest_mm: widest_used(ring.wanted, bore_mm),
        at_least: matches!(ring.wanted, GapRule::AtLeast(_)),
        stages,
        now,
        verdict: judge(gap, ring.wanted, bore_mm),
        expected_to_file_mm: if gap.is_none() { ring.sold_mm.map(|sold| wanted_mm - sold) } else { None },
        hot,
    })
}

impl GapAnswer {
    /// Returns the length by which a ring that is left may still be tighter
    /// than wanted, within its uncertainty, mm; `None` where that is settled or
    /// where it is not left.
    #[must_use]
    pub fn may_be_short_mm(&self) -> Option<f64> {
        let (Verdict::Leave { spare_mm }, Some(doubt)) = (self.verdict, self.stages.doubt_mm) else {
            return None;
        };
        Some(doubt - spare_mm).filter(|short| *short > REACHED_MM)
    }

    /// Returns every step of filing from the present gap to the wanted one;
    /// empty where it needs none.
    #[must_use]
    pub fn steps(&self) -> Vec<Step> {
        match (self.verdict, self.now) {
            (Verdict::File { .. }, Some((_, now_mm))) => plan(now_mm, self.wanted_mm),
            _ => Vec::new(),
        }
    }
}

impl Stages {
    /// Returns the last stage that was read, and its gap, mm.
    #[must_use]
    pub fn now(&self) -> Option<(Stage, f64)> {
        let at = |stage, mm: Option<f64>| mm.map(|mm| (stage, mm));
        at(Stage::Final, self.final_mm)
            .or_else(|| at(Stage::Filed, self.filed_mm))
            .or_else(|| at(Stage::Delivered, self.delivered_mm))
    }

    /// Converts a gap that was read where these were to a bore `bore_mm` wide,
    /// mm.
    #[must_use]
    pub fn in_bore(&self, gap_mm: f64, bore_mm: f64) -> f64 {
        self.read_where_mm.map_or(gap_mm, |read_mm| gap_in_bore(gap_mm, read_mm, bore_mm))
    }
}

fn faults(rings: &[RingInput], bores: &[Bore]) -> Vec<RingFault> {
    let mut faults = Vec::new();
    let possible_bore = |bore: &&Bore| bore.mm.is_some_and(|mm| mm.is_finite() && mm > 0.0);
    for bore in bores.iter().filter(|bore| !possible_bore(bore)) {
        faults.push(RingFault::Bore { cylinder: bore.cylinder.clone() });
    }
    for ring in rings {
        for bore in bores.iter().filter(possible_bore) {
            let bore_mm = bore.mm.unwrap_or(0.0);
            let mm = ring.wanted.mm(bore_mm);
            if !(mm.is_finite() && mm > 0.0 && mm < bore_mm / 10.0) {
                faults.push(RingFault::Wanted { ring: ring.name.clone(), mm });
                break;
            }
        }
        for stages in &ring.stages {
            let Some(bore) = bores.iter().find(|bore| bore.cylinder == stages.cylinder) else {
                let (ring, cylinder) = (ring.name.clone(), stages.cylinder.clone());
                faults.push(RingFault::NoCylinder { ring, cylinder });
                continue;
            };
            // A gap as wide as half the circumference is no gap.
            let widest = bore.mm.map_or(f64::INFINITY, |mm| mm * 1.5);
            for mm in [stages.delivered_mm, stages.filed_mm, stages.final_mm].into_iter().flatten() {
                if !(mm.is_finite() && mm >= 0.0 && mm < widest) {
                    let (ring, cylinder) = (ring.name.clone(), stages.cylinder.clone());
                    faults.push(RingFault::Gap { ring, cylinder, mm });
                }
            }
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UnitChoice;

    fn bore(cylinder: &str, mm: Option<f64>) -> Bore {
        Bore { cylinder: cylinder.into(), mm, per_kelvin: Some(11.4e-6) }
    }

    fn ring(wanted: GapRule, stages: Vec<Stages>) -> RingInput {
        RingInput { name: "top".into(), wanted, sold_mm: Some(0.30), per_kelvin: Some(11.4e-6), stages }
    }

    fn delivered(cylinder: &str, mm: f64) -> Stages {
        Stages { cylinder: cylinder.into(), delivered_mm: Some(mm), ..Stages::default() }
    }

    #[test]
    fn the_last_stage_counts_and_what_was_not_read_is_not_judged() {
        let mut filed = delivered("1", 0.30);
        filed.filed_mm = Some(0.39);
        let rings = [ring(GapRule::PerBore(0.0045), vec![filed])];
        let answers = answers(&rings, &[bore("1", Some(86.01)), bore("2", Some(86.0))], None).unwrap();
        let [one, two] = answers[0].gaps.as_slice() else { panic!("two gaps") };
        assert_eq!(one.now, Some((Stage::Filed, 0.39)));
        assert!(matches!(one.verdict, Verdict::Leave { .. }));
        assert_eq!((two.now, two.verdict), (None, Verdict::Unmeasured));
        assert!((two.expected_to_file_mm.unwrap() - 0.087).abs() < 1e-12);
        let mm = UnitChoice::default();
        assert_eq!(two.sentence(&mm), "Not measured in its bore. As sold it would need about 0.09 mm filed.");
    }

    #[test]
    fn what_to_do_is_told_step_by_step() {
        let rings = [ring(GapRule::PerBore(0.0045), vec![delivered("1", 0.28)])];
        let heat = Heat { ring_kelvin: 180.0, bore_kelvin: 80.0 };
        let answers = answers(&rings, &[bore("1", Some(86.01))], Some(heat)).unwrap();
        let gap = &answers[0].gaps[0];
        let mm = UnitChoice::default();
        assert_eq!(
            gap.sentence(&mm),
            "File 0.11 mm in all, to 0.39 mm. Next take 0.06 mm off, stop at 0.34 mm and measure."
        );
        let hot = gap.hot.unwrap();
        // 100 K over an iron bore of 86 mm closes π·86·0.00114 = 0.308 mm.
        assert!((hot.closes_at_mm - 0.307).abs() < 0.001, "{hot:?}");
        assert!(hot.gap_mm.unwrap() < 0.0 && hot.wanted_mm > 0.0);
    }

    #[test]
    fn a_gap_read_where_the_bore_is_worn_is_told_for_the_bore_that_counts() {
        let mut worn = delivered("1", 0.42);
        worn.read_where_mm = Some(86.03);
        worn.doubt_mm = Some(0.03);
        let rings = [ring(GapRule::Figure(0.33), vec![worn])];
        let answers = answers(&rings, &[bore("1", Some(86.01))], None).unwrap();
        let gap = &answers[0].gaps[0];
        let (_, now) = gap.now.unwrap();
        assert!((now - (0.42 - 0.02 * std::f64::consts::PI)).abs() < 1e-12, "{now}");
        // 0.357 ± 0.03 is 0.327 at the least: 0.003 short of 0.33, not more
        // than counts as reached.
        assert_eq!(gap.may_be_short_mm(), None);
    }

    #[test]
    fn a_gap_too_near_to_call_says_so() {
        let mut near = delivered("1", 0.39);
        near.doubt_mm = Some(0.03);
        let rings = [ring(GapRule::Figure(0.39), vec![near])];
        let answers = answers(&rings, &[bore("1", Some(86.01))], None).unwrap();
        let gap = &answers[0].gaps[0];
        assert!((gap.may_be_short_mm().unwrap() - 0.03).abs() < 1e-12);
        assert_eq!(
            gap.sentence(&UnitChoice::default()),
            "Too near to call: read to ±0.03 mm, it may still be 0.03 mm too tight. Measure again before it is left."
        );
    }

    #[test]
    fn senseless_input_gets_a_sentence_each() {
        let rings = [
            ring(GapRule::PerBore(-0.004), vec![delivered("9", 0.3)]),
            ring(GapRule::Figure(0.4), vec![delivered("1", -0.1), delivered("1", f64::NAN)]),
        ];
        let faults = answers(&rings, &[bore("1", Some(86.0)), bore("2", None)], None).unwrap_err();
        let told: Vec<String> = faults.iter().map(|f| f.sentence(&UnitChoice::default())).collect();
        for part in [
            "no bore",
            "wanted gap of −0.34 mm",
            "cylinder 9, which does not exist",
            "a gap of −0.10 mm",
            "a gap of – mm",
        ] {
            assert_eq!(told.iter().filter(|t| t.contains(part)).count(), 1, "{part}: {told:?}");
        }
    }
}
