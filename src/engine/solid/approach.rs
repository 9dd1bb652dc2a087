//! The least distance between crown and head in the section plane.
//!
//! Crown and roof are heights over x made of straight stretches, arcs and
//! upright walls. First the vertical gap is minimised: it is the difference
//! of two heights, so its least value lies at an end of a stretch or where
//! both leans are equal. If it is not above 0, the crown meets the head. Else
//! the outlines don't cross, and their least distance is the least over all
//! pairs of edges, each a matter of a few points: an end against the other
//! edge, the foot of the perpendicular from an arc's centre on a line, the
//! line through two arcs' centres.
//!
//! For chambers that are not round (pent roof, wedge, bathtub) and for valve
//! pockets the section shows the plane of the crank throw only: somewhere
//! else crown and head may be nearer.

use super::chamber::Chamber;
use super::crown::Crown;
use super::profile::{Profile, Stretch};
use kurbo::{Point, Vec2};

/// An arc whose half angle is below this counts as straight: its sagitta is
/// then below 1e-8 of its width, while its centre is so far away that a
/// distance taken from it would lose more.
const STRAIGHT: f64 = 2e-8;

/// The closest approach of crown and head. Points are in the chamber's frame: x
/// = 0 on the bore axis, y = 0 at the joint plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Approach {
    /// The least distance, mm. 0 at a touch; negative where they overlap: the
    /// distance by which the piston would have to go down to just touch.
    pub distance_mm: f64,
    /// The nearest point of the crown.
    pub crown: Point,
    /// The nearest point of the head.
    pub head: Point,
    /// The least vertical gap, mm, as a lump of clay on the crown shows it.
    pub vertical_mm: f64,
}

impl Approach {
    /// Returns whether crown and head touch or overlap.
    #[must_use]
    pub fn is_contact(&self) -> bool {
        self.distance_mm <= 0.0
    }
}

/// Computes the least distance between crown and head with the crown's rim
/// `gap_at_rim_mm` below the head's flat band (squish clearance plus piston
/// travel). Of several equally near points the one nearest to the axis is
/// returned.
///
/// ```
/// use crowndeck::engine::solid::{Chamber, ChamberKind, Crown, CrownKind, closest_approach};
/// let chamber = Chamber::solve(&ChamberKind::default(), 80.0, 0.0, 33.5)?;
/// let crown = Crown::solve(&CrownKind::Flat, 80.0, 0.0, 0.0)?;
/// let near = closest_approach(&crown, &chamber, 2.0);
/// assert_eq!(near.distance_mm, 2.0);
/// assert_eq!(near.crown.x, chamber.opening_mm() / 2.0);
/// # Ok::<(), crowndeck::engine::solid::SolidFault>(())
/// ```
#[must_use]
pub fn closest_approach(crown: &Crown, chamber: &Chamber, gap_at_rim_mm: f64) -> Approach {
    let rise = chamber.head_step_mm() - gap_at_rim_mm;
    between_profiles(&crown.top().shifted(rise), chamber.roof())
}

fn between_profiles(crown: &Profile, head: &Profile) -> Approach {
    let scale = (head.right() - head.left()).abs();
    let vertical = least_vertical(crown, head, scale);
    if vertical.distance <= 0.0 {
        return vertical.approach(vertical.distance);
    }
    let (crown_edges, head_edges) = (edges(crown), edges(head));
    let mut best = vertical;
    for a in &crown_edges {
        for b in &head_edges {
            if a.apart(b) <= best.distance + tie(scale) {
                a.nearest(b, &mut |p, q| best.offer(p, q, p.distance(q), scale));
            }
        }
    }
    best.approach(vertical.distance)
}

/// Returns the difference of distances that count as equally near.
fn tie(scale: f64) -> f64 {
    1e-9 * scale
}

/// The nearest pair found so far.
#[derive(Clone, Copy)]
struct Best {
    distance: f64,
    crown: Point,
    head: Point,
}

impl Best {
    /// Takes a pair that is nearer, or as near and nearer to the axis; of two
    /// mirrored ones that on the right.
    fn offer(&mut self, crown: Point, head: Point, distance: f64, scale: f64) {
        let tie = tie(scale);
        let as_near = (distance - self.distance).abs() <= tie;
        let further_in = crown.x.abs() - self.crown.x.abs();
        let takes = if as_near {
            further_in < -tie || (further_in <= tie && crown.x > self.crown.x + tie)
        } else {
            distance < self.distance
        };
        if takes {
            // The figure is the least one even where a tie moves the place.
            let distance = if as_near { distance.min(self.distance) } else { distance };
            *self = Self { distance, crown, head };
        } else if as_near {
            self.distance = self.distance.min(distance);
        }
    }

    fn approach(self, vertical_mm: f64) -> Approach {
        Approach { distance_mm: self.distance, crown: self.crown, head: self.head, vertical_mm }
    }
}

