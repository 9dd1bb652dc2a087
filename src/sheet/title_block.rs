//! The elements of every page of a document: the frame, the filing marks, and a
//! title block that is the same on all of them but for the sheet.

use kurbo::Rect;

use super::flow::DraftPage;
use super::frame::{Field, TitleBlockGrid, border};
use super::paper::{Paper, Stamp};
use crate::drawing::page::Page;
use crate::project::{Project, text};

/// Distance of the content from the frame at left and right, mm.
const SIDE: f64 = 5.0;
/// Distance of the content from the frame at the top, mm.
const TOP: f64 = 4.2;
/// Distance of the content from the title block, mm.
pub(super) const FOOT: f64 = 2.0;

/// The title block: whose engine, which one, and which state of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TitleBlock {
    /// The paper.
    pub paper: Paper,
    /// Date and author.
    pub stamp: Stamp,
    /// The engine.
    pub engine: String,
    /// Whose engine it is; empty if nobody said.
    pub owner: String,
    /// The state of the engine: "as entered", or the name of a kept one.
    pub state: String,
    /// A mark that identifies the file that the figures come from.
    pub fingerprint: String,
}

impl TitleBlock {
    /// Returns the title block of a project. The state is the name under which
    /// the present engine was kept, if it was.
    #[must_use]
    pub(crate) fn of(project: &Project, paper: Paper, stamp: &Stamp) -> Self {
        let kept = project.kept.iter().rev().find(|state| state.engine == project.engine);
        Self {
            paper,
            stamp: stamp.clone(),
            engine: if project.serial.is_empty() {
                project.title.clone()
            } else {
                format!("{}, number {}", project.title, project.serial)
            },
            owner: project.owner.clone(),
            state: kept.map_or_else(|| "as entered".to_owned(), |state| state.name.clone()),
            fingerprint: file_fingerprint(project),
        }
    }

    /// Returns the room for the content of a page: inside the frame, above the
    /// title block.
    #[must_use]
    pub(crate) fn room(&self, title: &str, kind: &str, scale: &str) -> Rect {
        let frame = self.paper.frame();
        let block = self.title_block(title, kind, scale, (1, 1));
        let foot = frame.y1 - block.height(self.paper) - FOOT;
        Rect::new(frame.x0 + SIDE, frame.y0 + TOP, frame.x1 - SIDE, foot)
    }

    /// Returns a draft page as number `sheet` of `sheets`.
    #[must_use]
    pub(crate) fn page(&self, content: DraftPage, (sheet, sheets): (usize, usize)) -> Page {
        let mut blocks = vec![border(self.paper)];
        let title = self.title_block(&content.title, &content.kind, &content.scale, (sheet, sheets));
        blocks.extend(content.blocks);
        blocks.extend(title.blocks(self.paper));
        let name = if content.continued { String::new() } else { content.title };
        Page { name, width: self.paper.width(), height: self.paper.height(), blocks }
    }

    /// Returns the grid after ISO 7200: its mandatory fields are there, the
    /// legal owner, the title, the kind of document, who made and who checked
    /// it, the date, the number of the sheet and a mark that identifies its
    /// source.
    fn title_block(
        &self,
        title: &str,
        kind: &str,
        scale: &str,
        (sheet, sheets): (usize, usize),
    ) -> TitleBlockGrid {
        TitleBlockGrid {
            rows: vec![
                [
                    Field::strong("Engine", self.engine.as_str()),
                    Field::strong("Title", title),
                    Field::new("Date", self.stamp.date.to_string()),
                    Field::strong("Sheet", format!("{sheet} / {sheets}")),
                ],
                [
                    Field::new("Owner", self.owner.as_str()),
                    Field::new("Kind of sheet", kind),
                    Field::strong("Scale", if scale.is_empty() { "–" } else { scale }),
                    Field::new("State", self.state.as_str()),
                ],
                [
                    Field::new("Made by", self.stamp.author.as_str()),
                    Field::new("Checked by", ""),
                    Field::new("Paper", self.paper.name()),
                    Field::new("File mark", self.fingerprint.as_str()),
                ],
            ],
        }
    }
}

/// Returns eight hexadecimal digits that change with the project (FNV-1a of its
/// file, 64 bits folded to 32): whoever finds the sheet sees which state of the
/// file it shows.
pub(super) fn file_fingerprint(project: &Project) -> String {
    let Ok(text) = text::to_text(project) else { return String::new() };
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    let folded = (hash ^ (hash >> 32)) & 0xffff_ffff;
    format!("{:04x} {:04x}", folded >> 16, folded & 0xffff)
}
