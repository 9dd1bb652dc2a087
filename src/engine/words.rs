//! Gaps in words: a gap never carries a bare sign, because the trade's books
//! disagree about which sign means what.

use crate::quantity::{Kind, UnitChoice, write};

/// Returns a deck clearance in words: "1.10 mm below", "0.10 mm proud" or
/// "flush".
///
/// `deck_mm` is positive when the crown rim is below the top of the cylinder;
/// `decimals` as in [`write()`]. A deck clearance that rounds to 0 as written
/// is flush.
///
/// ```
/// use crowndeck::engine::words::gap;
/// use crowndeck::quantity::UnitChoice;
/// let mm = UnitChoice::default();
/// assert_eq!(gap(1.1, None, &mm), "1.10 mm below");
/// assert_eq!(gap(-0.1, None, &mm), "0.10 mm proud");
/// assert_eq!(gap(-0.004, None, &mm), "flush");
/// ```
#[must_use]
pub fn gap(deck_mm: f64, decimals: Option<u8>, units: &UnitChoice) -> String {
    with_side(deck_mm, decimals, units, ["below", "proud", "flush"], true)
}

/// Returns a deck clearance as written at a dimension line, where the picture
/// shows that below is the usual side and the unit is stated elsewhere: "1.10",
/// "0.10 proud" or "flush".
#[must_use]
pub fn gap_at_line(deck_mm: f64, decimals: Option<u8>, units: &UnitChoice) -> String {
    with_side(deck_mm, decimals, units, ["", "proud", "flush"], false)
}

/// The word for an unchanged gap.
pub const UNCHANGED: &str = "unchanged";

/// Returns the change of a gap in words: "0.25 wider", "0.25 closer" or
/// "unchanged"; without the unit, as written next to the gap itself.
#[must_use]
pub fn gap_change(change_mm: f64, decimals: Option<u8>, units: &UnitChoice) -> String {
    with_side(change_mm, decimals, units, ["wider", "closer", UNCHANGED], false)
}

/// Returns a length without sign, followed by the word for its side; [above 0,
/// below 0, 0].
fn with_side(mm: f64, decimals: Option<u8>, units: &UnitChoice, words: [&str; 3], unit: bool) -> String {
    if !mm.is_finite() {
        return "–".to_owned();
    }
    let written = write(Kind::Length, mm.abs(), decimals, units);
    let [above, below, zero] = words;
    if written.number.chars().all(|c| matches!(c, '0' | '.')) {
        return zero.to_owned();
    }
    let length = if unit { written.to_string() } else { written.number };
    match if mm > 0.0 { above } else { below } {
        "" => length,
        word => format!("{length} {word}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::LengthUnit;

    #[test]
    fn no_gap_wears_a_sign() {
        let mm = UnitChoice::default();
        let thou = UnitChoice { length: LengthUnit::Thou, ..mm };
        assert_eq!(gap(0.85, None, &mm), "0.85 mm below");
        assert_eq!(gap(-0.1016, None, &thou), "4.0 thou proud");
        assert_eq!([1.1, -0.1, 0.0].map(|g| gap_at_line(g, None, &mm)), ["1.10", "0.10 proud", "flush"]);
        assert_eq!(
            [0.25, -0.25, 0.0].map(|g| gap_change(g, None, &mm)),
            ["0.25 wider", "0.25 closer", "unchanged"]
        );
        assert_eq!(gap(f64::NAN, None, &mm), "–");
    }
}
