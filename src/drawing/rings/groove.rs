//! A ring in its groove, cut across and magnified: as it is measured on the
//! bench, pushed in until its face is flush with the land. Over it the side
//! clearance, behind it the back clearance; the side clearance again in a
//! circle, because it is a hair even here.
//!
//! Everything is to one scale. Sizes that were never measured are drawn light
//! from usual proportions and carry no dimension.

use crate::drawing::clip::{Convex, path_of, rings_of};
use crate::drawing::dim::{Dimension, Drafter, Rail};
use crate::drawing::hatch;
use crate::drawing::label::{Labels, Placed, Pose};
use crate::drawing::list::{Dash, DisplayList, Ink, Part, Shape};
use crate::drawing::pens::{Medium, Pens};
use kurbo::{Affine, BezPath, Circle, Line, Point, Rect, Shape as _, Vec2};

/// Height and thickness of an unmeasured ring, as parts of the bore: usual
/// proportions, never shown as figures.
const HEIGHT: f64 = 0.02;
const THICKNESS: f64 = 0.042;
/// Unmeasured clearances, mm: drawn light, never shown as figures.
const SIDE_MM: f64 = 0.05;
const BACK_MM: f64 = 0.3;
/// Distance from the land to the bore, as a part of the bore, where it is
/// unknown.
const LAND: f64 = 0.004;

/// A length of the picture, with its text, measured or not.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Measure {
    /// The length, mm; `None` where it was not measured.
    pub mm: Option<f64>,
    /// The length as written: "0.05".
    pub text: String,
}

/// The input of the picture.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct GrooveInput {
    /// The diameter of the bore, mm.
    pub bore_mm: f64,
    /// Height of the ring along the bore.
    pub height: Measure,
    /// Thickness of the ring from face to back.
    pub thickness: Measure,
    /// Clearance between the ring and the flank over it.
    pub side: Measure,
    /// Clearance behind the ring when its face is flush with the land.
    pub back: Measure,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Groove {
    /// The drawing.
    pub list: DisplayList,
    /// Output units per mm.
    pub scale: f64,
    /// Output units per mm in the circle.
    pub circle_scale: f64,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
}

/// The groove in mm: the lower corner of the land is the origin, x points
/// out of the piston, y up to the crown.
#[derive(Clone, Copy, Debug)]
struct Shapes {
    height: f64,
    thickness: f64,
    side: f64,
    back: f64,
    land: f64,
    /// The part of the piston shown behind the groove, over and under it.
    behind: f64,
    beyond: f64,
}

impl Shapes {
    fn of(input: &GrooveInput) -> Self {
        let height = input.height.mm.unwrap_or(HEIGHT * input.bore_mm);
        let thickness = input.thickness.mm.unwrap_or(THICKNESS * input.bore_mm);
        Self {
            height,
            thickness,
            side: input.side.mm.unwrap_or(SIDE_MM),
            back: input.back.mm.unwrap_or(BACK_MM),
            land: LAND * input.bore_mm,
            behind: 0.28 * thickness,
            beyond: 0.6 * height,
        }
    }

    /// Returns the area that is shown, mm.
    fn frame(&self) -> Rect {
        Rect::new(
            -self.thickness - self.back - self.behind,
            -self.beyond,
            self.land + 0.12 * self.thickness,
            self.height + self.side + self.beyond,
        )
    }

    fn ring(&self) -> BezPath {
        Rect::new(-self.thickness, 0.0, 0.0, self.height).to_path(0.1)
    }

    /// Returns the outline of the piston around the groove.
    fn piston(&self) -> BezPath {
        let (frame, deep, top) = (self.frame(), -self.thickness - self.back, self.height + self.side);
        let corners = [
            (frame.x0, frame.y0),
            (0.0, frame.y0),
            (0.0, 0.0),
            (deep, 0.0),
            (deep, top),
            (0.0, top),
            (0.0, frame.y1),
            (frame.x0, frame.y1),
        ];
        closed(&corners)
    }
}

