//! Drawings on the screen. Areas are cut into triangles here, lines and texts
//! are handed to the toolkit as they are, because it smooths the edges of its
//! own shapes and not those of a mesh: so an area should have a line over its
//! edge. Areas and lines may be kept as long as the drawing is the same.

use std::sync::Arc;

use egui::epaint::text::{FontDefinitions, FontsView};
use egui::epaint::{Mesh, TextShape, Vertex};
use egui::{Color32, FontData, FontFamily, FontId, Pos2, Shape, Stroke, Vec2};
use kurbo::{BezPath, PathEl, Point};
use lyon::math::point;
use lyon::tessellation::{
    BuffersBuilder, FillOptions, FillTessellator, FillVertex, FillVertexConstructor, TessellationError,
    VertexBuffers,
};

use crate::drawing::lettering::{self, printable};
use crate::drawing::list::{self, Anchor, Dash, DisplayList, Ink};

/// Name of the font family of ordinary texts.
pub const PLEX: &str = "plex";

/// Name of the font family of bold texts.
pub const PLEX_SEMIBOLD: &str = "plex-semibold";

/// Returns the toolkit's fonts with ours added under [`PLEX`] and
/// [`PLEX_SEMIBOLD`] and put first among the proportional ones, so that the
/// screen has the letters of the paper.
#[must_use]
pub fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    for (name, bytes) in [(PLEX, lettering::REGULAR), (PLEX_SEMIBOLD, lettering::SEMIBOLD)] {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
        fonts.families.insert(FontFamily::Name(name.into()), vec![name.to_owned()]);
    }
    fonts.families.entry(FontFamily::Proportional).or_default().insert(0, PLEX.to_owned());
    fonts
}

/// Reason why a shape with a coordinate that is not finite is left out.
const NOT_A_NUMBER: &str = "a place in it is not a number";

/// A drawing, ready to be painted.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// The shapes, in the order of painting.
    pub shapes: Vec<Shape>,
    /// The shapes that are missing from it; usually empty.
    pub faults: Vec<Fault>,
}

/// A shape that could not be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{what} is missing from the drawing: {why}")]
pub struct Fault {
    /// The shape in words.
    pub what: String,
    /// The reason.
    pub why: String,
}

/// Returns the areas and lines of a drawing as shapes of the toolkit.
///
/// `list` was lowered for the screen: its unit is the point. `palette` gives
/// each ink its colour in the theme, `origin` is the position of the list's
/// origin on the screen, `pixels_per_point` is the screen's density. No line is
/// thinner than one physical pixel.
pub fn outlines(
    list: &DisplayList,
    palette: impl Fn(Ink) -> Color32,
    origin: Pos2,
    pixels_per_point: f32,
) -> Drawn {
    let mut out = Drawn::default();
    out.shapes.reserve(list.shapes.len());
    let mut filler = Filler::new(origin, pixels_per_point);
    for shape in &list.shapes {
        let drawn = match shape {
            list::Shape::Text { .. } => continue,
            _ if !shape.is_finite() => Err(NOT_A_NUMBER.to_owned()),
            list::Shape::Fill { path, ink } => filler.fill(path, palette(*ink), &mut out.shapes),
            list::Shape::Stroke { path, ink, width, dash } => {
                let stroke = Stroke::new(narrow(*width).max(1.0 / pixels_per_point), palette(*ink));
                filler.stroke(path, stroke, *dash, &mut out.shapes);
                Ok(())
            }
        };
        if let Err(why) = drawn {
            out.faults.push(Fault { what: super::name(shape), why });
        }
    }
    out
}

