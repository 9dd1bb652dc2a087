//! Pages as PDF files that archives keep and that screen readers can read:
//! PDF/A-2a and PDF/UA-1 are checked at every export. The same document always
//! gives the same bytes.
//!
//! The file asks viewers to print at true size (`/PrintScaling /None`); not
//! every viewer obeys, so a page that must be true to scale carries a bar to
//! lay a rule on.

use std::num::NonZeroU16;

use krilla::Document as Pdf;
use krilla::SerializeSettings;
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint, Transform};
use krilla::metadata::{DateTime, Metadata, TextDirection};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, SpanTag, TableHeaderScope, Tag, TagGroup, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use kurbo::{BezPath, PathEl, Point};

use super::{OutputError, check, check_paper, print_colour};
use crate::drawing::lettering::{self, printable, text_width};
use crate::drawing::list::{Anchor, DisplayList, Ink, Shape};
use crate::drawing::page::{Block, Cell, CellKind, Document, Page};
use crate::engine::num;

/// Points of PDF in a millimetre.
const POINTS: f32 = 72.0 / 25.4;

/// Returns the document as a PDF file.
///
/// # Errors
///
/// When a page has no area, a shape is not finite, or a rule of PDF/A-2a or
/// PDF/UA-1 is broken, such as a drawing without a description.
pub fn write(document: &Document) -> Result<Vec<u8>, OutputError> {
    for page in &document.pages {
        check_paper(page.width, page.height)?;
        check(page.shapes())?;
    }
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A2_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| OutputError::Pdf(format!("{error:?}")))?;
    let mut pdf = Pdf::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    let fonts = Fonts::new()?;
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    let mut outline = Outline::new();
    for (index, page) in document.pages.iter().enumerate() {
        tree.push(write_page(&mut pdf, page, &fonts)?);
        if !page.name.is_empty() {
            let top = XyzDestination::new(index, PdfPoint::from_xy(0.0, 0.0));
            outline.push_child(OutlineNode::new(printable(&page.name).into_owned(), top));
        }
    }
    pdf.set_tag_tree(tree);
    pdf.set_outline(outline);
    pdf.set_metadata(metadata(document));
    let bytes = pdf.finish().map_err(|error| OutputError::Pdf(explain(&error)))?;
    print_at_true_size(bytes)
}

fn metadata(document: &Document) -> Metadata {
    let (year, month, day) = document.date.parts();
    let date = DateTime::new(year).month(month).day(day).hour(0).minute(0).second(0).utc_offset_hour(0);
    let metadata = Metadata::new()
        .title(document.title.clone())
        .description(document.subject.clone())
        .language("en".to_owned())
        .creator(concat!("crowndeck ", env!("CARGO_PKG_VERSION")).to_owned())
        .creation_date(date)
        .text_direction(TextDirection::LeftToRight);
    if document.author.is_empty() { metadata } else { metadata.authors(vec![document.author.clone()]) }
}

/// Returns all rules that were broken, in words.
fn explain(error: &KrillaError) -> String {
    match error {
        KrillaError::Validation(broken) => {
            let rules: Vec<String> = broken.iter().map(|(rule, _)| format!("{rule:?}")).collect();
            rules.join("; ")
        }
        error => error.to_string(),
    }
}

struct Fonts {
    regular: Font,
    semibold: Font,
}

impl Fonts {
    fn new() -> Result<Self, OutputError> {
        let font = |bytes: &'static [u8]| {
            Font::new(bytes.into(), 0)
                .ok_or_else(|| OutputError::Pdf("the built-in font can't be read".to_owned()))
        };
        Ok(Self { regular: font(lettering::REGULAR)?, semibold: font(lettering::SEMIBOLD)? })
    }
}

fn write_page(pdf: &mut Pdf, page: &Page, fonts: &Fonts) -> Result<TagGroup, OutputError> {
    let settings = PageSettings::from_wh(narrow(page.width) * POINTS, narrow(page.height) * POINTS)
        .ok_or(OutputError::Paper(page.width, page.height))?;
    let mut pdf_page = pdf.start_page_with(settings);
    let mut surface = pdf_page.surface();
    // From here on everything is millimetres, widths of lines included.
    surface.push_transform(&Transform::from_scale(POINTS, POINTS));
    let mut section = TagGroup::new(Tag::Section);
    for block in &page.blocks {
        if let Some(group) = write_block(&mut surface, block, fonts) {
            section.push(group);
        }
    }
    surface.pop();
    surface.finish();
    pdf_page.finish();
    Ok(section)
}

