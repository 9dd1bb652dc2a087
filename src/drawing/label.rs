//! Placement of texts so that none lies over another.
//!
//! A caller that wants a text on the drawing offers possible positions, best
//! first. The first free one is taken.

use super::clip::Convex;
use super::lettering::{CAPITAL_HEIGHT, DESCENT};
use super::list::{Anchor, DisplayList, Ink, Shape};
use super::pens::Letters;
use kurbo::{BezPath, Circle, Line, ParamCurve as _, Point, Rect};

/// Height of letters such as b and d above the baseline, as a part of the font
/// size.
const ASCENT: f64 = CAPITAL_HEIGHT + 0.05;

/// Space between words of a row, as a part of the font size.
const WORD_SPACE: f64 = 0.4;

/// Free space before and after a text, as a part of its font size: less, and
/// two values read as one.
const ASIDE: f64 = 0.25;

/// Free space between a text and a ring, as a part of its font size.
const OFF_RING: f64 = 0.12;

/// The position of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// The anchor on the baseline.
    pub at: Point,
    /// The position of the text on the anchor.
    pub anchor: Anchor,
    /// Rotation, counter-clockwise as seen, degrees.
    pub turn_deg: f64,
}

impl Pose {
    /// Returns an upright pose with its middle at `at`.
    #[must_use]
    pub fn middle(at: Point) -> Self {
        Self { at, anchor: Anchor::Middle, turn_deg: 0.0 }
    }

    /// Returns an upright pose that begins at `at`.
    #[must_use]
    pub fn from(at: Point) -> Self {
        Self { at, anchor: Anchor::Left, turn_deg: 0.0 }
    }

    /// Returns an upright pose that ends at `at`.
    #[must_use]
    pub fn until(at: Point) -> Self {
        Self { at, anchor: Anchor::Right, turn_deg: 0.0 }
    }
}

/// Returns the outline of a text: from under its descenders to over its
/// ascenders.
#[must_use]
pub fn outline(text: &str, letters: Letters, pose: Pose) -> Convex {
    outline_of(letters.width(text), letters, pose)
}

fn outline_of(width: f64, letters: Letters, pose: Pose) -> Convex {
    roomy(width, letters, pose, 0.0)
}

/// Returns the outline with `aside` more room before and after the text.
fn roomy(width: f64, letters: Letters, pose: Pose, aside: f64) -> Convex {
    let left = match pose.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::Right => -width,
    };
    let (down, height) = (DESCENT * letters.size, (ASCENT + DESCENT) * letters.size);
    Convex::turned_rect(pose.at, pose.turn_deg, left - aside, down, width + 2.0 * aside, height)
}

/// A word of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Word<'a> {
    /// The text.
    pub text: &'a str,
    /// Its lettering.
    pub letters: Letters,
    /// Its colour role.
    pub ink: Ink,
}

/// A row of words with its measures, taken once for all positions that are
/// tried.
struct Row<'a> {
    words: &'a [Word<'a>],
    /// Distance of each word from the left end, and its width.
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

    /// Returns each word with its own position and outline.
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

/// A text with its position.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The text.
    pub text: String,
    /// The outline that no other text shares.
    pub outline: Convex,
}

/// Obstacles on the drawing, and the texts placed so far.
#[derive(Clone, Debug, Default)]
pub struct Labels {
    /// The frame that texts stay inside.
    within: Option<Rect>,
    placed: Vec<Placed>,
    shapes: Vec<Shape>,
    taken: Vec<Convex>,
    rings: Vec<Circle>,
    lines: Vec<Line>,
    left_out: Vec<String>,
}

/// A rule for choosing a position.
#[derive(Clone, Copy, Debug, Default)]
struct Rule {
    /// Whether the text is rather left out than placed across a line.
    off_lines: bool,
    /// The point that the text refers to: a fine line from there to the text
    /// crosses no other text.
    tied_to: Option<Point>,
}

impl Labels {
    /// Creates labels that stay inside a frame.
    #[must_use]
    pub fn within(frame: Rect) -> Self {
        Self { within: Some(frame), ..Self::default() }
    }

    /// Keeps texts out of an area.
    pub fn keep_clear(&mut self, outline: Convex) {
        self.taken.push(outline);
    }

    /// Makes texts avoid this line where they have another position.
    pub fn avoid(&mut self, line: Line) {
        self.lines.push(line);
    }

    /// Makes texts avoid a dimension line more than other lines: a text on it
    /// would be read as its value.
    pub fn avoid_dimension(&mut self, line: Line) {
        self.lines.extend([line, line]);
    }

    /// Makes texts avoid the chords of this path, such as a part's outline,
    /// where they have another position.
    pub fn avoid_path(&mut self, path: &BezPath) {
        self.lines.extend(path.segments().map(|segment| Line::new(segment.start(), segment.end())));
    }

