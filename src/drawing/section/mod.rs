//! The section of one cylinder in the plane of the crank throw.
//!
//! One scene of parts is painted into a main view and into enlarged details.
//! On a screen all of it is arranged in one frame, here; for paper the views
//! come one by one at a stated scale (`pictures.rs`), and the page arranges
//! them.

use super::annotate::{Annotator, DimensionRequest, Spot, keep_off_tower};
use super::clip::Convex;
use super::corners::Corners;
use super::detail::Detail;
use super::detail_values::Values;
use super::dim::Drafter;
use super::handles::{Handle, handles};
use super::input::SectionInput;
use super::label::{Labels, Placed};
use super::layout::{Frame, Plan, plan};
use super::list::{DisplayList, Ink, Shape};
use super::paint::{Pane, Scene, path_around};
use super::parts::Moves;
use super::pens::Pens;
use super::view::View;
use kurbo::{BezPath, Circle, Line, ParamCurve as _, Rect, Shape as _};

/// Number of points along a line at which it is tested what it runs through.
const SAMPLES: u32 = 64;

/// A section on a screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// The drawing.
    pub list: DisplayList,
    /// Handles to drag it by.
    pub handles: Vec<Handle>,
    /// Positions of the dimensions.
    pub spots: Vec<Spot>,
    /// The main view.
    pub view: View,
    /// The scale at which the whole drawing fills the frame.
    pub whole_scale: f64,
    /// Circle Z, the crown's edge.
    pub rim: Option<Detail>,
    /// Circle Y, the foot of the barrel.
    pub foot: Option<Detail>,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
}

/// Half the side of a grip that lies on the drawing, in points of the screen.
const GRIP: f64 = 8.0;

/// Keeps texts off the grips: a grip lies over the drawing and would hide the
/// first figure of a value.
fn keep_off_grips(handles: &[Handle], labels: &mut Labels) {
    for handle in handles {
        let grip = Rect::from_center_size(handle.at, (2.0 * GRIP, 2.0 * GRIP));
        labels.keep_clear(Convex::rect(grip));
    }
}

/// Draws the section into a frame.
#[must_use]
pub fn section(input: &SectionInput<'_>, frame: &Frame, pens: &Pens) -> Section {
    let scene = Scene::new(*input, pens);
    let (plan, whole_scale) = plan(&scene, frame);
    let mut labels = Labels::within(frame.area);
    for &rect in &frame.keep_clear {
        labels.keep_clear(Convex::rect(rect));
    }
    let handles = handles(input, &scene.parts.datums, &plan.main);
    keep_off_grips(&handles, &mut labels);
    let mut spots = Vec::new();

    let mut notes = DisplayList::default();
    let rim_room = plan.rim.iter().map(|rim| Detail::room(&scene, rim.radius) + rim.centre.to_vec2());
    let taken = rim_room.chain(plan.foot.iter().map(Detail::frame)).collect();
    let corners = Corners { scene: &scene, frame, main: plan.main, taken };
    corners.name(&mut labels);
    corners.bar(&mut labels, &mut notes);
    if frame.lens.is_some() {
        // Looked at closely, the engine lies under what is written here.
        for placed in labels.placed() {
            notes.shapes.insert(0, Shape::Fill { path: path_around(&placed.outline), ink: Ink::Sheet });
        }
    }
    scene.nearest.keep_off_mark(&scene, &plan.main, &mut labels);
    if frame.tower {
        keep_off_tower(&scene, &plan.main, &mut labels);
    }
    let details: Vec<&Detail> = plan.rim.iter().chain(&plan.foot).collect();
    for detail in &details {
        labels.keep_off(detail.ring());
        scene.nearest.keep_off(detail, &mut labels);
    }
    for (i, detail) in details.iter().enumerate() {
        detail.write_title(&scene, &mut labels, i > 0);
    }
    let mut detail_notes = DisplayList::default();
    for detail in &details {
        Values { detail, scene: &scene, list: &mut detail_notes, labels: &mut labels, spots: &mut spots }
            .write();
        detail.write_names(&scene, &mut labels);
        detail.close(pens, &mut labels);
    }
    details.iter().for_each(|detail| detail.keep_off_mark(&plan.main, pens, &mut labels));
    for (i, detail) in details.iter().enumerate() {
        let mark = detail.mark(&scene, &plan.main, &mut notes, &mut labels, i == 0);
        if i == 0 {
            lead((&scene, &plan.main, frame), detail, mark, &mut notes, &mut labels);
        }
    }
    let wanted = DimensionRequest { tower: frame.tower, foot: plan.foot.is_none() };
    Annotator { scene: &scene, view: plan.main, list: &mut notes, labels: &mut labels, spots: &mut spots }
        .annotate(wanted);
    scene.nearest.write(&scene, (&plan.main, frame.area), &mut notes, &mut labels);
    if frame.lens.is_none() {
        corners.legend(&mut labels, &mut notes);
    }

    let mut list = DisplayList::default();
    let holes: Vec<Convex> = labels.placed().iter().map(|placed| placed.outline.clone()).collect();
    // Looked at closely, most of the engine lies outside the frame.
    let clip = frame.lens.map(|_| Convex::rect(frame.area));
    scene.paint(&Pane { view: plan.main, clip, axes: true, lining: 1.0, holes: &holes }, &mut list);
    list.shapes.extend(notes.shapes);
    for detail in details {
        detail.paint(&scene, &holes, &mut list);
    }
    list.shapes.extend(detail_notes.shapes);
    let (texts, left_out) = labels.finish(&mut list);
    let Plan { main: view, rim, foot } = plan;
    Section { list, handles, spots, view, whole_scale, rim, foot, texts, left_out }
}

