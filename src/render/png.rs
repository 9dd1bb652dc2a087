//! Pages as PNG pictures, in the colours of print: for a forum, an e-mail, a
//! screen at the bench. The same page at the same density always gives the same
//! bytes.

use kurbo::{Affine, Cap, Join, Stroke};
use vello_cpu::color::{AlphaColor, Srgb};
use vello_cpu::peniko::Fill;
use vello_cpu::{Pixmap, RenderContext, Resources};

use super::{OutputError, check, check_paper, print_colour};
use crate::drawing::lettering::{self, text_width};
use crate::drawing::list::{Anchor, Ink, Shape};
use crate::drawing::page::Page;
use crate::engine::num;

/// Densities that are accepted, dots to an inch: enough to read a page, and no
/// more than a fine printer has.
pub(crate) const DPI: std::ops::RangeInclusive<f64> = 36.0..=600.0;

/// Returns the PNG file of a page at `dpi` dots to an inch. The file states its
/// density, so that a program that heeds it shows the page at its true size.
///
/// # Errors
///
/// When the page has no area, a shape is not finite, or the density lies
/// outside [`DPI`].
pub(crate) fn write(page: &Page, dpi: f64) -> Result<Vec<u8>, OutputError> {
    check_paper(page.width, page.height)?;
    check(page.shapes())?;
    if !DPI.contains(&dpi) {
        return Err(OutputError::Density(dpi));
    }
    let scale = dpi / 25.4;
    let (Some(width), Some(height)) = (dots(page.width * scale), dots(page.height * scale)) else {
        return Err(OutputError::Paper(page.width, page.height));
    };
    let mut picture = Picture { context: RenderContext::new(width, height), scale };
    picture.context.set_transform(Affine::IDENTITY);
    picture.ink(Ink::Sheet);
    picture.context.fill_rect(&kurbo::Rect::new(0.0, 0.0, f64::from(width), f64::from(height)));
    for shape in page.shapes() {
        picture.draw(shape);
    }
    picture.context.flush();
    let mut pixels = Pixmap::new(width, height);
    picture.context.render(&mut pixels, &mut Resources::new());
    encode(&pixels, dpi)
}

/// Returns a length in dots as the rasteriser counts them; `None` where it is
/// none that fits.
fn dots(length: f64) -> Option<u16> {
    let length = length.round();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "within u16 by the test before"
    )]
    (1.0..=f64::from(u16::MAX)).contains(&length).then_some(length as u16)
}

struct Picture {
    context: RenderContext,
    /// Dots to a millimetre.
    scale: f64,
}

impl Picture {
    fn ink(&mut self, ink: Ink) {
        let [r, g, b] = print_colour(ink);
        self.context.set_paint(AlphaColor::<Srgb>::from_rgba8(r, g, b, 255));
    }

    fn draw(&mut self, shape: &Shape) {
        let whole = Affine::scale(self.scale);
        match shape {
            Shape::Fill { path, ink } => {
                if path.is_empty() {
                    return;
                }
                self.ink(*ink);
                self.context.set_transform(whole);
                self.context.set_fill_rule(Fill::EvenOdd);
                self.context.fill_path(path);
            }
            Shape::Stroke { path, ink, width, dash } => {
                if path.is_empty() {
                    return;
                }
                self.ink(*ink);
                self.context.set_transform(whole);
                // No line thinner than a dot: it would only fade.
                let width = width.max(1.0 / self.scale);
                let lengths = dash.pattern().iter().map(|&n| n * width);
                let stroke = Stroke::new(width).with_join(Join::Round).with_caps(Cap::Butt);
                self.context.set_stroke(stroke.with_dashes(0.0, lengths));
                self.context.stroke_path(path);
            }
            Shape::Text { at, anchor, turn_deg, size, bold, ink, text } => {
                self.ink(*ink);
                let before = match anchor {
                    Anchor::Left => 0.0,
                    Anchor::Middle => -0.5 * text_width(text, *size, *bold),
                    Anchor::Right => -text_width(text, *size, *bold),
                };
                // Counter-clockwise as seen, y down.
                let turn = Affine::translate(at.to_vec2()) * Affine::rotate(-turn_deg * num::PI / 180.0);
                self.context.set_transform(whole * turn);
                self.context.set_fill_rule(Fill::NonZero);
                let letters = lettering::outlines(text, *size, *bold);
                self.context.fill_path(&(Affine::translate((before, 0.0)) * letters));
            }
        }
    }
}

