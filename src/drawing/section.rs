//! The section of one cylinder in the plane of the crank throw.
//!
//! One scene of parts is painted into a main view and into enlarged details.
//! On a screen all of it is arranged in one frame; for paper the views come
//! one by one at a stated scale, and the page arranges them.

use super::annotate::{Annotator, Spot, Wanted};
use super::clip::Convex;
use super::detail::{Detail, is_upright};
use super::detail_values::Values;
use super::dim::Drafter;
use super::handles::{Handle, handles};
use super::input::SectionInput;
use super::label::{Labels, Placed, Pose, Word};
use super::layout::{Frame, Pads, bounds, plan};
use super::list::{DisplayList, Ink, Shape};
use super::paint::{Pane, Scene};
use super::pens::Pens;
use super::view::View;
use crate::engine::words;
use kurbo::{BezPath, Circle, Line, Point, Rect, Shape as _};

/// A section on a screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// What to draw.
    pub list: DisplayList,
    /// Where the drawing can be taken hold of.
    pub handles: Vec<Handle>,
    /// Where each dimension shows.
    pub spots: Vec<Spot>,
    /// The main view.
    pub view: View,
    /// Circle Z, the crown's edge.
    pub rim: Option<Detail>,
    /// Circle Y, the foot of the barrel.
    pub foot: Option<Detail>,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
}

/// Draws the section into a frame.
#[must_use]
pub fn section(input: &SectionInput<'_>, frame: &Frame, pens: &Pens) -> Section {
    let scene = Scene::new(*input, pens);
    let plan = plan(&scene, frame);
    let mut labels = Labels::within(frame.area);
    for &rect in &frame.keep_clear {
        labels.keep_clear(Convex::rect(rect));
    }
    let mut spots = Vec::new();

    let mut notes = DisplayList::default();
    write_name(frame, pens, &mut labels);
    let taken: Vec<Rect> =
        plan.rim.iter().map(|rim| Detail::room(&scene, rim.radius) + rim.centre.to_vec2()).collect();
    write_bar(frame, &plan.main, &taken, pens, input, &mut labels, &mut notes);
    let details: Vec<&Detail> = plan.rim.iter().chain(&plan.foot).collect();
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
    for (i, detail) in details.iter().enumerate() {
        let mark = detail.mark(&plan.main, pens, &mut notes, &mut labels, i == 0);
        // Beside a lying engine the line would run across all of it.
        if i == 0 && is_upright(&plan.main) {
            lead(&scene, detail, mark, &mut notes, &mut labels);
        }
    }
    let wanted = Wanted { tower: frame.tower, foot: plan.foot.is_none() };
    Annotator { scene: &scene, view: plan.main, list: &mut notes, labels: &mut labels, spots: &mut spots }
        .annotate(wanted);

    let mut list = DisplayList::default();
    let holes: Vec<Convex> = labels.placed().iter().map(|placed| placed.outline.clone()).collect();
    scene.paint(&Pane { view: plan.main, clip: None, lining: 1.0, holes: &holes }, &mut list);
    list.shapes.extend(notes.shapes);
    for detail in details {
        detail.paint(&scene, &holes, &mut list);
    }
    list.shapes.extend(detail_notes.shapes);
    let (texts, left_out) = labels.finish(&mut list);
    let handles = handles(input, &scene.parts.datums, &plan.main);
    Section { list, handles, spots, view: plan.main, rim: plan.rim, foot: plan.foot, texts, left_out }
}

/// The name of the section at the top left.
fn write_name(frame: &Frame, pens: &Pens, labels: &mut Labels) {
    let at = Point::new(frame.area.x0 + pens.margin, frame.area.y0 + pens.letter.size + 2.0 * pens.breath);
    let row = [
        Word { text: "A–A", letters: pens.letter, ink: Ink::Edge },
        Word { text: "plane of the crank throw", letters: pens.caption, ink: Ink::Second },
    ];
    labels.place_row(&row, [Pose::from(at)]);
}

