//! The list of limits that a person can give, so that a screen walks it and
//! an edit names one of them.

use super::limits::{COMMON_PRACTICE, Limit, Limits};
use crate::quantity::{Kind, Quantity, QuantityError, Unit};
use crate::schema::limit::LimitId;

/// A limit that a person can give.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LimitName {
    /// The ratio wanted.
    TargetRatio,
    /// How far a cylinder may be from it.
    RatioTolerance,
    /// The greatest static ratio for the fuel.
    RatioCeiling,
    /// The greatest effective or trapped ratio.
    EffectiveCeiling,
    /// The greatest difference of ratio between cylinders.
    RatioSpread,
    /// The least squish.
    SquishMin,
    /// The greatest squish.
    SquishMax,
    /// How far the barrel tops under one head may differ.
    Level,
    /// The greatest difference of chamber volume between cylinders.
    ChamberSpread,
    /// The least gap to the intake valve.
    IntakeValveMin,
    /// The least gap to the exhaust valve.
    ExhaustValveMin,
    /// The fewest pieces under a barrel.
    PiecesMin,
    /// The most pieces under a barrel.
    PiecesMax,
    /// The most soft pieces under a barrel.
    SoftPiecesMax,
    /// The greatest mean piston speed.
    PistonSpeed,
}

/// What a limit is given as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A length or a volume, with its unit.
    Of(Kind),
    /// A ratio or a difference of ratios.
    Ratio,
    /// Metres per second.
    Speed,
    /// A count of pieces.
    Count,
}

/// A limit as a person gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimitText {
    /// The value as typed: "1.0 mm", "9,3", "2".
    pub value: String,
    /// Who says so.
    pub source: String,
}

/// Why a text can't be a limit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LimitError {
    /// It is no length or volume.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// It is no number.
    #[error("‘{text}’ is no number")]
    NoNumber {
        /// What was typed.
        text: String,
    },
    /// It is a number that such a limit can't be.
    #[error("{} {text} is not {wanted}", .name.title())]
    Unfit {
        /// The limit.
        name: LimitName,
        /// What was typed.
        text: String,
        /// What would be taken: "above 1".
        wanted: &'static str,
    },
}

impl LimitError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Quantity(error) => error.hint(),
            Self::NoNumber { .. } => "type a number such as 9.3".into(),
            Self::Unfit { wanted, .. } => format!("give a number {wanted}"),
        }
    }
}

impl LimitName {
    /// All of them, in the order in which a person asks.
    pub const ALL: [Self; 15] = [
        Self::TargetRatio,
        Self::RatioTolerance,
        Self::RatioCeiling,
        Self::EffectiveCeiling,
        Self::RatioSpread,
        Self::SquishMin,
        Self::SquishMax,
        Self::Level,
        Self::ChamberSpread,
        Self::IntakeValveMin,
        Self::ExhaustValveMin,
        Self::PiecesMin,
        Self::PiecesMax,
        Self::SoftPiecesMax,
        Self::PistonSpeed,
    ];

    /// What it is judged as; none for what is no limit of its own.
    #[must_use]
    pub fn id(self) -> Option<LimitId> {
        Some(match self {
            Self::TargetRatio | Self::SoftPiecesMax => return None,
            Self::RatioTolerance => LimitId::RatioTolerance,
            Self::RatioCeiling => LimitId::RatioHigh,
            Self::EffectiveCeiling => LimitId::EffectiveHigh,
            Self::RatioSpread => LimitId::RatioSpread,
            Self::SquishMin => LimitId::SquishLow,
            Self::SquishMax => LimitId::SquishHigh,
            Self::Level => LimitId::Level,
            Self::ChamberSpread => LimitId::ChamberSpread,
            Self::IntakeValveMin => LimitId::ValveIntake,
            Self::ExhaustValveMin => LimitId::ValveExhaust,
            Self::PiecesMin => LimitId::PiecesLow,
            Self::PiecesMax => LimitId::PiecesHigh,
            Self::PistonSpeed => LimitId::PistonSpeed,
        })
    }

    /// The trade's name.
    #[must_use]
    pub fn title(self) -> &'static str {
        match (self, self.id()) {
            (Self::TargetRatio, _) => "Ratio wanted",
            (Self::SoftPiecesMax, _) => "Soft pieces under a barrel, at most",
            (_, Some(id)) => id.row().name,
            (_, None) => "Limit",
        }
    }

    /// What it guards against, in one sentence.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match (self, self.id()) {
            (Self::TargetRatio, _) => "The static ratio that the engine is built for.",
            (Self::SoftPiecesMax, _) => "Soft gaskets settle one on the other, and the barrel works loose.",
            (_, Some(id)) => id.row().meaning,
            (_, None) => "",
        }
    }

    /// What it is given as.
    #[must_use]
    pub fn form(self) -> Form {
        match self {
            Self::TargetRatio
            | Self::RatioTolerance
            | Self::RatioCeiling
            | Self::EffectiveCeiling
            | Self::RatioSpread => Form::Ratio,
            Self::SquishMin
            | Self::SquishMax
            | Self::Level
            | Self::IntakeValveMin
            | Self::ExhaustValveMin => Form::Of(Kind::Length),
            Self::ChamberSpread => Form::Of(Kind::Volume),
            Self::PiecesMin | Self::PiecesMax | Self::SoftPiecesMax => Form::Count,
            Self::PistonSpeed => Form::Speed,
        }
    }
}

