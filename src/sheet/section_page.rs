//! The section page: one cylinder, drawn to a stated scale, with everything
//! that a builder wants beside it in the binder.

use kurbo::{Point, Rect, Vec2};

use super::draft::{Row, Style, Table, Type, count, list, moved, text};
use super::frame::{BAR_HEIGHT, Field, TitleBlock, border, check_bar};
use super::paper::{Paper, Stamp};
use super::scale::Scale;
use crate::drawing::list::{Anchor, DisplayList, Shape};
use crate::drawing::page::{Block, Document, Page};

/// A drawing that a sheet can place: lowered for paper at some scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// What to draw, mm.
    pub list: DisplayList,
    /// The space that it takes.
    pub bounds: Rect,
    /// What it shows, in words.
    pub alt: String,
}

/// The drawings of one cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawings {
    /// The section.
    pub section: Picture,
    /// Enlarged details, the most important first.
    pub details: Vec<Picture>,
    /// What the title block says of the details' scale, such as "5:1".
    pub detail_scale: String,
}

/// How much a caution weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// A limit is broken.
    Broken,
    /// A limit is near, or something that matters is not known.
    Close,
    /// Holds for every engine.
    Standing,
}

/// One thing to beware of.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// How much it weighs.
    pub weight: Weight,
    /// One or two sentences.
    pub text: String,
}

/// Everything on the page, as texts, and the drawing.
pub struct SectionPage<'a> {
    /// The paper.
    pub paper: Paper,
    /// When and by whom.
    pub stamp: Stamp,
    /// The engine.
    pub engine: String,
    /// The cylinder's label.
    pub cylinder: String,
    /// What the sheet shows, for the title block: "Section, as mocked up".
    pub kind: String,
    /// A mark by which the file that the figures come from is known again.
    pub mark: String,
    /// The headline figures.
    pub figures: Vec<Row>,
    /// The clearance volume term by term.
    pub terms: Vec<Row>,
    /// The dimensions.
    pub dimensions: Vec<Row>,
    /// What to beware of, the heaviest first.
    pub cautions: Vec<Caution>,
    /// The drawings at a scale, in millimetres on paper for one millimetre of
    /// the engine.
    pub draw: &'a dyn Fn(f64) -> Drawings,
}

/// Left and right of the content inside the frame, mm.
const SIDE: f64 = 6.0;
/// Above the content inside the frame, mm.
const TOP: f64 = 5.0;
/// Width of the right-hand column, mm.
const RIGHT: f64 = 73.0;
/// Free space between the columns, mm.
const BETWEEN: f64 = 5.0;
/// So many cautions about this engine always stand on the first page.
const MUST: usize = 8;
/// From one line of the heading to the next, mm.
const HEADING: f64 = 5.0;
/// Width of the remark beside the heading, mm.
const REMARK_WIDTH: f64 = 62.0;
/// From one line of the remark to the next, mm.
const REMARK_LEADING: f64 = 3.3;

/// How the drawing is to be read.
const REMARK: &str = "Plane of the crank throw. Heavy lines: measured. Grey lines: assumed, do not scale.";

