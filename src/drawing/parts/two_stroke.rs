//! Two-strokes: barrel with ports and water jacket, head insert with its
//! sealing rings, and the cover over it.

use super::head::{edges, piece, plug_hole, shell};
use super::outline::{Corner, both_sides, circle, line, mirrored, polygon, strips};
use super::sizes::Sizes;
use super::{Edge, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::Key;
use crate::engine::solid::Chamber;
use kurbo::{BezPath, Point};

/// Radius of a sealing ring's section.
const SEAL: f64 = 0.018;

/// Returns the distances of the sealing rings between barrel and head from the
/// axis.
fn seals(sizes: &Sizes) -> [f64; 2] {
    [sizes.half + sizes.part(0.055), sizes.joint_x - sizes.part(0.055)]
}

/// Returns whether rings seal the joint, there being no gasket.
fn sealed(sizes: &Sizes) -> bool {
    sizes.joint_y <= sizes.top_y
}

/// Returns the barrel: the exhaust port opens to the right, the transfer port
/// to the left and leads down into the case.
pub(super) fn barrel(sizes: &Sizes) -> Piece {
    let part = |f: f64| sizes.part(f);
    let (half, top, foot) = (sizes.half, sizes.barrel_top_y, sizes.foot_y);
    let (wall_x, outer) = (sizes.spigot_x(), sizes.joint_x);
    let low = sizes.wall_low_y + (foot - sizes.seat_y);
    let [relief, mut end] = sizes.bore_end(low);
    let rim_top = sizes.rim_travel.0;
    let exhaust = rim_top - sizes.ports.exhaust;
    let transfer = rim_top - sizes.ports.transfer;
    let floor = rim_top - sizes.ports.floor;
    // The relief ends under the ports.
    end.1 = end.1.min(floor - part(0.04)).max(low);
    let skin = part(0.06);
    let jacket_x = outer - skin;

    // Right, above and below the exhaust port; the passage falls outward.
    let fall = part(0.1);
    let drop = (exhaust - fall - part(0.02)).max(floor - fall + part(0.02));
    let above = polygon(&[
        (half, top, 0.0),
        (outer, top, part(0.006)),
        (outer, drop, 0.0),
        (wall_x, exhaust - part(0.02), part(0.03)),
        (half, exhaust, 0.0),
    ]);
    let under = (floor - fall).max(foot + part(0.09));
    let below = polygon(&[
        (half, floor, 0.0),
        (wall_x, floor - part(0.01), part(0.03)),
        (outer, under, 0.0),
        (sizes.foot_x, foot, part(0.006)),
        (wall_x, foot, 0.0),
        (wall_x, low, part(0.01)),
        relief,
        end,
    ]);
    // Left: the outer wall goes past the transfer passage down to the foot.
    let passage = wall_x + part(0.115);
    let hook = polygon(&[
        (half, top, 0.0),
        (outer, top, part(0.006)),
        (sizes.foot_x, foot, part(0.006)),
        (passage, foot, 0.0),
        (passage, transfer - part(0.08), part(0.08)),
        (wall_x, transfer - part(0.01), part(0.03)),
        (half, transfer, 0.0),
    ]);
    let bridge = polygon(&[
        (half, floor, 0.0),
        (wall_x, floor - part(0.02), part(0.02)),
        (wall_x, low, part(0.01)),
        relief,
        end,
    ]);
    let mut outline = above;
    for area in [below, mirrored(&hook, 0.0), mirrored(&bridge, 0.0)] {
        outline.extend(area.elements().iter().copied());
    }
    // Water round the hot end, as far down as both ports leave metal.
    let soft = part(0.03);
    let jacket = |low: f64| -> Option<BezPath> {
        let high = top - part(0.05);
        (high - low > part(0.1)).then(|| {
            polygon(&[
                (wall_x, high, soft),
                (jacket_x, high, soft),
                (jacket_x, low, soft),
                (wall_x, low, soft),
            ])
        })
    };
    let water = [jacket(exhaust + part(0.07)), jacket(transfer + part(0.07)).map(|j| mirrored(&j, 0.0))];
    for area in water.iter().flatten() {
        outline.extend(area.elements().iter().copied());
    }
    if sealed(sizes) {
        for x in seals(sizes) {
            let r = part(SEAL);
            outline.extend(strips(x - r, x + r, top - 1.8 * r, top).elements().iter().copied());
        }
    }

    let edge = |key, path| Edge { key, path };
    let wall = |from: f64, to: f64| line((half, from), (half, to));
    let left = |path: BezPath| mirrored(&path, 0.0);
    let mut measured = vec![
        edge(Key::Bore, wall(top, exhaust)),
        edge(Key::Bore, wall(floor, end.1)),
        edge(Key::Bore, left(wall(top, transfer))),
        edge(Key::Bore, left(wall(floor, end.1))),
        edge(Key::BarrelLength, both_sides(&line((half, top), (outer - part(0.006), top)))),
        edge(Key::BarrelLength, line((wall_x, foot), (sizes.foot_x - part(0.006), foot))),
        edge(Key::BarrelLength, left(line((passage, foot), (sizes.foot_x - part(0.006), foot)))),
    ];
    if sizes.ports.timed {
        measured.push(edge(Key::PortClosing, line((half, exhaust), (wall_x, exhaust - part(0.02)))));
    }
    Piece {
        part: Part::Barrel,
        outline,
        measured,
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, foot),
    }
}

