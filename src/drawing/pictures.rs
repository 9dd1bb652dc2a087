//! Views of one cylinder for a page: the main view at a stated scale and its
//! enlarged details, one by one, for the page to arrange.

use super::annotate::{Annotator, DimensionRequest, Spot};
use super::clip::Convex;
use super::detail::Detail;
use super::detail_values::Values;
use super::handles::{Handle, handles};
use super::input::SectionInput;
use super::label::{Labels, Placed};
use super::layout::{Pads, bounds};
use super::list::{DisplayList, Shape};
use super::paint::{Pane, Scene};
use super::pens::Pens;
use super::view::View;
use crate::engine::words;
use kurbo::{Point, Rect, Shape as _};

/// One view for a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The drawing, output units.
    pub list: DisplayList,
    /// The space that it takes.
    pub bounds: Rect,
    /// Its description in words.
    pub alt: String,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Positions of the dimensions.
    pub spots: Vec<Spot>,
    /// Handles to drag it by; a detail has none.
    pub handles: Vec<Handle>,
}

/// The views of one cylinder for a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Pictures {
    /// The main view.
    pub section: Picture,
    /// Enlarged details: the crown's edge, and the foot of the barrel where
    /// there is gasket or shim under it.
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
    scene.nearest.keep_off_mark(&scene, &view, &mut labels);
    let details = || std::iter::once(&rim).chain(&foot);
    details().for_each(|detail| detail.keep_off_mark(&view, pens, &mut labels));
    for (i, detail) in details().enumerate() {
        detail.mark(&scene, &view, &mut notes, &mut labels, i == 0);
    }
    let wanted = DimensionRequest { tower: true, foot: foot.is_none() };
    Annotator { scene: &scene, view, list: &mut notes, labels: &mut labels, spots: &mut spots }
        .annotate(wanted);
    let around = bounds(&scene, &view, Pads::of(pens, true));
    scene.nearest.write(&scene, (&view, around), &mut notes, &mut labels);
    let holes: Vec<Convex> = labels.placed().iter().map(|placed| placed.outline.clone()).collect();
    let mut list = DisplayList::default();
    scene.paint(&Pane { view, clip: None, axes: true, lining: 1.0, holes: &holes }, &mut list);
    list.shapes.extend(notes.shapes);
    let (texts, left_out) = labels.finish(&mut list);
    let section = Picture {
        list,
        bounds: with_texts(around, &texts),
        alt: describe(input),
        left_out,
        texts,
        spots,
        handles: handles(input, &scene.parts.datums, &view),
    };

    let mut details = vec![detail_picture(&scene, &rim)];
    details.extend(foot.as_ref().map(|foot| detail_picture(&scene, foot)));
    Pictures { section, details, detail_scale: format!("{}:1", rim.enlargement.factor) }
}

fn detail_picture(scene: &Scene<'_>, detail: &Detail) -> Picture {
    let (mut labels, mut spots, mut notes) = (Labels::default(), Vec::new(), DisplayList::default());
    labels.keep_off(detail.ring());
    scene.nearest.keep_off(detail, &mut labels);
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
    Picture { list, bounds: with_texts(around, &texts), alt, left_out, texts, spots, handles: Vec::new() }
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

/// Returns a description of the section for somebody who hears the page.
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
