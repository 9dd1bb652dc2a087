//! The list of dimensions: one row for each, walked by sliders, effects,
//! the command line, the drawing, the binder, the glossary and the lessons.
//!
//! To add a dimension, add a variant to [`Key`] and its row to `TABLE`; a
//! row that is missing or out of order fails to compile or fails the test at
//! the end of this file.

use crate::quantity::Kind;

/// A dimension of one cylinder. The names are a promise to scripts and files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the row of each key says what it is")]
pub enum Key {
    Bore,
    Stroke,
    RodLength,
    CompressionHeight,
    PinOffset,
    CaseHeight,
    BaseGasket,
    BaseShim,
    BarrelLength,
    GasketThickness,
    GasketBore,
    HeadStep,
    ChamberVolume,
    CrownVolume,
    PocketVolume,
    TopLandHeight,
    TopLandDiameter,
    IntakeClosing,
    PortClosing,
    MockupDeck,
    MockupShim,
}

/// Where a dimension stands in the machine, in the order in which a person
/// reads it: what raises the barrel, what raises the piston, what encloses
/// the space above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Raises the top of the barrel.
    Tower,
    /// Raises the piston.
    Reach,
    /// Encloses the space above the deck.
    BoreAndHead,
    /// What the piston fills or gives back.
    Crown,
    /// Angles at which the cylinder is shut.
    Timing,
    /// A deck reading taken on a trial assembly.
    Mockup,
}

impl Group {
    /// All groups in reading order.
    pub const ALL: [Self; 6] =
        [Self::Tower, Self::Reach, Self::BoreAndHead, Self::Crown, Self::Timing, Self::Mockup];

    /// The heading.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Tower => "Tower",
            Self::Reach => "Reach",
            Self::BoreAndHead => "Bore and head",
            Self::Crown => "Crown",
            Self::Timing => "Timing",
            Self::Mockup => "Mock-up",
        }
    }

    /// What the group does, in a few words.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Tower => "raises the barrel top",
            Self::Reach => "raises the piston",
            Self::BoreAndHead => "space above the deck",
            Self::Crown => "what the piston fills or gives back",
            Self::Timing => "when the cylinder is shut",
            Self::Mockup => "the deck as read on a trial assembly",
        }
    }
}

/// Which values of a dimension describe an engine that can be computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Allowed {
    /// Above 0.
    Positive,
    /// 0 or more.
    NotNegative,
    /// Any finite number.
    Any,
}

/// What stands for a dimension that was not given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Absent {
    /// The engine can't be computed without it.
    Required,
    /// It counts as 0.
    Zero,
    /// It equals another dimension.
    SameAs(Key),
    /// The figure that needs it is not given either.
    Nothing,
}

/// One row of the list of dimensions.
#[derive(Clone, Copy, Debug)]
pub struct DimensionRow {
    /// The dimension.
    pub key: Key,
    /// The key in files, scripts and on the command line.
    pub id: &'static str,
    /// The trade's name.
    pub name: &'static str,
    /// A name for narrow places.
    pub short: &'static str,
    /// The mark on the drawing and in formulas.
    pub symbol: &'static str,
    /// Length, volume or angle; the base unit follows: mm, cc, degrees.
    pub kind: Kind,
    /// Where it stands in the machine.
    pub group: Group,
    /// What is refused.
    pub allowed: Allowed,
    /// What stands for it when it was not given.
    pub absent: Absent,
    /// Values outside are questioned, never refused (base unit). Common
    /// practice over the sizes from a model engine to a small tractor.
    pub plausible: (f64, f64),
    /// One sensible step at the bench (base unit).
    pub step: f64,
    /// What it is, for somebody who has never heard of it.
    pub meaning: &'static str,
    /// Why it matters.
    pub matters: &'static str,
    /// How it is measured.
    pub measure: &'static str,
}

use Absent::{Nothing, Required, SameAs, Zero};
use Allowed::{Any, NotNegative, Positive};
use Group::{BoreAndHead, Crown, Mockup, Reach, Timing, Tower};
use Kind::{Angle, Length, Volume};

