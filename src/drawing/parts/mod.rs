//! Parts of one cylinder as outlines in model millimetres: the crank centre is
//! the origin, x runs across the crank in the plane of the crank throw, y along
//! the bore.
//!
//! Measured sizes come from the engine's dimensions; the edges that they
//! determine carry their [`Key`], so that the section draws them heavy only
//! where the document says that they were measured. Everything else (walls,
//! fins, skirt, web, the rod's shape) follows stated proportions of the bore
//! (`sizes.rs`) and is there so that the picture is understood.
//!
//! Pieces are in the order in which they are drawn: what is further from the
//! eye comes first, and each covers what lies behind it.

mod barrel;
mod block;
mod case;
mod head;
mod outline;
mod piston;
mod rod;
mod sizes;
mod two_stroke;

use super::list::{Dash, Part};
use crate::engine::solid::{Chamber, Crown};
use crate::engine::{Engine, Key};
use kurbo::{BezPath, Point, Rect, Shape as _};
use serde::{Deserialize, Serialize};
use sizes::Sizes;

/// The construction of the cylinder.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Construction {
    /// A separate air-cooled barrel on a case: foot, fins, spigot, shims.
    #[default]
    FinnedBarrel,
    /// Cylinders and case in one casting with a water jacket.
    Block,
    /// A block with wet liners: each cylinder's wall is a part of its own,
    /// hung in the block by its flange, with water around it.
    WetLiners,
    /// A two-stroke: barrel with ports and jacket on a case, head insert
    /// under a cover.
    TwoStroke,
}

impl Construction {
    /// Returns whether the cylinders are in one casting, without separate
    /// barrels.
    #[must_use]
    pub fn is_block(self) -> bool {
        matches!(self, Self::Block | Self::WetLiners)
    }
}

/// The motion of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Moves {
    /// Fixed.
    Fixed,
    /// Up and down with the piston.
    WithPiston,
    /// With the rod, swinging.
    WithRod,
    /// Round with the crank.
    WithCrank,
}

/// An edge that belongs to a dimension. It is drawn heavy where that
/// dimension was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The dimension that determines the position of the edge.
    pub key: Key,
    /// An open path.
    pub path: BezPath,
}

/// One part, or one of several areas of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its kind.
    pub part: Part,
    /// Closed outlines; overlapping ones follow the even-odd rule.
    pub outline: BezPath,
    /// Edges that belong to dimensions.
    pub measured: Vec<Edge>,
    /// Edges inside the outline that were never measured, drawn thin.
    pub details: Vec<BezPath>,
    /// Whether it is cut by the section plane, so that it carries section
    /// lining or, where it is too thin for that, is drawn solid.
    pub cut: bool,
    /// Its motion.
    pub moves: Moves,
    /// A point that moves with it and fixes the phase of its lining.
    pub anchor: Point,
}

/// A line that is not the edge of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartLine {
    /// Its meaning.
    pub kind: LineKind,
    /// An open or closed path.
    pub path: BezPath,
}

/// The meaning of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LineKind {
    /// The bore axis, from under the crank to above the head.
    BoreAxis,
    /// The line on which the piston pin runs, where it is off the axis.
    PinPath,
    /// The circle of the crankpin's centre.
    ThrowCircle,
    /// From the crank centre through crankpin and piston pin.
    RodAxis,
    /// Across the crank, through its centre.
    CrankAxis,
    /// Across the piston pin's centre.
    PinAxis,
    /// The rim at the far dead centre: at the bottom while the piston is in
    /// the upper half of its travel, else at the top.
    OtherDeadCentre,
}

impl LineKind {
    /// Returns its dash pattern.
    #[must_use]
    pub fn dash(self) -> Dash {
        match self {
            Self::OtherDeadCentre => Dash::Phantom,
            _ => Dash::Axis,
        }
    }
}

/// The input of the outlines.
#[derive(Clone, Debug, PartialEq)]
pub struct PartsInput {
    /// The engine: every dimension and the mechanism.
    pub engine: Engine,
    /// The construction of the cylinder.
    pub construction: Construction,
    /// The chamber that is drawn.
    pub chamber: Chamber,
    /// The crown that is drawn.
    pub crown: Crown,
    /// The foils under the barrel from below, mm each. Where they don't sum up
    /// to the base shim of the engine, the shim is drawn as one foil.
    pub shim_foils: Vec<f64>,
}

/// All parts of one cylinder at one crank angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Parts {
    /// The parts, those behind first.
    pub pieces: Vec<Piece>,
    /// Axes, the throw circle and the other dead centre.
    pub lines: Vec<PartLine>,
    /// The datum points of the dimensions.
    pub datums: Datums,
}

/// The points between which dimensions are drawn, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Datums {
    /// The crankpin's centre.
    pub crankpin: Point,
    /// The piston pin's centre.
    pub pin: Point,
    /// Height of the crown's flat rim.
    pub rim_y: f64,
    /// Height of the barrel seat on the case, or of a block's deck.
    pub seat_y: f64,
    /// Height of the barrel's foot: on top of gasket and shims.
    pub foot_y: f64,
    /// Height of the top face of the cylinder.
    pub top_y: f64,
    /// Height of the head's joint face: on top of the head gasket.
    pub joint_y: f64,
    /// Height of the head's flat band.
    pub band_y: f64,
    /// Half of the bore.
    pub bore_x: f64,
    /// Half of the top land's diameter, as drawn.
    pub land_x: f64,
    /// Distance from the axis to the outermost edge of the barrel's foot, or of
    /// the block.
    pub foot_x: f64,
    /// Distance from the axis to the outermost edge of any fixed part.
    pub widest_x: f64,
    /// The highest point of anything.
    pub highest_y: f64,
    /// The lowest point of anything over a whole turn.
    pub lowest_y: f64,
}

