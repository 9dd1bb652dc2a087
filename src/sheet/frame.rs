//! Elements of every sheet: the frame, the marks for filing, the bar to check
//! the printer with, and the title block.

use kurbo::{Circle, Point, Rect, Shape as _};

use super::draft::{FRAME, NARROW, Type, count, line, list, outline, text};
use super::paper::Paper;
use crate::drawing::list::{Anchor, Dash, Ink, Shape};
use crate::drawing::page::{Block, Cell, CellKind};

/// Radius of a filing hole, mm.
const HOLE: f64 = 3.0;

/// Draws frame, centring marks (ISO 5457) and filing holes.
#[must_use]
pub(super) fn border(paper: Paper) -> Block {
    let frame = paper.frame();
    let (x, y) = (frame.center().x, frame.center().y);
    // Centring marks run 5 mm out of the frame and 3 mm into it; on the left
    // they stop short of the filing holes.
    let marks = [
        ((x, frame.y0 - 5.0), (x, frame.y0 + 3.0)),
        ((x, frame.y1 - 3.0), (x, frame.y1 + 5.0)),
        ((frame.x0 - 3.5, y), (frame.x0 + 3.0, y)),
        ((frame.x1 - 3.0, y), (frame.x1 + 5.0, y)),
    ];
    let holes = paper.holes().into_iter().map(|at| Shape::Stroke {
        path: Circle::new(at, HOLE).to_path(0.01),
        ink: Ink::Assumed,
        width: NARROW,
        dash: Dash::Ghost,
    });
    let marks = marks.map(|(from, to)| line(from, to, FRAME));
    Block::Ornament(list([outline(frame, FRAME)].into_iter().chain(marks).chain(holes)))
}

/// Height of the strip with the check bar, mm.
pub(super) const BAR_HEIGHT: f64 = 7.0;

/// Draws a bar of 50 mm (on Letter also one of 2 inches) that a rule is laid
/// on: no program can promise what a printer does. `at` is the left end of the
/// baseline.
#[must_use]
pub(super) fn check_bar(at: Point, paper: Paper) -> Vec<Block> {
    let font = Type::regular(2.1);
    let mut shapes = ticks(at, 50.0, &[(1.0, 1.2), (5.0, 2.0), (10.0, 3.0)]);
    let mut x = at.x + 50.0 + 3.0;
    let mut words = Vec::new();
    if paper == Paper::Letter {
        words.push(text((x, at.y), Anchor::Left, font, "50 mm"));
        x += 14.0;
        shapes.extend(ticks(Point::new(x, at.y), 50.8, &[(3.175, 1.2), (12.7, 2.0), (25.4, 3.0)]));
        words.push(text((x + 53.8, at.y), Anchor::Left, font, "2 in: lay a rule on them"));
    } else {
        words.push(text((x, at.y), Anchor::Left, font, "50 mm: lay a rule on it, printers shrink pages"));
    }
    vec![Block::Ornament(list(shapes)), Block::Paragraph(list(words))]
}

/// Draws a bar with ticks: for each step in mm the height of its ticks in mm. A
/// longer step draws over a shorter one.
fn ticks(at: Point, length: f64, steps: &[(f64, f64)]) -> Vec<Shape> {
    let mut shapes = vec![line((at.x, at.y), (at.x + length, at.y), NARROW)];
    for &(step, height) in steps {
        let mut i = 0;
        while count(i) * step <= length + 1e-6 {
            let x = at.x + count(i) * step;
            shapes.push(line((x, at.y), (x, at.y - height), NARROW));
            i += 1;
        }
    }
    shapes
}

/// A cell of the title block.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Field {
    /// The label.
    pub label: &'static str,
    /// The value; empty leaves room for the pen.
    pub value: String,
    /// Whether it is set heavy.
    pub strong: bool,
}

impl Field {
    /// Creates a plain field.
    #[must_use]
    pub(super) fn new(label: &'static str, value: impl Into<String>) -> Self {
        Self { label, value: value.into(), strong: false }
    }

    /// Creates a heavy field.
    #[must_use]
    pub(super) fn strong(label: &'static str, value: impl Into<String>) -> Self {
        Self { strong: true, ..Self::new(label, value) }
    }
}

/// A title block after ISO 7200, as wide as the frame: rows of four fields,
/// the first two twice as wide as the others.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct TitleBlockGrid {
    /// Rows from top to bottom.
    pub rows: Vec<[Field; 4]>,
}

