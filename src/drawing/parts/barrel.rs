//! A separate air-cooled barrel: foot, fins, spigot.

use super::outline::{Corner, both_sides, line, polygon};
use super::sizes::Sizes;
use super::{Edge, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::Key;
use kurbo::Point;

/// Distance from fin to fin, as a fraction of the bore.
const FIN_PITCH: f64 = 0.082;
/// Thickness of a fin at its root and at its tip, as fractions of the bore.
const FIN_ROOT: f64 = 0.036;
const FIN_TIP: f64 = 0.022;

/// Returns the corners down the outside of a finned wall of radius `root_x`,
/// between `high` and `low`, `pitch` of the bore apart; the fins extend from
/// `high_x` at the top to `low_x` at the bottom. Empty where no fin has room.
pub(super) fn fins(
    sizes: &Sizes,
    pitch: f64,
    root_x: f64,
    (high, high_x): (f64, f64),
    (low, low_x): (f64, f64),
) -> Vec<Corner> {
    let count = ((high - low) / sizes.part(pitch)).floor();
    // Never more than a barrel has: the loop is bounded whatever comes in.
    let count = count.clamp(0.0, 60.0);
    let even = (high - low) / count.max(1.0);
    let (root, tip) = (sizes.part(FIN_ROOT) / 2.0, sizes.part(FIN_TIP) / 2.0);
    let (hollow, soft) = (sizes.part(0.012), sizes.part(0.008));
    let mut corners = Vec::new();
    let mut k = 0.5;
    while k < count {
        let y = high - even * k;
        let tip_x = high_x + (low_x - high_x) * (k / count);
        corners.extend([
            (root_x, y + root, hollow),
            (tip_x, y + tip, soft),
            (tip_x, y - tip, soft),
            (root_x, y - root, hollow),
        ]);
        k += 1.0;
    }
    corners
}

/// Returns the barrel cut through its axis.
pub(super) fn barrel(sizes: &Sizes) -> Piece {
    let part = |f: f64| sizes.part(f);
    let (half, top, foot) = (sizes.half, sizes.barrel_top_y, sizes.foot_y);
    let outside = sizes.spigot_x();
    let tall = top - foot;
    let (collar, flange) = (part(0.075).min(0.25 * tall), part(0.07).min(0.25 * tall));
    let low = sizes.wall_low_y + (foot - sizes.seat_y);
    let [relief, end] = sizes.bore_end(low);

    let mut corners = vec![
        (half, top, 0.0),
        (sizes.joint_x, top, part(0.006)),
        (sizes.joint_x, top - collar, part(0.012)),
        (outside, top - collar, part(0.012)),
    ];
    let between = (top - collar - part(0.02), sizes.fin_x);
    corners.extend(fins(
        sizes,
        FIN_PITCH,
        outside,
        between,
        (foot + flange + part(0.02), sizes.fin_x - part(0.04)),
    ));
    corners.extend([
        (outside, foot + flange, part(0.02)),
        (sizes.foot_x, foot + flange, part(0.012)),
        (sizes.foot_x, foot, part(0.006)),
        (outside, foot, 0.0),
        (outside, low, part(0.01)),
        relief,
        end,
    ]);
    let edge = |key, from, to| Edge { key, path: both_sides(&line(from, to)) };
    Piece {
        part: Part::Barrel,
        outline: both_sides(&polygon(&corners)),
        measured: vec![
            edge(Key::Bore, (half, top), (half, end.1)),
            edge(Key::BarrelLength, (half, top), (sizes.joint_x - part(0.006), top)),
            edge(Key::BarrelLength, (outside, foot), (sizes.foot_x - part(0.006), foot)),
        ],
        details: Vec::new(),
        cut: true,
        moves: Moves::Fixed,
        anchor: Point::new(0.0, foot),
    }
}
