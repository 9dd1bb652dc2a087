//! The engine and its parts as they were given.

use super::dimensions::{Dimensions, Entry, Origin};
use super::is_default;
use crate::engine::solid::{ChamberKind, CrownKind};
use crate::engine::{Absent, Dims, Key};
use crate::quantity::Quantity;
use serde::{Deserialize, Serialize};

/// The engine and its parts.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Assembly {
    /// The construction.
    pub construction: Construction,
    /// The cooling.
    #[serde(default)]
    pub cooling: Cooling,
    /// The shape of the chamber in the head.
    #[serde(default)]
    pub chamber: ChamberKind,
    /// The shape of the piston's crown.
    #[serde(default)]
    pub crown: CrownKind,
    /// Materials of the parts.
    #[serde(default, skip_serializing_if = "is_default")]
    pub materials: Materials,
    /// Dimensions that are the same in all cylinders unless a cylinder has its
    /// own.
    #[serde(default)]
    pub nominal: Dimensions,
    /// The thread of the studs or bolts that clamp the barrels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clamp: Option<ClampThread>,
    /// The banks of cylinders.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub banks: Vec<Bank>,
    /// The heads.
    pub heads: Vec<Head>,
    /// The cylinders, in the order in which the user counts them.
    pub cylinders: Vec<Cylinder>,
}

/// The construction of an engine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Construction {
    /// Separate barrels on a case, on shims or base gaskets.
    #[default]
    SeparateBarrels,
    /// Cylinders and case in one casting, closed by a head gasket.
    Block,
    /// Wet liners in a water-cooled block, closed by a head gasket.
    WetLiners,
    /// A two-stroke: ports in the barrel, a base gasket that moves them.
    TwoStroke,
}

all!(pub Construction: SeparateBarrels, Block, WetLiners, TwoStroke);

impl Construction {
    /// Returns the name on a screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SeparateBarrels => "Separate barrels",
            Self::Block => "Block with head gasket",
            Self::WetLiners => "Block with wet liners",
            Self::TwoStroke => "Two-stroke",
        }
    }

    /// Returns whether shims or gaskets go under a barrel.
    #[must_use]
    pub fn has_barrels(self) -> bool {
        !self.is_block()
    }

    /// Returns whether the cylinders are in one casting that is decked as a
    /// whole.
    #[must_use]
    pub fn is_block(self) -> bool {
        matches!(self, Self::Block | Self::WetLiners)
    }
}

/// The cooling of an engine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cooling {
    /// Air along fins.
    #[default]
    Air,
    /// Water in a jacket.
    Water,
}

/// Materials of the parts, in the user's words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Materials {
    /// The crankcase.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub case: String,
    /// The barrels or the block.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub barrel: String,
    /// The head.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub head: String,
    /// The head gasket.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub gasket: String,
    /// The piston.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub piston: String,
}

/// Cylinders side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bank {
    /// The name by which cylinders refer to it.
    pub label: String,
    /// Its orientation.
    #[serde(default)]
    pub stands: Orientation,
}

/// The orientation of a bank, seen from the front of the engine.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Orientation {
    /// Heads up.
    #[default]
    Upright,
    /// Heads to the left.
    LyingLeft,
    /// Heads to the right.
    LyingRight,
    /// Heads leaning to the right by this angle from upright; to the left
    /// where it is negative.
    Leaning(Quantity),
}

impl Orientation {
    /// Returns it in words: "lying to the left".
    #[must_use]
    pub(crate) fn words(&self) -> String {
        match self {
            Self::Upright => "upright".to_owned(),
            Self::LyingLeft => "lying to the left".to_owned(),
            Self::LyingRight => "lying to the right".to_owned(),
            Self::Leaning(angle) => format!("leaning by {angle}"),
        }
    }

    /// Returns the lean in degrees from upright, positive to the right.
    #[must_use]
    pub fn lean_deg(&self) -> f64 {
        match self {
            Self::Upright => 0.0,
            Self::LyingLeft => -90.0,
            Self::LyingRight => 90.0,
            Self::Leaning(angle) => angle.base(),
        }
    }
}

/// One head, over one or more cylinders.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// The name by which cylinders refer to it.
    pub label: String,
    /// Whether the barrels under it must be level.
    #[serde(default)]
    pub level: bool,
    /// Greatest difference of their heights, a length; without it the limit of
    /// the project counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<Quantity>,
}

/// A cylinder with the dimensions in which it differs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cylinder {
    /// The user's name for it.
    pub label: String,
    /// The label of its head.
    pub head: String,
    /// The label of its bank; `None` where no banks are listed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bank: Option<String>,
    /// The name of the casting that it shares with others, such as a barrel
    /// block: they rest on the same shims. `None` for a barrel of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub casting: Option<String>,
    /// Its own values.
    #[serde(default, skip_serializing_if = "Dimensions::is_empty")]
    pub own: Dimensions,
}