/// Columns of the title block as parts of its width.
const COLUMNS: [f64; 5] = [0.0, 1.0 / 3.0, 2.0 / 3.0, 5.0 / 6.0, 1.0];
/// Free space left and right of a text in a field, mm.
const PAD: f64 = 1.8;
/// Lowest row of the title block, mm.
const MIN_ROW: f64 = 9.4;

impl TitleBlockGrid {
    /// Returns its height on this paper, mm: rows grow with their content.
    #[must_use]
    pub(super) fn height(&self, paper: Paper) -> f64 {
        self.rows.iter().map(|row| row_height(row, paper.frame().width())).sum()
    }

    /// Draws the block at the foot of the frame.
    #[must_use]
    pub(super) fn blocks(&self, paper: Paper) -> Vec<Block> {
        let frame = paper.frame();
        let mut top = frame.y1 - self.height(paper);
        let mut rules = vec![outline(Rect { y0: top, ..frame }, FRAME)];
        for share in &COLUMNS[1..4] {
            let x = frame.x0 + share * frame.width();
            rules.push(line((x, top), (x, frame.y1), NARROW));
        }
        let mut cells = Vec::new();
        for (i, row) in self.rows.iter().enumerate() {
            if i > 0 {
                rules.push(line((frame.x0, top), (frame.x1, top), NARROW));
            }
            for (field, span) in row.iter().zip(COLUMNS.windows(2)) {
                let x = frame.x0 + span[0] * frame.width() + PAD;
                let (font, leading, lines) = set(field, (span[1] - span[0]) * frame.width());
                let label = text((x, top + 3.0), Anchor::Left, Type::regular(1.8), field.label);
                let first = top + 3.4 + leading * 0.78;
                let values = lines
                    .into_iter()
                    .enumerate()
                    .map(|(n, says)| text((x, first + count(n) * leading), Anchor::Left, font, says));
                cells.push(vec![
                    Cell { kind: CellKind::RowHead, list: list([label]) },
                    Cell { kind: CellKind::Value, list: list(values) },
                ]);
            }
            top += row_height(row, frame.width());
        }
        vec![Block::Ornament(list(rules)), Block::Table(cells, "Title block".to_owned())]
    }
}

fn row_height(row: &[Field; 4], width: f64) -> f64 {
    row.iter().zip(COLUMNS.windows(2)).fold(MIN_ROW, |most, (field, span)| {
        let (_, leading, lines) = set(field, (span[1] - span[0]) * width);
        most.max(3.6 + count(lines.len()) * leading + 0.8)
    })
}

/// Sets a value in one line of 3 mm lettering, or in several of smaller
/// lettering; the whole value is kept.
fn set(field: &Field, width: f64) -> (Type, f64, Vec<String>) {
    let font = |mm| if field.strong { Type::bold(mm) } else { Type::regular(mm) };
    let room = width - 2.0 * PAD;
    let large = font(3.0);
    if large.width(&field.value) <= room {
        return (large, 5.0, vec![field.value.clone()]);
    }
    let medium = font(2.2);
    let lines = medium.wrap(&field.value, room);
    if lines.len() <= 3 {
        return (medium, 4.0, lines);
    }
    let small = font(1.8);
    (small, 3.0, small.wrap(&field.value, room))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::list::Shape;

    fn block(title: &str) -> TitleBlockGrid {
        let row = || ["Engine", "Title", "Date", "Sheet"].map(|label| Field::new(label, title));
        TitleBlockGrid { rows: vec![row(), row(), row()] }
    }

    #[test]
    fn the_title_block_grows_with_long_titles() {
        let short = block("short").height(Paper::A4);
        let long = block(
            "An engine with a name so long that no field of any title block would ever take it in one line",
        );
        assert!(long.height(Paper::A4) > short + 3.0);
        for paper in [Paper::A4, Paper::Letter] {
            let frame = paper.frame();
            for block in long.blocks(paper) {
                for shape in block.shapes() {
                    if let Shape::Text { at, size, bold, text, .. } = shape {
                        let end = at.x + crate::drawing::lettering::text_width(text, *size, *bold);
                        assert!(end < frame.x1 && at.y < frame.y1, "{text:?} at {at}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_bar_is_fifty_millimetres_long() {
        let blocks = check_bar(Point::new(26.0, 250.0), Paper::Letter);
        let Block::Ornament(list) = &blocks[0] else { panic!() };
        let lengths: Vec<f64> = list
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Stroke { path, .. } => Some(path.bounding_box().width()),
                _ => None,
            })
            .filter(|&w| w > 1.0)
            .collect();
        assert_eq!(lengths.len(), 2);
        assert!((lengths[0] - 50.0).abs() < 1e-9 && (lengths[1] - 50.8).abs() < 1e-9, "{lengths:?}");
    }
}
