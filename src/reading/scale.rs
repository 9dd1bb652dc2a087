//! The scale of the instrument behind a reading: its step, its ±, and their
//! substitutes where nobody stated them.

use super::record::{Instrument, Reading};
use crate::quantity::{Kind, Quantity};

/// The scale of the instrument of a reading, in the base unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Scale {
    /// Id of the instrument; `None` where no instrument is named or none has
    /// that id.
    pub id: Option<String>,
    /// The smallest step that it shows, 0 or more; where no instrument is
    /// known, that of the last digit written.
    pub step: Option<f64>,
    /// Its stated ±, 0 or more.
    pub repeatability: Option<f64>,
}

impl Scale {
    /// Returns the scale behind a reading: from its instrument, else from how
    /// its values were written. An instrument of another kind of quantity
    /// counts as none.
    pub(super) fn of(reading: &Reading, instruments: &[Instrument]) -> Self {
        let kind = reading.of.kind();
        let named = reading.instrument.as_ref();
        let known = named.and_then(|id| instruments.iter().find(|i| i.id == *id && i.step.kind() == kind));
        let usable = |q: &Quantity| (q.kind() == kind && q.base() >= 0.0).then_some(q.base());
        match known {
            Some(instrument) => Self {
                id: Some(instrument.id.clone()),
                step: usable(&instrument.step),
                repeatability: instrument.repeatability.as_ref().and_then(usable),
            },
            None => Self { step: last_digit(reading, kind), ..Self::default() },
        }
    }
}

/// Returns the finest last digit with which a value of the reading is written.
fn last_digit(reading: &Reading, kind: Kind) -> Option<f64> {
    let of_kind = reading.values.iter().map(|v| &v.value).filter(|v| v.kind() == kind);
    of_kind.filter_map(digit).reduce(f64::min)
}

/// Returns what one unit of the last digit is worth, in the base unit; `None`
/// for a fraction, a sum or a number with an exponent.
fn digit(value: &Quantity) -> Option<f64> {
    let text = value.text();
    let number = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let number = number.trim_start_matches(['-', '\u{2212}', '+']);
    if number.is_empty() || !number.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',')) {
        return None;
    }
    let decimals = number.split_once(['.', ',']).map_or(0, |(_, part)| part.len());
    let unit: f64 = format!("1e-{decimals}").parse().ok()?;
    Some(value.unit().to_base(unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_digit_stands_for_the_step() {
        let rows = [
            ("1.21 mm", Some(0.01)),
            ("1,2 mm", Some(0.1)),
            ("-0.10 mm", Some(0.01)),
            ("43 thou", Some(0.0254)),
            ("3.4375 in", Some(0.000_1 * 25.4)),
            ("33.8 cc", Some(0.1)),
            ("60 cm3", None),
            ("3 1/2 in", None),
            ("40 thou + 3 thou", None),
            ("1e-1 mm", None),
        ];
        for (text, expected) in rows {
            let found = digit(&Quantity::parse_with_unit(text).unwrap());
            match (found, expected) {
                (Some(a), Some(b)) => assert!((a - b).abs() < 1e-15, "{text}: {a}"),
                _ => assert_eq!(found, expected, "{text}"),
            }
        }
    }
}
