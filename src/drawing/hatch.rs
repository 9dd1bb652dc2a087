//! Section lining: parallel lines inside an area.
//!
//! The lines of one part keep their place on the part wherever it moves and
//! however many areas it is cut into: line k runs at the distance k · pitch
//! from the part's anchor.

use super::clip::{Convex, Ring};
use super::pens::Lining;
use crate::engine::num;
use kurbo::{BezPath, Line, Point, Vec2};

/// More lines than this are a mistake of scale, not a drawing.
const MAX_LINES: f64 = 20_000.0;

/// Returns the lining of an area given by closed rings under the even-odd rule,
/// in output units with y down; `anchor` is a point that moves with the part.
/// The result is empty for coordinates that are not finite, for a pitch that is
/// not above 0, or for more than twenty thousand lines.
#[must_use]
pub(crate) fn hatch(rings: &[Ring], lining: Lining, anchor: Point) -> Vec<Line> {
    let (sin, cos) = num::sin_cos(lining.angle_deg.to_radians());
    // y points down: counter-clockwise as seen is (cos, −sin).
    let along = Vec2::new(cos, -sin);
    let across = Vec2::new(sin, cos);
    let pitch = lining.pitch;
    let place = |p: &Point| (along.dot(*p - anchor), across.dot(*p - anchor));

    if !rings.iter().flatten().all(|p| p.is_finite()) {
        return Vec::new();
    }
    let heights = rings.iter().flatten().map(|p| place(p).1);
    let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    let first = (low / pitch).ceil();
    let count = (high / pitch).floor() - first + 1.0;
    // Written so that NaN fails too.
    if !(pitch > 0.0 && (1.0..=MAX_LINES).contains(&count)) {
        return Vec::new();
    }
    let mut rows: Vec<Vec<f64>> = vec![Vec::new(); count as usize];
    for ring in rings {
        let Some(last) = ring.last() else { continue };
        let mut a = place(last);
        for point in ring {
            let b = place(point);
            let from = ((a.1.min(b.1) / pitch).ceil() - first).max(0.0) as usize;
            for (k, row) in rows.iter_mut().enumerate().skip(from) {
                let v = (first + k as f64) * pitch;
                if v > a.1.max(b.1) {
                    break;
                }
                // Half-open, so that a corner on a line counts once where the
                // outline crosses and twice or not at all where it turns.
                if (a.1 <= v) != (b.1 <= v) {
                    row.push(a.0 + (b.0 - a.0) * (v - a.1) / (b.1 - a.1));
                }
            }
            a = b;
        }
    }
    let mut lines = Vec::new();
    for (k, row) in rows.iter_mut().enumerate() {
        row.sort_by(f64::total_cmp);
        let v = (first + k as f64) * pitch;
        let at = |u: f64| anchor + along * u + across * v;
        for pair in row.chunks_exact(2) {
            if let &[from, to] = pair
                && to - from > 1e-9 * pitch
            {
                lines.push(Line::new(at(from), at(to)));
            }
        }
    }
    lines
}

/// Returns the lines without the stretches inside the given outlines: lining is
/// interrupted for letters.
#[must_use]
pub(crate) fn without(lines: Vec<Line>, holes: &[Convex]) -> Vec<Line> {
    holes.iter().fold(lines, |lines, hole| {
        let around = hole.bounds();
        let mut kept = Vec::with_capacity(lines.len() + 8);
        for line in lines {
            let (x0, x1) = (line.p0.x.min(line.p1.x), line.p0.x.max(line.p1.x));
            let far = x1 < around.x0 || x0 > around.x1;
            match (!far).then(|| hole.inside(line)).flatten() {
                None => kept.push(line),
                Some((enter, leave)) => {
                    if enter > 0.0 {
                        kept.push(Line::new(line.p0, line.p0.lerp(line.p1, enter)));
                    }
                    if leave < 1.0 {
                        kept.push(Line::new(line.p0.lerp(line.p1, leave), line.p1));
                    }
                }
            }
        }
        kept
    })
}

/// Returns lines as one path of many short ones.
#[must_use]
pub(crate) fn path_of(lines: &[Line]) -> BezPath {
    let mut path = BezPath::new();
    for line in lines {
        path.move_to(line.p0);
        path.line_to(line.p1);
    }
    path
}

#[cfg(test)]
mod tests {
    use super::super::clip::rings_of;
    use super::*;
    use kurbo::{Circle, Rect, Shape as _};
    use lyon::algorithms::hatching::{HatchSegment, Hatcher, HatchingOptions, RegularHatchingPattern};

    fn total(lines: &[Line]) -> f64 {
        lines.iter().map(|line| (line.p1 - line.p0).hypot()).sum()
    }

    fn lining(angle_deg: f64, pitch: f64) -> Lining {
        Lining { angle_deg, pitch }
    }

    /// Returns the plate of the drafting rules: 60 × 40 mm with a hole of
    /// radius 12.
    fn plate() -> Vec<Ring> {
        let mut path = Rect::new(0.0, 0.0, 60.0, 40.0).to_path(0.01);
        path.extend(Circle::new(Point::new(30.0, 20.0), 12.0).to_path(1e-3).elements().iter().copied());
        rings_of(&path, 1e-3)
    }

