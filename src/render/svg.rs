//! Drawings as SVG files: one user unit is one millimetre, text stays text, and
//! the same drawing always gives the same file, line by line, so that two
//! versions can be compared.

use std::fmt::Write as _;

use kurbo::{BezPath, PathEl, Point};

use super::{Colour, OutputError, check, check_paper, print_colour};
use crate::drawing::lettering::{self, printable, text_width};
use crate::drawing::list::{Anchor, Ink, Shape};
use crate::drawing::page::{Document, Page};

/// Returns the SVG file of a drawing on `width_mm` by `height_mm` of paper,
/// with a title and a description for readers who can't see it.
///
/// # Errors
///
/// When the paper has no area or a shape is not finite.
///
/// # Example
///
/// ```
/// use crowndeck::{drawing::list::DisplayList, render::{print_colour, svg}};
/// let file = svg::write(&DisplayList::default().shapes, 210.0, 297.0, print_colour, "Empty", "Nothing")?;
/// assert!(file.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"210mm\" height=\"297mm\""));
/// # Ok::<(), crowndeck::render::OutputError>(())
/// ```
pub fn write<'a>(
    shapes: impl IntoIterator<Item = &'a Shape> + Clone,
    width_mm: f64,
    height_mm: f64,
    palette: impl Fn(Ink) -> Colour,
    title: &str,
    description: &str,
) -> Result<String, OutputError> {
    check_paper(width_mm, height_mm)?;
    check(shapes.clone())?;
    let mut out = head(width_mm, height_mm, colour(palette(Ink::Sheet)), title, description);
    for shape in shapes {
        write_shape(&mut out, shape, &palette);
    }
    out.push_str("</svg>\n");
    Ok(out)
}

/// Returns everything before the drawing.
fn head(width_mm: f64, height_mm: f64, ground: String, title: &str, description: &str) -> String {
    let (w, h) = (number(width_mm), number(height_mm));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         role=\"img\" aria-labelledby=\"title description\" font-family=\"'{family}', {FALLBACK}\" \
         stroke-linejoin=\"round\">\n<title id=\"title\">{title}</title>\n\
         <desc id=\"description\">{description}</desc>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"{ground}\"/>\n",
        family = lettering::FAMILY,
        title = escape(title),
        description = escape(description),
    )
}

/// Fallbacks where the font is missing: fonts that are no wider, for viewers
/// that don't keep the width.
const FALLBACK: &str = "Helvetica, Arial, 'Liberation Sans', sans-serif";

/// Returns the SVG file of a document in the colours of print, its pages one
/// below the other, so that none is lost.
///
/// # Errors
///
/// When a page has no area or a shape is not finite.
pub fn write_document(document: &Document) -> Result<String, OutputError> {
    for page in &document.pages {
        check_paper(page.width, page.height)?;
        check(page.shapes())?;
    }
    let width = document.pages.iter().map(|page| page.width).fold(0.0, f64::max);
    let height = document.pages.iter().map(|page| page.height).sum();
    check_paper(width, height)?;
    let descriptions: Vec<String> = document.pages.iter().map(Page::description).collect();
    let ground = colour(print_colour(Ink::Sheet));
    let mut out = head(width, height, ground, &document.title, descriptions.join(" ").trim());
    let mut top = 0.0;
    for page in &document.pages {
        let _ = writeln!(out, "<g transform=\"translate(0 {})\">", number(top));
        for shape in page.shapes() {
            write_shape(&mut out, shape, print_colour);
        }
        out.push_str("</g>\n");
        top += page.height;
    }
    out.push_str("</svg>\n");
    Ok(out)
}

/// Writes a shape. Writing to a `String` can't fail, so its results are dropped
/// here.
fn write_shape(out: &mut String, shape: &Shape, palette: impl Fn(Ink) -> Colour) {
    match shape {
        Shape::Fill { path, ink } => {
            let (d, fill) = (path_data(path), colour(palette(*ink)));
            if !d.is_empty() {
                let _ = writeln!(out, "<path d=\"{d}\" fill=\"{fill}\" fill-rule=\"evenodd\"/>");
            }
        }
        Shape::Stroke { path, ink, width, dash } => {
            let d = path_data(path);
            if d.is_empty() {
                return;
            }
            let (stroke, w) = (colour(palette(*ink)), number(*width));
            let _ = write!(out, "<path d=\"{d}\" fill=\"none\" stroke=\"{stroke}\" stroke-width=\"{w}\"");
            let dashes: Vec<String> = dash.pattern().iter().map(|&n| number(n * width)).collect();
            if !dashes.is_empty() {
                let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
            }
            out.push_str("/>\n");
        }
        Shape::Text { at, anchor, turn_deg, size, bold, ink, text } => {
            let (x, y, fill) = (number(at.x), number(at.y), colour(palette(*ink)));
            let width = number(text_width(text, *size, *bold));
            if width == "0" {
                return;
            }
            let _ = write!(out, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{fill}\"", number(*size));
            if *bold {
                out.push_str(" font-weight=\"600\"");
            }
            match anchor {
                Anchor::Left => {}
                Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
                Anchor::Right => out.push_str(" text-anchor=\"end\""),
            }
            // SVG turns clockwise.
            if number(*turn_deg) != "0" {
                let _ = write!(out, " transform=\"rotate({} {x} {y})\"", number(-turn_deg));
            }
            // A viewer without the font keeps the width.
            let _ = writeln!(
                out,
                " textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>",
                keep_spaces(&escape(text))
            );
        }
    }
}