/// A bar of a round length in a corner that is free, in the scale of the
/// drawing.
fn write_bar(
    frame: &Frame,
    main: &View,
    taken: &[Rect],
    pens: &Pens,
    input: &SectionInput<'_>,
    labels: &mut Labels,
    list: &mut DisplayList,
) {
    let longest = 0.18 * frame.area.width() / main.scale();
    let Some((length_mm, name)) = round_length(longest, input) else { return };
    let length = length_mm * main.scale();
    let height = pens.margin * 0.5;
    let zero = pens.caption.width("0") / 2.0;
    let inset = pens.margin + zero;
    let bottom = frame.area.y1 - pens.margin;
    let left = frame.area.x0 + inset;
    let right = frame.area.x1 - inset - length - pens.caption.width(&name) / 2.0;
    let above = pens.caption.size + pens.breath;
    let corners = [(left, bottom), (right, bottom), (right, frame.area.y0 + pens.margin + above + height)];
    let free = corners.map(|(x, y)| Rect::new(x, y - height, x + length, y)).into_iter().find(|r| {
        let with_text = Rect { y0: r.y0 - above, ..*r };
        frame.keep_clear.iter().chain(taken).all(|k| k.intersect(with_text).area() == 0.0)
    });
    let Some(rect) = free else { return };
    let fifth = length / 5.0;
    let mut path = BezPath::new();
    for i in [0.0, 2.0, 4.0] {
        let x = rect.x0 + i * fifth;
        path.extend(Rect::new(x, rect.y0, x + fifth, rect.y1).to_path(0.1).elements().iter().copied());
    }
    list.shapes.push(Shape::Fill { path, ink: Ink::Second });
    Drafter { pens }.stroke(list, rect.to_path(0.1), Ink::Second, pens.narrow, super::list::Dash::Solid);
    let base = rect.y0 - pens.breath;
    let letters = pens.caption;
    labels.place("0", letters, Ink::Third, [Pose::middle(Point::new(rect.x0, base))]);
    labels.place(&name, letters, Ink::Third, [Pose::middle(Point::new(rect.x1, base))]);
    labels.keep_clear(Convex::rect(rect));
}

/// The largest round length up to `longest` mm in the unit of the drawing,
/// and its name.
fn round_length(longest: f64, input: &SectionInput<'_>) -> Option<(f64, String)> {
    use crate::quantity::{LengthUnit, Unit};
    let (unit, steps): (Unit, &[f64]) = match input.units.length {
        LengthUnit::Mm => (Unit::Millimetre, &[1.0, 2.0, 5.0]),
        _ => (Unit::Inch, &[1.0, 2.0, 5.0]),
    };
    let mm = unit.to_base(1.0);
    let decade = [0.001, 0.01, 0.1, 1.0, 10.0, 100.0, 1000.0, 10_000.0, 100_000.0];
    let lengths = decade.iter().flat_map(|d| steps.iter().map(move |s| s * d));
    let best = lengths.filter(|n| n * mm <= longest).fold(0.0, f64::max);
    (best > 0.0).then(|| {
        let number = format!("{best:.3}");
        let number = number.trim_end_matches('0').trim_end_matches('.');
        (best * mm, format!("{number} {}", unit.symbol()))
    })
}

/// The line from the mark to its circle; it enters above the dimensions, or
/// below them where they reach up to the edge of the circle.
fn lead(scene: &Scene<'_>, detail: &Detail, mark: Circle, list: &mut DisplayList, labels: &mut Labels) {
    let (up, right) = (detail.view.up(), detail.view.right());
    let d = &scene.parts.datums;
    let level = |y: f64| (y - detail.about.y) * detail.view.scale() / detail.radius;
    let above = level(d.band_y.max(d.top_y)) + 0.3;
    // The rise of a direction of length 1, toward the bore axis.
    let rise = if above <= 0.95 { above.max(0.62) } else { (level(d.rim_y) - 0.3).max(-0.95) };
    let end = detail.centre + (up * rise - right * (1.0 - rise * rise).sqrt()) * detail.radius;
    let way = end - mark.center;
    if way.hypot() > mark.radius {
        let start = mark.center + way * (mark.radius / way.hypot());
        labels.avoid(Line::new(start, end));
        Drafter { pens: scene.pens }.line(list, start, end, Ink::Second);
    }
}

/// One view for a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// What to draw, output units.
    pub list: DisplayList,
    /// The space that it takes.
    pub bounds: Rect,
    /// What it shows, in words.
    pub alt: String,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
}

/// The views of one cylinder for a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Pictures {
    /// The main view.
    pub section: Picture,
    /// Enlarged details: the crown's edge, and the foot of the barrel where
    /// something lies under it.
    pub details: Vec<Picture>,
    /// The scale of the details, such as "5:1".
    pub detail_scale: String,
}