impl SectionPage<'_> {
    /// The document: one page, and a second one if there are more cautions
    /// than the first can hold.
    #[must_use]
    pub fn document(&self) -> Document {
        let plan = self.plan();
        let (here, later) = self.cautions.split_at(plan.cautions);
        let sheets = if later.is_empty() { 1 } else { 2 };
        let mut pages = vec![self.first_page(&plan, here, sheets)];
        if !later.is_empty() {
            pages.push(self.second_page(&plan, later, sheets));
        }
        Document {
            title: format!("{}, cylinder {}, section", self.engine, self.cylinder),
            author: self.stamp.author.clone(),
            subject: format!(
                "Section of cylinder {} at the top of its stroke, with figures, dimensions and cautions",
                self.cylinder
            ),
            date: self.stamp.date,
            pages,
        }
    }

    /// The content inside the frame, above the title block.
    fn content(&self) -> Rect {
        let frame = self.paper.frame();
        let foot = frame.y1 - self.title_block(Scale::FULL, "", (1, 1)).height(self.paper);
        Rect::new(frame.x0 + SIDE, frame.y0 + TOP, frame.x1 - SIDE + 1.0, foot)
    }

    /// The lines of the heading, and of the remark on its right.
    fn heading(&self) -> (Vec<String>, Vec<String>) {
        let says = format!("Section A–A, cylinder {} at the top of its stroke", self.cylinder);
        let width = self.content().width() - REMARK_WIDTH;
        (Type::bold(3.5).wrap(&says, width, 3), Type::regular(1.9).wrap(REMARK, REMARK_WIDTH - 6.0, 3))
    }

    fn heading_height(&self) -> f64 {
        let (heading, remark) = self.heading();
        (count(heading.len()) * HEADING).max(count(remark.len()) * REMARK_LEADING) + 1.5
    }

    fn heading_blocks(&self) -> Vec<Block> {
        let content = self.content();
        let (heading, remark) = self.heading();
        let heading = heading.into_iter().enumerate().map(|(i, says)| {
            text((content.x0, content.y0 + 4.0 + count(i) * HEADING), Anchor::Left, Type::bold(3.5), says)
        });
        let remark = remark.into_iter().enumerate().map(|(i, says)| {
            let y = content.y0 + 2.4 + count(i) * REMARK_LEADING;
            text((content.x1, y), Anchor::Right, Type::regular(1.9), says)
        });
        vec![Block::Heading(1, list(heading)), Block::Paragraph(list(remark))]
    }

    /// Where the drawing and the right-hand column may be, if the table of
    /// dimensions and so many cautions stand below them.
    fn main_area(&self, style: &Style, cautions: usize) -> Rect {
        let content = self.content();
        let below = self.dimensions_table().height(style)
            + style.after
            + self.cautions_height(style, cautions)
            + BAR_HEIGHT;
        let top = content.y0 + self.heading_height();
        Rect { y0: top, y1: content.y1 - below - style.after, ..content }
    }

    /// The setting with the largest scale that leaves room for all that is
    /// wrong with this engine; then the one that holds most cautions; then
    /// the roomiest.
    fn plan(&self) -> Plan {
        let must = self.cautions.iter().filter(|c| c.weight != Weight::Standing).count().min(MUST);
        let [roomy, middle, close] = Style::all();
        let scale = self.largest_scale(self.main_area(&close, must));
        let drawings = (self.draw)(scale.factor());
        for cautions in (must..=self.cautions.len()).rev() {
            for style in [roomy, middle, close] {
                let area = self.main_area(&style, cautions);
                if fits_in(&drawings.section, area) && self.right_height(&style, &drawings) <= area.height() {
                    return Plan { style, scale, cautions };
                }
            }
        }
        Plan { style: close, scale, cautions: must }
    }

    fn largest_scale(&self, area: Rect) -> Scale {
        let mut smallest = Scale::FULL;
        for scale in Scale::all() {
            smallest = scale;
            if fits_in(&(self.draw)(scale.factor()).section, area) {
                return scale;
            }
        }
        smallest
    }

    fn figures_table(&self) -> Table<'_> {
        let summary = format!("Figures of cylinder {}", self.cylinder);
        Table { heading: "Figures", summary, rows: &self.figures, columns: 1 }
    }

    fn terms_table(&self) -> Table<'_> {
        let summary = "What adds to the clearance volume and what takes away from it".to_owned();
        Table { heading: "Clearance volume, term by term", summary, rows: &self.terms, columns: 1 }
    }

    fn dimensions_table(&self) -> Table<'_> {
        let summary = "Dimensions and how each is known".to_owned();
        Table { heading: "Dimensions", summary, rows: &self.dimensions, columns: 2 }
    }

    fn right_height(&self, style: &Style, drawings: &Drawings) -> f64 {
        let details: f64 = drawings.details.iter().map(|detail| detail.bounds.height() + style.after).sum();
        details + self.figures_table().height(style) + style.after + self.terms_table().height(style)
    }

    fn first_page(&self, plan: &Plan, cautions: &[Caution], sheets: usize) -> Page {
        let style = &plan.style;
        let drawings = (self.draw)(plan.scale.factor());
        let area = self.main_area(style, plan.cautions);
        let mut blocks = vec![border(self.paper)];
        blocks.extend(self.heading_blocks());
        let left = Rect { x1: area.x1 - RIGHT - BETWEEN, ..area };
        blocks.push(place(&drawings.section, left));
        let right = area.x1 - RIGHT;
        let mut y = area.y0;
        for detail in &drawings.details {
            let room = Rect::new(right, y, area.x1, y + detail.bounds.height());
            blocks.push(place(detail, room));
            y = room.y1 + style.after;
        }
        // Tables stand at the foot of the column, so that free space is left
        // round the details.
        let (figures, terms) = (self.figures_table(), self.terms_table());
        y = y.max(area.y1 - figures.height(style) - style.after - terms.height(style));
        blocks.extend(figures.blocks(Point::new(right, y), RIGHT, style));
        y += figures.height(style) + style.after;
        blocks.extend(terms.blocks(Point::new(right, y), RIGHT, style));
        y = area.y1 + style.after;
        let dimensions = self.dimensions_table();
        blocks.extend(dimensions.blocks(Point::new(area.x0, y), area.width(), style));
        y += dimensions.height(style) + style.after;
        blocks.extend(self.cautions_blocks(cautions, Point::new(area.x0, y), style));
        let bar = Point::new(area.x0, self.content().y1 - 2.5);
        blocks.extend(check_bar(bar, self.paper));
        let title = self.title_block(plan.scale, &drawings.detail_scale, (1, sheets));
        blocks.extend(title.blocks(self.paper));
        self.page(format!("Cylinder {}, section", self.cylinder), blocks)
    }

    fn second_page(&self, plan: &Plan, cautions: &[Caution], sheets: usize) -> Page {
        let [roomy, ..] = Style::all();
        let at = self.content().origin();
        let mut blocks = vec![border(self.paper)];
        blocks.extend(self.cautions_blocks(cautions, at, &roomy));
        blocks.extend(self.title_block(plan.scale, "", (2, sheets)).blocks(self.paper));
        self.page(format!("Cylinder {}, cautions", self.cylinder), blocks)
    }

    fn page(&self, name: String, blocks: Vec<Block>) -> Page {
        Page { name, width: self.paper.width(), height: self.paper.height(), blocks }
    }

    /// The cautions in two columns of paragraphs: each with its lines.
    fn set_cautions(&self, cautions: &[Caution], style: &Style) -> [Vec<(Weight, Vec<String>)>; 2] {
        let width = (self.content().width() - 6.0) / 2.0 - INDENT;
        let set: Vec<(Weight, Vec<String>)> =
            cautions.iter().map(|c| (c.weight, style.body.wrap(&c.text, width, 12))).collect();
        let all: usize = set.iter().map(|(_, lines)| lines.len()).sum();
        let mut columns = [Vec::new(), Vec::new()];
        let mut taken = 0;
        for (weight, lines) in set {
            let column = usize::from(taken >= all.div_ceil(2));
            taken += lines.len();
            columns[column].push((weight, lines));
        }
        columns
    }

    fn cautions_height(&self, style: &Style, cautions: usize) -> f64 {
        if cautions == 0 {
            return 0.0;
        }
        let columns = self.set_cautions(&self.cautions[..cautions], style);
        let lines = |column: &Vec<(Weight, Vec<String>)>| column.iter().map(|(_, lines)| lines.len()).sum();
        let most: usize = columns.iter().map(lines).max().unwrap_or(0);
        style.head + 1.0 + count(most) * style.leading + style.after
    }

    fn cautions_blocks(&self, cautions: &[Caution], at: Point, style: &Style) -> Vec<Block> {
        if cautions.is_empty() {
            return Vec::new();
        }
        let width = self.content().width();
        let base = at.y + style.head - 2.2;
        let rule = at.y + style.head;
        let mut blocks = vec![
            Block::Heading(2, list([text((at.x, base), Anchor::Left, style.heading, "Limits and cautions")])),
            Block::Ornament(list([super::draft::line(
                (at.x, rule),
                (at.x + width, rule),
                super::draft::WIDE,
            )])),
        ];
        for (i, column) in self.set_cautions(cautions, style).into_iter().enumerate() {
            let x = at.x + count(i) * (width + 6.0) / 2.0;
            let mut y = rule + 1.0 + style.leading * 0.75;
            for (weight, lines) in column {
                blocks.push(Block::Ornament(list(mark(weight, Point::new(x + 1.2, y - 1.0)))));
                let font = if weight == Weight::Broken { style.strong } else { style.body };
                let lines = lines.into_iter().map(|says| {
                    let shape = text((x + INDENT, y), Anchor::Left, font, says);
                    y += style.leading;
                    shape
                });
                blocks.push(Block::Paragraph(list(lines.collect::<Vec<_>>())));
            }
        }
        blocks
    }

    fn title_block(&self, scale: Scale, detail_scale: &str, (sheet, sheets): (usize, usize)) -> TitleBlock {
        let scales =
            if detail_scale.is_empty() { scale.to_string() } else { format!("{scale} ({detail_scale})") };
        TitleBlock {
            rows: vec![
                [
                    Field::strong("Engine", self.engine.as_str()),
                    Field::strong("Title", format!("Cylinder {}, section", self.cylinder)),
                    Field::new("Date", self.stamp.date.to_string()),
                    Field::strong("Sheet", format!("{sheet} / {sheets}")),
                ],
                [
                    Field::new("Made by", self.stamp.author.as_str()),
                    Field::new("Kind of sheet", self.kind.as_str()),
                    Field::strong("Scale", scales),
                    Field::new("Paper", self.paper.name()),
                ],
                [
                    Field::new("Measured by", ""),
                    Field::new("Checked by", ""),
                    Field::new("File mark", self.mark.as_str()),
                    Field::new("Revision", ""),
                ],
            ],
        }
    }
}

