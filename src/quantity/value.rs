//! A value as it was typed.

use super::exact::Exact;
use super::{Kind, QuantityError, Unit, UnitChoice, grammar, write};

/// A length, volume or angle as it was typed, with its value in the base unit.
/// What was typed as 43 thou stays 43 thou.
///
/// Always finite; its text always reads back to the same value. In a file it
/// is one string with its unit.
///
/// ```
/// use crowndeck::quantity::{Kind, Quantity};
/// let foil = Quantity::parse(Kind::Length, " 43thou ")?;
/// assert_eq!((foil.base(), foil.text()), (1.0922, "43thou"));
/// let stack = Quantity::parse(Kind::Length, "40 thou + 3 thou")?;
/// assert_eq!(stack.base(), foil.base());
/// assert_eq!(Quantity::parse(Kind::Length, "1,1")?.text(), "1,1 mm");
/// # Ok::<(), crowndeck::quantity::QuantityError>(())
/// ```
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Quantity {
    text: String,
    unit: Unit,
    base: f64,
}

impl Quantity {
    /// Reads a value of a known kind; a number without unit is in the base
    /// unit (mm, cc or degrees).
    ///
    /// In a sum a term without unit has the unit of the last term.
    ///
    /// # Errors
    /// When the text is not a value, when a unit measures something else, or
    /// when the last term of a sum leaves its unit open.
    pub fn parse(kind: Kind, text: &str) -> Result<Self, QuantityError> {
        Self::read(Some(kind), text)
    }

    /// Reads a value with its unit, which says what kind it is.
    ///
    /// # Errors
    /// As [`Quantity::parse`], and when no unit is written.
    pub fn parse_with_unit(text: &str) -> Result<Self, QuantityError> {
        Self::read(None, text)
    }

    /// Creates a value in its base unit, written with the fewest digits that
    /// read back to it: "1.1 mm".
    ///
    /// # Errors
    /// When `base` is not finite.
    pub fn of(kind: Kind, base: f64) -> Result<Self, QuantityError> {
        let unit = kind.base_unit();
        if !base.is_finite() {
            return Err(QuantityError::OutOfRange { text: format!("{base} {}", unit.ascii()) });
        }
        // Adding 0 turns −0 into 0. The shortest form of a very large or very
        // small number would be hundreds of digits; the exponent form is not.
        let base = base + 0.0;
        let plain = base == 0.0 || (1e-7..1e16).contains(&base.abs());
        let number = if plain { format!("{base}") } else { format!("{base:e}") };
        Ok(Self { text: format!("{number} {}", unit.ascii()), unit, base })
    }

    /// Creates a value rounded as the user reads it, in the user's unit, as
    /// after a slider or a drag. The base value is that of the rounded text.
    /// `decimals` as in [`write()`](super::write()).
    ///
    /// # Errors
    /// When `base` is not finite.
    pub fn rounded(
        kind: Kind,
        base: f64,
        decimals: Option<u8>,
        units: &UnitChoice,
    ) -> Result<Self, QuantityError> {
        if !base.is_finite() {
            return Self::of(kind, base);
        }
        let written = write(kind, base, decimals, units);
        Self::parse(kind, &format!("{} {}", written.number, written.unit))
    }

    fn read(wanted: Option<Kind>, text: &str) -> Result<Self, QuantityError> {
        let text = grammar::normalised(text);
        let terms = grammar::terms(&text).map_err(|error| match error {
            QuantityError::UnknownUnit { unit, .. } => QuantityError::UnknownUnit { unit, wanted },
            other => other,
        })?;
        let last = terms.last().and_then(|term| term.unit);
        if let (None, Some(term)) = (last, terms.last())
            && (wanted.is_none() || terms.iter().any(|term| term.unit.is_some()))
        {
            return Err(QuantityError::UnitMissing { text: term.signed_text() });
        }
        let (unit, text) = match (last, wanted) {
            (Some(unit), _) => (unit, text),
            (None, Some(kind)) => {
                let unit = kind.base_unit();
                (unit, format!("{text} {}", unit.ascii()))
            }
            (None, None) => return Err(QuantityError::UnitMissing { text }),
        };
        grammar::check_length(&text)?;
        let kind = wanted.unwrap_or(unit.kind());
        let mut sum = Exact::ZERO;
        for term in &terms {
            let of_term = term.unit.unwrap_or(unit);
            if of_term.kind() != kind {
                return Err(QuantityError::WrongKind { wanted: kind, unit: of_term.symbol() });
            }
            sum = sum.plus(term.signed().scaled(of_term.exact_factor()));
        }
        let base = sum.to_f64();
        if !base.is_finite() {
            return Err(QuantityError::OutOfRange { text });
        }
        // Adding 0 turns −0 into 0.
        Ok(Self { text, unit, base: base + 0.0 })
    }

