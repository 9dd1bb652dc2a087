//! The page as a reader meets it.

use kurbo::{Circle, Shape as _};

use super::*;
use crate::drawing::lettering::{CAPITAL_HEIGHT, text_width};
use crate::drawing::list::{DisplayList, Shape};
use crate::drawing::page::{Date, Page};
use crate::report::section::{Note, Weight};
use crate::sheet::draft::outline;
use crate::sheet::paper::Stamp;

fn picture(list: DisplayList, bounds: Rect, alt: &str) -> Picture {
    Picture {
        list,
        bounds,
        alt: alt.into(),
        left_out: Vec::new(),
        texts: Vec::new(),
        spots: Vec::new(),
        handles: Vec::new(),
    }
}

/// A plate of 150 by 300 mm with a disc as its detail.
fn draw(scale: f64, circles: f64) -> Pictures {
    let plate = Rect::new(0.0, 0.0, 150.0 * scale, 300.0 * scale);
    let radius = 25.0 * circles;
    let path = Circle::new((radius, radius), radius).to_path(0.01);
    let disc = Shape::Fill { path, ink: crate::drawing::list::Ink::Solid };
    Pictures {
        section: picture(list([outline(plate, 0.5)]), plate, "A plate."),
        details: vec![picture(list([disc]), Rect::new(0.0, 0.0, 2.0 * radius, 2.0 * radius), "A disc.")],
        detail_scale: "5:1".into(),
    }
}

fn row(name: &str, value: &str, note: &str) -> FactRow {
    FactRow {
        name: name.into(),
        short: String::new(),
        value: value.into(),
        note: note.into(),
        light: note == "assumed",
    }
}

fn page(paper: Paper, dimensions: usize, cautions: usize, title: &str) -> SectionPage<'static> {
    let caution = |i: usize| Note {
        weight: if i < 2 { Weight::Broken } else { Weight::Standing },
        text: format!(
            "Caution {i}: measure again with the real parts, clamped as they will run in the engine."
        ),
    };
    SectionPage {
        imprint: TitleBlock {
            paper,
            stamp: Stamp { date: Date::new(2026, 11, 25).unwrap(), author: title.into() },
            engine: title.into(),
            owner: title.into(),
            state: "as entered".into(),
            fingerprint: "7c1e 90d4".into(),
        },
        cylinder: "1".into(),
        crank_deg: 0.0,
        figures: vec![row("Deck clearance", "1.20 mm below", "±0.02"); 9],
        terms: vec![row("Valve pockets", "+6.0 cc", "from the gap"); 7],
        dimensions: vec![
            FactRow {
                short: "Compr. height".into(),
                ..row("Compression height", "136.00 mm", "measured")
            };
            dimensions
        ],
        cautions: (0..cautions).map(caution).collect(),
        size: Size::new(150.0, 300.0),
        draw: &draw,
    }
}

/// Where the level texts outside of drawings are: from baseline to the top of
/// the capitals.
fn text_boxes(page: &Page) -> Vec<(Rect, &str)> {
    let written = page.blocks.iter().filter(|block| !matches!(block, Block::Figure(..)));
    let boxes = written.flat_map(Block::shapes).filter_map(|shape| match shape {
        Shape::Text { at, anchor, size, bold, text, .. } if !text.is_empty() => {
            let width = text_width(text, *size, *bold);
            let left = match anchor {
                Anchor::Left => at.x,
                Anchor::Middle => at.x - width / 2.0,
                Anchor::Right => at.x - width,
            };
            Some((Rect::new(left, at.y - size * CAPITAL_HEIGHT, left + width, at.y), text.as_str()))
        }
        _ => None,
    });
    boxes.collect()
}

/// All texts of a document, drawings included.
pub(crate) fn texts(document: &Document) -> Vec<String> {
    let shapes = document.pages.iter().flat_map(Page::shapes);
    let texts = shapes.filter_map(|shape| match shape {
        Shape::Text { text, .. } => Some(text.clone()),
        _ => None,
    });
    texts.collect()
}