fn path_data(path: &BezPath) -> String {
    let mut d = String::new();
    for element in path.elements() {
        match element {
            PathEl::MoveTo(p) => points(&mut d, 'M', &[*p]),
            PathEl::LineTo(p) => points(&mut d, 'L', &[*p]),
            PathEl::QuadTo(a, p) => points(&mut d, 'Q', &[*a, *p]),
            PathEl::CurveTo(a, b, p) => points(&mut d, 'C', &[*a, *b, *p]),
            PathEl::ClosePath => d.push('Z'),
        }
    }
    d
}

fn points(d: &mut String, command: char, points: &[Point]) {
    d.push(command);
    for (i, p) in points.iter().enumerate() {
        let space = if i == 0 { "" } else { " " };
        let _ = write!(d, "{space}{} {}", number(p.x), number(p.y));
    }
}

/// Formats a number to a thousandth of a millimetre, which is finer than any
/// printer.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn colour([r, g, b]: Colour) -> String {
    format!("#{r:02X}{g:02X}{b:02X}")
}

/// Escapes what has a meaning in XML and replaces what XML or the font can't
/// have.
fn escape(text: &str) -> String {
    let text = printable(text);
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// Makes spaces no-break where SVG would show a run of spaces as one and none
/// at the ends.
fn keep_spaces(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    for (i, c) in text.char_indices() {
        let last = i + 1 == text.len();
        out.push(if c == ' ' && (before == ' ' || last) { '\u{A0}' } else { c });
        before = c;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::list::{Dash, DisplayList, Part};
    use kurbo::{Circle, Rect, Shape as _};

    fn text(at: (f64, f64), anchor: Anchor, turn_deg: f64, text: &str) -> Shape {
        Shape::Text {
            at: at.into(),
            anchor,
            turn_deg,
            size: 5.0,
            bold: false,
            ink: Ink::Edge,
            text: text.into(),
        }
    }

    fn sample() -> DisplayList {
        let rect = Rect::new(10.0, 20.0, 30.0, 25.0).to_path(0.01);
        let circle = Circle::new((50.0, 50.0), 20.0).to_path(0.001);
        DisplayList {
            shapes: vec![
                Shape::Fill { path: rect, ink: Ink::Solid },
                Shape::Stroke { path: circle, ink: Ink::Assumed, width: 0.25, dash: Dash::Axis },
                Shape::Fill { path: BezPath::new(), ink: Ink::Part(Part::Barrel) },
                text((50.0, 60.0), Anchor::Middle, 90.0, "a <b> & \"c\"  (5:1)\u{1}"),
            ],
        }
    }

    fn file(list: &DisplayList) -> String {
        write(&list.shapes, 100.0, 80.0, print_colour, "Section <A>", "One & all").unwrap()
    }

    fn tree(svg: &str) -> resvg::usvg::Tree {
        let mut options = resvg::usvg::Options::default();
        for font in [lettering::REGULAR, lettering::SEMIBOLD] {
            options.fontdb_mut().load_font_data(font.to_vec());
        }
        resvg::usvg::Tree::from_str(svg, &options).unwrap()
    }

    fn raster(svg: &str, pixels_per_mm: f32) -> resvg::tiny_skia::Pixmap {
        let tree = tree(svg);
        let size = tree.size().to_int_size();
        // usvg counts 96 pixels to the inch.
        let scale = pixels_per_mm * 25.4 / 96.0;
        let grow = |n: u32| (n as f32 * scale).ceil() as u32;
        let mut map = resvg::tiny_skia::Pixmap::new(grow(size.width()), grow(size.height())).unwrap();
        resvg::render(&tree, resvg::tiny_skia::Transform::from_scale(scale, scale), &mut map.as_mut());
        map
    }

    #[test]
    fn numbers_are_short_and_never_minus_nought() {
        for (value, text) in
            [(1.0, "1"), (-0.0001, "0"), (0.125, "0.125"), (100.0, "100"), (-2.5, "-2.5"), (0.1 + 0.2, "0.3")]
        {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn the_page_has_its_true_size_and_the_text_its_measured_width() {
        let svg = file(&sample());
        let tree = tree(&svg);
        let mm = |pixels: f32| f64::from(pixels) * 25.4 / 96.0;
        assert!((mm(tree.size().width()) - 100.0).abs() < 1e-3);
        assert!((mm(tree.size().height()) - 80.0).abs() < 1e-3);
        assert!(svg.contains("a &lt;b&gt; &amp; &quot;c&quot; \u{A0}(5:1)\u{A0}</text>"), "{svg}");
        assert!(svg.contains("<title id=\"title\">Section &lt;A&gt;</title>"));
    }

    #[test]
    fn an_area_lands_on_its_millimetres() {
        let map = raster(&file(&sample()), 10.0);
        let black = |x: f64, y: f64| {
            let pixel = map.pixel((x * 10.0) as u32, (y * 10.0) as u32).unwrap();
            pixel.red() < 64
        };
        // The rectangle is 10 to 30 mm by 20 to 25 mm.
        for (x, y, inside) in [
            (10.1, 20.1, true),
            (29.8, 24.8, true),
            (9.8, 22.0, false),
            (30.2, 22.0, false),
            (20.0, 19.8, false),
            (20.0, 25.2, false),
        ] {
            assert_eq!(black(x, y), inside, "at {x}, {y} mm");
        }
    }

    #[test]
    fn text_is_set_where_it_is_measured() {
        // A row of eights, right end at 90 mm: the ink must end within a
        // letter's side bearing of it and start one text width before.
        let list = DisplayList { shapes: vec![text((90.0, 40.0), Anchor::Right, 0.0, "88888888")] };
        let map = raster(&file(&list), 10.0);
        let columns: Vec<u32> = (0..map.width())
            .filter(|&x| {
                (0..map.height()).any(|y| map.pixel(x, y).is_some_and(|p| p.alpha() == 255 && p.red() < 128))
            })
            .collect();
        let (first, last) = (f64::from(columns[0]) / 10.0, f64::from(columns[columns.len() - 1]) / 10.0);
        let width = text_width("88888888", 5.0, false);
        assert!((90.0 - last) < 0.5 && last < 90.0, "last ink at {last} mm");
        assert!((first - (90.0 - width)).abs() < 0.5, "first ink at {first} mm, text {width} mm wide");
    }

    #[test]
    fn the_same_drawing_is_the_same_file_and_well_formed() {
        let svg = file(&sample());
        assert_eq!(svg, file(&sample()));
        let Ok(mut child) = std::process::Command::new("xmllint")
            .args(["--noout", "-"])
            .stdin(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped())
            .spawn()
        else {
            return; // not installed: usvg has read it in the other tests
        };
        std::io::Write::write_all(child.stdin.as_mut().unwrap(), svg.as_bytes()).unwrap();
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }

    #[test]
    fn pages_stand_one_below_the_other() {
        use crate::drawing::page::{Block, Date};
        let page = || Page {
            name: "Page".into(),
            width: 100.0,
            height: 80.0,
            blocks: vec![Block::Figure(sample(), "A plate.".into())],
        };
        let date = Date::new(2026, 11, 25).unwrap();
        let pages = vec![page(), page()];
        let (title, author, subject) = ("Two pages".into(), String::new(), String::new());
        let svg = write_document(&Document { title, author, subject, date, pages }).unwrap();
        let map = raster(&svg, 10.0);
        assert_eq!((map.width() / 10, map.height() / 10), (100, 160));
        for page in [0.0, 80.0] {
            // The plate of the sample is 10 to 30 mm by 20 to 25 mm.
            let inside = map.pixel(200, ((22.0 + page) * 10.0) as u32).unwrap();
            let outside = map.pixel(200, ((26.0 + page) * 10.0) as u32).unwrap();
            assert!(inside.red() < 64 && outside.red() > 192);
        }
    }

    #[test]
    fn what_is_not_a_number_is_refused() {
        let mut list = sample();
        list.shapes.push(text((f64::NAN, 1.0), Anchor::Left, 0.0, "1.10 mm below"));
        let error = write(&list.shapes, 100.0, 80.0, print_colour, "t", "d").unwrap_err();
        assert_eq!(
            error.to_string(),
            "the drawing holds a place that is not a number, in the text \"1.10 mm below\""
        );
        assert!(write(&[], 0.0, 80.0, print_colour, "t", "d").is_err());
    }
}
