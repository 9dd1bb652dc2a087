//! The verdict on a figure: inside its limits, over, too near to call, or no
//! verdict at all. Nothing is ever called in order on a value that nobody
//! measured, nor beyond what the uncertainty allows.

use super::words;
use crate::engine::Key;
use crate::quantity::{UnitChoice, write};
use crate::schema::limit::{Judged, Measure};

/// Two values closer than this touch: a nanometre, far below any instrument
/// and far above the rounding of sums of a few hundred millimetres.
pub const TOUCH: f64 = 1e-9;

/// What can be said of a figure and its limits.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Inside its limits, with this much to the nearest one.
    Inside {
        /// Distance to the nearest limit, 0 or more.
        spare: f64,
    },
    /// A limit lies inside the uncertainty of the figure.
    TooNear,
    /// A limit is broken.
    Over {
        /// By how much, above 0.
        by: f64,
    },
    /// There is nothing to judge yet.
    Unknown {
        /// What is missing, as a clause: "until it is measured".
        why: String,
    },
}

impl Verdict {
    /// How bad it is, for sorting: a broken limit first, then one that is too
    /// near, then what is not known, then what is inside.
    #[must_use]
    pub fn severity(&self) -> u8 {
        match self {
            Self::Over { .. } => 3,
            Self::TooNear => 2,
            Self::Unknown { .. } => 1,
            Self::Inside { .. } => 0,
        }
    }

    /// Whether a limit is broken or may be.
    #[must_use]
    pub fn warns(&self) -> bool {
        matches!(self, Self::Over { .. } | Self::TooNear)
    }
}

/// Judges a figure by its limits; none where there is no limit.
///
/// `doubt` is the expanded uncertainty of the figure. `unmeasured` names the
/// dimensions that move the figure and were only assumed: with any of them a
/// broken limit is still told, and nothing else is.
///
/// ```
/// use crowndeck::study::verdict::{Verdict, judge};
/// assert_eq!(judge(0.07, None, Some(0.03), None, &[]), Some(Verdict::Over { by: 0.07 - 0.03 }));
/// assert_eq!(judge(9.14, Some(9.15), Some(9.45), Some(0.05), &[]), Some(Verdict::TooNear));
/// assert_eq!(judge(9.14, None, None, None, &[]), None);
/// ```
#[must_use]
pub fn judge(
    value: f64,
    low: Option<f64>,
    high: Option<f64>,
    doubt: Option<f64>,
    unmeasured: &[Key],
) -> Option<Verdict> {
    let spare = match (low.map(|low| value - low), high.map(|high| high - value)) {
        (Some(above), Some(below)) => above.min(below),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return None,
    };
    let doubt = doubt.unwrap_or(0.0).max(0.0);
    let broken = spare < -doubt - TOUCH;
    Some(if broken {
        Verdict::Over { by: -spare }
    } else if !unmeasured.is_empty() {
        Verdict::Unknown { why: until_measured(unmeasured) }
    } else if doubt > 0.0 && spare <= doubt {
        Verdict::TooNear
    } else {
        Verdict::Inside { spare: spare.max(0.0) }
    })
}

/// "until rod length and case height are measured".
fn until_measured(keys: &[Key]) -> String {
    let names: Vec<String> = keys.iter().map(|key| key.name().to_lowercase()).collect();
    let verb = if names.len() == 1 { "is" } else { "are" };
    format!("until {} {verb} measured", words::list(&names))
}

/// What a judged figure belongs to, by its place in the question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Subject {
    /// The whole engine.
    Engine,
    /// A head.
    Head(usize),
    /// A cylinder.
    Cylinder(usize),
}

/// A figure with its limits and the verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// What was judged.
    pub what: Judged,
    /// What it belongs to.
    pub subject: Subject,
    /// The figure in its base unit; none where nobody measured it.
    pub value: Option<f64>,
    /// Its expanded uncertainty, where known.
    pub doubt: Option<f64>,
    /// The least allowed.
    pub low: Option<f64>,
    /// The most allowed.
    pub high: Option<f64>,
    /// The verdict.
    pub verdict: Verdict,
    /// Where the limits come from.
    pub source: String,
}

