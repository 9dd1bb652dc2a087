//! The filing of gaps: how much, and in which steps without passing the wanted
//! gap.

use super::gap::GapRule;

/// Distance from the wanted gap within which a gap has reached it, mm: half a
/// thou, less than the finest step between two feeler gauges (common practice).
pub(crate) const REACHED_MM: f64 = 0.0127;

/// Greatest multiple of the wanted gap at which a ring is used as it is (common
/// practice; TM 9-2320-366-34-4 and TM 9-2320-289-34 allow 1.4 to 1.9 times
/// their least gap in compression rings).
const WIDE: f64 = 1.5;
/// The same for rails, which come wider (those manuals: 2.0 to 2.2 times).
const WIDE_RAIL: f64 = 2.0;

/// What is to be done with one ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Unmeasured in its bore.
    Unmeasured,
    /// File it.
    File {
        /// Length to file in all, mm.
        remove_mm: f64,
        /// The next step.
        next: Step,
    },
    /// A rail or another ring that is not filed is too tight.
    TooTight {
        /// Missing gap, mm.
        short_mm: f64,
    },
    /// Leave it as it is.
    Leave {
        /// Excess over the wanted gap, mm; a little below 0 where it has only just
        /// reached it.
        spare_mm: f64,
    },
    /// Too wide: a ring of the next size filed up, or another set.
    TooWide {
        /// Excess over the widest that is used, mm.
        over_mm: f64,
        /// The widest that is used, mm.
        widest_mm: f64,
    },
}

/// One step of filing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Length to take off, mm.
    pub remove_mm: f64,
    /// Gap at which to stop and measure, mm; never beyond the wanted one.
    pub stop_at_mm: f64,
}

/// Returns the widest gap with which a ring is used as it is, mm.
#[must_use]
pub(crate) fn widest_used(wanted: GapRule, bore_mm: f64) -> f64 {
    wanted.mm(bore_mm) * if matches!(wanted, GapRule::AtLeast(_)) { WIDE_RAIL } else { WIDE }
}

/// Returns what is to be done with a ring whose gap is `gap_mm` in its own
/// bore.
///
/// ```
/// use crowndeck::advise::rings::{GapRule, Verdict, judge};
/// // Common practice: a second ring of about 15 thou as delivered is left
/// // alone in a bore of 3.78 in.
/// let wanted = GapRule::PerBore(0.0040);
/// assert!(matches!(judge(Some(0.381), wanted, 96.0), Verdict::Leave { .. }));
/// // The top ring of that engine is opened to 24.5 thou.
/// let Verdict::File { remove_mm, .. } = judge(Some(0.381), GapRule::PerBore(0.0065), 96.0) else { panic!() };
/// assert!((remove_mm - 0.243).abs() < 0.001);
/// ```
#[must_use]
pub fn judge(gap_mm: Option<f64>, wanted: GapRule, bore_mm: f64) -> Verdict {
    let Some(gap) = gap_mm else { return Verdict::Unmeasured };
    let wanted_mm = wanted.mm(bore_mm);
    let (short_mm, filed) = (wanted_mm - gap, !matches!(wanted, GapRule::AtLeast(_)));
    let widest_mm = widest_used(wanted, bore_mm);
    if short_mm > REACHED_MM {
        match plan(gap, wanted_mm).first() {
            Some(&next) if filed => Verdict::File { remove_mm: short_mm, next },
            _ => Verdict::TooTight { short_mm },
        }
    } else if gap > widest_mm + REACHED_MM {
        Verdict::TooWide { over_mm: gap - widest_mm, widest_mm }
    } else {
        Verdict::Leave { spare_mm: -short_mm }
    }
}

/// Length left for the last strokes when the first cut is done, mm: two thou.
const LAST_MM: f64 = 0.05;
/// Rest, mm, up to which it goes in one step.
const FINE_MM: f64 = 0.03;

/// Returns the steps from a gap to the wanted one: all but two thou, then half
/// of the rest, then the rest; measured square in the bore after each. Empty
/// where the gap needs no filing.
#[must_use]
pub(crate) fn plan(gap_mm: f64, wanted_mm: f64) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut gap = gap_mm;
    // Three cuts are enough from any gap; the bound is for what is not finite.
    for _ in 0..3 {
        let left = wanted_mm - gap;
        if left.is_nan() || left <= REACHED_MM {
            break;
        }
        let stop_at_mm = if left > LAST_MM + FINE_MM {
            wanted_mm - LAST_MM
        } else if left > FINE_MM {
            gap + left / 2.0
        } else {
            wanted_mm
        };
        steps.push(Step { remove_mm: stop_at_mm - gap, stop_at_mm });
        gap = stop_at_mm;
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_ring_is_filed_left_or_refused() {
        let wanted = GapRule::PerBore(0.0045);
        let bore = 86.01;
        assert_eq!(judge(None, wanted, bore), Verdict::Unmeasured);
        let Verdict::File { remove_mm, next } = judge(Some(0.30), wanted, bore) else { panic!("file it") };
        assert!((remove_mm - 0.087_045).abs() < 1e-12);
        assert!((next.stop_at_mm - 0.337_045).abs() < 1e-12 && (next.remove_mm - 0.037_045).abs() < 1e-12);
        assert!(matches!(judge(Some(0.38), wanted, bore), Verdict::Leave { spare_mm } if spare_mm < 0.0));
        assert!(matches!(judge(Some(0.55), wanted, bore), Verdict::Leave { .. }));
        assert!(matches!(judge(Some(0.65), wanted, bore), Verdict::TooWide { .. }));
        // A maker's figure is filed to as well; a rail is never filed.
        assert!(matches!(judge(Some(0.30), GapRule::Figure(0.40), bore), Verdict::File { .. }));
        let rail = GapRule::AtLeast(0.38);
        assert!(matches!(judge(Some(0.42), rail, bore), Verdict::Leave { .. }));
        assert!(
            matches!(judge(Some(0.30), rail, bore), Verdict::TooTight { short_mm } if (short_mm - 0.08).abs() < 1e-12)
        );
        assert!(matches!(judge(Some(0.80), rail, bore), Verdict::TooWide { .. }));
    }

    proptest! {
        #[test]
        fn filing_comes_up_to_the_gap_and_never_past_it(gap in 0.0_f64..2.0, wanted in 0.05_f64..2.0) {
            let steps = plan(gap, wanted);
            let mut now = gap;
            for step in &steps {
                prop_assert!(step.remove_mm > 0.0 && step.stop_at_mm <= wanted);
                prop_assert!((now + step.remove_mm - step.stop_at_mm).abs() < 1e-12);
                now = step.stop_at_mm;
            }
            prop_assert_eq!(steps.is_empty(), wanted - gap <= REACHED_MM);
            prop_assert!(steps.is_empty() || (wanted - now).abs() <= REACHED_MM);
            // The last strokes are the smallest.
            prop_assert!(steps.windows(2).all(|pair| pair[1].remove_mm <= pair[0].remove_mm + 1e-12) || steps.len() < 3);
        }
    }
}