/// A limit of a project, whatever it is given as.
enum Slot<'a> {
    Quantity(&'a mut Option<Limit<Quantity>>),
    Number(&'a mut Option<Limit<f64>>),
    Count(&'a mut Option<Limit<u32>>),
}

fn shown<T>(limit: Option<&Limit<T>>, text: impl Fn(&T) -> String) -> Option<LimitText> {
    limit.map(|limit| LimitText { value: text(&limit.value), source: limit.source.clone() })
}

impl Limits {
    /// A limit as it was given; none while it is off.
    #[must_use]
    pub fn text(&self, name: LimitName) -> Option<LimitText> {
        let quantity = |l: &Option<Limit<Quantity>>| shown(l.as_ref(), |q| q.text().to_owned());
        let number = |l: &Option<Limit<f64>>| shown(l.as_ref(), f64::to_string);
        let count = |l: &Option<Limit<u32>>| shown(l.as_ref(), u32::to_string);
        match name {
            LimitName::TargetRatio => number(&self.target_ratio),
            LimitName::RatioTolerance => number(&self.ratio_tolerance),
            LimitName::RatioCeiling => number(&self.ratio_ceiling),
            LimitName::EffectiveCeiling => number(&self.effective_ceiling),
            LimitName::RatioSpread => number(&self.ratio_spread),
            LimitName::SquishMin => quantity(&self.squish_min),
            LimitName::SquishMax => quantity(&self.squish_max),
            LimitName::Level => quantity(&self.level),
            LimitName::ChamberSpread => quantity(&self.chamber_spread),
            LimitName::IntakeValveMin => quantity(&self.intake_valve_min),
            LimitName::ExhaustValveMin => quantity(&self.exhaust_valve_min),
            LimitName::PiecesMin => count(&self.pieces_min),
            LimitName::PiecesMax => count(&self.pieces_max),
            LimitName::SoftPiecesMax => count(&self.soft_pieces_max),
            LimitName::PistonSpeed => number(&self.piston_speed),
        }
    }

    fn slot(&mut self, name: LimitName) -> Slot<'_> {
        match name {
            LimitName::TargetRatio => Slot::Number(&mut self.target_ratio),
            LimitName::RatioTolerance => Slot::Number(&mut self.ratio_tolerance),
            LimitName::RatioCeiling => Slot::Number(&mut self.ratio_ceiling),
            LimitName::EffectiveCeiling => Slot::Number(&mut self.effective_ceiling),
            LimitName::RatioSpread => Slot::Number(&mut self.ratio_spread),
            LimitName::SquishMin => Slot::Quantity(&mut self.squish_min),
            LimitName::SquishMax => Slot::Quantity(&mut self.squish_max),
            LimitName::Level => Slot::Quantity(&mut self.level),
            LimitName::ChamberSpread => Slot::Quantity(&mut self.chamber_spread),
            LimitName::IntakeValveMin => Slot::Quantity(&mut self.intake_valve_min),
            LimitName::ExhaustValveMin => Slot::Quantity(&mut self.exhaust_valve_min),
            LimitName::PiecesMin => Slot::Count(&mut self.pieces_min),
            LimitName::PiecesMax => Slot::Count(&mut self.pieces_max),
            LimitName::SoftPiecesMax => Slot::Count(&mut self.soft_pieces_max),
            LimitName::PistonSpeed => Slot::Number(&mut self.piston_speed),
        }
    }

    /// Gives a limit, or switches it off. An empty source stands for common
    /// practice.
    ///
    /// ```
    /// use crowndeck::schema::{LimitName, LimitText, Limits};
    /// let mut limits = Limits::default();
    /// let text = LimitText { value: "40 thou".into(), source: "maker's sheet".into() };
    /// limits.give(LimitName::SquishMin, Some(&text))?;
    /// assert_eq!(limits.text(LimitName::SquishMin), Some(text));
    /// # Ok::<(), crowndeck::schema::LimitError>(())
    /// ```
    ///
    /// # Errors
    /// When the text is nothing that such a limit can be; nothing has changed
    /// then.
    pub fn give(&mut self, name: LimitName, to: Option<&LimitText>) -> Result<(), LimitError> {
        let unfit = |text: &str, wanted| LimitError::Unfit { name, text: text.into(), wanted };
        let source = |text: &LimitText| {
            let source = text.source.trim();
            if source.is_empty() { COMMON_PRACTICE.to_owned() } else { source.to_owned() }
        };
        match (self.slot(name), to) {
            (Slot::Quantity(slot), None) => *slot = None,
            (Slot::Number(slot), None) => *slot = None,
            (Slot::Count(slot), None) => *slot = None,
            (Slot::Quantity(slot), Some(text)) => {
                let Form::Of(kind) = name.form() else { return Err(unfit(&text.value, "of its kind")) };
                let value = quantity(kind, &text.value)?;
                if value.base() < 0.0 {
                    return Err(unfit(&text.value, "0 or more"));
                }
                *slot = Some(Limit { value, source: source(text) });
            }
            (Slot::Number(slot), Some(text)) => {
                let value = number(&text.value)?;
                let ratio = matches!(
                    name,
                    LimitName::TargetRatio | LimitName::RatioCeiling | LimitName::EffectiveCeiling
                );
                match (ratio, value) {
                    (true, value) if value <= 1.0 => return Err(unfit(&text.value, "above 1")),
                    (false, value) if value <= 0.0 => return Err(unfit(&text.value, "above 0")),
                    _ => *slot = Some(Limit { value, source: source(text) }),
                }
            }
            (Slot::Count(slot), Some(text)) => {
                let value = text.value.trim().parse().map_err(|_| unfit(&text.value, "whole, 0 or more"))?;
                *slot = Some(Limit { value, source: source(text) });
            }
        }
        Ok(())
    }
}

/// A length or volume; without a unit it means the base unit.
fn quantity(kind: Kind, text: &str) -> Result<Quantity, QuantityError> {
    match Quantity::parse_with_unit(text) {
        Err(QuantityError::UnitMissing { .. }) => {
            let unit: Unit = kind.base_unit();
            Quantity::parse(kind, &format!("{text} {}", unit.symbol()))
        }
        Ok(_) | Err(_) => Quantity::parse(kind, text),
    }
}

/// A plain number, with a comma or a point.
fn number(text: &str) -> Result<f64, LimitError> {
    let plain = text.trim().replace(',', ".").replace('\u{2212}', "-");
    let value = plain.parse().ok().filter(|value: &f64| value.is_finite());
    value.ok_or_else(|| LimitError::NoNumber { text: text.trim().into() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(value: &str) -> LimitText {
        LimitText { value: value.into(), source: "maker's sheet".into() }
    }

    #[test]
    fn every_limit_is_given_read_back_and_switched_off() {
        for name in LimitName::ALL {
            let value = match name.form() {
                Form::Of(Kind::Volume) => "0.5 cc",
                Form::Of(_) => "43 thou",
                Form::Ratio => "9.3",
                Form::Speed => "18",
                Form::Count => "2",
            };
            let mut limits = Limits::default();
            limits.give(name, Some(&text(value))).unwrap();
            assert_eq!(limits.text(name), Some(text(value)), "{name:?}");
            let others = LimitName::ALL.iter().filter(|other| **other != name);
            assert!(others.into_iter().all(|other| limits.text(*other).is_none()), "{name:?}");
            limits.give(name, None).unwrap();
            assert_eq!(limits, Limits::default(), "{name:?}");
            assert!(name.meaning().ends_with('.'), "{name:?}");
        }
    }

    #[test]
    fn what_is_no_limit_is_refused_and_changes_nothing() {
        let mut limits = Limits::default();
        for (name, value, why) in [
            (LimitName::TargetRatio, "1", "Ratio wanted 1 is not above 1"),
            (LimitName::RatioTolerance, "0", "Ratio, from the wanted one 0 is not above 0"),
            (LimitName::TargetRatio, "nine", "‘nine’ is no number"),
            (LimitName::SquishMin, "-1 mm", "Squish, at least -1 mm is not 0 or more"),
            (LimitName::PiecesMax, "1.5", "Pieces under a barrel, at most 1.5 is not whole, 0 or more"),
        ] {
            let error = limits.give(name, Some(&text(value))).unwrap_err();
            assert_eq!(error.to_string(), why);
        }
        assert!(limits.give(LimitName::SquishMin, Some(&text("3 cc"))).is_err());
        assert_eq!(limits, Limits::default());
    }

    #[test]
    fn a_comma_is_a_decimal_mark_and_no_source_is_common_practice() {
        let mut limits = Limits::default();
        limits
            .give(LimitName::TargetRatio, Some(&LimitText { value: "9,3".into(), source: " ".into() }))
            .unwrap();
        let given = limits.target_ratio.unwrap();
        assert_eq!((given.value, given.source.as_str()), (9.3, COMMON_PRACTICE));
    }
}
