//! Enlarged details: circle Z at the crown's edge, circle Y at the foot of
//! the barrel.
//!
//! A gap of one millimetre is a hairline in a mechanism of 250 mm, so the
//! section always carries the crown's edge enlarged by a standard factor. It
//! follows the piston. Everything in the circle is the same parts in another
//! view; the values next to it are the model's.

use super::clip::{Convex, Ring};
use super::detail_names::Names;
use super::dim::{Rail, line_path};
use super::label::{Labels, Pose, Word, outline};
use super::list::{Dash, DisplayList, Ink, Part, Shape};
use super::paint::{Pane, Scene, path_around};
use super::parts::Datums;
use super::pens::{Medium, Pens};
use super::view::View;
use crate::quantity::{Kind, write};
use kurbo::{BezPath, Circle, Line, ParamCurve as _, PathEl, Point, Rect, Shape as _, Vec2};

/// The factors by which details are enlarged (ISO 5455: enlargements).
pub const FACTORS: [f64; 5] = [2.0, 5.0, 10.0, 20.0, 50.0];

/// Distance of the bore's wall to the right of the circle's centre, as a part
/// of its radius.
const WALL: f64 = 0.37;

/// Part of the radius above and below the centre in which the subject of the
/// detail must lie.
const WITHIN: f64 = 0.6;

/// Gap, mm, below which parts touch: far below what anybody measures, above the
/// rounding of sums of dimensions.
pub(super) const TOUCH_MM: f64 = 1e-9;

/// The enlargement of a detail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Enlargement {
    /// One of [`FACTORS`]: on paper against the real part, on a screen
    /// against the main view.
    pub factor: f64,
    /// Output units per model mm.
    pub scale: f64,
}

/// Returns the enlargement for a gap of `gap_mm` next to a main view of
/// `view_scale` output units per mm: the first factor that makes the gap as
/// wide as the pens ask, but none so large that a stretch of `span_mm` around
/// the gap leaves a circle of `radius`. On paper only scales above that of the
/// view.
///
/// ```
/// use crowndeck::drawing::{detail::enlargement, pens::Pens};
/// let factor = |gap| enlargement(gap, gap, 1.0, 25.0, &Pens::PAPER).factor;
/// assert_eq!([1.1, 0.6, 0.25].map(factor), [5.0, 10.0, 20.0]);
/// ```
#[must_use]
pub fn enlargement(gap_mm: f64, span_mm: f64, view_scale: f64, radius: f64, pens: &Pens) -> Enlargement {
    let scale = |factor: f64| match pens.medium {
        Medium::Paper => factor,
        Medium::Screen => factor * view_scale,
    };
    let mut steps = FACTORS.into_iter().filter(|&f| scale(f) > view_scale).peekable();
    let last = FACTORS.iter().copied().fold(0.0, f64::max);
    let mut factor = steps.peek().copied().unwrap_or(last);
    for step in steps {
        let foils = span_mm * scale(step) > 2.0 * WITHIN * radius;
        if foils && step > factor {
            break;
        }
        factor = step;
        if gap_mm * scale(step) >= pens.detail_gap {
            break;
        }
    }
    // A main view beyond the last factor is its own detail.
    Enlargement { factor, scale: scale(factor).max(view_scale) }
}

/// An enlarged detail with its position on the output.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// Its letter.
    pub letter: char,
    /// Its enlargement.
    pub enlargement: Enlargement,
    /// The middle of the circle on the output.
    pub centre: Point,
    /// The radius of the circle on the output.
    pub radius: f64,
    /// The view in it.
    pub view: View,
    /// The point of the model in its middle.
    pub about: Point,
    /// The side of the bore axis on which it lies: 1 toward +x, −1 toward −x.
    pub side: f64,
}

