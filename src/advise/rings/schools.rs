//! The second ring: two schools, both in print.

use super::gap::GapRule;
use crate::quantity::{Kind, UnitChoice, write};

/// One school.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct School {
    /// Its name.
    pub name: &'static str,
    /// Its factor per bore.
    pub factor: f64,
    /// Whether the second gap must not be less than the top one.
    pub not_below_top: bool,
    /// Its claim, and the reason.
    pub why: &'static str,
    /// Its source.
    pub source: &'static str,
}

/// Both schools, the newer first.
pub static SCHOOLS: [School; 2] = [
    School {
        name: "second wider",
        factor: 0.0050,
        not_below_top: true,
        why: "Gas that passes the top ring must get away below it. Trapped between the rings it lifts the top ring off \
              its seat at speed. So the second gap is at least as wide as the top one.",
        source: "common practice today, several trade articles",
    },
    School {
        name: "second smaller",
        factor: 0.0040,
        not_below_top: false,
        why: "The second ring runs cooler, so it grows less and can be tighter; a tight second ring holds back what the \
              top ring lets through. So the second gap is smaller.",
        source: "older practice, still in print",
    },
];

impl School {
    /// Returns the wanted gap of the second ring by this school, for a wanted
    /// top gap.
    ///
    /// ```
    /// use crowndeck::advise::rings::{GapRule, SCHOOLS};
    /// let by = |school: usize, top| SCHOOLS[school].wants(GapRule::PerBore(top), 86.0);
    /// assert_eq!(by(0, 0.0045), GapRule::PerBore(0.0050));
    /// assert_eq!(by(0, 0.0065), GapRule::PerBore(0.0065));
    /// assert_eq!(by(1, 0.0065), GapRule::PerBore(0.0040));
    /// ```
    #[must_use]
    pub fn wants(&self, top: GapRule, bore_mm: f64) -> GapRule {
        match top {
            GapRule::PerBore(top) if self.not_below_top => GapRule::PerBore(self.factor.max(top)),
            GapRule::AtLeast(mm) | GapRule::Figure(mm)
                if self.not_below_top && mm > self.factor * bore_mm =>
            {
                GapRule::Figure(mm)
            }
            _ => GapRule::PerBore(self.factor),
        }
    }
}

/// Returns how the second gap compares with the top one, both wanted in the
/// same bore, mm: which school that is, and what the other one would want.
#[must_use]
pub(crate) fn second_sentence(top_mm: f64, second_mm: f64, bore_mm: f64, units: &UnitChoice) -> String {
    let text = |mm: f64| write(Kind::Length, mm, None, units).to_string();
    let [wider, smaller] = SCHOOLS.each_ref().map(|school| text(second_gap(school, top_mm, bore_mm)));
    let beside =
        format!("The second gap is wanted {} beside a top gap of {}:", text(second_mm), text(top_mm));
    if second_mm >= top_mm - 1e-9 {
        format!(
            "{beside} second wider, so that no gas is trapped between the rings. The other school has {smaller}."
        )
    } else {
        format!(
            "{beside} second smaller. The newer school has {wider}, never less than the top gap, so that no gas is \
             trapped between the rings."
        )
    }
}

/// Returns the second gap by a school, mm, for a top gap in the same bore.
///
/// ```
/// use crowndeck::advise::rings::{SCHOOLS, second_gap};
/// assert_eq!(second_gap(&SCHOOLS[0], 0.60, 86.0), 0.60);
/// assert!((second_gap(&SCHOOLS[0], 0.30, 86.0) - 0.43).abs() < 1e-12);
/// assert!((second_gap(&SCHOOLS[1], 0.60, 86.0) - 0.344).abs() < 1e-12);
/// ```
#[must_use]
pub fn second_gap(school: &School, top_gap_mm: f64, bore_mm: f64) -> f64 {
    let by_bore = school.factor * bore_mm;
    if school.not_below_top { by_bore.max(top_gap_mm) } else { by_bore }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn either_school_is_told_with_what_the_other_has() {
        let mm = UnitChoice::default();
        // In 86 mm: 0.0050 is 0.43, 0.0040 is 0.344.
        let wider = second_sentence(0.39, 0.43, 86.0, &mm);
        assert!(
            wider.contains("second wider") && wider.ends_with("The other school has 0.34 mm."),
            "{wider}"
        );
        let smaller = second_sentence(0.56, 0.34, 86.0, &mm);
        assert!(smaller.contains("second smaller. The newer school has 0.56 mm"), "{smaller}");
    }

    #[test]
    fn a_maker_s_top_gap_is_not_undercut_by_the_wider_school() {
        let [wider, smaller] = &SCHOOLS;
        assert_eq!(wider.wants(GapRule::Figure(0.50), 86.0), GapRule::Figure(0.50));
        assert_eq!(wider.wants(GapRule::Figure(0.40), 86.0), GapRule::PerBore(0.0050));
        assert_eq!(smaller.wants(GapRule::Figure(0.50), 86.0), GapRule::PerBore(0.0040));
    }
}
