//! Slips of the unit or of the decimal mark in a value outside its plausible
//! range.

use super::{Kind, Quantity, Unit, grammar};

/// A questioned value, with the readings that would be plausible.
#[derive(Clone, Debug, PartialEq)]
pub struct Slip {
    /// Possible meanings, likeliest first; empty when no slip explains the
    /// value.
    pub meant: Vec<Quantity>,
}

/// Questions a value outside `plausible` (base unit, both ends included): would
/// the same number in another unit, or with the decimal mark moved by one
/// place, lie inside?
///
/// Returns `None` for a value that is plausible. The value is not changed: the
/// user decides.
///
/// ```
/// use crowndeck::quantity::{Kind, Quantity, suspects};
/// let typed = Quantity::parse(Kind::Length, "0.014")?;
/// let slip = suspects(&typed, (0.2, 4.0)).unwrap();
/// assert_eq!(slip.meant[0].text(), "0.014 in");
/// # Ok::<(), crowndeck::quantity::QuantityError>(())
/// ```
#[must_use]
pub fn suspects(value: &Quantity, plausible: (f64, f64)) -> Option<Slip> {
    let inside = |base: f64| plausible.0 <= base && base <= plausible.1;
    if inside(value.base()) {
        return None;
    }
    let other_units: &[Unit] = match value.kind() {
        Kind::Length => &[Unit::Inch, Unit::Millimetre, Unit::Thou, Unit::Micrometre, Unit::Centimetre],
        Kind::Volume => &[Unit::CubicCentimetre, Unit::CubicInch, Unit::Litre],
        Kind::Angle => &[],
    };
    let number = single_number(value);
    let in_other_unit = other_units.iter().filter(|&&unit| unit != value.unit()).filter_map(|unit| {
        let number = number.as_ref()?;
        Quantity::parse(value.kind(), &format!("{number} {}", unit.ascii())).ok()
    });
    let own = value.unit();
    let mark_moved = [10.0, 0.1].into_iter().filter_map(|times| {
        // Twelve digits: one rounding of the product must not show as a tail.
        let number: f64 = format!("{:.11e}", own.from_base(value.base()) * times).parse().ok()?;
        Quantity::parse(value.kind(), &format!("{number} {}", own.ascii())).ok()
    });
    Some(Slip { meant: in_other_unit.chain(mark_moved).filter(|q| inside(q.base())).collect() })
}

/// Returns the number as typed, or `None` if the value is a sum.
fn single_number(value: &Quantity) -> Option<String> {
    match grammar::terms(value.text()).ok()?.as_slice() {
        [term] => Some(term.signed_text()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meant(kind: Kind, text: &str, plausible: (f64, f64)) -> Option<Vec<String>> {
        let value = Quantity::parse(kind, text).unwrap();
        suspects(&value, plausible).map(|slip| slip.meant.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn a_plausible_value_is_not_questioned() {
        assert_eq!(meant(Kind::Length, "0.014 in", (0.2, 4.0)), None);
        assert_eq!(meant(Kind::Length, "4", (0.2, 4.0)), None);
    }

    #[test]
    fn slips_of_the_unit_are_named() {
        // 0.014 where millimetres belong: inches were read.
        assert_eq!(meant(Kind::Length, "0.014", (0.2, 4.0)), Some(vec!["0.014 in".into()]));
        // A bore in inches typed as millimetres, and the other way round.
        assert_eq!(meant(Kind::Length, "3.4375", (10.0, 250.0)).unwrap()[0], "3.4375 in");
        assert_eq!(meant(Kind::Length, "86 in", (10.0, 250.0)).unwrap()[0], "86 mm");
        // 43 typed where 43 thou was meant.
        assert_eq!(meant(Kind::Length, "43", (0.0, 3.0)), Some(vec!["43 thou".into(), "43 um".into()]));
        assert_eq!(meant(Kind::Volume, "3.7", (20.0, 500.0)).unwrap(), ["3.7 cu in", "37 cc"]);
        assert_eq!(meant(Kind::Length, "-3 1/2", (-100.0, -50.0)).unwrap()[0], "-3 1/2 in");
    }

    #[test]
    fn slips_of_the_decimal_mark_are_named() {
        assert_eq!(meant(Kind::Length, "8.6", (50.0, 100.0)), Some(vec!["8.6 cm".into(), "86 mm".into()]));
        assert_eq!(meant(Kind::Angle, "400", (0.0, 120.0)), Some(vec!["40 deg".into()]));
        assert_eq!(meant(Kind::Length, "1 mm + 2 mm", (20.0, 40.0)), Some(vec!["30 mm".into()]));
    }

    #[test]
    fn a_value_that_no_slip_explains_has_no_readings() {
        assert_eq!(meant(Kind::Angle, "5000", (0.0, 120.0)), Some(vec![]));
    }
}
