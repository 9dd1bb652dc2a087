//! Writes computed values in the units that the user wants.

use super::{Kind, Unit};

/// A user's unit for lengths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Mm,
    /// Inches with decimals.
    InchDecimal,
    /// Thousandths of an inch.
    Thou,
    /// Inches as a fraction where the value is one, to 1/64; else decimals.
    InchFraction,
}

/// A user's unit for volumes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VolumeUnit {
    /// Cubic centimetres.
    #[default]
    Cc,
    /// Cubic inches.
    CubicInch,
}

/// The units in which computed values are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct UnitChoice {
    /// Unit of lengths.
    pub length: LengthUnit,
    /// Unit of volumes.
    pub volume: VolumeUnit,
}

impl UnitChoice {
    /// Returns the unit for values of this kind.
    #[must_use]
    pub fn unit(&self, kind: Kind) -> Unit {
        match (kind, self.length, self.volume) {
            (Kind::Length, LengthUnit::Mm, _) => Unit::Millimetre,
            (Kind::Length, LengthUnit::InchDecimal | LengthUnit::InchFraction, _) => Unit::Inch,
            (Kind::Length, LengthUnit::Thou, _) => Unit::Thou,
            (Kind::Volume, _, VolumeUnit::Cc) => Unit::CubicCentimetre,
            (Kind::Volume, _, VolumeUnit::CubicInch) => Unit::CubicInch,
            (Kind::Angle, _, _) => Unit::Degree,
        }
    }
}

/// A value as text, the number apart from its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The number; "–" for a number that is not finite.
    pub number: String,
    /// The unit as written.
    pub unit: &'static str,
}

impl std::fmt::Display for Written {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let gap = if self.unit == Unit::Degree.symbol() { "" } else { " " };
        write!(f, "{}{gap}{}", self.number, self.unit)
    }
}

/// Returns the decimals with which a computed value is written unless something
/// better is known: about the last digit that a careful hand can read at the
/// bench (common practice).
#[must_use]
pub(crate) fn default_decimals(unit: Unit) -> u8 {
    match unit {
        Unit::Millimetre | Unit::CubicInch => 2,
        Unit::Thou | Unit::CubicCentimetre | Unit::Millilitre | Unit::Degree => 1,
        Unit::Inch | Unit::Litre => 4,
        Unit::Centimetre => 3,
        Unit::Metre => 5,
        Unit::Micrometre => 0,
    }
}

/// Writes a value in the user's unit for a screen or a page: U+2212 for minus,
/// never a minus before 0, "–" for a number that is not finite.
///
/// With [`LengthUnit::InchFraction`] a value that is a 64th of an inch, to a
/// millionth, is written as a fraction; any other would be changed by it and
/// is written with decimals.
///
/// ```
/// use crowndeck::quantity::{Kind, LengthUnit, UnitChoice, write};
/// let thou = UnitChoice { length: LengthUnit::Thou, ..UnitChoice::default() };
/// assert_eq!(write(Kind::Length, 1.0922, None, &thou).to_string(), "43.0 thou");
/// assert_eq!(write(Kind::Length, -0.1, None, &UnitChoice::default()).to_string(), "−0.10 mm");
/// ```
#[must_use]
pub fn write(kind: Kind, base: f64, decimals: Option<u8>, units: &UnitChoice) -> Written {
    let unit = units.unit(kind);
    let number = match fraction(kind, base, units) {
        Some(fraction) => fraction,
        None => digits(unit, base, decimals),
    };
    Written { number: number.replace('-', "\u{2212}"), unit: unit.symbol() }
}

fn digits(unit: Unit, base: f64, decimals: Option<u8>) -> String {
    let number = unit.from_base(base);
    if !number.is_finite() {
        return "–".into();
    }
    let places = usize::from(decimals.unwrap_or(default_decimals(unit)));
    let text = format!("{number:.places$}");
    match text.strip_prefix('-') {
        Some(zero) if zero.bytes().all(|b| matches!(b, b'0' | b'.')) => zero.into(),
        _ => text,
    }
}

