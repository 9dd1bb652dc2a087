//! Valve pockets: two hollows of equal volume cut into the crown, one on
//! each side of the bore axis.
//!
//! Each pocket lowers the crown inside a round plan (the valve seen from
//! above). The lowering depends on x alone, so the volume of a pocket is ∫
//! lowering(x)·2√(q² − (x − c)²) dx over the plan of radius q round x = c. On
//! flat and hollow crowns the floor runs parallel to the crown: the lowering t
//! is constant and the volume is πq²·t. On a dome the floor is straight in the
//! section: t deep at its inner side and running out at its outer side, as a
//! cutter on the valve's axis leaves it. The lowering is then the dome over its
//! chord, V₀, plus a triangle whose mean over the plan is t/2, so the volume is
//! V₀ + πq²·t/2.

use super::CrownKind;
use super::profile::{Profile, Stretch};
use crate::engine::num::{PI, asin, sin_cos};
use kurbo::Point;

/// Plan of a pocket on a flat or hollow crown: distance from the axis and
/// radius as fractions of the bore (common practice, from memory).
const FLAT_PLAN: (f64, f64) = (0.235, 0.19);

/// Plan of a pocket on a dome, as fractions of the dome's base radius: from a
/// tenth to 0.98 of it, so that the whole plan lies on the dome.
const DOME_PLAN: (f64, f64) = (0.54, 0.44);

/// Samples of the quadrature over a plan. The integrand is smooth and
/// periodic in the angle, so the mean over equal steps converges faster than
/// any power: with the plan kept inside the dome the error is below 1e-14.
const SAMPLES: u32 = 128;

/// The floor of a pocket in the section.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Floor {
    /// Parallel to the crown.
    Parallel,
    /// Straight from the lowered inner side to the crown at the outer side.
    Straight,
}

/// Two valve pockets, mirrored in the bore axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pockets {
    centre: f64,
    radius: f64,
    depth: f64,
    floor: Floor,
}

impl Pockets {
    /// Solves two pockets that together take `volume` mm³ out of the `bare`
    /// crown; `None` for 0.
    pub(super) fn solve(kind: &CrownKind, bore: f64, bare: &Profile, volume: f64) -> Option<Self> {
        if volume <= 0.0 {
            return None;
        }
        let each = volume / 2.0;
        let domed = match *kind {
            CrownKind::Dome { base } | CrownKind::FlatDome { base, .. } if bare.top() > 0.0 => {
                Some(base * bore / 2.0)
            }
            _ => None,
        };
        if let Some(base) = domed {
            return Some(Self::on_dome(base, bare, each));
        }
        let (centre, radius) = (FLAT_PLAN.0 * bore, FLAT_PLAN.1 * bore);
        let depth = each / (PI * radius * radius);
        Some(Self { centre, radius, depth, floor: Floor::Parallel })
    }

    /// Creates a pocket on a dome. A plan so wide that its chord alone takes
    /// more than half of the volume is narrowed, its outer side staying where
    /// it is, until the chord takes half: what is taken rises with the width.
    fn on_dome(base: f64, bare: &Profile, each: f64) -> Self {
        let outer = (DOME_PLAN.0 + DOME_PLAN.1) * base;
        let widest = DOME_PLAN.1 * base;
        let taken = |radius: f64| over_chord(bare, outer - radius, radius);
        let mut radius = widest;
        if taken(widest) > each / 2.0 {
            let mut low = 0.0;
            for _ in 0..50 {
                let middle = (low + radius) / 2.0;
                if taken(middle) > each / 2.0 { radius = middle } else { low = middle }
            }
        }
        let depth = 2.0 * (each - taken(radius)) / (PI * radius * radius);
        Self { centre: outer - radius, radius, depth, floor: Floor::Straight }
    }

    /// Returns the distance of a plan's centre from the bore axis, mm.
    #[must_use]
    pub fn centre_mm(&self) -> f64 {
        self.centre
    }

    /// Returns the radius of a plan, mm.
    #[must_use]
    pub fn radius_mm(&self) -> f64 {
        self.radius
    }

    /// Returns the depth by which the crown is lowered at the pocket's inner
    /// side, mm.
    #[must_use]
    pub fn depth_mm(&self) -> f64 {
        self.depth
    }

    /// Returns the crown with both pockets cut.
    pub(super) fn cut(&self, bare: &Profile) -> Profile {
        let (inner, outer) = (self.centre - self.radius, self.centre + self.radius);
        let mut right: Vec<Stretch> = bare.between(0.0, inner).stretches().to_vec();
        match self.floor {
            Floor::Parallel => {
                right.extend(bare.between(inner, outer).shifted(-self.depth).stretches());
            }
            Floor::Straight => {
                right.push(Stretch::line((inner, bare.y(inner) - self.depth), (outer, bare.y(outer))));
            }
        }
        right.extend(bare.between(outer, bare.right()).stretches());
        Profile::symmetric(&right)
    }
}

/// Computes the volume between the profile and its chord over the plan of
/// `radius` round x = `centre`: ∫ 2·(y − chord)·√(q² − (x − c)²) dx.
fn over_chord(profile: &Profile, centre: f64, radius: f64) -> f64 {
    let (from, to) = (centre - radius, centre + radius);
    let (inner, outer) = (profile.y(from), profile.y(to));
    let lift = |x: f64, y: f64| y - inner - (outer - inner) * (x - from) / (2.0 * radius);
    let over = profile.between(from, to);
    if over.stretches().iter().all(|s| s.curvature() == 0.0) {
        let under = |s: &Stretch| {
            let place = |p: Point| ((p.x - centre) / radius, lift(p.x, p.y));
            under_line(place(s.start()), place(s.end()))
        };
        return 2.0 * radius * radius * over.stretches().iter().map(under).sum::<f64>();
    }
    // One arc over the whole plan: with x = c + q·sin φ the integrand is
    // 2q²·lift·cos²φ.
    let sum: f64 = (0..SAMPLES)
        .map(|i| {
            let (sin, cos) = sin_cos(PI * ((f64::from(i) + 0.5) / f64::from(SAMPLES) - 0.5));
            let x = centre + radius * sin;
            lift(x, profile.y(x)) * cos * cos
        })
        .sum();
    2.0 * radius * radius * sum * PI / f64::from(SAMPLES)
}

/// Computes ∫ l(u)·√(1 − u²) du of a straight line l from (u₀, l₀) to (u₁, l₁),
/// from ∫√(1 − u²)du = (u√(1 − u²) + asin u)/2 and ∫u√(1 − u²)du = −(1 −
/// u²)^(3/2)/3.
fn under_line((u0, l0): (f64, f64), (u1, l1): (f64, f64)) -> f64 {
    if u1 <= u0 {
        return 0.0;
    }
    let slope = (l1 - l0) / (u1 - u0);
    let whole = |u: f64| {
        let root = f64::sqrt((1.0 - u * u).max(0.0));
        let level = (u * root + asin(u.clamp(-1.0, 1.0))) / 2.0;
        (l0 - slope * u0) * level - slope * root * root * root / 3.0
    };
    whole(u1) - whole(u0)
}