impl Datums {
    /// Returns the box round everything over a whole turn of the crank, so that
    /// a view does not jump while the crank turns.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        Rect::new(-self.widest_x, self.lowest_y, self.widest_x, self.highest_y)
    }
}

impl Parts {
    /// Returns the same parts, with box and bore axis no longer than they need
    /// at this crank angle: for paper, where nothing turns.
    #[must_use]
    pub fn standing_still(mut self) -> Self {
        let boxes = self.pieces.iter().map(|piece| piece.outline.bounding_box());
        let circles = self.lines.iter().filter(|line| line.kind == LineKind::ThrowCircle);
        let boxes = boxes.chain(circles.map(|line| line.path.bounding_box()));
        let lowest_y = boxes.map(|b| b.y0).fold(f64::INFINITY, f64::min);
        let shorter = lowest_y - self.datums.lowest_y;
        if shorter > 0.0 && shorter.is_finite() {
            for line in self.lines.iter_mut().filter(|line| line.kind == LineKind::BoreAxis) {
                let axis = line.path.bounding_box();
                line.path = outline::line((0.0, axis.y0 + shorter), (0.0, axis.y1));
            }
            self.datums.lowest_y = lowest_y;
        }
        self
    }
}

/// Returns the parts at a crank angle in radians after PISTON top dead centre.
#[must_use]
pub fn parts(input: &PartsInput, crank_rad: f64) -> Parts {
    let sizes = Sizes::of(input, crank_rad);
    let mut pieces = vec![rod::web(&sizes), piston::boss(&sizes), rod::rod(&sizes)];
    pieces.extend([rod::pin(&sizes), rod::crankpin(&sizes)]);
    match input.construction {
        Construction::FinnedBarrel => {
            pieces.push(case::case(&sizes));
            pieces.push(barrel::barrel(&sizes));
            pieces.push(head::finned(&sizes, &input.chamber));
        }
        Construction::Block => {
            pieces.push(block::block(&sizes));
            pieces.push(block::head(&sizes, &input.chamber));
        }
        Construction::WetLiners => {
            pieces.push(block::lined(&sizes));
            pieces.push(block::liner(&sizes));
            pieces.push(block::head(&sizes, &input.chamber));
        }
        Construction::TwoStroke => {
            pieces.push(case::case(&sizes));
            pieces.push(two_stroke::barrel(&sizes));
            pieces.extend(two_stroke::head(&sizes, &input.chamber));
        }
    }
    pieces.push(piston::piston(&sizes, &input.crown));
    pieces.push(piston::rings(&sizes));
    if !input.construction.is_block() {
        pieces.extend(case::under_barrel(&sizes));
    }
    pieces.extend(head::gasket(&sizes));

    let fixed = pieces.iter().filter(|piece| piece.moves == Moves::Fixed);
    let around = fixed.map(|piece| piece.outline.bounding_box()).reduce(|a, b| a.union(b));
    let around = around.unwrap_or(Rect::ZERO).union(sizes.swept());
    let datums = Datums {
        crankpin: sizes.crankpin,
        pin: sizes.pin,
        rim_y: sizes.rim_y,
        seat_y: sizes.seat_y,
        foot_y: sizes.foot_y,
        top_y: sizes.top_y,
        joint_y: sizes.joint_y,
        band_y: sizes.joint_y + input.chamber.head_step_mm(),
        bore_x: sizes.half,
        land_x: sizes.land_x,
        foot_x: sizes.foot_x,
        widest_x: around.x1.max(-around.x0),
        highest_y: around.y1,
        lowest_y: around.y0,
    };
    Parts { pieces, lines: lines(&sizes, &datums), datums }
}

/// Returns axes, the throw circle and the other dead centre.
fn lines(sizes: &Sizes, datums: &Datums) -> Vec<PartLine> {
    let beyond = 0.06 * sizes.bore;
    let line = |kind, from: (f64, f64), to: (f64, f64)| PartLine { kind, path: outline::line(from, to) };
    let across = |kind, centre: Point, reach: f64| {
        line(kind, (centre.x - reach, centre.y), (centre.x + reach, centre.y))
    };
    let (low, high) = (datums.lowest_y - beyond, datums.highest_y + beyond);
    let mut lines = vec![
        line(LineKind::BoreAxis, (0.0, low), (0.0, high)),
        PartLine { kind: LineKind::ThrowCircle, path: outline::circle(Point::ZERO, sizes.throw) },
        across(LineKind::CrankAxis, Point::ZERO, sizes.throw + beyond),
        across(LineKind::PinAxis, sizes.pin, sizes.small_end_r + beyond),
        line(LineKind::RodAxis, (sizes.crankpin.x, sizes.crankpin.y), (sizes.pin.x, sizes.pin.y)),
        across(LineKind::OtherDeadCentre, Point::new(0.0, sizes.other_rim_y), sizes.half),
    ];
    if sizes.pin.x != 0.0 {
        let (top, bottom) = sizes.pin_travel;
        lines.push(line(
            LineKind::PinPath,
            (sizes.pin.x, bottom - beyond),
            (sizes.pin.x, top + sizes.small_end_r + beyond),
        ));
    }
    lines
}

#[cfg(test)]
mod tests;
