//! Placing texts so that none lies over another.
//!
//! Whoever wants a text on the drawing offers the places where it may stand,
//! best first. The first free one is taken.

use super::clip::Convex;
use super::lettering::{CAPITAL_HEIGHT, DESCENT};
use super::list::{Anchor, DisplayList, Ink, Shape};
use super::pens::Letters;
use kurbo::{Line, Point};

/// How far letters such as b and d reach above the baseline, as a part of the
/// font size.
const ASCENT: f64 = CAPITAL_HEIGHT + 0.05;

/// Where a text stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// The anchor on the baseline.
    pub at: Point,
    /// Which end of the text the anchor is.
    pub anchor: Anchor,
    /// Turned counter-clockwise as seen, degrees.
    pub turn_deg: f64,
}

impl Pose {
    /// Upright, its middle at `at`.
    #[must_use]
    pub fn middle(at: Point) -> Self {
        Self { at, anchor: Anchor::Middle, turn_deg: 0.0 }
    }

    /// Upright, beginning at `at`.
    #[must_use]
    pub fn from(at: Point) -> Self {
        Self { at, anchor: Anchor::Left, turn_deg: 0.0 }
    }

    /// Upright, ending at `at`.
    #[must_use]
    pub fn until(at: Point) -> Self {
        Self { at, anchor: Anchor::Right, turn_deg: 0.0 }
    }
}

/// The outline of a text: from under its descenders to over its ascenders.
#[must_use]
pub fn outline(text: &str, letters: Letters, pose: Pose) -> Convex {
    let width = letters.width(text);
    let left = match pose.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::Right => -width,
    };
    let (down, height) = (DESCENT * letters.size, (ASCENT + DESCENT) * letters.size);
    Convex::turned_rect(pose.at, pose.turn_deg, left, down, width, height)
}

/// A text that has found its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// What it says.
    pub text: String,
    /// The outline that no other text shares.
    pub outline: Convex,
}

/// What lies on the drawing already, and the texts placed so far.
#[derive(Clone, Debug, Default)]
pub struct Labels {
    placed: Vec<Placed>,
    shapes: Vec<Shape>,
    taken: Vec<Convex>,
    lines: Vec<Line>,
    left_out: Vec<String>,
}

impl Labels {
    /// No text may stand here.
    pub fn keep_clear(&mut self, outline: Convex) {
        self.taken.push(outline);
    }

    /// Texts avoid this line where they have another place.
    pub fn avoid(&mut self, line: Line) {
        self.lines.push(line);
    }

    /// Places a text at the first of `poses` that is free of other texts and
    /// of lines, else at the first that is free of other texts. Returns where,
    /// or nothing if there is no free place; the text is then listed in
    /// [`Self::left_out`].
    pub fn place(
        &mut self,
        text: &str,
        letters: Letters,
        ink: Ink,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let pose = self.find(text, letters, poses);
        match pose {
            Some(pose) => self.put(text, letters, ink, pose),
            None => self.left_out.push(text.to_owned()),
        }
        pose
    }

    /// Like [`Self::place`], for a text that may be missing where there is no
    /// room for it.
    pub fn place_if_free(
        &mut self,
        text: &str,
        letters: Letters,
        ink: Ink,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let pose = self.find(text, letters, poses)?;
        self.put(text, letters, ink, pose);
        Some(pose)
    }

    fn find(&self, text: &str, letters: Letters, poses: impl IntoIterator<Item = Pose>) -> Option<Pose> {
        let mut second_best = None;
        for pose in poses {
            let outline = outline(text, letters, pose);
            let finite = outline.corners().iter().all(|p| p.is_finite());
            if !finite || self.is_taken(&outline) {
                continue;
            }
            if self.lines.iter().all(|&line| outline.inside(line).is_none()) {
                return Some(pose);
            }
            second_best.get_or_insert(pose);
        }
        second_best
    }