static TABLE: [DimensionRow; Key::COUNT] = [
    DimensionRow {
        key: Key::Bore,
        id: "bore",
        name: "Bore",
        short: "Bore",
        symbol: "Ø",
        kind: Length,
        group: BoreAndHead,
        allowed: Positive,
        absent: Required,
        plausible: (10.0, 250.0),
        step: 0.1,
        meaning: "The inside diameter of the cylinder.",
        matters: "It sets the swept volume, and with it the ratio.",
        measure: "Dial bore gauge set with a micrometer, at three depths along two axes, with the barrel clamped as it will run.",
    },
    DimensionRow {
        key: Key::Stroke,
        id: "stroke",
        name: "Stroke",
        short: "Stroke",
        symbol: "S",
        kind: Length,
        group: Reach,
        allowed: Positive,
        absent: Required,
        plausible: (10.0, 300.0),
        step: 0.1,
        meaning: "Twice the crank throw: how far the crankpin travels from bottom to top.",
        matters: "Half of any change goes into the height of the piston, all of it into the swept volume.",
        measure: "Indicator on the piston from the bottom to the top, or the throw of the crank between centres.",
    },
    DimensionRow {
        key: Key::RodLength,
        id: "rod_length",
        name: "Rod length",
        short: "Rod length",
        symbol: "L",
        kind: Length,
        group: Reach,
        allowed: Positive,
        absent: Required,
        plausible: (20.0, 600.0),
        step: 0.1,
        meaning: "From the centre of the crankpin to the centre of the piston pin.",
        matters: "A longer rod pushes the piston up by as much.",
        measure: "Between mandrels in both eyes: outside measure less half of each mandrel.",
    },
    DimensionRow {
        key: Key::CompressionHeight,
        id: "compression_height",
        name: "Compression height",
        short: "Compr. height",
        symbol: "H",
        kind: Length,
        group: Reach,
        allowed: NotNegative,
        absent: Required,
        plausible: (8.0, 150.0),
        step: 0.1,
        meaning: "From the centre of the piston pin to the flat rim of the crown; a dome is not counted.",
        matters: "A taller piston stands higher by as much.",
        measure: "Height of the rim above the pin on a surface plate, less half the pin.",
    },
    DimensionRow {
        key: Key::PinOffset,
        id: "pin_offset",
        name: "Pin offset",
        short: "Pin offset",
        symbol: "e",
        kind: Length,
        group: Reach,
        allowed: Any,
        absent: Zero,
        plausible: (-5.0, 5.0),
        step: 0.1,
        meaning: "How far the piston pin stands beside the middle of the piston; positive toward the major thrust side. Add a bore that is offset against the crank.",
        matters: "It moves the top dead centre by a few tenths of a degree and hardly changes the height.",
        measure: "From the drawing of the piston, or from the pin to both sides of the skirt.",
    },
    DimensionRow {
        key: Key::CaseHeight,
        id: "case_height",
        name: "Case height",
        short: "Case height",
        symbol: "C",
        kind: Length,
        group: Tower,
        allowed: NotNegative,
        absent: Required,
        plausible: (20.0, 700.0),
        step: 0.1,
        meaning: "From the crank centre to the seat of the barrel on the case; in a block, to the face of the block. Some call this casting dimension deck height.",
        matters: "It carries everything above it: a low case face lowers the barrel and closes the gap.",
        measure: "Mandrel in the main bearings and height gauge, or worked back from a known barrel and piston.",
    },
    DimensionRow {
        key: Key::BaseGasket,
        id: "base_gasket",
        name: "Base gasket",
        short: "Base gasket",
        symbol: "g",
        kind: Length,
        group: Tower,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 3.0),
        step: 0.1,
        meaning: "The crushed thickness of the gasket under the barrel.",
        matters: "It raises the barrel like a shim.",
        measure: "Micrometer on a used one of the same kind, or the maker's crushed figure.",
    },
    DimensionRow {
        key: Key::BaseShim,
        id: "base_shim",
        name: "Base shim",
        short: "Base shim",
        symbol: "t",
        kind: Length,
        group: Tower,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 6.5),
        step: 0.1,
        meaning: "All shims under the barrel together.",
        matters: "The part that is chosen: it sets the gap and the ratio, and keeps the barrels of a head level.",
        measure: "Micrometer on each clean leaf.",
    },
    DimensionRow {
        key: Key::BarrelLength,
        id: "barrel_length",
        name: "Barrel length",
        short: "Barrel length",
        symbol: "B",
        kind: Length,
        group: Tower,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 350.0),
        step: 0.1,
        meaning: "From the foot of the barrel, where it sits on the case, to its top face; 0 in a block.",
        matters: "A longer barrel lifts the head away from the piston.",
        measure: "Depth micrometer or indicator on a surface plate, at four places.",
    },
    DimensionRow {
        key: Key::GasketThickness,
        id: "gasket_thickness",
        name: "Head gasket",
        short: "Head gasket",
        symbol: "h",
        kind: Length,
        group: BoreAndHead,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 4.0),
        step: 0.1,
        meaning: "The crushed thickness of the head gasket.",
        matters: "It adds to the gap between piston and head and to the volume.",
        measure: "Micrometer on a used one beside the fire ring, or the maker's crushed figure; never the free thickness.",
    },
    DimensionRow {
        key: Key::GasketBore,
        id: "gasket_bore",
        name: "Gasket bore",
        short: "Gasket bore",
        symbol: "Øg",
        kind: Length,
        group: BoreAndHead,
        allowed: NotNegative,
        absent: SameAs(Key::Bore),
        plausible: (10.0, 260.0),
        step: 0.1,
        meaning: "The diameter of the hole in the head gasket, commonly a little larger than the bore.",
        matters: "With the thickness it gives the volume inside the gasket.",
        measure: "Caliper across the hole of a used one.",
    },
    DimensionRow {
        key: Key::HeadStep,
        id: "head_step",
        name: "Head step",
        short: "Head step",
        symbol: "d",
        kind: Length,
        group: BoreAndHead,
        allowed: Any,
        absent: Zero,
        plausible: (-10.0, 10.0),
        step: 0.1,
        meaning: "How far the flat band of the head is set back above its joint face; negative when it reaches down into the barrel.",
        matters: "It adds to the gap between piston and head; its volume is already in the chamber.",
        measure: "Depth micrometer from the joint face of the head.",
    },
    DimensionRow {
        key: Key::ChamberVolume,
        id: "chamber_volume",
        name: "Chamber volume",
        short: "Chamber",
        symbol: "Vc",
        kind: Volume,
        group: BoreAndHead,
        allowed: NotNegative,
        absent: Required,
        plausible: (0.2, 1500.0),
        step: 1.0,
        meaning: "The space in the head under a flat plate laid on its sealing face.",
        matters: "The largest part of the clearance volume: the burette rules the ratio.",
        measure: "Burette through a hole in a greased plate, plug and valves in place, three fills.",
    },
    DimensionRow {
        key: Key::CrownVolume,
        id: "crown_volume",
        name: "Crown volume",
        short: "Crown",
        symbol: "Vk",
        kind: Volume,
        group: Crown,
        allowed: Any,
        absent: Zero,
        plausible: (-150.0, 300.0),
        step: 1.0,
        meaning: "What the crown gives or takes against a flat rim: positive for a dish, negative for a dome.",
        matters: "A dome takes clearance volume away and raises the ratio; a dish lowers it.",
        measure: "Piston pushed down a known depth in the bore, filled to the top; the plain cylinder is subtracted.",
    },
    DimensionRow {
        key: Key::PocketVolume,
        id: "pocket_volume",
        name: "Valve pockets",
        short: "Valve pockets",
        symbol: "Vp",
        kind: Volume,
        group: Crown,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 60.0),
        step: 1.0,
        meaning: "The hollows cut into the crown for the valves, where they are not counted in the crown already.",
        matters: "They add to the clearance volume.",
        measure: "Filled from a burette with the crown level, or from the crown filling with and without them.",
    },
    DimensionRow {
        key: Key::TopLandHeight,
        id: "top_land_height",
        name: "Top land height",
        short: "Top land, h",
        symbol: "a",
        kind: Length,
        group: Crown,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 40.0),
        step: 0.1,
        meaning: "From the rim of the crown down to the first ring groove.",
        matters: "The narrow space beside it belongs to the clearance volume.",
        measure: "Caliper on the piston.",
    },
    DimensionRow {
        key: Key::TopLandDiameter,
        id: "top_land_diameter",
        name: "Top land diameter",
        short: "Top land, Ø",
        symbol: "Øa",
        kind: Length,
        group: Crown,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 250.0),
        step: 0.1,
        meaning: "The diameter of the piston above the first ring; 0 leaves the space beside it out.",
        matters: "With its height it gives the crevice beside the crown.",
        measure: "Micrometer across the land.",
    },
    DimensionRow {
        key: Key::IntakeClosing,
        id: "intake_closing",
        name: "Intake closing",
        short: "Intake shuts",
        symbol: "α",
        kind: Angle,
        group: Timing,
        allowed: Any,
        absent: Nothing,
        plausible: (0.0, 120.0),
        step: 1.0,
        meaning: "Degrees after the 180 mark of a wheel set at piston top dead centre at which the intake valve shuts.",
        matters: "Compression starts there: it gives the effective ratio.",
        measure: "Degree wheel and indicator on the valve, at the lift that the figure is quoted for.",
    },
    DimensionRow {
        key: Key::PortClosing,
        id: "port_closing",
        name: "Port closing",
        short: "Port shuts",
        symbol: "β",
        kind: Angle,
        group: Timing,
        allowed: Any,
        absent: Nothing,
        plausible: (40.0, 140.0),
        step: 1.0,
        meaning: "Two-stroke: degrees before top dead centre at which the piston shuts the exhaust port.",
        matters: "Compression starts there: it gives the trapped ratio.",
        measure: "Degree wheel with a strip of paper in the port, from both sides of top dead centre.",
    },
    DimensionRow {
        key: Key::MockupDeck,
        id: "mockup_deck",
        name: "Mock-up deck",
        short: "Mock-up deck",
        symbol: "m",
        kind: Length,
        group: Mockup,
        allowed: Any,
        absent: Nothing,
        plausible: (-5.0, 30.0),
        step: 0.1,
        meaning: "The deck clearance read on a trial assembly: positive when the rim is below the top of the cylinder.",
        matters: "A reading on the real parts rules; the chain of dimensions becomes the cross-check.",
        measure: "Straightedge and feeler, or indicator on a bridge, over the pin axis, barrel clamped as it will run.",
    },
    DimensionRow {
        key: Key::MockupShim,
        id: "mockup_shim",
        name: "Mock-up shim",
        short: "Mock-up shim",
        symbol: "tm",
        kind: Length,
        group: Mockup,
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 6.5),
        step: 0.1,
        meaning: "The shims that were fitted when the deck was read.",
        matters: "The deck moves by the difference between the shims chosen and these.",
        measure: "Micrometer on each clean leaf.",
    },
];