/// Returns the value as a fraction of an inch, or `None` if that is not wanted
/// or the value is none.
fn fraction(kind: Kind, base: f64, units: &UnitChoice) -> Option<String> {
    if kind != Kind::Length || units.length != LengthUnit::InchFraction {
        return None;
    }
    let inches = Unit::Inch.from_base(base);
    let sixty_fourths = (inches * 64.0).round();
    // Beyond a million inches nobody writes fractions, and below that the
    // number of 64ths is a whole number that u32 holds.
    if !(inches.abs() < 1e6 && (inches - sixty_fourths / 64.0).abs() < 1e-6) {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "bounded above, not negative"
    )]
    let count = sixty_fourths.abs() as u32;
    let (whole, mut above, mut below) = (count / 64, count % 64, 64);
    while above != 0 && above % 2 == 0 {
        (above, below) = (above / 2, below / 2);
    }
    let minus = if sixty_fourths < 0.0 { "-" } else { "" };
    Some(match (whole, above) {
        (whole, 0) => format!("{minus}{whole}"),
        (0, _) => format!("{minus}{above}/{below}"),
        _ => format!("{minus}{whole} {above}/{below}"),
    })
}

#[cfg(test)]
mod tests {
    use super::super::Quantity;
    use super::*;
    use proptest::prelude::*;

    const INCH: UnitChoice = UnitChoice { length: LengthUnit::InchDecimal, volume: VolumeUnit::CubicInch };
    const FRACTION: UnitChoice = UnitChoice { length: LengthUnit::InchFraction, volume: VolumeUnit::Cc };

    #[test]
    fn values_are_written_in_the_chosen_unit() {
        let mm = UnitChoice::default();
        let cases = [
            (Kind::Length, 0.85, None, mm, "0.85 mm"),
            (Kind::Length, 0.85, Some(3), mm, "0.850 mm"),
            (Kind::Length, -0.004, None, mm, "0.00 mm"),
            (Kind::Length, 139.7, None, INCH, "5.5000 in"),
            (Kind::Length, 88.9, None, FRACTION, "3 1/2 in"),
            (Kind::Length, -11.1125, None, FRACTION, "−7/16 in"),
            (Kind::Length, 0.0, None, FRACTION, "0 in"),
            (Kind::Length, 0.85, None, FRACTION, "0.0335 in"),
            (Kind::Volume, 60.5, None, mm, "60.5 cc"),
            (Kind::Volume, 16.387_064, None, INCH, "1.00 cu in"),
            (Kind::Angle, -20.0, None, mm, "−20.0°"),
            (Kind::Length, f64::NAN, None, mm, "– mm"),
            (Kind::Length, f64::INFINITY, None, FRACTION, "– in"),
        ];
        for (kind, base, decimals, units, expected) in cases {
            assert_eq!(write(kind, base, decimals, &units).to_string(), expected);
        }
    }

    #[test]
    fn a_drag_leaves_a_round_value_in_the_users_unit() {
        let thou = UnitChoice { length: LengthUnit::Thou, ..UnitChoice::default() };
        let shim = Quantity::rounded(Kind::Length, 1.0903, Some(0), &thou).unwrap();
        assert_eq!((shim.text(), shim.base()), ("43 thou", 1.0922));
        let proud = Quantity::rounded(Kind::Length, -0.1234, None, &UnitChoice::default()).unwrap();
        assert_eq!((proud.text(), proud.base()), ("-0.12 mm", -0.12));
        assert!(Quantity::rounded(Kind::Length, f64::NAN, None, &thou).is_err());
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back_within_half_its_last_digit(base in -1e6_f64..1e6) {
            for units in [UnitChoice::default(), INCH, FRACTION] {
                for kind in [Kind::Length, Kind::Volume, Kind::Angle] {
                    let written = write(kind, base, Some(4), &units);
                    let unit = units.unit(kind);
                    let read = Quantity::parse(kind, &written.to_string()).unwrap();
                    let off = (unit.from_base(read.base()) - unit.from_base(base)).abs();
                    prop_assert!(off <= 0.500_01e-4, "{base} written as {written}");
                }
            }
        }
    }
}
