//! Placing texts so that none lies over another.
//!
//! Whoever wants a text on the drawing offers the places where it may stand,
//! best first. The first free one is taken.

use super::clip::Convex;
use super::lettering::{CAPITAL_HEIGHT, DESCENT};
use super::list::{Anchor, DisplayList, Ink, Shape};
use super::pens::Letters;
use kurbo::{Line, Point, Rect};

/// How far letters such as b and d reach above the baseline, as a part of the
/// font size.
const ASCENT: f64 = CAPITAL_HEIGHT + 0.05;

/// Space between words of a row, as a part of the font size.
const WORD_SPACE: f64 = 0.4;

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
    outline_of(letters.width(text), letters, pose)
}

fn outline_of(width: f64, letters: Letters, pose: Pose) -> Convex {
    let left = match pose.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::Right => -width,
    };
    let (down, height) = (DESCENT * letters.size, (ASCENT + DESCENT) * letters.size);
    Convex::turned_rect(pose.at, pose.turn_deg, left, down, width, height)
}

/// A word of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Word<'a> {
    /// What it says.
    pub text: &'a str,
    /// Its lettering.
    pub letters: Letters,
    /// Its colour role.
    pub ink: Ink,
}

/// A row of words with its measures, taken once for all places that are
/// tried.
struct Row<'a> {
    words: &'a [Word<'a>],
    /// How far each word is in from the left end, and how wide it is.
    spans: Vec<(f64, f64)>,
    width: f64,
}

impl<'a> Row<'a> {
    fn new(words: &'a [Word<'a>]) -> Self {
        let mut width = 0.0;
        let mut spans = Vec::with_capacity(words.len());
        for (i, word) in words.iter().enumerate() {
            if i > 0 {
                width += WORD_SPACE * word.letters.size;
            }
            let own = word.letters.width(word.text);
            spans.push((width, own));
            width += own;
        }
        Self { words, spans, width }
    }

    /// Each word with its own place and outline.
    fn at(&self, pose: Pose) -> impl Iterator<Item = (&Word<'a>, Pose, Convex)> {
        let left = match pose.anchor {
            Anchor::Left => 0.0,
            Anchor::Middle => -self.width / 2.0,
            Anchor::Right => -self.width,
        };
        let (run, _) = super::dim::writing(pose.turn_deg);
        let single = self.words.len() == 1;
        self.words.iter().zip(&self.spans).map(move |(word, &(start, width))| {
            let at = pose.at + run * (left + start);
            // A single word keeps its anchor, so that an output whose letters
            // differ a little still centres it.
            let own = if single { pose } else { Pose { at, anchor: Anchor::Left, ..pose } };
            (word, own, outline_of(width, word.letters, own))
        })
    }
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
    /// Texts stay inside.
    within: Option<Rect>,
    placed: Vec<Placed>,
    shapes: Vec<Shape>,
    taken: Vec<Convex>,
    lines: Vec<Line>,
    left_out: Vec<String>,
}

impl Labels {
    /// Labels that stay inside a frame.
    #[must_use]
    pub fn within(frame: Rect) -> Self {
        Self { within: Some(frame), ..Self::default() }
    }

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
        self.place_row(&[Word { text, letters, ink }], poses)
    }

    /// Like [`Self::place`], for words of different lettering in one line.
    pub fn place_row(&mut self, row: &[Word<'_>], poses: impl IntoIterator<Item = Pose>) -> Option<Pose> {
        let pose = self.find(row, poses, true);
        match pose {
            Some(pose) => self.put(row, pose),
            None => self.left_out.extend(row.iter().map(|word| word.text.to_owned())),
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
        let row = [Word { text, letters, ink }];
        let pose = self.find(&row, poses, true)?;
        self.put(&row, pose);
        Some(pose)
    }

    /// Like [`Self::place_if_free`], but rather missing than across a line.
    pub fn place_off_lines(
        &mut self,
        text: &str,
        letters: Letters,
        ink: Ink,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let row = [Word { text, letters, ink }];
        let pose = self.find(&row, poses, false)?;
        self.put(&row, pose);
        Some(pose)
    }

    fn find(
        &self,
        row: &[Word<'_>],
        poses: impl IntoIterator<Item = Pose>,
        across_lines: bool,
    ) -> Option<Pose> {
        let row = Row::new(row);
        let mut second_best = None;
        for pose in poses {
            let outlines: Vec<Convex> = row.at(pose).map(|(.., outline)| outline).collect();
            let inside = |p: &Point| match self.within {
                Some(frame) => (frame.x0..=frame.x1).contains(&p.x) && (frame.y0..=frame.y1).contains(&p.y),
                None => p.is_finite(),
            };
            if !outlines.iter().flat_map(|o| o.corners()).all(inside)
                || outlines.iter().any(|outline| self.is_taken(outline))
            {
                continue;
            }
            let crossed = |outline: &Convex| self.lines.iter().any(|&line| outline.inside(line).is_some());
            if !outlines.iter().any(crossed) {
                return Some(pose);
            }
            if across_lines {
                second_best.get_or_insert(pose);
            }
        }
        second_best
    }

    fn is_taken(&self, outline: &Convex) -> bool {
        let texts = self.placed.iter().map(|placed| &placed.outline);
        texts.chain(&self.taken).any(|other| other.overlaps(outline))
    }

    fn put(&mut self, row: &[Word<'_>], pose: Pose) {
        for (word, pose, outline) in Row::new(row).at(pose) {
            self.placed.push(Placed { text: word.text.to_owned(), outline });
            self.shapes.push(Shape::Text {
                at: pose.at,
                anchor: pose.anchor,
                turn_deg: pose.turn_deg,
                size: word.letters.size,
                bold: word.letters.bold,
                ink: word.ink,
                text: word.text.to_owned(),
            });
        }
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

    /// Forgets texts that found no place after the first `kept`: the caller
    /// has tried and will try elsewhere.
    pub(super) fn forgive(&mut self, kept: usize) {
        self.left_out.truncate(kept);
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
    fn a_row_of_words_stands_together() {
        let bold = Letters { bold: true, ..LETTERS };
        let row = [
            Word { text: "shim", letters: LETTERS, ink: Ink::Second },
            Word { text: "0.25", letters: bold, ink: Ink::Edge },
        ];
        let mut labels = Labels::default();
        labels.place_row(&row, [Pose::until(Point::new(100.0, 50.0))]);
        let [name, value] = labels.placed() else { panic!("two words") };
        let (name, value) = (name.outline.bounds(), value.outline.bounds());
        assert!((value.x1 - 100.0).abs() < 1e-9 && name.x1 < value.x0 && value.x0 - name.x1 < 6.0);
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
