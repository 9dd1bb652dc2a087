//! The section page: one cylinder, drawn to a stated scale, with everything
//! that a builder wants beside it in the binder.

use kurbo::{Point, Rect, Size, Vec2};

use super::cautions;
use super::draft::{FactRow, FactTable, Style, Type, count, list, moved, text};
use super::flow::{DraftPage, Item, Sheet};
use super::frame::{BAR_HEIGHT, check_bar};
use super::paper::Paper;
use super::scale::Scale;
use super::title_block::{FOOT, TitleBlock};
use crate::drawing::list::Anchor;
use crate::drawing::page::{Block, Document};
use crate::drawing::pictures::{Picture, Pictures};
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::section::{Note, Weight};

/// Everything on the page, as texts, and the drawing.
pub(crate) struct SectionPage<'a> {
    /// What every page says.
    pub imprint: TitleBlock,
    /// The cylinder's label.
    pub cylinder: String,
    /// The crank angle, degrees after top dead centre.
    pub crank_deg: f64,
    /// The headline figures.
    pub figures: Vec<FactRow>,
    /// The clearance volume term by term.
    pub terms: Vec<FactRow>,
    /// The dimensions.
    pub dimensions: Vec<FactRow>,
    /// What to beware of, the heaviest first.
    pub cautions: Vec<Note>,
    /// Width and height of what is drawn, without dimension lines, mm of the
    /// engine.
    pub size: Size,
    /// The drawings at a scale, in millimetres on paper for one millimetre of
    /// the engine, with the details made smaller by a factor.
    pub draw: &'a dyn Fn(f64, f64) -> Pictures,
}

// The widths leave 97 mm to the section, which is what an air-cooled cylinder
// of 90 mm bore takes at 1:2.

/// Width of the right-hand column, mm.
const RIGHT: f64 = 69.0;
/// Free space between the columns, mm.
const BETWEEN: f64 = 4.0;
/// So many cautions about this engine always stand on the first page.
const MUST: usize = 8;
/// Sizes of the details against those on an empty sheet, to choose from.
const DETAILS: [f64; 4] = [1.0, 0.95, 0.9, 0.85];
/// The smallest size of the details.
const MIN_DETAILS: f64 = 0.8;
/// From one line of the heading to the next, mm.
const HEADING: f64 = 5.0;
/// Width of the remark beside the heading, mm.
const REMARK_WIDTH: f64 = 62.0;
/// From one line of the remark to the next, mm.
const REMARK_LEADING: f64 = 3.3;

/// How the drawing is to be read.
const REMARK: &str = "Plane of the crank throw. Heavy lines: measured. Grey lines: assumed, do not scale.";

