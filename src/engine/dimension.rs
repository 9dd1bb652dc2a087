//! The list of dimensions: one row for each, walked by sliders, effects,
//! the command line, the drawing, the binder, the glossary and the lessons.
//!
//! To add a dimension, add a variant to [`Key`], name it in `all!` and give it
//! a row in `TABLE`, at the same place each: what is missing or out of order
//! fails to compile.

use super::columns::{Absent, Allowed, Course, Exists, Gauge, Group, Stack};
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

all!(
    pub Key: Bore, Stroke, RodLength, CompressionHeight, PinOffset, CaseHeight, BaseGasket, BaseShim, BarrelLength, GasketThickness, GasketBore, HeadStep, ChamberVolume, CrownVolume, PocketVolume, TopLandHeight, TopLandDiameter, IntakeClosing, PortClosing, MockupDeck, MockupShim
);

/// The part that a dimension is a size of, and goes with when parts change
/// places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Component {
    /// The crankshaft.
    Crank,
    /// A connecting rod.
    Rod,
    /// A piston.
    Piston,
    /// The crankcase, or a block.
    Case,
    /// The gasket under a barrel.
    BaseGasket,
    /// The shims under a barrel.
    Shim,
    /// A barrel, or the wall of a cylinder.
    Barrel,
    /// The gasket under the head.
    HeadGasket,
    /// The head.
    Head,
    /// None alone: a state of the assembled parts.
    Assembly,
}

impl Component {
    /// The word on a drawing.
    #[must_use]
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Crank => "crank",
            Self::Rod => "rod",
            Self::Piston => "piston",
            Self::Case => "case",
            Self::BaseGasket | Self::HeadGasket => "gasket",
            Self::Shim => "shim",
            Self::Barrel => "barrel",
            Self::Head => "head",
            Self::Assembly => "assembly",
        }
    }
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
    /// Under which heading it stands.
    pub group: Group,
    /// The part that it is a size of.
    pub component: Component,
    /// How it moves the deck.
    pub stack: Stack,
    /// A sheet of metal or gasket: 0 says that there is none, so that a very
    /// small value is a slip, and it comes in small steps from 0 upward.
    pub thin: bool,
    /// In which engines it exists.
    pub exists: Exists,
    /// What is said of one that stands out among its kind; `None` where
    /// cylinders share it, or where it differs on purpose.
    pub outlying: Option<&'static str>,
    /// How the volumes run along it.
    pub course: Course,
    /// What measures it well.
    pub gauges: &'static [Gauge],
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
        component: Component::Barrel,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: Some("bored to another size? Measure it again"),
        course: Course::Squared,
        gauges: &[Gauge::Telescoping, Gauge::Bore],
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
        component: Component::Crank,
        stack: Stack::Crank,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Curved,
        gauges: &[Gauge::Indicator],
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
        component: Component::Rod,
        stack: Stack::Crank,
        thin: false,
        exists: Exists::Always,
        outlying: Some(
            "a bent rod or one of another engine? Measure it again; do not correct it with a shim or gasket",
        ),
        course: Course::Curved,
        gauges: &[Gauge::Height],
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
        component: Component::Piston,
        stack: Stack::Piston,
        thin: false,
        exists: Exists::Always,
        outlying: Some("a piston of another make? Measure it again; do not correct it with a shim or gasket"),
        course: Course::Straight,
        gauges: &[Gauge::Height],
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
        component: Component::Piston,
        stack: Stack::Crank,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Curved,
        gauges: &[Gauge::Caliper],
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
        component: Component::Case,
        stack: Stack::Top,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::Height],
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
        component: Component::BaseGasket,
        stack: Stack::Top,
        thin: true,
        exists: Exists::UnderBarrels,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::OutsideMicrometer],
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
        component: Component::Shim,
        stack: Stack::Top,
        thin: true,
        exists: Exists::UnderBarrels,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::OutsideMicrometer],
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
        component: Component::Barrel,
        stack: Stack::Top,
        thin: false,
        exists: Exists::UnderBarrels,
        outlying: Some("level under the head comes first; a small spread of ratio is the lesser evil"),
        course: Course::Straight,
        gauges: &[Gauge::DepthMicrometer, Gauge::Height],
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
        component: Component::HeadGasket,
        stack: Stack::Apart,
        thin: true,
        exists: Exists::Always,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::OutsideMicrometer],
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
        component: Component::HeadGasket,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::With(Key::GasketThickness),
        outlying: None,
        course: Course::Squared,
        gauges: &[Gauge::Caliper],
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
        component: Component::Head,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: Some("measure it again"),
        course: Course::Straight,
        gauges: &[Gauge::DepthMicrometer],
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
        component: Component::Head,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: Some("fill it again before anything is cut"),
        course: Course::Straight,
        gauges: &[Gauge::Burette],
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
        component: Component::Piston,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: Some("fill it again before anything is cut"),
        course: Course::Straight,
        gauges: &[Gauge::Burette],
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
        component: Component::Piston,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::Burette],
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
        component: Component::Piston,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::Caliper],
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
        component: Component::Piston,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Squared,
        gauges: &[Gauge::OutsideMicrometer],
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
        component: Component::Assembly,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::FourStroke,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::DegreeWheel],
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
        component: Component::Assembly,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::TwoStroke,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::DegreeWheel],
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
        component: Component::Assembly,
        stack: Stack::Apart,
        thin: false,
        exists: Exists::Always,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::Indicator, Gauge::DepthMicrometer, Gauge::Feeler],
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
        component: Component::Shim,
        stack: Stack::Apart,
        thin: true,
        exists: Exists::UnderBarrels,
        outlying: None,
        course: Course::Straight,
        gauges: &[Gauge::OutsideMicrometer],
        allowed: NotNegative,
        absent: Zero,
        plausible: (0.0, 6.5),
        step: 0.1,
        meaning: "The shims that were fitted when the deck was read.",
        matters: "The deck moves by the difference between the shims chosen and these.",
        measure: "Micrometer on each clean leaf.",
    },
];

