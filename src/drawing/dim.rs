//! Dimension lines with their arrows, projection lines and values.
//!
//! Practice after ISO 129-1 (from memory and textbooks): narrow lines, filled
//! arrows of 15°, projection lines that go a little beyond the dimension line
//! and leave a small gap at the part, the value above the line, read from the
//! bottom or from the right of the sheet. Where there is no room, arrows are
//! drawn outside and the value beyond them.

use super::label::{Labels, Pose, Word};
use super::list::{Anchor, Dash, DisplayList, Ink, Shape};
use super::pens::{Letters, Pens};
use crate::engine::num;
use kurbo::{BezPath, Line, Point, Vec2};

/// A writer of lines and arrows of one output.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drafter<'a> {
    /// The pens of the output.
    pub pens: &'a Pens,
}

/// One length between two points, measured along a direction.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Dimension {
    /// Start of the length, on the part.
    pub from: Point,
    /// End of the length.
    pub to: Point,
    /// The value as it is written.
    pub text: String,
    /// Its colour role.
    pub ink: Ink,
}

/// A dimension line and the direction that it measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rail {
    /// A point that the line goes through.
    pub through: Point,
    /// The direction that is measured, length 1.
    pub along: Vec2,
}

impl Rail {
    /// Returns the foot on this line of the projection line from a point.
    #[must_use]
    pub(crate) fn foot(&self, p: Point) -> Point {
        self.through + self.along * self.along.dot(p - self.through)
    }

    /// Returns the position of a point along the line.
    fn reach(&self, p: Point) -> f64 {
        self.along.dot(p - self.through)
    }
}

/// Returns the direction of writing along a line, in degrees counter-clockwise
/// as seen: readable from the bottom or from the right, so above −90 and at
/// most 90.
#[must_use]
pub(crate) fn reading_deg(along: Vec2) -> f64 {
    let deg = num::atan2(-along.y, along.x).to_degrees();
    // A hair beyond straight up or down is still straight up.
    if deg > 90.0 + 1e-9 {
        deg - 180.0
    } else if deg <= -90.0 + 1e-9 {
        deg + 180.0
    } else {
        deg
    }
}

/// Returns, for a text turned by `deg`, the direction in which it runs, and the
/// direction from its baseline to its top.
#[must_use]
pub(crate) fn writing(deg: f64) -> (Vec2, Vec2) {
    let (sin, cos) = num::sin_cos(deg.to_radians());
    (Vec2::new(cos, -sin), Vec2::new(-sin, -cos))
}

