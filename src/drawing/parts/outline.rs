//! Outlines of assumed shapes: polygons with rounded corners, circles, break
//! lines, mirrored halves.

use crate::engine::num::{PI, cos, hypot, sin_cos, tan};
use kurbo::{Affine, BezPath, Point, Vec2};

/// A corner of an outline and the radius of its rounding.
pub(super) type Corner = (f64, f64, f64);

#[must_use]
pub(super) fn line(from: (f64, f64), to: (f64, f64)) -> BezPath {
    polyline(&[from, to])
}

/// Returns an open line through points.
#[must_use]
pub(super) fn polyline(points: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (i, &point) in points.iter().enumerate() {
        if i == 0 { path.move_to(point) } else { path.line_to(point) }
    }
    path
}

#[must_use]
pub(super) fn circle(centre: Point, radius: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(centre + Vec2::new(radius, 0.0));
    arc(&mut path, centre, radius, 0.0, 2.0 * PI);
    path.close_path();
    path
}

/// Continues a path by an arc round `centre`, from one angle to another, both
/// from the x axis in radians. The path ends at the arc's start.
pub(super) fn arc(path: &mut BezPath, centre: Point, radius: f64, from: f64, to: f64) {
    // Eighths of a turn: cubics miss such an arc by 4e-6 of its radius.
    let pieces = ((to - from).abs() / (PI / 4.0)).ceil().max(1.0);
    let step = (to - from) / pieces;
    let handle = radius * 4.0 / 3.0 * tan(step / 4.0);
    let mut done = 0.0;
    while done < pieces {
        let ((s0, c0), (s1, c1)) = (sin_cos(from + step * done), sin_cos(from + step * (done + 1.0)));
        let (p, q) = (Vec2::new(c0, s0), Vec2::new(c1, s1));
        path.curve_to(
            centre + p * radius + Vec2::new(-s0, c0) * handle,
            centre + q * radius - Vec2::new(-s1, c1) * handle,
            centre + q * radius,
        );
        done += 1.0;
    }
}

/// Returns a closed polygon with rounded corners. A rounding that finds no room
/// on its two sides is made as large as they allow.
#[must_use]
pub(super) fn polygon(corners: &[Corner]) -> BezPath {
    let mut path = BezPath::new();
    let n = corners.len();
    for i in 0..n {
        let [before, at, after] = [(i + n - 1) % n, i, (i + 1) % n].map(|k| corners.get(k).copied());
        if let (Some(before), Some(at), Some(after)) = (before, at, after) {
            round(&mut path, before, at, after);
        }
    }
    path.close_path();
    path
}

/// Returns an open line with rounded corners between its ends.
#[must_use]
pub(super) fn rounded(corners: &[Corner]) -> BezPath {
    let mut path = BezPath::new();
    if let Some(&(x, y, _)) = corners.first() {
        path.move_to((x, y));
    }
    for three in corners.windows(3) {
        if let &[before, at, after] = three {
            round(&mut path, before, at, after);
        }
    }
    if let (Some(&(x, y, _)), true) = (corners.last(), corners.len() > 1) {
        path.line_to((x, y));
    }
    path
}

/// Appends the corner `at` with its rounding.
fn round(path: &mut BezPath, before: Corner, at: Corner, after: Corner) {
    let start = path.elements().is_empty();
    let mut go = |p: Point| if start { path.move_to(p) } else { path.line_to(p) };
    let corner = Point::new(at.0, at.1);
    let (back, on) = (Point::new(before.0, before.1) - corner, Point::new(after.0, after.1) - corner);
    let (a, b) = (back.hypot(), on.hypot());
    if !(at.2 > 0.0 && a > 0.0 && b > 0.0) {
        go(corner);
        return;
    }
    let (back, on) = (back / a, on / b);
    // Half the angle between both sides; the rounding touches them r/tan of
    // it from the corner and turns by 180° less the whole angle.
    let half = crate::engine::num::acos(back.dot(on).clamp(-1.0, 1.0)) / 2.0;
    let reach = (at.2 / tan(half)).min(0.48 * a.min(b));
    let radius = reach * tan(half);
    let handle = radius * 4.0 / 3.0 * tan((PI / 2.0 - half) / 2.0);
    let (p, q) = (corner + back * reach, corner + on * reach);
    go(p);
    path.curve_to(p - back * handle, q - on * handle, q);
}

/// Returns the corners of a break line between two points: where a part goes on
/// but is not shown. Neither end is among them.
#[must_use]
pub(super) fn broken(from: (f64, f64), to: (f64, f64), depth: f64) -> Vec<Corner> {
    let way = Vec2::new(to.0 - from.0, to.1 - from.1);
    let length = hypot(way.x, way.y);
    if length == 0.0 {
        return Vec::new();
    }
    let side = Vec2::new(-way.y, way.x) / length * depth;
    // Uneven on purpose: even teeth would look like a machined edge.
    [(0.14, 0.7), (0.31, -0.8), (0.48, 0.9), (0.63, -0.6), (0.83, 1.0)]
        .iter()
        .map(|&(t, s)| {
            let p = Point::new(from.0, from.1) + way * t + side * s;
            (p.x, p.y, depth)
        })
        .collect()
}