    /// Lines at a distance p cover an area A with A/p of length, up to what
    /// happens at the edges: the total over all phases is exactly A/p in the
    /// mean (Cavalieri), here taken over a hundred phases.
    #[test]
    fn the_length_of_all_lines_is_area_over_pitch() {
        let area = 60.0 * 40.0 - num::PI * 144.0;
        for angle in [0.0, 45.0, 135.0, 17.0] {
            let mean = (0..100)
                .map(|i| {
                    total(&hatch(
                        &plate(),
                        lining(angle, 2.0),
                        Point::new(0.0, f64::from(i) * 0.02 / num::cos(angle.to_radians()).abs()),
                    ))
                })
                .sum::<f64>()
                / 100.0;
            assert!((mean / (area / 2.0) - 1.0).abs() < 1e-3, "{mean} against {} at {angle}°", area / 2.0);
        }
    }

    #[test]
    fn the_same_length_as_another_hatcher_in_the_same_phase() {
        let mut other = 0.0_f64;
        let (mut rows, mut highest) = (std::collections::BTreeSet::new(), f64::INFINITY);
        let mut builder = lyon::path::Path::builder();
        for ring in plate() {
            let p = |i: usize| lyon::math::point(ring[i].x as f32, ring[i].y as f32);
            builder.begin(p(0));
            (1..ring.len()).for_each(|i| {
                builder.line_to(p(i));
            });
            builder.end(true);
        }
        let path = builder.build();
        let options = HatchingOptions::tolerance(0.001)
            .with_angle(lyon::math::Angle::degrees(45.0))
            .with_tangents(false);
        let mut first = None;
        Hatcher::new().hatch_path(
            path.iter(),
            &options,
            &mut RegularHatchingPattern {
                interval: 2.0,
                callback: &mut |s: &HatchSegment| {
                    other += f64::from((s.b.position - s.a.position).length());
                    rows.insert(s.row);
                    highest = highest.min(f64::from(s.v));
                    first.get_or_insert(s.a.position);
                },
            },
        );
        let first = first.unwrap();
        // Its own phase is not ours to choose, so ours is put on one of its
        // lines. Its 45° is measured with y down as given, which is the same
        // direction as our 135° or 45°; the line through `first` tells.
        let anchor = Point::new(f64::from(first.x), f64::from(first.y));
        let ours = [45.0, 135.0].map(|angle| total(&hatch(&plate(), lining(angle, 2.0), anchor)));
        let best = ours.iter().map(|o| (o - other).abs()).fold(f64::INFINITY, f64::min);
        assert!(rows.len() > 33, "{} rows", rows.len());
        assert!(best < 0.05, "{other} against {ours:?}");
    }

    #[test]
    fn forty_five_degrees_rise_to_the_right_and_lie_inside() {
        let lines = hatch(&plate(), lining(45.0, 2.0), Point::new(0.0, 0.0));
        assert!(lines.len() > 40);
        for line in &lines {
            let way = line.p1 - line.p0;
            assert!((way.x + way.y).abs() < 1e-9 && way.x > 0.0, "{way:?}");
            let middle = line.p0.midpoint(line.p1);
            assert!(Rect::new(0.0, 0.0, 60.0, 40.0).contains(middle));
            assert!((middle - Point::new(30.0, 20.0)).hypot() > 12.0 - 1e-3, "{middle:?} in the hole");
        }
    }

    #[test]
    fn the_lines_travel_with_the_part() {
        let moved: Vec<Ring> = plate()
            .into_iter()
            .map(|ring| ring.into_iter().map(|p| p + Vec2::new(0.7, 3.1)).collect())
            .collect();
        let here = hatch(&plate(), lining(45.0, 2.0), Point::new(5.0, 5.0));
        let there = hatch(&moved, lining(45.0, 2.0), Point::new(5.7, 8.1));
        assert_eq!(here.len(), there.len());
        for (a, b) in here.iter().zip(&there) {
            assert!((b.p0 - a.p0 - Vec2::new(0.7, 3.1)).hypot() < 1e-9);
        }
    }

    #[test]
    fn letters_stand_in_a_gap() {
        let hole = Convex::rect(Rect::new(2.0, 10.0, 14.0, 16.0));
        let all = hatch(&plate(), lining(45.0, 2.0), Point::ZERO);
        let before = total(&all);
        let lines = without(all, std::slice::from_ref(&hole));
        // Area over pitch again: 72 mm² of lining are gone, within a line.
        assert!((before - total(&lines) - 36.0).abs() < 4.0);
        for line in &lines {
            let middle = line.p0.midpoint(line.p1);
            assert!(!Rect::new(2.01, 10.01, 13.99, 15.99).contains(middle));
        }
    }

    #[test]
    fn nothing_comes_of_nonsense() {
        let nan = vec![vec![Point::new(f64::NAN, 0.0), Point::new(1.0, 0.0), Point::new(0.0, 1.0)]];
        assert!(hatch(&nan, lining(45.0, 2.0), Point::ZERO).is_empty());
        assert!(hatch(&[], lining(45.0, 2.0), Point::ZERO).is_empty());
        assert!(hatch(&plate(), lining(45.0, 0.0), Point::ZERO).is_empty());
        assert!(hatch(&plate(), lining(45.0, -1.0), Point::ZERO).is_empty());
        assert!(hatch(&plate(), lining(45.0, 1e-9), Point::ZERO).is_empty());
        let flat = vec![vec![Point::new(0.0, 1.0), Point::new(9.0, 1.0)]];
        assert!(hatch(&flat, lining(0.0, 2.0), Point::ZERO).is_empty());
    }
}
