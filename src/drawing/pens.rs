//! Pens of one output: the widths of its lines, the sizes of its letters and
//! arrows, the density of its section lining.
//!
//! All sizes are in the units of the output (mm on paper, points on a
//! screen). They do not follow the scale of the drawing: a part that is
//! magnified keeps the line width and the lettering of its sheet.

use super::lettering;
use super::list::Part;

/// A lettering size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Letters {
    /// Font size (em) in output units.
    pub size: f64,
    /// SemiBold instead of Regular.
    pub bold: bool,
}

impl Letters {
    /// Returns the height of the capitals in output units.
    #[must_use]
    pub fn capitals(self) -> f64 {
        self.size * lettering::CAPITAL_HEIGHT
    }

    /// Returns the width of a text in output units.
    #[must_use]
    pub fn width(self, text: &str) -> f64 {
        lettering::text_width(text, self.size, self.bold)
    }
}

/// The medium of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Medium {
    /// A sheet of paper, which is read with a rule: it has standard scales.
    Paper,
    /// A window of any size.
    Screen,
}

/// Sizes of one output, in its units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pens {
    /// Measured edges.
    pub wide: f64,
    /// Everything else: assumed outlines, lining, axes, dimension lines.
    pub narrow: f64,
    /// The ring round an enlarged detail.
    pub ring: f64,
    /// Values of dimensions, and names in the drawing.
    pub dimension: Letters,
    /// Captions.
    pub caption: Letters,
    /// The value of the gap next to the enlarged detail.
    pub gap: Letters,
    /// Names of views and of details.
    pub letter: Letters,
    /// Length of an arrow head.
    pub arrow_length: f64,
    /// Width of an arrow head at its tail.
    pub arrow_width: f64,
    /// Length of a dimension line below which its arrows are outside.
    pub arrow_room: f64,
    /// Length of a projection line beyond its dimension line.
    pub overshoot: f64,
    /// Free space between an outline and its projection line, between text
    /// and line.
    pub breath: f64,
    /// Distance from an outline to the first dimension line.
    pub first_line: f64,
    /// Distance from one dimension line to the next.
    pub next_line: f64,
    /// The least free space between two lines, and between touching solid
    /// parts.
    pub least_gap: f64,
    /// Thickness below which cut parts are drawn solid, without lining.
    pub solid_below: f64,
    /// Least drawn thickness of a solid part.
    pub least_solid: f64,
    /// Space between views.
    pub margin: f64,
    /// Radius of the circle round the enlarged crown edge.
    pub circle_rim: f64,
    /// Radius of the circle round the enlarged foot of the barrel.
    pub circle_foot: f64,
    /// Least radius of the mark round the area that is enlarged.
    pub least_mark: f64,
    /// Width of the gap that a detail is enlarged to at least.
    pub detail_gap: f64,
    /// Factor of the pitch of lining in an enlarged detail.
    pub detail_lining: f64,
    /// Greatest distance of a drawn curve from the true one.
    pub tolerance: f64,
    /// The medium.
    pub medium: Medium,
    /// Factor of all sizes against those of the constant.
    factor: f64,
}

/// Section lining of one part: the same wherever the part is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lining {
    /// Direction of the lines, degrees counter-clockwise as seen from the
    /// horizontal of an upright view: 45 rises to the right.
    pub angle_deg: f64,
    /// Distance between the lines in output units.
    pub pitch: f64,
}

impl Pens {
    /// Pens for paper, in mm: line group 0.5/0.25 (ISO 128-2, widths in the
    /// ratio 2:1), lettering 2.5, 3.5 and 5 high (ISO 3098), filled arrows of
    /// 15° (ISO 129-1); the sizes of spaces from memory of the same standards.
    pub const PAPER: Self = Self {
        wide: 0.5,
        narrow: 0.25,
        ring: 0.25,
        dimension: Letters { size: 2.5 / lettering::CAPITAL_HEIGHT, bold: false },
        caption: Letters { size: 2.5 / lettering::CAPITAL_HEIGHT, bold: false },
        gap: Letters { size: 3.5 / lettering::CAPITAL_HEIGHT, bold: true },
        letter: Letters { size: 5.0 / lettering::CAPITAL_HEIGHT, bold: false },
        arrow_length: 3.0,
        // 2 · 3 mm · tan 7.5°.
        arrow_width: 0.79,
        arrow_room: 10.0,
        overshoot: 2.0,
        breath: 0.8,
        first_line: 8.0,
        next_line: 7.0,
        least_gap: 0.7,
        solid_below: 2.0,
        least_solid: 0.7,
        margin: 6.0,
        circle_rim: 25.0,
        circle_foot: 12.5,
        least_mark: 2.5,
        detail_gap: 4.0,
        detail_lining: 1.35,
        tolerance: 0.01,
        medium: Medium::Paper,
        factor: 1.0,
    };

