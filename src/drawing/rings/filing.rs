//! The two ends of a ring in its bore, magnified: the present gap, how much is
//! taken off one end with each cut, where to stop and measure, and the
//! direction of the file.
//!
//! Along the bore's wall everything is to one scale; the curve of the wall
//! can't be seen at that scale. The height of the ends has no meaning.

use crate::drawing::clip::rings_of;
use crate::drawing::dim::{Dimension, Drafter, Rail};
use crate::drawing::hatch;
use crate::drawing::label::{Labels, Placed, Pose};
use crate::drawing::list::{Dash, DisplayList, Ink, Part, Shape};
use crate::drawing::pens::{Lining, Medium, Pens};
use kurbo::{BezPath, Line, Point, Rect, Shape as _, Vec2};

/// A gap at which to stop filing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stop {
    /// The gap, mm.
    pub mm: f64,
    /// Its text: "0.34 stop and measure".
    pub text: String,
}

/// The input of the picture.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct FilingInput {
    /// The present gap with its text.
    pub now: Stop,
    /// The stops in order; the last one is the wanted gap.
    pub stops: Vec<Stop>,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Filing {
    /// The drawing.
    pub list: DisplayList,
    /// Output units per mm.
    pub scale: f64,
    /// Height of the area that is used, from its top.
    pub height: f64,
    /// All texts with the outlines that no other text shares.
    pub texts: Vec<Placed>,
    /// Texts for which there was no room.
    pub left_out: Vec<String>,
}

/// Enlargements (ISO 5455, its series carried on) for paper.
const SCALES: [f64; 6] = [200.0, 100.0, 50.0, 20.0, 10.0, 5.0];
/// The part of the width that the wanted gap may take; words are next to it.
const SHARE: f64 = 0.36;

/// Draws the ends into an area; on paper to a standard enlargement.
#[must_use]
pub(crate) fn filing(input: &FilingInput, area: Rect, pens: &Pens) -> Filing {
    let drafter = Drafter { pens };
    let letters = pens.caption;
    let wanted = input.stops.last().map_or(input.now.mm, |stop| stop.mm).max(1e-6);
    let most = SHARE * area.width() / wanted;
    let scale = match pens.medium {
        Medium::Paper => SCALES.into_iter().find(|scale| *scale <= most).unwrap_or(most),
        Medium::Screen => most,
    };
    // The left end; what is read from it to the right.
    let left = area.x0 + 0.07 * area.width();
    let at = |mm: f64| left + mm * scale;
    let row = 1.28 * letters.size;
    let top = area.y0 + row;
    let bottom = top + 1.9 * letters.size;
    let mut list = DisplayList::default();
    let mut labels = Labels::within(area);

    let left_end = Rect::new(area.x0, top, left, bottom);
    let right_end = Rect::new(at(input.now.mm), top, area.x1, bottom);
    for end in [left_end, right_end] {
        list.shapes.push(Shape::Fill { path: end.to_path(pens.tolerance), ink: Ink::Part(Part::Ring) });
    }
    // What each cut takes, lined, every other one the other way.
    let mut from = input.now.mm;
    for (i, stop) in input.stops.iter().enumerate() {
        let cut = Rect::new(at(from), top, at(stop.mm), bottom);
        let path = cut.to_path(pens.tolerance);
        list.shapes.push(Shape::Fill { path: path.clone(), ink: Ink::Sheet });
        let angle_deg = if i % 2 == 0 { 45.0 } else { 135.0 };
        let lining = Lining { angle_deg, pitch: 0.55 * pens.lining(Part::Ring).pitch };
        let lines = hatch::hatch(&rings_of(&path, pens.tolerance), lining, cut.origin());
        drafter.stroke(&mut list, hatch::path_of(&lines), Ink::Accent, pens.narrow, Dash::Solid);
        drafter.line(&mut list, Point::new(cut.x1, top), Point::new(cut.x1, bottom), Ink::Accent);
        from = stop.mm;
    }
    for (end, near, far) in [(left_end, left, area.x0), (right_end, right_end.x0, area.x1)] {
        let edges = open(&[(far, end.y0), (near, end.y0), (near, end.y1), (far, end.y1)]);
        drafter.stroke(&mut list, edges, Ink::Edge, pens.wide, Dash::Solid);
    }

    // The file: in at the outer face, out at the inner one.
    let middle = at(input.now.mm / 2.0);
    let (start, tip) = (Point::new(middle, area.y0), Point::new(middle, bottom));
    labels.avoid(Line::new(start, tip));
    drafter.line(&mut list, start, tip, Ink::Accent);
    drafter.arrow(&mut list, tip, Vec2::new(0.0, 1.0), Ink::Accent);
    let beside = |y: f64| Pose::from(Point::new(at(wanted) + pens.breath, y));
    labels.place(
        "outside: the file goes in here",
        letters,
        Ink::Second,
        [beside(top - pens.breath - pens.wide)],
    );
    let inside = top + 0.5 * (bottom - top) + 0.5 * letters.capitals();
    labels.place_if_free(&enlarged(scale, pens.medium), letters, Ink::Second, [beside(inside)]);

    // One line under the other: where to stop.
    let mut y = bottom + 0.4 * row;
    for stop in std::iter::once(&input.now).chain(&input.stops) {
        y += row;
        let rail = Rail { through: Point::new(0.0, y), along: Vec2::new(1.0, 0.0) };
        let dim = Dimension {
            from: Point::new(left, bottom),
            to: Point::new(at(stop.mm), bottom),
            text: String::new(),
            ink: Ink::Second,
        };
        drafter.projection(&mut list, &mut labels, dim.to, rail, Ink::Second);
        drafter.between(&mut list, rail, &dim, (true, true));
        let words =
            Point::new(at(wanted) + 2.0 * pens.breath + pens.arrow_length, y + 0.4 * letters.capitals());
        labels.place(&stop.text, letters, Ink::Edge, [Pose::from(words)]);
    }
    let last = Rail { through: Point::new(0.0, y), along: Vec2::new(1.0, 0.0) };
    drafter.projection(&mut list, &mut labels, Point::new(left, bottom), last, Ink::Second);
    let height = y + pens.overshoot + pens.narrow - area.y0;
    let (texts, left_out) = labels.finish(&mut list);
    Filing { list, scale, height, texts, left_out }
}

