//! Position of a view on its output: scale, origin and rotation.

use crate::engine::num;
use kurbo::{Affine, Point, Vec2};

/// The direction of the bore axis on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    deg: f64,
    sin: f64,
    cos: f64,
}

impl Turn {
    /// The head is at the top.
    pub const UPRIGHT: Self = Self { deg: 0.0, sin: 0.0, cos: 1.0 };
    /// The head is at the left, as in the left half of a flat engine.
    pub const LYING_LEFT: Self = Self { deg: 90.0, sin: 1.0, cos: 0.0 };
    /// The head is at the right.
    pub const LYING_RIGHT: Self = Self { deg: -90.0, sin: -1.0, cos: 0.0 };

    /// Returns the rotation of the bore axis by so many degrees from upright,
    /// counter-clockwise as seen (a left bank is positive). Quarter turns are
    /// exact, so that edges along the axis stay straight along the sheet.
    #[must_use]
    pub fn from_deg(deg: f64) -> Self {
        for exact in [Self::UPRIGHT, Self::LYING_LEFT, Self::LYING_RIGHT] {
            if exact.deg == deg {
                return exact;
            }
        }
        if !deg.is_finite() {
            return Self::UPRIGHT;
        }
        let (sin, cos) = num::sin_cos(deg.to_radians());
        Self { deg, sin, cos }
    }

    /// Returns the rotation in degrees, counter-clockwise as seen.
    #[must_use]
    pub fn deg(self) -> f64 {
        self.deg
    }
}

/// A view of the model on an output.
///
/// The model has its y axis along the bore, pointing up, in mm; the output has
/// its y axis pointing down, in its own unit.
///
/// ```
/// use crowndeck::drawing::view::{Turn, View};
/// use kurbo::Point;
/// let view = View::new(2.0, Point::new(100.0, 300.0), Turn::UPRIGHT);
/// assert_eq!(view.out_from_model(Point::new(10.0, 50.0)), Point::new(120.0, 200.0));
/// let lying = View::new(2.0, Point::new(300.0, 100.0), Turn::LYING_LEFT);
/// assert_eq!(lying.out_from_model(Point::new(0.0, 50.0)), Point::new(200.0, 100.0));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    scale: f64,
    origin: Point,
    turn: Turn,
}

impl View {
    /// Creates a view with `scale` output units per model mm, whose model
    /// origin (the crank centre) lies at `origin` on the output.
    #[must_use]
    pub fn new(scale: f64, origin: Point, turn: Turn) -> Self {
        Self { scale, origin, turn }
    }

    /// Returns the output units per model mm.
    #[must_use]
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// Returns the direction of the bore axis.
    #[must_use]
    pub fn turn(&self) -> Turn {
        self.turn
    }

    /// Converts a point of the model to the output.
    #[must_use]
    pub fn out_from_model(&self, p: Point) -> Point {
        self.origin + self.out_from_model_vec(p.to_vec2())
    }

    /// Converts a vector of the model to the output.
    #[must_use]
    pub fn out_from_model_vec(&self, v: Vec2) -> Vec2 {
        let Turn { sin, cos, .. } = self.turn;
        Vec2::new(cos * v.x - sin * v.y, -(sin * v.x + cos * v.y)) * self.scale
    }

    /// Converts a point of the output to the model.
    #[must_use]
    pub fn model_from_out(&self, p: Point) -> Point {
        let Turn { sin, cos, .. } = self.turn;
        let v = (p - self.origin) / self.scale;
        Point::new(cos * v.x - sin * v.y, -(sin * v.x + cos * v.y))
    }

    /// Returns the map from model to output for whole paths.
    #[must_use]
    pub fn out_from_model_affine(&self) -> Affine {
        let Turn { sin, cos, .. } = self.turn;
        let s = self.scale;
        Affine::new([s * cos, -s * sin, -s * sin, -s * cos, self.origin.x, self.origin.y])
    }

    /// Returns the direction along the bore axis toward the head, length 1, on
    /// the output.
    #[must_use]
    pub fn up(&self) -> Vec2 {
        Vec2::new(-self.turn.sin, -self.turn.cos)
    }

