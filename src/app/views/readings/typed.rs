//! What a text means that was typed as a reading.

use crate::app::entry::{self, Typed};
use crate::app::widgets::field::Check;
use crate::engine::Key;
use crate::quantity::{Kind, Quantity, QuantityError, Unit, UnitChoice, suspects};
use crate::reading::Subject;

/// Reads a value of `of`; without a unit it is in `unit`.
pub(in crate::app::views) fn read(of: &Subject, text: &str, unit: Unit) -> Typed {
    if let Subject::Dimension(key) = of {
        return entry::read(*key, text, unit.ascii());
    }
    let value = match quantity(of.kind(), text, unit) {
        Ok(value) => value,
        Err(why) => return Typed::Refused(why),
    };
    if of.may_be_0() && value.base() < 0.0 {
        let what = format!("The {} is {value}: a distance is 0, which is contact, or more.", of.name());
        return Typed::Refused(what);
    }
    if *of != Subject::Deck && !of.may_be_0() && value.base() <= 0.0 {
        return Typed::Refused(format!("The {} is above 0.", of.name()));
    }
    match suspects(&value, of.plausible()).as_ref().and_then(|slip| slip.meant.first()) {
        Some(meant) => Typed::Question {
            ask: format!("{value} is unusual here. Did you mean {meant}?"),
            choices: format!("Enter: {meant}.   Escape: leave it."),
            enter: meant.text().to_owned(),
            meant: value,
        },
        None => Typed::Fine(value),
    }
}

/// A quantity of this kind; without a unit it is in `unit`. The sentence that
/// says why it is none.
pub(in crate::app::views) fn quantity(kind: Kind, text: &str, unit: Unit) -> Result<Quantity, String> {
    let read = match Quantity::parse_with_unit(text) {
        Err(QuantityError::UnitMissing { .. }) => Quantity::parse(kind, &format!("{text} {}", unit.ascii())),
        // The kind is asked for as well, so that "60 cc" is no length.
        Ok(_) | Err(_) => Quantity::parse(kind, text),
    };
    read.map_err(|error| entry::sentence(&error))
}

/// Plain numbers in one line, apart by spaces or semicolons, with a comma or a
/// point as decimal mark. The sentence that says why there are none.
pub(super) fn numbers(text: &str) -> Result<Vec<f64>, String> {
    let words = text.split(|c: char| c.is_whitespace() || c == ';').filter(|word| !word.is_empty());
    let read = |word: &str| {
        let plain = word.replace(',', ".").replace('\u{2212}', "-");
        let number = plain.trim_end_matches(['°']).parse::<f64>().ok().filter(|n| n.is_finite());
        number.ok_or_else(|| format!("‘{word}’ is not a number."))
    };
    let all: Vec<f64> = words.map(read).collect::<Result<_, _>>()?;
    if all.is_empty() { Err("Give a number.".to_owned()) } else { Ok(all) }
}

/// What the field says to a reading.
pub(in crate::app::views) fn check(of: &Subject, text: &str, unit: Unit) -> Check {
    match read(of, text, unit) {
        Typed::Fine(_) => Check::Fine,
        Typed::Refused(why) => Check::Refused(why),
        Typed::Question { ask, choices, enter, .. } => Check::Question { ask, choices, enter },
    }
}

/// What the field says to a quantity that is 0 or more.
pub(in crate::app::views) fn check_amount(kind: Kind, text: &str, unit: Unit) -> Check {
    match quantity(kind, text, unit) {
        Ok(value) if value.base() < 0.0 => Check::Refused("Give 0 or more.".into()),
        Ok(_) => Check::Fine,
        Err(why) => Check::Refused(why),
    }
}

/// The value that a text stands for, once the field has taken it.
pub(in crate::app::views) fn taken(of: &Subject, text: &str, unit: Unit) -> Option<Quantity> {
    match read(of, text, unit) {
        Typed::Fine(value) | Typed::Question { meant: value, .. } => Some(value),
        Typed::Refused(_) => None,
    }
}

/// A value as it stands in a field: its number, and its unit where that is
/// not `unit`.
pub(in crate::app::views) fn shown(
    value: &Quantity,
    unit: Unit,
    units: &UnitChoice,
) -> (String, &'static str) {
    let key = match value.kind() {
        Kind::Length => Key::Bore,
        Kind::Volume => Key::ChamberVolume,
        Kind::Angle => Key::IntakeClosing,
    };
    let text = entry::field_text(key, Some(value), None, units);
    (text.number, if value.unit() == unit { "" } else { text.unit })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_typed_in_any_unit() {
        let base = |of: &Subject, text: &str, unit| taken(of, text, unit).unwrap().base();
        assert_eq!(base(&Subject::Deck, "1,17", Unit::Millimetre), 1.17);
        assert_eq!(base(&Subject::Deck, "43", Unit::Thou), 1.0922);
        assert_eq!(base(&Subject::Deck, "-0.1", Unit::Millimetre), -0.1);
        assert_eq!(base(&Subject::WholeFill, "44.1", Unit::CubicCentimetre), 44.1);
    }

    #[test]
    fn plain_numbers_stand_side_by_side() {
        assert_eq!(numbers("0 33,8; 1.5"), Ok(vec![0.0, 33.8, 1.5]));
        assert_eq!(numbers("\u{2212}29.5°"), Ok(vec![-29.5]));
        assert!(numbers("").is_err() && numbers("nan").is_err() && numbers("1 x").is_err());
    }

    #[test]
    fn nonsense_is_refused_and_a_slip_is_asked_about() {
        for (of, text) in [
            (Subject::Deck, "1 cc"),
            (Subject::Squish, "-1"),
            (Subject::Deck, "abc"),
            (Subject::Dimension(Key::Bore), "0"),
        ] {
            assert!(matches!(check(&of, text, Unit::Millimetre), Check::Refused(_)), "{of:?} {text}");
        }
        let Check::Question { enter, .. } = check(&Subject::Squish, "0.04", Unit::Millimetre) else {
            panic!("swallowed");
        };
        assert_eq!(enter, "0.04 in");
        assert!(matches!(check_amount(Kind::Volume, "-1", Unit::CubicCentimetre), Check::Refused(_)));
    }
}