/// Texts lie inside the frame, over no other text and over no drawing, and
/// drawings over no other drawing.
pub(crate) fn assert_nothing_collides(document: &Document, paper: Paper) {
    let frame = paper.frame();
    for page in &document.pages {
        let boxes = text_boxes(page);
        for (i, (a, says)) in boxes.iter().enumerate() {
            assert!(frame.union(*a) == frame, "{says:?} leaves the frame: {a:?}");
            for (b, other) in &boxes[i + 1..] {
                assert!(a.intersect(*b).is_zero_area(), "{says:?} lies over {other:?}");
            }
        }
        let figures = page.blocks.iter().filter(|block| matches!(block, Block::Figure(..)));
        let drawn = |block: &Block| {
            let boxes = block.shapes().filter_map(|shape| match shape {
                Shape::Fill { path, .. } | Shape::Stroke { path, .. } if !path.is_empty() => {
                    Some(path.bounding_box())
                }
                _ => None,
            });
            boxes.reduce(|a, b| a.union(b)).unwrap()
        };
        let drawn: Vec<Rect> = figures.map(drawn).collect();
        for (i, a) in drawn.iter().enumerate() {
            assert!(frame.union(*a) == frame, "a drawing leaves the frame: {a:?}");
            for (text, says) in &boxes {
                assert!(a.intersect(*text).is_zero_area(), "{says:?} lies over a drawing");
            }
            for b in &drawn[i + 1..] {
                assert!(a.intersect(*b).is_zero_area(), "a drawing lies over another");
            }
        }
    }
}

#[test]
fn nothing_lies_over_anything_else_on_either_paper() {
    let long =
        "The generator engine of the North bench with two barrels on shims, number 0417, second rebuild";
    for paper in [Paper::A4, Paper::Letter] {
        for (dimensions, cautions, title) in [(8, 0, "Short"), (16, 8, "Short"), (21, 25, long), (0, 3, long)]
        {
            let document = page(paper, dimensions, cautions, title).document();
            assert_nothing_collides(&document, paper);
        }
    }
}

#[test]
fn the_drawing_has_the_largest_standard_scale_that_fits_and_says_so() {
    let document = page(Paper::A4, 12, 4, "Short").document();
    let Some(Block::Figure(list, _)) =
        document.pages[0].blocks.iter().find(|b| matches!(b, Block::Figure(..)))
    else {
        panic!()
    };
    let [Shape::Stroke { path, .. }] = list.shapes.as_slice() else { panic!() };
    assert!((path.bounding_box().height() - 150.0).abs() < 1e-9, "300 mm at 1:2");
    assert!(text_boxes(&document.pages[0]).iter().any(|(_, says)| *says == "1:2 (5:1)"));
}

#[test]
fn no_caution_is_lost() {
    let document = page(Paper::Letter, 21, 30, "Short").document();
    assert_eq!(document.pages.len(), 2);
    let says: Vec<String> =
        document.pages.iter().flat_map(text_boxes).map(|(_, says)| says.to_owned()).collect();
    for i in 0..30 {
        assert!(says.iter().any(|line| line.starts_with(&format!("Caution {i}:"))), "caution {i} is missing");
    }
    assert!(text_boxes(&document.pages[0]).iter().any(|(_, says)| says.starts_with("Caution 0:")));
    assert!(says.iter().any(|line| line == "2 / 2"));
}

#[test]
fn the_page_is_accepted_as_an_archivable_pdf_and_as_svg() {
    let document = page(Paper::A4, 12, 6, "Short").document();
    let pdf = crate::render::pdf::write(&document).unwrap();
    assert!(pdf.starts_with(b"%PDF-1.7"));
    assert_eq!(pdf, crate::render::pdf::write(&document).unwrap());
    let svg = crate::render::svg::write_document(&document);
    assert!(svg.unwrap().contains("A plate. A disc."));
}