impl Drafter<'_> {
    /// Draws a narrow continuous line.
    pub(crate) fn line(&self, list: &mut DisplayList, a: Point, b: Point, ink: Ink) {
        self.stroke(list, line_path(a, b), ink, self.pens.narrow, Dash::Solid);
    }

    pub(crate) fn stroke(&self, list: &mut DisplayList, path: BezPath, ink: Ink, width: f64, dash: Dash) {
        if !path.is_empty() {
            list.shapes.push(Shape::Stroke { path, ink, width, dash });
        }
    }

    /// Draws a filled arrow head that points along `way` (length 1) and ends at
    /// `tip`.
    pub(crate) fn arrow(&self, list: &mut DisplayList, tip: Point, way: Vec2, ink: Ink) {
        let tail = tip - way * self.pens.arrow_length;
        let side = Vec2::new(-way.y, way.x) * (self.pens.arrow_width / 2.0);
        let mut path = BezPath::new();
        path.move_to(tip);
        path.line_to(tail + side);
        path.line_to(tail - side);
        path.close_path();
        list.shapes.push(Shape::Fill { path, ink });
    }

    /// Draws the projection line from a point of the part to a dimension line.
    pub(crate) fn projection(
        &self,
        list: &mut DisplayList,
        labels: &mut Labels,
        from: Point,
        rail: Rail,
        ink: Ink,
    ) {
        let way = rail.foot(from) - from;
        let length = way.hypot();
        if length <= self.pens.breath {
            return;
        }
        let unit = way / length;
        let (a, b) = (from + unit * self.pens.breath, from + unit * (length + self.pens.overshoot));
        labels.avoid(Line::new(a, b));
        self.line(list, a, b, ink);
    }

    /// Draws a row of dimensions on one line, each beginning where the one
    /// before ends or beyond it. A projection line that two of them share is
    /// drawn once; an arrow that has no room is drawn outside unless the
    /// neighbour's arrow already shows the end.
    pub(crate) fn chain(&self, list: &mut DisplayList, labels: &mut Labels, rail: Rail, dims: &[Dimension]) {
        let mut last: Option<Point> = None;
        for dim in dims {
            let apart = |p: Point| (rail.reach(p) - rail.reach(dim.from)).abs() > self.pens.least_gap;
            if last.is_none_or(apart) {
                self.projection(list, labels, dim.from, rail, shared_ink(dim.ink));
            }
            self.projection(list, labels, dim.to, rail, shared_ink(dim.ink));
            last = Some(dim.to);
        }
        let roomy =
            |dim: &Dimension| (rail.reach(dim.to) - rail.reach(dim.from)).abs() >= self.pens.arrow_room;
        for (i, dim) in dims.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|i| dims.get(i)).is_some_and(roomy);
            let after = dims.get(i + 1).is_some_and(roomy);
            self.between(list, rail, dim, (!before, !after));
            labels.avoid_dimension(Line::new(rail.foot(dim.from), rail.foot(dim.to)));
        }
        // Values last, once all lines are known; the tightest first.
        let mut order: Vec<(usize, &Dimension)> = dims.iter().enumerate().collect();
        order.sort_by(|(_, a), (_, b)| span(rail, a).total_cmp(&span(rail, b)));
        for (i, dim) in order {
            let letters = self.pens.dimension;
            let poses = self.poses(rail, dim, letters, (i == 0, i + 1 == dims.len()));
            if let Some(pose) = labels.place(&dim.text, letters, value_ink(dim.ink), poses) {
                self.underline(list, rail, dim, pose);
                if pose.anchor != Anchor::Middle {
                    labels.avoid(Line::new(rail.foot(dim.to), rail.foot(pose.at)));
                }
            }
        }
    }

    /// Draws the dimension line of one length with its arrows; `outside` says
    /// at which end an arrow may be drawn outside if there is no room between.
    pub(crate) fn between(&self, list: &mut DisplayList, rail: Rail, dim: &Dimension, outside: (bool, bool)) {
        let (a, b) = (rail.foot(dim.from), rail.foot(dim.to));
        let length = (b - a).hypot();
        let way = if rail.reach(dim.to) < rail.reach(dim.from) { -rail.along } else { rail.along };
        if length >= self.pens.arrow_room {
            self.line(list, a, b, dim.ink);
            self.arrow(list, a, -way, dim.ink);
            self.arrow(list, b, way, dim.ink);
            return;
        }
        let tail = self.pens.arrow_length * 1.8;
        let start = if outside.0 { a - way * tail } else { a };
        let end = if outside.1 { b + way * tail } else { b };
        self.line(list, start, end, dim.ink);
        if outside.0 {
            self.arrow(list, a, way, dim.ink);
        }
        if outside.1 {
            self.arrow(list, b, -way, dim.ink);
        }
    }

    /// Returns the positions of the value over its own line.
    #[must_use]
    pub(crate) fn poses_over(&self, rail: Rail, dim: &Dimension, letters: Letters) -> Vec<Pose> {
        let mut poses = self.poses(rail, dim, letters, (false, false));
        poses.retain(|pose| pose.anchor == Anchor::Middle);
        poses.truncate(5);
        poses
    }

    /// Returns the positions of the value along its own line, over it or under
    /// it, from the middle outwards and never beyond an end.
    #[must_use]
    pub(crate) fn poses_along(&self, rail: Rail, dim: &Dimension, letters: Letters) -> Vec<Pose> {
        const STEPS: [f64; 9] = [0.0, -0.125, 0.125, -0.25, 0.25, -0.375, 0.375, -0.5, 0.5];
        let turn_deg = reading_deg(rail.along);
        let (run, up) = writing(turn_deg);
        let (a, b) = (rail.foot(dim.from), rail.foot(dim.to));
        let room = (b - a).hypot() - letters.width(&dim.text) - 2.0 * self.pens.breath;
        if room <= 0.0 {
            return Vec::new();
        }
        let sides = [up * self.pens.breath, up * -(self.pens.breath + letters.capitals())];
        let poses = STEPS.into_iter().flat_map(|shift| {
            sides.map(|side| {
                let at = a.midpoint(b) + run * (room * shift) + side;
                Pose { at, anchor: Anchor::Middle, turn_deg }
            })
        });
        poses.collect()
    }

    /// Extends the dimension line under a value that is beyond its end.
    pub(crate) fn underline(&self, list: &mut DisplayList, rail: Rail, dim: &Dimension, pose: Pose) {
        let (run, _) = writing(pose.turn_deg);
        let far = match pose.anchor {
            Anchor::Left => pose.at + run * self.pens.dimension.width(&dim.text),
            Anchor::Right => pose.at - run * self.pens.dimension.width(&dim.text),
            Anchor::Middle => return,
        };
        let (a, b) = (rail.foot(dim.from), rail.foot(dim.to));
        let near = if (far - a).hypot2() < (far - b).hypot2() { a } else { b };
        self.line(list, near, rail.foot(far), dim.ink);
    }

    /// Returns the positions of the value: over its line, in the middle or next
    /// to it; under it; beyond those ends that are `open` because no other
    /// dimension follows there; at last over the line but clear of the
    /// projection lines.
    #[must_use]
    pub(crate) fn poses(
        &self,
        rail: Rail,
        dim: &Dimension,
        letters: Letters,
        open: (bool, bool),
    ) -> Vec<Pose> {
        let turn_deg = reading_deg(rail.along);
        let (run, up) = writing(turn_deg);
        let (mut a, mut b) = (rail.foot(dim.from), rail.foot(dim.to));
        let (mut open_a, mut open_b) = open;
        if run.dot(b - a) < 0.0 {
            std::mem::swap(&mut a, &mut b);
            std::mem::swap(&mut open_a, &mut open_b);
        }
        let over = up * self.pens.breath;
        let under = up * -(self.pens.breath + letters.capitals());
        let length = (b - a).hypot();
        let mut poses = Vec::new();
        let mut put = |at: Point, anchor: Anchor| poses.push(Pose { at, anchor, turn_deg });
        let room = length - letters.width(&dim.text) - 2.0 * self.pens.breath;
        if room > 0.0 {
            for side in [over, under] {
                for shift in [0.0, -0.25, 0.25, -0.5, 0.5] {
                    put(a.midpoint(b) + run * (room * shift) + side, Anchor::Middle);
                }
            }
        }
        let beyond =
            if length < self.pens.arrow_room { self.pens.arrow_length * 1.8 } else { self.pens.breath };
        for i in 0..24 {
            let step = run * (beyond + f64::from(i) * letters.size * 0.5);
            for side in [over, under] {
                if open_b {
                    put(b + step + side, Anchor::Left);
                }
                if open_a {
                    put(a - step + side, Anchor::Right);
                }
            }
        }
        for i in 1..6 {
            let side = up * (f64::from(i) * (self.pens.overshoot + self.pens.breath));
            for shift in [0.0, -0.5, 0.5, -1.0, 1.0] {
                put(a.midpoint(b) + run * (shift * letters.size) + side, Anchor::Middle);
            }
        }
        poses
    }

    /// Writes a note with a line to the position that it refers to. It begins
    /// or ends at one of `ends`, whichever is free first, or else somewhere
    /// around.
    pub(crate) fn leader(
        &self,
        list: &mut DisplayList,
        labels: &mut Labels,
        target: Point,
        note: &[Word<'_>],
        ink: Ink,
        ends: impl IntoIterator<Item = Point>,
    ) -> Option<Pose> {
        let capitals = self.pens.dimension.capitals();
        let breath = self.pens.breath;
        let wished = ends.into_iter().map(|end| {
            let at = Point::new(end.x, end.y + capitals / 2.0);
            if end.x < target.x { Pose::until(at) } else { Pose::from(at) }
        });
        let poses: Vec<Pose> = wished.chain(around(target, self.pens.margin, self.pens.dimension)).collect();
        // The value without its name, then a line across a text, rather than no text.
        let before = labels.left_out().len();
        let mut pose = labels.place_tied(note, target, poses.iter().copied());
        if pose.is_none() && note.len() > 1 {
            labels.forgive(before);
            pose = labels.place_tied(&note[note.len() - 1..], target, poses.iter().copied());
        }
        if pose.is_none() {
            labels.forgive(before);
            pose = labels.place_row(note, poses);
        }
        let pose = pose?;
        let side = if pose.anchor == Anchor::Right { breath } else { -breath };
        let end = Point::new(pose.at.x + side, pose.at.y - capitals / 2.0);
        labels.avoid(Line::new(target, end));
        self.line(list, target, end, ink);
        Some(pose)
    }
}