/// Returns "100:1" on paper; on a screen nobody lays a rule on it.
fn enlarged(scale: f64, medium: Medium) -> String {
    match medium {
        Medium::Paper => format!("{scale:.0}:1, along the wall"),
        Medium::Screen => "magnified".to_owned(),
    }
}

fn open(corners: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (i, &corner) in corners.iter().enumerate() {
        if i == 0 { path.move_to(corner) } else { path.line_to(corner) }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    fn input() -> FilingInput {
        let stop = |mm: f64, words: &str| Stop { mm, text: format!("{mm:.2} {words}") };
        FilingInput {
            now: stop(0.30, "now"),
            stops: vec![
                stop(0.337, "stop and measure"),
                stop(0.362, "stop and measure"),
                stop(0.387, "wanted, never past"),
            ],
        }
    }

    /// Returns the ends of the drawn ring: upright wide lines.
    fn faces(filing: &Filing) -> Vec<Rect> {
        let wide = |shape: &Shape| match shape {
            Shape::Stroke { path, ink: Ink::Edge, .. } => Some(path.bounding_box()),
            _ => None,
        };
        filing.list.shapes.iter().filter_map(wide).collect()
    }

    #[test]
    fn the_gap_and_every_cut_are_to_scale() {
        for (pens, area) in [
            (Pens::PAPER, Rect::new(5.0, 5.0, 90.0, 60.0)),
            (Pens::SCREEN, Rect::new(0.0, 0.0, 310.0, 180.0)),
        ] {
            let filing = filing(&input(), area, &pens);
            let [left, right] = faces(&filing)[..] else { panic!("two ends") };
            assert!((right.x0 - left.x1 - 0.30 * filing.scale).abs() < 1e-9, "the gap as it is");
            let cuts: Vec<Rect> = filing
                .list
                .shapes
                .iter()
                .filter_map(|shape| match shape {
                    Shape::Fill { path, ink: Ink::Sheet } => Some(path.bounding_box()),
                    _ => None,
                })
                .take(3)
                .collect();
            assert!((cuts[0].width() - 0.037 * filing.scale).abs() < 1e-9, "the first cut");
            assert!(
                (cuts[2].x1 - left.x1 - 0.387 * filing.scale).abs() < 1e-9,
                "and never past what is wanted"
            );
            assert!(filing.left_out.is_empty(), "{:?}", filing.left_out);
            assert_eq!(filing.texts.iter().filter(|text| text.text.contains("stop and measure")).count(), 2);
            assert!(filing.height < area.height(), "{}", filing.height);
            assert!(filing.list.shapes.iter().all(Shape::is_finite));
        }
    }

    #[test]
    fn the_file_goes_in_at_the_outer_face() {
        let filing = filing(&input(), Rect::new(0.0, 0.0, 310.0, 180.0), &Pens::SCREEN);
        let [left, right] = faces(&filing)[..] else { panic!("two ends") };
        let arrow = filing.list.shapes.iter().find_map(|shape| match shape {
            Shape::Fill { path, ink: Ink::Accent } => Some(path.bounding_box()),
            _ => None,
        });
        let arrow = arrow.unwrap();
        assert!(arrow.x0 > left.x1 && arrow.x1 < right.x0, "between the ends");
        assert!((arrow.y1 - left.y1).abs() < 1e-9, "its tip at the inner face, below");
    }

    #[test]
    fn on_paper_the_enlargement_is_of_the_series() {
        let filing = filing(&input(), Rect::new(0.0, 0.0, 85.0, 60.0), &Pens::PAPER);
        assert!(SCALES.contains(&filing.scale), "{}", filing.scale);
        assert!(
            filing.texts.iter().any(|text| text.text == format!("{:.0}:1, along the wall", filing.scale))
        );
    }
}