    /// Pens for a screen, in points.
    pub const SCREEN: Self = Self {
        wide: 2.0,
        narrow: 1.0,
        ring: 1.4,
        dimension: Letters { size: 13.0, bold: false },
        caption: Letters { size: 12.5, bold: false },
        gap: Letters { size: 17.0, bold: true },
        letter: Letters { size: 17.0, bold: true },
        arrow_length: 10.0,
        arrow_width: 2.7,
        arrow_room: 34.0,
        overshoot: 6.0,
        breath: 3.0,
        first_line: 22.0,
        next_line: 22.0,
        least_gap: 2.0,
        solid_below: 16.0,
        least_solid: 2.4,
        margin: 12.0,
        circle_rim: 106.0,
        circle_foot: 50.0,
        least_mark: 8.5,
        detail_gap: 30.0,
        detail_lining: 1.35,
        tolerance: 0.1,
        medium: Medium::Screen,
        factor: 1.0,
    };

    /// Returns the same pens for a larger window: every size times `factor`,
    /// except the tolerance, which is the screen's.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        let letters = |l: Letters| Letters { size: l.size * factor, ..l };
        Self {
            wide: self.wide * factor,
            narrow: self.narrow * factor,
            ring: self.ring * factor,
            dimension: letters(self.dimension),
            caption: letters(self.caption),
            gap: letters(self.gap),
            letter: letters(self.letter),
            arrow_length: self.arrow_length * factor,
            arrow_width: self.arrow_width * factor,
            arrow_room: self.arrow_room * factor,
            overshoot: self.overshoot * factor,
            breath: self.breath * factor,
            first_line: self.first_line * factor,
            next_line: self.next_line * factor,
            least_gap: self.least_gap * factor,
            solid_below: self.solid_below * factor,
            least_solid: self.least_solid * factor,
            margin: self.margin * factor,
            circle_rim: self.circle_rim * factor,
            circle_foot: self.circle_foot * factor,
            least_mark: self.least_mark * factor,
            detail_gap: self.detail_gap * factor,
            detail_lining: self.detail_lining,
            tolerance: self.tolerance,
            medium: self.medium,
            factor: self.factor * factor,
        }
    }

    /// Returns the section lining of a part. Parts that touch differ in
    /// direction, or else in pitch (drawing practice; ISO 128-3 from secondary
    /// sources).
    #[must_use]
    pub fn lining(&self, part: Part) -> Lining {
        let (angle_deg, paper, screen) = match part {
            Part::Barrel => (45.0, 2.0, 7.5),
            Part::Piston => (135.0, 1.5, 5.6),
            Part::Head => (135.0, 2.5, 9.5),
            Part::Case => (135.0, 3.0, 11.0),
            Part::Pin => (45.0, 1.2, 4.2),
            Part::Shim => (45.0, 1.0, 4.2),
            Part::Gasket => (135.0, 1.0, 4.2),
            Part::Ring | Part::Rod | Part::Web => (45.0, 1.5, 5.6),
        };
        let pitch = match self.medium {
            Medium::Paper => paper,
            Medium::Screen => screen,
        };
        Lining { angle_deg, pitch: pitch * self.factor }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arrow_head_on_paper_has_fifteen_degrees() {
        let half = crate::engine::num::atan2(Pens::PAPER.arrow_width / 2.0, Pens::PAPER.arrow_length);
        assert!((2.0 * half.to_degrees() - 15.0).abs() < 0.05);
    }

    #[test]
    fn wide_is_twice_narrow_on_both_outputs() {
        for pens in [Pens::PAPER, Pens::SCREEN, Pens::SCREEN.times(1.25)] {
            assert!((pens.wide - 2.0 * pens.narrow).abs() < 1e-12);
        }
    }

    #[test]
    fn touching_parts_differ_in_direction_or_pitch() {
        let touching = [
            (Part::Barrel, Part::Head),
            (Part::Barrel, Part::Case),
            (Part::Barrel, Part::Piston),
            (Part::Piston, Part::Pin),
            (Part::Piston, Part::Head),
        ];
        for pens in [Pens::PAPER, Pens::SCREEN] {
            for (a, b) in touching {
                assert_ne!(pens.lining(a), pens.lining(b), "{a:?} and {b:?}");
            }
        }
    }

    #[test]
    fn a_larger_window_scales_sizes_and_lining_alike() {
        let (small, large) = (Pens::SCREEN, Pens::SCREEN.times(1.25));
        assert_eq!(large.dimension.size, 13.0 * 1.25);
        assert_eq!(large.lining(Part::Barrel).pitch, 7.5 * 1.25);
        assert_eq!(large.tolerance, small.tolerance);
    }
}
