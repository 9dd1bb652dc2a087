//! Clipping areas and lines to a convex outline.
//!
//! An enlarged detail is cut to its circle here, in geometry, so that every
//! output draws it alike: one of them can only clip to rectangles.

use crate::engine::num::{self, PI};
use kurbo::{BezPath, Line, ParamCurveNearest as _, PathEl, Point, Rect, Vec2};

/// A closed outline as a row of corners, without the first one repeated.
pub type Ring = Vec<Point>;

/// A convex outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    /// Corners so that the inside lies on the side of [`inward`] of each edge.
    corners: Vec<Point>,
}

/// Returns the normal of an edge that points inside.
fn inward(edge: Vec2) -> Vec2 {
    Vec2::new(-edge.y, edge.x)
}

impl Convex {
    /// Returns a rectangle as an outline.
    #[must_use]
    pub fn rect(r: Rect) -> Self {
        let r = r.abs();
        Self {
            corners: vec![
                Point::new(r.x0, r.y0),
                Point::new(r.x1, r.y0),
                Point::new(r.x1, r.y1),
                Point::new(r.x0, r.y1),
            ],
        }
    }

    /// Returns a rectangle of the size `width` × `height`, turned
    /// counter-clockwise as seen (y down) about `pivot`, its lower left corner
    /// before turning lying at `pivot + (left, down)`.
    #[must_use]
    pub fn turned_rect(pivot: Point, turn_deg: f64, left: f64, down: f64, width: f64, height: f64) -> Self {
        let (sin, cos) = num::sin_cos(turn_deg.to_radians());
        let place = |x: f64, y: f64| pivot + Vec2::new(cos * x + sin * y, -sin * x + cos * y);
        let (right, top) = (left + width, down - height);
        Self { corners: vec![place(left, top), place(right, top), place(right, down), place(left, down)] }
    }

    /// Returns a regular polygon inside a circle that leaves it by at most
    /// `tolerance`: with n corners the sagitta is r(1 − cos(π/n)).
    #[must_use]
    pub fn circle(centre: Point, radius: f64, tolerance: f64) -> Self {
        let ratio = (1.0 - tolerance / radius).clamp(-1.0, 1.0);
        let half = num::acos(ratio).max(PI / 512.0);
        let count = (PI / half).ceil().clamp(12.0, 512.0);
        let corners = (0..count as u32).map(|i| {
            let (sin, cos) = num::sin_cos(2.0 * PI * f64::from(i) / count);
            centre + Vec2::new(cos, sin) * radius
        });
        Self { corners: corners.collect() }
    }

