//! One drawing, three outputs: the same points in the PDF, in the SVG and on
//! the screen, and on paper at full size as a ruler finds them.

#![expect(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::HashMap;
use std::process::Command;

use crowndeck::drawing::SectionInput;
use crowndeck::drawing::list::{Anchor, Dash, DisplayList, Ink, Shape};
use crowndeck::drawing::page::{Block, Date, Document, Page};
use crowndeck::drawing::parts::{PartsInput, parts};
use crowndeck::drawing::pens::Pens;
use crowndeck::drawing::pictures::pictures;
use crowndeck::engine::Key;
use crowndeck::project::{Project, demos};
use crowndeck::render::{pdf, print_colour, screen, svg};
use crowndeck::scene::cylinder::{measured, parts_input};
use crowndeck::sheet::{Choices, Context, Paper, SheetKind, Stamp, binder, worst_cylinder};
use crowndeck::study::Answers;
use kurbo::{Affine, BezPath, PathEl, Point, Shape as _, Vec2};

const MM_PER_PT: f64 = 25.4 / 72.0;
/// As far as a point of an output may lie from the drawing's, mm.
const APART: f64 = 0.01;

/// A program of others that `tests/all` installs can't be started.
fn missing<T>(error: std::io::Error) -> T {
    panic!("poppler, xmllint or librsvg is missing, `bash tests/all` brings them: {error}")
}

fn day() -> Date {
    Date::new(2026, 11, 26).unwrap()
}

fn section_page(project: &Project, answers: &Answers, paper: Paper) -> Document {
    let question = project.question();
    let cylinder = worst_cylinder(answers);
    let context =
        Context { project, question: &question, answers, units: project.units, cylinder, crank_deg: 0.0 };
    let sheets = vec![SheetKind::Section];
    let choices =
        Choices { sheets, paper, units: context.units, cylinder, every_cylinder: false, crank_deg: 0.0 };
    let stamp = Stamp { date: day(), author: String::new() };
    binder(&context, &choices, &stamp, &mut |_, _| true).unwrap()
}

/// Points that can be asked for what lies near.
#[derive(Default)]
struct Cloud(HashMap<(i64, i64), Vec<Point>>);

impl Cloud {
    fn cell(p: Point) -> (i64, i64) {
        ((p.x / APART).floor() as i64, (p.y / APART).floor() as i64)
    }

    fn add(&mut self, p: Point) {
        self.0.entry(Self::cell(p)).or_default().push(p);
    }

    fn add_path(&mut self, path: &BezPath) {
        path.elements().iter().filter_map(PathEl::end_point).for_each(|p| self.add(p));
    }

    fn has(&self, p: Point) -> bool {
        let (x, y) = Self::cell(p);
        let near = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y)));
        near.filter_map(|cell| self.0.get(&cell)).flatten().any(|q| (*q - p).hypot() <= APART)
    }
}

/// The value of an attribute of an element of SVG.
fn attribute<'a>(element: &'a str, name: &str) -> Option<&'a str> {
    let from = element.find(&format!(" {name}=\""))? + name.len() + 3;
    element[from..].split('"').next()
}

/// All paths of an SVG file, moved as their elements say, times `scale`.
fn svg_points(file: &str, scale: f64) -> Cloud {
    let mut cloud = Cloud::default();
    for element in file.split('<').filter(|element| element.starts_with("path ")) {
        let mut path = BezPath::from_svg(attribute(element, "d").unwrap()).unwrap();
        if let Some(matrix) = attribute(element, "transform") {
            let numbers = matrix.trim_start_matches("matrix(").trim_end_matches(')');
            let numbers: Vec<f64> = numbers.split([',', ' ']).filter_map(|n| n.trim().parse().ok()).collect();
            path.apply_affine(Affine::new(numbers.try_into().unwrap()));
        }
        path.apply_affine(Affine::scale(scale));
        cloud.add_path(&path);
    }
    cloud
}

/// What the PDF holds, read back by a program of others (poppler).
fn pdf_points(document: &Document, at: &std::path::Path) -> Cloud {
    std::fs::write(at.join("page.pdf"), pdf::write(document).unwrap()).unwrap();
    let status = Command::new("pdftocairo")
        .args(["-svg", "-noshrink", "-nocenter", "-f", "1", "-l", "1", "page.pdf", "page.svg"])
        .current_dir(at)
        .status()
        .unwrap_or_else(missing);
    assert!(status.success(), "pdftocairo");
    svg_points(&std::fs::read_to_string(at.join("page.svg")).unwrap(), MM_PER_PT)
}

