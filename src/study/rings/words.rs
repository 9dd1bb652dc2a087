//! Rings in sentences, in the units that the person reads.

use super::answer::{GapAnswer, RingFault};
use super::filing::Verdict;
use super::gap::Wanted;
use crate::quantity::{Kind, UnitChoice, write};

fn length(mm: f64, units: &UnitChoice) -> String {
    write(Kind::Length, mm, None, units).to_string()
}

impl Wanted {
    /// Where the wanted gap comes from: "bore × 0.0045", "at least 0.38 mm",
    /// "0.40 mm, the maker's figure".
    #[must_use]
    pub fn rule(self, units: &UnitChoice) -> String {
        match self {
            Self::PerBore(factor) => format!("bore × {factor:.4}"),
            Self::AtLeast(mm) => format!("at least {}", length(mm, units)),
            Self::Figure(mm) => format!("{}, the maker's figure", length(mm, units)),
        }
    }
}

impl GapAnswer {
    /// What is to be done, in one sentence.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        let text = |mm: f64| length(mm, units);
        if let (Some(short), Some(doubt)) = (self.may_be_short_mm(), self.stages.doubt_mm) {
            return format!(
                "Too near to call: read to ±{}, it may still be {} too tight. Measure again before it is left.",
                text(doubt),
                text(short)
            );
        }
        match self.verdict {
            Verdict::Unmeasured => match self.expected_to_file_mm {
                Some(mm) if mm > 0.0 => {
                    format!("Not measured in its bore. As sold it would need about {} filed.", text(mm))
                }
                _ => "Not measured in its bore.".to_owned(),
            },
            Verdict::File { remove_mm, next } if (next.stop_at_mm - self.wanted_mm).abs() < 1e-9 => {
                format!("File the last {}, to {}.", text(remove_mm), text(self.wanted_mm))
            }
            Verdict::File { remove_mm, next } => format!(
                "File {} in all, to {}. Next take {} off, stop at {} and measure.",
                text(remove_mm),
                text(self.wanted_mm),
                text(next.remove_mm),
                text(next.stop_at_mm)
            ),
            Verdict::TooTight { short_mm } => format!(
                "{} too tight for a ring that is not filed: ask the maker, or fit another.",
                text(short_mm)
            ),
            Verdict::Leave { .. } => "Leave it.".to_owned(),
            Verdict::TooWide { over_mm, widest_mm } => format!(
                "Too wide: {} beyond {}. It leaks and does no harm; a ring of the next size filed to fit is better.",
                text(over_mm),
                text(widest_mm)
            ),
        }
    }
}

impl RingFault {
    /// What is wrong and what would be accepted, as a sentence.
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        match self {
            Self::Wanted { ring, mm } => {
                format!(
                    "Ring {ring}: a wanted gap of {} can't be; accepted: above 0 and below a tenth of the bore.",
                    length(*mm, units)
                )
            }
            Self::Gap { ring, cylinder, mm } => format!(
                "Ring {ring}, cylinder {cylinder}: a gap of {} can't be; accepted: 0 or more and less than the ring is long.",
                length(*mm, units)
            ),
            Self::Bore { cylinder } => {
                format!("Cylinder {cylinder} has no bore: enter it, for a gap is wanted by the bore.")
            }
            Self::NoCylinder { ring, cylinder } => {
                format!("Ring {ring} names cylinder {cylinder}, which does not exist.")
            }
        }
    }
}