/// Encodes with 8 bits for each colour; the ground is opaque, so that no alpha
/// is needed.
fn encode(pixels: &Pixmap, dpi: f64) -> Result<Vec<u8>, OutputError> {
    let failed = |error: png::EncodingError| OutputError::Picture(error.to_string());
    let colours: Vec<u8> = pixels.data().iter().flat_map(|dot| [dot.r, dot.g, dot.b]).collect();
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, pixels.width().into(), pixels.height().into());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at most 600 dots to an inch"
    )]
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(failed)?;
    writer.write_image_data(&colours).map_err(failed)?;
    writer.finish().map_err(failed)?;
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::list::{Dash, DisplayList};
    use crate::drawing::page::Block;
    use kurbo::{BezPath, Rect, Shape as _};

    /// Returns a page of 100 by 80 mm with a black square of 10 mm at (20, 30)
    /// and a text.
    fn page() -> Page {
        let square = Shape::Fill { path: Rect::new(20.0, 30.0, 30.0, 40.0).to_path(0.1), ink: Ink::Solid };
        let line = |y: f64, dash| {
            let mut path = BezPath::new();
            path.move_to((0.0, y));
            path.line_to((100.0, y));
            Shape::Stroke { path, ink: Ink::Edge, width: 0.5, dash }
        };
        let text = Shape::Text {
            at: (60.0, 60.0).into(),
            anchor: Anchor::Middle,
            turn_deg: 0.0,
            size: 10.0,
            bold: true,
            ink: Ink::Edge,
            text: "HHH".into(),
        };
        let shapes = vec![square, line(70.05, Dash::Solid), line(75.05, Dash::Ghost), text];
        let blocks = vec![Block::Ornament(DisplayList { shapes })];
        Page { name: "Plate".into(), width: 100.0, height: 80.0, blocks }
    }

    struct Read {
        width: usize,
        height: usize,
        dark: Vec<bool>,
        per_metre: u32,
    }

    fn read(file: &[u8]) -> Read {
        let mut reader = png::Decoder::new(std::io::Cursor::new(file)).read_info().unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut bytes).unwrap();
        let dark = bytes.chunks_exact(3).map(|dot| dot[0] < 128).collect();
        let per_metre = reader.info().pixel_dims.unwrap().xppu;
        Read { width: info.width as usize, height: info.height as usize, dark, per_metre }
    }

    impl Read {
        fn dark_in(&self, x: std::ops::Range<f64>, y: std::ops::Range<f64>) -> usize {
            let dots = |mm: f64| (mm * self.width as f64 / 100.0).round() as usize;
            let rows = dots(y.start)..dots(y.end).min(self.height);
            rows.map(|row| {
                (dots(x.start)..dots(x.end)).filter(|column| self.dark[row * self.width + column]).count()
            })
            .sum()
        }
    }

    #[test]
    fn a_ruler_laid_on_the_picture_finds_the_true_size() {
        // 254 dots to an inch are 10 to a millimetre.
        let read = read(&write(&page(), 254.0).unwrap());
        assert_eq!((read.width, read.height, read.per_metre), (1000, 800, 10_000));
        assert_eq!(read.dark_in(20.0..30.0, 30.0..40.0), 100 * 100);
        assert_eq!(read.dark_in(10.0..40.0, 25.0..45.0), 100 * 100, "nothing beside the square");
        assert_eq!(read.dark_in(0.0..100.0, 68.0..72.0), 5 * 1000, "a line of half a millimetre");
        let dashes = read.dark_in(0.0..100.0, 73.0..77.0);
        // 6 of 9 parts of a dashed line are drawn.
        assert!((3100..3600).contains(&dashes), "{dashes}");
    }

    #[test]
    fn letters_stand_where_the_lettering_says() {
        let read = read(&write(&page(), 254.0).unwrap());
        let half = text_width("HHH", 10.0, true) / 2.0;
        let tall = 10.0 * lettering::CAPITAL_HEIGHT;
        let around = read.dark_in(40.0..80.0, 50.0..65.0);
        let within = read.dark_in(60.0 - half..60.0 + half, 60.0 - tall - 0.1..60.1);
        assert!(around > 500 && around == within, "{around} dark dots, {within} of them in the box");
    }

    #[test]
    fn the_same_page_gives_the_same_bytes_and_senseless_densities_are_refused() {
        assert!(write(&page(), 100.0).unwrap() == write(&page(), 100.0).unwrap());
        for dpi in [0.0, 35.0, 601.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(write(&page(), dpi), Err(OutputError::Density(_))), "{dpi}");
        }
        let huge = Page { width: 1.0e6, ..page() };
        assert!(matches!(write(&huge, 100.0), Err(OutputError::Paper(..))));
    }
}
