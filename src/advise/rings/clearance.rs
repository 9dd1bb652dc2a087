//! Side and back clearance of rings in their grooves.

use super::gap::WhichRing;
use crate::quantity::{Kind, UnitChoice, write};

/// A range of side clearance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// The ring.
    pub ring: WhichRing,
    /// The engine.
    pub engine: &'static str,
    /// Least and greatest with new parts, mm.
    pub new_mm: (f64, f64),
    /// Clearance beyond which the groove or the ring is worn out, mm.
    pub worn_mm: f64,
}

/// Side clearances in use (makers' tables of eight engines, unnamed, and
/// public manuals; the maker's own sheet rules).
pub static SIDE: [Clearance; 4] = [
    Clearance { ring: WhichRing::Top, engine: "petrol", new_mm: (0.03, 0.08), worn_mm: 0.15 },
    Clearance { ring: WhichRing::Top, engine: "diesel", new_mm: (0.08, 0.20), worn_mm: 0.25 },
    Clearance { ring: WhichRing::Second, engine: "all", new_mm: (0.02, 0.07), worn_mm: 0.15 },
    Clearance { ring: WhichRing::Oil, engine: "all", new_mm: (0.025, 0.11), worn_mm: 0.15 },
];

/// Least room behind a ring flush with its land, mm (common practice).
pub(crate) const BACK_LEAST_MM: f64 = 0.13;

/// The verdict on a side clearance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClearanceVerdict {
    /// Less than new parts have: the ring can stick.
    Tight,
    /// As new parts have it.
    Inside,
    /// More than new parts have, and not yet worn out.
    Wide,
    /// Worn out: the ring flutters and pumps oil.
    Worn,
}

/// Judges a measured side clearance, mm, by one row.
///
/// ```
/// use crowndeck::advise::rings::{ClearanceVerdict, SIDE, side_clearance};
/// assert_eq!(side_clearance(0.05, &SIDE[0]), ClearanceVerdict::Inside);
/// assert_eq!(side_clearance(0.20, &SIDE[0]), ClearanceVerdict::Worn);
/// ```
#[must_use]
pub fn side_clearance(mm: f64, row: &Clearance) -> ClearanceVerdict {
    // A billionth of slack, for decimals that are not binary fractions.
    const SLACK: f64 = 1e-9;
    let (low, high) = row.new_mm;
    if mm < low - SLACK {
        ClearanceVerdict::Tight
    } else if mm <= high + SLACK {
        ClearanceVerdict::Inside
    } else if mm <= row.worn_mm + SLACK {
        ClearanceVerdict::Wide
    } else {
        ClearanceVerdict::Worn
    }
}

impl ClearanceVerdict {
    /// Returns the verdict in a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Tight => "tight",
            Self::Inside => "inside",
            Self::Wide => "wide",
            Self::Worn => "worn",
        }
    }
}

/// Returns the verdict on a side clearance, mm, in one sentence.
#[must_use]
pub(crate) fn side_sentence(mm: f64, row: &Clearance, units: &UnitChoice) -> String {
    let length = |mm| write(Kind::Length, mm, None, units);
    let (low, high) = row.new_mm;
    format!(
        "Side clearance {}, {}: new parts have {} to {} ({} worn out)",
        length(mm),
        side_clearance(mm, row).word(),
        length(low).number,
        length(high),
        length(row.worn_mm)
    )
}

/// Returns the verdict on a back clearance, mm, in one sentence.
#[must_use]
pub(crate) fn back_sentence(mm: f64, units: &UnitChoice) -> String {
    let (given, least) =
        (write(Kind::Length, mm, None, units), write(Kind::Length, BACK_LEAST_MM, None, units));
    if mm < BACK_LEAST_MM - 1e-9 {
        format!(
            "Back clearance {given}, tight: a flush ring has {least} or more behind it, or the piston presses it into \
             the bore"
        )
    } else {
        format!("Back clearance {given}, inside: a flush ring has {least} or more behind it")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clearances_are_told_with_what_they_are_held_against() {
        let mm = UnitChoice::default();
        assert_eq!(
            side_sentence(0.05, &SIDE[0], &mm),
            "Side clearance 0.05 mm, inside: new parts have 0.03 to 0.08 mm (0.15 mm worn out)"
        );
        assert!(back_sentence(0.13, &mm).starts_with("Back clearance 0.13 mm, inside"));
        assert!(back_sentence(0.10, &mm).contains("tight"));
    }

    #[test]
    fn the_ends_of_a_range_belong_to_it() {
        let top = &SIDE[0];
        assert_eq!(side_clearance(0.03, top), ClearanceVerdict::Inside);
        assert_eq!(side_clearance(0.029, top), ClearanceVerdict::Tight);
        assert_eq!(side_clearance(0.08, top), ClearanceVerdict::Inside);
        assert_eq!(side_clearance(0.081, top), ClearanceVerdict::Wide);
        assert_eq!(side_clearance(0.151, top), ClearanceVerdict::Worn);
        // What is wide in a petrol engine is what a diesel starts with.
        assert_eq!(side_clearance(0.10, &SIDE[1]), ClearanceVerdict::Inside);
    }
}