impl SectionPage<'_> {
    /// The document: one page, and more if there are more cautions than the
    /// first can hold.
    #[must_use]
    pub(crate) fn document(&self) -> Document {
        let draft_pages = self.draft_pages();
        let sheets = draft_pages.len();
        let numbered = draft_pages.into_iter().enumerate();
        Document {
            title: format!("{}, cylinder {}, section", self.imprint.engine, self.cylinder),
            author: self.imprint.stamp.author.clone(),
            subject: format!(
                "Section of cylinder {}, with figures, dimensions and cautions",
                self.where_it_stands()
            ),
            date: self.imprint.stamp.date,
            pages: numbered.map(|(i, draft_page)| self.imprint.page(draft_page, (i + 1, sheets))).collect(),
        }
    }

    /// The pages before they have their numbers.
    #[must_use]
    pub(crate) fn draft_pages(&self) -> Vec<DraftPage> {
        let plan = self.plan();
        let (here, later) = self.cautions.split_at(plan.cautions);
        let mut draft_pages = vec![self.first_leaf(&plan, here)];
        if !later.is_empty() {
            let sheet = Sheet {
                title: self.title(),
                heading: String::new(),
                lead: String::new(),
                kind: self.kind(),
                scale: String::new(),
                items: vec![Item::Heading("Limits and cautions".to_owned()), Item::Cautions(later.to_vec())],
            };
            let more = sheet.draft_pages(self.imprint.room(&sheet.title, sheet.kind, ""));
            draft_pages
                .extend(more.into_iter().map(|draft_page| DraftPage { continued: true, ..draft_page }));
        }
        draft_pages
    }

    fn title(&self) -> String {
        format!("Cylinder {}, section", self.cylinder)
    }

    /// What the title block calls it.
    fn kind(&self) -> &'static str {
        if self.crank_deg == 0.0 { "Section at top dead centre" } else { "Section at a crank angle" }
    }

    /// The cylinder, and where its crank stands.
    fn where_it_stands(&self) -> String {
        if self.crank_deg == 0.0 {
            return format!("{} at the top of its stroke", self.cylinder);
        }
        let angle = write(Kind::Angle, self.crank_deg, None, &UnitChoice::default());
        format!("{}, crank at {angle}", self.cylinder)
    }

    fn paper(&self) -> Paper {
        self.imprint.paper
    }

    /// The content inside the frame, above the title block.
    fn content(&self) -> Rect {
        // With the longest text that may stand for the scale.
        let room = self.imprint.room(&self.title(), self.kind(), "1:2 (5:1, 10:1)");
        Rect { y1: room.y1 + FOOT, ..room }
    }

    /// The lines of the heading, and of the remark on its right.
    fn heading(&self) -> (Vec<String>, Vec<String>) {
        let says = format!("Section A–A, cylinder {}", self.where_it_stands());
        let width = self.content().width() - REMARK_WIDTH;
        (Type::bold(3.5).wrap(&says, width), Type::regular(1.9).wrap(REMARK, REMARK_WIDTH - 6.0))
    }

    fn heading_height(&self) -> f64 {
        let (heading, remark) = self.heading();
        (count(heading.len()) * HEADING).max(count(remark.len()) * REMARK_LEADING) + 1.0
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
        let below = self.dimensions_table(style).height(content.width(), style)
            + style.after
            + cautions::height(&self.cautions[..cautions], content.width(), style)
            + BAR_HEIGHT;
        let top = content.y0 + self.heading_height();
        Rect { y0: top, y1: content.y1 - below - style.after, ..content }
    }

    /// The setting with the largest scale that leaves room for all that is
    /// wrong with this engine; then the one that holds most cautions; then
    /// the roomiest, with details as large as there is room for.
    fn plan(&self) -> Plan {
        let must = self.cautions.iter().filter(|c| c.weight != Weight::Standing).count().min(MUST);
        let [roomy, middle, close] = Style::all();
        let (scale, smallest) = self.largest_scale(self.main_area(&close, must));
        let fits = |style: &Style, cautions: usize, drawings: &Pictures| {
            let area = self.main_area(style, cautions);
            // A detail may reach into what the section leaves free.
            let free = (left_of(area).width() - drawings.section.bounds.width()) / 2.0;
            fits_in(&drawings.section, area)
                && drawings.details.iter().all(|detail| detail.bounds.width() <= RIGHT + free)
                && self.right_height(style, drawings) <= area.height()
        };
        let settings = (must..=self.cautions.len())
            .rev()
            .flat_map(|cautions| [roomy, middle, close].map(|style| (style, cautions)));
        let found = settings.into_iter().find(|(style, cautions)| fits(style, *cautions, &smallest));
        let (style, cautions) = found.unwrap_or((close, must));
        let larger = DETAILS.iter().map(|&size| (self.draw)(scale.factor(), size));
        let drawings = larger.into_iter().find(|drawings| fits(&style, cautions, drawings));
        Plan { style, scale, cautions, drawings: drawings.unwrap_or(smallest) }
    }

    /// The largest scale at which the section fits, and its drawings with the
    /// smallest details.
    fn largest_scale(&self, area: Rect) -> (Scale, Pictures) {
        let room = left_of(area);
        let mut last = None;
        for scale in Scale::all() {
            let bare = self.size * scale.factor();
            // Not even drawn where the parts alone are too large.
            if bare.width <= room.width() && bare.height <= room.height() {
                let drawings = (self.draw)(scale.factor(), MIN_DETAILS);
                if fits_in(&drawings.section, area) {
                    return (scale, drawings);
                }
                last = Some((scale, drawings));
            }
        }
        last.unwrap_or_else(|| (Scale::FULL, (self.draw)(1.0, MIN_DETAILS)))
    }

    fn figures_table(&self) -> FactTable<'_> {
        let summary = format!("Figures of cylinder {}", self.cylinder);
        // The drawing shows the gap at this angle, the table the gap at the top.
        let heading = if self.crank_deg == 0.0 { "Figures" } else { "Figures at top dead centre" };
        FactTable { heading, summary, rows: &self.figures, columns: 1 }
    }

    fn terms_table(&self) -> FactTable<'_> {
        let summary = "What adds to the clearance volume and what takes away from it".to_owned();
        FactTable { heading: "Clearance volume, term by term", summary, rows: &self.terms, columns: 1 }
    }

    fn dimensions_table(&self, style: &Style) -> FactTable<'_> {
        let summary = "Dimensions and how each is known".to_owned();
        FactTable { heading: "Dimensions", summary, rows: &self.dimensions, columns: style.columns }
    }

    fn right_height(&self, style: &Style, drawings: &Pictures) -> f64 {
        let details: f64 = drawings.details.iter().map(|detail| detail.bounds.height() + style.after).sum();
        details
            + self.figures_table().height(RIGHT, style)
            + style.after
            + self.terms_table().height(RIGHT, style)
    }

    fn first_leaf(&self, plan: &Plan, cautions: &[Note]) -> DraftPage {
        let style = &plan.style;
        let drawings = &plan.drawings;
        let area = self.main_area(style, plan.cautions);
        let mut blocks = self.heading_blocks();
        blocks.push(place(&drawings.section, left_of(area)));
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
        y = y.max(area.y1 - figures.height(RIGHT, style) - style.after - terms.height(RIGHT, style));
        blocks.extend(figures.blocks(Point::new(right, y), RIGHT, style));
        y += figures.height(RIGHT, style) + style.after;
        blocks.extend(terms.blocks(Point::new(right, y), RIGHT, style));
        y = area.y1 + style.after;
        let dimensions = self.dimensions_table(style);
        blocks.extend(dimensions.blocks(Point::new(area.x0, y), area.width(), style));
        y += dimensions.height(area.width(), style) + style.after;
        blocks.extend(cautions::blocks(cautions, Point::new(area.x0, y), area.width(), style));
        let bar = Point::new(area.x0, self.content().y1 - 2.5);
        blocks.extend(check_bar(bar, self.paper()));
        let (scale, details) = (plan.scale, &drawings.detail_scale);
        let scale = if details.is_empty() { scale.to_string() } else { format!("{scale} ({details})") };
        DraftPage { title: self.title(), kind: self.kind().to_owned(), scale, continued: false, blocks }
    }
}

/// How the page is set.
struct Plan {
    style: Style,
    scale: Scale,
    /// How many cautions stand on the first page.
    cautions: usize,
    drawings: Pictures,
}

/// What the right-hand column leaves to the section.
fn left_of(area: Rect) -> Rect {
    Rect { x1: area.x1 - RIGHT - BETWEEN, ..area }
}

fn fits_in(picture: &Picture, area: Rect) -> bool {
    let room = left_of(area);
    picture.bounds.width() <= room.width() && picture.bounds.height() <= room.height()
}

/// The picture in the middle of an area, or at its right edge if it is wider.
fn place(picture: &Picture, area: Rect) -> Block {
    let mut by: Vec2 = area.center() - picture.bounds.center();
    by.x = by.x.min(area.x1 - picture.bounds.x1);
    Block::Figure(moved(picture.list.clone(), by), picture.alt.clone())
}

#[cfg(test)]
pub(super) mod tests;