    /// Returns the corners in order.
    #[must_use]
    pub fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// Returns the smallest upright rectangle around it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        bounds(&self.corners)
    }

    fn edges(&self) -> impl Iterator<Item = (Point, Vec2)> + '_ {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(&a, &b)| (a, inward(b - a)))
    }

    /// Returns whether a point lies inside or on the edge.
    #[must_use]
    pub fn contains(&self, p: Point) -> bool {
        self.edges().all(|(a, normal)| normal.dot(p - a) >= 0.0)
    }

    /// Returns the distance of a point outside; 0 inside.
    #[must_use]
    pub fn distance(&self, p: Point) -> f64 {
        if self.contains(p) {
            return 0.0;
        }
        let next = self.corners.iter().cycle().skip(1);
        let edges = self.corners.iter().zip(next).map(|(&a, &b)| Line::new(a, b));
        let squares = edges.map(|edge| edge.nearest(p, 1e-9).distance_sq);
        squares.fold(f64::INFINITY, f64::min).sqrt()
    }

    /// Returns whether two convex outlines share more than an edge: no line
    /// along an edge of either keeps them apart (separating axis theorem).
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let apart = |a: &Self, b: &Self| {
            a.edges().any(|(corner, normal)| b.corners.iter().all(|&p| normal.dot(p - corner) <= 0.0))
        };
        !apart(self, other) && !apart(other, self)
    }

    /// Returns the part of a segment that lies inside, as the parameters of its
    /// ends from 0 to 1 (Cyrus–Beck), or `None` if it lies outside.
    #[must_use]
    pub fn inside(&self, line: Line) -> Option<(f64, f64)> {
        let way = line.p1 - line.p0;
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (corner, normal) in self.edges() {
            let distance = normal.dot(line.p0 - corner);
            let speed = normal.dot(way);
            if speed == 0.0 {
                if distance < 0.0 {
                    return None;
                }
            } else if speed > 0.0 {
                enter = enter.max(-distance / speed);
            } else {
                leave = leave.min(-distance / speed);
            }
        }
        (enter < leave).then_some((enter, leave))
    }

    /// Returns the stretches of a path that lie inside, as open lines; a path
    /// that lies inside as a whole is returned as it is.
    #[must_use]
    pub fn lines(&self, path: &BezPath, tolerance: f64) -> BezPath {
        let mut out = BezPath::new();
        let frame = path.control_box();
        if path.is_empty() || meet(frame, self.bounds()).is_none() {
            return out;
        }
        if self.holds(frame) {
            return path.clone();
        }
        let mut pen: Option<Point> = None;
        let around = self.bounds();
        for ring in lines_of(&straight_outside(path, around), tolerance) {
            for (a, b) in ring.iter().zip(ring.iter().skip(1)) {
                let line = Line::new(*a, *b);
                if meet(Rect::from_points(*a, *b), around).is_none() {
                    continue;
                }
                let Some((enter, leave)) = self.inside(line) else {
                    continue;
                };
                let at = |t: f64| {
                    if t == 0.0 {
                        *a
                    } else if t == 1.0 {
                        *b
                    } else {
                        a.lerp(*b, t)
                    }
                };
                let (from, to) = (at(enter), at(leave));
                if pen != Some(from) {
                    out.move_to(from);
                }
                out.line_to(to);
                pen = Some(to);
            }
            pen = None;
        }
        out
    }

    /// Returns the part of an area (even-odd rule) that lies inside
    /// (Sutherland–Hodgman, ring by ring; where a concave ring is cut into
    /// pieces they stay joined along the clipping edge, which the even-odd rule
    /// does not see).
    #[must_use]
    pub fn area(&self, path: &BezPath, tolerance: f64) -> Vec<Ring> {
        let frame = path.control_box();
        if path.is_empty() || meet(frame, self.bounds()).is_none() {
            return Vec::new();
        }
        if self.holds(frame) {
            return rings_of(path, tolerance);
        }
        // The rectangle around the outline first: it is four cuts and leaves
        // few corners for the many edges of a circle.
        let window = self.bounds();
        let around = Self::rect(window);
        let mut rings = rings_of(&straight_outside(path, window), tolerance);
        for ring in &mut rings {
            around.cut(ring);
            self.cut(ring);
        }
        rings.retain(|ring| ring.len() > 2);
        rings
    }

    fn holds(&self, r: Rect) -> bool {
        Self::rect(r).corners.iter().all(|&p| self.contains(p))
    }

    fn cut(&self, ring: &mut Ring) {
        let mut kept = Ring::with_capacity(ring.len() + 4);
        for (corner, normal) in self.edges() {
            if ring.iter().all(|&p| normal.dot(p - corner) >= 0.0) {
                continue;
            }
            kept.clear();
            let Some(&last) = ring.last() else {
                return;
            };
            let (mut a, mut da) = (last, normal.dot(last - corner));
            for &b in ring.iter() {
                let db = normal.dot(b - corner);
                if (da < 0.0) != (db < 0.0) {
                    kept.push(a.lerp(b, da / (da - db)));
                }
                if db >= 0.0 {
                    kept.push(b);
                }
                (a, da) = (b, db);
            }
            std::mem::swap(ring, &mut kept);
        }
    }
}