rows_in_order!(TABLE, key);

/// How many dimensions stand so in the stack.
const fn count(stack: Stack) -> usize {
    let (mut found, mut i) = (0, 0);
    while i < TABLE.len() {
        found += (TABLE[i].stack as u8 == stack as u8) as usize;
        i += 1;
    }
    found
}

/// The dimensions that stand so in the stack, in the order of the list.
const fn stacked<const N: usize>(stack: Stack) -> [Key; N] {
    let (mut all, mut found, mut i) = ([Key::Bore; N], 0, 0);
    while i < TABLE.len() {
        if TABLE[i].stack as u8 == stack as u8 {
            all[found] = TABLE[i].key;
            found += 1;
        }
        i += 1;
    }
    all
}

impl Key {
    /// How many dimensions there are.
    pub const COUNT: usize = Self::ALL.len();

    /// What raises the top of the cylinder: the deck chain counts these up.
    pub(crate) const TOWER: [Self; count(Stack::Top)] = stacked(Stack::Top);

    /// What lies on the piston pin: the deck chain counts these down.
    pub(crate) const ON_PIN: [Self; count(Stack::Piston)] = stacked(Stack::Piston);

    /// What raises the piston pin by way of crank and rod.
    pub(crate) const CRANK: [Self; count(Stack::Crank)] = stacked(Stack::Crank);

    /// All dimensions in the order of the list.
    pub fn all() -> impl ExactSizeIterator<Item = Self> + DoubleEndedIterator {
        Self::ALL.into_iter()
    }

    /// The dimensions from which the deck is built up, those of the piston
    /// first.
    pub(crate) fn stack() -> impl Iterator<Item = Self> {
        Self::CRANK.into_iter().chain(Self::ON_PIN).chain(Self::TOWER)
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

impl std::fmt::Display for Key {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_id_stands_twice_and_every_step_and_range_is_one() {
        for row in &TABLE {
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

    #[test]
    fn what_moves_the_deck_is_a_length_under_the_heading_of_what_it_raises() {
        for row in &TABLE {
            let heading = match row.stack {
                Stack::Top => row.group == Tower,
                Stack::Piston | Stack::Crank => row.group == Reach,
                Stack::Apart => !matches!(row.group, Tower | Reach),
            };
            assert!(heading, "{}", row.id);
            assert!(row.stack == Stack::Apart || row.kind == Length, "{}", row.id);
        }
    }

    #[test]
    fn what_is_thin_is_a_length_that_may_be_0() {
        let thin = TABLE.iter().filter(|row| row.thin);
        assert!(thin.clone().count() > 0);
        assert!(
            thin.clone().all(|row| row.kind == Length && row.allowed == NotNegative && row.absent == Zero)
        );
    }
}
