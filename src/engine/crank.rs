//! The slider-crank with an offset pin path, exact (no series).
//!
//! Derivation (plane geometry): the crank centre is the origin, the bore axis
//! points up. At the angle θ from the bore axis the crankpin is at
//! (r sin θ, r cos θ). The piston pin runs on the line x = e with
//! e = −pin_offset, at the distance L above the crankpin:
//!
//! y(θ) = r cos θ + √(L² − (r sin θ − e)²)
//!
//! At a dead centre crank and rod lie in one line, L + r or L − r long, whose
//! sideways part is e:
//!
//! θ_T = asin(e/(L+r)), y_T = √((L+r)² − e²);
//! θ_B = 180° + asin(e/(L−r)), y_B = √((L−r)² − e²).

use super::num;
use super::scalar::Scalar;

/// A slider-crank that can turn all the way round: L > r + |e|, r > 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crank<T = f64> {
    throw: T,
    rod: T,
    pin_path_x: T,
    y_top: T,
    y_bottom: T,
}

/// Sine and cosine at one crank angle: of the angle from the bore axis, of the
/// angle half way there from top dead centre (mid), and the sine of half the
/// angle from top dead centre (half).
struct Turned<T> {
    sin_half: T,
    sin_mid: T,
    cos_mid: T,
    sin: T,
    cos: T,
}

/// The motion of the piston at one crank angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Distance below top dead centre, mm; 0 at the top, growing downward.
    pub position_mm: f64,
    /// ds/dangle, mm per radian; positive while the piston goes down.
    pub velocity_mm_per_rad: f64,
    /// d²s/dangle², mm per radian².
    pub acceleration_mm_per_rad2: f64,
}

impl<T: Scalar> Crank<T> {
    /// Creates a crank from stroke (twice the throw), rod length and pin offset
    /// (positive toward the major thrust side, −x), all in mm. The caller has
    /// checked that the stroke is above 0 and the rod longer than throw +
    /// |offset|.
    pub(super) fn of(stroke: T, rod: T, pin_offset: T) -> Self {
        let throw = stroke / T::constant(2.0);
        let e = -pin_offset;
        let (long, short) = (rod + throw, rod - throw);
        Self {
            throw,
            rod,
            pin_path_x: e,
            // Products of sum and difference keep full precision where a
            // difference of squares would lose it.
            y_top: ((long - e) * (long + e)).sqrt(),
            y_bottom: ((short - e) * (short + e)).sqrt(),
        }
    }

    /// Returns the crank throw r, mm.
    pub fn throw(&self) -> T {
        self.throw
    }

    /// Returns the rod length L, centre to centre, mm.
    pub fn rod(&self) -> T {
        self.rod
    }

    /// Returns the x = e of the line on which the piston pin runs, mm from the
    /// crank centre.
    pub fn pin_path_x(&self) -> T {
        self.pin_path_x
    }

    /// Returns the height of the piston pin at top dead centre above the crank
    /// centre, mm.
    pub fn y_top(&self) -> T {
        self.y_top
    }

    /// Returns the height of the piston pin at bottom dead centre, mm.
    pub fn y_bottom(&self) -> T {
        self.y_bottom
    }

    /// Returns the crank angle of piston top dead centre from the bore axis,
    /// radians.
    pub fn theta_top(&self) -> T {
        (self.pin_path_x / (self.rod + self.throw)).asin()
    }

    /// Returns the crank angle of piston bottom dead centre from the bore axis,
    /// radians.
    pub fn theta_bottom(&self) -> T {
        (self.pin_path_x / (self.rod - self.throw)).asin() + T::constant(num::PI)
    }

    /// Returns the distance between the dead centres, mm; a little more than
    /// twice the throw where the pin is offset.
    pub fn true_stroke(&self) -> T {
        self.y_top - self.y_bottom
    }

    /// Returns the distance of the piston below top dead centre, mm, at an
    /// angle in radians after piston top dead centre.
    ///
    /// y_T − y(θ) written without the difference of two nearly equal heights,
    /// so that 0 is 0 and a hundredth of a degree keeps all its digits: with
    /// a = θ − θ_T, m = θ_T + a/2 and A, B the squares under the roots at the
    /// top and at θ,
    /// r(cos θ_T − cos θ) = 2 r sin m sin(a/2) and
    /// √A − √B = (A − B)/(√A + √B), where
    /// A − B = r(sin θ − sin θ_T)(r(sin θ + sin θ_T) − 2e) and
    /// sin θ − sin θ_T = 2 cos m sin(a/2).
    pub fn position(&self, angle_rad: T) -> T {
        self.position_at(&self.turned(angle_rad))
    }

