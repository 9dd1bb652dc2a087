//! Writes one drawing to a screen, a PDF page, an SVG file or a picture. All
//! read the same display list and put the same thing in the same place.

pub mod pdf;
pub(crate) mod png;
pub mod screen;
pub mod svg;

use crate::drawing::list::{Ink, Shape};

/// A colour of an output: red, green, blue.
pub type Colour = [u8; 3];

/// Returns the colour of print of an ink: black on white, so that a copy of a
/// copy is still readable. Outlines that were never measured are grey; no area
/// is tinted.
#[must_use]
pub fn print_colour(ink: Ink) -> Colour {
    match ink {
        Ink::Assumed => [0x8A; 3],
        Ink::Sheet | Ink::Part(_) | Ink::Term(_) => [0xFF; 3],
        Ink::Edge
        | Ink::Second
        | Ink::Third
        | Ink::Hatch
        | Ink::Solid
        | Ink::Ghost
        | Ink::Accent
        | Ink::Warn => [0; 3],
    }
}

/// A reason why a file could not be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutputError {
    /// A number that is not finite would have been drawn.
    #[error("the drawing holds a place that is not a number, in {0}")]
    NotFinite(String),
    /// The paper has no area.
    #[error("the paper is {0} mm by {1} mm, but both must be above 0")]
    Paper(f64, f64),
    /// The density of a picture lies outside the accepted range.
    #[error("{0} dots to an inch are not possible; accepted: 36 to 600")]
    Density(f64),
    /// The picture could not be encoded.
    #[error("the picture could not be made: {0}")]
    Picture(String),
    /// The document broke a rule of archivable, accessible PDF.
    #[error("the PDF could not be made: {0}")]
    Pdf(String),
}

/// Refuses shapes that can't be drawn, and says which.
fn check<'a>(shapes: impl IntoIterator<Item = &'a Shape>) -> Result<(), OutputError> {
    match shapes.into_iter().find(|shape| !shape.is_finite()) {
        None => Ok(()),
        Some(shape) => Err(OutputError::NotFinite(name(shape))),
    }
}

/// Returns a shape in words.
fn name(shape: &Shape) -> String {
    match shape {
        Shape::Fill { ink, .. } => format!("an area ({ink:?})"),
        Shape::Stroke { ink, .. } => format!("a line ({ink:?})"),
        Shape::Text { text, .. } => format!("the text \"{text}\""),
    }
}

/// Refuses paper without an area.
fn check_paper(width: f64, height: f64) -> Result<(), OutputError> {
    let good = |length: f64| length.is_finite() && length > 0.0;
    if good(width) && good(height) { Ok(()) } else { Err(OutputError::Paper(width, height)) }
}