fn closed(corners: &[(f64, f64)]) -> BezPath {
    path_of(&[corners.iter().map(|&corner| Point::from(corner)).collect()])
}

fn open(corners: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (i, &corner) in corners.iter().enumerate() {
        if i == 0 { path.move_to(corner) } else { path.line_to(corner) }
    }
    path
}

/// Scales of a drawing (ISO 5455) that a groove is drawn to on paper.
const SCALES: [f64; 7] = [100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0];

/// Draws the groove into an area, as large as it allows; on paper to a
/// standard scale.
#[must_use]
pub(crate) fn groove(input: &GrooveInput, area: Rect, pens: &Pens) -> Groove {
    let shapes = Shapes::of(input);
    let frame = shapes.frame();
    // Right of it the circle with its dimension, over it the thickness.
    let radius = (0.36 * area.height()).min(0.2 * area.width());
    let circle_room = 2.0 * radius + 1.9 * pens.first_line + pens.margin;
    let left_room = if input.height.mm.is_some() { pens.first_line + pens.dimension.size } else { 0.0 };
    let above = if input.thickness.mm.is_some() {
        pens.first_line + pens.dimension.size
    } else {
        1.6 * pens.caption.size
    };
    let below = if input.back.mm.is_some() { pens.first_line + pens.dimension.size } else { pens.breath };
    let room = Rect::new(area.x0 + left_room, area.y0 + above, area.x1 - circle_room, area.y1 - below);
    let most = (room.width() / frame.width()).min(room.height() / frame.height()).max(1e-6);
    let scale = match pens.medium {
        Medium::Paper => SCALES.into_iter().find(|scale| *scale <= most).unwrap_or(most),
        Medium::Screen => most,
    };
    let middle = room.center();
    let view = Affine::translate(middle.to_vec2())
        * Affine::scale_non_uniform(scale, -scale)
        * Affine::translate(-frame.center().to_vec2());
    let mut list = DisplayList::default();
    let mut labels = Labels::within(area);
    let pane = Pane { input, shapes, pens, view, clip: None, lining: 1.0 };
    let circle = Circle::new(Point::new(area.x1 - radius - pens.narrow, area.center().y), radius);
    pane.texts(&mut list, &mut labels);
    let mut under = DisplayList::default();
    let holes: Vec<Convex> = labels.placed().iter().map(|placed| placed.outline.clone()).collect();
    pane.draw(&mut under, &holes);
    under.shapes.extend(list.shapes);
    let circle_scale = pane.circle(circle, scale, &mut under, &mut labels);
    let (texts, left_out) = labels.finish(&mut under);
    Groove { list: under, scale, circle_scale, texts, left_out }
}

/// One view of the groove.
struct Pane<'a> {
    input: &'a GrooveInput,
    shapes: Shapes,
    pens: &'a Pens,
    view: Affine,
    clip: Option<Convex>,
    lining: f64,
}

