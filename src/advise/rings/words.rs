//! Rings in sentences, in the user's units.

use super::answer::{GapAnswer, RingFault};
use super::filing::Verdict;
use super::gap::{GapRule, gap_after};
use crate::quantity::{Kind, UnitChoice, write};

fn length(mm: f64, units: &UnitChoice) -> String {
    write(Kind::Length, mm, None, units).to_string()
}

impl GapRule {
    /// Returns the source of the wanted gap: "bore × 0.0045", "at least 0.38
    /// mm", "0.40 mm, the maker's figure".
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
    /// Returns what is to be done, in one sentence.
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

/// A verdict in a word, a figure and its reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recommendation {
    /// "file", "leave it", "too wide by".
    pub word: &'static str,
    /// The amount, with its unit; empty where there is none.
    pub amount: String,
    /// "0.30 to 0.39".
    pub rest: String,
}

impl GapAnswer {
    /// Returns what is to be done, as it can be read at arm's length.
    ///
    /// ```
    /// let study = crowndeck::project::demo().ring_study();
    /// let told = study.gap(0, "1").unwrap().told(&Default::default());
    /// assert_eq!((told.word, told.amount.as_str(), told.rest.as_str()), ("file", "0.13 mm", "0.23 to 0.36"));
    /// ```
    #[must_use]
    pub fn told(&self, units: &UnitChoice) -> Recommendation {
        let text = |mm: f64| length(mm, units);
        let bare = |mm: f64| write(Kind::Length, mm, None, units).number;
        let now = self.now.map_or_else(String::new, |(_, mm)| bare(mm));
        let told = |word, amount, rest| Recommendation { word, amount, rest };
        if let (Some(_), Some(doubt)) = (self.may_be_short_mm(), self.stages.doubt_mm) {
            let rest = format!("{now} ± {}, wanted {}", bare(doubt), bare(self.wanted_mm));
            return told("too near to call", String::new(), rest);
        }
        match self.verdict {
            Verdict::Unmeasured => {
                let rest = self.expected_to_file_mm.filter(|mm| *mm > 0.0);
                let rest = rest.map_or_else(String::new, |mm| format!("as sold about {} to file", text(mm)));
                told("measure it", String::new(), rest)
            }
            Verdict::File { remove_mm, .. } => {
                told("file", text(remove_mm), format!("{now} to {}", bare(self.wanted_mm)))
            }
            Verdict::TooTight { short_mm } => {
                told("too tight by", text(short_mm), format!("{now}, at least {}", bare(self.wanted_mm)))
            }
            Verdict::Leave { .. } => {
                let wanted = if self.at_least { "at least" } else { "wanted" };
                told("leave it", String::new(), format!("{now}, {wanted} {}", bare(self.wanted_mm)))
            }
            Verdict::TooWide { over_mm, widest_mm } => {
                told("too wide by", text(over_mm), format!("{now}, used up to {}", bare(widest_mm)))
            }
        }
    }

    /// Returns the gap converted to the width of bore that counts, where it was
    /// read at another width; otherwise `None`.
    #[must_use]
    pub fn elsewhere(&self, units: &UnitChoice) -> Option<String> {
        let there_mm = self.stages.read_where_mm.filter(|mm| (mm - self.bore_mm).abs() > 1e-9)?;
        let (_, read_mm) = self.stages.now()?;
        let (_, here_mm) = self.now?;
        let text = |mm: f64| length(mm, units);
        Some(format!(
            "{} read where the bore is {} is {} where it is {}: a gap changes by π times the bore.",
            text(read_mm),
            text(there_mm),
            text(here_mm),
            text(self.bore_mm)
        ))
    }
}

/// Returns the effect of wear or taper on a gap, with the figures of one bench
/// step.
#[must_use]
pub(crate) fn wear_sentence(units: &UnitChoice) -> String {
    let step = if units.unit(Kind::Length).symbol() == "mm" { 0.01 } else { 0.0254 };
    format!(
        "Where the bore is {} wider, a gap is {} wider. In a worn or tapered bore say how wide it is where you read; \
         gap and verdict are told for the bore that counts.",
        length(step, units),
        length(gap_after(0.0, step), units)
    )
}

impl RingFault {
    /// Returns the fault and what would be accepted, as a sentence.
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

#[cfg(test)]
mod tests {
    use super::super::answer::{Bore, RingInput, Stages, answers};
    use super::*;

    fn gap(wanted: GapRule, mm: Option<f64>, read_where_mm: Option<f64>) -> GapAnswer {
        let stages = Stages { cylinder: "1".into(), delivered_mm: mm, read_where_mm, ..Stages::default() };
        let ring =
            RingInput { name: "top".into(), wanted, sold_mm: None, per_kelvin: None, stages: vec![stages] };
        let bore = Bore { cylinder: "1".into(), mm: Some(86.0), per_kelvin: None };
        answers(&[ring], &[bore], None).unwrap()[0].gaps[0].clone()
    }

    #[test]
    fn too_wide_is_told_as_well_as_too_tight() {
        let mm = UnitChoice::default();
        let told = |wanted, gap_mm| {
            let told = gap(wanted, gap_mm, None).told(&mm);
            format!("{} {}; {}", told.word, told.amount, told.rest)
        };
        let wanted = GapRule::Figure(0.40);
        assert_eq!(told(wanted, None), "measure it ; ");
        assert_eq!(told(wanted, Some(0.30)), "file 0.10 mm; 0.30 to 0.40");
        assert_eq!(told(wanted, Some(0.45)), "leave it ; 0.45, wanted 0.40");
        // 1.5 × 0.40 = 0.60 is the widest that is used.
        assert_eq!(told(wanted, Some(0.70)), "too wide by 0.10 mm; 0.70, used up to 0.60");
        assert_eq!(told(GapRule::AtLeast(0.38), Some(0.43)), "leave it ; 0.43, at least 0.38");
        assert_eq!(told(GapRule::AtLeast(0.38), Some(0.30)), "too tight by 0.08 mm; 0.30, at least 0.38");
    }

    #[test]
    fn a_gap_read_at_one_width_is_told_at_another() {
        let mm = UnitChoice::default();
        // 0.42 − π·0.02 = 0.357.
        let worn = gap(GapRule::Figure(0.40), Some(0.42), Some(86.02));
        assert_eq!(
            worn.elsewhere(&mm).as_deref(),
            Some(
                "0.42 mm read where the bore is 86.02 mm is 0.36 mm where it is 86.00 mm: a gap changes by π times the bore."
            )
        );
        assert_eq!(gap(GapRule::Figure(0.40), Some(0.42), None).elsewhere(&mm), None);
        assert!(wear_sentence(&mm).starts_with("Where the bore is 0.01 mm wider, a gap is 0.03 mm wider."));
    }
}