/// What goes to the screen, a point of it taken for a millimetre.
fn screen_points(list: &DisplayList) -> Cloud {
    fn add(shape: &egui::Shape, cloud: &mut Cloud) {
        let mut take = |p: &egui::Pos2| cloud.add(Point::new(f64::from(p.x), f64::from(p.y)));
        match shape {
            egui::Shape::LineSegment { points, .. } => points.iter().for_each(take),
            egui::Shape::Path(path) => path.points.iter().for_each(take),
            egui::Shape::Mesh(mesh) => mesh.vertices.iter().for_each(|vertex| take(&vertex.pos)),
            egui::Shape::Vec(shapes) => shapes.iter().for_each(|shape| add(shape, cloud)),
            _ => {}
        }
    }
    let drawn = screen::outlines(list, |_| egui::Color32::BLACK, egui::Pos2::ZERO, 20.0);
    assert!(drawn.faults.is_empty(), "{:?}", drawn.faults.len());
    let mut cloud = Cloud::default();
    drawn.shapes.iter().for_each(|shape| add(shape, &mut cloud));
    cloud
}

/// The corners of a path. A point on a straight stretch is none: programs that
/// read paths leave such points out.
fn corners(path: &BezPath) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for p in path.elements().iter().filter_map(PathEl::end_point) {
        if points.last().is_none_or(|last| (*last - p).hypot() > APART) {
            points.push(p);
        }
    }
    let straight = |i: usize| {
        let (a, b, c) = (points[i - 1], points[i], points[i + 1]);
        (b - a).cross(c - b).abs() < 1e-3 * (b - a).hypot() * (c - b).hypot()
    };
    (0..points.len())
        .filter(|&i| i == 0 || i + 1 == points.len() || !straight(i))
        .map(|i| points[i])
        .collect()
}

#[test]
fn pdf_svg_and_screen_put_every_corner_where_the_drawing_has_it() {
    let folder = tempfile::tempdir().unwrap();
    for demo in demos() {
        let project = demo.project().unwrap();
        let answers = Answers::to(&project.question());
        for paper in [Paper::A4, Paper::Letter] {
            let document = section_page(&project, &answers, paper);
            let page = &document.pages[0];
            let shapes = &page.at_scale(1.0).shapes;
            let file =
                svg::write(shapes, page.width, page.height, print_colour, "Section", "Section").unwrap();
            let clouds = [
                ("PDF", pdf_points(&document.only(0).unwrap(), folder.path())),
                ("SVG", svg_points(&file, 1.0)),
                ("screen", screen_points(&page.at_scale(1.0))),
            ];
            let mut asked = 0;
            for shape in page.shapes() {
                let Shape::Stroke { path, dash: Dash::Solid, ink, .. } = shape else { continue };
                for p in corners(path) {
                    asked += 1;
                    for (name, cloud) in &clouds {
                        assert!(cloud.has(p), "{}: {ink:?} at {p:?} is not in the {name}", demo.id);
                    }
                }
            }
            assert!(asked > 500, "{}: {asked} points", demo.id);
        }
    }
}

/// A page must have a heading to be read aloud.
fn heading(text: &str) -> Block {
    let heading = Shape::Text {
        at: Point::new(10.0, 5.0),
        anchor: Anchor::Left,
        turn_deg: 0.0,
        size: 3.0,
        bold: true,
        ink: Ink::Edge,
        text: text.into(),
    };
    Block::Heading(1, DisplayList { shapes: vec![heading] })
}

/// The SVG file drawn by a program of others (librsvg).
fn svg_as_pdf(file: &str, at: &std::path::Path) -> Vec<u8> {
    std::fs::write(at.join("page.svg"), file).unwrap();
    let lint = Command::new("xmllint")
        .args(["--noout", "page.svg"])
        .current_dir(at)
        .status()
        .unwrap_or_else(missing);
    assert!(lint.success(), "xmllint");
    let drawn = Command::new("rsvg-convert")
        .args(["-f", "pdf", "-d", "72", "-p", "72", "page.svg"])
        .current_dir(at)
        .output()
        .unwrap_or_else(missing);
    assert!(drawn.status.success(), "rsvg-convert");
    drawn.stdout
}

