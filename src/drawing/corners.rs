//! The corners of the sheet: the name of the section, a bar in the scale of the
//! drawing, and the meaning of heavy and light lines.

use super::clip::Convex;
use super::dim::{Drafter, line_path};
use super::input::SectionInput;
use super::label::{Labels, Pose, Word};
use super::layout::Frame;
use super::list::{Dash, DisplayList, Ink, Shape};
use super::paint::Scene;
use super::parts::{LineKind, Moves};
use super::view::View;
use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};

/// Writes into the corners of a frame.
pub(super) struct Corners<'a> {
    pub scene: &'a Scene<'a>,
    pub frame: &'a Frame,
    pub main: View,
    /// The space of the circles.
    pub taken: Vec<Rect>,
}

impl Corners<'_> {
    /// Writes the name of the section at the top left; its meaning only where
    /// there is room.
    pub(super) fn name(&self, labels: &mut Labels) {
        let pens = self.scene.pens;
        let area = self.frame.area;
        let at = Point::new(area.x0 + pens.margin, area.y0 + pens.letter.size + 2.0 * pens.breath);
        let row = [
            Word { text: "A–A", letters: pens.letter, ink: Ink::Edge },
            Word { text: "plane of the crank throw", letters: pens.caption, ink: Ink::Second },
        ];
        let before = labels.left_out().len();
        if labels.place_row(&row, [Pose::from(at)]).is_none() {
            labels.forgive(before);
            labels.place_row(&row[..1], [Pose::from(at)]);
        }
    }

    /// Draws a bar of a round length in a corner that is free, and next to it
    /// the meaning of the lines.
    pub(super) fn bar(&self, labels: &mut Labels, list: &mut DisplayList) {
        let (pens, area) = (self.scene.pens, self.frame.area);
        let longest = 0.18 * area.width() / self.main.scale();
        let Some((length_mm, name)) = round_length(longest, &self.scene.input) else { return };
        let length = length_mm * self.main.scale();
        let height = pens.margin * 0.5;
        let inset = pens.margin + pens.caption.width("0") / 2.0;
        let bottom = area.y1 - pens.margin;
        let left = area.x0 + inset;
        let right = area.x1 - inset - length - pens.caption.width(&name) / 2.0;
        let above = pens.caption.size + pens.breath;
        let corners = [(left, bottom), (right, bottom), (right, area.y0 + pens.margin + above + height)];
        let mut places = corners.map(|(x, y)| Rect::new(x, y - height, x + length, y)).into_iter();
        let Some(rect) = places.find(|r| self.is_free(Rect { y0: r.y0 - above, ..*r })) else { return };
        let fifth = length / 5.0;
        let mut path = BezPath::new();
        for i in [0.0, 2.0, 4.0] {
            let x = rect.x0 + i * fifth;
            path.extend(Rect::new(x, rect.y0, x + fifth, rect.y1).to_path(0.1).elements().iter().copied());
        }
        list.shapes.push(Shape::Fill { path, ink: Ink::Second });
        Drafter { pens }.stroke(list, rect.to_path(0.1), Ink::Second, pens.narrow, Dash::Solid);
        let base = rect.y0 - pens.breath;
        let letters = pens.caption;
        labels.place("0", letters, Ink::Third, [Pose::middle(Point::new(rect.x0, base))]);
        labels.place(&name, letters, Ink::Third, [Pose::middle(Point::new(rect.x1, base))]);
        labels.keep_clear(Convex::rect(rect));
    }

    /// Draws the legend of measured and unmeasured lines where everything else
    /// leaves room at every crank angle: as low as it can, and to the left.
    pub(super) fn legend(&self, labels: &mut Labels, list: &mut DisplayList) {
        let pens = self.scene.pens;
        let letters = pens.caption;
        let sample = 1.6 * letters.size;
        let entries = [("measured", Ink::Edge, pens.wide), ("assumed", Ink::Assumed, pens.narrow)];
        let one = |word: &str| sample + pens.breath + letters.width(word);
        let wide: f64 = entries.iter().map(|(word, ..)| one(word)).sum::<f64>() + pens.margin;
        let area = self.frame.area.inset(-pens.margin);
        let still = self.still();
        let fits = |&(x, base): &(f64, f64)| {
            let room = Rect::new(x, base - letters.size, x + wide, base + 0.3 * letters.size);
            let around = room.inflate(2.0 * pens.margin, pens.breath);
            // The cheapest question first: this is asked for many places.
            self.is_free(room) && self.is_empty(room, &still) && labels.leaves_free(around)
        };
        let row = |base: f64| (0..).map(move |i| (area.x0 + f64::from(i) * 2.0 * pens.margin, base));
        let rows = (0..).map(|i| area.y1 - 0.5 * f64::from(i) * letters.size);
        let rows = rows.take_while(|&base| base > area.y0 + letters.size);
        let mut places = rows.flat_map(|base| row(base).take_while(|&(x, _)| x + wide < area.x1));
        let Some((mut x, base)) = places.find(fits) else { return };
        for (word, ink, width) in entries {
            let y = base - letters.capitals() / 2.0;
            let line = line_path(Point::new(x, y), Point::new(x + sample, y));
            Drafter { pens }.stroke(list, line, ink, width, Dash::Solid);
            labels.place(word, letters, Ink::Third, [Pose::from(Point::new(x + sample + pens.breath, base))]);
            x += one(word) + pens.margin;
        }
    }

    /// Returns whether nothing else on the sheet lies in an area.
    fn is_free(&self, place: Rect) -> bool {
        self.frame.keep_clear.iter().chain(&self.taken).all(|k| k.intersect(place).area() == 0.0)
    }

    /// Returns the boxes of the parts that don't move, on the output.
    fn still(&self) -> Vec<Rect> {
        let map = self.main.out_from_model_affine();
        let fixed = self.scene.parts.pieces.iter().filter(|piece| piece.moves == Moves::Fixed);
        let axes = self.scene.parts.lines.iter().filter(|line| line.kind == LineKind::BoreAxis);
        let boxes = fixed.map(|piece| &piece.outline).chain(axes.map(|line| &line.path));
        let breath = self.scene.pens.breath;
        boxes.map(|path| (map * path).bounding_box().inflate(breath, breath)).collect()
    }

    /// Returns whether the drawing leaves an area empty at every crank angle.
    fn is_empty(&self, place: Rect, still: &[Rect]) -> bool {
        let swing = -self.scene.parts.datums.lowest_y * self.main.scale();
        let centre = self.main.out_from_model(Point::ZERO);
        let near = Vec2::new(
            centre.x.clamp(place.x0, place.x1) - centre.x,
            centre.y.clamp(place.y0, place.y1) - centre.y,
        );
        near.hypot() > swing && still.iter().all(|b| !b.overlaps(place))
    }
}

/// Returns the largest round length up to `longest` mm in the unit of the
/// drawing, and its name.
fn round_length(longest: f64, input: &SectionInput<'_>) -> Option<(f64, String)> {
    use crate::quantity::{LengthUnit, Unit};
    let unit = match input.units.length {
        LengthUnit::Mm => Unit::Millimetre,
        _ => Unit::Inch,
    };
    let mm = unit.to_base(1.0);
    let decade = [0.001, 0.01, 0.1, 1.0, 10.0, 100.0, 1000.0, 10_000.0, 100_000.0];
    let lengths = decade.iter().flat_map(|d| [1.0, 2.0, 5.0].map(|s| s * d));
    let best = lengths.filter(|n| n * mm <= longest).fold(0.0, f64::max);
    (best > 0.0).then(|| {
        let number = format!("{best:.3}");
        let number = number.trim_end_matches('0').trim_end_matches('.');
        (best * mm, format!("{number} {}", unit.symbol()))
    })
}