/// Returns the line from the mark to its circle; it enters above the
/// dimensions, or below them where they extend up to the edge of the circle.
/// `None` where it would run through rod or crank, or under the title block.
fn lead(
    (scene, main, frame): (&Scene<'_>, &View, &Frame),
    detail: &Detail,
    mark: Circle,
    list: &mut DisplayList,
    labels: &mut Labels,
) {
    let (up, inward) = (detail.view.up(), detail.inward());
    let d = &scene.parts.datums;
    let level = |y: f64| (y - detail.about.y) * detail.view.scale() / detail.radius;
    let above = level(d.band_y.max(d.top_y)) + 0.3;
    // The rise of a direction of length 1, toward the bore axis.
    let rise = if above <= 0.95 { above.max(0.62) } else { (level(d.rim_y) - 0.3).max(-0.95) };
    // Next to a lying engine the dimensions lie between mark and circle.
    let lines = [rise, 0.97, -0.97].map(|rise| {
        let end = detail.centre + (up * rise + inward * (1.0 - rise * rise).sqrt()) * detail.radius;
        let way = end - mark.center;
        Line::new(mark.center + way * (mark.radius / way.hypot()), end)
    });
    // A line through rod and crank says less than the two letters alone.
    let moving =
        scene.parts.pieces.iter().filter(|piece| matches!(piece.moves, Moves::WithRod | Moves::WithCrank));
    let moving: Vec<&BezPath> = moving.map(|piece| &piece.outline).collect();
    let crosses = |line: &Line| {
        let mut points =
            (0..=SAMPLES).map(|i| main.model_from_out(line.eval(f64::from(i) / f64::from(SAMPLES))));
        points.any(|p| moving.iter().any(|path| path.contains(p)))
    };
    let covered =
        |line: &Line| frame.keep_clear.iter().any(|&rect| Convex::rect(rect).inside(*line).is_some());
    let free = |line: &Line| {
        let apart = (line.p1 - mark.center).hypot() > mark.radius;
        apart
            && labels.placed().iter().all(|placed| placed.outline.inside(*line).is_none())
            && !crosses(line)
            && !covered(line)
    };
    if let Some(line) = lines.into_iter().find(free) {
        labels.avoid(line);
        Drafter { pens: scene.pens }.line(list, line.p0, line.p1, Ink::Second);
    }
}

#[cfg(test)]
mod tests;
