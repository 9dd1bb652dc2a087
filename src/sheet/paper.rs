//! Paper sizes and their frames.

use kurbo::{Point, Rect};

use crate::drawing::page::Date;

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 inches: 215.9 by 279.4 mm (ANSI A).
    Letter,
}

impl Paper {
    /// Returns the width in mm.
    #[must_use]
    pub fn width(self) -> f64 {
        match self {
            Self::A4 => 210.0,
            Self::Letter => 215.9,
        }
    }

    /// Returns the height in mm.
    #[must_use]
    pub fn height(self) -> f64 {
        match self {
            Self::A4 => 297.0,
            Self::Letter => 279.4,
        }
    }

    /// Returns the name by which it is ordered.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "US Letter",
        }
    }

    /// Returns the frame: 20 mm for filing on the left, 10 mm elsewhere (ISO
    /// 5457).
    #[must_use]
    pub fn frame(self) -> Rect {
        Rect::new(20.0, 10.0, self.width() - 10.0, self.height() - 10.0)
    }

    /// Returns the middles of the filing holes, mm. A4: two, 80 mm apart, 12 mm
    /// from the edge (ISO 838, from memory). Letter: three, 4.25 inches apart,
    /// half an inch from the edge (common practice).
    #[must_use]
    pub fn holes(self) -> Vec<Point> {
        let (x, offsets): (f64, &[f64]) = match self {
            Self::A4 => (12.0, &[-40.0, 40.0]),
            Self::Letter => (12.7, &[-107.95, 0.0, 107.95]),
        };
        offsets.iter().map(|y| Point::new(x, self.height() / 2.0 + y)).collect()
    }
}

/// The date and author of a sheet. They come from outside, so that the same
/// stamp on the same engine gives the same sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamp {
    /// The date.
    pub date: Date,
    /// The author; empty if nobody is named.
    pub author: String,
}