/// Draws main view and details one by one, the main view at `scale` output
/// units per mm of the engine.
#[must_use]
pub fn pictures(input: &SectionInput<'_>, scale: f64, pens: &Pens) -> Pictures {
    let scene = Scene::new(*input, pens).standing_still();
    let view = View::new(scale, Point::ZERO, input.turn);
    let rim = Detail::rim(&scene, &view, Point::ZERO, pens.circle_rim);
    let foot = Detail::foot(&scene, &view, &rim, Point::ZERO, pens.circle_foot);

    let (mut labels, mut spots, mut notes) = (Labels::default(), Vec::new(), DisplayList::default());
    for (i, detail) in std::iter::once(&rim).chain(&foot).enumerate() {
        detail.mark(&view, pens, &mut notes, &mut labels, i == 0);
    }
    let wanted = Wanted { tower: true, foot: foot.is_none() };
    Annotator { scene: &scene, view, list: &mut notes, labels: &mut labels, spots: &mut spots }
        .annotate(wanted);
    let holes: Vec<Convex> = labels.placed().iter().map(|placed| placed.outline.clone()).collect();
    let mut list = DisplayList::default();
    scene.paint(&Pane { view, clip: None, lining: 1.0, holes: &holes }, &mut list);
    list.shapes.extend(notes.shapes);
    let around = bounds(&scene, &view, Pads::of(pens, true));
    let (texts, left_out) = labels.finish(&mut list);
    let section = Picture { list, bounds: with_texts(around, &texts), alt: describe(input), left_out };

    let mut details = vec![detail_picture(&scene, &rim)];
    details.extend(foot.as_ref().map(|foot| detail_picture(&scene, foot)));
    Pictures { section, details, detail_scale: format!("{}:1", rim.enlargement.factor) }
}

fn detail_picture(scene: &Scene<'_>, detail: &Detail) -> Picture {
    let (mut labels, mut spots, mut notes) = (Labels::default(), Vec::new(), DisplayList::default());
    detail.write_title(scene, &mut labels, false);
    Values { detail, scene, list: &mut notes, labels: &mut labels, spots: &mut spots }.write();
    detail.write_names(scene, &mut labels);
    let holes: Vec<Convex> = labels.placed().iter().map(|placed| placed.outline.clone()).collect();
    let mut list = DisplayList::default();
    detail.paint(scene, &holes, &mut list);
    let lines = notes.shapes.iter().filter_map(|shape| match shape {
        Shape::Fill { path, .. } | Shape::Stroke { path, .. } => Some(path.bounding_box()),
        Shape::Text { .. } => None,
    });
    let around = lines.fold(detail.frame(), |a, b| a.union(b));
    list.shapes.extend(notes.shapes);
    let (texts, left_out) = labels.finish(&mut list);
    let what = if detail.letter == 'Z' { "The edge of the crown" } else { "The foot of the barrel" };
    let alt = format!("{what}, {}:1. {}", detail.enlargement.factor, gap_sentence(&scene.input));
    Picture { list, bounds: with_texts(around, &texts), alt, left_out }
}

fn with_texts(around: Rect, texts: &[Placed]) -> Rect {
    texts.iter().fold(around, |a, text| a.union(text.outline.bounds()))
}

fn gap_sentence(input: &SectionInput<'_>) -> String {
    let figures = input.parts.engine.figures();
    format!(
        "At the top the rim stands {} the top of the cylinder.",
        match words::gap(figures.deck_clearance, None, &input.units).as_str() {
            "flush" => "flush with".to_owned(),
            gap => gap.replace("proud", "proud of"),
        }
    )
}

/// The section in words, for somebody who hears the page.
fn describe(input: &SectionInput<'_>) -> String {
    use crate::engine::Key;
    let value = |key: Key| input.parts.engine.dims().filled(key).unwrap_or(0.0);
    let length = |key: Key| format!("{} {}", key.name().to_lowercase(), input.length(value(key)));
    let keys = [
        Key::Bore,
        Key::Stroke,
        Key::RodLength,
        Key::CompressionHeight,
        Key::CaseHeight,
        Key::BaseShim,
        Key::BarrelLength,
    ];
    let listed: Vec<String> = keys.into_iter().filter(|&key| value(key) > 0.0).map(length).collect();
    format!(
        "Section through the cylinder in the plane of the crank throw, {} degrees after top dead centre, drawn to scale: {}. {}",
        input.angle_deg,
        listed.join(", "),
        gap_sentence(input)
    )
}

#[cfg(test)]
mod tests;