    /// Returns the value in the base unit of its kind: mm, cc or degrees.
    #[must_use]
    pub fn base(&self) -> f64 {
        self.base
    }

    /// Returns the unit in which it was written; in a sum, that of the last
    /// term.
    #[must_use]
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// Returns the value as written, with its unit.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Returns the kind of the quantity.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }
}

impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.text)
    }
}

impl TryFrom<String> for Quantity {
    type Error = QuantityError;

    fn try_from(text: String) -> Result<Self, QuantityError> {
        Self::parse_with_unit(&text)
    }
}

impl From<Quantity> for String {
    fn from(quantity: Quantity) -> Self {
        quantity.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use QuantityError as E;
    use proptest::prelude::*;

    fn length(text: &str) -> Result<f64, QuantityError> {
        Quantity::parse(Kind::Length, text).map(|q| q.base())
    }

    #[test]
    fn lengths_are_read_as_people_write_them() {
        let cases = [
            ("1.1", 1.1),
            ("1,1 mm", 1.1),
            (",5", 0.5),
            ("5.", 5.0),
            ("43 thou", 1.0922),
            ("43thou", 1.0922),
            ("14 mil", 0.3556),
            ("850 µm", 0.85),
            ("850um", 0.85),
            ("8.6 cm", 86.0),
            ("0.086 m", 86.0),
            ("3.4375 in", 87.3125),
            ("3 1/2 in", 88.9),
            ("7/16 in", 11.1125),
            ("3 7/16\"", 87.3125),
            ("3½ in", 88.9),
            ("3 1⁄2 inch", 88.9),
            ("1/3 in", 25.4 / 3.0),
            ("-3 1/2 in", -88.9),
            ("−0,10 mm", -0.1),
            ("+1.5e1", 15.0),
            ("1E-3 m", 1.0),
            ("1.10+0.02", 1.12),
            ("1.12 - 1.10", 0.02),
            ("40 thou + 3 thou", 1.0922),
            ("40 + 3 thou", 1.0922),
            ("1 mm + 10 thou", 1.254),
            ("\u{a0}1.1\u{a0}mm ", 1.1),
            ("１．１ｍｍ", 1.1),
            ("5.500 in", 139.7),
            ("0,850", 0.85),
            ("1 MM", 1.0),
            ("-0", 0.0),
        ];
        for (text, expected) in cases {
            assert_eq!(length(text), Ok(expected), "{text:?}");
        }
    }

    #[test]
    fn volumes_and_angles_are_read_in_all_their_units() {
        for (text, expected) in
            [("60,5", 60.5), ("60.5 cm3", 60.5), ("60 ml", 60.0), ("0.5 l", 500.0), ("1 cu in", 16.387_064)]
        {
            assert_eq!(Quantity::parse(Kind::Volume, text).unwrap().base(), expected, "{text}");
        }
        for text in ["2 cuin", "2 in3", "2 in³", "2 CU IN"] {
            assert_eq!(Quantity::parse(Kind::Volume, text).unwrap().base(), 32.774_128, "{text}");
        }
        for text in ["40", "40°", "40 deg"] {
            assert_eq!(Quantity::parse(Kind::Angle, text).unwrap().base(), 40.0, "{text}");
        }
    }

    #[test]
    fn what_can_be_read_in_two_ways_is_refused() {
        for (text, one, other) in
            [("1,100", "1.100", "1100"), ("88,600 mm", "88.600", "88600"), ("3-1/2 in", "3 1/2", "3 - 1/2")]
        {
            let error = length(text).unwrap_err();
            assert!(
                matches!(&error, E::Ambiguous { one: a, other: b, .. } if a == one && b == other),
                "{text}: {error:?}"
            );
            assert!(error.hint().contains(one), "{}", error.hint());
        }
        assert_eq!(length("3 - 1/2 in"), Ok(63.5));
    }

    #[test]
    fn what_is_no_length_is_refused_with_a_sentence() {
        let cases = [
            ("", "nothing was written"),
            ("  ", "nothing was written"),
            ("mm", "a number is missing before ‘mm’"),
            ("1 +", "a number is missing at the end"),
            ("1 + + 2", "a number is missing before ‘+ 2’"),
            (".", "a number is missing beside ‘.’"),
            ("abc", "a number is missing before ‘abc’"),
            ("1,234.5", "‘1,234.5’ has more than one decimal mark"),
            ("1 234", "‘1 234’ holds two numbers with nothing between them"),
            ("1.5 1/2 in", "‘1.5 1’ holds two numbers with nothing between them"),
            ("1/0 in", "‘1/0’ is not a fraction of whole numbers above 0"),
            ("1.5/2 in", "‘1.5/2’ is not a fraction of whole numbers above 0"),
            ("1 furlong", "‘furlong’ is not a unit known here"),
            ("1 mm mm", "‘m’ can't be read here"),
            ("60.5 cc", "a length can't be in cc"),
            ("1 mm + 1 cc", "a length can't be in cc"),
            ("40 thou + 3", "‘3’ has no unit"),
            ("1e999", "1e999 is outside the numbers that can be computed with"),
            ("1e-999", "1e-999 is outside the numbers that can be computed with"),
            ("1e308 m", "1e308 m is outside the numbers that can be computed with"),
            ("nan", "a number is missing before ‘nan’"),
            ("inf", "a number is missing before ‘inf’"),
            ("1..2", "‘1..2’ has more than one decimal mark"),
            ("1–2 mm", "‘–2’ is not a unit known here"),
        ];
        for (text, message) in cases {
            let error = length(text).unwrap_err();
            assert_eq!(error.to_string(), message, "{text:?}");
            assert!(!error.hint().is_empty());
        }
        assert!(matches!(length(&"1+".repeat(150)), Err(E::TooLong { length: 300, most: 200 })));
        // With its unit the text would be too long to be read back.
        assert!(matches!(length(&"1".repeat(199)), Err(E::TooLong { length: 202, .. })));
        let wrong = Quantity::parse(Kind::Volume, "3 in").unwrap_err();
        assert_eq!(
            (wrong.to_string().as_str(), wrong.hint().as_str()),
            ("a volume can't be in in", "use cc, ml, l or cu in")
        );
    }

    #[test]
    fn the_text_is_kept_as_typed_with_its_unit() {
        let kept = |text: &str| Quantity::parse(Kind::Length, text).unwrap().text().to_owned();
        assert_eq!(kept("  3   1/2  in "), "3 1/2 in");
        assert_eq!(kept("1.10+0.02"), "1.10+0.02 mm");
        assert_eq!(kept("5.500 in"), "5.500 in");
        assert_eq!(Quantity::parse(Kind::Angle, "40").unwrap().text(), "40 deg");
    }

    #[test]
    fn a_file_holds_one_string_with_a_unit() {
        let gap = Quantity::parse(Kind::Length, "3 1/2 in").unwrap();
        assert_eq!(ron::to_string(&gap).unwrap(), "\"3 1/2 in\"");
        assert_eq!(ron::from_str::<Quantity>("\"3 1/2 in\"").unwrap(), gap);
        assert_eq!(ron::from_str::<Quantity>("\"60.5 cc\"").unwrap().kind(), Kind::Volume);
        let error = ron::from_str::<Quantity>("\"1.1\"").unwrap_err().to_string();
        assert!(error.contains("‘1.1’ has no unit"), "{error}");
    }

    #[test]
    fn a_computed_value_is_written_with_its_fewest_digits() {
        assert_eq!(Quantity::of(Kind::Length, 1.1).unwrap().text(), "1.1 mm");
        assert_eq!(Quantity::of(Kind::Volume, -0.0).unwrap().text(), "0 cc");
        assert_eq!(Quantity::of(Kind::Angle, 40.5).unwrap().text(), "40.5 deg");
        assert!(matches!(Quantity::of(Kind::Length, f64::NAN), Err(E::OutOfRange { .. })));
        assert!(matches!(Quantity::of(Kind::Length, f64::INFINITY), Err(E::OutOfRange { .. })));
    }

    proptest! {
        #[test]
        fn no_text_makes_it_fail(text in "\\PC*") {
            for kind in [Kind::Length, Kind::Volume, Kind::Angle] {
                if let Ok(quantity) = Quantity::parse(kind, &text) {
                    prop_assert!(quantity.base().is_finite());
                    prop_assert_eq!(Quantity::parse_with_unit(quantity.text()), Ok(quantity));
                }
            }
        }

        #[test]
        fn no_text_of_the_usual_characters_makes_it_fail(text in "[-+−0-9., /eE½thoumincl°\"3]{0,40}") {
            if let Ok(quantity) = Quantity::parse(Kind::Length, &text) {
                prop_assert!(quantity.base().is_finite());
                prop_assert_eq!(Quantity::parse_with_unit(quantity.text()), Ok(quantity));
            }
        }

        #[test]
        fn a_computed_value_reads_back_to_the_same_number(base in any::<f64>()) {
            prop_assume!(base.is_finite());
            let quantity = Quantity::of(Kind::Length, base).unwrap();
            prop_assert_eq!(Quantity::parse_with_unit(quantity.text()), Ok(quantity.clone()));
            prop_assert_eq!(quantity.base(), base);
        }

        #[test]
        fn a_decimal_is_read_to_the_nearest_number(digits in 0_u64..1_000_000_000, places in 0_u32..9) {
            let text = format!("{digits}e-{places}");
            prop_assert_eq!(length(&text), Ok(text.parse::<f64>().unwrap()));
        }
    }
}