/// Returns the texts of a drawing; they lie over its areas and lines. `fonts`
/// must know [`fonts`]. The letters are kept in a texture of the toolkit, so
/// these shapes are good for one frame only.
pub fn texts(
    list: &DisplayList,
    palette: impl Fn(Ink) -> Color32,
    origin: Pos2,
    fonts: &mut FontsView<'_>,
) -> Drawn {
    let mut out = Drawn::default();
    for shape in &list.shapes {
        let list::Shape::Text { at, anchor, turn_deg, size, bold, ink, text } = shape else { continue };
        if shape.is_finite() {
            let family = FontFamily::Name(if *bold { PLEX_SEMIBOLD } else { PLEX }.into());
            let font = FontId::new(narrow(*size), family);
            let galley = fonts.layout_no_wrap(printable(text).into_owned(), font, palette(*ink));
            out.shapes.push(place(galley, to_screen(origin, *at), *anchor, narrow(*turn_deg)));
        } else {
            out.faults.push(Fault { what: super::name(shape), why: NOT_A_NUMBER.to_owned() });
        }
    }
    out
}

/// Puts a line of text with its baseline on the anchor.
fn place(galley: Arc<egui::Galley>, at: Pos2, anchor: Anchor, turn_deg: f32) -> Shape {
    let baseline = galley
        .rows
        .first()
        .and_then(|row| row.row.glyphs.first().map(|glyph| row.pos.y + glyph.pos.y))
        .unwrap_or(0.0);
    let width = galley.rect.width();
    let before = match anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => 0.5 * width,
        Anchor::Right => width,
    };
    // The toolkit turns clockwise about the upper left corner.
    let angle = -turn_deg.to_radians();
    let corner = egui::emath::Rot2::from_angle(angle) * Vec2::new(before, baseline);
    Shape::Text(TextShape { angle, ..TextShape::new(at - corner, galley, Color32::PLACEHOLDER) })
}

/// Turns paths into shapes; keeps its buffers between them.
struct Filler {
    origin: Pos2,
    /// Greatest distance of a chord from its curve: a tenth of a pixel, which
    /// the eye can't see.
    tolerance: f32,
    tessellator: FillTessellator,
    runs: Vec<Run>,
}

/// An outline as straight pieces.
#[derive(Default)]
struct Run {
    points: Vec<Pos2>,
    closed: bool,
}

impl Filler {
    fn new(origin: Pos2, pixels_per_point: f32) -> Self {
        Self {
            origin,
            tolerance: 0.1 / pixels_per_point,
            tessellator: FillTessellator::new(),
            runs: Vec::new(),
        }
    }

    fn fill(&mut self, path: &BezPath, colour: Color32, out: &mut Vec<Shape>) -> Result<(), String> {
        self.flatten(path);
        if let [run] = self.runs.as_slice()
            && is_convex(&run.points)
        {
            out.push(Shape::convex_polygon(run.points.clone(), colour, Stroke::NONE));
            return Ok(());
        }
        let mesh = self.mesh(path, colour).map_err(|error| format!("{error:?}"))?;
        if !mesh.indices.is_empty() {
            out.push(Shape::mesh(mesh));
        }
        Ok(())
    }

    fn mesh(&mut self, path: &BezPath, colour: Color32) -> Result<Mesh, TessellationError> {
        let mut buffers: VertexBuffers<Vertex, u32> = VertexBuffers::new();
        // The rule is even-odd, lyon's own choice too.
        let options = FillOptions::even_odd().with_tolerance(self.tolerance);
        let lyon_path = to_lyon(path, self.origin);
        let mut builder = BuffersBuilder::new(&mut buffers, Painted(colour));
        self.tessellator.tessellate_path(&lyon_path, &options, &mut builder)?;
        Ok(Mesh { indices: buffers.indices, vertices: buffers.vertices, ..Mesh::default() })
    }