/// Finds the least vertical gap; walls count with both of their sides.
fn least_vertical(crown: &Profile, head: &Profile, scale: f64) -> Best {
    let mut best = Best { distance: f64::INFINITY, crown: Point::ZERO, head: Point::ZERO };
    for c in crown.stretches() {
        for h in head.stretches() {
            let (from, to) = (c.start().x.max(h.start().x), c.end().x.min(h.end().x));
            // Stretches that only share an end are compared there too: at a
            // wall the higher side of the crown meets the lower of the head.
            if from > to {
                continue;
            }
            let mut at = |x: f64| {
                let (p, q) = (Point::new(x, ordinate(c, x)), Point::new(x, ordinate(h, x)));
                best.offer(p, q, q.y - p.y, scale);
            };
            at(from);
            at(to);
            // Equal leans: lean₀ − κ(x − x₀) of both.
            let bend = c.curvature() - h.curvature();
            if bend != 0.0 {
                let x = from + (c.lean_at(from) - h.lean_at(from)) / bend;
                if x > from && x < to {
                    at(x);
                }
            }
        }
    }
    best
}

/// Returns the height at `x`, exact at the ends.
fn ordinate(s: &Stretch, x: f64) -> f64 {
    if x == s.start().x {
        s.start().y
    } else if x == s.end().x {
        s.end().y
    } else {
        s.y(x)
    }
}

/// A piece of outline: straight, or an arc that is a height over x.
#[derive(Clone, Copy)]
struct Edge {
    p: Point,
    q: Point,
    low: f64,
    high: f64,
    round: Option<Round>,
}

#[derive(Clone, Copy)]
struct Round {
    centre: Point,
    radius: f64,
    /// Whether it is above its centre, bulging up.
    up: bool,
}

/// Returns all edges of a profile, walls included.
fn edges(profile: &Profile) -> Vec<Edge> {
    let mut edges = Vec::with_capacity(2 * profile.stretches().len());
    let mut last: Option<Point> = None;
    for s in profile.stretches() {
        if let Some(end) = last.filter(|end| *end != s.start()) {
            edges.push(Edge::straight(end, s.start()));
        }
        edges.push(Edge::of(s));
        last = Some(s.end());
    }
    edges
}

impl Edge {
    fn straight(p: Point, q: Point) -> Self {
        Self { p, q, low: p.y.min(q.y), high: p.y.max(q.y), round: None }
    }

    fn of(s: &Stretch) -> Self {
        let (p, q, k) = (s.start(), s.end(), s.curvature());
        if (k * (q.x - p.x)).abs() <= 2.0 * STRAIGHT {
            return Self::straight(p, q);
        }
        let lean = s.lean_at(p.x);
        let cosine = f64::sqrt((1.0 - lean * lean).max(0.0));
        let round = Round { centre: p + Vec2::new(lean, -cosine) / k, radius: 1.0 / k.abs(), up: k > 0.0 };
        let (low, high) = s.heights();
        Self { p, q, low, high, round: Some(round) }
    }

    /// Returns a lower bound of the distance: that between the boxes round both
    /// edges.
    fn apart(&self, other: &Self) -> f64 {
        let gap = |a0: f64, a1: f64, b0: f64, b1: f64| (b0 - a1).max(a0 - b1).max(0.0);
        let dx = gap(self.left(), self.right(), other.left(), other.right());
        let dy = gap(self.low, self.high, other.low, other.high);
        f64::sqrt(dx * dx + dy * dy)
    }

    fn left(&self) -> f64 {
        self.p.x.min(self.q.x)
    }

    fn right(&self) -> f64 {
        self.p.x.max(self.q.x)
    }

    /// Offers every pair of points that can be the nearest one.
    fn nearest(&self, other: &Self, offer: &mut impl FnMut(Point, Point)) {
        for p in [self.p, self.q] {
            other.facing(p, |q| offer(p, q));
            offer(p, other.p);
            offer(p, other.q);
        }
        for q in [other.p, other.q] {
            self.facing(q, |p| offer(p, q));
        }
        match (self.round, other.round) {
            (None, None) => {}
            // The nearest point of a circle lies on the perpendicular from
            // its centre, so the centre's foot on the line faces it.
            (Some(round), None) => {
                other.facing(round.centre, |q| self.facing(q, |p| offer(p, q)));
            }
            (None, Some(round)) => {
                self.facing(round.centre, |p| other.facing(p, |q| offer(p, q)));
            }
            (Some(a), Some(b)) => {
                let along = b.centre - a.centre;
                let length = along.hypot();
                if length > 0.0 {
                    let unit = along / length;
                    for side in [unit, -unit] {
                        let p = a.centre + side * a.radius;
                        if self.holds(p) {
                            other.facing(p, |q| offer(p, q));
                        }
                    }
                }
            }
        }
    }

    /// Calls `found` with every point of the edge at which its distance from
    /// `from` is stationary; the ends are left to the caller.
    fn facing(&self, from: Point, mut found: impl FnMut(Point)) {
        let Some(round) = self.round else {
            let along = self.q - self.p;
            let t = (from - self.p).dot(along) / along.hypot2();
            if (0.0..=1.0).contains(&t) {
                found(self.p + along * t);
            }
            return;
        };
        let out = from - round.centre;
        let length = out.hypot();
        if length == 0.0 {
            return;
        }
        for side in [round.radius / length, -round.radius / length] {
            let point = round.centre + out * side;
            if self.holds(point) {
                found(point);
            }
        }
    }

    /// Returns whether a point of the arc's circle lies on the arc itself.
    fn holds(&self, point: Point) -> bool {
        self.round.is_some_and(|round| {
            (point.y >= round.centre.y) == round.up && (self.left()..=self.right()).contains(&point.x)
        })
    }
}