/// How far a caution stands in behind its mark, mm.
const INDENT: f64 = 3.6;

/// How the page is set.
struct Plan {
    style: Style,
    scale: Scale,
    /// How many cautions stand on the first page.
    cautions: usize,
}

fn fits_in(picture: &Picture, area: Rect) -> bool {
    let room = area.width() - RIGHT - BETWEEN;
    picture.bounds.width() <= room && picture.bounds.height() <= area.height()
}

/// The picture in the middle of an area.
fn place(picture: &Picture, area: Rect) -> Block {
    let by: Vec2 = area.center() - picture.bounds.center();
    Block::Figure(moved(picture.list.clone(), by), picture.alt.clone())
}

/// A limit that is broken has a filled diamond, one that is near a hollow
/// triangle, anything else a short dash.
fn mark(weight: Weight, at: Point) -> Vec<Shape> {
    let mut path = kurbo::BezPath::new();
    let corners: &[(f64, f64)] = match weight {
        Weight::Broken => &[(0.0, -1.2), (1.2, 0.0), (0.0, 1.2), (-1.2, 0.0)],
        Weight::Close => &[(0.0, -1.0), (1.1, 0.9), (-1.1, 0.9)],
        Weight::Standing => return vec![super::draft::line((at.x - 0.9, at.y), (at.x + 0.9, at.y), WEIGHT)],
    };
    for (i, &offset) in corners.iter().enumerate() {
        let p = at + Vec2::from(offset);
        if i == 0 { path.move_to(p) } else { path.line_to(p) }
    }
    path.close_path();
    let ink = crate::drawing::list::Ink::Edge;
    vec![match weight {
        Weight::Broken => Shape::Fill { path, ink },
        _ => Shape::Stroke { path, ink, width: WEIGHT, dash: crate::drawing::list::Dash::Solid },
    }]
}

