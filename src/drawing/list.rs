//! The display list, which every output reads.
//!
//! A drawing is lowered for one output scale into three primitives. All
//! coordinates and sizes are in the units of the output: millimetres on paper
//! (1 unit = 1 mm), points on a screen (1 unit = 1 point). The x axis points
//! right, the y axis points DOWN, the origin is the top left corner of the
//! view. Colours are roles: each output maps them to its own palette.

use crate::engine::Component;
use kurbo::{BezPath, Point};

/// A colour role, from which each output chooses its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Measured edges and main text.
    Edge,
    /// Second text, axes, dimension lines.
    Second,
    /// Captions and scales.
    Third,
    /// Outlines that were never measured.
    Assumed,
    /// Section lining.
    Hatch,
    /// Thin parts drawn solid: shims, gaskets, rings.
    Solid,
    /// A kept state.
    Ghost,
    /// A part that moved or is under the hand.
    Accent,
    /// A broken limit or a contact.
    Warn,
    /// The ground of the sheet: patches under labels, gaps between solids.
    Sheet,
    /// The ground of a cut part.
    Part(Part),
    /// The tint of one term of the clearance volume.
    Term(Term),
}

/// A part of the cylinder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Barrel, liner or block wall.
    Barrel,
    /// Piston.
    Piston,
    /// Head or head insert.
    Head,
    /// Crankcase or block.
    Case,
    /// Connecting rod; shown whole, not hatched.
    Rod,
    /// Crank web and counterweight.
    Web,
    /// Piston pin or crankpin, cut across.
    Pin,
    /// Base shim.
    Shim,
    /// Base or head gasket.
    Gasket,
    /// Piston ring.
    Ring,
}

impl Part {
    /// As what a part of the list of dimensions is drawn.
    pub(super) fn of(component: Component) -> Self {
        match component {
            Component::Crank => Self::Web,
            Component::Rod => Self::Rod,
            Component::Piston => Self::Piston,
            Component::Case | Component::Assembly => Self::Case,
            Component::BaseGasket | Component::HeadGasket => Self::Gasket,
            Component::Shim => Self::Shim,
            Component::Barrel => Self::Barrel,
            Component::Head => Self::Head,
        }
    }
}

/// One term of the clearance volume, for its tint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Term {
    /// The head's chamber.
    Chamber,
    /// Between the rim at top dead centre and the top of the cylinder.
    Deck,
    /// Valve pockets.
    Pockets,
    /// Inside the head gasket.
    Gasket,
    /// Around the top land.
    TopLand,
    /// Added by a dish, taken by a dome.
    Crown,
    /// The volume swept since top dead centre; no term of the clearance volume.
    Swept,
}

/// The dash pattern of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dash {
    /// Continuous.
    Solid,
    /// Long dash, gap, dot, gap: axes, the throw circle, the pin path.
    Axis,
    /// Long dash, gap, dot, gap, dot, gap: the other dead centre.
    Phantom,
    /// Even dashes: a kept state.
    Ghost,
}

impl Dash {
    /// Returns the lengths of dash, gap, dash, gap and so on in widths of the
    /// line; empty for a continuous line. Shorter than ISO 128-2 has them (long
    /// dash 24, gap 3, dot 0.5), because the axes of one cylinder are short.
    #[must_use]
    pub fn pattern(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Axis => &[14.0, 3.0, 2.0, 3.0],
            Self::Phantom => &[14.0, 3.0, 2.0, 3.0, 2.0, 3.0],
            Self::Ghost => &[6.0, 3.0],
        }
    }
}

/// The position of a text on its anchor point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Anchor {
    /// The point is the left end of the baseline.
    Left,
    /// The point is the middle of the baseline.
    Middle,
    /// The point is the right end of the baseline.
    Right,
}

/// One shape to draw. Later ones lie over earlier ones.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// An area; overlapping outlines follow the even-odd rule.
    Fill {
        /// Closed outlines.
        path: BezPath,
        /// Its colour role.
        ink: Ink,
    },
    /// A line of constant width.
    Stroke {
        /// Open or closed outlines; hatching is many short ones.
        path: BezPath,
        /// Its colour role.
        ink: Ink,
        /// Width in output units.
        width: f64,
        /// Dash pattern.
        dash: Dash,
    },
    /// A line of text in the drawing's font.
    Text {
        /// The anchor on the baseline.
        at: Point,
        /// The position of the text on the anchor.
        anchor: Anchor,
        /// Rotation, counter-clockwise as seen, in degrees: 90 reads from the right.
        turn_deg: f64,
        /// Font size (em) in output units; capitals are 0.698 of it.
        size: f64,
        /// SemiBold instead of Regular.
        bold: bool,
        /// Its colour role.
        ink: Ink,
        /// The text.
        text: String,
    },
}

impl Shape {
    /// Returns whether every number in it is finite, so that it can be drawn at
    /// all.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        match self {
            Self::Fill { path, .. } => path.is_finite(),
            Self::Stroke { path, width, .. } => path.is_finite() && width.is_finite(),
            Self::Text { at, turn_deg, size, .. } => {
                at.is_finite() && turn_deg.is_finite() && size.is_finite()
            }
        }
    }
}

/// A drawing lowered for one output.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DisplayList {
    /// The shapes in drawing order.
    pub shapes: Vec<Shape>,
}
