//! The closest approach of crown and head, marked where it is with its value;
//! where they meet, the space that both want is lined crosswise and said to
//! be a contact.

use super::clip::{Ring, path_of};
use super::dim::line_path;
use super::hatch;
use super::label::{Labels, Pose};
use super::list::{Dash, DisplayList, Ink, Part, Shape};
use super::paint::{Pane, Scene};
use super::parts::{Parts, PartsInput};
use super::pens::{Lining, Pens};
use super::view::View;
use crate::engine::solid::{Approach, Profile, closest_approach};
use kurbo::{BezPath, Circle, Line, ParamCurve as _, Point, Shape as _, Vec2};

/// Places across the bore at which crown and head are compared for drawing
/// what they share.
const PLACES: u32 = 400;

/// Where crown and head are nearest, in the model.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nearest {
    approach: Approach,
    /// On the crown.
    crown: Point,
    /// On the head.
    head: Point,
    /// What both want, empty while they are apart or just touch.
    shared: BezPath,
}

impl Nearest {
    /// Seeks the place at the crank angle of `parts`.
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

    /// The least distance as the drawing states it.
    fn text(&self, scene: &Scene<'_>) -> String {
        let length = |mm| scene.input.length(mm);
        if !self.approach.is_contact() {
            return format!("nearest {}", length(self.approach.distance_mm));
        }
        let deep = -self.approach.distance_mm;
        if deep > super::detail::TOUCH_MM {
            format!("contact, {} too far up", length(deep))
        } else {
            "contact".to_owned()
        }
    }

    fn middle(&self, view: &View) -> Point {
        view.out_from_model(self.crown.midpoint(self.head))
    }

    /// The mark: the shortest way between the two, or what both want.
    pub(super) fn paint(&self, pane: &Pane<'_>, pens: &Pens, list: &mut DisplayList) {
        if !self.approach.is_contact() {
            let path = line_path(self.crown, self.head);
            pane.stroke(&path, Ink::Edge, pens.narrow, Dash::Solid, pens, list);
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

    /// A ring round the place in the main view, and the value with a line to
    /// it.
    pub(super) fn write(&self, scene: &Scene<'_>, view: &View, list: &mut DisplayList, labels: &mut Labels) {
        let pens = scene.pens;
        let at = self.middle(view);
        let touches = self.approach.is_contact();
        let (ink, letters) = if touches { (Ink::Warn, pens.gap) } else { (Ink::Edge, pens.caption) };
        let radius = if touches { 1.4 } else { 0.5 } * pens.least_mark;
        let width = if touches { pens.wide } else { pens.narrow };
        list.shapes.push(Shape::Stroke {
            path: Circle::new(at, radius).to_path(pens.tolerance),
            ink,
            width,
            dash: Dash::Solid,
        });
        let text = self.text(scene);
        // What is written last keeps off the edges of the parts it lies among.
        let map = view.out_from_model_affine();
        let edges = scene.parts.pieces.iter().flat_map(|piece| &piece.measured);
        for segment in edges.flat_map(|edge| (map * &edge.path).segments().collect::<Vec<_>>()) {
            labels.avoid(Line::new(segment.start(), segment.end()));
        }
        let half = letters.capitals() / 2.0;
        let step = letters.size;
        let poses: Vec<Pose> = (1..28)
            .flat_map(|ring| {
                let far = radius + step * 0.5 * f64::from(ring);
                [(-1.0, 0.8), (-1.0, -0.8), (-1.0, 0.0), (1.0, 0.8), (1.0, -0.8), (1.0, 0.0)].map(|(x, y)| {
                    let to = at + Vec2::new(x, y) * far + Vec2::new(0.0, half);
                    if x < 0.0 { Pose::until(to) } else { Pose::from(to) }
                })
            })
            .collect();
        let placed = if touches {
            labels.place(&text, letters, ink, poses)
        } else {
            labels.place_if_free(&text, letters, ink, poses)
        };
        if let Some(pose) = placed {
            let end = pose.at - Vec2::new(0.0, half);
            let way = end - at;
            let long = way.hypot();
            if long > radius + pens.breath {
                let line = Line::new(at + way * (radius / long), end - way * (pens.breath / long));
                labels.avoid(line);
                list.shapes.push(Shape::Stroke {
                    path: line.to_path(pens.tolerance),
                    ink,
                    width: pens.narrow,
                    dash: Dash::Solid,
                });
            }
        }
    }
}

/// The areas under the crown's profile and above the head's.
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
