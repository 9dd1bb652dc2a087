//! Limits and cautions on a page: two columns of paragraphs, each with a mark
//! of its weight.

use kurbo::{BezPath, Point, Vec2};

use super::draft::{Style, WIDE, count, line, list, text};
use crate::drawing::list::{Anchor, Dash, Ink, Shape};
use crate::drawing::page::Block;
use crate::report::section::{Note, Weight};

/// Free space between the two columns, mm.
const GUTTER: f64 = 6.0;
/// Indent of a paragraph after its mark, mm.
pub(super) const INDENT: f64 = 3.6;
/// Line width of the marks, mm.
const PEN: f64 = 0.35;

/// A caution as it is set.
struct Set {
    weight: Weight,
    lines: Vec<String>,
}

fn lines(set: &[Set]) -> usize {
    set.iter().map(|caution| caution.lines.len()).sum()
}

/// Sets the cautions in two columns, as even as whole paragraphs allow.
fn columns(cautions: &[Note], width: f64, style: &Style) -> [Vec<Set>; 2] {
    let room = (width - GUTTER) / 2.0 - INDENT;
    let mut left: Vec<Set> = cautions
        .iter()
        .map(|c| Set { weight: c.weight, lines: font(c.weight, style).wrap(&c.text, room) })
        .collect();
    let taller = |&k: &usize| left.split_at_checked(k).map_or(usize::MAX, |(a, b)| lines(a).max(lines(b)));
    let cut = (0..=left.len()).rev().min_by_key(taller).unwrap_or(0);
    let right = left.split_off(cut);
    [left, right]
}

fn font(weight: Weight, style: &Style) -> super::draft::Type {
    if weight == Weight::Broken { style.strong } else { style.body }
}

/// Returns their height with heading and the space after them, mm.
#[must_use]
pub(super) fn height(cautions: &[Note], width: f64, style: &Style) -> f64 {
    if cautions.is_empty() {
        return 0.0;
    }
    let [left, right] = columns(cautions, width, style);
    style.head + 1.0 + count(lines(&left).max(lines(&right))) * style.leading + style.after
}

/// Draws the cautions with their heading, the top left corner at `at`, `width`
/// mm wide.
#[must_use]
pub(super) fn blocks(cautions: &[Note], at: Point, width: f64, style: &Style) -> Vec<Block> {
    if cautions.is_empty() {
        return Vec::new();
    }
    let rule = at.y + style.head;
    let heading = text((at.x, rule - 2.2), Anchor::Left, style.heading, "Limits and cautions");
    let mut blocks = vec![
        Block::Heading(2, list([heading])),
        Block::Ornament(list([line((at.x, rule), (at.x + width, rule), WIDE)])),
    ];
    blocks.extend(side_by_side(cautions, Point::new(at.x, rule + 1.0), width, style).0);
    blocks
}

/// Draws the cautions in two columns without a heading, the top left corner at
/// `at`, and returns their height, mm.
pub(super) fn side_by_side(cautions: &[Note], at: Point, width: f64, style: &Style) -> (Vec<Block>, f64) {
    let mut blocks = Vec::new();
    let mut height: f64 = 0.0;
    for (i, column) in columns(cautions, width, style).into_iter().enumerate() {
        let x = at.x + count(i) * (width + GUTTER) / 2.0;
        height = height.max(count(lines(&column)) * style.leading);
        let mut y = at.y + style.leading * 0.75;
        for Set { weight, lines } in column {
            blocks.push(Block::Ornament(list([mark(weight, Point::new(x + 1.2, y - 0.95))])));
            let lines = lines.into_iter().map(|says| {
                let shape = text((x + INDENT, y), Anchor::Left, font(weight, style), says);
                y += style.leading;
                shape
            });
            blocks.push(Block::Paragraph(list(lines.collect::<Vec<_>>())));
        }
    }
    (blocks, height)
}

/// Returns the mark of a weight: a filled diamond for a broken limit, a hollow
/// triangle for a near one, a short dash for anything else.
pub(super) fn mark(weight: Weight, at: Point) -> Shape {
    let corners: &[(f64, f64)] = match weight {
        Weight::Broken => &[(0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)],
        Weight::Close => &[(0.0, -1.0), (1.1, 0.9), (-1.1, 0.9)],
        Weight::Standing => return line((at.x - 0.9, at.y), (at.x + 0.9, at.y), PEN),
    };
    let mut path = BezPath::new();
    for (i, &offset) in corners.iter().enumerate() {
        let p = at + Vec2::from(offset);
        if i == 0 { path.move_to(p) } else { path.line_to(p) }
    }
    path.close_path();
    if weight == Weight::Broken {
        Shape::Fill { path, ink: Ink::Edge }
    } else {
        Shape::Stroke { path, ink: Ink::Edge, width: PEN, dash: Dash::Solid }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(lines: &[usize]) -> [usize; 2] {
        let style = Style::all()[2];
        let cautions: Vec<Note> = lines
            .iter()
            .map(|&n| Note { weight: Weight::Standing, text: vec!["measured_again"; n].join(" ") })
            .collect();
        // Wide enough for one word a line.
        let width = 2.0 * (style.body.width("measured_again") + INDENT + 1.0) + GUTTER;
        columns(&cautions, width, &style).map(|column| super::lines(&column))
    }

    #[test]
    fn columns_are_even_and_keep_paragraphs_whole() {
        assert_eq!(of(&[1, 2, 2, 2, 2, 3, 2, 2, 2, 2]), [9, 11]);
        assert_eq!(of(&[3]), [3, 0]);
        assert_eq!(of(&[2, 2]), [2, 2]);
        assert_eq!(of(&[]), [0, 0]);
    }
}
