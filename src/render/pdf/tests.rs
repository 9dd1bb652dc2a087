//! Checks of the file by outside programs, where they are installed.

use std::io::Write as _;
use std::process::Command;

use kurbo::{Circle, Rect, Shape as _};

use super::*;
use crate::drawing::list::{Dash, Part};
use crate::drawing::page::Date;

fn text(at: (f64, f64), anchor: Anchor, turn_deg: f64, bold: bool, text: &str) -> Shape {
    Shape::Text { at: at.into(), anchor, turn_deg, size: 5.0, bold, ink: Ink::Edge, text: text.into() }
}

fn list(shapes: Vec<Shape>) -> DisplayList {
    DisplayList { shapes }
}

fn document() -> Document {
    let cell = |kind, x: f64, y: f64, says: &str| Cell {
        kind,
        list: list(vec![text((x, y), Anchor::Left, 0.0, false, says)]),
    };
    let circle = Circle::new((60.0, 60.0), 20.0).to_path(0.001);
    let blocks = vec![
        Block::Ornament(list(vec![Shape::Stroke {
            path: Rect::new(20.0, 10.0, 200.0, 287.0).to_path(0.01),
            ink: Ink::Edge,
            width: 0.7,
            dash: Dash::Solid,
        }])),
        Block::Heading(1, list(vec![text((30.0, 30.0), Anchor::Left, 0.0, true, "Section A–A")])),
        Block::Figure(
            list(vec![
                Shape::Fill { path: Rect::new(10.0, 20.0, 30.0, 25.0).to_path(0.01), ink: Ink::Solid },
                Shape::Fill { path: circle.clone(), ink: Ink::Part(Part::Barrel) },
                Shape::Stroke { path: circle, ink: Ink::Assumed, width: 0.25, dash: Dash::Phantom },
                Shape::Stroke { path: BezPath::new(), ink: Ink::Edge, width: 0.5, dash: Dash::Solid },
                text((100.0, 100.0), Anchor::Middle, 90.0, false, "104.50"),
                text((110.0, 100.0), Anchor::Right, 0.0, false, "Ø86.01"),
            ]),
            "A circle beside a plate.".into(),
        ),
        Block::Table(
            vec![
                vec![
                    cell(CellKind::RowHead, 30.0, 200.0, "Deck clearance"),
                    cell(CellKind::Value, 90.0, 200.0, "1.10 mm below"),
                ],
                vec![
                    cell(CellKind::RowHead, 30.0, 210.0, "Static ratio"),
                    cell(CellKind::Value, 90.0, 210.0, "9.14 圧"),
                ],
            ],
            "Figures of cylinder 1".into(),
        ),
        Block::Paragraph(list(vec![text(
            (30.0, 240.0),
            Anchor::Left,
            0.0,
            false,
            "Measure again with the real parts.",
        )])),
    ];
    Document {
        title: "Cylinder 1, section".into(),
        author: "North bench".into(),
        subject: "A page for the binder".into(),
        date: Date::new(2026, 11, 25).unwrap(),
        pages: vec![Page { name: "Section".into(), width: 210.0, height: 297.0, blocks }],
    }
}

/// Returns what a program says about a file, or `None` if it is not installed.
fn ask(bytes: &[u8], program: &str, arguments: &[&str]) -> Option<(bool, String)> {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(bytes).unwrap();
    let arguments = arguments.iter().map(|&a| if a == "FILE" { file.path().to_str().unwrap() } else { a });
    let output = Command::new(program).args(arguments).output().ok()?;
    let said = [output.stdout, output.stderr].concat();
    Some((output.status.success(), String::from_utf8_lossy(&said).into_owned()))
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let (one, two) = (write(&document()).unwrap(), write(&document()).unwrap());
    assert!(one == two, "{} and {} bytes", one.len(), two.len());
    let mut later = document();
    later.date = Date::new(2026, 11, 26).unwrap();
    assert!(write(&later).unwrap() != one);
}

#[test]
fn a_checker_finds_no_fault_and_viewers_are_asked_for_true_size() {
    let bytes = write(&document()).unwrap();
    if let Some((good, said)) = ask(&bytes, "qpdf", &["--check", "FILE"]) {
        assert!(good && said.contains("No syntax or stream encoding errors"), "{said}");
    }
    if let Some((good, said)) = ask(&bytes, "qpdf", &["--qdf", "FILE", "-"]) {
        assert!(good && said.contains("/PrintScaling /None"), "{said}");
    }
    assert_eq!(bytes.windows(18).filter(|w| w == b"/PrintScaling/None").count(), 1);
    if let Some((good, said)) = ask(&bytes, "pdfinfo", &["FILE"]) {
        for line in [
            "595.276 x 841.89",
            "Tagged:          yes",
            "Author:          North bench",
            "Cylinder 1, section",
        ] {
            assert!(good && said.contains(line), "{line} is not in {said}");
        }
    }
}

