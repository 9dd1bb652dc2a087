//! The closest approach of crown and head, marked in its position with its
//! value; where they meet, the space that both want is lined crosswise and said
//! to be a contact.

use super::clip::{Convex, Ring, path_of};
use super::detail::Detail;
use super::dim::{Dimension, Drafter, Rail, around, line_path};
use super::hatch;
use super::label::{self, Labels, Pose, Word};
use super::list::{Dash, DisplayList, Ink, Part, Shape};
use super::paint::{Pane, Scene};
use super::parts::{Parts, PartsInput};
use super::pens::{Letters, Lining, Pens};
use super::view::View;
use crate::engine::solid::{Approach, Profile, closest_approach};
use kurbo::{BezPath, Circle, Line, Point, Rect, Shape as _, Vec2};

/// Number of positions across the bore at which crown and head are compared for
/// drawing what they share.
const PLACES: u32 = 400;

/// The closest points of crown and head, in the model.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nearest {
    approach: Approach,
    /// The point on the crown.
    crown: Point,
    /// The point on the head.
    head: Point,
    /// The space that both want, empty while they are apart or just touch.
    shared: BezPath,
}

impl Nearest {
    /// Finds the closest points at the crank angle of `parts`.
    pub(super) fn of(input: &PartsInput, parts: &Parts) -> Self {
        let d = &parts.datums;
        let approach = closest_approach(&input.crown, &input.chamber, d.band_y - d.rim_y);
        // The head's profile starts from its joint face.
        let lift = Vec2::new(0.0, d.joint_y);
        let shared = if approach.is_contact() {
            let crown = input.crown.top().shifted(d.rim_y);
            let head = input.chamber.roof().shifted(d.joint_y);
            path_of(&shared(&crown, &head))
        } else {
            BezPath::new()
        };
        Self { approach, crown: approach.crown + lift, head: approach.head + lift, shared }
    }

    /// Returns the least distance as the drawing states it.
    fn text(&self, scene: &Scene<'_>) -> String {
        if !self.approach.is_contact() {
            return format!("nearest {}", scene.input.length(self.approach.distance_mm));
        }
        let deep = -self.approach.distance_mm;
        if deep > super::detail::TOUCH_MM {
            format!("contact, {} too far up", scene.input.length(deep))
        } else {
            "contact".to_owned()
        }
    }

    /// Returns the line from the crown to the head on the output.
    fn line(&self, view: &View) -> Line {
        Line::new(view.out_from_model(self.crown), view.out_from_model(self.head))
    }

    /// Draws the mark: the shortest way between the two, or the space that both
    /// want.
    pub(super) fn paint(&self, pane: &Pane<'_>, pens: &Pens, list: &mut DisplayList) {
        if !self.approach.is_contact() {
            // In the circle of a detail a line that runs out of it shows no
            // distance, and one through a value hides that.
            let line = self.line(&pane.view);
            let is_clear = |circle: &Convex| {
                circle.inside(line) == Some((0.0, 1.0))
                    && pane.holes.iter().all(|text| text.inside(line).is_none())
            };
            if pane.clip.as_ref().is_none_or(is_clear) {
                let path = line_path(self.crown, self.head);
                pane.stroke(&path, Ink::Edge, pens.narrow, Dash::Solid, pens, list);
            }
            return;
        }
        let Some((path, rings)) = pane.area(&self.shared, pens.tolerance) else { return };
        if path.is_empty() {
            return;
        }
        list.shapes.push(Shape::Fill { path: path.clone(), ink: Ink::Sheet });
        let close = Lining { pitch: pens.lining(Part::Pin).pitch, angle_deg: 45.0 };
        for turn in [0.0, 90.0] {
            let lining = Lining { angle_deg: close.angle_deg + turn, ..close };
            let lines = hatch::hatch(&rings, lining, pane.view.out_from_model(self.head));
            let path = hatch::path_of(&lines);
            if !path.is_empty() {
                list.shapes.push(Shape::Stroke { path, ink: Ink::Warn, width: pens.wide, dash: Dash::Solid });
            }
        }
        list.shapes.push(Shape::Stroke { path, ink: Ink::Warn, width: pens.wide, dash: Dash::Solid });
    }

