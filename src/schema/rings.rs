//! The rings of one piston and what became of them in each bore.

use crate::quantity::Quantity;
use serde::{Deserialize, Serialize};

/// One ring of the set, the same for every piston.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ring {
    /// Which ring it is: "top", "second", "oil rail".
    pub name: String,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub material: String,
    /// The end gap that is wanted.
    pub wanted: WantedGap,
    /// Who says so.
    #[serde(default = "common_practice")]
    pub source: String,
    /// The end gap that the set is sold with, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supplied_gap: Option<Quantity>,
    /// The axial clearance in its groove, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side_clearance: Option<Quantity>,
    /// The room behind it when its face is flush with the land, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub back_clearance: Option<Quantity>,
    /// How tall it is along the bore, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Quantity>,
    /// How thick it is from its face to its back, a length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Quantity>,
    /// Where the peg stands that keeps it from turning: an angle from the
    /// front end of the piston pin, clockwise as the piston is seen from above.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub peg: Option<Quantity>,
    /// Each in its own bore.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fitted: Vec<FittedRing>,
}

impl Ring {
    /// What it is called where it stands alone: "Top ring", "Oil rail".
    #[must_use]
    pub fn title(&self) -> String {
        let named = ["ring", "rail", "scraper"].iter().any(|word| self.name.to_lowercase().contains(word));
        let name = if named { self.name.clone() } else { format!("{} ring", self.name) };
        let mut letters = name.chars();
        letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
    }
}

fn common_practice() -> String {
    super::limit::COMMON_PRACTICE.into()
}

/// The end gap that is wanted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WantedGap {
    /// This times the bore.
    PerBore(f64),
    /// Not less than this; not filed beyond it.
    AtLeast(Quantity),
    /// The maker's figure.
    Figure(Quantity),
}

/// One ring in its own bore: the end gap at each stage, a length.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FittedRing {
    /// The label of the cylinder.
    pub cylinder: String,
    /// As it came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delivered: Option<Quantity>,
    /// After the last filing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filed: Option<Quantity>,
    /// As it was assembled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitted: Option<Quantity>,
    /// The id of the instrument that these gaps were read with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// How wide the bore is where they were read, a length; where the bore is
    /// worn or tapered the gap is another one at the width that counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_where: Option<Quantity>,
    /// How far below the top of the bore they were read, a length; for the
    /// record, so that the same place is found again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Quantity>,
}
