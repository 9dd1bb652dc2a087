//! The second ring: two schools, both in print.

/// One school.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct School {
    /// Its name.
    pub name: &'static str,
    /// The factor per bore that it uses.
    pub factor: f64,
    /// Whether the second gap must not be less than the top one.
    pub not_below_top: bool,
    /// What it says, and why.
    pub why: &'static str,
    /// Where it comes from.
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

/// The second gap by a school, mm, beside a top gap in the same bore.
///
/// ```
/// use crowndeck::study::rings::{SCHOOLS, second_gap};
/// assert_eq!(second_gap(&SCHOOLS[0], 0.60, 86.0), 0.60);
/// assert!((second_gap(&SCHOOLS[0], 0.30, 86.0) - 0.43).abs() < 1e-12);
/// assert!((second_gap(&SCHOOLS[1], 0.60, 86.0) - 0.344).abs() < 1e-12);
/// ```
#[must_use]
pub fn second_gap(school: &School, top_gap_mm: f64, bore_mm: f64) -> f64 {
    let by_bore = school.factor * bore_mm;
    if school.not_below_top { by_bore.max(top_gap_mm) } else { by_bore }
}
