//! Faults of solids: the quantity, its value, by how much it misses, and what
//! would be accepted.

use std::fmt;

/// A reason why a chamber or a crown of the wanted kind can't hold its volume.
#[derive(Clone, Debug, PartialEq)]
pub enum SolidFault {
    /// A number that no engine has.
    Number {
        /// Name of the number.
        what: &'static str,
        /// The value that was given, in `unit`.
        value: f64,
        /// mm or cc.
        unit: &'static str,
        /// The values that would be accepted.
        allowed: &'static str,
    },
    /// A proportion outside its range.
    Proportion {
        /// The kind of shape.
        shape: &'static str,
        /// The proportion.
        what: &'static str,
        /// The value that was given, as a fraction.
        value: f64,
        /// Least accepted.
        least: f64,
        /// Most accepted.
        most: f64,
    },
    /// A plan that reaches beyond the bore.
    BeyondBore {
        /// The kind of shape.
        shape: &'static str,
        /// Diameter of the circle round the plan, mm.
        across_mm: f64,
        /// The bore, mm.
        bore_mm: f64,
    },
    /// The slice between joint face and band holds more than the chamber.
    StepTakesAll {
        /// The chamber volume, cc.
        chamber_cc: f64,
        /// The volume of the slice alone, cc.
        slice_cc: f64,
        /// The head step, mm.
        head_step_mm: f64,
        /// The largest head step that the chamber volume allows, mm.
        most_step_mm: f64,
    },
    /// More than the shape holds without an undercut.
    TooMuch {
        /// The kind of shape.
        shape: &'static str,
        /// The volume that it has to hold, cc.
        volume_cc: f64,
        /// The greatest volume that it holds, cc.
        most_cc: f64,
        /// Its opening, mm.
        opening_mm: f64,
        /// The opening that would be accepted, mm; it may exceed the bore.
        needed_opening_mm: f64,
    },
    /// Less than the shape holds with its full fillet.
    TooLittle {
        /// The kind of shape.
        shape: &'static str,
        /// The volume that it has to hold, cc.
        volume_cc: f64,
        /// The least volume that it holds, cc.
        least_cc: f64,
        /// Its fillet, mm.
        fillet_mm: f64,
        /// The largest fillet that would be accepted, mm.
        most_fillet_mm: f64,
    },
    /// A length beyond what is drawn.
    TooLarge {
        /// Which.
        what: &'static str,
        /// Its size, mm.
        mm: f64,
        /// The greatest that is drawn, mm.
        most_mm: f64,
    },
    /// A dish of negative volume, a dome of positive volume, a flat crown with
    /// either.
    Sign {
        /// The kind of shape.
        shape: &'static str,
        /// The crown volume, cc: positive for a dish, negative for a dome.
        crown_cc: f64,
    },
}

/// A number written with four significant digits, however large or small it is.
struct Digits(f64);

impl fmt::Display for Digits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if self.0 < 0.0 {
            f.write_str("−")?;
        }
        if size != 0.0 && !(1e-3..1e5).contains(&size) {
            return write!(f, "{size:.3e}");
        }
        let decimals = match size {
            0.0 => 0,
            s if s < 1.0 => 4,
            s if s < 100.0 => 2,
            s if s < 1000.0 => 1,
            _ => 0,
        };
        write!(f, "{size:.decimals$}")
    }
}

