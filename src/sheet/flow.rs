//! The content of a sheet, from top to bottom, and its flow over as many pages
//! as it needs. No content is cut; a table that goes on carries its heads
//! again; a heading is never alone at the foot of a page.

use kurbo::{Point, Rect, Size, Vec2};

use super::cautions::{INDENT, mark, side_by_side};
use super::draft::{NARROW, Style, Type, WIDE, count, line, list, moved, text};
use super::table::Set;
use crate::drawing::list::{Anchor, DisplayList};
use crate::drawing::page::Block;
use crate::report::section::{Note, Weight};
use crate::report::table::Table;

/// One sheet of the binder before its pages are made: its titles and its
/// content.
pub(crate) struct Sheet<'a> {
    /// The title in the contents and in the title block.
    pub title: String,
    /// The heading, where it differs.
    pub heading: String,
    /// The purpose of the sheet, in one or two sentences under the heading; may
    /// be empty.
    pub lead: String,
    /// The kind of sheet for the title block.
    pub kind: &'static str,
    /// The scale for the title block; empty where the sheet has no drawing to a
    /// scale.
    pub scale: String,
    /// The content.
    pub items: Vec<Item<'a>>,
}

/// A piece of a sheet.
pub(crate) enum Item<'a> {
    /// A table.
    Table(Table),
    /// A heading of what follows.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// Paragraphs with marks of their weight.
    Cautions(Vec<Note>),
    /// A drawing.
    Figure(Figure<'a>),
    /// Number of lines to write on.
    Lines(usize),
    /// Lines for signatures, with what is signed.
    Signatures(Vec<String>),
    /// A new page where less than this is left, mm: what follows belongs
    /// together.
    Together(f64),
}

/// A drawing that fills the room it gets.
pub(crate) struct Figure<'a> {
    /// Least height, mm.
    pub least: f64,
    /// Greatest height, mm.
    pub most: f64,
    /// Draws it into a room of this size, its corner at the origin.
    pub draw: Box<dyn Fn(Size) -> Drawn + 'a>,
}

/// A drawing on paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Drawn {
    /// The drawing, mm from the corner of its room.
    pub list: DisplayList,
    /// Its height, mm.
    pub height: f64,
    /// Its description in words.
    pub alt: String,
    /// Its scale; empty if it has none.
    pub scale: String,
}

/// A page before it has its number.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct DraftPage {
    /// The name in the table of contents; the title of the sheet.
    pub title: String,
    /// The kind of sheet.
    pub kind: String,
    /// The scale of the drawing on it.
    pub scale: String,
    /// Whether it goes on from the page before.
    pub continued: bool,
    /// Its content, without frame and title block.
    pub blocks: Vec<Block>,
}

impl Sheet<'_> {
    /// Returns the pages, each with its content inside `room`. Where no more
    /// than a few lines would be left for the last one, all move closer
    /// together.
    #[must_use]
    pub(crate) fn draft_pages(&self, room: Rect) -> Vec<DraftPage> {
        let loose = self.laid(room, 1.0);
        if loose.draft_pages.len() > 1 && loose.y - room.y0 < room.height() * FEW {
            let close = self.laid(room, CLOSER);
            if close.draft_pages.len() < loose.draft_pages.len() {
                return close.draft_pages;
            }
        }
        loose.draft_pages
    }

    fn laid(&self, room: Rect, air: f64) -> Flow<'_, '_> {
        let mut flow = Flow { sheet: self, room, air, y: room.y0, draft_pages: Vec::new() };
        flow.new_page();
        let mut items = self.items.iter().peekable();
        while let Some(item) = items.next() {
            if matches!(item, Item::Heading(_)) {
                // A heading goes over with what it heads.
                flow.need(HEADED + items.peek().map_or(0.0, |next| flow.least(next)));
            }
            flow.put(item);
        }
        flow
    }
}

// Measures on paper, mm.

