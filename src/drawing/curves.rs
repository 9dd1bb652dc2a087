//! Charts on paper: a frame with scales on two sides, fine lines to read values
//! from, one or more lines, and marks across.

use super::lettering::text_width;
use super::list::{Anchor, Dash, DisplayList, Ink, Shape};
use super::pens::Pens;
use crate::engine::num;
use kurbo::{BezPath, Point, Rect, Shape as _};

/// One scale of a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// Its name, with its unit.
    pub title: String,
    /// The value at the low end.
    pub low: f64,
    /// The value at the high end, above the low one.
    pub high: f64,
    /// Distance from one figured line to the next.
    pub step: f64,
    /// Decimals of the figures.
    pub decimals: u8,
}

impl Scale {
    /// Creates a scale from 0 or the least value to above the greatest, in
    /// steps of 1, 2 or 5 with at most `most` of them.
    ///
    /// ```
    /// use crowndeck::drawing::curves::Scale;
    /// let scale = Scale::around("Volume, cc", [52.1, 480.0], 6);
    /// assert_eq!((scale.low, scale.high, scale.step), (0.0, 500.0, 100.0));
    /// ```
    #[must_use]
    pub fn around(title: impl Into<String>, values: impl IntoIterator<Item = f64>, most: u8) -> Self {
        let (mut low, mut high) = (0.0_f64, 0.0_f64);
        for value in values.into_iter().filter(|value| value.is_finite()) {
            low = low.min(value);
            high = high.max(value);
        }
        if high - low <= 0.0 {
            high = low + 1.0;
        }
        let (step, decimals) = step((high - low) / f64::from(most.max(1)));
        // The slack of a billionth keeps a value on a line from asking for
        // one more step.
        let down = (low / step + 1e-9).floor() * step;
        let up = (high / step - 1e-9).ceil() * step;
        Self { title: title.into(), low: down, high: up, step, decimals }
    }

    /// Returns the figured values.
    fn ticks(&self) -> impl Iterator<Item = f64> + '_ {
        let count = ((self.high - self.low) / self.step + 1e-9).floor();
        (0..=200_u32).take_while(move |&i| f64::from(i) <= count).map(|i| self.low + f64::from(i) * self.step)
    }

    fn written(&self, value: f64) -> String {
        let text = format!("{value:.*}", usize::from(self.decimals));
        let zero = text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.'));
        if zero { text.trim_start_matches('-').to_owned() } else { text.replace('-', "\u{2212}") }
    }
}

/// Returns the least of 1, 2, 5 times a power of ten that is not below `least`,
/// and the decimals it needs.
fn step(least: f64) -> (f64, u8) {
    for power in -6_i32..=9 {
        let ten = num::pow(10.0, f64::from(power));
        for digit in [1.0, 2.0, 5.0] {
            if digit * ten >= least * (1.0 - 1e-9) {
                return (digit * ten, u8::try_from(-power).unwrap_or(0));
            }
        }
    }
    (least, 0)
}

/// One line of a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartLine {
    /// Its points in the values of the scales, in order.
    pub points: Vec<Point>,
    /// Its dash pattern.
    pub dash: Dash,
}

/// A mark across the chart at a value of the lower scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The value.
    pub at: f64,
    /// The text.
    pub text: String,
}

/// A chart: curves over two scales, with marks.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// The lower scale.
    pub across: Scale,
    /// The scale at the left.
    pub up: Scale,
    /// The lines.
    pub lines: Vec<ChartLine>,
    /// The marks.
    pub marks: Vec<Mark>,
}

