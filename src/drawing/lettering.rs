//! The drawing's font and the width of its texts.
//!
//! Dimension lines, labels and table columns need to know how wide a text will
//! be before anything is drawn, and the PDF, the SVG and the screen must all
//! agree. So the font is part of the program and a width is the plain sum of
//! the glyphs' advances: no kerning, no ligatures. Its digits all have the same
//! advance, so columns of figures are aligned.

use std::borrow::Cow;
use std::ops::Range;
use std::sync::LazyLock;

use kurbo::{BezPath, Point};
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// The family's name, for outputs that look fonts up by name.
pub const FAMILY: &str = "IBM Plex Sans";

/// IBM Plex Sans Regular, a TrueType file.
pub static REGULAR: &[u8] = include_bytes!("../../assets/fonts/IBMPlexSans_400Regular.ttf");

/// IBM Plex Sans SemiBold, a TrueType file.
pub static SEMIBOLD: &[u8] = include_bytes!("../../assets/fonts/IBMPlexSans_600SemiBold.ttf");

/// Height of the capitals as a part of the font size (em). Lettering heights
/// of drawing standards are heights of capitals (ISO 3098), so a text of
/// height h has the font size h / 0.698. Both weights agree.
pub const CAPITAL_HEIGHT: f64 = 0.698;

/// Depth of letters such as g and p below the baseline, as a part of the font
/// size.
pub const DESCENT: f64 = 0.22;

static FACES: LazyLock<[Option<Face<'static>>; 2]> =
    LazyLock::new(|| [Face::parse(REGULAR, 0).ok(), Face::parse(SEMIBOLD, 0).ok()]);

fn face(bold: bool) -> Option<&'static Face<'static>> {
    FACES[usize::from(bold)].as_ref()
}

/// One letter as it is set.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// The glyph's number in the font file.
    pub id: u16,
    /// Advance of the pen, as a part of the font size.
    pub advance: f64,
    /// The bytes of the text that it shows.
    pub range: Range<usize>,
}

/// Returns the font size whose capitals are `height` tall, in the same unit.
#[must_use]
pub fn size_of_capitals(height: f64) -> f64 {
    height / CAPITAL_HEIGHT
}

/// Returns the text with every character that the font can't show replaced by a
/// visible mark, and control characters by a space, so that no output fails on
/// a text and no character vanishes from it.
///
/// ```
/// use crowndeck::drawing::lettering::printable;
/// assert_eq!(printable("Ø86.01 mm"), "Ø86.01 mm");
/// assert_eq!(printable("a\tb"), "a b");
/// assert_ne!(printable("圧縮"), "圧縮");
/// ```
#[must_use]
pub fn printable(text: &str) -> Cow<'_, str> {
    let shown = |c: char| !c.is_control() && has_glyph(c);
    if text.chars().all(shown) {
        return Cow::Borrowed(text);
    }
    let replace = |c: char| match c {
        c if shown(c) => c,
        c if c.is_control() || c.is_whitespace() => ' ',
        _ => REPLACEMENT,
    };
    Cow::Owned(text.chars().map(replace).collect())
}

/// Replacement of a character that the font does not have.
const REPLACEMENT: char = '\u{FFFD}';

/// Returns whether both weights have it: a text must not change its letters
/// with its weight.
fn has_glyph(c: char) -> bool {
    FACES.iter().all(|face| face.as_ref().is_some_and(|face| face.glyph_index(c).is_some()))
}

/// Returns the glyphs of a text, one for each character, in order. Characters
/// that the font does not have come as glyph 0 with its own advance; put the
/// text through [`printable`] first.
pub fn glyphs(text: &str, bold: bool) -> impl Iterator<Item = Glyph> + '_ {
    let face = face(bold);
    text.char_indices().map(move |(start, c)| {
        let id = face.and_then(|face| face.glyph_index(c)).unwrap_or(GlyphId(0));
        let units = face.and_then(|face| face.glyph_hor_advance(id)).unwrap_or(0);
        let em = face.map_or(1000, Face::units_per_em);
        Glyph { id: id.0, advance: f64::from(units) / f64::from(em), range: start..start + c.len_utf8() }
    })
}

/// Returns the outlines of a line of text, for outputs without fonts: the left
/// end of its baseline is the origin, y points down. Filled by the nonzero
/// rule.
#[must_use]
pub fn outlines(text: &str, size: f64, bold: bool) -> BezPath {
    let Some(face) = face(bold) else { return BezPath::new() };
    let scale = size / f64::from(face.units_per_em());
    let mut pen = Pen { path: BezPath::new(), scale, x: 0.0 };
    for glyph in glyphs(&printable(text), bold) {
        let _ = face.outline_glyph(GlyphId(glyph.id), &mut pen);
        pen.x += glyph.advance * size;
    }
    pen.path
}

/// A receiver of a glyph's outline, in the font's units with y upward.
struct Pen {
    path: BezPath,
    scale: f64,
    x: f64,
}