/// Distance between two items.
const BETWEEN: f64 = 5.5;
/// Distance from one line of a paragraph to the next.
const LEADING: f64 = 4.1;
/// Distance from one line of a caution to the next.
const CLOSE: f64 = 3.7;
/// Distance from one written line to the next.
const PEN_LINE: f64 = 9.0;
/// Height of a signature.
const SIGNATURE: f64 = 17.0;
/// Greatest width of a paragraph, so that the eye finds the next line.
const MEASURE: f64 = 150.0;
/// Height of a heading.
const HEADED: f64 = 6.4;
/// Distance between two cautions.
const CAUTION_GAP: f64 = 1.0;
/// Share of a page below which the content of a last page is worth avoiding.
const FEW: f64 = 0.25;
/// Share of the space between items that stays when they move together.
const CLOSER: f64 = 0.35;
/// Share of a page up to which a table is not broken.
const SHORT: f64 = 0.2;

struct Flow<'s, 'a> {
    sheet: &'s Sheet<'a>,
    room: Rect,
    /// The share of the space between items that is left.
    air: f64,
    y: f64,
    draft_pages: Vec<DraftPage>,
}

impl Flow<'_, '_> {
    fn left(&self) -> f64 {
        self.room.y1 - self.y
    }

    /// Returns whether the page is empty but for its heading.
    fn is_fresh(&self) -> bool {
        self.draft_pages.last().is_none_or(|draft_page| draft_page.blocks.len() <= 2)
    }

    fn push(&mut self, blocks: impl IntoIterator<Item = Block>) {
        if let Some(draft_page) = self.draft_pages.last_mut() {
            draft_page.blocks.extend(blocks);
        }
    }

    fn new_page(&mut self) {
        let continued = !self.draft_pages.is_empty();
        self.y = self.room.y0;
        let sheet = self.sheet;
        self.draft_pages.push(DraftPage {
            title: sheet.title.clone(),
            kind: sheet.kind.to_owned(),
            scale: sheet.scale.clone(),
            continued,
            blocks: Vec::new(),
        });
        let heading = if sheet.heading.is_empty() { &sheet.title } else { &sheet.heading };
        let says = if continued { format!("{heading}, continued") } else { heading.clone() };
        let lines = self.paragraph(&says, Type::bold(3.5), 5.6, self.room.width());
        self.push([Block::Heading(1, lines)]);
        if !continued && !sheet.lead.is_empty() {
            let lead = self.paragraph(&sheet.lead, Type::regular(2.1), 3.7, self.room.width());
            self.push([Block::Paragraph(lead)]);
        }
        self.y += 3.0;
    }

    /// Returns lines of text from here on and moves on below them.
    fn paragraph(&mut self, says: &str, font: Type, leading: f64, width: f64) -> DisplayList {
        let lines = font.wrap(says, width);
        let shapes: Vec<_> = lines
            .into_iter()
            .map(|says| {
                self.y += leading;
                text((self.room.x0, self.y - leading * 0.25), Anchor::Left, font, says)
            })
            .collect();
        list(shapes)
    }

    /// Goes to a new page if less than this is left, unless the page is empty
    /// anyway.
    fn need(&mut self, height: f64) {
        if self.left() < height && !self.is_fresh() {
            self.new_page();
        }
    }

    fn put(&mut self, item: &Item<'_>) {
        match item {
            Item::Table(table) => self.table(table),
            Item::Heading(says) => {
                let font = Type::bold(2.6);
                let lines = self.paragraph(says, font, 4.6, self.room.width());
                self.y += 0.4;
                let (x0, x1, y) = (self.room.x0, self.room.x1, self.y);
                self.push([Block::Heading(2, lines), Block::Ornament(list([line((x0, y), (x1, y), WIDE)]))]);
                self.y += 1.4;
            }
            Item::Text(says) => self.text(says),
            Item::Cautions(all) => self.cautions(all),
            Item::Figure(figure) => self.figure(figure),
            Item::Lines(lines) => self.lines(*lines),
            Item::Signatures(all) => self.signatures(all),
            Item::Together(height) => self.need(*height),
        }
    }