/// Draws a chart into an area.
#[must_use]
pub fn chart(chart: &Chart, area: Rect, pens: &Pens) -> DisplayList {
    let size = pens.caption.size;
    let widest =
        chart.up.ticks().map(|v| text_width(&chart.up.written(v), size, false)).fold(0.0_f64, f64::max);
    let plot = Rect::new(
        area.x0 + widest + 2.0 * pens.breath,
        // The title of the scale is above its figures.
        area.y0 + size * 1.7,
        // Half of the last figure is beyond the plot.
        area.x1 - text_width(&chart.across.written(chart.across.high), size, false) / 2.0,
        area.y1 - 2.6 * size - 3.0 * pens.breath,
    );
    let drawing = Drawing { chart, plot, pens };
    let mut list = DisplayList::default();
    drawing.grid(&mut list);
    drawing.figures(&mut list, area);
    drawing.lines(&mut list);
    drawing.marks(&mut list);
    drawing.stroke(&mut list, plot.to_path(0.1), pens.narrow, Dash::Solid, Ink::Edge);
    list
}

struct Drawing<'a> {
    chart: &'a Chart,
    plot: Rect,
    pens: &'a Pens,
}

impl Drawing<'_> {
    fn x(&self, value: f64) -> f64 {
        let scale = &self.chart.across;
        self.plot.x0 + (value - scale.low) / (scale.high - scale.low) * self.plot.width()
    }

    fn y(&self, value: f64) -> f64 {
        let scale = &self.chart.up;
        self.plot.y1 - (value - scale.low) / (scale.high - scale.low) * self.plot.height()
    }

    fn stroke(&self, list: &mut DisplayList, path: BezPath, width: f64, dash: Dash, ink: Ink) {
        list.shapes.push(Shape::Stroke { path, ink, width, dash });
    }

    fn write(&self, list: &mut DisplayList, at: (f64, f64), anchor: Anchor, bold: bool, says: &str) {
        list.shapes.push(Shape::Text {
            at: at.into(),
            anchor,
            turn_deg: 0.0,
            size: self.pens.caption.size,
            bold,
            ink: Ink::Edge,
            text: says.to_owned(),
        });
    }

    fn grid(&self, list: &mut DisplayList) {
        let mut path = BezPath::new();
        for value in self.chart.across.ticks() {
            path.move_to((self.x(value), self.plot.y0));
            path.line_to((self.x(value), self.plot.y1));
        }
        for value in self.chart.up.ticks() {
            path.move_to((self.plot.x0, self.y(value)));
            path.line_to((self.plot.x1, self.y(value)));
        }
        self.stroke(list, path, self.pens.narrow / 2.0, Dash::Solid, Ink::Assumed);
    }

    fn figures(&self, list: &mut DisplayList, area: Rect) {
        let (pens, size) = (self.pens, self.pens.caption.size);
        let capitals = pens.caption.capitals();
        for value in self.chart.across.ticks() {
            let at = (self.x(value), self.plot.y1 + 2.0 * pens.breath + capitals);
            self.write(list, at, Anchor::Middle, false, &self.chart.across.written(value));
        }
        for value in self.chart.up.ticks() {
            let at = (self.plot.x0 - pens.breath, self.y(value) + capitals / 2.0);
            self.write(list, at, Anchor::Right, false, &self.chart.up.written(value));
        }
        let under = self.plot.y1 + 3.0 * pens.breath + capitals + size * 1.1;
        self.write(list, (self.plot.center().x, under), Anchor::Middle, false, &self.chart.across.title);
        self.write(list, (area.x0, area.y0 + capitals), Anchor::Left, true, &self.chart.up.title);
    }

    fn lines(&self, list: &mut DisplayList) {
        for line in &self.chart.lines {
            let mut path = BezPath::new();
            for (i, point) in line.points.iter().filter(|p| p.is_finite()).enumerate() {
                let at = Point::new(self.x(point.x), self.y(point.y));
                if i == 0 { path.move_to(at) } else { path.line_to(at) }
            }
            self.stroke(list, path, self.pens.wide, line.dash, Ink::Edge);
        }
    }

    /// Draws chain lines across with their words next to them, where there is
    /// room.
    fn marks(&self, list: &mut DisplayList) {
        let (pens, size) = (self.pens, self.pens.caption.size);
        let points: Vec<Point> = self
            .chart
            .lines
            .iter()
            .flat_map(|l| &l.points)
            .map(|p| Point::new(self.x(p.x), self.y(p.y)))
            .collect();
        let mut taken: Vec<Rect> = Vec::new();
        for mark in &self.chart.marks {
            let x = self.x(mark.at);
            let mut path = BezPath::new();
            path.move_to((x, self.plot.y0));
            path.line_to((x, self.plot.y1));
            self.stroke(list, path, pens.narrow, Dash::Axis, Ink::Edge);
            let width = text_width(&mark.text, size, false);
            let right = x + pens.breath + width < self.plot.x1;
            let x = if right { x + pens.breath } else { x - pens.breath - width };
            let patch = |row: u32| {
                let y = self.plot.y0 + pens.breath + size * (0.9 + 1.3 * f64::from(row));
                Rect::new(x - 0.4, y - size * 0.8, x + width + 0.4, y + size * 0.3)
            };
            // The first row that no curve runs through.
            let is_free = |patch: &Rect| {
                let patch = patch.inflate(pens.wide, pens.wide);
                !points.iter().any(|&point| patch.contains(point))
                    && taken.iter().all(|other| patch.intersect(*other).is_zero_area())
                    && patch.y1 < self.plot.y1
            };
            let patch = (0..40).map(patch).find(is_free).unwrap_or_else(|| patch(0));
            taken.push(patch);
            let y = patch.y1 - size * 0.3;
            list.shapes.push(Shape::Fill { path: patch.to_path(0.1), ink: Ink::Sheet });
            self.write(list, (x, y), Anchor::Left, false, &mark.text);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_end_on_round_numbers_and_hold_all_values() {
        for (values, low, high, step, decimals) in [
            ([52.1, 480.0], 0.0, 500.0, 100.0, 0),
            ([0.0, 74.0], 0.0, 80.0, 20.0, 0),
            ([1.0, 9.14], 0.0, 10.0, 2.0, 0),
            ([-0.3, 0.52], -0.4, 0.6, 0.2, 1),
            ([0.0, 1.0e-3], 0.0, 0.001, 0.0002, 4),
        ] {
            let scale = Scale::around("", values, 5);
            assert!((scale.low - low).abs() < 1e-12 && (scale.high - high).abs() < 1e-12, "{scale:?}");
            assert!((scale.step - step).abs() < 1e-12 && scale.decimals == decimals, "{scale:?}");
            assert!(scale.ticks().count() <= 8);
        }
        let flat = Scale::around("", [f64::NAN, 0.0], 5);
        assert!(flat.high > flat.low);
    }

    #[test]
    fn a_line_ends_where_its_values_stand_and_nothing_leaves_the_area() {
        let line =
            ChartLine { points: vec![Point::new(-180.0, 0.0), Point::new(180.0, 80.0)], dash: Dash::Solid };
        let across = Scale { title: "Degrees".into(), low: -180.0, high: 180.0, step: 45.0, decimals: 0 };
        let up = Scale::around("Below the top, mm", [0.0, 80.0], 5);
        let marks = vec![Mark { at: 170.0, text: "intake closes".into() }];
        let of = Chart { across, up, lines: vec![line], marks };
        let area = Rect::new(10.0, 20.0, 160.0, 80.0);
        let list = chart(&of, area, &Pens::PAPER);
        let widest = list
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Stroke { path, width, .. } if *width == Pens::PAPER.wide => Some(path.bounding_box()),
                _ => None,
            })
            .next()
            .unwrap();
        let frame = list.shapes.iter().rev().find_map(|shape| match shape {
            Shape::Stroke { path, .. } => Some(path.bounding_box()),
            _ => None,
        });
        assert_eq!(Some(widest), frame, "from corner to corner");
        for shape in &list.shapes {
            if let Shape::Text { at, anchor, text, size, bold, .. } = shape {
                let width = text_width(text, *size, *bold);
                let left = match anchor {
                    Anchor::Left => at.x,
                    Anchor::Middle => at.x - width / 2.0,
                    Anchor::Right => at.x - width,
                };
                let inside = left >= area.x0 - 1e-9 && at.y <= area.y1 && at.y > area.y0;
                assert!(inside, "{text} at {at}");
            }
        }
    }
}
