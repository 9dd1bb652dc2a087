//! Outlines of surfaces in the section plane: a height over x, made of straight
//! stretches and circular arcs.
//!
//! An arc is kept by its start, its lean there and its curvature, not by its
//! centre: a crown dished by a hair has its centre a kilometre away, and
//! differences against that centre would eat all digits.

use crate::engine::num::{asin, cos, sin_cos};
use kurbo::{BezPath, Point, Vec2};

/// Widest angle that one cubic covers. A cubic with handles of 4/3·tan(angle/4)
/// misses its arc by at most 2/27·sin⁶(angle/4)/cos²(angle/4) of the radius
/// (source: Goldapp 1991, "Approximation of circular arcs by cubic
/// polynomials", from memory; the test measures it): 1e-9 for π/16.
const ARC_STEP: f64 = std::f64::consts::PI / 16.0;

/// One stretch of a profile: straight, or an arc of one circle, over
/// `x0..x1`.
///
/// The lean is the sine of the slope angle, rising to the right positive.
/// Along an arc it falls by curvature·Δx, and the height follows without any
/// difference of large numbers:
/// y = y₀ + Δx·(lean₀ + lean)/(c₀ + c) with c = √(1 − lean²), the integral of
/// lean/c.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    x0: f64,
    y0: f64,
    x1: f64,
    y1: f64,
    lean: f64,
    curvature: f64,
}

fn cosine(lean: f64) -> f64 {
    f64::sqrt((1.0 - lean * lean).max(0.0))
}

impl Stretch {
    /// Creates a straight stretch from (`x0`, `y0`) to (`x1`, `y1`), `x1` >
    /// `x0`.
    #[must_use]
    pub fn line((x0, y0): (f64, f64), (x1, y1): (f64, f64)) -> Self {
        let lean = (y1 - y0) / crate::engine::num::hypot(x1 - x0, y1 - y0);
        Self { x0, y0, x1, y1, lean, curvature: 0.0 }
    }

    /// Creates an arc that starts at (`x0`, `y0`) with `lean` and runs to `x1`
    /// > `x0`. `curvature` is 1/radius, positive where the arc bulges up.
    #[must_use]
    pub fn arc((x0, y0): (f64, f64), x1: f64, lean: f64, curvature: f64) -> Self {
        let mut arc = Self { x0, y0, x1, y1: y0, lean, curvature };
        arc.y1 = arc.y_on_arc(x1);
        arc
    }

    /// Returns the same arc with its right end's rounding taken out.
    pub(super) fn ending(self, y1: f64) -> Self {
        Self { y1, ..self }
    }

    /// Returns the left end.
    #[must_use]
    pub fn start(&self) -> Point {
        Point::new(self.x0, self.y0)
    }

    /// Returns the right end.
    #[must_use]
    pub fn end(&self) -> Point {
        Point::new(self.x1, self.y1)
    }

    /// Returns 1/radius, positive where the stretch bulges up, 0 where it is
    /// straight.
    #[must_use]
    pub fn curvature(&self) -> f64 {
        self.curvature
    }

    /// Returns the sine of the slope angle at `x`.
    #[must_use]
    pub fn lean_at(&self, x: f64) -> f64 {
        (self.lean - self.curvature * (x - self.x0)).clamp(-1.0, 1.0)
    }

    /// Returns the height at `x`, which lies on the stretch.
    #[must_use]
    pub fn y(&self, x: f64) -> f64 {
        if self.curvature != 0.0 {
            return self.y_on_arc(x);
        }
        self.y0 + (self.y1 - self.y0) * ((x - self.x0) / (self.x1 - self.x0))
    }

    fn y_on_arc(&self, x: f64) -> f64 {
        let lean = self.lean_at(x);
        let cosines = cosine(self.lean) + cosine(lean);
        if cosines == 0.0 {
            return self.y0;
        }
        self.y0 + (x - self.x0) * (self.lean + lean) / cosines
    }

    /// Returns the highest and the lowest point: the ends, and the crest of an
    /// arc.
    pub(super) fn heights(&self) -> (f64, f64) {
        let (mut low, mut high) = (self.y0.min(self.y1), self.y0.max(self.y1));
        if self.curvature != 0.0 {
            let crest = self.x0 + self.lean / self.curvature;
            if (self.x0..=self.x1).contains(&crest) {
                let y = self.y_on_arc(crest);
                (low, high) = (low.min(y), high.max(y));
            }
        }
        (low, high)
    }