/// Engagement of the studs or bolts that clamp the barrels in their thread:
/// shims lengthen the clamp and take from it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClampThread {
    /// The length of thread that holds, as it was measured.
    pub engagement: Quantity,
    /// The shims that were under the barrel then; `None` if there were none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with_shim: Option<Quantity>,
    /// The least engagement that is wanted: by the maker, else one diameter in
    /// steel and one and a half to two in light alloy (common practice).
    pub least: Quantity,
}

impl Assembly {
    /// Creates a new engine, still unmeasured: one head for each number, over
    /// so many cylinders. Heads are called A, B, …, cylinders are counted from
    /// 1; separate barrels under one head must be level.
    ///
    /// ```
    /// use crowndeck::project::{Assembly, Construction};
    /// let six = Assembly::begun(Construction::SeparateBarrels, &[3, 3]);
    /// assert_eq!((six.heads.len(), six.cylinders.len()), (2, 6));
    /// assert_eq!((six.cylinders[3].label.as_str(), six.cylinders[3].head.as_str()), ("4", "B"));
    /// assert!(six.heads[0].level);
    /// ```
    #[must_use]
    pub fn begun(construction: Construction, cylinders_under_heads: &[usize]) -> Self {
        let mut engine = Self { construction, ..Self::default() };
        let letters = ('A'..='Z').map(String::from).chain((27..).map(|number: u32| number.to_string()));
        for (&count, label) in cylinders_under_heads.iter().zip(letters) {
            for _ in 0..count {
                engine.cylinders.push(Cylinder {
                    label: (engine.cylinders.len() + 1).to_string(),
                    head: label.clone(),
                    bank: None,
                    casting: None,
                    own: Dimensions::default(),
                });
            }
            engine.heads.push(Head {
                label,
                level: construction.has_barrels() && count > 1,
                tolerance: None,
            });
        }
        engine
    }

    /// Returns a dimension of a cylinder, counted from 0: its own value, else
    /// the nominal one.
    #[must_use]
    pub fn entry(&self, cylinder: usize, key: Key) -> Option<(&Entry, Origin)> {
        let own = self.cylinders.get(cylinder)?.own.get(key).map(|entry| (entry, Origin::Own));
        own.or_else(|| self.nominal.get(key).map(|entry| (entry, Origin::Nominal)))
    }

    /// Returns the dimensions of a cylinder for the geometry, in base units.
    #[must_use]
    pub fn dims(&self, cylinder: usize) -> Option<Dims> {
        let own = &self.cylinders.get(cylinder)?.own;
        let mut dims = Dims::new();
        for (key, entry) in self.nominal.iter().chain(own.iter()) {
            dims.set(key, Some(entry.value.base()));
        }
        Some(dims)
    }

    /// Returns the dimensions that the geometry can't do without and that were
    /// not given for this cylinder.
    pub fn missing(&self, cylinder: usize) -> impl Iterator<Item = Key> {
        Key::all()
            .filter(move |&key| key.row().absent == Absent::Required && self.entry(cylinder, key).is_none())
    }

    /// Returns the missing dimensions of a cylinder and those that the geometry
    /// takes as 0 but that such an engine always has: the length of a barrel of
    /// its own.
    pub fn wanted(&self, cylinder: usize) -> impl Iterator<Item = Key> {
        let barrel = self.construction.has_barrels() && self.entry(cylinder, Key::BarrelLength).is_none();
        self.missing(cylinder).chain(barrel.then_some(Key::BarrelLength))
    }

    /// Returns the casting of a cylinder, counted from 0, as the index of the
    /// first cylinder that shares it: its own index for a separate barrel.
    #[must_use]
    pub fn casting(&self, cylinder: usize) -> usize {
        let name = self.cylinders.get(cylinder).and_then(|c| c.casting.as_deref());
        let same = |c: &Cylinder| name.is_some() && c.casting.as_deref() == name;
        self.cylinders.iter().position(same).unwrap_or(cylinder)
    }

    /// Returns the indices of the cylinders under a head, from 0.
    pub fn under_head(&self, label: &str) -> impl Iterator<Item = usize> {
        self.cylinders.iter().enumerate().filter(move |(_, c)| c.head == label).map(|(index, _)| index)
    }

    /// Returns the orientation of a cylinder.
    #[must_use]
    pub fn orientation(&self, cylinder: usize) -> Orientation {
        let bank = self.cylinders.get(cylinder).and_then(|c| c.bank.as_deref());
        self.banks
            .iter()
            .find(|b| Some(b.label.as_str()) == bank)
            .map_or(Orientation::Upright, |b| b.stands.clone())
    }
}
