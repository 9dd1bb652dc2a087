//! Limits as a person gives them: a text, read in the form of the limit.

use super::given::{COMMON_PRACTICE, Limit, LimitValue, Limits};
use super::row::Measure;
use super::table::LimitId;
use crate::quantity::{Kind, Quantity, QuantityError, Unit};

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
    #[error("{} {text} is not {wanted}", .id.row().name)]
    Unfit {
        /// The limit.
        id: LimitId,
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

impl Limits {
    /// A limit as it was given; none while it is off.
    #[must_use]
    pub fn text(&self, id: LimitId) -> Option<LimitText> {
        let limit = self.get(id)?;
        Some(LimitText { value: limit.value.to_string(), source: limit.source.clone() })
    }

    /// Gives a limit, or switches it off. An empty source stands for common
    /// practice.
    ///
    /// ```
    /// use crowndeck::schema::limit::{LimitId, LimitText, Limits};
    /// let mut limits = Limits::default();
    /// let text = LimitText { value: "40 thou".into(), source: "maker's sheet".into() };
    /// limits.give(LimitId::SquishMin, Some(&text))?;
    /// assert_eq!(limits.text(LimitId::SquishMin), Some(text));
    /// # Ok::<(), crowndeck::schema::limit::LimitError>(())
    /// ```
    ///
    /// # Errors
    /// When the text is nothing that such a limit can be; nothing has changed
    /// then.
    pub fn give(&mut self, id: LimitId, to: Option<&LimitText>) -> Result<(), LimitError> {
        let limit = to.map(|text| limit(id, text)).transpose()?;
        self.set(id, limit);
        Ok(())
    }
}

/// The limit that a text gives.
fn limit(id: LimitId, text: &LimitText) -> Result<Limit, LimitError> {
    let unfit = |wanted| LimitError::Unfit { id, text: text.value.clone(), wanted };
    let value = match id.measure() {
        Measure::Of(kind) => match quantity(kind, &text.value)? {
            below if below.base() < 0.0 => return Err(unfit("0 or more")),
            value => LimitValue::Quantity(value),
        },
        Measure::Ratio | Measure::Speed => match (id.is_whole_ratio(), number(&text.value)?) {
            (true, value) if value <= 1.0 => return Err(unfit("above 1")),
            (false, value) if value <= 0.0 => return Err(unfit("above 0")),
            (_, value) => LimitValue::Number(value),
        },
        Measure::Count => {
            LimitValue::Count(text.value.trim().parse().map_err(|_| unfit("whole, 0 or more"))?)
        }
    };
    let source = text.source.trim();
    let source = if source.is_empty() { COMMON_PRACTICE } else { source };
    Ok(Limit { value, source: source.to_owned() })
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
        for name in LimitId::in_file() {
            let value = match name.measure() {
                Measure::Of(Kind::Volume) => "0.5 cc",
                Measure::Of(_) => "43 thou",
                Measure::Ratio => "9.3",
                Measure::Speed => "18",
                Measure::Count => "2",
            };
            let mut limits = Limits::default();
            limits.give(name, Some(&text(value))).unwrap();
            assert_eq!(limits.text(name), Some(text(value)), "{name:?}");
            let others = LimitId::in_file().filter(|other| *other != name);
            assert!(others.into_iter().all(|other| limits.text(other).is_none()), "{name:?}");
            limits.give(name, None).unwrap();
            assert_eq!(limits, Limits::default(), "{name:?}");
        }
    }

    #[test]
    fn what_is_no_limit_is_refused_and_changes_nothing() {
        let mut limits = Limits::default();
        for (name, value, why) in [
            (LimitId::TargetRatio, "1", "Ratio wanted 1 is not above 1"),
            (LimitId::RatioTolerance, "0", "Ratio, from the wanted one 0 is not above 0"),
            (LimitId::TargetRatio, "nine", "‘nine’ is no number"),
            (LimitId::SquishMin, "-1 mm", "Squish, at least -1 mm is not 0 or more"),
            (LimitId::PiecesMax, "1.5", "Pieces under a barrel, at most 1.5 is not whole, 0 or more"),
        ] {
            let error = limits.give(name, Some(&text(value))).unwrap_err();
            assert_eq!(error.to_string(), why);
        }
        assert!(limits.give(LimitId::SquishMin, Some(&text("3 cc"))).is_err());
        assert_eq!(limits, Limits::default());
    }

    #[test]
    fn a_comma_is_a_decimal_mark_and_no_source_is_common_practice() {
        let mut limits = Limits::default();
        limits
            .give(LimitId::TargetRatio, Some(&LimitText { value: "9,3".into(), source: " ".into() }))
            .unwrap();
        let given = limits.get(LimitId::TargetRatio).unwrap();
        assert_eq!((given.base(), given.source.as_str()), (9.3, COMMON_PRACTICE));
    }
}
