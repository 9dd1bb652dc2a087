//! Rod, pins and web. The rod lies in the section plane lengthwise and is
//! shown whole; the pins are seen end-on and cut across.

use super::outline::{self, arc, circle, closed_from_half, half_chord, turn};
use super::sizes::Sizes;
use super::{Construction, Moves, Piece};
use crate::drawing::list::Part;
use crate::engine::num::{PI, atan2};
use kurbo::{Affine, BezPath, Point, Vec2};

/// Returns the rod, drawn with the crankpin at the origin and the piston pin
/// above.
pub(super) fn rod(sizes: &Sizes) -> Piece {
    let (small, big, length) = (sizes.small_end_r, sizes.big_end_r, sizes.rod);
    let whole = sizes.construction == Construction::TwoStroke;
    // Half widths of the shank where it leaves each end.
    let (narrow, wide) = (0.66 * small, if whole { 0.62 * big } else { 0.68 * big });
    let (top, bottom) = (length - 1.75 * small, (1.6 * big).min(0.45 * length));

    // Up along the shank's side, so that it leaves both ends without a corner.
    let up = Vec2::new(narrow - wide, top - bottom);
    let up = up / up.hypot();

    let mut right = BezPath::new();
    right.move_to((0.0, length + small));
    // Round the small end, then into the shank without a corner.
    let leave = -38.0_f64;
    arc(&mut right, Point::new(0.0, length), small, PI / 2.0, leave.to_radians());
    let (sin, cos) = turn(leave);
    let off = Point::new(small * cos, length + small * sin);
    right.curve_to(
        off + Vec2::new(sin, -cos) * (0.45 * small),
        Point::new(narrow, top) + up * (0.5 * small),
        Point::new(narrow, top),
    );
    right.line_to((wide, bottom));
    let mut details = Vec::new();
    if whole {
        // One closed eye.
        let meet = 40.0_f64;
        let (sin, cos) = turn(meet);
        let on = Point::new(big * cos, big * sin);
        right.curve_to(
            Point::new(wide, bottom) - up * (0.4 * big),
            on + Vec2::new(-sin, cos) * (0.35 * big),
            on,
        );
        arc(&mut right, Point::ZERO, big, meet.to_radians(), -PI / 2.0);
    } else {
        // Lugs for the bolts on both sides of the cap's joint, and the seat
        // of their heads under the cap.
        let lug = 1.13 * big;
        let (nut, seat) = (0.46 * big, -0.34 * big);
        right.curve_to(
            Point::new(wide, bottom) - up * (0.4 * big),
            Point::new(0.82 * lug, nut + 0.35 * big),
            Point::new(0.9 * lug, nut + 0.06 * big),
        );
        let side = outline::rounded(&[
            (0.9 * lug, nut + 0.06 * big, 0.0),
            (lug, nut, 0.05 * big),
            (lug, seat, 0.05 * big),
            (half_chord(big, seat), seat, 0.0),
        ]);
        outline::join(&mut right, &side);
        arc(&mut right, Point::ZERO, big, atan2(seat, half_chord(big, seat)), -PI / 2.0);
        let joint = outline::line((sizes.crankpin_r, 0.0), (lug, 0.0));
        details.push(outline::both_sides(&joint));
    }
    let mut shape = closed_from_half(&right, 0.0);
    for eye in [circle(Point::new(0.0, length), sizes.pin_r), circle(Point::ZERO, sizes.crankpin_r)] {
        shape.extend(eye.elements().iter().copied());
    }
    details.extend(recess(sizes, narrow, wide, top, bottom));
    // The bush of the small end.
    details.push(circle(Point::new(0.0, length), (sizes.pin_r + 0.35 * (small - sizes.pin_r)).min(small)));

    let lean = atan2(sizes.pin.x - sizes.crankpin.x, sizes.pin.y - sizes.crankpin.y);
    let place = Affine::translate(sizes.crankpin.to_vec2()) * Affine::rotate(-lean);
    Piece {
        part: Part::Rod,
        outline: place * shape,
        measured: Vec::new(),
        details: details.into_iter().map(|path| place * path).collect(),
        cut: false,
        moves: Moves::WithRod,
        anchor: sizes.crankpin,
    }
}

/// Returns the hollow side of an I-shaped shank, where there is room for it.
fn recess(sizes: &Sizes, narrow: f64, wide: f64, top: f64, bottom: f64) -> Option<BezPath> {
    let (high, low) = (top - 0.1 * sizes.small_end_r, bottom + 0.25 * sizes.big_end_r);
    if high - low < 2.0 * wide {
        return None;
    }
    let width = |y: f64| 0.55 * (wide + (narrow - wide) * (y - bottom) / (top - bottom));
    let soft = 0.3 * narrow;
    let right = outline::rounded(&[
        (0.0, high, 0.0),
        (width(high), high - 0.5 * narrow, soft),
        (width(low), low + 0.5 * wide, soft),
        (0.0, low, 0.0),
    ]);
    Some(closed_from_half(&right, 0.0))
}

/// Returns a pin cut across, hollow.
fn tube(centre: Point, outer: f64, inner: f64, moves: Moves) -> Piece {
    let mut shape = circle(centre, outer);
    shape.extend(circle(centre, inner).elements().iter().copied());
    Piece {
        part: Part::Pin,
        outline: shape,
        measured: Vec::new(),
        details: Vec::new(),
        cut: true,
        moves,
        anchor: centre,
    }
}

pub(super) fn pin(sizes: &Sizes) -> Piece {
    tube(sizes.pin, sizes.pin_r, 0.55 * sizes.pin_r, Moves::WithPiston)
}

pub(super) fn crankpin(sizes: &Sizes) -> Piece {
    tube(sizes.crankpin, sizes.crankpin_r, 0.26 * sizes.crankpin_r, Moves::WithCrank)
}

/// Returns the web with its counterweight, drawn with the crankpin above.
pub(super) fn web(sizes: &Sizes) -> Piece {
    let (throw, reach) = (sizes.throw, sizes.web_r);
    let shape = if sizes.construction == Construction::TwoStroke {
        circle(Point::ZERO, reach)
    } else {
        let round = 1.2 * sizes.crankpin_r;
        let hub = (1.12 * round).min(0.9 * reach);
        // The sides come down from the crankpin past the hub and open into
        // the sector of the counterweight.
        let spread = -38.0_f64;
        let (sin, cos) = turn(spread);
        let tip = Point::new(reach * cos, reach * sin);
        let waist = hub.max(round).min(0.9 * tip.x.max(round));
        let mut right = BezPath::new();
        right.move_to((0.0, throw + round));
        arc(&mut right, Point::new(0.0, throw), round, PI / 2.0, 0.0);
        let side = outline::rounded(&[(round, throw, 0.0), (waist, 0.0, 1.2 * round), (tip.x, tip.y, 0.0)]);
        outline::join(&mut right, &side);
        arc(&mut right, Point::ZERO, reach, spread.to_radians(), -PI / 2.0);
        closed_from_half(&right, 0.0)
    };
    let place = Affine::rotate(-sizes.theta);
    Piece {
        part: Part::Web,
        outline: place * shape,
        measured: Vec::new(),
        details: vec![circle(Point::ZERO, 0.025 * sizes.bore)],
        cut: false,
        moves: Moves::WithCrank,
        anchor: Point::ZERO,
    }
}