/// Line width of the marks, mm.
const WEIGHT: f64 = 0.35;

#[cfg(test)]
mod tests {
    use kurbo::{Circle, Shape as _};

    use super::super::draft::outline;
    use super::*;
    use crate::drawing::lettering::{CAPITAL_HEIGHT, text_width};
    use crate::drawing::page::Date;

    /// A plate of 150 by 300 mm with a disc as its detail.
    fn draw(scale: f64) -> Drawings {
        let plate = Rect::new(0.0, 0.0, 150.0 * scale, 300.0 * scale);
        let disc = Circle::new((25.0, 25.0), 25.0).to_path(0.01);
        let disc = Shape::Fill { path: disc, ink: crate::drawing::list::Ink::Solid };
        Drawings {
            section: Picture { list: list([outline(plate, 0.5)]), bounds: plate, alt: "A plate.".into() },
            details: vec![Picture {
                list: list([disc]),
                bounds: Rect::new(0.0, 0.0, 50.0, 50.0),
                alt: "A disc.".into(),
            }],
            detail_scale: "5:1".into(),
        }
    }

    fn row(name: &str, value: &str, note: &str) -> Row {
        Row { name: name.into(), value: value.into(), note: note.into(), light: note == "assumed" }
    }

    fn page(paper: Paper, dimensions: usize, cautions: usize, title: &str) -> SectionPage<'static> {
        let caution = |i: usize| Caution {
            weight: if i < 2 { Weight::Broken } else { Weight::Standing },
            text: format!(
                "Caution {i}: measure again with the real parts, clamped as they will run in the engine."
            ),
        };
        SectionPage {
            paper,
            stamp: Stamp { date: Date::new(2026, 11, 25).unwrap(), author: title.into() },
            engine: title.into(),
            cylinder: "1".into(),
            kind: "Section, as measured".into(),
            mark: "7c1e 90d4".into(),
            figures: vec![row("Deck clearance", "1.20 mm below", "±0.02"); 9],
            terms: vec![row("Valve pockets", "+6.0 cc", "from the gap"); 7],
            dimensions: vec![row("Compression height", "36.00 mm", "maker's figure"); dimensions],
            cautions: (0..cautions).map(caution).collect(),
            draw: &draw,
        }
    }

    /// Where a level text is: from its baseline to the top of its capitals.
    fn text_boxes(page: &Page) -> Vec<(Rect, &str)> {
        let boxes = page.shapes().filter_map(|shape| match shape {
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

    fn assert_nothing_collides(document: &Document, paper: Paper) {
        for page in &document.pages {
            let boxes = text_boxes(page);
            for (i, (a, says)) in boxes.iter().enumerate() {
                let frame = paper.frame();
                assert!(frame.union(*a) == frame, "{says:?} leaves the frame: {a:?}");
                for (b, other) in &boxes[i + 1..] {
                    assert!(a.intersect(*b).is_zero_area(), "{says:?} lies over {other:?}");
                }
            }
            let drawn: Vec<Rect> = page
                .blocks
                .iter()
                .filter(|block| matches!(block, Block::Figure(..)))
                .flat_map(|block| block.shapes())
                .map(|shape| match shape {
                    Shape::Fill { path, .. } | Shape::Stroke { path, .. } => path.bounding_box(),
                    Shape::Text { .. } => Rect::ZERO,
                })
                .collect();
            for drawn in drawn {
                for (text, says) in &boxes {
                    assert!(drawn.intersect(*text).is_zero_area(), "{says:?} lies over the drawing");
                }
            }
        }
    }

    #[test]
    fn nothing_lies_over_anything_else_on_either_paper() {
        let long =
            "The generator engine of the North bench with two barrels on shims, number 0417, second rebuild";
        for paper in [Paper::A4, Paper::Letter] {
            for (dimensions, cautions, title) in
                [(8, 0, "Short"), (16, 8, "Short"), (21, 25, long), (0, 3, long)]
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
            assert!(
                says.iter().any(|line| line.starts_with(&format!("Caution {i}:"))),
                "caution {i} is missing"
            );
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
        let first = &document.pages[0];
        let shapes: Vec<&Shape> = first.shapes().collect();
        let svg = crate::render::svg::write(
            shapes,
            first.width,
            first.height,
            crate::render::print_colour,
            &document.title,
            &first.description(),
        );
        assert!(svg.unwrap().contains("A plate. A disc."));
    }
}