    /// Returns the number of lines avoided so far.
    #[must_use]
    pub fn lines(&self) -> usize {
        self.lines.len()
    }

    /// Forgets the lines that came after the first `count`, which only one text
    /// had to avoid.
    pub fn forget_lines(&mut self, count: usize) {
        self.lines.truncate(count);
    }

    /// Keeps texts inside or outside of this ring, never on its line.
    pub fn keep_off(&mut self, ring: Circle) {
        self.rings.push(ring);
    }

    /// Places a text at the first of `poses` that is free of other texts, of
    /// rings and of lines, else at the one that lies across the fewest lines.
    /// Returns its pose, or `None` if there is no free one; the text is then
    /// listed in [`Self::left_out`].
    pub fn place(
        &mut self,
        text: &str,
        letters: Letters,
        ink: Ink,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        self.place_row(&[Word { text, letters, ink }], poses)
    }

    /// Places words of different lettering in one line, like [`Self::place`].
    pub fn place_row(&mut self, row: &[Word<'_>], poses: impl IntoIterator<Item = Pose>) -> Option<Pose> {
        self.place_by(Rule::default(), row, poses)
    }

    /// Places a text from which a line goes to `target`, like
    /// [`Self::place_row`].
    pub fn place_tied(
        &mut self,
        row: &[Word<'_>],
        target: Point,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        self.place_by(Rule { tied_to: Some(target), ..Rule::default() }, row, poses)
    }

    /// Places a text that may be missing where there is no room for it, like
    /// [`Self::place`].
    pub fn place_if_free(
        &mut self,
        text: &str,
        letters: Letters,
        ink: Ink,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let row = [Word { text, letters, ink }];
        let pose = self.find(Rule::default(), &row, poses)?;
        self.put(&row, pose);
        Some(pose)
    }

    /// Places a text like [`Self::place_if_free`], but rather missing than
    /// across a line.
    pub fn place_off_lines(
        &mut self,
        text: &str,
        letters: Letters,
        ink: Ink,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        self.place_row_off_lines(&[Word { text, letters, ink }], poses)
    }

    /// Places words of different lettering, like [`Self::place_off_lines`].
    pub fn place_row_off_lines(
        &mut self,
        row: &[Word<'_>],
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let pose = self.find(Rule { off_lines: true, ..Rule::default() }, row, poses)?;
        self.put(row, pose);
        Some(pose)
    }

    /// Places a text like [`Self::place_tied`], but rather missing than across
    /// a line.
    pub fn place_tied_off_lines(
        &mut self,
        row: &[Word<'_>],
        target: Point,
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let pose = self.find(Rule { off_lines: true, tied_to: Some(target) }, row, poses)?;
        self.put(row, pose);
        Some(pose)
    }

    fn place_by(
        &mut self,
        rule: Rule,
        row: &[Word<'_>],
        poses: impl IntoIterator<Item = Pose>,
    ) -> Option<Pose> {
        let pose = self.find(rule, row, poses);
        match pose {
            Some(pose) => self.put(row, pose),
            None => self.left_out.extend(row.iter().map(|word| word.text.to_owned())),
        }
        pose
    }

    fn find(&self, rule: Rule, row: &[Word<'_>], poses: impl IntoIterator<Item = Pose>) -> Option<Pose> {
        let row = Row::new(row);
        let size = row.words.iter().map(|word| word.letters.size).fold(0.0, f64::max);
        let mut fewest: Option<(usize, Pose)> = None;
        for pose in poses {
            let outlines: Vec<Convex> = row.at(pose).map(|(.., outline)| outline).collect();
            let inside = |p: &Point| match self.within {
                Some(frame) => (frame.x0..=frame.x1).contains(&p.x) && (frame.y0..=frame.y1).contains(&p.y),
                None => p.is_finite(),
            };
            if !outlines.iter().flat_map(|o| o.corners()).all(inside) || self.is_taken(&row, pose, size) {
                continue;
            }
            if rule.tied_to.is_some_and(|target| self.tie_crosses(&outlines, target)) {
                continue;
            }
            let around = outlines.iter().map(Convex::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
            let crossed = |line: &&Line| {
                let box_of_line = Rect::from_points(line.p0, line.p1);
                let near = box_of_line.x0 <= around.x1
                    && box_of_line.x1 >= around.x0
                    && box_of_line.y0 <= around.y1
                    && box_of_line.y1 >= around.y0;
                near && outlines.iter().any(|outline| outline.inside(**line).is_some())
            };
            let enough = fewest.map_or(usize::MAX, |(least, _)| least);
            let crossings = self.lines.iter().filter(crossed).take(enough).count();
            if crossings == 0 {
                return Some(pose);
            }
            if !rule.off_lines && crossings < enough {
                fewest = Some((crossings, pose));
            }
        }
        fewest.map(|(_, pose)| pose)
    }

    /// Returns whether no text, line, ring or kept area lies in a part of the
    /// frame.
    #[must_use]
    pub fn leaves_free(&self, room: Rect) -> bool {
        let outline = Convex::rect(room);
        self.within.is_none_or(|frame| frame.contains_rect(room))
            && !self.placed.iter().any(|placed| placed.outline.overlaps(&outline))
            && !self.taken.iter().any(|other| other.overlaps(&outline))
            && !self.rings.iter().any(|&ring| crosses(&outline, ring, OFF_RING * room.height()))
            && !self.lines.iter().any(|&line| {
                // Most lines are far away: that is seen at a glance.
                let near = line.p0.x.min(line.p1.x) <= room.x1
                    && line.p0.x.max(line.p1.x) >= room.x0
                    && line.p0.y.min(line.p1.y) <= room.y1
                    && line.p0.y.max(line.p1.y) >= room.y0;
                near && outline.inside(line).is_some()
            })
    }

    /// Returns whether another text, a kept area or the line of a ring is in
    /// the way.
    fn is_taken(&self, row: &Row<'_>, pose: Pose, size: f64) -> bool {
        let wide = row.at(pose).zip(&row.spans).map(|((word, pose, outline), &(_, width))| {
            (roomy(width, word.letters, pose, ASIDE * size), outline)
        });
        wide.into_iter().any(|(wide, outline)| {
            self.placed.iter().any(|placed| placed.outline.overlaps(&wide))
                || self.taken.iter().any(|other| other.overlaps(&outline))
                || self.rings.iter().any(|&ring| crosses(&outline, ring, OFF_RING * size))
        })
    }

    /// Returns whether the line from a text to the point that it refers to
    /// would run through another text.
    fn tie_crosses(&self, outlines: &[Convex], target: Point) -> bool {
        let ends = outlines.iter().map(|outline| outline.bounds().center());
        let Some(end) = ends.min_by(|a, b| (*a - target).hypot2().total_cmp(&(*b - target).hypot2())) else {
            return false;
        };
        let line = Line::new(target, end);
        self.placed.iter().any(|placed| placed.outline.inside(line).is_some())
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

    /// Returns the texts placed so far.
    #[must_use]
    pub fn placed(&self) -> &[Placed] {
        &self.placed
    }

    /// Returns the texts that found no free position.
    #[must_use]
    pub fn left_out(&self) -> &[String] {
        &self.left_out
    }

    /// Forgets texts that found no position after the first `kept`: the caller
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

/// Returns whether an outline comes nearer than `apart` to the line of a ring.
fn crosses(outline: &Convex, ring: Circle, apart: f64) -> bool {
    let reach = |p: &Point| (*p - ring.center).hypot();
    let far = outline.corners().iter().map(reach).fold(0.0, f64::max);
    far > ring.radius - apart && outline.distance(ring.center) < ring.radius + apart
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
    fn of_places_that_all_lie_across_lines_the_one_across_the_fewest_is_taken() {
        let mut labels = Labels::default();
        labels.avoid(Line::new((0.0, 47.0), (1000.0, 47.0)));
        labels.avoid(Line::new((0.0, 49.0), (200.0, 49.0)));
        let pose = labels.place("1.10", LETTERS, Ink::Edge, row());
        assert!(pose.is_some_and(|p| p.at.x > 200.0), "{pose:?}");
    }

    #[test]
    fn a_text_stands_inside_or_outside_of_a_ring() {
        let ring = Circle::new((160.0, 50.0), 30.0);
        let mut labels = Labels::default();
        labels.keep_off(ring);
        let inside = labels.place("Z", LETTERS, Ink::Edge, row().skip(3));
        assert!(inside.is_some_and(|p| (p.at.x - 160.0).abs() < 25.0), "{inside:?}");
        let beside = labels.place("34.50", LETTERS, Ink::Edge, row().skip(3));
        assert!(beside.is_some_and(|p| p.at.x > 190.0), "{beside:?}");
        for placed in labels.placed() {
            assert!(!crosses(&placed.outline, ring, 0.0), "{placed:?}");
        }
    }

    #[test]
    fn a_line_from_a_text_to_its_place_crosses_no_other_text() {
        let mut labels = Labels::default();
        let target = Point::new(100.0, 50.0);
        labels.place("34.50", LETTERS, Ink::Edge, [Pose::middle(Point::new(160.0, 54.0))]);
        let word = [Word { text: "shim", letters: LETTERS, ink: Ink::Second }];
        let places = [Point::new(250.0, 54.0), Point::new(250.0, 120.0)].map(Pose::from);
        let pose = labels.place_tied(&word, target, places);
        assert_eq!(pose.map(|p| p.at.y), Some(120.0));
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