    /// Adds a paragraph; one that is longer than the page goes on over the
    /// next.
    fn text(&mut self, says: &str) {
        let font = Type::regular(2.3);
        let width = self.room.width().min(MEASURE);
        // Line breaks of the user stay.
        let lines = says.lines().flat_map(|line| font.wrap(line, width)).collect::<Vec<_>>();
        self.need(LEADING * count(lines.len().min(2)));
        self.written(lines, 0.0, font, LEADING);
        self.y += BETWEEN * 0.6 * self.air;
    }

    /// Adds cautions one below the other; in two columns where that saves a
    /// page.
    fn cautions(&mut self, all: &[Note]) {
        let width = self.room.width() - INDENT;
        let tall: f64 = all
            .iter()
            .map(|c| count(Type::regular(2.1).wrap(&c.text, width).len()) * CLOSE + CAUTION_GAP * self.air)
            .sum();
        if tall > self.left() {
            let at = Point::new(self.room.x0, self.y);
            let [_, style, _] = Style::all();
            let (blocks, height) = side_by_side(all, at, self.room.width(), &style);
            if height <= self.left() {
                self.push(blocks);
                self.y += height + BETWEEN * 0.6 * self.air;
                return;
            }
        }
        for caution in all {
            let strong = caution.weight == Weight::Broken;
            let font = if strong { Type::bold(2.1) } else { Type::regular(2.1) };
            let lines = font.wrap(&caution.text, width);
            self.need(CLOSE * count(lines.len().min(3)));
            let at = Point::new(self.room.x0 + 1.2, self.y + CLOSE * 0.75 - 0.95);
            self.push([Block::Ornament(list([mark(caution.weight, at)]))]);
            self.written(lines, INDENT, font, CLOSE);
            self.y += CAUTION_GAP * self.air;
        }
        self.y += BETWEEN * 0.6 * self.air;
    }

    /// Adds lines of text, over the next pages where this one is full.
    fn written(&mut self, lines: Vec<String>, indent: f64, font: Type, leading: f64) {
        let mut shapes = Vec::new();
        for says in lines {
            if self.left() < leading {
                self.push([Block::Paragraph(list(std::mem::take(&mut shapes)))]);
                self.new_page();
            }
            self.y += leading;
            let at = (self.room.x0 + indent, self.y - leading * 0.25);
            shapes.push(text(at, Anchor::Left, font, says));
        }
        self.push([Block::Paragraph(list(shapes))]);
    }

    fn table(&mut self, table: &Table) {
        if table.rows.is_empty() {
            return;
        }
        let mut set = Set::new(table, self.room.x0, self.room.width());
        let whole = set.head_height() + (0..set.rows()).map(|row| set.row_height(row)).sum::<f64>();
        if whole <= self.room.height() * SHORT {
            self.need(whole);
        }
        let mut from = 0;
        while from < set.rows() {
            // The heads and two rows stay together.
            let two = (from..set.rows()).take(2).map(|row| set.row_height(row)).sum::<f64>();
            self.need(set.head_height() + two);
            let room = self.left() - set.head_height();
            if set.row_height(from) > room {
                set.split(from, room);
            }
            let mut to = from;
            let mut height = 0.0;
            while to < set.rows() && (to == from || height + set.row_height(to) <= room) {
                height += set.row_height(to);
                to += 1;
            }
            let (blocks, y) = set.blocks(from..to, set.origin(self.y).y, from > 0);
            self.push(blocks);
            self.y = y;
            from = to;
            if from < set.rows() {
                self.new_page();
            }
        }
        self.y += BETWEEN * self.air;
    }

