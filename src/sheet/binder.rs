//! The binder: the sheets that were chosen, one document, numbered through.

use super::cylinder::{SheetError, with_section_page};
use super::flow::{DraftPage, Item, Sheet};
use super::paper::{Paper, Stamp};
use super::pictures;
use super::title_block::TitleBlock;
use crate::drawing::page::{Document, Page};
use crate::quantity::UnitChoice;
use crate::report::section::{Block, Section};
use crate::report::{Context, SheetKind};

/// What a person wants in the binder.
#[derive(Clone, Debug, PartialEq)]
pub struct Choices {
    /// The sheets; their order is that of the binder.
    pub sheets: Vec<SheetKind>,
    /// The paper.
    pub paper: Paper,
    /// The units of computed values.
    pub units: UnitChoice,
    /// The cylinder that is drawn, from 0.
    pub cylinder: usize,
    /// Every cylinder has its own section and towers, not only the one above.
    pub every_cylinder: bool,
    /// The crank angle at which the section is drawn, degrees after top dead
    /// centre.
    pub crank_deg: f64,
}

impl Choices {
    /// The cylinders of a sheet, the one in hand first.
    fn cylinders(&self, kind: SheetKind, of: usize) -> Vec<usize> {
        let mut cylinders = vec![self.cylinder];
        if self.every_cylinder && kind.is_drawn_for_one() {
            cylinders.extend((0..of).filter(|&i| i != self.cylinder));
        }
        cylinders
    }
}

/// Why there is no binder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BinderError {
    /// No sheet was chosen.
    #[error("no sheet was chosen; choose at least one")]
    Nothing,
    /// The person stopped it.
    #[error("stopped; nothing was written")]
    Stopped,
}

/// The binder as a document. `goes_on` is asked before each sheet with the
/// number of sheets made and the number of all; where it says no, the work
/// stops.
///
/// A cylinder that can't exist is told on its sheet; it does not keep the
/// other sheets from being made.
///
/// # Errors
/// When no sheet was chosen or `goes_on` said no.
pub fn binder(
    context: &Context<'_>,
    choices: &Choices,
    stamp: &Stamp,
    goes_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Result<Document, BinderError> {
    let kinds = SheetKind::chosen(&choices.sheets);
    let of = context.project.engine.cylinders.len();
    let parts: Vec<(SheetKind, usize)> = kinds
        .iter()
        .flat_map(|&kind| choices.cylinders(kind, of).into_iter().map(move |i| (kind, i)))
        .collect();
    let imprint = TitleBlock::of(context.project, choices.paper, stamp);
    let mut made: Vec<Vec<DraftPage>> = Vec::new();
    for (i, &(kind, cylinder)) in parts.iter().enumerate() {
        if !goes_on(i, parts.len()) {
            return Err(BinderError::Stopped);
        }
        made.push(draft_pages(&Context { cylinder, ..*context }, kind, &imprint, &[]));
    }
    if made.is_empty() {
        return Err(BinderError::Nothing);
    }
    // The cover again, now that it is known where everything stands. Its
    // contents have as many rows as before, so that no page moves.
    let contents = contents(&made);
    if let (Some(cover), Some(SheetKind::Cover)) = (made.first_mut(), kinds.first()) {
        *cover = draft_pages(context, SheetKind::Cover, &imprint, &contents);
    }
    let sheets = made.iter().map(Vec::len).sum();
    let numbered = made.into_iter().flatten().enumerate();
    let pages: Vec<Page> =
        numbered.map(|(i, draft_page)| imprint.page(draft_page, (i + 1, sheets))).collect();
    Ok(Document {
        title: if kinds.len() == 1 {
            format!("{}, {}", imprint.engine, kinds[0].name().to_lowercase())
        } else {
            format!("{}, binder", imprint.engine)
        },
        author: stamp.author.clone(),
        subject: "What was measured, computed and decided for one engine, with cautions".to_owned(),
        date: stamp.date,
        pages,
    })
}

/// The title of each sheet with the number of its first page; the first sheet
/// is the cover itself and left out.
fn contents(made: &[Vec<DraftPage>]) -> Vec<(String, usize)> {
    let mut page = 1;
    let mut contents = Vec::new();
    for draft_pages in made {
        if let Some(first) = draft_pages.first() {
            contents.push((first.title.clone(), page));
        }
        page += draft_pages.len();
    }
    contents.into_iter().skip(1).collect()
}

fn draft_pages(
    context: &Context<'_>,
    kind: SheetKind,
    imprint: &TitleBlock,
    contents: &[(String, usize)],
) -> Vec<DraftPage> {
    if kind == SheetKind::Section {
        match with_section_page(context, imprint.clone(), |page| page.draft_pages()) {
            Ok(draft_pages) => return draft_pages,
            Err(error) => return flowed(&not_drawn(&error), imprint),
        }
    }
    flowed(&on_paper(context, kind.section(context, contents)), imprint)
}

/// A section as the flow over pages takes it, its pictures ready to be drawn.
fn on_paper<'a>(context: &Context<'a>, section: Section) -> Sheet<'a> {
    let mut items = Vec::new();
    put(context, section.blocks, &mut items);
    Sheet {
        title: section.title,
        heading: section.heading,
        lead: section.lead,
        kind: section.kind,
        scale: String::new(),
        items,
    }
}