impl Judgement {
    /// The figure with its unit, "not measured" where there is none; where its
    /// doubt decides the verdict, with the doubt: "0.93 mm ±0.05".
    #[must_use]
    pub fn value_text(&self, units: &UnitChoice) -> String {
        let measure = self.what.row().measure;
        match (self.value, self.doubt) {
            (None, _) => "not measured".to_owned(),
            (Some(value), Some(doubt)) if self.verdict == Verdict::TooNear => {
                doubted(measure, value, doubt, units)
            }
            (Some(value), _) => written(measure, value, units, true),
        }
    }

    /// What may be, where a limit lies inside the doubt: "may be below 0.90",
    /// judged at the unfavourable end.
    #[must_use]
    pub fn may_text(&self, units: &UnitChoice) -> Option<String> {
        let (value, doubt) = (self.value?, self.doubt?);
        let number = |v| written(self.what.row().measure, v, units, false);
        let low = self.low.filter(|low| value - doubt <= *low).map(|low| format!("below {}", number(low)));
        let high =
            self.high.filter(|high| value + doubt >= *high).map(|high| format!("above {}", number(high)));
        let sides: Vec<String> = low.into_iter().chain(high).collect();
        (self.verdict == Verdict::TooNear && !sides.is_empty())
            .then(|| format!("may be {}", sides.join(" or ")))
    }

    /// The limits: "0.90 to 1.50", "at most 0.03", "at least 1.50".
    #[must_use]
    pub fn limit_text(&self, units: &UnitChoice) -> String {
        let number = |v| written(self.what.row().measure, v, units, false);
        match (self.low, self.high) {
            (Some(low), Some(high)) => format!("{} to {}", number(low), number(high)),
            (Some(low), None) => format!("at least {}", number(low)),
            (None, Some(high)) => format!("at most {}", number(high)),
            (None, None) => "no limit".to_owned(),
        }
    }

    /// The verdict in words: "0.08 to spare", "0.04 over", "0.06 under", "too
    /// near to call", "no verdict until it is measured".
    #[must_use]
    pub fn verdict_text(&self, units: &UnitChoice) -> String {
        let number = |v| written(self.what.row().measure, v, units, false);
        let vanishes = |text: &str| text.chars().all(|c| matches!(c, '0' | '.'));
        match &self.verdict {
            Verdict::Inside { spare } => {
                let spare = number(*spare);
                if vanishes(&spare) { "nothing to spare".to_owned() } else { format!("{spare} to spare") }
            }
            Verdict::TooNear => "too near to call".to_owned(),
            Verdict::Over { by } => {
                let below = matches!((self.value, self.low), (Some(value), Some(low)) if value < low);
                let side = if below { "under" } else { "over" };
                let by = number(*by);
                if vanishes(&by) { format!("just {side}") } else { format!("{by} {side}") }
            }
            Verdict::Unknown { why } => format!("no verdict {why}"),
        }
    }

    /// The verdict, and what may be: "too near to call: may be below 0.90".
    #[must_use]
    pub fn long_verdict(&self, units: &UnitChoice) -> String {
        let verdict = self.verdict_text(units);
        self.may_text(units).map_or(verdict.clone(), |may| format!("{verdict}: {may}"))
    }

    /// All of it in one line: "Level 0.07 mm, 0.04 over: at most 0.03 (common
    /// practice)"; "Squish 0.93 mm ±0.05, too near to call: may be below 0.90
    /// (common practice)".
    #[must_use]
    pub fn sentence(&self, units: &UnitChoice) -> String {
        format!(
            "{} {}, {}: {} ({})",
            self.what.name(),
            self.value_text(units),
            self.verdict_text(units),
            self.may_text(units).unwrap_or_else(|| self.limit_text(units)),
            self.source
        )
    }
}

/// A value and its doubt in the user's unit, no more digits than the doubt
/// allows.
fn doubted(measure: Measure, value: f64, doubt: f64, units: &UnitChoice) -> String {
    let plain = |most: u8, unit: &str| {
        let decimals = words::decimals_for(doubt, most);
        format!("{}{unit} {}", words::plain(value, decimals), words::plus_minus(doubt, decimals))
    };
    match measure {
        Measure::Of(kind) => words::with_doubt(kind, value, Some(doubt), units),
        Measure::Ratio => plain(2, ""),
        Measure::Speed => plain(1, " m/s"),
        Measure::Count => plain(0, ""),
    }
}