    /// Returns the ring round the position, or `None` where it has none.
    fn mark(&self, scene: &Scene<'_>, view: &View) -> Option<Circle> {
        let line = self.line(view);
        let far = (line.p1 - line.p0).hypot();
        let touches = self.approach.is_contact();
        let part = if touches { 1.4 } else { 0.5 };
        (touches || far < scene.pens.arrow_room)
            .then(|| Circle::new(line.midpoint(), part * scene.pens.least_mark))
    }

    /// Makes texts of the main view keep inside or outside of the ring, or next
    /// to the dimension line.
    pub(super) fn keep_off_mark(&self, scene: &Scene<'_>, view: &View, labels: &mut Labels) {
        match self.mark(scene, view) {
            Some(mark) => labels.keep_off(mark),
            None => labels.avoid_dimension(self.line(view)),
        }
    }

    /// Makes names inside an enlarged detail keep off the mark.
    pub(super) fn keep_off(&self, detail: &Detail, labels: &mut Labels) {
        let line = self.line(&detail.view);
        // One that runs out of the circle is not drawn there.
        if detail.ring_inside(line) == Some((0.0, 1.0)) {
            labels.avoid(line);
        }
    }

    /// Writes the value in the main view: on a dimension line where there is
    /// room for its arrows, else with a line to a ring round the position;
    /// within the view's own room if it can, so that one value does not make a
    /// page's picture too wide for its scale.
    pub(super) fn write(
        &self,
        scene: &Scene<'_>,
        (view, room): (&View, Rect),
        list: &mut DisplayList,
        labels: &mut Labels,
    ) {
        // What is written last keeps off the outlines that it lies among.
        let map = view.out_from_model_affine();
        let outlines = scene.parts.pieces.iter().flat_map(|piece| {
            std::iter::once(&piece.outline)
                .chain(&piece.details)
                .chain(piece.measured.iter().map(|e| &e.path))
        });
        let outlines = outlines.chain(scene.parts.lines.iter().map(|line| &line.path));
        outlines.for_each(|path| labels.avoid_path(&(map * path)));
        match self.mark(scene, view) {
            Some(mark) => self.ring(scene, (mark, room), list, labels),
            None => self.dimension(scene, (view, room), list, labels),
        }
    }

    /// Draws a dimension line from crown to head. Its value is on it, with its
    /// name where there is room, else near it with a line of its own; at last
    /// across other lines rather than nowhere.
    fn dimension(
        &self,
        scene: &Scene<'_>,
        (view, room): (&View, Rect),
        list: &mut DisplayList,
        labels: &mut Labels,
    ) {
        let pens = scene.pens;
        let Line { p0: crown, p1: head } = self.line(view);
        let way = head - crown;
        let rail = Rail { through: crown, along: way / way.hypot() };
        let drafter = Drafter { pens };
        let dim = Dimension { from: crown, to: head, text: self.text(scene), ink: Ink::Second };
        let bare = Dimension { text: scene.input.length(self.approach.distance_mm), ..dim.clone() };
        drafter.between(list, rail, &dim, (false, false));
        let (letters, ink) = (pens.caption, Ink::Edge);
        for dim in [&dim, &bare] {
            let poses = drafter.poses_along(rail, dim, letters);
            if labels.place_off_lines(&dim.text, letters, ink, poses).is_some() {
                return;
            }
        }
        let middle = crown.midpoint(head);
        for dim in [&dim, &bare] {
            let poses = around(middle, pens.breath, letters).into_iter();
            let poses = poses.filter(|pose| is_near((middle, room), (&dim.text, letters), *pose));
            let row = [Word { text: &dim.text, letters, ink }];
            if let Some(pose) = labels.place_tied_off_lines(&row, middle, poses) {
                tie(scene, (middle, 0.0), pose, Ink::Second, list);
                return;
            }
        }
        labels.place_if_free(&bare.text, letters, ink, drafter.poses_along(rail, &bare, letters));
    }