    /// Computes the sines and cosines at an angle a after top dead centre. Only
    /// sin a/2 and cos a/2 are looked up: sin θ_T = e/(L + r) and cos θ_T =
    /// y_T/(L + r) by the triangle at the top, and the rest are sums and
    /// doubles of angles.
    fn turned(&self, angle_rad: T) -> Turned<T> {
        let two = T::constant(2.0);
        let long = self.rod + self.throw;
        let (sin_top, cos_top) = (self.pin_path_x / long, self.y_top / long);
        let (sin_half, cos_half) = (angle_rad / two).sin_cos();
        let (sin_a, cos_a) = (two * sin_half * cos_half, T::constant(1.0) - two * sin_half * sin_half);
        Turned {
            sin_half,
            sin_mid: sin_top * cos_half + cos_top * sin_half,
            cos_mid: cos_top * cos_half - sin_top * sin_half,
            sin: sin_top * cos_a + cos_top * sin_a,
            cos: cos_top * cos_a - sin_top * sin_a,
        }
    }

    fn position_at(&self, at: &Turned<T>) -> T {
        let two = T::constant(2.0);
        let (r, e) = (self.throw, self.pin_path_x);
        let sin_top = e / (self.rod + r);
        let roots = self.rod_rise(sin_top) + self.rod_rise(at.sin);
        let bracket = at.sin_mid + at.cos_mid * (r * (at.sin + sin_top) - two * e) / roots;
        two * r * at.sin_half * bracket
    }

    /// Returns √(L² − (r sin θ − e)²), the rise of the rod at this angle.
    fn rod_rise(&self, sin_theta: T) -> T {
        let x = self.throw * sin_theta - self.pin_path_x;
        ((self.rod - x) * (self.rod + x)).sqrt()
    }
}

impl Crank<f64> {
    /// Returns position, velocity and acceleration at an angle in degrees after
    /// piston top dead centre.
    ///
    /// With x = r sin θ − e and ρ = √(L² − x²), from y = r cos θ + ρ:
    /// ds/dθ = r sin θ + x r cos θ/ρ and
    /// d²s/dθ² = r cos θ + (r² cos² θ − x r sin θ)/ρ + x² r² cos² θ/ρ³.
    #[must_use]
    pub fn motion(&self, angle_deg: f64) -> Motion {
        let at = self.turned(angle_deg.to_radians());
        let (sin, r) = (at.sin, self.throw);
        let x = r * sin - self.pin_path_x;
        let rise = self.rod_rise(sin);
        let rc = r * at.cos;
        Motion {
            position_mm: self.position_at(&at),
            velocity_mm_per_rad: r * sin + x * rc / rise,
            acceleration_mm_per_rad2: rc
                + (rc * rc - x * r * sin) / rise
                + (x * rc) * (x * rc) / (rise * rise * rise),
        }
    }