    /// Returns the part between `x0` and `x1`, or `None` if no part of it lies
    /// there.
    fn between(&self, x0: f64, x1: f64) -> Option<Self> {
        let (from, to) = (self.x0.max(x0), self.x1.min(x1));
        if to <= from {
            return None;
        }
        let at = |x: f64| {
            if x == self.x0 {
                self.y0
            } else if x == self.x1 {
                self.y1
            } else {
                self.y(x)
            }
        };
        Some(Self { x0: from, y0: at(from), x1: to, y1: at(to), lean: self.lean_at(from), ..*self })
    }

    fn mirrored(&self) -> Self {
        Self {
            x0: -self.x1,
            y0: self.y1,
            x1: -self.x0,
            y1: self.y0,
            lean: -self.lean_at(self.x1),
            curvature: self.curvature,
        }
    }

    fn shifted(&self, dy: f64) -> Self {
        Self { y0: self.y0 + dy, y1: self.y1 + dy, ..*self }
    }

    /// Appends the stretch to a path that ends at its start.
    fn append(&self, path: &mut BezPath) {
        if self.curvature == 0.0 {
            path.line_to(self.end());
            return;
        }
        let (from, to) = (asin(self.lean.clamp(-1.0, 1.0)), asin(self.lean_at(self.x1)));
        let pieces = ((from - to).abs() / ARC_STEP).ceil().max(1.0);
        let step = (to - from) / pieces;
        // Every piece turns by the same angle; its chord follows from the lean at both
        // ends, and its handle is chord/(3·cos²(turn/4)).
        let (mut p, mut turn) = (self.start(), from);
        let mut left = pieces;
        while left >= 1.0 {
            let next = if left == 1.0 { to } else { turn + step };
            let q = if left == 1.0 {
                self.end()
            } else {
                let x = self.x0 + (self.lean - sin_cos(next).0) / self.curvature;
                Point::new(x, self.y_on_arc(x))
            };
            let quarter = cos(step / 4.0);
            let handle = p.distance(q) / (3.0 * quarter * quarter);
            let ((s0, c0), (s1, c1)) = (sin_cos(turn), sin_cos(next));
            path.curve_to(p + Vec2::new(c0, s0) * handle, q - Vec2::new(c1, s1) * handle, q);
            (p, turn) = (q, next);
            left -= 1.0;
        }
    }
}

/// A surface in the section plane, from left to right without a gap; where two
/// stretches meet at different heights there is an upright wall. At least one
/// stretch.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    stretches: Vec<Stretch>,
}

impl Profile {
    /// Creates a profile of stretches that follow each other from left to
    /// right; those without width are left out. If none is left, the profile is
    /// a flat line at 0.
    #[must_use]
    pub(super) fn new(stretches: impl IntoIterator<Item = Stretch>) -> Self {
        let stretches: Vec<Stretch> = stretches.into_iter().filter(|s| s.x1 > s.x0).collect();
        if stretches.is_empty() {
            return Self { stretches: vec![Stretch::line((-1.0, 0.0), (1.0, 0.0))] };
        }
        Self { stretches }
    }

    /// Creates a profile that is the same on both sides of x = 0, from its
    /// right half.
    #[must_use]
    pub(super) fn symmetric(right: &[Stretch]) -> Self {
        Self::new(right.iter().rev().map(Stretch::mirrored).chain(right.iter().copied()))
    }

    /// Returns the stretches from left to right.
    #[must_use]
    pub fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    /// Returns the least x, mm.
    #[must_use]
    pub fn left(&self) -> f64 {
        self.stretches.first().map_or(0.0, |s| s.x0)
    }