impl Detail {
    /// Returns its name: the letter, and the scale as this output states it.
    #[must_use]
    pub fn scale_text(&self, pens: &Pens, short: bool) -> String {
        match pens.medium {
            Medium::Paper => format!("({}:1)", self.enlargement.factor),
            Medium::Screen if short => format!("{} ×", self.enlargement.factor),
            Medium::Screen => format!("{} × the section", self.enlargement.factor),
        }
    }

    fn new(
        letter: char,
        main: &View,
        enlargement: Enlargement,
        about: Point,
        centre: Point,
        radius: f64,
    ) -> Self {
        let view = main.enlarged(enlargement.scale / main.scale(), about, centre);
        Self { letter, enlargement, centre, radius, view, about, side: side(main) }
    }

    /// Returns the direction across the bore toward its axis, length 1, on the
    /// output.
    pub(super) fn inward(&self) -> Vec2 {
        self.view.right() * -self.side
    }

    /// Creates the detail of the crown's edge, with the gap in the middle; once
    /// the gap is wider than the circle, the rim stays in it.
    pub(super) fn rim(scene: &Scene<'_>, main: &View, centre: Point, radius: f64) -> Self {
        let d = &scene.parts.datums;
        let (low, high) = levels(d);
        // The narrower of deck and squish has to be seen, as far as both fit.
        let gaps = [d.band_y - d.rim_y, d.top_y - d.rim_y].into_iter().filter(|&gap| gap > TOUCH_MM);
        let gap = gaps.fold(f64::INFINITY, f64::min);
        let gap = if gap.is_finite() { gap } else { 0.0 };
        let enlargement = enlargement(gap, high - low, main.scale(), radius, scene.pens);
        let reach = radius / enlargement.scale;
        let middle = low + ((high - low) / 2.0).min(WITHIN * reach);
        let about = Point::new(side(main) * (d.bore_x - WALL * reach), middle - 0.06 * reach);
        Self::new('Z', main, enlargement, about, centre, radius)
    }

    /// Creates the detail of the barrel's foot on the same side, enlarged as
    /// the rim is; `None` where there is neither gasket nor shim under the
    /// barrel.
    pub(super) fn foot(
        scene: &Scene<'_>,
        main: &View,
        rim: &Self,
        centre: Point,
        radius: f64,
    ) -> Option<Self> {
        let d = &scene.parts.datums;
        let thick = d.foot_y - d.seat_y;
        if thick <= 0.0 {
            return None;
        }
        // The same factor, or a smaller one that shows the whole stack.
        let room = 2.0 * WITHIN * radius;
        let unit = rim.enlargement.scale / rim.enlargement.factor;
        let fits = |&f: &f64| f <= rim.enlargement.factor && thick * f * unit <= room;
        let factor = FACTORS.into_iter().rev().find(fits).filter(|f| f * unit > main.scale())?;
        let enlargement = Enlargement { factor, scale: factor * unit };
        let sheet =
            scene.parts.pieces.iter().find(|piece| matches!(piece.part, Part::Shim | Part::Gasket))?;
        let inner = sheet.outline.elements().iter().filter_map(PathEl::end_point).map(|p| p.x);
        let inner = inner.filter(|&x| x > 0.0).fold(d.foot_x, f64::min);
        let about = Point::new(side(main) * (inner + d.foot_x) / 2.0, (d.seat_y + d.foot_y) / 2.0);
        Some(Self::new('Y', main, enlargement, about, centre, radius))
    }

    /// Returns the circle as an outline.
    fn outline(&self, pens: &Pens) -> Convex {
        Convex::circle(self.centre, self.radius, pens.tolerance / 2.0)
    }

    /// Returns the line round it.
    pub(super) fn ring(&self) -> Circle {
        Circle::new(self.centre, self.radius)
    }

    /// Returns the part of a line that is seen in the circle, as parameters of
    /// its ends.
    pub(super) fn ring_inside(&self, line: Line) -> Option<(f64, f64)> {
        Convex::circle(self.centre, self.radius, self.radius / 100.0).inside(line)
    }