    fn stroke(&mut self, path: &BezPath, stroke: Stroke, dash: Dash, out: &mut Vec<Shape>) {
        self.flatten(path);
        for Run { mut points, closed } in self.runs.drain(..) {
            let pattern: Vec<f32> = dash.pattern().iter().map(|&n| narrow(n) * stroke.width).collect();
            let first = points.first().copied();
            if !pattern.is_empty() && few_dashes(&points, pattern.iter().sum()) {
                if closed {
                    points.extend(first);
                }
                let dashes: Vec<f32> = pattern.iter().copied().step_by(2).collect();
                let gaps: Vec<f32> = pattern.iter().copied().skip(1).step_by(2).collect();
                Shape::dashed_line_many_with_offset(&points, stroke, &dashes, &gaps, 0.0, out);
                continue;
            }
            match points.as_slice() {
                [] | [_] => {}
                [a, b] => out.push(Shape::line_segment([*a, *b], stroke)),
                _ if closed => out.push(Shape::closed_line(points, stroke)),
                _ => out.push(Shape::line(points, stroke)),
            }
        }
    }

    /// Flattens the path into straight pieces on the screen.
    fn flatten(&mut self, path: &BezPath) {
        let origin = self.origin;
        let runs = &mut self.runs;
        runs.clear();
        kurbo::flatten(path, f64::from(self.tolerance), |element| match element {
            PathEl::MoveTo(p) => runs.push(Run { points: vec![to_screen(origin, p)], closed: false }),
            PathEl::ClosePath => {
                if let Some(run) = runs.last_mut() {
                    run.closed = true;
                    if run.points.len() > 1 && run.points.first() == run.points.last() {
                        run.points.pop();
                    }
                }
            }
            PathEl::LineTo(p) | PathEl::QuadTo(_, p) | PathEl::CurveTo(_, _, p) => {
                let p = to_screen(origin, p);
                if let Some(run) = runs.last_mut()
                    && run.points.last() != Some(&p)
                {
                    run.points.push(p);
                }
            }
        });
    }
}

/// A vertex constructor of one colour.
struct Painted(Color32);

impl FillVertexConstructor<Vertex> for Painted {
    fn new_vertex(&mut self, vertex: FillVertex<'_>) -> Vertex {
        Vertex::untextured(Pos2::new(vertex.position().x, vertex.position().y), self.0)
    }
}

/// Returns whether a line breaks into no more dashes than a screen has pixels;
/// a longer one is drawn whole.
fn few_dashes(points: &[Pos2], period: f32) -> bool {
    let length: f32 = points.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    period > 0.0 && length / period < 4000.0
}

/// Returns whether the polygon turns one way only, once round. The toolkit
/// smooths the edges of such polygons.
fn is_convex(points: &[Pos2]) -> bool {
    let n = points.len();
    if !(3..=256).contains(&n) {
        return false;
    }
    let (mut left, mut right, mut reversals) = (false, false, 0);
    let edge = |i: usize| points[(i + 1) % n] - points[i % n];
    for i in 0..n {
        let (a, b) = (edge(i), edge(i + 1));
        let turn = a.x * b.y - a.y * b.x;
        left |= turn > 0.0;
        right |= turn < 0.0;
        // Once round, the direction changes from right to left and back.
        let goes_right = |v: Vec2| v.x > 0.0 || (v.x == 0.0 && v.y > 0.0);
        reversals += usize::from(goes_right(a) != goes_right(b));
    }
    !(left && right) && reversals == 2
}

fn to_lyon(path: &BezPath, origin: Pos2) -> lyon::path::Path {
    let map = |p: Point| {
        let p = to_screen(origin, p);
        point(p.x, p.y)
    };
    let mut builder = lyon::path::Path::builder();
    let mut open = false;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => {
                if open {
                    builder.end(true);
                }
                builder.begin(map(p));
                open = true;
            }
            PathEl::LineTo(p) if open => drop(builder.line_to(map(p))),
            PathEl::QuadTo(a, p) if open => drop(builder.quadratic_bezier_to(map(a), map(p))),
            PathEl::CurveTo(a, b, p) if open => drop(builder.cubic_bezier_to(map(a), map(b), map(p))),
            PathEl::ClosePath if open => {
                builder.end(true);
                open = false;
            }
            _ => {}
        }
    }
    if open {
        builder.end(true);
    }
    builder.build()
}

