//! What the engine is asked to do, for the sanity checks and the binder.

use serde::{Deserialize, Serialize};

/// What the engine is asked to do.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Duty {
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
