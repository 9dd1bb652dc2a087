//! Closed forms of the solids, and their inverses. Lengths and volumes are in
//! any one consistent unit (mm and mm³ in this crate); every form keeps its
//! ratio when all lengths are scaled.

use crate::engine::num::{PI, cbrt};

/// Greatest number of rounds of the cubic's Newton iteration. It converges in
/// fewer than ten from its starting point for any volume; the cap is a seat
/// belt.
const NEWTON_ROUNDS: usize = 60;

/// Returns the volume of a spherical cap with base radius `a` and height `h`: V
/// = π·h·(3a² + h²)/6.
///
/// Derivation: a sphere of radius ρ = (a² + h²)/(2h) has at depth z below its
/// pole the disc π(2ρz − z²); integrated from 0 to h this is π·h²(3ρ − h)/3,
/// and ρ put in gives the form above.
#[must_use]
pub fn cap(a: f64, h: f64) -> f64 {
    PI * h * (3.0 * a * a + h * h) / 6.0
}

/// Returns the radius of the sphere of a cap with base radius `a` and height
/// `h`, from a² = h(2ρ − h). Infinite for h = 0.
#[must_use]
pub fn cap_sphere_radius(a: f64, h: f64) -> f64 {
    (a * a / h + h) / 2.0
}

/// Returns the height of the spherical cap with base radius `a` that holds
/// `volume`.
///
/// With t = h/a the form of [`cap`] reads t³ + 3t = 6V/(πa³) = q. The left
/// side rises and is convex for t > 0, so Newton's iteration started above
/// the root falls to it without ever passing it; both q/3 and ∛q lie above
/// the root, and the smaller one is the start. `a` must be above 0 and
/// `volume` not below 0.
///
/// ```
/// use crowndeck::engine::solid::forms::{cap, cap_height};
/// let h = cap_height(29.0, 6_027.2);
/// assert!((cap(29.0, h) / 6_027.2 - 1.0).abs() < 1e-14);
/// ```
#[must_use]
pub fn cap_height(a: f64, volume: f64) -> f64 {
    let q = 6.0 * volume / (PI * a * a * a);
    let mut t = (q / 3.0).min(cbrt(q));
    for _ in 0..NEWTON_ROUNDS {
        let next = t - (t * (t * t + 3.0) - q) / (3.0 * (t * t + 1.0));
        if !(next < t && next >= 0.0) {
            break;
        }
        t = next;
    }
    t * a
}

/// Returns the base radius of the half sphere that holds `volume`: the
/// narrowest opening of a cap without an undercut. From V = 2πa³/3.
#[must_use]
pub fn half_sphere_radius(volume: f64) -> f64 {
    cbrt(1.5 * volume / PI)
}

/// Returns the volume swept by a plane area whose centroid runs once round an
/// axis at distance `centroid_radius`: V = 2π·r·A (second theorem of Pappus).
#[must_use]
pub fn revolved(area: f64, centroid_radius: f64) -> f64 {
    2.0 * PI * centroid_radius * area
}

/// Returns the volume that a quarter-round of radius `f` fills in the corner
/// between a round wall of radius `a` and a flat roof.
///
/// The corner's section is the square f² less the quarter disc πf²/4. Its
/// area is (1 − π/4)f²; its centroid lies f(10 − 3π)/(12 − 3π) inside the
/// wall: first moment of the square about the wall f³/2, less that of the
/// quarter disc πf²/4·(f − 4f/(3π)), over the area. Pappus gives the volume.
#[must_use]
pub fn corner(a: f64, f: f64) -> f64 {
    let area = (1.0 - PI / 4.0) * f * f;
    let inside = f * (10.0 - 3.0 * PI) / (12.0 - 3.0 * PI);
    revolved(area, a - inside)
}

/// Returns the depth of a cylinder of radius `a`, with a quarter-round of
/// radius `f` round its roof, that holds `volume`: V = πa²·depth − [`corner`].
/// The form holds for depth ≥ f.
#[must_use]
pub fn bowl_depth(a: f64, f: f64, volume: f64) -> f64 {
    (volume + corner(a, f)) / (PI * a * a)
}