impl fmt::Display for SolidFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Number { what, value, unit, allowed } => {
                write!(f, "The {what} is {} {unit}; {allowed} is accepted.", Digits(value))
            }
            Self::Proportion { shape, what, value, least, most } => write!(
                f,
                "The {what} of the {shape} is {}; from {} to {} is accepted.",
                Digits(value),
                Digits(least),
                Digits(most)
            ),
            Self::BeyondBore { shape, across_mm, bore_mm } => write!(
                f,
                "The plan of the {shape} reaches {} mm across, {} mm more than the bore of {} mm. Make it \
                 narrower, shorter or rounder.",
                Digits(across_mm),
                Digits(across_mm - bore_mm),
                Digits(bore_mm)
            ),
            Self::StepTakesAll { chamber_cc, slice_cc, head_step_mm, most_step_mm } => write!(
                f,
                "The head step of {} mm alone holds {} cc over the bore, {} cc more than the chamber volume \
                 of {} cc. With that volume a head step up to {} mm is possible.",
                Digits(head_step_mm),
                Digits(slice_cc),
                Digits(slice_cc - chamber_cc),
                Digits(chamber_cc),
                Digits(most_step_mm)
            ),
            Self::TooMuch { shape, volume_cc, most_cc, opening_mm, needed_opening_mm } => write!(
                f,
                "A {shape} with an opening of {} mm holds at most {} cc; {} cc is {} cc too much. An opening \
                 of {} mm or more holds it.",
                Digits(opening_mm),
                Digits(most_cc),
                Digits(volume_cc),
                Digits(volume_cc - most_cc),
                Digits(needed_opening_mm)
            ),
            Self::TooLittle { shape, volume_cc, least_cc, fillet_mm, most_fillet_mm } => write!(
                f,
                "A {shape} with a fillet of {} mm holds at least {} cc; {} cc is {} cc too little. A fillet \
                 up to {} mm fits.",
                Digits(fillet_mm),
                Digits(least_cc),
                Digits(volume_cc),
                Digits(least_cc - volume_cc),
                Digits(most_fillet_mm)
            ),
            Self::TooLarge { what, mm, most_mm } => write!(
                f,
                "The {what} is {} mm, too large to draw: a drawing is made up to {} m of any length. The \
                 figures hold at any size.",
                Digits(mm),
                most_mm / 1000.0
            ),
            Self::Sign { shape, crown_cc } if crown_cc > 0.0 => write!(
                f,
                "The crown volume of {} cc is that of a dish; a {shape} does not give volume. Choose a dish \
                 or a bowl.",
                Digits(crown_cc)
            ),
            Self::Sign { shape, crown_cc } => write!(
                f,
                "The crown volume of {} cc is that of a dome; a {shape} does not take volume. Choose a dome.",
                Digits(crown_cc)
            ),
        }
    }
}

impl std::error::Error for SolidFault {}

impl SolidFault {
    /// Refuses a length or volume that is not finite or not above 0.
    pub(super) fn positive(what: &'static str, value: f64, unit: &'static str) -> Result<(), Self> {
        if value.is_finite() && value > 0.0 {
            return Ok(());
        }
        Err(Self::Number { what, value, unit, allowed: "a number above 0" })
    }

    /// Refuses a length or volume that is not finite or below 0.
    pub(super) fn not_negative(what: &'static str, value: f64, unit: &'static str) -> Result<(), Self> {
        if value.is_finite() && value >= 0.0 {
            return Ok(());
        }
        Err(Self::Number { what, value, unit, allowed: "0 or more" })
    }

    /// Refuses a number that is not finite.
    pub(super) fn finite(what: &'static str, value: f64, unit: &'static str) -> Result<(), Self> {
        if value.is_finite() {
            return Ok(());
        }
        Err(Self::Number { what, value, unit, allowed: "a finite number" })
    }

    /// Refuses a proportion outside `least..=most`.
    pub(super) fn proportion(
        shape: &'static str,
        what: &'static str,
        value: f64,
        least: f64,
        most: f64,
    ) -> Result<(), Self> {
        if (least..=most).contains(&value) {
            return Ok(());
        }
        Err(Self::Proportion { shape, what, value, least, most })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_says_what_by_how_much_and_what_would_do() {
        let fault = SolidFault::TooMuch {
            shape: "spherical cap",
            volume_cc: 60.0,
            most_cc: 16.75,
            opening_mm: 40.0,
            needed_opening_mm: 61.2,
        };
        assert_eq!(
            fault.to_string(),
            "A spherical cap with an opening of 40.00 mm holds at most 16.75 cc; 60.00 cc is 43.25 cc too \
             much. An opening of 61.20 mm or more holds it."
        );
        let fault = SolidFault::Sign { shape: "dish", crown_cc: -18.0 };
        assert!(fault.to_string().contains("−18.00 cc is that of a dome"), "{fault}");
    }

    #[test]
    fn digits_stay_readable_at_any_size() {
        let text = |x: f64| Digits(x).to_string();
        assert_eq!((text(0.0), text(0.85), text(97.85)), ("0".into(), "0.8500".into(), "97.85".into()));
        assert_eq!(
            (text(6.1e-7), text(-1_234.0), text(1.5e8)),
            ("6.100e-7".into(), "−1234".into(), "1.500e8".into())
        );
    }
}