/// Returns positions for a text around a point that it refers to, from near to
/// far.
#[must_use]
pub(crate) fn around(at: Point, nearest: f64, letters: Letters) -> Vec<Pose> {
    const WAYS: [(f64, f64); 8] = [
        (-1.0, 0.8),
        (-1.0, -0.8),
        (-1.0, 0.0),
        (1.0, 0.8),
        (1.0, -0.8),
        (1.0, 0.0),
        (-0.3, 1.0),
        (0.3, -1.0),
    ];
    let half = letters.capitals() / 2.0;
    let rings = (1..40).map(|ring| nearest + 0.5 * letters.size * f64::from(ring));
    rings
        .flat_map(|far| {
            WAYS.map(|(x, y)| {
                let to = at + Vec2::new(x, y) * far + Vec2::new(0.0, half);
                if x < 0.0 { Pose::until(to) } else { Pose::from(to) }
            })
        })
        .collect()
}

fn span(rail: Rail, dim: &Dimension) -> f64 {
    (rail.reach(dim.to) - rail.reach(dim.from)).abs()
}

/// Returns a line of two points as a path.
#[must_use]
pub(crate) fn line_path(a: Point, b: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(a);
    path.line_to(b);
    path
}

/// Returns the ink of a value: values are main text, lines second text; what is
/// marked stays marked.
pub(super) fn value_ink(ink: Ink) -> Ink {
    if ink == Ink::Second { Ink::Edge } else { ink }
}