/// Returns the insert with the chamber, the cover over it, and their sealing
/// rings where no gasket lies between them.
pub(super) fn head(sizes: &Sizes, chamber: &Chamber) -> Vec<Piece> {
    let part = |f: f64| sizes.part(f);
    let joint = sizes.joint_y;
    let over = |from: f64, to: f64| sizes.roof_over(chamber, part(from), part(to));
    let insert_x = sizes.half + part(0.12);
    let edge_y = (over(0.4, 0.5) + part(0.1)).max(part(0.13));
    let dome = (over(0.0, 0.5) + part(0.13)).max(edge_y + part(0.06));
    let (boss_x, cover_y) = (sizes.plug_r + part(0.05), dome + part(0.17));
    let boss = cover_y + part(0.1);
    let mut insert = shell(
        sizes,
        chamber,
        &[
            (insert_x, joint, part(0.004)),
            (insert_x, joint + edge_y, part(0.02)),
            (part(0.34), joint + dome.max(over(0.2, 0.42) + part(0.1)), part(0.05)),
            (boss_x, joint + dome, part(0.03)),
            (boss_x, joint + boss, part(0.008)),
            (0.0, joint + boss, 0.0),
        ],
    );
    insert.extend(plug_hole(sizes, chamber, joint + boss).elements().iter().copied());

    let (outer, skin) = (sizes.joint_x, part(0.075));
    let lid: Vec<Corner> = vec![
        (outer - part(0.11), joint, 0.0),
        (outer, joint, part(0.004)),
        (outer, joint + cover_y - part(0.05), part(0.05)),
        (outer - part(0.1), joint + cover_y + part(0.03), part(0.05)),
        (boss_x, joint + cover_y + part(0.03), 0.0),
        (boss_x, joint + cover_y - part(0.06), 0.0),
        (outer - skin - part(0.06), joint + cover_y - skin + part(0.02), part(0.03)),
        (outer - part(0.11), joint + cover_y - skin - part(0.06), part(0.03)),
    ];
    let lid = both_sides(&polygon(&lid));

    let mut pieces = vec![
        piece(insert, edges(sizes, chamber, insert_x - part(0.004)), joint),
        piece(lid, Vec::new(), joint + cover_y),
    ];
    if sealed(sizes) {
        let mut rings = BezPath::new();
        for x in seals(sizes) {
            let section = circle(Point::new(x, joint - 0.9 * part(SEAL)), 0.9 * part(SEAL));
            rings.extend(both_sides(&section).elements().iter().copied());
        }
        pieces.push(Piece {
            part: Part::Gasket,
            outline: rings,
            measured: Vec::new(),
            details: Vec::new(),
            cut: true,
            moves: Moves::Fixed,
            anchor: Point::new(0.0, joint),
        });
    }
    pieces
}
