//! A water-cooled block, cylinders and case in one casting or with wet liners,
//! and its head.

use super::head::{edges, piece, plug_hole, shell};
use super::outline::{Corner, both_sides, broken, line, polygon};
use super::sizes::Sizes;
use super::{Edge, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::Key;
use crate::engine::solid::Chamber;
use kurbo::Point;

/// Returns the corners of the outside of a block from the top face down to the
/// crankcase, which is broken off, and up again to the shelf under the water.
fn outside(sizes: &Sizes) -> (Vec<Corner>, f64) {
    let part = |f: f64| sizes.part(f);
    let (top, low, outer) = (sizes.top_y, sizes.wall_low_y, sizes.foot_x);
    // The crankcase is clear of rod and web.
    let swept = sizes.swept().x1 + part(0.05);
    let skin = part(SKIN);
    let flare_inner = (swept + part(0.02)).max(outer - skin);
    let shelf = low + part(0.1);
    let (inner_end, outer_end) = ((flare_inner, low - part(0.32)), (flare_inner + skin, low - part(0.26)));
    let mut corners = vec![
        (outer, top, part(0.006)),
        (outer, shelf + part(0.1), part(0.1)),
        (flare_inner + skin, shelf - part(0.1), part(0.1)),
        (outer_end.0, outer_end.1, 0.0),
    ];
    corners.extend(broken(outer_end, inner_end, part(0.02)));
    corners.extend([
        (inner_end.0, inner_end.1, 0.0),
        (flare_inner, shelf - part(0.14), part(0.08)),
        (outer - skin, shelf, part(0.06)),
    ]);
    (corners, shelf)
}

/// Thickness of a block's walls, as a part of the bore.
const SKIN: f64 = 0.07;
/// Thickness of its deck.
const DECK: f64 = 0.09;

/// Returns the block: wall, water jacket, and the crankcase below, broken off.
pub(super) fn block(sizes: &Sizes) -> Piece {
    let part = |f: f64| sizes.part(f);
    let (half, top, low) = (sizes.half, sizes.top_y, sizes.wall_low_y);
    let (wall_x, outer, skin) = (sizes.spigot_x(), sizes.foot_x, part(SKIN));
    let [relief, end] = sizes.bore_end(low);
    let (around, shelf) = outside(sizes);
    let mut corners = vec![(half, top, 0.0)];
    corners.extend(around);
    corners.extend([(wall_x, shelf, part(0.03)), (wall_x, low, part(0.01)), relief, end]);
    let mut outline = both_sides(&polygon(&corners));
    let deck = part(DECK);
    let (high, floor) = (top - deck, (shelf + part(0.08)).min(top - 3.0 * deck));
    if floor > shelf + part(0.02) {
        let soft = part(0.035);
        let jacket = polygon(&[
            (wall_x, high, soft),
            (outer - skin, high, soft),
            (outer - skin, floor, soft),
            (wall_x, floor, soft),
        ]);
        outline.extend(both_sides(&jacket).elements().iter().copied());
    }
    let edge = |key, from, to| Edge { key, path: both_sides(&line(from, to)) };
    Piece {
        part: Part::Barrel,
        outline,
        measured: vec![
            edge(Key::Bore, (half, top), (half, end.1)),
            edge(Key::CaseHeight, (half, top), (outer - part(0.006), top)),
        ],
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, top),
    }
}

/// Returns the distance of a liner's flange from the axis.
fn flange_x(sizes: &Sizes) -> f64 {
    sizes.spigot_x() + sizes.part(0.045)
}

/// Returns the height at which the block holds a liner again, under the water;
/// never below the shelf, however short the block is.
fn register(sizes: &Sizes, shelf: f64) -> f64 {
    (shelf + sizes.part(0.12)).min(sizes.top_y - 2.2 * sizes.part(DECK)).max(shelf)
}