/// Returns the ink of a projection line, which belongs to two dimensions: it is
/// never marked for one.
fn shared_ink(_ink: Ink) -> Ink {
    Ink::Second
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(from: Point, to: Point, rail: Rail, text: &str) -> (DisplayList, Labels) {
        let (mut list, mut labels) = (DisplayList::default(), Labels::default());
        let dim = Dimension { from, to, text: text.to_owned(), ink: Ink::Second };
        Drafter { pens: &Pens::SCREEN }.chain(&mut list, &mut labels, rail, &[dim]);
        (list, labels)
    }

    fn arrow_tips(list: &DisplayList) -> Vec<(Point, Vec2)> {
        let triangles = list.shapes.iter().filter_map(|shape| match shape {
            Shape::Fill { path, .. } => {
                Some(path.elements().iter().filter_map(|el| el.end_point()).collect::<Vec<_>>())
            }
            _ => None,
        });
        triangles.map(|p| (p[0], (p[0] - p[1].midpoint(p[2])).normalize())).collect()
    }

    #[test]
    fn a_long_dimension_has_its_arrows_inside_and_its_value_above_the_middle() {
        let rail = Rail { through: Point::new(0.0, 100.0), along: Vec2::new(1.0, 0.0) };
        let (list, labels) = drawn(Point::new(20.0, 60.0), Point::new(220.0, 60.0), rail, "Ø86.01");
        let tips = arrow_tips(&list);
        assert_eq!(
            tips,
            [
                (Point::new(20.0, 100.0), Vec2::new(-1.0, 0.0)),
                (Point::new(220.0, 100.0), Vec2::new(1.0, 0.0))
            ]
        );
        let value = labels.placed()[0].outline.bounds();
        assert!((value.center().x - 120.0).abs() < 1e-9);
        assert!(value.y1 < 100.5, "{value:?} reaches through the line");
    }

    #[test]
    fn a_short_dimension_has_its_arrows_outside_and_its_value_beyond() {
        let rail = Rail { through: Point::new(100.0, 0.0), along: Vec2::new(0.0, 1.0) };
        let (list, labels) = drawn(Point::new(140.0, 50.0), Point::new(140.0, 62.0), rail, "1.10");
        let tips = arrow_tips(&list);
        assert_eq!(
            tips,
            [(Point::new(100.0, 50.0), Vec2::new(0.0, 1.0)), (Point::new(100.0, 62.0), Vec2::new(0.0, -1.0))]
        );
        let value = labels.placed()[0].outline.bounds();
        assert!(
            value.y1 <= 50.0 - Pens::SCREEN.arrow_length || value.y0 >= 62.0 + Pens::SCREEN.arrow_length,
            "{value:?}"
        );
        assert!(value.x1 < 101.0, "reads from the right, left of its line");
    }

    #[test]
    fn a_projection_line_of_two_dimensions_is_drawn_once() {
        let rail = Rail { through: Point::new(0.0, 0.0), along: Vec2::new(0.0, -1.0) };
        let dim = |y0: f64, y1: f64| Dimension {
            from: Point::new(50.0, y0),
            to: Point::new(50.0, y1),
            text: format!("{:.2}", y0 - y1),
            ink: Ink::Second,
        };
        let (mut list, mut labels) = (DisplayList::default(), Labels::default());
        Drafter { pens: &Pens::SCREEN }.chain(
            &mut list,
            &mut labels,
            rail,
            &[dim(0.0, -74.0), dim(-74.0, -167.0), dim(-167.0, -241.5)],
        );
        let lines = list.shapes.iter().filter(|shape| matches!(shape, Shape::Stroke { .. })).count();
        assert_eq!(lines, 4 + 3, "four projection lines and three dimension lines");
        assert_eq!(arrow_tips(&list).len(), 6);
        assert_eq!(labels.placed().len(), 3);
    }

    #[test]
    fn a_value_without_room_in_a_chain_never_stands_over_its_neighbour() {
        let rail = Rail { through: Point::new(0.0, 100.0), along: Vec2::new(1.0, 0.0) };
        let dim = |x0: f64, x1: f64, text: &str| Dimension {
            from: Point::new(x0, 0.0),
            to: Point::new(x1, 0.0),
            text: text.to_owned(),
            ink: Ink::Second,
        };
        let (mut list, mut labels) = (DisplayList::default(), Labels::default());
        let dims = [dim(0.0, 100.0, "97.10"), dim(100.0, 136.0, "(36.00)"), dim(136.0, 240.0, "88.60")];
        Drafter { pens: &Pens::SCREEN }.chain(&mut list, &mut labels, rail, &dims);
        let tight = labels.placed().iter().find(|placed| placed.text == "(36.00)").unwrap();
        assert!((tight.outline.bounds().center().x - 118.0).abs() < 15.0, "{tight:?}");
    }

    #[test]
    fn writing_reads_from_the_bottom_or_from_the_right() {
        for (x, y, deg) in [
            (1.0, 0.0, 0.0),
            (-1.0, 0.0, 0.0),
            (0.0, 1.0, 90.0),
            (0.0, -1.0, 90.0),
            (1.0, -1.0, 45.0),
            (1.0, 1.0, -45.0),
        ] {
            assert!((reading_deg(Vec2::new(x, y)) - deg).abs() < 1e-12, "({x}, {y})");
        }
        let (run, up) = writing(90.0);
        assert!((run - Vec2::new(0.0, -1.0)).hypot() < 1e-12 && (up - Vec2::new(-1.0, 0.0)).hypot() < 1e-12);
    }

    #[test]
    fn a_note_ends_beside_its_line() {
        let (mut list, mut labels) = (DisplayList::default(), Labels::default());
        let drafter = Drafter { pens: &Pens::SCREEN };
        let note = [Word { text: "shim 0.25", letters: Pens::SCREEN.dimension, ink: Ink::Accent }];
        let pose = drafter.leader(
            &mut list,
            &mut labels,
            Point::ZERO,
            &note,
            Ink::Accent,
            [Point::new(-40.0, 20.0)],
        );
        assert_eq!(pose.map(|p| p.anchor), Some(Anchor::Right));
        assert!(labels.placed()[0].outline.bounds().x1 <= -40.0 + 1e-9);
        assert_eq!(list.shapes.len(), 1);
    }
}