    /// Returns the box of the circle.
    #[must_use]
    pub fn frame(&self) -> Rect {
        Rect::from_center_size(self.centre, (2.0 * self.radius, 2.0 * self.radius))
    }

    /// Paints the contents of the circle, and the ring.
    pub(super) fn paint(&self, scene: &Scene<'_>, holes: &[Convex], list: &mut DisplayList) {
        let pens = scene.pens;
        let ring = self.ring().to_path(pens.tolerance / 10.0);
        list.shapes.push(Shape::Fill { path: ring.clone(), ink: Ink::Sheet });
        let pane = Pane {
            view: self.view,
            clip: Some(self.outline(pens)),
            axes: false,
            lining: pens.detail_lining,
            holes,
        };
        scene.paint(&pane, list);
        if self.letter == 'Z' {
            band(scene, &pane, list);
        }
        list.shapes.push(Shape::Stroke { path: ring, ink: Ink::Second, width: pens.ring, dash: Dash::Solid });
    }

    /// Returns the part of an area of the model that is seen in the circle,
    /// roughly: as fine as is needed for finding room for a word.
    pub(super) fn seen(&self, path: &BezPath, pens: &Pens) -> Vec<Ring> {
        let path = self.view.out_from_model_affine() * path;
        let rough = 10.0 * pens.tolerance;
        Convex::circle(self.centre, self.radius, rough).area(&path, rough)
    }

    /// Writes the names of parts into the circle.
    pub(super) fn write_names(&self, scene: &Scene<'_>, labels: &mut Labels) {
        let map = self.view.out_from_model_affine();
        for path in scene.ghost_edges(&self.view) {
            labels.avoid_path(&(map * path));
        }
        // On the black of a ring no text can be read.
        let rings = scene.parts.pieces.iter().filter(|piece| piece.part == Part::Ring);
        rings.for_each(|piece| labels.avoid_path(&(map * &piece.outline)));
        Names { detail: self, scene }.write(labels);
    }