fn write_block(surface: &mut Surface<'_>, block: &Block, fonts: &Fonts) -> Option<TagGroup> {
    match block {
        Block::Ornament(list) => {
            ornament(surface, &list.shapes, fonts);
            None
        }
        Block::Heading(level, list) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            let mut group = TagGroup::new(Tag::Hn(level, Some(words(list))));
            write_texts(surface, list, fonts, &mut group);
            Some(group)
        }
        Block::Paragraph(list) => {
            let mut group = TagGroup::new(Tag::P);
            write_texts(surface, list, fonts, &mut group);
            Some(group)
        }
        Block::Figure(list, alt) => {
            let mut group = TagGroup::new(Tag::Figure(Some(printable(alt).into_owned())));
            let id = surface.start_tagged(ContentTag::Other);
            for shape in &list.shapes {
                write_shape(surface, shape, fonts);
            }
            surface.end_tagged();
            group.push(id);
            Some(group)
        }
        Block::Table(rows, summary) => {
            let mut table = TagGroup::new(Tag::Table.with_summary(Some(summary.clone())));
            for row in rows {
                table.push(write_row(surface, row, fonts));
            }
            Some(table)
        }
    }
}

fn write_row(surface: &mut Surface<'_>, row: &[Cell], fonts: &Fonts) -> TagGroup {
    let mut group = TagGroup::new(Tag::TR);
    for cell in row {
        let mut tagged = match cell.kind {
            CellKind::RowHead => TagGroup::new(Tag::TH(TableHeaderScope::Row)),
            CellKind::ColumnHead => TagGroup::new(Tag::TH(TableHeaderScope::Column)),
            CellKind::Value => TagGroup::new(Tag::TD),
        };
        write_texts(surface, &cell.list, fonts, &mut tagged);
        group.push(tagged);
    }
    group
}

/// Writes the texts as content of the group; lines between them are ornaments.
fn write_texts(surface: &mut Surface<'_>, list: &DisplayList, fonts: &Fonts, group: &mut TagGroup) {
    for shape in &list.shapes {
        if matches!(shape, Shape::Text { .. }) {
            let id: Identifier = surface.start_tagged(ContentTag::Span(SpanTag::empty()));
            write_shape(surface, shape, fonts);
            surface.end_tagged();
            group.push(id);
        } else {
            ornament(surface, std::slice::from_ref(shape), fonts);
        }
    }
}

fn ornament(surface: &mut Surface<'_>, shapes: &[Shape], fonts: &Fonts) {
    let _ = surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
    for shape in shapes {
        write_shape(surface, shape, fonts);
    }
    surface.end_tagged();
}

fn write_shape(surface: &mut Surface<'_>, shape: &Shape, fonts: &Fonts) {
    match shape {
        Shape::Fill { path, ink } => {
            if let Some(path) = convert(path) {
                surface.set_fill(Some(fill(*ink)));
                surface.set_stroke(None);
                surface.draw_path(&path);
            }
        }
        Shape::Stroke { path, ink, width, dash } => {
            if let Some(path) = convert(path) {
                let array: Vec<f32> = dash.pattern().iter().map(|&n| narrow(n * width)).collect();
                surface.set_fill(None);
                surface.set_stroke(Some(Stroke {
                    paint: colour(*ink).into(),
                    width: narrow(*width),
                    line_join: LineJoin::Round,
                    dash: (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 }),
                    ..Stroke::default()
                }));
                surface.draw_path(&path);
            }
        }
        Shape::Text { at, anchor, turn_deg, size, bold, ink, text } => {
            let before = match anchor {
                Anchor::Left => 0.0,
                Anchor::Middle => -0.5 * text_width(text, *size, *bold),
                Anchor::Right => -text_width(text, *size, *bold),
            };
            // The space at the end keeps texts apart for whoever copies or
            // searches them.
            let text = format!("{} ", printable(text));
            let glyphs: Vec<KrillaGlyph> = lettering::glyphs(&text, *bold)
                .map(|g| {
                    let id = GlyphId::new(g.id.into());
                    KrillaGlyph::new(id, narrow(g.advance), 0.0, 0.0, 0.0, g.range, None)
                })
                .collect();
            let font = if *bold { &fonts.semibold } else { &fonts.regular };
            surface.set_fill(Some(fill(*ink)));
            surface.set_stroke(None);
            surface.push_transform(&turned(*at, *turn_deg));
            let start = PdfPoint::from_xy(narrow(before), 0.0);
            surface.draw_glyphs(start, &glyphs, font.clone(), &text, narrow(*size), false);
            surface.pop();
        }
    }
}

