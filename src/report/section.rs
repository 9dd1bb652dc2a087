//! What there is to say about a subject, from top to bottom, before it meets
//! paper, a terminal or a window.

use std::sync::Arc;

use super::table::Table;
use crate::advise::rings::RingStudy;
use crate::advise::shims::{Fit, ShimQuestion};

/// All that is said about one subject.
#[derive(Clone, Debug, Default)]
pub struct Section {
    /// What it is called in a table of contents.
    pub title: String,
    /// The heading, where it is another.
    pub heading: String,
    /// What it is for, in one or two sentences; may be empty.
    pub lead: String,
    /// What kind of page it makes, in a word or two.
    pub kind: &'static str,
    /// What is said.
    pub blocks: Vec<Block>,
}

/// A piece of a section.
#[derive(Clone, Debug)]
pub enum Block {
    /// A table.
    Table(Table),
    /// A heading of what follows.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// A paragraph that stands apart from what is above it.
    Apart(String),
    /// What belongs to the block above it, a step further in.
    Inset(Vec<Block>),
    /// Paragraphs with marks that say how much each weighs.
    Notes(Vec<Note>),
    /// A drawing, by what it shows.
    Picture(Picture),
    /// Lines to write on: how many.
    Lines(usize),
    /// Lines for signatures: what each stands for.
    Signatures(Vec<String>),
}

/// The weight of a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// A limit is broken.
    Broken,
    /// A limit is near, or something that matters is not known.
    Close,
    /// A caution for every engine.
    Standing,
}

/// One thing to beware of.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// Its weight.
    pub weight: Weight,
    /// One or two sentences.
    pub text: String,
}

impl Note {
    /// Returns a note that holds for every engine.
    pub(crate) fn standing(text: impl Into<String>) -> Self {
        Self { weight: Weight::Standing, text: text.into() }
    }
}

/// What a picture shows; whoever reads the section draws it.
#[derive(Clone, Debug)]
pub enum Picture {
    /// Both towers of the cylinder.
    Towers,
    /// A curve of the cylinder against crank angle.
    Curve(Curve),
    /// The rings of the cylinder: plan, groove, filing.
    Rings(Arc<RingStudy>),
    /// Level line and shims of the barrels under a head.
    Bank {
        /// What was asked.
        ask: Arc<ShimQuestion>,
        /// The place of the head.
        head: usize,
        /// What lies under each barrel.
        fits: Vec<Fit>,
    },
}

/// What is drawn against crank angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curve {
    /// The way of the piston from its top.
    Position,
    /// The volume above the piston.
    Volume,
    /// The ratio so far.
    Ratio,
}

impl Section {
    /// Returns its tables, for files that hold nothing else.
    pub(crate) fn tables(&self) -> impl Iterator<Item = &Table> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
    }
}