/// Converts a position to the screen; up to here positions stay in double
/// precision.
fn to_screen(origin: Pos2, p: Point) -> Pos2 {
    Pos2::new(narrow(f64::from(origin.x) + p.x), narrow(f64::from(origin.y) + p.y))
}

fn narrow(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::lettering::text_width;
    use egui::epaint::text::{Fonts, TextOptions};
    use kurbo::{Circle, Rect, Shape as _};

    fn draw(list: Vec<list::Shape>, pixels_per_point: f32) -> Drawn {
        let mut fonts = Fonts::new(TextOptions::default(), fonts());
        let list = DisplayList { shapes: list };
        let origin = Pos2::new(100.0, 50.0);
        let mut drawn = outlines(&list, |_| Color32::RED, origin, pixels_per_point);
        let written =
            texts(&list, |_| Color32::RED, origin, &mut fonts.with_pixels_per_point(pixels_per_point));
        drawn.shapes.extend(written.shapes);
        drawn.faults.extend(written.faults);
        drawn
    }

    fn text(at: (f64, f64), anchor: Anchor, turn_deg: f64, size: f64) -> list::Shape {
        list::Shape::Text {
            at: at.into(),
            anchor,
            turn_deg,
            size,
            bold: false,
            ink: Ink::Edge,
            text: "1.10 mm".into(),
        }
    }

    fn mesh_area(mesh: &Mesh) -> f32 {
        let at = |i: u32| mesh.vertices[i as usize].pos.to_vec2();
        mesh.indices
            .chunks(3)
            .map(|t| {
                let (a, b) = (at(t[1]) - at(t[0]), at(t[2]) - at(t[0]));
                0.5 * (a.x * b.y - a.y * b.x).abs()
            })
            .sum()
    }

    #[test]
    fn a_ring_has_the_area_of_a_ring_and_lies_at_the_origin() {
        let mut path = Circle::new((40.0, 30.0), 20.0).to_path(1e-4);
        path.extend(Circle::new((40.0, 30.0), 8.0).to_path(1e-4));
        for ppp in [1.0, 2.0, 8.0] {
            let drawn = draw(vec![list::Shape::Fill { path: path.clone(), ink: Ink::Hatch }], ppp);
            assert!(drawn.faults.is_empty());
            let [Shape::Mesh(mesh)] = drawn.shapes.as_slice() else { panic!("{:?}", drawn.shapes) };
            let exact = std::f32::consts::PI * (400.0 - 64.0);
            // A chord that lies t inside a circle of radius r takes away at
            // most 2 pi r t.
            let allowed = std::f32::consts::TAU * 28.0 * 0.1 / ppp;
            assert!((mesh_area(mesh) - exact).abs() < allowed, "{} against {exact}", mesh_area(mesh));
            let bounds = mesh.calc_bounds();
            assert!(bounds.center().distance(Pos2::new(140.0, 80.0)) < 0.1 / ppp, "{bounds:?}");
        }
    }

    #[test]
    fn small_convex_areas_get_smooth_edges_and_others_a_mesh() {
        let fill = |points: &[(f64, f64)]| {
            let mut path = BezPath::new();
            path.move_to(points[0]);
            points[1..].iter().for_each(|&p| path.line_to(p));
            path.close_path();
            list::Shape::Fill { path, ink: Ink::Edge }
        };
        let arrow = fill(&[(0.0, 0.0), (10.0, 1.4), (10.0, -1.4)]);
        let notch = fill(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 2.0), (0.0, 10.0)]);
        let star = fill(&[(0.0, -10.0), (5.9, 8.1), (-9.5, -3.1), (9.5, -3.1), (-5.9, 8.1)]);
        let drawn = draw(vec![arrow, notch, star], 1.0);
        assert!(matches!(drawn.shapes.as_slice(), [Shape::Path(_), Shape::Mesh(_), Shape::Mesh(_)]));
    }

    #[test]
    fn lines_are_never_thinner_than_a_pixel_and_dashes_add_up() {
        let mut path = BezPath::new();
        path.move_to((0.0, 10.0));
        path.line_to((220.0, 10.0));
        let line = |dash, width| list::Shape::Stroke { path: path.clone(), ink: Ink::Edge, width, dash };
        let drawn = draw(vec![line(Dash::Solid, 0.1)], 2.0);
        assert!(matches!(drawn.shapes[0], Shape::LineSegment { stroke, .. } if stroke.width == 0.5));
        // Ten periods of 14 3 2 3 at width 1: 160 of 220 are drawn.
        let drawn = draw(vec![line(Dash::Axis, 1.0)], 1.0);
        let length: f32 =
            drawn
                .shapes
                .iter()
                .map(|s| {
                    if let Shape::LineSegment { points, .. } = s {
                        points[0].distance(points[1])
                    } else {
                        0.0
                    }
                })
                .sum();
        assert!((length - 160.0).abs() < 1e-2, "{length}");
    }

    #[test]
    fn a_closed_outline_is_one_closed_line() {
        let path = Rect::new(0.0, 0.0, 20.0, 10.0).to_path(0.1);
        let drawn =
            draw(vec![list::Shape::Stroke { path, ink: Ink::Edge, width: 2.0, dash: Dash::Solid }], 1.0);
        let [Shape::Path(path)] = drawn.shapes.as_slice() else { panic!("{:?}", drawn.shapes) };
        assert!(path.closed && path.points.len() == 4, "{:?}", path.points);
    }

    #[test]
    fn text_stands_on_its_anchor_whichever_way_it_is_turned() {
        let width = narrow(text_width("1.10 mm", 20.0, false));
        for (anchor, part) in [(Anchor::Left, 0.0), (Anchor::Middle, 0.5), (Anchor::Right, 1.0)] {
            for turn in [0.0, 90.0, 30.0] {
                let drawn = draw(vec![text((60.0, 40.0), anchor, turn, 20.0)], 2.0);
                let [Shape::Text(shape)] = drawn.shapes.as_slice() else { panic!() };
                let rotation = egui::emath::Rot2::from_angle(shape.angle);
                let glyphs = &shape.galley.rows[0].row.glyphs;
                let start = shape.pos + rotation * glyphs[0].pos.to_vec2();
                let along = rotation * Vec2::new(width, 0.0);
                let anchor_at = start + along * part;
                // Half a pixel for the toolkit's rounding of letters.
                let error = anchor_at.distance(Pos2::new(160.0, 90.0));
                assert!(error < 0.5, "{anchor:?} at {turn} degrees is {error} points off");
            }
        }
    }

    #[test]
    fn the_screen_sets_figures_as_wide_as_they_are_measured() {
        let drawn = draw(vec![text((0.0, 0.0), Anchor::Left, 0.0, 40.0)], 1.0);
        let [Shape::Text(shape)] = drawn.shapes.as_slice() else { panic!() };
        let measured = narrow(text_width("1.10 mm", 40.0, false));
        assert!(
            (shape.galley.rect.width() - measured).abs() < 0.5,
            "{} {measured}",
            shape.galley.rect.width()
        );
    }

    #[test]
    fn what_is_not_a_number_is_left_out_and_said() {
        let mut path = BezPath::new();
        path.move_to((0.0, f64::NAN));
        path.line_to((1.0, 1.0));
        let drawn = draw(
            vec![list::Shape::Fill { path, ink: Ink::Solid }, text((0.0, 0.0), Anchor::Left, 0.0, 12.0)],
            1.0,
        );
        assert_eq!(drawn.shapes.len(), 1);
        assert_eq!(
            drawn.faults[0].to_string(),
            "an area (Solid) is missing from the drawing: a place in it is not a number"
        );
    }

    #[test]
    fn a_line_without_end_does_not_break_into_dashes_without_end() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((1e9, 0.0));
        let drawn =
            draw(vec![list::Shape::Stroke { path, ink: Ink::Edge, width: 1.0, dash: Dash::Axis }], 1.0);
        assert_eq!(drawn.shapes.len(), 1);
    }
}