/// Returns a block for wet liners: a seat for the flange in the deck, water, a
/// register with two seals below.
pub(super) fn lined(sizes: &Sizes) -> Piece {
    let part = |f: f64| sizes.part(f);
    let (top, outer, skin) = (sizes.top_y, sizes.foot_x, part(SKIN));
    let (wall_x, flange_x, deck) = (sizes.spigot_x(), flange_x(sizes), part(DECK));
    let (around, shelf) = outside(sizes);
    let (high, floor, soft) = (top - 1.6 * deck, register(sizes, shelf), part(0.035));
    let mut corners = vec![(flange_x, top, 0.0)];
    corners.extend(around);
    corners.extend([
        (wall_x, shelf, 0.0),
        (wall_x, floor, 0.0),
        (outer - skin, floor, soft),
        (outer - skin, high, soft),
        (wall_x, high, 0.0),
        (wall_x, top - deck, 0.0),
        (flange_x, top - deck, 0.0),
    ]);
    let groove = |y: f64| {
        let (depth, tall) = (part(0.022), part(0.022));
        let corners = [
            (wall_x, y, 0.0),
            (wall_x + depth, y, 0.0),
            (wall_x + depth, y - tall, 0.0),
            (wall_x, y - tall, 0.0),
        ];
        both_sides(&polygon(&corners))
    };
    Piece {
        part: Part::Case,
        outline: both_sides(&polygon(&corners)),
        measured: vec![Edge {
            key: Key::CaseHeight,
            path: both_sides(&line((flange_x, top), (outer - part(0.006), top))),
        }],
        details: vec![groove(floor - part(0.025)), groove(floor - part(0.075))],
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, top),
    }
}

/// Returns a wet liner, hung in the block by its flange.
pub(super) fn liner(sizes: &Sizes) -> Piece {
    let (half, top, low) = (sizes.half, sizes.top_y, sizes.wall_low_y);
    let (wall_x, flange_x, deck) = (sizes.spigot_x(), flange_x(sizes), sizes.part(DECK));
    let [relief, end] = sizes.bore_end(low);
    let corners = [
        (half, top, 0.0),
        (flange_x, top, 0.0),
        (flange_x, top - deck, 0.0),
        (wall_x, top - deck, 0.0),
        (wall_x, low, sizes.part(0.01)),
        relief,
        end,
    ];
    let edge = |key, from, to| Edge { key, path: both_sides(&line(from, to)) };
    Piece {
        part: Part::Barrel,
        outline: both_sides(&polygon(&corners)),
        measured: vec![
            edge(Key::Bore, (half, top), (half, end.1)),
            edge(Key::CaseHeight, (half, top), (flange_x, top)),
        ],
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, top),
    }
}

/// Returns the head of a block: a deck, water over the chamber, a boss for the
/// plug.
pub(super) fn head(sizes: &Sizes, chamber: &Chamber) -> Piece {
    let part = |f: f64| sizes.part(f);
    let (joint, outer) = (sizes.joint_y, sizes.foot_x);
    let over = |from: f64, to: f64| sizes.roof_over(chamber, part(from), part(to));
    let roof = over(0.0, 0.5);
    let deck = part(0.1);
    let tall = (roof + part(0.34)).max(part(0.46));
    let (skin, boss_x) = (part(0.06), sizes.plug_r + part(0.045));
    let mut outline = shell(
        sizes,
        chamber,
        &[
            (outer, joint, part(0.006)),
            (outer, joint + tall, part(0.03)),
            (boss_x, joint + tall, part(0.015)),
            (boss_x, joint + tall + part(0.05), part(0.008)),
            (0.0, joint + tall + part(0.05), 0.0),
        ],
    );
    outline.extend(plug_hole(sizes, chamber, joint + tall + part(0.05)).elements().iter().copied());
    // Water: low next to the chamber, higher over it.
    let soft = part(0.03);
    let (high, floor) = (joint + tall - part(0.07), joint + deck);
    let beside = (sizes.half + part(0.02)).min(outer - 2.0 * skin);
    let water = polygon(&[
        (boss_x + part(0.02), high, soft),
        (outer - skin, high, soft),
        (outer - skin, floor, soft),
        (beside, floor, soft),
        (beside - part(0.06), joint + over(0.3, 0.5) + deck, soft),
        (part(0.3), joint + over(0.16, 0.42) + deck, soft),
        (boss_x + part(0.02), joint + over(0.0, 0.35) + deck, soft),
    ]);
    outline.extend(both_sides(&water).elements().iter().copied());
    piece(outline, edges(sizes, chamber, outer - part(0.006)), joint)
}