/// A value in the user's unit, with or without the unit.
pub(crate) fn written(measure: Measure, value: f64, units: &UnitChoice, unit: bool) -> String {
    match measure {
        Measure::Of(kind) => {
            let written = write(kind, value, None, units);
            if unit { written.to_string() } else { written.number }
        }
        Measure::Ratio => words::plain(value, 2),
        Measure::Speed if unit => format!("{} m/s", words::plain(value, 1)),
        Measure::Speed => words::plain(value, 1),
        Measure::Count => words::plain(value, 0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(
        what: Judged,
        value: f64,
        low: Option<f64>,
        high: Option<f64>,
        doubt: Option<f64>,
    ) -> Judgement {
        Judgement {
            what,
            subject: Subject::Engine,
            value: Some(value),
            doubt,
            low,
            high,
            verdict: judge(value, low, high, doubt, &[]).expect("limits"),
            source: "common practice".into(),
        }
    }

    /// The four verdicts as look and wording have them.
    #[test]
    fn verdicts_are_told_in_plain_words() {
        let mm = UnitChoice::default();
        let text = |j: &Judgement| j.verdict_text(&mm);
        assert_eq!(text(&judged(Judged::Level, 0.07, None, Some(0.03), None)), "0.04 over");
        assert_eq!(text(&judged(Judged::Squish, 0.98, Some(0.9), Some(1.5), Some(0.02))), "0.08 to spare");
        assert_eq!(text(&judged(Judged::Squish, 0.84, Some(0.9), Some(1.5), None)), "0.06 under");
        assert_eq!(
            text(&judged(Judged::RatioWanted, 9.14, Some(9.15), Some(9.45), Some(0.05))),
            "too near to call"
        );
        let near = judged(Judged::Squish, 0.93, Some(0.9), Some(1.5), Some(0.05));
        assert_eq!(
            near.sentence(&mm),
            "Squish 0.93 mm ±0.05, too near to call: may be below 0.90 (common practice)"
        );
        let wide = judged(Judged::RatioWanted, 9.3, Some(9.15), Some(9.45), Some(0.2));
        assert_eq!(wide.value_text(&mm), "9.3 ±0.2");
        assert_eq!(wide.long_verdict(&mm), "too near to call: may be below 9.15 or above 9.45");
        assert_eq!(text(&judged(Judged::Level, 0.0301, None, Some(0.03), None)), "just over");
        assert_eq!(
            judged(Judged::Level, 0.07, None, Some(0.03), None).sentence(&mm),
            "Level 0.07 mm, 0.04 over: at most 0.03 (common practice)"
        );
    }

    #[test]
    fn a_value_on_its_limit_is_inside_whatever_the_rounding_of_the_sum() {
        let level = (104.44 + 0.3 + 97.81) - (104.44 + 0.25 + 97.81);
        assert!(level > 0.05, "the sum must lie beyond for the test to mean something: {level}");
        assert_eq!(judge(level, None, Some(0.05), None, &[]), Some(Verdict::Inside { spare: 0.0 }));
    }

    #[test]
    fn a_limit_inside_the_uncertainty_is_too_near_from_both_sides() {
        for value in [0.88, 0.90, 0.92] {
            assert_eq!(judge(value, Some(0.9), None, Some(0.021), &[]), Some(Verdict::TooNear), "{value}");
        }
        assert!(matches!(judge(0.87, Some(0.9), None, Some(0.021), &[]), Some(Verdict::Over { .. })));
        assert!(matches!(judge(0.93, Some(0.9), None, Some(0.021), &[]), Some(Verdict::Inside { .. })));
    }

    #[test]
    fn nothing_assumed_is_called_inside_but_contact_is_told() {
        let keys = [Key::RodLength, Key::CaseHeight];
        let inside = judge(1.2, Some(0.9), None, None, &keys);
        assert_eq!(
            inside,
            Some(Verdict::Unknown { why: "until rod length and case height are measured".into() })
        );
        assert_eq!(judge(0.9, Some(0.9), None, Some(0.1), &keys[..1]).map(|v| v.severity()), Some(1));
        assert!(matches!(judge(0.5, Some(0.9), None, None, &keys), Some(Verdict::Over { .. })));
    }
}