impl Pane<'_> {
    fn at(&self, x: f64, y: f64) -> Point {
        self.view * Point::new(x, y)
    }

    fn area(&self, path: &BezPath) -> BezPath {
        let path = self.view * path;
        match &self.clip {
            Some(clip) => path_of(&clip.area(&path, self.pens.tolerance)),
            None => path,
        }
    }

    fn stroke(&self, path: &BezPath, known: bool, list: &mut DisplayList) {
        let (ink, width) = if known { (Ink::Edge, self.pens.wide) } else { (Ink::Assumed, self.pens.narrow) };
        self.line(path, ink, width, Dash::Solid, list);
    }

    fn line(&self, path: &BezPath, ink: Ink, width: f64, dash: Dash, list: &mut DisplayList) {
        let path = self.view * path;
        let path = match &self.clip {
            Some(clip) => clip.lines(&path, self.pens.tolerance),
            None => path,
        };
        Drafter { pens: self.pens }.stroke(list, path, ink, width, dash);
    }

    /// Draws piston, ring and bore.
    fn draw(&self, list: &mut DisplayList, holes: &[Convex]) {
        let s = &self.shapes;
        let (frame, deep, top) = (s.frame(), -s.thickness - s.back, s.height + s.side);
        let piston = self.area(&s.piston());
        list.shapes.push(Shape::Fill { path: piston.clone(), ink: Ink::Part(Part::Piston) });
        let mut lining = self.pens.lining(Part::Piston);
        lining.pitch *= self.lining;
        let lines = hatch::hatch(&rings_of(&piston, self.pens.tolerance), lining, self.at(0.0, 0.0));
        let path = hatch::path_of(&hatch::without(lines, holes));
        Drafter { pens: self.pens }.stroke(list, path, Ink::Hatch, self.pens.narrow, Dash::Solid);
        list.shapes.push(Shape::Fill { path: self.area(&s.ring()), ink: Ink::Part(Part::Ring) });

        let (side, back) = (self.input.side.mm.is_some(), self.input.back.mm.is_some());
        let tall = self.input.height.mm.is_some();
        let thick = self.input.thickness.mm.is_some();
        // Lands and the lower flank first, the ring's own edges over them.
        for (from, to) in [(frame.y0, 0.0), (top, frame.y1)] {
            self.stroke(&open(&[(0.0, from), (0.0, to)]), back, list);
        }
        self.stroke(&open(&[(0.0, 0.0), (deep, 0.0)]), side, list);
        self.stroke(&open(&[(deep, 0.0), (deep, top)]), back, list);
        self.stroke(&open(&[(deep, top), (0.0, top)]), side, list);
        self.stroke(&open(&[(-s.thickness, 0.0), (-s.thickness, s.height)]), thick, list);
        self.stroke(&open(&[(0.0, 0.0), (0.0, s.height)]), thick, list);
        self.stroke(&open(&[(-s.thickness, s.height), (0.0, s.height)]), tall, list);
        let wall = open(&[(s.land, frame.y0), (s.land, frame.y1)]);
        self.line(&wall, Ink::Second, self.pens.narrow, Dash::Phantom, list);
        // Where the piston goes on beyond what is shown.
        let edge = open(&[(0.0, frame.y0), (frame.x0, frame.y0), (frame.x0, frame.y1), (0.0, frame.y1)]);
        self.line(&edge, Ink::Assumed, self.pens.narrow, Dash::Ghost, list);
    }

    /// Writes names and dimensions of the whole view.
    fn texts(&self, list: &mut DisplayList, labels: &mut Labels) {
        let (s, pens) = (&self.shapes, self.pens);
        let drafter = Drafter { pens };
        let (frame, deep) = (s.frame(), -s.thickness - s.back);
        let caption = pens.caption;
        let middle = |x: f64, y: f64| {
            let at = self.at(x, y);
            Pose::middle(Point::new(at.x, at.y + caption.capitals() / 2.0))
        };
        // A name only where it is clear of the edges around it.
        let scale = self.view.as_coeffs()[0];
        let fits = |mm: f64| mm * scale > 1.5 * caption.size;
        if fits(s.height) {
            labels.place_if_free("ring", caption, Ink::Edge, [middle(-0.5 * s.thickness, 0.5 * s.height)]);
        }
        if fits(s.beyond) {
            let poses = [middle(-0.55 * s.thickness, 0.5 * frame.y0)];
            labels.place_if_free("piston", caption, Ink::Edge, poses);
        }
        let crown = self.at(-0.5 * s.thickness, frame.y1);
        let crown = Point::new(crown.x, crown.y - pens.breath);
        if self.input.thickness.mm.is_none() {
            labels.place_if_free("toward the crown", caption, Ink::Second, [Pose::middle(crown)]);
        }
        let bore = self.at(s.land, frame.y1);
        let poses = [
            Pose::middle(Point::new(bore.x, bore.y - pens.breath)),
            Pose::from(Point::new(bore.x, bore.y - pens.breath)),
        ];
        labels.place_if_free("bore", caption, Ink::Second, poses);
        let mut chain = |from: Point, to: Point, rail: Rail, text: &str| {
            let dim = Dimension { from, to, text: text.to_owned(), ink: Ink::Second };
            drafter.chain(list, labels, rail, &[dim]);
        };
        if self.input.thickness.mm.is_some() {
            let y = self.at(0.0, frame.y1).y - 0.55 * pens.first_line;
            let rail = Rail { through: Point::new(0.0, y), along: Vec2::new(1.0, 0.0) };
            let (a, b) = (self.at(-s.thickness, s.height), self.at(0.0, s.height));
            chain(a, b, rail, &self.input.thickness.text);
        }
        if self.input.height.mm.is_some() {
            let x = self.at(frame.x0, 0.0).x - 0.8 * pens.first_line;
            let rail = Rail { through: Point::new(x, 0.0), along: Vec2::new(0.0, -1.0) };
            let (a, b) = (self.at(-s.thickness, 0.0), self.at(-s.thickness, s.height));
            chain(a, b, rail, &self.input.height.text);
        }
        if self.input.back.mm.is_some() {
            let y = self.at(0.0, frame.y0).y + 0.7 * pens.first_line;
            let rail = Rail { through: Point::new(0.0, y), along: Vec2::new(1.0, 0.0) };
            let (a, b) = (self.at(deep, 0.0), self.at(-s.thickness, 0.0));
            chain(a, b, rail, &self.input.back.text);
        }
    }

    /// Draws the upper corner of the ring in a circle, enlarged until the side
    /// clearance can be seen, and returns the scale in it.
    fn circle(&self, circle: Circle, scale: f64, list: &mut DisplayList, labels: &mut Labels) -> f64 {
        let (s, pens) = (&self.shapes, self.pens);
        let wanted = 0.45 * pens.detail_gap;
        // On paper the circle has a scale of the series as well.
        let factor = match pens.medium {
            Medium::Screen => {
                let visible = |factor: &f64| s.side * scale * factor >= wanted;
                [2.0, 5.0, 10.0, 20.0, 50.0].into_iter().find(visible).unwrap_or(50.0)
            }
            Medium::Paper => {
                let visible = |to: &f64| s.side * to >= wanted && *to >= 1.9 * scale;
                [500.0, 200.0].into_iter().chain(SCALES).rev().find(visible).unwrap_or(500.0) / scale
            }
        };
        let enlarged = scale * factor;
        // The corner lies a little right of the middle, half the gap over it.
        let corner = Point::new(-0.35 * circle.radius / enlarged, s.height + s.side / 2.0);
        let view = Affine::translate(circle.center.to_vec2())
            * Affine::scale_non_uniform(enlarged, -enlarged)
            * Affine::translate(-corner.to_vec2());
        let clip = Convex::circle(circle.center, circle.radius, pens.tolerance);
        let lining = pens.detail_lining;
        let pane = Pane { input: self.input, shapes: *s, pens, view, clip: Some(clip), lining };
        let drafter = Drafter { pens };
        // The mark round the place, a line to the circle, the circle itself.
        let mark = Circle::new(self.view * corner, (circle.radius / factor).max(pens.least_mark));
        drafter.stroke(list, mark.to_path(pens.tolerance), Ink::Second, pens.narrow, Dash::Solid);
        let way = (circle.center - mark.center).normalize();
        let (from, to) = (mark.center + way * mark.radius, circle.center - way * circle.radius);
        labels.avoid(Line::new(from, to));
        drafter.line(list, from, to, Ink::Second);
        list.shapes.push(Shape::Fill { path: circle.to_path(pens.tolerance), ink: Ink::Sheet });
        pane.draw(list, &[]);
        drafter.stroke(list, circle.to_path(pens.tolerance), Ink::Second, pens.ring, Dash::Solid);
        if self.input.side.mm.is_some() {
            let x = circle.center.x - circle.radius - 0.9 * pens.first_line;
            let rail = Rail { through: Point::new(x, 0.0), along: Vec2::new(0.0, -1.0) };
            let on_edge = |y: f64| {
                let y = pane.at(0.0, y).y;
                let off = y - circle.center.y;
                Point::new(circle.center.x - (circle.radius * circle.radius - off * off).max(0.0).sqrt(), y)
            };
            let dim = Dimension {
                from: on_edge(s.height),
                to: on_edge(s.height + s.side),
                text: self.input.side.text.clone(),
                ink: Ink::Second,
            };
            drafter.chain(list, labels, rail, &[dim]);
        }
        enlarged
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure(mm: f64) -> Measure {
        Measure { mm: Some(mm), text: format!("{mm:.2}") }
    }

    fn input() -> GrooveInput {
        GrooveInput {
            bore_mm: 86.01,
            height: measure(1.75),
            thickness: measure(3.60),
            side: measure(0.05),
            back: measure(0.25),
        }
    }

    /// Returns upright or level wide lines with their position.
    fn edges(groove: &Groove, pens: &Pens) -> Vec<Rect> {
        let wide = |shape: &Shape| match shape {
            Shape::Stroke { path, ink: Ink::Edge, width, .. } if *width == pens.wide => {
                Some(path.bounding_box())
            }
            _ => None,
        };
        groove.list.shapes.iter().filter_map(wide).collect()
    }

    #[test]
    fn ring_and_groove_are_to_scale() {
        for (pens, area) in [
            (Pens::PAPER, Rect::new(0.0, 0.0, 170.0, 62.0)),
            (Pens::SCREEN, Rect::new(0.0, 0.0, 560.0, 190.0)),
        ] {
            let groove = groove(&input(), area, &pens);
            let edges = edges(&groove, &pens);
            let level: Vec<&Rect> = edges.iter().filter(|e| e.height() < 1e-9 && e.width() > 0.0).collect();
            // Lower flank, upper flank, top of the ring, in the main view.
            let (flank, upper, top) = (level[0], level[1], level[2]);
            let k = groove.scale;
            assert!((flank.width() - 3.85 * k).abs() < 1e-6, "groove depth");
            assert!((flank.y0 - top.y0 - 1.75 * k).abs() < 1e-6, "height of the ring");
            assert!((top.y0 - upper.y0 - 0.05 * k).abs() < 1e-6, "side clearance");
            assert!((top.width() - 3.60 * k).abs() < 1e-6, "thickness of the ring");
            assert!((top.x0 - upper.x0 - 0.25 * k).abs() < 1e-6, "back clearance");
            // And the side clearance once more in the circle.
            let (upper, top) = (level[level.len() - 2], level[level.len() - 1]);
            assert!((top.y0 - upper.y0 - 0.05 * groove.circle_scale).abs() < 1e-6);
            assert!(top.y0 - upper.y0 > 0.4 * pens.detail_gap);
            assert!(groove.left_out.is_empty(), "{:?}", groove.left_out);
            for text in ["1.75", "3.60", "0.05", "0.25", "ring"] {
                assert!(groove.texts.iter().any(|placed| placed.text == text), "{text}");
            }
        }
    }

    #[test]
    fn on_paper_the_scale_is_of_the_series() {
        let groove = groove(&input(), Rect::new(0.0, 0.0, 170.0, 62.0), &Pens::PAPER);
        assert!(SCALES.contains(&groove.scale), "{}", groove.scale);
        let circle = groove.circle_scale;
        assert!([500.0, 200.0].iter().chain(&SCALES).any(|scale| (scale - circle).abs() < 1e-9), "{circle}");
    }

    #[test]
    fn what_nobody_measured_is_light_and_has_no_figure() {
        let bare = GrooveInput {
            bore_mm: 52.0,
            height: Measure::default(),
            thickness: Measure::default(),
            side: Measure::default(),
            back: Measure::default(),
        };
        let groove = groove(&bare, Rect::new(0.0, 0.0, 560.0, 190.0), &Pens::SCREEN);
        assert!(edges(&groove, &Pens::SCREEN).is_empty());
        assert!(groove.texts.iter().all(|placed| placed.text.chars().all(|c| !c.is_ascii_digit())));
        assert!(groove.list.shapes.iter().all(Shape::is_finite));
    }
}
