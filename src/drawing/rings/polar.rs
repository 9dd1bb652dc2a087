//! Angles around the bore, and outlines made of arcs.

use crate::engine::num;
use kurbo::{Arc, BezPath, Point, Vec2};

/// The bore seen from above: angles are degrees clockwise from the top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Polar {
    pub centre: Point,
    /// Greatest distance of a drawn curve from the true one.
    pub tolerance: f64,
}

impl Polar {
    /// Returns the point at a radius and an angle.
    pub(super) fn at(&self, radius: f64, deg: f64) -> Point {
        let (sin, cos) = num::sin_cos(deg.to_radians());
        self.centre + Vec2::new(sin, -cos) * radius
    }

    /// Returns an arc from one angle clockwise to another.
    pub(super) fn arc(&self, radius: f64, from_deg: f64, to_deg: f64) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.at(radius, from_deg));
        self.extend(&mut path, radius, from_deg, to_deg);
        path
    }

    /// Returns a part of a ring, closed.
    pub(super) fn sector(&self, (inner, outer): (f64, f64), from_deg: f64, to_deg: f64) -> BezPath {
        let mut path = self.arc(outer, from_deg, to_deg);
        path.line_to(self.at(inner, to_deg));
        self.extend(&mut path, inner, to_deg, from_deg);
        path.close_path();
        path
    }

    fn extend(&self, path: &mut BezPath, radius: f64, from_deg: f64, to_deg: f64) {
        // kurbo counts from the x axis; with y down that is clockwise as seen.
        let arc = Arc {
            center: self.centre,
            radii: Vec2::new(radius, radius),
            start_angle: (from_deg - 90.0).to_radians(),
            sweep_angle: (to_deg - from_deg).to_radians(),
            x_rotation: 0.0,
        };
        path.extend(arc.append_iter(self.tolerance));
    }
}

/// Returns the angle of a point as it is seen from the centre, degrees
/// clockwise from the top, 0 to 360; 0 at the centre itself.
///
/// ```
/// use crowndeck::drawing::rings::plan::angle_at;
/// use kurbo::Point;
/// assert_eq!(angle_at(Point::ZERO, Point::new(5.0, 0.0)), 90.0);
/// assert_eq!(angle_at(Point::ZERO, Point::new(0.0, 5.0)), 180.0);
/// ```
#[must_use]
pub fn angle_at(centre: Point, at: Point) -> f64 {
    let way = at - centre;
    num::atan2(way.x, -way.y).to_degrees().rem_euclid(360.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape as _;

    const POLAR: Polar = Polar { centre: Point::new(10.0, 20.0), tolerance: 1e-4 };

    #[test]
    fn angles_run_clockwise_from_the_top_and_come_back() {
        assert!((POLAR.at(5.0, 0.0) - Point::new(10.0, 15.0)).hypot() < 1e-12);
        assert!((POLAR.at(5.0, 90.0) - Point::new(15.0, 20.0)).hypot() < 1e-12);
        for deg in [0.0, 1.0, 89.0, 200.0, 359.0] {
            let back = angle_at(POLAR.centre, POLAR.at(7.0, deg));
            assert!((back - deg).abs() < 1e-9, "{deg}: {back}");
        }
    }

    #[test]
    fn a_sector_has_the_area_of_its_angle() {
        let area = POLAR.sector((3.0, 5.0), 40.0, 130.0).area().abs();
        let expected = std::f64::consts::PI * (25.0 - 9.0) / 4.0;
        assert!((area - expected).abs() < 1e-3, "{area} against {expected}");
    }
}
