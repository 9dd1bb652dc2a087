//! What there is to say, said once: a file a subject, each a pure function from
//! a document and its answers to sections of tables, paragraphs, notes and
//! pictures. Paper, terminal, CSV, Markdown and window read the same section;
//! verdict words, units and decimals are decided here.
//!
//! A new subject is a file here and a row in `SUBJECTS`.

mod assembly;
pub(crate) mod base_gaskets;
mod chambers;
pub(crate) mod context;
mod cover;
mod curves;
mod cuts;
mod effects;
mod export;
mod figures;
pub(crate) mod gaskets;
mod open_items;
pub(crate) mod openings;
mod pairing;
mod readings;
pub(crate) mod rings;
pub mod section;
mod section_tables;
pub(crate) mod shims;
mod signatures;
pub mod table;
pub(crate) mod text;
mod towers;
mod valves;
pub(crate) mod wording;
mod work_order;

pub use context::Context;
pub use export::{csv, figures_in_markdown, figures_in_plain_text};
pub(crate) use export::{csv_file, csv_text};
pub use section::Section;

use crate::project::{Construction, Project};
use table::Table;

/// A subject, and with it a sheet of the binder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SheetKind {
    /// What the engine is, what was decided, and what is in the binder.
    Cover,
    /// One cylinder in section with its figures.
    Section,
    /// How high the piston reaches beside how high the cylinder stands.
    Towers,
    /// The figures of all cylinders with their doubts and limits.
    Figures,
    /// Position, volume and ratio against crank angle.
    Curves,
    /// What moves what.
    Effects,
    /// Every reading with its raw values.
    Readings,
    /// The shims that were chosen under every barrel, and why.
    Shims,
    /// The rings of all cylinders on one card.
    Rings,
    /// The fills of the chambers.
    Chambers,
    /// What is paired, opened, chosen and cut.
    WorkOrder,
    /// A table for valve clearances.
    Valves,
    /// The checklist of the bench.
    Assembly,
    /// What is open, and every caution.
    OpenItems,
    /// Lines to sign on.
    Signatures,
}

// In the order of the binder.
all!(
    pub SheetKind: Cover, Section, Towers, Figures, Curves, Effects, Readings, Shims, Rings, Chambers,
    WorkOrder, Valves, Assembly, OpenItems, Signatures
);

/// One subject.
struct Subject {
    kind: SheetKind,
    /// The name in calls.
    id: &'static str,
    /// The name for a person.
    name: &'static str,
    /// Whether there is anything to say about this engine.
    applies: fn(&Project) -> bool,
    /// What is said. The cover also gets the titles of the other sheets, each
    /// with the page on which it begins.
    section: fn(&Context<'_>, &[(String, usize)]) -> Section,
}

/// All subjects, in the order of the binder.
static SUBJECTS: [Subject; SheetKind::ALL.len()] = [
    Subject {
        kind: SheetKind::Cover,
        id: "cover",
        name: "Cover and contents",
        applies: |_| true,
        section: cover::section,
    },
    Subject {
        kind: SheetKind::Section,
        id: "section",
        name: "Section",
        applies: |_| true,
        section: |c, _| section_tables::section(c),
    },
    Subject {
        kind: SheetKind::Towers,
        id: "towers",
        name: "Two towers",
        applies: |_| true,
        section: |c, _| towers::section(c),
    },
    Subject {
        kind: SheetKind::Figures,
        id: "figures",
        name: "Figures and limits",
        applies: |_| true,
        section: |c, _| figures::section(c),
    },
    Subject {
        kind: SheetKind::Curves,
        id: "curves",
        name: "Curves",
        applies: |_| true,
        section: |c, _| curves::section(c),
    },
    Subject {
        kind: SheetKind::Effects,
        id: "effects",
        name: "What moves what",
        applies: |_| true,
        section: |c, _| effects::section(c),
    },
    Subject {
        kind: SheetKind::Readings,
        id: "readings",
        name: "Readings",
        applies: |project| !project.readings.is_empty(),
        section: |c, _| readings::section(c),
    },
    Subject {
        kind: SheetKind::Shims,
        id: "shims",
        name: "Shims",
        applies: |project| project.engine.construction.has_barrels() && !project.shims.is_empty(),
        section: |c, _| shims::section(c),
    },
    Subject {
        kind: SheetKind::Rings,
        id: "rings",
        name: "Ring card",
        applies: |project| !project.rings.is_empty(),
        section: |c, _| rings::section(c),
    },
    Subject {
        kind: SheetKind::Chambers,
        id: "chambers",
        name: "Chamber log",
        applies: |_| true,
        section: |c, _| chambers::section(c),
    },
    Subject {
        kind: SheetKind::WorkOrder,
        id: "work-order",
        name: "Work order",
        applies: |_| true,
        section: |c, _| work_order::section(c),
    },
    Subject {
        kind: SheetKind::Valves,
        id: "valves",
        name: "Valve clearances",
        applies: |project| project.engine.construction != Construction::TwoStroke,
        section: |c, _| valves::section(c),
    },
    Subject {
        kind: SheetKind::Assembly,
        id: "assembly",
        name: "Assembly log",
        applies: |_| true,
        section: |c, _| assembly::section(c),
    },
    Subject {
        kind: SheetKind::OpenItems,
        id: "open-items",
        name: "Open items and cautions",
        applies: |_| true,
        section: |c, _| open_items::section(c),
    },
    Subject {
        kind: SheetKind::Signatures,
        id: "signatures",
        name: "Signatures",
        applies: |_| true,
        section: |c, _| signatures::section(c),
    },
];

rows_in_order!(SUBJECTS, kind);

impl SheetKind {
    /// Returns its row.
    fn subject(self) -> &'static Subject {
        &SUBJECTS[self as usize]
    }

    /// Returns the name in calls.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.subject().id
    }

    /// Returns the sheet with this name in calls.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.id() == id)
    }

    /// Returns the name for a person.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.subject().name
    }

    /// Returns whether it is a drawing of one cylinder in its own dimensions.
    #[must_use]
    pub fn is_drawn_for_one(self) -> bool {
        matches!(self, Self::Section | Self::Towers)
    }

    /// Returns whether there is anything to say on it for this engine.
    #[must_use]
    pub fn fits(self, project: &Project) -> bool {
        (self.subject().applies)(project)
    }

    /// Returns the sheets that have something to say for this engine.
    #[must_use]
    pub fn fitting(project: &Project) -> Vec<Self> {
        Self::ALL.into_iter().filter(|kind| kind.fits(project)).collect()
    }

    /// Returns these sheets in the order of the binder, each once.
    #[must_use]
    pub(crate) fn chosen(sheets: &[Self]) -> Vec<Self> {
        Self::ALL.into_iter().filter(|kind| sheets.contains(kind)).collect()
    }

    /// Returns what is said; `contents` are the titles of the other sheets,
    /// each with its page, for the cover.
    #[must_use]
    pub fn section(self, context: &Context<'_>, contents: &[(String, usize)]) -> Section {
        (self.subject().section)(context, contents)
    }
}

/// The tables of the sheets that were chosen, with the title of their sheet:
/// for files that hold nothing but tables.
#[must_use]
pub fn tables(context: &Context<'_>, sheets: &[SheetKind]) -> Vec<(String, Table)> {
    let of = |kind: SheetKind| {
        let section = kind.section(context, &[]);
        let tables: Vec<_> = section.tables().map(|table| (section.title.clone(), table.clone())).collect();
        tables
    };
    SheetKind::chosen(sheets).into_iter().flat_map(of).collect()
}
