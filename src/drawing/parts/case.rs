//! The case under a separate barrel, and the gasket and shims between the two.

use super::outline::{both_sides, broken, line, polygon, strips};
use super::sizes::Sizes;
use super::{Edge, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::Key;
use kurbo::Point;

/// Room between the spigot and its hole in the case.
const SPIGOT_CLEARANCE: f64 = 0.006;

/// Returns the case round the hole for the spigot, broken off below.
pub(super) fn case(sizes: &Sizes) -> Piece {
    let (seat, part) = (sizes.seat_y, |f: f64| sizes.part(f));
    let hole = sizes.spigot_x() + part(SPIGOT_CLEARANCE);
    let outer = sizes.foot_x + part(0.03);
    // Down along the spigot, then outward away from the crank.
    let deep = (seat - sizes.wall_low_y).max(part(0.12));
    let (inner_end, outer_end) =
        ((hole + part(0.14), seat - deep - part(0.18)), (outer + part(0.12), seat - part(0.3)));
    let mut corners = vec![
        (hole, seat, 0.0),
        (outer, seat, part(0.012)),
        (outer + part(0.01), seat - part(0.06), part(0.03)),
        (outer_end.0, outer_end.1, 0.0),
    ];
    corners.extend(broken(outer_end, inner_end, part(0.022)));
    corners.extend([(inner_end.0, inner_end.1, 0.0), (hole, seat - deep + part(0.03), part(0.04))]);
    Piece {
        part: Part::Case,
        outline: both_sides(&polygon(&corners)),
        measured: vec![Edge {
            key: Key::CaseHeight,
            path: both_sides(&line((hole, seat), (outer - part(0.012), seat))),
        }],
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, seat),
    }
}

/// Returns base gasket and shims, each as thick as it is, from the case upward.
pub(super) fn under_barrel(sizes: &Sizes) -> Vec<Piece> {
    let hole = sizes.spigot_x() + sizes.part(SPIGOT_CLEARANCE);
    let mut low = sizes.seat_y;
    let mut piece = |part, key, thickness: f64| {
        let outline = strips(hole, sizes.foot_x, low, low + thickness);
        let faces = [low, low + thickness].map(|y| both_sides(&line((hole, y), (sizes.foot_x, y))));
        let anchor = Point::new(0.0, low);
        low += thickness;
        Piece {
            part,
            outline,
            measured: faces.into_iter().map(|path| Edge { key, path }).collect(),
            details: Vec::new(),
            cut: true,
            moves: Moves::Fixed,
            anchor,
        }
    };
    let mut pieces = Vec::new();
    if sizes.base_gasket > 0.0 {
        pieces.push(piece(Part::Gasket, Key::BaseGasket, sizes.base_gasket));
    }
    for &foil in &sizes.foils {
        pieces.push(piece(Part::Shim, Key::BaseShim, foil));
    }
    pieces
}