    /// Returns the two angles at which the piston is this far below top dead
    /// centre: degrees after it on the way down, and degrees before it on the
    /// way up; both 0 to about 180. Returns `None` outside of the stroke.
    ///
    /// Derivation (plane geometry): at the distance s below the top the pin is
    /// at (e, y_T − s), d from the crank centre. Crankpin, pin and crank centre
    /// are the corners of a triangle with the sides r, L and d; half of its
    /// angle β at the crank centre follows from the half-angle formula
    /// tan²(β/2) = (L² − (d − r)²)/((d + r)² − L²), which keeps its digits at
    /// both dead centres where the cosine rule loses them. The crank is at φ +
    /// β on the way down and at φ − β on the way up, where φ is the direction
    /// of the pin from the bore axis.
    ///
    /// ```
    /// # use crowndeck::engine::{Dims, Engine, Key};
    /// # let dims = Dims::new().with(Key::Bore, 52.0).with(Key::Stroke, 58.0).with(Key::RodLength, 112.0)
    /// #     .with(Key::CompressionHeight, 27.0).with(Key::CaseHeight, 86.0).with(Key::BarrelLength, 82.8)
    /// #     .with(Key::ChamberVolume, 11.9);
    /// let crank = Engine::new(dims).unwrap().figures().crank;
    /// let (down, up) = crank.angles_at(crank.motion(88.0).position_mm).unwrap();
    /// assert!((down - 88.0).abs() < 1e-9 && (up - 88.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn angles_at(&self, position_mm: f64) -> Option<(f64, f64)> {
        if !(0.0..=self.true_stroke()).contains(&position_mm) {
            return None;
        }
        let (r, l, e) = (self.throw, self.rod, self.pin_path_x);
        let y = self.y_top - position_mm;
        let d = num::hypot(e, y);
        // Below 0 only by rounding, at the dead centres.
        let near_top = ((l - d + r) * (l + d - r)).max(0.0).sqrt();
        let near_bottom = ((d + r - l) * (d + r + l)).max(0.0).sqrt();
        let beta = 2.0 * num::atan2(near_top, near_bottom);
        let direction = num::atan2(e, y) - self.theta_top();
        Some(((direction + beta).to_degrees(), (beta - direction).to_degrees()))
    }

    /// Returns the position of the crankpin, mm from the crank centre, at an
    /// angle in degrees after piston top dead centre.
    #[must_use]
    pub fn crankpin(&self, angle_deg: f64) -> (f64, f64) {
        let (sin, cos) = num::sin_cos(self.theta_top() + angle_deg.to_radians());
        (self.throw * sin, self.throw * cos)
    }

    /// Returns the angle in degrees after piston top dead centre at which the
    /// crankpin points from the crank centre toward (x, y); −180 to 180.
    #[must_use]
    pub fn angle_toward(&self, x: f64, y: f64) -> f64 {
        let angle = (num::atan2(x, y) - self.theta_top()).to_degrees();
        if angle > 180.0 {
            angle - 360.0
        } else if angle <= -180.0 {
            angle + 360.0
        } else {
            angle
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(actual: f64, expected: f64, tolerance: f64) {
        let error = (actual - expected).abs();
        assert!(error <= tolerance, "{actual} against {expected}: off by {error}");
    }

    /// R. L. Norton, Design of Machinery, ch. 4, table P4-2, offset
    /// slider-crank, row a (from memory): crank 1.4, rod 4, offset 1, crank at
    /// 45° to the slide; slider at 4.990 from the crank centre. His slide is
    /// the x axis and his offset +y, so our angle from the bore axis is
    /// −45° and e is −1 seen with the bore up.
    #[test]
    fn an_offset_slider_stands_where_a_textbook_puts_it() {
        let crank = Crank::of(2.8, 4.0, 1.0);
        let angle = (-45.0_f64).to_radians() - crank.theta_top();
        near(crank.y_top() - crank.position(angle), 4.989_936_867_06, 1e-10);
    }

    #[test]
    fn the_top_is_exactly_the_top_whatever_the_offset() {
        for offset in [-3.0, 0.0, 0.6, 7.5] {
            let crank = Crank::of(74.0, 130.0, offset);
            assert_eq!(crank.motion(0.0).position_mm, 0.0);
            near(crank.motion(0.0).velocity_mm_per_rad, 0.0, 1e-13);
            let bottom = crank.theta_bottom() - crank.theta_top();
            near(crank.position(bottom), crank.true_stroke(), 1e-12);
        }
    }

    /// Against differences of the plain formula of the module's head.
    #[test]
    fn velocity_and_acceleration_are_the_derivatives_of_the_plain_formula() {
        let crank = Crank::of(74.0, 130.0, 0.6);
        let y = |deg: f64| {
            let theta = crank.theta_top() + deg.to_radians();
            let x: f64 = 37.0 * num::sin(theta) + 0.6;
            37.0 * num::cos(theta) + (130.0 * 130.0 - x * x).sqrt()
        };
        for deg in [-170.0, -33.0, 0.0, 5.0, 77.0, 180.0] {
            let h: f64 = 1e-2;
            let motion = crank.motion(deg);
            near(motion.position_mm, crank.y_top() - y(deg), 1e-12);
            let v = -(y(deg + h) - y(deg - h)) / (2.0 * h.to_radians());
            let a = -(y(deg + h) - 2.0 * y(deg) + y(deg - h)) / (h.to_radians() * h.to_radians());
            near(motion.velocity_mm_per_rad, v, 1e-5);
            near(motion.acceleration_mm_per_rad2, a, 1e-4);
        }
    }

    #[test]
    fn the_crankpin_and_its_angle_are_inverse() {
        let crank = Crank::of(74.0, 130.0, 0.6);
        for deg in [-179.0, -90.0, 0.0, 12.5, 180.0] {
            let (x, y) = crank.crankpin(deg);
            near(crank.angle_toward(x, y), deg, 1e-9);
        }
    }

    /// Against the position itself, with the pin on either side and none.
    #[test]
    fn the_angles_of_a_position_give_it_back() {
        for offset in [-3.0, 0.0, 0.6, 7.5] {
            let crank = Crank::of(74.0, 130.0, offset);
            for deg in [0.0, 1e-4, 7.0, 60.0, 88.0, 150.0, 177.0] {
                let (down, up) = crank.angles_at(crank.motion(deg).position_mm).expect("within the stroke");
                near(down, deg, 1e-7);
                near(crank.motion(-up).position_mm, crank.motion(deg).position_mm, 1e-9);
                assert!(offset == 0.0 || deg < 1.0 || (up - down).abs() > 1e-5, "{offset}: {down} and {up}");
            }
            let bottom = crank.angles_at(crank.true_stroke()).expect("the bottom");
            near(bottom.0 + bottom.1, 360.0, 1e-5);
            assert_eq!(crank.angles_at(-0.01), None);
            assert_eq!(crank.angles_at(crank.true_stroke() + 0.01), None);
        }
    }
}