/// Seen from arm's length, areas and lines are the same in PDF and SVG. Letters
/// are left out: a viewer that lacks the font takes another.
#[test]
fn the_svg_of_a_page_looks_like_its_pdf() {
    const DPI: u32 = 60;
    let folder = tempfile::tempdir().unwrap();
    for demo in demos() {
        let project = demo.project().unwrap();
        let answers = Answers::to(&project.question());
        let mut document = section_page(&project, &answers, Paper::A4).only(0).unwrap();
        let page = &mut document.pages[0];
        let mut list = page.at_scale(1.0);
        list.shapes.retain(|shape| !matches!(shape, Shape::Text { .. }));
        page.blocks = vec![heading("Section"), Block::Figure(list.clone(), "A section".into())];
        let file =
            svg::write(&list.shapes, page.width, page.height, print_colour, "Section", "Section").unwrap();
        let of_pdf = Raster::of(&pdf::write(&document).unwrap(), DPI, folder.path());
        let of_svg = Raster::of(&svg_as_pdf(&file, folder.path()), DPI, folder.path());
        let sizes = (of_pdf.width, of_pdf.pixels.len());
        assert_eq!((of_svg.width, of_svg.pixels.len()), sizes, "{}", demo.id);
        let ink = |raster: &Raster| raster.pixels.iter().map(|&p| f64::from(255 - p)).sum::<f64>();
        let apart: f64 =
            of_pdf.pixels.iter().zip(&of_svg.pixels).map(|(&a, &b)| f64::from(a.abs_diff(b))).sum();
        let part = apart / ink(&of_pdf);
        assert!(part < 0.02, "{}: {part} of the ink lies elsewhere", demo.id);
    }
}

/// A page in shades of grey, 0 black.
struct Raster {
    width: usize,
    pixels: Vec<u8>,
    dots_per_mm: f64,
}

impl Raster {
    /// The first page as a printer would put it on paper, by poppler.
    fn of(file: &[u8], dpi: u32, at: &std::path::Path) -> Self {
        std::fs::write(at.join("full.pdf"), file).unwrap();
        let dots = dpi.to_string();
        let output = Command::new("pdftoppm")
            .args(["-gray", "-r", &dots, "-f", "1", "-l", "1", "full.pdf"])
            .current_dir(at)
            .output()
            .unwrap_or_else(missing);
        assert!(output.status.success(), "pdftoppm");
        // P5, width, height, 255, each ended by white space.
        let mut fields = Vec::new();
        let mut at = 0;
        while fields.len() < 4 {
            let len = output.stdout[at..].iter().position(u8::is_ascii_whitespace).unwrap();
            fields.push(String::from_utf8_lossy(&output.stdout[at..at + len]).into_owned());
            at += len + 1;
        }
        assert_eq!((fields[0].as_str(), fields[3].as_str()), ("P5", "255"));
        let width = fields[1].parse().unwrap();
        Self { width, pixels: output.stdout[at..].to_vec(), dots_per_mm: f64::from(dpi) / 25.4 }
    }

    fn dark(&self, x: usize, y: usize) -> f64 {
        1.0 - f64::from(self.pixels[y * self.width + x]) / 255.0
    }

    fn dots(&self, range: (f64, f64)) -> std::ops::Range<usize> {
        (range.0 * self.dots_per_mm).round() as usize..(range.1 * self.dots_per_mm).round() as usize
    }

    /// Middles of the lines, mm, that cross the whole band: `along` says where
    /// they are looked for, `across` over which stretch they run through. With
    /// `upright` they stand.
    fn lines(&self, along: (f64, f64), across: (f64, f64), upright: bool) -> Vec<f64> {
        let band = self.dots(across);
        let count = band.len() as f64;
        let mut lines = Vec::new();
        let mut run = (0.0, 0.0);
        for i in self.dots(along) {
            let sum: f64 =
                band.clone().map(|j| if upright { self.dark(i, j) } else { self.dark(j, i) }).sum();
            let dark = sum / count;
            // An assumed outline is grey, section lining lighter still.
            if dark > 0.35 {
                run = (run.0 + dark, run.1 + dark * (i as f64 + 0.5));
            } else if run.0 > 0.0 {
                lines.push(run.1 / run.0 / self.dots_per_mm);
                run = (0.0, 0.0);
            }
        }
        lines
    }
}