fn meet(a: Rect, b: Rect) -> Option<Rect> {
    let r = Rect::new(a.x0.max(b.x0), a.y0.max(b.y0), a.x1.min(b.x1), a.y1.min(b.y1));
    (r.x0 <= r.x1 && r.y0 <= r.y1).then_some(r)
}

/// Returns the path with every curve that stays outside the window made
/// straight: curve and chord both lie in the box of the curve's control points,
/// so the part inside the window stays the same, and the part outside needs no
/// flattening.
fn straight_outside(path: &BezPath, window: Rect) -> BezPath {
    let mut at = Point::ZERO;
    let elements = path.elements().iter().map(|&el| {
        let hull = match el {
            PathEl::QuadTo(a, b) => Some(Rect::from_points(at, a).union_pt(b)),
            PathEl::CurveTo(a, b, c) => Some(Rect::from_points(at, a).union_pt(b).union_pt(c)),
            _ => None,
        };
        // A closing line leads back to a start that only a move can leave.
        at = el.end_point().unwrap_or(at);
        match hull {
            Some(hull) if meet(hull, window).is_none() => PathEl::LineTo(at),
            _ => el,
        }
    });
    elements.collect()
}

/// Returns the smallest upright rectangle around points.
#[must_use]
pub fn bounds(points: &[Point]) -> Rect {
    let mut points = points.iter();
    let Some(&first) = points.next() else {
        return Rect::ZERO;
    };
    points.fold(Rect::from_points(first, first), |r, &p| r.union_pt(p))
}

/// Returns the closed outlines of an area, curves as chords that leave them by
/// at most `tolerance`.
#[must_use]
pub fn rings_of(path: &BezPath, tolerance: f64) -> Vec<Ring> {
    let mut rings = lines_of(path, tolerance);
    for ring in &mut rings {
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
    }
    rings
}