    /// Returns the direction across the bore axis toward +x of the model,
    /// length 1, on the output.
    #[must_use]
    pub fn right(&self) -> Vec2 {
        Vec2::new(self.turn.cos, -self.turn.sin)
    }

    /// Returns the view that shows the point `about` of the model at `at` on
    /// the output.
    ///
    /// ```
    /// use crowndeck::drawing::view::{Turn, View};
    /// use kurbo::Point;
    /// let (about, at) = (Point::new(0.0, 80.0), Point::new(320.0, 240.0));
    /// let view = View::showing(3.0, about, at, Turn::LYING_LEFT);
    /// assert_eq!(view.out_from_model(about), at);
    /// ```
    #[must_use]
    pub fn showing(scale: f64, about: Point, at: Point, turn: Turn) -> Self {
        Self::new(scale, Point::ZERO, turn).enlarged(1.0, about, at)
    }

    /// Returns the view enlarged by `factor` about `at` on the output, which
    /// stays in its position.
    #[must_use]
    pub fn zoomed(&self, factor: f64, at: Point) -> Self {
        Self { scale: self.scale * factor, origin: at + (self.origin - at) * factor, turn: self.turn }
    }

    /// Returns the view moved on the output.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        Self { origin: self.origin + by, ..*self }
    }

    /// Returns the view enlarged by `factor`, with the point `about` of the
    /// model at `at` on the output.
    #[must_use]
    pub fn enlarged(&self, factor: f64, about: Point, at: Point) -> Self {
        let moved = Self { scale: self.scale * factor, origin: Point::ZERO, turn: self.turn };
        Self { origin: at - moved.out_from_model_vec(about.to_vec2()), ..moved }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Point, b: Point) {
        assert!((a - b).hypot() < 1e-9, "{a:?} against {b:?}");
    }

    #[test]
    fn the_ways_there_and_back_and_of_paths_agree() {
        for deg in [0.0, 90.0, -90.0, 45.0, -36.5, 180.0] {
            let view = View::new(1.87, Point::new(193.0, 500.0), Turn::from_deg(deg));
            for p in [Point::new(0.0, 0.0), Point::new(43.005, 201.5), Point::new(-7.0, -60.0)] {
                let out = view.out_from_model(p);
                near(view.model_from_out(out), p);
                near(view.out_from_model_affine() * p, out);
                near(view.out_from_model(Point::ZERO) + (view.right() * p.x + view.up() * p.y) * 1.87, out);
            }
        }
    }

    #[test]
    fn an_enlarged_view_keeps_its_centre_and_multiplies_distances() {
        let view = View::new(1.87, Point::new(193.0, 500.0), Turn::from_deg(30.0));
        let (about, at) = (Point::new(43.0, 201.0), Point::new(560.0, 150.0));
        let detail = view.enlarged(20.0, about, at);
        near(detail.out_from_model(about), at);
        let edge = about + Vec2::new(0.3, -1.1);
        let (d, m) =
            (detail.out_from_model(edge) - at, view.out_from_model(edge) - view.out_from_model(about));
        assert!((d - m * 20.0).hypot() < 1e-9);
    }

    #[test]
    fn what_is_zoomed_at_stays_where_it_is() {
        for deg in [0.0, 90.0, 36.5] {
            let view = View::new(1.87, Point::new(193.0, 500.0), Turn::from_deg(deg));
            let at = Point::new(320.0, 111.0);
            let held = view.model_from_out(at);
            let near_by = view.zoomed(3.5, at);
            near(near_by.out_from_model(held), at);
            assert!((near_by.scale() - 1.87 * 3.5).abs() < 1e-12);
            near(near_by.moved(Vec2::new(5.0, -2.0)).out_from_model(held), at + Vec2::new(5.0, -2.0));
        }
    }

    #[test]
    fn a_lying_engine_points_its_head_to_its_side() {
        let head = Point::new(0.0, 100.0);
        let at = |turn| View::new(1.0, Point::ZERO, turn).out_from_model(head);
        assert_eq!(at(Turn::LYING_LEFT), Point::new(-100.0, 0.0));
        assert_eq!(at(Turn::LYING_RIGHT), Point::new(100.0, 0.0));
        assert_eq!(at(Turn::from_deg(90.0)), at(Turn::LYING_LEFT));
    }
}