/// Returns the transform that moves the origin to `at` and turns
/// counter-clockwise as seen, y down.
fn turned(at: Point, turn_deg: f64) -> Transform {
    // Quarter turns are exact.
    let (sin, cos) = match turn_deg {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        -90.0 => (-1.0, 0.0),
        deg => num::sin_cos(deg * num::PI / 180.0),
    };
    let (sin, cos) = (narrow(sin), narrow(cos));
    Transform::from_row(cos, -sin, sin, cos, narrow(at.x), narrow(at.y))
}

fn fill(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), opacity: NormalizedF32::ONE, rule: FillRule::EvenOdd }
}

fn colour(ink: Ink) -> rgb::Color {
    let [r, g, b] = print_colour(ink);
    rgb::Color::new(r, g, b)
}

/// Converts a path; `None` for a path without segments.
fn convert(path: &BezPath) -> Option<Path> {
    let mut out = PathBuilder::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => out.move_to(narrow(p.x), narrow(p.y)),
            PathEl::LineTo(p) => out.line_to(narrow(p.x), narrow(p.y)),
            PathEl::QuadTo(a, p) => out.quad_to(narrow(a.x), narrow(a.y), narrow(p.x), narrow(p.y)),
            PathEl::CurveTo(a, b, p) => {
                out.cubic_to(narrow(a.x), narrow(a.y), narrow(b.x), narrow(b.y), narrow(p.x), narrow(p.y));
            }
            PathEl::ClosePath => out.close(),
        }
    }
    out.finish()
}

/// Rounds to single precision, as the PDF has it: at 300 mm that is 0.00003 mm.
fn narrow(value: f64) -> f32 {
    value as f32
}

/// Returns the texts of a list in one line.
fn words(list: &DisplayList) -> String {
    let texts = list.shapes.iter().filter_map(|shape| match shape {
        Shape::Text { text, .. } => Some(printable(text)),
        _ => None,
    });
    texts.collect::<Vec<_>>().join(" ")
}

/// Adds `/PrintScaling /None` (ISO 32000-1, table 150) to the finished file.
/// The viewer preferences are in the document catalog, which is the last object
/// before the cross-reference table, so that of all places in the file only the
/// table itself moves.
fn print_at_true_size(mut pdf: Vec<u8>) -> Result<Vec<u8>, OutputError> {
    const WISH: &[u8] = b"/PrintScaling/None";
    let moved = || OutputError::Pdf("the layout of the file is not the one expected".to_owned());
    let preferences = find_last(&pdf, b"/ViewerPreferences", pdf.len()).ok_or_else(moved)?;
    let inside = preferences + find(&pdf[preferences..], b"<<").ok_or_else(moved)? + 2;
    let start = find_last(&pdf, b"startxref", pdf.len()).ok_or_else(moved)? + b"startxref".len();
    let end = start + find(&pdf[start..], b"%%EOF").ok_or_else(moved)?;
    let table: usize = std::str::from_utf8(&pdf[start..end])
        .ok()
        .and_then(|digits| digits.trim().parse().ok())
        .ok_or_else(moved)?;
    let is_table = pdf.get(table..).is_some_and(|rest| rest.starts_with(b"xref"));
    let objects_after =
        pdf.get(inside..table).map_or(0, |rest| rest.windows(6).filter(|w| w == b"endobj").count());
    if !is_table || objects_after != 1 {
        return Err(moved());
    }
    let place = format!("\n{}\n", table + WISH.len());
    pdf.splice(start..end, place.into_bytes());
    pdf.splice(inside..inside, WISH.iter().copied());
    Ok(pdf)
}

fn find(haystack: &[u8], needle: &[u8]) -> Option<usize> {
    haystack.windows(needle.len()).position(|window| window == needle)
}

fn find_last(haystack: &[u8], needle: &[u8], before: usize) -> Option<usize> {
    haystack.get(..before)?.windows(needle.len()).rposition(|window| window == needle)
}

#[cfg(test)]
mod tests;