    fn figure(&mut self, figure: &Figure<'_>) {
        self.need(figure.least);
        // Where all moves closer together, figures give too.
        let most = if self.air < 1.0 { figure.least } else { figure.most };
        let room = Size::new(self.room.width(), self.left().min(most).max(1.0));
        let drawn = (figure.draw)(room);
        let by = Vec2::new(self.room.x0, self.y);
        self.push([Block::Figure(moved(drawn.list, by), drawn.alt)]);
        if let Some(draft_page) = self.draft_pages.last_mut()
            && !drawn.scale.is_empty()
        {
            draft_page.scale = drawn.scale;
        }
        self.y += drawn.height + BETWEEN * self.air;
    }

    fn lines(&mut self, lines: usize) {
        for _ in 0..lines {
            self.need(PEN_LINE);
            self.y += PEN_LINE;
            let rule = line((self.room.x0, self.y), (self.room.x1, self.y), NARROW / 2.0);
            self.push([Block::Ornament(list([rule]))]);
        }
        self.y += BETWEEN * self.air;
    }

    /// Returns the least height of an item before a page may end.
    fn least(&self, item: &Item<'_>) -> f64 {
        match item {
            Item::Figure(figure) => figure.least,
            Item::Signatures(all) => self.signed(all.len()),
            Item::Lines(_) => PEN_LINE,
            _ => 18.0,
        }
    }

    /// Returns the height of signatures; a few of them stay together.
    fn signed(&self, signatures: usize) -> f64 {
        let whole = count(signatures) * (SIGNATURE + CLOSE);
        if whole <= self.room.height() * SHORT { whole } else { SIGNATURE + CLOSE }
    }

