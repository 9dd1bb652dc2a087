//! Limits: the user's to edit, each with its source; they warn and never
//! forbid.

use crate::quantity::Quantity;
use serde::{Deserialize, Serialize};

/// The source of a limit for which none was named.
pub(crate) const COMMON_PRACTICE: &str = "common practice";

/// One limit and where it comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limit<T> {
    /// The limit.
    pub value: T,
    /// Who says so: the maker's sheet, a machinist, the builder.
    #[serde(default = "common_practice", skip_serializing_if = "is_common_practice")]
    pub source: String,
}

impl<T> From<T> for Limit<T> {
    fn from(value: T) -> Self {
        Self { value, source: common_practice() }
    }
}

fn common_practice() -> String {
    COMMON_PRACTICE.into()
}

fn is_common_practice(source: &String) -> bool {
    source == COMMON_PRACTICE
}

/// The limits of a project. One that is absent is not judged.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Limits {
    /// The ratio wanted, above 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_ratio: Option<Limit<f64>>,
    /// How far a cylinder may be from it, either way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio_tolerance: Option<Limit<f64>>,
    /// The ratio that must not be passed with this fuel and cooling.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio_ceiling: Option<Limit<f64>>,
    /// The greatest ratio counted from intake or port closing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub effective_ceiling: Option<Limit<f64>>,
    /// How far the ratios of the cylinders may differ.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio_spread: Option<Limit<f64>>,
    /// The least gap between piston and head, a length.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub squish_min: Option<Limit<Quantity>>,
    /// The greatest gap between piston and head, a length.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub squish_max: Option<Limit<Quantity>>,
    /// How far the tops of the barrels under one head may differ, a length;
    /// a head may have its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub level: Option<Limit<Quantity>>,
    /// How far the chambers of the cylinders may differ, a volume.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chamber_spread: Option<Limit<Quantity>>,
    /// The fewest pieces under one barrel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pieces_min: Option<Limit<u32>>,
    /// The most pieces under one barrel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pieces_max: Option<Limit<u32>>,
    /// The most soft pieces under one barrel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub soft_pieces_max: Option<Limit<u32>>,
    /// The least gap between piston and intake valve, a length.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub intake_valve_min: Option<Limit<Quantity>>,
    /// The least gap between piston and exhaust valve, a length.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exhaust_valve_min: Option<Limit<Quantity>>,
    /// The greatest mean piston speed, m/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piston_speed: Option<Limit<f64>>,
}

impl Limits {
    /// The limits that are lengths, with their name in a sentence.
    #[must_use]
    pub fn lengths(&self) -> [(&'static str, Option<&Limit<Quantity>>); 5] {
        [
            ("least squish", self.squish_min.as_ref()),
            ("greatest squish", self.squish_max.as_ref()),
            ("level tolerance", self.level.as_ref()),
            ("least gap to the intake valve", self.intake_valve_min.as_ref()),
            ("least gap to the exhaust valve", self.exhaust_valve_min.as_ref()),
        ]
    }

    /// The limits that are plain numbers, with their name in a sentence.
    #[must_use]
    pub fn numbers(&self) -> [(&'static str, Option<&Limit<f64>>); 6] {
        [
            ("effective ratio ceiling", self.effective_ceiling.as_ref()),
            ("spread of the ratios", self.ratio_spread.as_ref()),
            ("mean piston speed", self.piston_speed.as_ref()),
            ("target ratio", self.target_ratio.as_ref()),
            ("ratio tolerance", self.ratio_tolerance.as_ref()),
            ("ratio ceiling", self.ratio_ceiling.as_ref()),
        ]
    }

    /// The limits that are counts of pieces, with their name in a sentence.
    #[must_use]
    pub fn counts(&self) -> [(&'static str, Option<&Limit<u32>>); 3] {
        [
            ("fewest pieces", self.pieces_min.as_ref()),
            ("most pieces", self.pieces_max.as_ref()),
            ("most soft pieces", self.soft_pieces_max.as_ref()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_without_a_source_is_common_practice() {
        let limits: Limits = ron::from_str("(squish_min: Some((value: \"1 mm\")))").unwrap();
        let limit = limits.squish_min.as_ref().unwrap();
        assert_eq!((limit.value.base(), limit.source.as_str()), (1.0, COMMON_PRACTICE));
        assert_eq!(ron::to_string(&limits).unwrap(), "(squish_min:Some((value:\"1 mm\")))");
    }
}