impl Key {
    /// How many dimensions there are.
    pub const COUNT: usize = 21;

    /// All dimensions in the order of the list.
    pub fn all() -> impl ExactSizeIterator<Item = Self> + DoubleEndedIterator {
        TABLE.iter().map(|row| row.key)
    }

    /// The dimensions of one group, in the order of the list.
    pub fn of_group(group: Group) -> impl Iterator<Item = Self> {
        TABLE.iter().filter(move |row| row.group == group).map(|row| row.key)
    }

    /// The row of this dimension.
    #[must_use]
    pub fn row(self) -> &'static DimensionRow {
        &TABLE[self.index()]
    }

    /// Whether the list has a row for this key. A new key fails to compile
    /// here until it is named, which is the reminder to give it a row.
    const fn has_row(self) -> bool {
        match self {
            Self::Bore
            | Self::Stroke
            | Self::RodLength
            | Self::CompressionHeight
            | Self::PinOffset
            | Self::CaseHeight
            | Self::BaseGasket
            | Self::BaseShim
            | Self::BarrelLength
            | Self::GasketThickness
            | Self::GasketBore
            | Self::HeadStep
            | Self::ChamberVolume
            | Self::CrownVolume
            | Self::PocketVolume
            | Self::TopLandHeight
            | Self::TopLandDiameter
            | Self::IntakeClosing
            | Self::PortClosing
            | Self::MockupDeck
            | Self::MockupShim => (self as usize) < Self::COUNT,
        }
    }

    /// The place of this dimension in the list, from 0.
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }

    /// The dimension with this key.
    ///
    /// ```
    /// use crowndeck::engine::Key;
    /// assert_eq!(Key::from_id("base_shim"), Some(Key::BaseShim));
    /// assert_eq!(Key::from_id("shim"), None);
    /// ```
    #[must_use]
    pub fn from_id(id: &str) -> Option<Self> {
        TABLE.iter().find(|row| row.id == id).map(|row| row.key)
    }

    /// The key in files, scripts and on the command line.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.row().id
    }

    /// The trade's name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// Length, volume or angle.
    #[must_use]
    pub fn kind(self) -> Kind {
        self.row().kind
    }
}

// The last key of the list must have a row; so has every one before it.
const _: () = assert!(Key::MockupShim.has_row(), "COUNT is less than the number of keys");

impl std::fmt::Display for Key {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_stand_in_the_order_of_the_keys_and_no_id_twice() {
        for (i, row) in TABLE.iter().enumerate() {
            assert_eq!(row.key.index(), i, "{} stands in the wrong place", row.id);
            assert_eq!(Key::from_id(row.id), Some(row.key));
            assert!(row.step > 0.0 && row.plausible.0 < row.plausible.1, "{}", row.id);
        }
    }

    #[test]
    fn a_key_is_written_in_files_as_on_the_command_line() {
        for key in Key::all() {
            assert_eq!(ron::to_string(&key).ok().as_deref(), Some(key.id()));
        }
    }

    #[test]
    fn every_dimension_stands_in_one_group() {
        let listed: usize = Group::ALL.iter().map(|&g| Key::of_group(g).count()).sum();
        assert_eq!(listed, Key::COUNT);
    }
}