    fn signatures(&mut self, all: &[String]) {
        self.need(self.signed(all.len()));
        let name = Type::regular(2.1);
        let (x0, width) = (self.room.x0, self.room.width());
        // Who, when, and the hand.
        let shares = [(0.0, 0.36, "Name"), (0.40, 0.56, "Date"), (0.60, 1.0, "Signature")];
        for what in all {
            let says = name.wrap(what, width);
            self.need(SIGNATURE + count(says.len()) * CLOSE);
            self.written(says, 0.0, name, CLOSE);
            self.need(SIGNATURE);
            let y = self.y + SIGNATURE - 7.0;
            let rules =
                shares.map(|(from, to, _)| line((x0 + from * width, y), (x0 + to * width, y), NARROW));
            let names = shares.map(|(from, _, says)| {
                text((x0 + from * width, y + 3.0), Anchor::Left, Type::regular(1.8), says)
            });
            self.push([Block::Ornament(list(rules)), Block::Paragraph(list(names))]);
            self.y += SIGNATURE;
        }
        self.y += BETWEEN * self.air;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::list::Shape;
    use crate::report::table::{Cell, Column};

    fn room() -> Rect {
        Rect::new(25.0, 14.0, 195.0, 250.0)
    }

    fn sheet(items: Vec<Item<'_>>) -> Sheet<'_> {
        Sheet {
            title: "Readings".into(),
            heading: String::new(),
            lead: "Raw values.".into(),
            kind: "List",
            scale: String::new(),
            items,
        }
    }

    fn rows(count: usize) -> Table {
        let mut table = Table::new("All", "All of them", [Column::left("What"), Column::right("Value")]);
        for i in 0..count {
            table.row([Cell::text(format!("row {i}")), Cell::text(format!("{i}.00 mm"))]);
        }
        table
    }

    fn says(draft_page: &DraftPage) -> Vec<String> {
        let texts = draft_page.blocks.iter().flat_map(Block::shapes).filter_map(|shape| match shape {
            Shape::Text { text, .. } => Some(text.clone()),
            _ => None,
        });
        texts.collect()
    }

    #[test]
    fn a_table_goes_on_with_its_heads_and_every_row_stands_once() {
        let sheet = sheet(vec![Item::Table(rows(150))]);
        let draft_pages = sheet.draft_pages(room());
        assert!(draft_pages.len() >= 3, "{}", draft_pages.len());
        let mut seen = 0;
        for (i, draft_page) in draft_pages.iter().enumerate() {
            let says = says(draft_page);
            assert!(says.iter().any(|s| s == "What"), "no heads on page {i}");
            assert_eq!(draft_page.continued, i > 0);
            assert_eq!(says.iter().any(|s| s == "Readings, continued"), i > 0);
            seen += says.iter().filter(|s| s.starts_with("row ")).count();
        }
        assert_eq!(seen, 150);
    }

    #[test]
    fn nothing_leaves_the_room_however_long_it_is() {
        let long = "measure again with the real parts ".repeat(400);
        let mut table = rows(3);
        table.row([Cell::text(long.clone()), Cell::text("1")]);
        let cautions = vec![
            Note { weight: Weight::Broken, text: long.clone() },
            Note { weight: Weight::Standing, text: "short".into() },
        ];
        let sheet = sheet(vec![
            Item::Text(long.clone()),
            Item::Table(table),
            Item::Heading("Beware".into()),
            Item::Cautions(cautions),
            Item::Signatures(vec![long; 2]),
            Item::Lines(40),
        ]);
        let draft_pages = sheet.draft_pages(room());
        let mut words = 0;
        for draft_page in &draft_pages {
            for shape in draft_page.blocks.iter().flat_map(Block::shapes) {
                if let Shape::Text { at, text, .. } = shape {
                    assert!(room().inflate(0.01, 0.01).contains(*at), "{text:?} at {at}");
                    words += text.matches("again").count();
                }
            }
        }
        assert_eq!(words, 400 * 5);
    }

    #[test]
    fn a_short_table_is_never_broken() {
        for count in 20..60 {
            let mut short = rows(4);
            short.heading = "Instruments".into();
            let sheet = sheet(vec![Item::Table(rows(count)), Item::Table(short)]);
            for draft_page in sheet.draft_pages(room()) {
                assert!(!says(&draft_page).iter().any(|s| s == "Instruments, continued"), "{count}");
            }
        }
    }

    #[test]
    fn a_few_last_lines_get_no_page_of_their_own() {
        let cautions = |count| {
            let caution = Note { weight: Weight::Standing, text: "Turn it by hand.".into() };
            Item::Cautions(vec![caution; count])
        };
        let rows = |count| sheet(vec![Item::Table(rows(count)), Item::Table(rows(20)), cautions(3)]);
        let pages = |count, air| rows(count).laid(room(), air).draft_pages.len();
        let spilled = (1..60).find(|&count| pages(count, 1.0) == 2).unwrap();
        assert_eq!(pages(spilled, CLOSER), 1);
        assert_eq!(rows(spilled).draft_pages(room()).len(), 1, "moved together they fit");
        assert_eq!(rows(spilled + 30).draft_pages(room()).len(), 2, "what does not fit has its page");
    }

    #[test]
    fn cautions_stand_in_two_columns_where_that_saves_a_page() {
        let caution = Note { weight: Weight::Standing, text: "Turn it by hand.".into() };
        let pages = |count: usize| {
            let all = vec![caution.clone(); count];
            sheet(vec![Item::Table(rows(20)), Item::Cautions(all)]).draft_pages(room()).len()
        };
        let most = (1..200).take_while(|&count| pages(count) == 1).count();
        // One column of the rest of the page holds fewer than half as many.
        assert!((36..90).contains(&most), "{most}");
        assert_eq!(pages(most + 1), 2);
    }

    #[test]
    fn a_heading_is_never_the_last_thing_on_a_page() {
        for count in 30..60 {
            let sheet = sheet(vec![
                Item::Table(rows(count)),
                Item::Heading("Beware".into()),
                Item::Text("Words.".into()),
            ]);
            for draft_page in sheet.draft_pages(room()) {
                let says = says(&draft_page);
                let place = says.iter().position(|s| s == "Beware");
                assert!(place.is_none_or(|at| at + 1 < says.len()), "{count}");
            }
        }
    }
}
