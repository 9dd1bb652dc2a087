//! Units of length, volume and angle.

use super::Kind;

/// A unit of length, volume or angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// mm
    Millimetre,
    /// cm
    Centimetre,
    /// m
    Metre,
    /// µm
    Micrometre,
    /// in, also written `"` and inch
    Inch,
    /// A thousandth of an inch, also called mil
    Thou,
    /// cc, also written cm3 and cm³
    CubicCentimetre,
    /// ml, which is one cc
    Millilitre,
    /// l
    Litre,
    /// cu in, also written cuin, in3 and in³
    CubicInch,
    /// Degree of angle
    Degree,
}

// The base unit of each kind first.
all!(
    pub Unit: Millimetre, Centimetre, Metre, Micrometre, Inch, Thou, CubicCentimetre, Millilitre, Litre,
    CubicInch, Degree
);

impl Unit {
    /// Returns the unit written as `text`, without spaces around it; small and
    /// capital letters are the same.
    ///
    /// ```
    /// use crowndeck::quantity::Unit;
    /// assert_eq!(Unit::from_text("mil"), Some(Unit::Thou));
    /// assert_eq!(Unit::from_text("furlong"), None);
    /// ```
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        Some(match text.to_lowercase().as_str() {
            "mm" => Self::Millimetre,
            "cm" => Self::Centimetre,
            "m" => Self::Metre,
            // The micro sign, the Greek letter mu, and what a plain keyboard has.
            "\u{b5}m" | "\u{3bc}m" | "um" => Self::Micrometre,
            "in" | "inch" | "inches" | "\"" | "\u{2033}" | "\u{201d}" => Self::Inch,
            "thou" | "mil" | "mils" => Self::Thou,
            "cc" | "cm3" | "cm\u{b3}" | "ccm" => Self::CubicCentimetre,
            "ml" => Self::Millilitre,
            "l" => Self::Litre,
            "cuin" | "cu in" | "in3" | "in\u{b3}" => Self::CubicInch,
            "deg" | "\u{b0}" => Self::Degree,
            _ => return None,
        })
    }

    /// Returns the kind of quantity that the unit measures.
    #[must_use]
    pub fn kind(self) -> Kind {
        match self {
            Self::Millimetre
            | Self::Centimetre
            | Self::Metre
            | Self::Micrometre
            | Self::Inch
            | Self::Thou => Kind::Length,
            Self::CubicCentimetre | Self::Millilitre | Self::Litre | Self::CubicInch => Kind::Volume,
            Self::Degree => Kind::Angle,
        }
    }

    /// Returns how many base units one of this unit is, exactly, as numerator
    /// and denominator; the denominator is a power of ten.
    ///
    /// Source: the inch is 25.4 mm exactly by the international yard and
    /// pound agreement of 1959; NIST SP 811, appendix B.8, gives it and the
    /// cubic inch, 16.387 064 cm³ exactly (2.54³). A thou is a thousandth of
    /// an inch, a litre is a cubic decimetre (CGPM 1964).
    #[must_use]
    pub fn exact_factor(self) -> (i64, i64) {
        match self {
            Self::Millimetre | Self::CubicCentimetre | Self::Millilitre | Self::Degree => (1, 1),
            Self::Centimetre => (10, 1),
            Self::Metre | Self::Litre => (1000, 1),
            Self::Micrometre => (1, 1000),
            Self::Inch => (254, 10),
            Self::Thou => (254, 10_000),
            Self::CubicInch => (16_387_064, 1_000_000),
        }
    }

    /// Converts a number of this unit to the base unit of its kind.
    #[must_use]
    pub fn to_base(self, number: f64) -> f64 {
        let (numerator, denominator) = self.float_factor();
        number * numerator / denominator
    }

    /// Converts a value in the base unit to a number of this unit.
    #[must_use]
    pub fn from_base(self, base: f64) -> f64 {
        let (numerator, denominator) = self.float_factor();
        base * denominator / numerator
    }

    /// Returns the factor as two numbers that f64 holds exactly.
    fn float_factor(self) -> (f64, f64) {
        let (numerator, denominator) = self.exact_factor();
        #[expect(clippy::cast_precision_loss, reason = "every factor is far below 2^53")]
        (numerator as f64, denominator as f64)
    }

    /// Returns the symbol used on a screen or on paper.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Micrometre => "\u{b5}m",
            Self::Degree => "\u{b0}",
            other => other.ascii(),
        }
    }

    /// Returns the symbol used in files and tables for other programs.
    #[must_use]
    pub fn ascii(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
            Self::Micrometre => "um",
            Self::Inch => "in",
            Self::Thou => "thou",
            Self::CubicCentimetre => "cc",
            Self::Millilitre => "ml",
            Self::Litre => "l",
            Self::CubicInch => "cu in",
            Self::Degree => "deg",
        }
    }

    /// Returns the separator between a number and this unit: none before a
    /// degree sign, else a space (ISO 80000-1, 7.1.4).
    #[must_use]
    pub fn gap(self) -> &'static str {
        if self == Self::Degree { "" } else { " " }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_of_the_command_line_page_is_known() {
        let spellings = [
            ("mm", Unit::Millimetre),
            ("cm", Unit::Centimetre),
            ("m", Unit::Metre),
            ("in", Unit::Inch),
            ("\"", Unit::Inch),
            ("inch", Unit::Inch),
            ("thou", Unit::Thou),
            ("mil", Unit::Thou),
            ("µm", Unit::Micrometre),
            ("um", Unit::Micrometre),
            ("cc", Unit::CubicCentimetre),
            ("cm3", Unit::CubicCentimetre),
            ("ml", Unit::Millilitre),
            ("l", Unit::Litre),
            ("cuin", Unit::CubicInch),
            ("in3", Unit::CubicInch),
            ("deg", Unit::Degree),
            ("°", Unit::Degree),
        ];
        for (text, unit) in spellings {
            assert_eq!(Unit::from_text(text), Some(unit), "{text}");
        }
    }

    #[test]
    fn what_a_unit_writes_it_reads() {
        for unit in Unit::ALL {
            assert_eq!(Unit::from_text(unit.symbol()), Some(unit));
            assert_eq!(Unit::from_text(unit.ascii()), Some(unit));
            assert!(unit.ascii().is_ascii());
        }
    }

    /// NIST SP 811 B.8: inch 2.54 E+01 mm, cubic inch 1.638 706 4 E+01 cm³
    /// (both exact; from memory).
    #[test]
    fn factors_are_those_of_the_published_table() {
        assert_eq!(Unit::Inch.to_base(1.0), 25.4);
        assert_eq!(Unit::Thou.to_base(1.0), 0.0254);
        assert_eq!(Unit::CubicInch.to_base(1.0), 16.387_064);
        assert_eq!(Unit::Inch.from_base(25.4), 1.0);
        assert_eq!(Unit::Micrometre.to_base(1000.0), 1.0);
    }
}