/// Returns the closed outline whose right half runs from its top to its bottom
/// on the axis x = `axis`.
#[must_use]
pub(super) fn closed_from_half(right: &BezPath, axis: f64) -> BezPath {
    let mut path = right.clone();
    join(&mut path, &mirrored(right, axis).reverse_subpaths());
    path.close_path();
    path
}

/// Returns the path and its mirror image in x = 0 as one.
#[must_use]
pub(super) fn both_sides(right: &BezPath) -> BezPath {
    let mut path = right.clone();
    path.extend(mirrored(right, 0.0).elements().iter().copied());
    path
}

/// Returns the mirror image in x = `axis`.
#[must_use]
pub(super) fn mirrored(path: &BezPath, axis: f64) -> BezPath {
    Affine::new([-1.0, 0.0, 0.0, 1.0, 2.0 * axis, 0.0]) * path.clone()
}

/// Continues a path by another one, leaving out its start.
pub(super) fn join(path: &mut BezPath, next: &BezPath) {
    for (i, element) in next.elements().iter().enumerate() {
        match (i, *element) {
            (0, kurbo::PathEl::MoveTo(p)) => {
                if path.current_position().is_none() {
                    path.move_to(p);
                } else {
                    path.line_to(p);
                }
            }
            (_, element) => path.push(element),
        }
    }
}

/// Returns two upright strips, one on each side of the axis, between `inner`
/// and `outer` from `low` to `high`.
#[must_use]
pub(super) fn strips(inner: f64, outer: f64, low: f64, high: f64) -> BezPath {
    both_sides(&polygon(&[(inner, high, 0.0), (outer, high, 0.0), (outer, low, 0.0), (inner, low, 0.0)]))
}

/// Returns a profile's path with both of its ends brought to the height `y`:
/// where the profile was cut at a wall, the wall is drawn too.
#[must_use]
pub(super) fn ending_at(path: &BezPath, y: f64) -> BezPath {
    let Some(last) = path.current_position() else { return path.clone() };
    let mut whole = BezPath::new();
    if let Some(kurbo::PathEl::MoveTo(first)) = path.elements().first() {
        whole.move_to((first.x, y));
    }
    join(&mut whole, path);
    whole.line_to((last.x, y));
    whole
}

/// Returns half of the chord of a circle at the distance `y` from its centre; 0
/// outside.
#[must_use]
pub(super) fn half_chord(radius: f64, y: f64) -> f64 {
    f64::sqrt((radius * radius - y * y).max(0.0))
}

/// Returns sine and cosine of the angle `deg`.
#[must_use]
pub(super) fn turn(deg: f64) -> (f64, f64) {
    (sin_cos(deg.to_radians()).0, cos(deg.to_radians()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape as _;

    #[test]
    fn rounding_takes_the_corner_and_no_more() {
        let sharp = polygon(&[(0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 6.0, 0.0), (0.0, 6.0, 0.0)]);
        assert!((sharp.area().abs() - 60.0).abs() < 1e-12);
        let soft = polygon(&[(0.0, 0.0, 1.0), (10.0, 0.0, 1.0), (10.0, 6.0, 1.0), (0.0, 6.0, 1.0)]);
        // Four corners lose (1 − π/4)r² each.
        assert!((soft.area().abs() - (60.0 - (4.0 - PI))).abs() < 2e-3, "{}", soft.area());
        let greedy = polygon(&[(0.0, 0.0, 99.0), (10.0, 0.0, 99.0), (10.0, 6.0, 99.0), (0.0, 6.0, 99.0)]);
        assert!(greedy.is_finite() && greedy.area().abs() < 60.0);
    }

    #[test]
    fn a_circle_has_its_area() {
        let circle = circle(Point::new(3.0, -2.0), 5.0);
        assert!((circle.area().abs() / (25.0 * PI) - 1.0).abs() < 1e-5);
    }

    #[test]
    fn a_half_becomes_a_whole_on_its_axis() {
        let right = rounded(&[(2.0, 4.0, 0.0), (5.0, 4.0, 0.0), (5.0, -1.0, 0.0), (2.0, -1.0, 0.0)]);
        let whole = closed_from_half(&right, 2.0);
        assert!((whole.area().abs() - 30.0).abs() < 1e-12);
        assert_eq!(whole.bounding_box(), kurbo::Rect::new(-1.0, -1.0, 5.0, 4.0));
    }

    #[test]
    fn a_break_line_stays_near_its_chord() {
        let corners = broken((0.0, 0.0), (10.0, 0.0), 0.5);
        assert!(corners.iter().all(|&(x, y, _)| (0.0..10.0).contains(&x) && y.abs() <= 0.5));
        assert!(broken((1.0, 1.0), (1.0, 1.0), 0.5).is_empty());
    }
}