/// The section alone at full size on a sheet as large as it needs, and where
/// the crank centre lies on it.
fn full_size(input: &SectionInput<'_>) -> (Document, Vec2) {
    let picture = pictures(input, 1.0, &Pens::PAPER).section;
    let margin = 10.0;
    let by = Vec2::new(margin - picture.bounds.x0, margin - picture.bounds.y0);
    let shapes = picture.list.shapes.into_iter().map(|mut shape| {
        match &mut shape {
            Shape::Fill { path, .. } | Shape::Stroke { path, .. } => {
                path.apply_affine(Affine::translate(by));
            }
            Shape::Text { at, .. } => *at += by,
        }
        shape
    });
    let page = Page {
        name: "Full size".into(),
        width: picture.bounds.width() + 2.0 * margin,
        height: picture.bounds.height() + 2.0 * margin,
        blocks: vec![
            heading("Full size"),
            Block::Figure(DisplayList { shapes: shapes.collect() }, picture.alt),
        ],
    };
    let document = Document {
        title: "Full size".into(),
        author: String::new(),
        subject: "One cylinder at full size".into(),
        date: day(),
        pages: vec![page],
    };
    (document, by)
}

/// A ruler on the paper: bore, stroke, rod and compression height, and the
/// gap at the edge of the crown, as far apart as the dimensions say.
#[test]
fn a_ruler_finds_bore_stroke_and_gap_on_a_print_at_full_size() {
    const OFF: f64 = 0.05;
    let folder = tempfile::tempdir().unwrap();
    let mut gaps = 0;
    for demo in demos() {
        let project = demo.project().unwrap();
        let answers = Answers::to(&project.question());
        let solved = answers.cylinders[0].result.as_ref().unwrap();
        let (made, _): (PartsInput, _) = parts_input(&project.engine, &solved.engine).unwrap();
        let input = SectionInput::new(&made, measured(&project.engine, 0));
        let (document, by) = full_size(&input);
        let raster = Raster::of(&pdf::write(&document).unwrap(), 600, folder.path());
        let value = |key: Key| solved.engine.dims().filled(key).unwrap();
        let model = parts(&made, 0.0);
        let d = &model.datums;
        // A height of the model as a height on the paper.
        let y = |model_y: f64| by.y - model_y;
        let near = |a: f64, b: f64| (a.min(b), a.max(b));

        // The bore's wall where it ends, below the skirt.
        let walls = model.pieces.iter().flat_map(|piece| &piece.measured).filter(|e| e.key == Key::Bore);
        let low = walls.map(|edge| edge.path.bounding_box().y0).fold(d.top_y, f64::min);
        let rows = near(y(low + 1.0), y(low + 4.0));
        let found: Vec<f64> = [-1.0, 1.0]
            .iter()
            .map(|side| {
                let x = by.x + side * d.bore_x;
                let lines = raster.lines((x - 1.5, x + 1.5), rows, true);
                assert_eq!(lines.len(), 1, "{}: {lines:?} around {x}", demo.id);
                lines[0]
            })
            .collect();
        let bore = found[1] - found[0];
        assert!((bore - value(Key::Bore)).abs() < OFF, "{}: bore {bore}", demo.id);

        // The extension lines of the chain at the left, from below: crank
        // centre, crankpin, piston pin, rim.
        let rail = by.x - d.widest_x - Pens::PAPER.first_line;
        let lines = raster.lines((y(d.rim_y) - 3.0, y(0.0) + 3.0), (rail + 2.0, rail + 5.0), false);
        assert_eq!(lines.len(), 4, "{}: {lines:?}", demo.id);
        let [rim, pin, crankpin, centre] = lines[..] else { unreachable!("four lines") };
        for (name, wide, wanted) in [
            ("stroke", 2.0 * (centre - crankpin), value(Key::Stroke)),
            ("rod", crankpin - pin, value(Key::RodLength)),
            ("compression height", pin - rim, value(Key::CompressionHeight)),
        ] {
            assert!((wide - wanted).abs() < OFF, "{}: {name} {wide} for {wanted}", demo.id);
        }

        // Where a flat crown meets a flat band, from rim to band.
        let x = by.x - d.bore_x;
        let (from, to) = (made.crown.top().y(-d.bore_x + 1.2), made.crown.top().y(-d.bore_x + 2.6));
        let flat = from.abs() < 1e-9 && to.abs() < 1e-9 && made.chamber.opening_mm() / 2.0 < d.bore_x - 2.6;
        let gap = d.band_y - d.rim_y;
        if flat && gap > 1.0 {
            let lines = raster.lines((y(d.band_y) - 0.6, y(d.rim_y) + 0.6), (x + 1.2, x + 2.6), false);
            assert!(lines.len() >= 2, "{}: {lines:?}", demo.id);
            let wide = lines[lines.len() - 1] - lines[0];
            assert!((wide - gap).abs() < OFF, "{}: gap {wide} for {gap}", demo.id);
            gaps += 1;
        }
    }
    assert!(gaps > 0, "no demo engine has a flat band over a flat rim");
}