impl Pen {
    fn at(&self, x: f32, y: f32) -> Point {
        Point::new(self.x + f64::from(x) * self.scale, -f64::from(y) * self.scale)
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.at(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.at(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path.quad_to(self.at(x1, y1), self.at(x, y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path.curve_to(self.at(x1, y1), self.at(x2, y2), self.at(x, y));
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}

/// Returns the width of a text in font size `size`, in the unit of `size`.
#[must_use]
pub fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    glyphs(&printable(text), bold).map(|glyph| glyph.advance).sum::<f64>() * size
}

/// Units that stay on the line of their number.
const UNITS: [&str; 9] = ["mm", "cc", "in", "thou", "ml", "\u{b5}m", "cu", "Nm", "%"];

/// Splits a text into words; a number and its unit are one.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let is_unit = UNITS.contains(&word.trim_end_matches([',', ';', '.', ':', ')']));
        match words.last_mut() {
            Some(number) if is_unit && number.ends_with(|c: char| c.is_ascii_digit()) => {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Breaks a text at its spaces into lines that are at most `width` wide; a
/// number stays with its unit. A word that is wider than a line is broken
/// where it has to be. Never empty.
///
/// Each letter is measured once: advances are added up as [`text_width`] adds
/// them, so that a line fits exactly where its whole text does.
#[must_use]
pub fn wrap(text: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = Line::default();
    for word in words(text) {
        let with_space = if line.text.is_empty() { line.advance } else { line.advance + advance(' ', bold) };
        let longer = word.chars().fold(with_space, |sum, c| sum + advance(c, bold));
        if longer * size <= width {
            if !line.text.is_empty() {
                line.text.push(' ');
            }
            line.text.push_str(&word);
            line.advance = longer;
            continue;
        }
        if !line.text.is_empty() {
            lines.push(std::mem::take(&mut line).text);
        }
        for c in word.chars() {
            let longer = line.advance + advance(c, bold);
            if !line.text.is_empty() && longer * size > width {
                lines.push(std::mem::take(&mut line).text);
            }
            line.text.push(c);
            line.advance += advance(c, bold);
        }
    }
    if !line.text.is_empty() || lines.is_empty() {
        lines.push(line.text);
    }
    lines
}

/// A line that is being filled, with the sum of its letters' advances.
#[derive(Default)]
struct Line {
    text: String,
    advance: f64,
}

/// How far one letter moves the pen on, as a part of the font size.
fn advance(c: char, bold: bool) -> f64 {
    let mut bytes = [0; 4];
    glyphs(&printable(c.encode_utf8(&mut bytes)), bold).map(|glyph| glyph.advance).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_weights_are_read_and_have_the_signs_of_a_drawing() {
        for face in FACES.iter() {
            let face = face.as_ref().unwrap();
            let capitals = f64::from(face.capital_height().unwrap()) / f64::from(face.units_per_em());
            assert!((capitals - CAPITAL_HEIGHT).abs() < 1e-9, "capitals are {capitals} of the em");
        }
        for c in "Ø±µ°′″²³×–−·½≈≤≥∞Ωπαβδθ→←\u{A0}\u{2009}".chars() {
            assert!(has_glyph(c), "{c:?} is missing");
        }
        assert!(has_glyph(REPLACEMENT));
    }

    #[test]
    fn a_hundred_points_of_figures_measure_as_other_programs_measure_them() {
        // 0123456789 in Regular at 100 units: every digit advances 600 of
        // 1000 units (read in the font's hmtx table).
        assert!((text_width("0123456789", 100.0, false) - 600.0).abs() < 1e-9);
        assert_eq!(text_width("1111", 3.0, true), text_width("8888", 3.0, true));
        assert_eq!(text_width("", 3.0, false), 0.0);
    }

    #[test]
    fn a_text_outside_the_font_stays_visible() {
        let shown = printable("圧 ratio\u{7}");
        assert_eq!(shown, "\u{FFFD} ratio ");
        assert!(text_width("圧", 10.0, false) > 1.0);
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        let text = "97.85 mm, 97.86 mm, 1/2 in and 3 cc; nothing in 4 mm.";
        for tenths in 150..600 {
            for line in wrap(text, 3.0, false, f64::from(tenths) / 10.0) {
                let unit = line.split(' ').next().unwrap().trim_end_matches([',', ';', '.']);
                assert!(!["mm", "cc"].contains(&unit), "{line:?} begins with its unit");
            }
        }
        assert_eq!(words("nothing in 4 mm."), ["nothing", "in", "4 mm."]);
    }

    /// Twenty thousand letters without a space, as a stranger's file may hold
    /// them: the work grows with the letters, not with their square.
    #[test]
    fn a_word_of_any_length_is_broken_in_time() {
        let word = "x".repeat(20_000);
        let start = std::time::Instant::now();
        let lines = wrap(&word, 3.0, false, 1e9);
        assert_eq!(lines.concat(), word);
        assert!(start.elapsed().as_millis() < 500, "{:?}", start.elapsed());
        let narrow = wrap(&word, 3.0, false, 60.0);
        assert!(narrow.len() > 100 && narrow.concat() == word);
    }

    #[test]
    fn lines_are_never_wider_than_asked_and_lose_no_letter() {
        let text = "Two full turns by hand, plugs out, extraordinarilylongwordwithoutaspace then more.";
        for width in [8.0, 20.0, 60.0, 1000.0] {
            let lines = wrap(text, 3.0, false, width);
            for line in &lines {
                assert!(text_width(line, 3.0, false) <= width, "{line:?} at {width}");
            }
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
        }
        assert_eq!(wrap("", 3.0, false, 10.0), [""]);
        assert_eq!(wrap("wide", 3.0, false, 0.0).len(), 4, "a line holds at least one letter");
    }
}
