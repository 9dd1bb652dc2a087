//! Values in the words of a sheet: what was typed as it was typed, what was
//! computed with no more digits than it deserves.

use crate::engine::{Key, Provenance};
use crate::quantity::{Kind, Quantity, UnitChoice, default_decimals, write};
use crate::study::words;

/// A value as it was typed, with the signs of the trade: a degree sign, a true
/// minus, and words instead of the sign of a gap.
pub(crate) fn typed(key: Key, value: &Quantity) -> String {
    let text = value.text();
    let text = text.strip_suffix(" deg").map_or_else(|| text.to_owned(), |number| format!("{number}°"));
    if key != Key::MockupDeck {
        return text.replace('-', "\u{2212}");
    }
    match text.strip_prefix(['-', '\u{2212}']) {
        Some(proud) => format!("{proud} proud"),
        None if value.base() == 0.0 => "flush".to_owned(),
        None => format!("{text} below"),
    }
}

/// Decimals with which a volume of this size is written: as usual, and more
/// where the engine is so small that fewer than three figures would be left.
pub(crate) fn volume_decimals(cc: f64, units: &UnitChoice) -> u8 {
    let unit = units.unit(Kind::Volume);
    let mut decimals = default_decimals(unit);
    let mut least = 10.0;
    while unit.from_base(cc).abs() < least && decimals < 6 {
        decimals += 1;
        least /= 10.0;
    }
    decimals
}

/// How a value is known, for a narrow column.
pub(crate) fn word(known: Provenance) -> &'static str {
    match known {
        Provenance::Maker => "maker's",
        known => known.word(),
    }
}

/// A value and its doubt, "±0.02"; an empty doubt where none is known.
pub(crate) fn doubted(kind: Kind, base: f64, doubt: Option<f64>, units: &UnitChoice) -> (String, String) {
    let text = words::with_doubt(kind, base, doubt, units);
    match text.split_once(" ±") {
        Some((value, doubt)) => (value.to_owned(), format!("±{doubt}")),
        None => (text, String::new()),
    }
}

/// A volume and its doubt.
pub(crate) fn volume(cc: f64, doubt: Option<f64>, units: &UnitChoice) -> (String, String) {
    match doubted(Kind::Volume, cc, doubt, units) {
        (_, doubt) if doubt.is_empty() => {
            (write(Kind::Volume, cc, Some(volume_decimals(cc, units)), units).to_string(), doubt)
        }
        known => known,
    }
}

/// A ratio and its doubt.
pub(crate) fn ratio(value: f64, doubt: Option<f64>) -> (String, String) {
    let decimals = doubt.map_or(2, |doubt| words::decimals_for(doubt, 2));
    let doubt = doubt.map(|doubt| words::plus_minus(doubt, decimals)).unwrap_or_default();
    (words::plain(value, decimals), doubt)
}

/// A gap in words and its doubt.
pub(crate) fn gap(mm: f64, doubt: Option<f64>, units: &UnitChoice) -> (String, String) {
    let unit = units.unit(Kind::Length);
    let decimals = doubt.map(|doubt| words::decimals_for(unit.from_base(doubt), default_decimals(unit)));
    let (_, doubt) = doubted(Kind::Length, mm, doubt, units);
    (words::gap(mm, decimals, units), doubt)
}

/// A value and its doubt in one text.
pub(crate) fn joined((value, doubt): (String, String)) -> String {
    if doubt.is_empty() { value } else { format!("{value} {doubt}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_has_no_more_digits_than_its_doubt_allows() {
        let mm = UnitChoice::default();
        assert_eq!(joined(gap(1.1013, Some(0.31), &mm)), "1.1 mm below ±0.4");
        assert_eq!(joined(gap(-0.1013, Some(0.02), &mm)), "0.10 mm proud ±0.02");
        assert_eq!(joined(gap(1.1013, None, &mm)), "1.10 mm below");
    }
}
