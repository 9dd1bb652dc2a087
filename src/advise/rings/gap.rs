//! The wanted gap, and the conversion of a gap to another bore.

use crate::engine::num::PI;

/// The rule for the end gap of a ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GapRule {
    /// This times the bore; the same number in inch per inch and in
    /// millimetre per millimetre.
    PerBore(f64),
    /// Not less than this, mm, and left as delivered otherwise: rails.
    AtLeast(f64),
    /// The maker's figure, mm.
    Figure(f64),
}

impl GapRule {
    /// Returns the wanted gap in a bore, mm.
    ///
    /// ```
    /// use crowndeck::advise::rings::GapRule;
    /// // Common practice for a hard-worked piston of high silicon alloy:
    /// // about 24.5 thou in a bore of 3.78 in.
    /// let thou = GapRule::PerBore(0.0065).mm(3.78 * 25.4) / 0.0254;
    /// assert!((thou - 24.5).abs() < 0.1);
    /// ```
    #[must_use]
    pub fn mm(self, bore_mm: f64) -> f64 {
        match self {
            Self::PerBore(factor) => factor * bore_mm,
            Self::AtLeast(mm) | Self::Figure(mm) => mm,
        }
    }
}

/// The position of a ring in the set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichRing {
    /// The compression ring next to the crown.
    Top,
    /// The ring below it.
    Second,
    /// The ring or the rails that keep the oil down.
    Oil,
}

/// A factor per bore that builders use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Factor {
    /// The ring.
    pub ring: WhichRing,
    /// The duty of the engine.
    pub duty: &'static str,
    /// Least and greatest factor in use.
    pub range: (f64, f64),
    /// The proposed factor.
    pub proposed: f64,
    /// Its source.
    pub source: &'static str,
}

const fn factor(
    ring: WhichRing,
    duty: &'static str,
    range: (f64, f64),
    proposed: f64,
    source: &'static str,
) -> Factor {
    Factor { ring, duty, range, proposed, source }
}

const COMMON: &str = "common practice, several trade articles agree";
const MANUALS: &str = "ranges of TM 9-2320-366-34-4 and TM 9-2320-289-34";

/// Factors per bore, to be picked from and edited; the maker's sheet rules.
pub(crate) static FACTORS: [Factor; 10] = [
    factor(WhichRing::Top, "mild, as made", (0.0035, 0.0040), 0.0040, COMMON),
    factor(WhichRing::Top, "road, unboosted", (0.0040, 0.0045), 0.0045, COMMON),
    factor(WhichRing::Top, "hard use, air-cooled", (0.0045, 0.0050), 0.0050, COMMON),
    factor(WhichRing::Top, "mild boost", (0.0050, 0.0055), 0.0055, COMMON),
    factor(WhichRing::Top, "high boost", (0.0060, 0.0070), 0.0065, COMMON),
    factor(
        WhichRing::Top,
        "hard-worked piston of high silicon alloy",
        (0.0065, 0.0065),
        0.0065,
        "common practice",
    ),
    factor(WhichRing::Top, "diesel", (0.0030, 0.0060), 0.0045, MANUALS),
    factor(WhichRing::Second, "wider than the top ring", (0.0050, 0.0055), 0.0050, COMMON),
    factor(WhichRing::Second, "smaller than the top ring, older practice", (0.0035, 0.0040), 0.0040, COMMON),
    factor(WhichRing::Second, "diesel", (0.0070, 0.0100), 0.0080, MANUALS),
];

/// The least gap of an oil ring, which is not filed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LeastOil {
    /// The make.
    pub make: &'static str,
    /// The least gap, mm.
    pub mm: f64,
    /// Its source.
    pub source: &'static str,
}

/// Least gaps of oil rings (two trade articles for rails; makers' and army
/// figures for one-piece rings, which go down to 0.25).
pub(crate) static MIN_OIL: [LeastOil; 2] = [
    LeastOil { make: "steel rails", mm: 0.38, source: "common practice" },
    LeastOil { make: "one-piece ring", mm: 0.25, source: MANUALS },
];

/// Returns a gap in a bore that is wider by `bore_change_mm`, mm: a ring keeps
/// its length, and the circumference grows by π·Δbore. A public manual agrees:
/// 0.03 mm of bore gives 0.08 mm of gap (TM 5-3825-229-14&P, read).
#[must_use]
pub(crate) fn gap_after(gap_mm: f64, bore_change_mm: f64) -> f64 {
    gap_mm + PI * bore_change_mm
}

/// Converts a gap that was read where the bore is `read_bore_mm` wide to where
/// it is `bore_mm` wide, mm: for taper and wear, so that a gap read at one
/// depth gives the gap at another.
#[must_use]
pub(crate) fn gap_in_bore(gap_mm: f64, read_bore_mm: f64, bore_mm: f64) -> f64 {
    gap_after(gap_mm, bore_mm - read_bore_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `published.md` rows F02 and F03: a thousandth of an inch of bore is
    /// 0.0031 in or 0.08 mm of gap (the sentence of the manual, read).
    #[test]
    fn a_gap_grows_with_the_bore_by_pi() {
        assert!((gap_after(0.0, 0.001) - 0.0031).abs() < 5e-5);
        assert!((gap_after(0.0, 0.0254) - 0.08).abs() < 0.005);
        assert!((gap_in_bore(0.5, 86.04, 86.01) - (0.5 - 0.03 * PI)).abs() < 1e-12);
        // Tapered bore: read at the bottom, converted to the top and back.
        let top = gap_in_bore(0.40, 86.00, 86.05);
        assert!((gap_in_bore(top, 86.05, 86.00) - 0.40).abs() < 1e-12);
    }

    #[test]
    fn a_factor_is_proposed_within_its_own_range() {
        for row in &FACTORS {
            let (low, high) = row.range;
            assert!(low <= row.proposed && row.proposed <= high, "{}", row.duty);
        }
    }

    /// End-gap ranges of public manuals: 105 mm diesel, TM 9-2320-366-34-4;
    /// about 100 mm diesel, TM 9-2320-289-34 (both read by others; the
    /// figures as they noted them). The rule's result lies inside.
    #[test]
    fn the_rule_lies_inside_the_ranges_of_public_manuals() {
        let proposed = |ring, duty: &str| {
            FACTORS.iter().find(|row| row.ring == ring && row.duty == duty).expect("a row").proposed
        };
        let top = [proposed(WhichRing::Top, "diesel"), proposed(WhichRing::Top, "road, unboosted")];
        for (bore, low, high) in [(105.0, 0.41, 0.66), (100.0, 0.30, 0.58)] {
            for factor in top {
                let gap = GapRule::PerBore(factor).mm(bore);
                assert!(low <= gap && gap <= high, "top, {bore} mm: {gap}");
            }
        }
        let second = GapRule::PerBore(proposed(WhichRing::Second, "diesel"));
        for (bore, low, high) in [(105.0, 0.71, 0.97), (100.0, 0.75, 1.03)] {
            let gap = second.mm(bore);
            assert!(low <= gap && gap <= high, "second, {bore} mm: {gap}");
        }
        // Rails: at least 0.38 mm.
        for (low, high) in [(0.30, 0.61), (0.25, 0.54)] {
            let gap = GapRule::AtLeast(0.38).mm(105.0);
            assert!(low <= gap && gap <= high, "oil: {gap}");
        }
    }
}