    /// Draws a ring round the position, and writes the value with a line to it.
    fn ring(
        &self,
        scene: &Scene<'_>,
        (mark, room): (Circle, Rect),
        list: &mut DisplayList,
        labels: &mut Labels,
    ) {
        let pens = scene.pens;
        let Circle { center: at, radius } = mark;
        let touches = self.approach.is_contact();
        let (ink, letters) = if touches { (Ink::Warn, pens.gap) } else { (Ink::Edge, pens.caption) };
        let width = if touches { pens.wide } else { pens.narrow };
        list.shapes.push(Shape::Stroke { path: mark.to_path(pens.tolerance), ink, width, dash: Dash::Solid });
        let text = self.text(scene);
        let (near, far): (Vec<Pose>, Vec<Pose>) = around(at, radius, letters)
            .into_iter()
            .partition(|pose| is_near((at, room), (&text, letters), *pose));
        let row = [Word { text: &text, letters, ink }];
        let before = labels.left_out().len();
        let mut pose = labels.place_tied_off_lines(&row, at, near.iter().copied());
        if pose.is_none() && !touches {
            // The value without its name, rather than across lines.
            let bare = scene.input.length(self.approach.distance_mm);
            let row = [Word { text: &bare, letters, ink }];
            pose = labels.place_tied_off_lines(&row, at, near.iter().copied());
        }
        if pose.is_none() {
            pose = labels.place_tied(&row, at, near);
        }
        // In the circle the gap is written too; a contact is not.
        if pose.is_none() {
            labels.forgive(before);
            pose = if touches { labels.place_tied(&row, at, far) } else { None };
        }
        let Some(pose) = pose else { return };
        labels.avoid(Line::new(at, pose.at));
        tie(scene, (at, radius), pose, ink, list);
    }
}

/// Returns whether a text is in the view's own room and near the position that
/// it refers to: a line through the whole engine is worse than a text less well
/// placed.
fn is_near((at, room): (Point, Rect), (text, letters): (&str, Letters), pose: Pose) -> bool {
    (pose.at - at).hypot() < 8.0 * letters.size
        && room.contains_rect(label::outline(text, letters, pose).bounds())
}

/// Draws a fine line from a ring round a position, or from the position itself,
/// to the text that refers to it, unless that is close by.
fn tie(scene: &Scene<'_>, (at, radius): (Point, f64), pose: Pose, ink: Ink, list: &mut DisplayList) {
    let pens = scene.pens;
    let end = pose.at - Vec2::new(0.0, pens.caption.capitals() / 2.0);
    let way = end - at;
    let long = way.hypot();
    if long > radius + 2.0 * pens.breath {
        let (from, to) = (at + way * (radius / long), end - way * (pens.breath / long));
        Drafter { pens }.line(list, from, to, ink);
    }
}

/// Returns the areas under the crown's profile and above the head's.
fn shared(crown: &Profile, head: &Profile) -> Vec<Ring> {
    let (left, right) = (crown.left().max(head.left()), crown.right().min(head.right()));
    let mut rings = Vec::new();
    let (mut upper, mut lower): (Ring, Ring) = (Vec::new(), Vec::new());
    for i in 0..=PLACES {
        let x = left + (right - left) * f64::from(i) / f64::from(PLACES);
        let (high, low) = (crown.y(x), head.y(x));
        if high > low {
            upper.push(Point::new(x, high));
            lower.push(Point::new(x, low));
        } else if !upper.is_empty() {
            rings.push(closed(&mut upper, &mut lower));
        }
    }
    if !upper.is_empty() {
        rings.push(closed(&mut upper, &mut lower));
    }
    rings
}

fn closed(upper: &mut Ring, lower: &mut Ring) -> Ring {
    let mut ring = std::mem::take(upper);
    ring.extend(std::mem::take(lower).into_iter().rev());
    ring
}