fn put<'a>(context: &Context<'a>, blocks: Vec<Block>, items: &mut Vec<Item<'a>>) {
    for block in blocks {
        match block {
            Block::Table(table) => items.push(Item::Table(table)),
            Block::Heading(text) => items.push(Item::Heading(text)),
            Block::Paragraph(text) | Block::Apart(text) => items.push(Item::Text(text)),
            Block::Inset(blocks) => put(context, blocks, items),
            Block::Notes(notes) => items.push(Item::Cautions(notes)),
            Block::Picture(picture) => items.extend(pictures::figure(context, &picture).map(Item::Figure)),
            Block::Lines(lines) => items.push(Item::Lines(lines)),
            Block::Signatures(lines) => items.push(Item::Signatures(lines)),
        }
    }
}

fn flowed(sheet: &Sheet<'_>, imprint: &TitleBlock) -> Vec<DraftPage> {
    // With the longest text that may stand for the scale.
    sheet.draft_pages(imprint.room(&sheet.title, sheet.kind, "1:2 (5:1, 10:1)"))
}

/// The section of a cylinder that can't exist.
fn not_drawn(error: &SheetError) -> Sheet<'static> {
    Sheet {
        title: "Section".to_owned(),
        heading: String::new(),
        lead: String::new(),
        kind: "Section",
        scale: String::new(),
        items: vec![Item::Text(format!("Nothing is drawn: {error}."))],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demos;
    use crate::report::table::Table;
    use crate::study::Answers;
    use kurbo::Size;
    use std::fmt::Write as _;

    /// What a sheet says before it meets paper, a line for each cell that says
    /// something, so that a difference names what changed.
    fn recorded(sheet: &Sheet<'_>) -> String {
        let mut out = format!("# {}\n", sheet.title);
        for (mark, text) in [("heading", &sheet.heading), ("lead", &sheet.lead), ("scale", &sheet.scale)] {
            if !text.is_empty() {
                let _ = writeln!(out, "{mark}: {text}");
            }
        }
        let _ = writeln!(out, "kind: {}", sheet.kind);
        for item in &sheet.items {
            let _ = match item {
                Item::Table(table) => write!(out, "{}", recorded_table(table)),
                Item::Heading(text) => writeln!(out, "## {text}"),
                Item::Text(text) => writeln!(out, "text: {text}"),
                Item::Cautions(all) => {
                    all.iter().try_for_each(|c| writeln!(out, "{:?}: {}", c.weight, c.text))
                }
                Item::Figure(figure) => {
                    let drawn = (figure.draw)(Size::new(170.0, figure.most));
                    writeln!(out, "picture {} to {} mm: {}", figure.least, figure.most, drawn.alt)
                }
                Item::Lines(lines) => writeln!(out, "lines: {lines}"),
                Item::Signatures(all) => all.iter().try_for_each(|text| writeln!(out, "signed: {text}")),
                Item::Together(mm) => writeln!(out, "together: {mm} mm"),
            };
        }
        out
    }

    fn recorded_table(table: &Table) -> String {
        let mut out = format!("## table: {}\nsummary: {}\n", table.heading, table.summary);
        let _ = writeln!(
            out,
            "set: row height {} mm, ruled {}, close {}",
            table.row_height, table.ruled, table.close
        );
        let columns = table.columns.iter().map(|column| {
            let grows = if column.grows { " grows" } else { "" };
            format!("{} <{:?} {} {}{grows}>", column.head, column.align, column.unit, column.least)
        });
        let _ = writeln!(out, "columns: {}", columns.collect::<Vec<_>>().join(" | "));
        for row in &table.rows {
            let cells = row.iter().map(|cell| {
                let words = cell.words.iter().map(|words| match (words.strong, words.struck) {
                    (true, _) if !words.text.is_empty() => format!("*{}*", words.text),
                    (_, true) => format!("-{}-", words.text),
                    _ => words.text.clone(),
                });
                let number = cell.number.map(|number| format!(" [{number:.9}]")).unwrap_or_default();
                format!("{}{number}", words.collect::<Vec<_>>().join(" / "))
            });
            let _ = writeln!(out, "- {}", cells.collect::<Vec<_>>().join(" | "));
        }
        out
    }

    /// Titles, paragraphs and cells of every sheet of every demo before they
    /// are laid out, held against tests/snapshots/cells. Take them over anew
    /// with `UPDATE_SNAPSHOTS=true`, and look at each difference.
    #[test]
    fn every_cell_of_every_sheet_is_the_one_on_record() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots/cells");
        let update = std::env::var("UPDATE_SNAPSHOTS").is_ok_and(|value| value == "true");
        let mut differ = Vec::new();
        for demo in demos() {
            let project = demo.project().unwrap();
            let question = project.question();
            let answers = Answers::to(&question);
            let cylinder = crate::sheet::worst_cylinder(&answers);
            let units = project.units;
            let context = Context {
                project: &project,
                question: &question,
                answers: &answers,
                units,
                cylinder,
                crank_deg: 0.0,
            };
            let contents = [("Section".to_owned(), 2)];
            let sheets = SheetKind::fitting(&project);
            let text: Vec<String> = sheets
                .into_iter()
                .map(|kind| recorded(&on_paper(&context, kind.section(&context, &contents))))
                .collect();
            let text = text.join("\n");
            let path = folder.join(format!("{}.txt", demo.id));
            if update {
                std::fs::create_dir_all(&folder).unwrap();
                std::fs::write(&path, &text).unwrap();
            }
            let on_record = std::fs::read_to_string(&path).unwrap_or_default();
            if on_record != text {
                let line = on_record.lines().zip(text.lines()).find(|(was, is)| was != is);
                differ.push(format!("{}: {line:?}", demo.id));
            }
        }
        assert!(differ.is_empty(), "other cells than on record: {differ:#?}");
    }
}