    fn is_taken(&self, outline: &Convex) -> bool {
        let texts = self.placed.iter().map(|placed| &placed.outline);
        texts.chain(&self.taken).any(|other| other.overlaps(outline))
    }

    fn put(&mut self, text: &str, letters: Letters, ink: Ink, pose: Pose) {
        self.placed.push(Placed { text: text.to_owned(), outline: outline(text, letters, pose) });
        self.shapes.push(Shape::Text {
            at: pose.at,
            anchor: pose.anchor,
            turn_deg: pose.turn_deg,
            size: letters.size,
            bold: letters.bold,
            ink,
            text: text.to_owned(),
        });
    }

    /// The texts placed so far.
    #[must_use]
    pub fn placed(&self) -> &[Placed] {
        &self.placed
    }

    /// Texts that found no free place.
    #[must_use]
    pub fn left_out(&self) -> &[String] {
        &self.left_out
    }

    /// Writes the texts into the list, over everything that is there, and
    /// returns the outlines.
    pub fn finish(self, list: &mut DisplayList) -> (Vec<Placed>, Vec<String>) {
        list.shapes.extend(self.shapes);
        (self.placed, self.left_out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    const LETTERS: Letters = Letters { size: 13.0, bold: false };

    fn row() -> impl Iterator<Item = Pose> {
        (0..20).map(|i| Pose::middle(Point::new(100.0 + 10.0 * f64::from(i), 50.0)))
    }

    #[test]
    fn a_second_text_moves_beside_the_first() {
        let mut labels = Labels::default();
        let first = labels.place("34.50", LETTERS, Ink::Edge, row());
        let second = labels.place("130.00", LETTERS, Ink::Edge, row());
        assert_eq!(first.map(|p| p.at.x), Some(100.0));
        assert!(second.is_some_and(|p| p.at.x > 120.0), "{second:?}");
        let [a, b] = labels.placed() else { panic!("two texts") };
        assert!(!a.outline.overlaps(&b.outline));
    }

    #[test]
    fn lines_are_avoided_but_do_not_silence_a_text() {
        let mut labels = Labels::default();
        labels.avoid(Line::new((0.0, 48.0), (140.0, 48.0)));
        let beside = labels.place("1.10", LETTERS, Ink::Edge, row());
        assert!(beside.is_some_and(|p| p.at.x > 140.0), "{beside:?}");
        labels.avoid(Line::new((0.0, 48.0), (1000.0, 48.0)));
        assert!(labels.place("0.85", LETTERS, Ink::Edge, row()).is_some());
        assert!(labels.left_out().is_empty());
    }

    #[test]
    fn what_finds_no_place_is_named() {
        let mut labels = Labels::default();
        labels.keep_clear(Convex::rect(Rect::new(0.0, 0.0, 1000.0, 1000.0)));
        assert_eq!(labels.place("97.85", LETTERS, Ink::Edge, row()), None);
        assert_eq!(labels.place_if_free("head", LETTERS, Ink::Edge, row()), None);
        assert_eq!(labels.left_out(), ["97.85"]);
    }

    #[test]
    fn an_outline_holds_its_text_whichever_way_it_reads() {
        let width = LETTERS.width("Ø86.01");
        for (turn_deg, w, h) in
            [(0.0, width, 13.0 * (ASCENT + DESCENT)), (90.0, 13.0 * (ASCENT + DESCENT), width)]
        {
            let pose = Pose { at: Point::new(50.0, 50.0), anchor: Anchor::Middle, turn_deg };
            let r = outline("Ø86.01", LETTERS, pose).bounds();
            assert!((r.width() - w).abs() < 1e-9 && (r.height() - h).abs() < 1e-9, "{r:?}");
        }
        // Read from the right, the text lies left of its baseline.
        let pose = Pose { at: Point::new(50.0, 50.0), anchor: Anchor::Left, turn_deg: 90.0 };
        let r = outline("1", LETTERS, pose).bounds();
        assert!(r.x0 < 45.0 && r.y1 < 50.0 + 1e-9, "{r:?}");
    }
}