#[test]
fn the_fonts_are_embedded_as_subsets() {
    let bytes = write(&document()).unwrap();
    let Some((_, said)) = ask(&bytes, "pdffonts", &["FILE"]) else { return };
    let fonts: Vec<&str> = said.lines().filter(|line| line.contains("IBMPlexSans")).collect();
    assert_eq!(fonts.len(), 2, "{said}");
    for font in fonts {
        // emb, sub, uni
        assert!(font.contains("yes yes yes"), "{font}");
    }
    assert!(bytes.len() < 60_000, "{} bytes", bytes.len());
}

#[test]
fn every_text_can_be_searched() {
    let Some((_, said)) = ask(&write(&document()).unwrap(), "pdftotext", &["-layout", "FILE", "-"]) else {
        return;
    };
    for words in [
        "Section A–A",
        "Deck clearance",
        "1.10 mm below",
        "9.14 \u{FFFD}",
        "Ø86.01",
        "Measure again with the real parts.",
    ] {
        assert!(said.contains(words), "{words} is not in {said}");
    }
}

#[test]
fn an_area_lands_on_its_millimetres() {
    let arguments = ["-r", "254", "-gray", "-x", "0", "-y", "0", "-W", "500", "-H", "400", "FILE"];
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(&write(&document()).unwrap()).unwrap();
    let arguments = arguments.iter().map(|&a| if a == "FILE" { file.path().to_str().unwrap() } else { a });
    let Ok(output) = Command::new("pdftoppm").args(arguments).output() else { return };
    // A grey map of 10 pixels to the millimetre: "P5 500 400 255" and bytes.
    let pixels = &output.stdout[output.stdout.len() - 500 * 400..];
    let black = |x: f64, y: f64| pixels[(y * 10.0) as usize * 500 + (x * 10.0) as usize] < 64;
    for (x, y, inside) in [
        (10.2, 20.2, true),
        (29.7, 24.7, true),
        (9.8, 22.0, false),
        (30.2, 22.0, false),
        (25.0, 19.8, false),
        (25.0, 25.2, false),
    ] {
        assert_eq!(black(x, y), inside, "at {x}, {y} mm");
    }
}

#[test]
fn text_is_set_where_it_is_measured() {
    let Some((_, said)) = ask(&write(&document()).unwrap(), "pdftotext", &["-bbox", "FILE", "-"]) else {
        return;
    };
    let line = said.lines().find(|line| line.contains(">Ø86.01<")).unwrap();
    let number = |name: &str| -> f64 {
        let rest = line.split_once(&format!("{name}=\"")).unwrap().1;
        rest.split('"').next().unwrap().parse().unwrap()
    };
    // Set with its right end at 110 mm.
    let (left, right) = (number("xMin") * 25.4 / 72.0, number("xMax") * 25.4 / 72.0);
    assert!((right - 110.0).abs() < 0.01, "the text ends at {right} mm");
    assert!(
        (right - left - text_width("Ø86.01", 5.0, false)).abs() < 0.01,
        "the text is {} mm wide",
        right - left
    );
}

#[test]
fn a_drawing_without_a_description_is_refused() {
    let mut document = document();
    document.pages[0]
        .blocks
        .push(Block::Figure(list(vec![text((1.0, 1.0), Anchor::Left, 0.0, false, "x")]), String::new()));
    let error = write(&document).unwrap_err();
    assert!(error.to_string().contains("MissingAltText"), "{error}");
}

#[test]
fn what_is_not_a_number_is_refused() {
    let mut document = document();
    document.pages[0].width = f64::NAN;
    assert!(matches!(write(&document), Err(OutputError::Paper(..))));
    document.pages[0].width = 210.0;
    document.pages[0].blocks.push(Block::Ornament(list(vec![text(
        (0.0, f64::INFINITY),
        Anchor::Left,
        0.0,
        false,
        "x",
    )])));
    assert!(matches!(write(&document), Err(OutputError::NotFinite(_))));
}
