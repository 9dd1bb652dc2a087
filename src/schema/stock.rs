//! The parts that a person can choose from.

use crate::quantity::Quantity;
use serde::{Deserialize, Serialize};

/// Base shims of one thickness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shim {
    /// The thickness of one, a length above 0; of a soft one, crushed.
    pub thickness: Quantity,
    /// How many are in the drawer.
    pub count: u32,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub material: String,
    /// Whether it gives under load, as paper or soft copper does.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub soft: bool,
}

/// How the shims are chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Choosing {
    /// What makes one choice better than another.
    pub aim: Aim,
    /// Where the limits are held.
    pub margin: Margin,
}

/// At which value a limit is held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Margin {
    /// At the values as they stand.
    #[default]
    None,
    /// At the unfavourable end of the expanded uncertainty of each figure.
    #[serde(rename = "doubt")]
    Uncertainty,
}

/// What makes one choice better than another, after every limit is held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Aim {
    /// The wanted ratio: the least worst distance from it.
    #[default]
    Ratio,
    /// Pistons alike: the least difference of deck clearance in the engine.
    EvenDeck,
    /// Cylinders alike: the least difference of static ratio in the engine.
    EvenRatio,
}

all!(pub Margin: None, Uncertainty);

impl Margin {
    /// The name on a screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::None => "At the values as they stand",
            Self::Uncertainty => "At the unfavourable end",
        }
    }
}

all!(pub Aim: Ratio, EvenDeck, EvenRatio);

impl Aim {
    /// The name on a screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ratio => "Nearest to the ratio",
            Self::EvenDeck => "Most even decks",
            Self::EvenRatio => "Most even ratios",
        }
    }
}

/// A head gasket that is to be had.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadGasket {
    /// What it is called.
    pub name: String,
    /// The crushed thickness, a length.
    pub crushed: Quantity,
    /// The thickness before it is crushed, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free: Option<Quantity>,
    /// The diameter of its hole, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bore: Option<Quantity>,
    /// The pistons that the maker's table gives it to, where gaskets are
    /// graded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub for_stand: Option<StandClass>,
}

/// The class of a graded head gasket: how far pistons may stand proud of the
/// block for it. Lengths; below 0 for a piston that stays below the face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandClass {
    /// From this stand on.
    pub from: Quantity,
    /// Up to this stand.
    pub to: Quantity,
}
