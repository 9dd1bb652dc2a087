//! What the engine is asked to do, for the proposed limits, the sanity checks
//! and the binder.

use serde::{Deserialize, Serialize};

/// How hard the engine works.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Usage {
    /// Slow and steady: pumps, generators, old stationary engines.
    Stationary,
    /// Road and field.
    #[default]
    Road,
    /// Competition.
    Race,
}

impl Usage {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Road, Self::Race, Self::Stationary];

    /// Its name in the file and after `--set use=`.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Road => "road",
            Self::Race => "race",
            Self::Stationary => "stationary",
        }
    }

    /// The use with this name.
    #[must_use]
    pub(crate) fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|usage| usage.id() == id)
    }

    /// What it is called on a screen.
    #[must_use]
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Road => "road or field",
            Self::Race => "race",
            Self::Stationary => "stationary",
        }
    }
}

/// What the engine is asked to do.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Duty {
    /// How hard it works; none where nobody said.
    #[serde(rename = "use", skip_serializing_if = "Option::is_none")]
    pub usage: Option<Usage>,
    /// Revolutions per minute at which it works.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rated_rpm: Option<f64>,
    /// Revolutions per minute that are never passed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_rpm: Option<f64>,
    /// The fuel in words, with its octane number and how that is counted.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub fuel: String,
    /// Piston, rings, pin and the small end of the rod of one cylinder, kg.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reciprocating_mass_kg: Option<f64>,
    /// The connecting rod.
    #[serde(skip_serializing_if = "Rod::is_unknown")]
    pub rod: Rod,
}

/// What the stretch of a connecting rod depends on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Rod {
    /// What it is made of.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub material: String,
    /// Young's modulus in GPa.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub modulus_gpa: Option<f64>,
    /// The cross-section of the shank in mm².
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shank_area_mm2: Option<f64>,
}

impl Rod {
    /// Whether nothing is known about it.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        *self == Self::default()
    }
}

impl Duty {
    /// Its numbers, with their name in a sentence.
    #[must_use]
    pub fn numbers(&self) -> [(&'static str, Option<f64>); 5] {
        [
            ("rated speed", self.rated_rpm),
            ("greatest speed", self.max_rpm),
            ("reciprocating mass", self.reciprocating_mass_kg),
            ("Young's modulus of the rod", self.rod.modulus_gpa),
            ("cross-section of the rod", self.rod.shank_area_mm2),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_use_has_one_name_in_the_file_and_on_the_command_line() {
        for usage in Usage::ALL {
            assert_eq!(ron::to_string(&usage).unwrap(), usage.id());
            assert_eq!(Usage::from_id(usage.id()), Some(usage));
        }
        assert_eq!(Usage::from_id("racing"), None);
    }
}