/// Returns the least volume of a bowl of radius `a` whose roof has the full
/// quarter-round `f`: its depth is then f.
#[must_use]
pub fn bowl_least(a: f64, f: f64) -> f64 {
    PI * a * a * f - corner(a, f)
}

/// Returns the largest fillet, up to `a`, whose quarter-round is still complete
/// in a bowl of radius `a` that holds `volume`: [`bowl_least`] rises with the
/// fillet (its slope is the wall's area less what the corner gains), so halving
/// the interval finds it to the last bit.
#[must_use]
pub fn bowl_largest_fillet(a: f64, volume: f64) -> f64 {
    if bowl_least(a, a) <= volume {
        return a;
    }
    let (mut low, mut high) = (0.0, a);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if bowl_least(a, middle) <= volume {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Returns the volume of a truncated cone with end radii `a` and `b` and height
/// `h`: V = πh(a² + ab + b²)/3.
///
/// Derivation: the radius runs linearly, r = a + (b − a)z/h; πr² integrated
/// from 0 to h.
#[must_use]
pub fn truncated_cone(a: f64, b: f64, h: f64) -> f64 {
    PI * h * (a * a + a * b + b * b) / 3.0
}

/// Returns the height of the truncated cone with end radii `a` and `b` that
/// holds `volume`.
#[must_use]
pub fn truncated_cone_height(a: f64, b: f64, volume: f64) -> f64 {
    volume / truncated_cone(a, b, 1.0)
}

/// Returns the volume under two planes that meet in a ridge at height `h` over
/// the diameter of a round plan of radius `a` and fall to 0 at its sides: V =
/// h·a²·(π − 4/3).
///
/// Derivation: the height over a plan point is h(1 − |x|/a). The disc gives
/// h·πa²; |x| integrated over the disc is 4a³/3, since ∫|x|·2√(a² − x²)dx
/// from −a to a is 4a³/3.
#[must_use]
pub fn pent_roof_round(a: f64, h: f64) -> f64 {
    h * a * a * (PI - 4.0 / 3.0)
}

/// Returns the ridge height of a pent roof over a round plan of radius `a` that
/// holds `volume`.
#[must_use]
pub fn pent_roof_round_depth(a: f64, volume: f64) -> f64 {
    volume / pent_roof_round(a, 1.0)
}

/// Returns the volume of a roof (in mensuration: a wedge) over a rectangle
/// `length` × `width` with a ridge of length `ridge` at height `h` above and
/// along the length: V = (2·length + ridge)·width·h/6. With ridge = length it
/// is the pent roof with upright gables, V = length·width·h/2.
///
/// Derivation by the prismatoid rule h(B₀ + 4Bₘ + B₁)/6 with the middle
/// section (length + ridge)/2 × width/2 and no top area.
#[must_use]
pub fn roof_over_rectangle(length: f64, width: f64, ridge: f64, h: f64) -> f64 {
    (2.0 * length + ridge) * width * h / 6.0
}

/// Returns the area of a rectangle `length` × `width` whose corners are rounded
/// with radius `corner_radius`: each corner loses (1 − π/4)r².
#[must_use]
pub fn rounded_rectangle(length: f64, width: f64, corner_radius: f64) -> f64 {
    length * width - (4.0 - PI) * corner_radius * corner_radius
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, tolerance: f64) {
        assert!((got - want).abs() <= tolerance, "{got} against {want} ± {tolerance}");
    }

    /// D01, D02: F. A. Griffiths, The Artillerist's Manual and British
    /// Soldier's Compendium (public domain), mensuration: a segment 2 ft high
    /// of a sphere of 8 ft holds 41.888 ft³ (printed with .5236 for π/6), a
    /// sphere of 6 in 113.0976 in³. Seen: read in a copy of the source.
    #[test]
    fn spherical_segment_and_sphere_as_printed() {
        let (h, rho) = (2.0, 4.0);
        let a = f64::sqrt(h * (2.0 * rho - h));
        close(cap(a, h), 41.888, 0.0005);
        close(cap_sphere_radius(a, h), rho, 1e-14);
        close(2.0 * cap(3.0, 3.0), 113.0976, 0.001);
    }

    /// D03, D08: Machinery's Handbook, "Volumes of solids": a cap 50 mm high
    /// over a chord of 125 mm holds 372247 mm³ in a sphere of 64 mm. Seen:
    /// from memory, the wording varies by edition. D08 is D03 turned round.
    #[test]
    fn a_spherical_cap_has_the_printed_volume_there_and_back() {
        close(cap(62.5, 50.0), 372_247.0, 2.0);
        close(cap_sphere_radius(62.5, 50.0), 64.06, 0.005);
        close(cap_height(62.5, 372_247.0), 50.0, 0.001);
    }

    /// D04: Machinery's Handbook, "Volumes of solids": frustum of a cone
    /// 8 and 4 cm across, 5 cm high, 146.61 cm³. Seen: from memory.
    #[test]
    fn a_truncated_cone_has_the_printed_volume() {
        close(truncated_cone(4.0, 2.0, 5.0), 146.61, 0.01);
        close(truncated_cone_height(4.0, 2.0, 146.607_657_168), 5.0, 1e-9);
    }

    /// D05: Machinery's Handbook, "Volumes of solids": zone of a sphere with
    /// end chords 3 and 4 in, 1.5 in apart, 16.493 in³. Seen: from memory.
    /// Here the zone is what lies between two caps of its sphere: with the
    /// larger circle at z from the centre, ρ² = 4 + z² = 2.25 + (z + 1.5)²
    /// gives z = −1/6, so that the centre lies inside the zone.
    #[test]
    fn spherical_zone_as_two_caps_leave_it() {
        let z = (4.0 - 2.25 - 2.25) / 3.0;
        let rho = f64::sqrt(4.0 + z * z);
        let top = cap(1.5, rho - (z + 1.5));
        let bottom = cap(2.0, rho + z);
        let sphere = 4.0 / 3.0 * PI * rho * rho * rho;
        close(sphere - top - bottom, 16.493, 0.0005);
    }

    /// D06: Machinery's Handbook, "Volumes of solids": torus of mean diameter
    /// 5 in from a bar of 1.5 in, 27.76 in³. Seen: from memory. It checks the
    /// theorem of Pappus as the fillet uses it.
    #[test]
    fn a_torus_has_the_printed_volume() {
        close(revolved(PI / 4.0 * 1.5 * 1.5, 2.5), 27.76, 0.005);
    }

    /// D07: Machinery's Handbook, "Volumes of solids": wedge 4 × 3 in, edge
    /// 5 in, height 4.5 in, 29.25 in³. Seen: from memory.
    #[test]
    fn a_wedge_has_the_printed_volume() {
        close(roof_over_rectangle(4.0, 3.0, 5.0, 4.5), 29.25, 0.005);
    }

    /// D09: computed, no printed figure: a solid modeller's boolean
    /// (OpenCASCADE) gives 0.6279480156 cm³ for R 30 mm, f 4 mm.
    #[test]
    fn quarter_round_in_a_round_corner() {
        close(corner(30.0, 4.0), 627.948_015_637, 1e-8);
    }

    #[test]
    fn cap_height_returns_the_volume_from_sliver_to_far_beyond_the_half_sphere() {
        for exponent in -30..=12 {
            let volume = crate::engine::num::pow(10.0, f64::from(exponent));
            for a in [1e-3, 0.7, 1e3] {
                let back = cap(a, cap_height(a, volume));
                assert!((back / volume - 1.0).abs() < 1e-14, "a {a}, volume {volume}: {back}");
            }
        }
        close(cap_height(3.0, 0.0), 0.0, 0.0);
    }

    #[test]
    fn largest_fillet_just_fits() {
        let f = bowl_largest_fillet(30.0, 9_000.0);
        close(bowl_least(30.0, f), 9_000.0, 1e-8);
        close(bowl_depth(30.0, f, 9_000.0), f, 1e-11);
        close(bowl_largest_fillet(30.0, 60_000.0), 30.0, 0.0);
    }
}