/// Returns the lines of a path, curves as chords; a closed one ends where it
/// began.
fn lines_of(path: &BezPath, tolerance: f64) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    kurbo::flatten(path, tolerance, |el| match el {
        PathEl::MoveTo(p) => rings.push(vec![p]),
        PathEl::LineTo(p) => match rings.last_mut() {
            Some(ring) => ring.push(p),
            None => rings.push(vec![p]),
        },
        PathEl::ClosePath => {
            if let Some(ring) = rings.last_mut()
                && let Some(&first) = ring.first()
                && ring.last() != Some(&first)
            {
                ring.push(first);
            }
        }
        // Flattening leaves no curves.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    rings
}

/// Returns closed outlines as a path.
#[must_use]
pub fn path_of(rings: &[Ring]) -> BezPath {
    let mut path = BezPath::new();
    for ring in rings {
        let mut points = ring.iter();
        if let Some(&first) = points.next() {
            path.move_to(first);
            for &p in points {
                path.line_to(p);
            }
            path.close_path();
        }
    }
    path
}

/// Returns the area under the even-odd rule where no two rings cross: holes are
/// rings that run the other way round (shoelace formula).
#[cfg(test)]
fn signed_area(rings: &[Ring]) -> f64 {
    let ring_area = |ring: &Ring| -> f64 {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
    };
    rings.iter().map(ring_area).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, Shape as _};

    fn square(x0: f64, y0: f64, x1: f64, y1: f64) -> BezPath {
        Rect::new(x0, y0, x1, y1).to_path(0.1)
    }

    #[test]
    fn a_half_covered_square_leaves_half_and_a_far_one_nothing() {
        let window = Convex::rect(Rect::new(0.0, 0.0, 10.0, 10.0));
        let half = window.area(&square(5.0, 2.0, 15.0, 8.0), 0.01);
        assert!((signed_area(&half).abs() - 30.0).abs() < 1e-9);
        assert!(window.area(&square(20.0, 20.0, 30.0, 30.0), 0.01).is_empty());
        let inside = window.area(&square(1.0, 1.0, 3.0, 3.0), 0.01);
        assert!((signed_area(&inside).abs() - 4.0).abs() < 1e-12);
    }

    /// A circle cut by a straight edge at distance d from its centre keeps
    /// the segment r² acos(d/r) − d √(r² − d²) (any geometry table).
    #[test]
    fn a_rectangle_clipped_to_a_circle_is_a_circular_segment() {
        let (r, d): (f64, f64) = (25.0, 8.0);
        let tolerance = 1e-3;
        let circle = Convex::circle(Point::new(3.0, -4.0), r, tolerance);
        let clipped = circle.area(&square(3.0 + d, -100.0, 100.0, 100.0), 0.01);
        let expected = r * r * num::acos(d / r) - d * (r * r - d * d).sqrt();
        let missing = expected - signed_area(&clipped).abs();
        // The polygon lies inside, by at most the tolerance all round.
        assert!((0.0..2.0 * PI * r * tolerance).contains(&missing), "{missing} of {expected}");
    }

    #[test]
    fn a_hole_stays_a_hole() {
        let mut plate = square(-20.0, -20.0, 20.0, 20.0);
        plate.extend(
            Circle::new(Point::ZERO, 2.0).to_path(1e-3).reverse_subpaths().elements().iter().copied(),
        );
        let window = Convex::rect(Rect::new(-5.0, -5.0, 5.0, 5.0));
        let area = signed_area(&window.area(&plate, 1e-4)).abs();
        assert!((area - (100.0 - 4.0 * PI)).abs() < 0.01, "{area}");
    }

    #[test]
    fn a_line_keeps_exactly_its_inner_stretch() {
        let window = Convex::rect(Rect::new(0.0, 0.0, 10.0, 10.0));
        let line = Line::new(Point::new(-10.0, 5.0), Point::new(30.0, 5.0));
        assert_eq!(window.inside(line), Some((0.25, 0.5)));
        assert_eq!(window.inside(Line::new(Point::new(-10.0, 15.0), Point::new(30.0, 15.0))), None);
        // Along an edge the line touches and is kept.
        assert_eq!(window.inside(Line::new(Point::new(0.0, 0.0), Point::new(10.0, 0.0))), Some((0.0, 1.0)));
    }

    #[test]
    fn an_outline_that_leaves_and_comes_back_is_two_lines() {
        let window = Convex::rect(Rect::new(0.0, 0.0, 10.0, 10.0));
        let mut path = BezPath::new();
        path.move_to((2.0, 2.0));
        path.line_to((12.0, 2.0));
        path.line_to((12.0, 4.0));
        path.line_to((2.0, 4.0));
        let clipped = window.lines(&path, 0.01);
        let starts = clipped.elements().iter().filter(|el| matches!(el, PathEl::MoveTo(_))).count();
        assert_eq!(starts, 2);
        assert_eq!(clipped.bounding_box(), Rect::new(2.0, 2.0, 10.0, 4.0));
    }

    #[test]
    fn turned_rectangles_overlap_only_where_they_do() {
        let a = Convex::turned_rect(Point::new(0.0, 0.0), 45.0, 0.0, 0.0, 10.0, 2.0);
        // 45° as seen with y down: the far end is up and right.
        assert!(a.contains(Point::new(5.0, -6.0)));
        assert!(!a.contains(Point::new(5.0, 5.0)));
        let beside = Convex::rect(Rect::new(4.0, -2.0, 8.0, 0.0));
        assert!(!a.overlaps(&beside));
        assert!(a.overlaps(&Convex::rect(Rect::new(4.0, -6.0, 8.0, 0.0))));
        // Sharing an edge is not overlapping.
        let (l, r) = (Rect::new(0.0, 0.0, 1.0, 1.0), Rect::new(1.0, 0.0, 2.0, 1.0));
        assert!(!Convex::rect(l).overlaps(&Convex::rect(r)));
    }
}