    /// Writes the name over the circle.
    pub(super) fn write_title(&self, scene: &Scene<'_>, labels: &mut Labels, short: bool) {
        let pens = scene.pens;
        let scale = self.scale_text(pens, short);
        let angle = scene.input.angle_deg;
        let shown = write(Kind::Angle, angle, None, &scene.input.units);
        let scale = if angle == 0.0 { scale } else { format!("{scale}, {shown}") };
        let letters = match pens.medium {
            Medium::Paper => pens.letter,
            Medium::Screen => pens.caption,
        };
        let ink = if pens.medium == Medium::Paper { Ink::Edge } else { Ink::Second };
        let letter = self.letter.to_string();
        let brief = self.scale_text(pens, true);
        let name = Word { text: &letter, letters: pens.letter, ink: Ink::Edge };
        let whole = [name, Word { text: &scale, letters, ink }];
        let shorter = [name, Word { text: &brief, letters, ink }];
        // With all of it, else with less of it, rather than not at all.
        let rows: [&[Word<'_>]; 3] = [&whole, &shorter, &[name]];
        let (before, lines) = (labels.left_out().len(), labels.lines());
        labels.avoid(self.rail_line(pens));
        let poses = self.title_poses(pens, short);
        let free = rows.iter().find_map(|row| labels.place_row_off_lines(row, poses.iter().copied()));
        labels.forget_lines(lines);
        if free.is_some() {
            return;
        }
        for row in rows {
            labels.forgive(before);
            if labels.place_row(row, poses.iter().copied()).is_some() {
                return;
            }
        }
    }

    /// Returns the line next to the circle for its dimensions.
    pub(super) fn rail(&self, pens: &Pens) -> Rail {
        let out = self.radius + 0.75 * pens.first_line;
        Rail { through: self.centre + self.inward() * out, along: self.view.up() }
    }

    fn rail_line(&self, pens: &Pens) -> Line {
        let Rail { through, along } = self.rail(pens);
        Line::new(through - along * self.radius, through + along * self.radius)
    }

    /// Returns the positions of the name: over the circle, or under it where
    /// dimensions are over it; in the middle, at an end, or next to the
    /// circle's shoulders.
    fn title_poses(&self, pens: &Pens, short: bool) -> Vec<Pose> {
        let (c, r) = (self.centre, self.radius);
        let over = c - Vec2::new(0.0, r + 3.5 * pens.breath);
        let under = c + Vec2::new(0.0, r + 3.5 * pens.breath + pens.letter.capitals());
        let (first, second) = if self.dimensions_above() { (under, over) } else { (over, under) };
        let ends = |at: Point| {
            let aside = Vec2::new(r, 0.0);
            [Pose::middle(at), Pose::until(at + aside), Pose::from(at - aside)]
        };
        let shoulder = |x: f64, y: f64| {
            let drop = if y > 0.0 { pens.letter.capitals() } else { 0.0 };
            let at = c + Vec2::new(x, y) * r + Vec2::new(0.0, drop);
            if x < 0.0 { Pose::until(at) } else { Pose::from(at) }
        };
        let shoulders = [(-0.76, -0.8), (0.76, -0.8), (-0.76, 0.8), (0.76, 0.8)];
        let mut poses: Vec<Pose> = ends(first).into_iter().chain(ends(second)).collect();
        poses.extend(shoulders.map(|(x, y)| shoulder(x, y)));
        if short {
            // A short name is next to the top of its circle, where it needs no room
            // between two circles.
            poses.insert(0, shoulder(-0.76, -0.8));
        }
        poses
    }

    /// Returns whether the dimensions are over the circle, so that its name
    /// must be under it.
    fn dimensions_above(&self) -> bool {
        !is_upright(&self.view)
    }

    /// Keeps further texts out of the circle.
    pub(super) fn close(&self, pens: &Pens, labels: &mut Labels) {
        labels.keep_clear(self.outline(pens));
    }

    /// Returns the circle on the main view round the area that is enlarged.
    fn marked(&self, main: &View, pens: &Pens) -> Circle {
        let radius = (self.radius * main.scale() / self.view.scale()).max(pens.least_mark);
        Circle::new(main.out_from_model(self.about), radius)
    }

    /// Keeps texts of the main view off the line of the mark; inside a large
    /// one they may lie.
    pub(super) fn keep_off_mark(&self, main: &View, pens: &Pens, labels: &mut Labels) {
        labels.keep_off(self.marked(main, pens));
    }

    /// Draws the mark on the main view: a circle round the area that is
    /// enlarged, and its letter. Returns the mark's circle.
    pub(super) fn mark(
        &self,
        scene: &Scene<'_>,
        main: &View,
        list: &mut DisplayList,
        labels: &mut Labels,
        above: bool,
    ) -> Circle {
        let pens = scene.pens;
        let circle = self.marked(main, pens);
        let Circle { center: at, radius } = circle;
        list.shapes.push(Shape::Stroke {
            path: circle.to_path(pens.tolerance / 4.0),
            ink: Ink::Edge,
            width: pens.ring,
            dash: Dash::Solid,
        });
        if radius <= 2.0 * pens.least_mark {
            labels.keep_clear(Convex::circle(at, radius, pens.tolerance));
        }
        let letters = pens.letter;
        let text = self.letter.to_string();
        let half = letters.capitals() / 2.0;
        let far = radius + pens.breath + half;
        let first = if above { -1.0 } else { 1.0 };
        let ways = [
            (0.7, first),
            (1.0, 0.0),
            (0.7, -first),
            (0.0, first),
            (-0.7, first),
            (0.0, -first),
            (-1.0, 0.0),
            (-0.7, -first),
        ];
        let poses = (0..5).flat_map(|ring| {
            ways.map(|(x, y)| {
                let reach = far + f64::from(ring) * half;
                Pose::middle(at + Vec2::new(x, y) * reach + Vec2::new(0.0, half))
            })
        });
        // Edges and black rings would swallow the letter.
        let before = labels.lines();
        let map = main.out_from_model_affine();
        let edges =
            scene.parts.pieces.iter().flat_map(|piece| std::iter::once(&piece.outline).chain(&piece.details));
        for segment in edges.flat_map(BezPath::segments) {
            labels.avoid(Line::new(map * segment.start(), map * segment.end()));
        }
        let free = labels.place_off_lines(&text, letters, Ink::Edge, poses.clone());
        labels.forget_lines(before);
        if free.is_none() {
            // No position without an edge: the edge is broken there.
            let mut pose = labels.place_off_lines(&text, letters, Ink::Edge, poses.clone());
            if pose.is_none() {
                pose = labels.place(&text, letters, Ink::Edge, poses);
            }
            if let Some(pose) = pose {
                let path = path_around(&outline(&text, letters, pose));
                list.shapes.push(Shape::Fill { path, ink: Ink::Sheet });
            }
        }
        circle
    }

    /// Returns the space that circle Z takes around its centre, with its name
    /// above and its dimensions next to it.
    pub(super) fn room(scene: &Scene<'_>, radius: f64) -> Rect {
        let (d, pens) = (&scene.parts.datums, scene.pens);
        let title = pens.letter.size + 4.0 * pens.breath;
        let circle = Rect::new(-radius, -radius, radius, radius);
        let out = radius + 0.75 * pens.first_line + pens.overshoot + pens.breath;
        let view = View::new(1.0, Point::ZERO, scene.input.turn);
        let name = if is_upright(&view) { -radius - title } else { radius + title };
        let circle = circle.union_pt(Point::new(0.0, name));
        let text = if d.band_y == d.top_y {
            pens.gap.width("0.00")
        } else {
            pens.caption.width("gasket") + pens.dimension.width(" 00.00") + pens.breath
        };
        let far = if is_upright(&view) { out + text } else { out + 1.5 * pens.gap.size };
        let away = (view.right() * (-side(&view) * far)).to_point();
        // Only the leading direction counts: texts stay level with the circle.
        let away = if is_upright(&view) { Point::new(away.x, 0.0) } else { Point::new(0.0, away.y) };
        circle.union_pt(away)
    }
}

/// Draws the two lines between which the rim lies within its uncertainty; none
/// where they would lie on the rim itself.
fn band(scene: &Scene<'_>, pane: &Pane<'_>, list: &mut DisplayList) {
    let (d, pens) = (&scene.parts.datums, scene.pens);
    let Some(doubt) = scene.input.doubt_at_top() else { return };
    if doubt * pane.view.scale() < 0.75 * pens.wide + pens.narrow {
        return;
    }
    for y in [d.rim_y - doubt, d.rim_y + doubt] {
        let path = line_path(Point::new(-d.bore_x, y), Point::new(d.bore_x, y));
        pane.stroke(&path, Ink::Second, pens.narrow, Dash::Ghost, pens, list);
    }
}

/// Returns the side of the bore axis that is enlarged: toward +x where the
/// engine is upright; of a lying one the lower side, because the circles lie
/// below it.
fn side(view: &View) -> f64 {
    if is_upright(view) || view.right().y > 0.0 { 1.0 } else { -1.0 }
}

/// Returns whether the bore axis is upright rather than lying.
pub(super) fn is_upright(view: &View) -> bool {
    view.up().y.abs() > 0.7
}

/// Returns the lowest and the highest of the faces around the gap.
fn levels(d: &Datums) -> (f64, f64) {
    let faces = [d.rim_y, d.top_y, d.joint_y, d.band_y];
    (
        faces.iter().copied().fold(f64::INFINITY, f64::min),
        faces.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    )
}