    /// Returns the greatest x, mm.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.stretches.last().map_or(0.0, |s| s.x1)
    }

    /// Returns the height at `x`; at a wall that of the stretch on its left,
    /// outside the profile that of its nearer end.
    #[must_use]
    pub fn y(&self, x: f64) -> f64 {
        let x = x.clamp(self.left(), self.right());
        let found = self.stretches.iter().find(|s| x <= s.x1);
        found.map_or(0.0, |s| s.y(x))
    }

    /// Returns the height of the highest point, mm.
    #[must_use]
    pub fn top(&self) -> f64 {
        self.stretches.iter().map(|s| s.heights().1).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Returns the height of the lowest point, mm.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.stretches.iter().map(|s| s.heights().0).fold(f64::INFINITY, f64::min)
    }

    /// Returns the part between `x0` and `x1`.
    #[must_use]
    pub fn between(&self, x0: f64, x1: f64) -> Self {
        Self::new(self.stretches.iter().filter_map(|s| s.between(x0, x1)))
    }

    /// Returns the same profile moved up by `dy`.
    #[must_use]
    pub fn shifted(&self, dy: f64) -> Self {
        Self { stretches: self.stretches.iter().map(|s| s.shifted(dy)).collect() }
    }

    /// Returns the open path from left to right. An arc's cubics miss it by at
    /// most 1e-9 of its radius.
    #[must_use]
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::new();
        for (i, stretch) in self.stretches.iter().enumerate() {
            if i == 0 {
                path.move_to(stretch.start());
            } else if path.current_position() != Some(stretch.start()) {
                path.line_to(stretch.start());
            }
            stretch.append(&mut path);
        }
        path
    }

    /// Returns the closed outline between the profile and the level line `y`.
    #[must_use]
    pub fn closed_at(&self, y: f64) -> BezPath {
        let mut path = self.path();
        path.line_to((self.right(), y));
        path.line_to((self.left(), y));
        path.close_path();
        path
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{ParamCurve as _, Shape as _};

    #[test]
    fn an_arc_keeps_to_its_circle_and_the_cubics_to_the_arc() {
        // Three quarters of what can be a height over x: from −60° to +75°.
        let radius = 40.0;
        let (from, to) = (60_f64.to_radians(), 75_f64.to_radians());
        let (x0, x1) = (-radius * crate::engine::num::sin(from), radius * crate::engine::num::sin(to));
        let arc = Stretch::arc((x0, radius / 2.0), x1, crate::engine::num::sin(from), 1.0 / radius);
        for i in 0..=20 {
            let x = x0 + (x1 - x0) * f64::from(i) / 20.0;
            let off = crate::engine::num::hypot(x, arc.y(x)) - radius;
            assert!(off.abs() < 1e-13 * radius, "off by {off} at {x}");
        }
        let path = Profile::new([arc]).path();
        let mut worst = 0.0_f64;
        for segment in path.segments() {
            for i in 0..=50 {
                let p = segment.eval(f64::from(i) / 50.0);
                worst = worst.max((p.to_vec2().hypot() - radius).abs() / radius);
            }
        }
        assert!(worst < 1e-9 && worst > 1e-12, "the cubics miss by {worst} of the radius");
    }

    #[test]
    fn a_hair_of_a_bulge_keeps_its_digits() {
        // Sagitta κw²/2 over a half width of 40 mm with a radius of 1e12 mm.
        let arc = Stretch::arc((-40.0, 0.0), 40.0, 4e-11, 1e-12);
        let (_, high) = arc.heights();
        assert!((high / 8e-10 - 1.0).abs() < 1e-12, "{high}");
        assert!(arc.end().y.abs() < 1e-24);
    }

    #[test]
    fn a_wall_stands_where_heights_differ() {
        let profile = Profile::symmetric(&[
            Stretch::line((0.0, 5.0), (3.0, 5.0)),
            Stretch::line((3.0, 1.0), (4.0, 1.0)),
        ]);
        assert_eq!((profile.left(), profile.right()), (-4.0, 4.0));
        assert_eq!((profile.y(3.0), profile.y(3.5), profile.y(-3.0), profile.y(9.0)), (5.0, 1.0, 1.0, 1.0));
        let area = profile.closed_at(0.0).area().abs();
        assert!((area - 32.0).abs() < 1e-12, "{area}");
        assert_eq!((profile.top(), profile.bottom()), (5.0, 1.0));
        assert_eq!(profile.between(-3.5, 2.0).closed_at(0.0).area().abs(), 25.5);
    }
}
