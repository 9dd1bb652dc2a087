//! The glossary: every dimension of the list, and the words of the trade
//! around them.
//!
//! What a dimension is, why it matters and how it is measured stands in the
//! list of dimensions alone; the file `assets/words.ron` adds what the trade
//! calls it elsewhere, what it is taken for, and which picture shows it.

mod search;

pub use search::{find, in_label};

use super::eval::{Moment, Scene};
use super::words::Text;
use crate::engine::Key;
use crate::project::text;
use crate::quantity::UnitChoice;
use serde::Deserialize;
use std::sync::{Arc, OnceLock};

/// The text of the glossary's file.
static TEXT: &str = include_str!("../../../assets/words.ron");

/// Where a synonym is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Tongue {
    English,
    Us,
    Uk,
    German,
    French,
    Spanish,
    Italian,
}

impl Tongue {
    /// What stands before the synonym; nothing for what is said everywhere
    /// in English.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::English => "",
            Self::Us => "US",
            Self::Uk => "UK",
            Self::German => "German",
            Self::French => "French",
            Self::Spanish => "Spanish",
            Self::Italian => "Italian",
        }
    }
}

/// Where in the program a word is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stand {
    Dimensions,
    TitleBlock,
    Towers,
    Curves,
    Cylinders,
    Lessons,
    Figures,
    Effects,
    Readings,
    Shims,
    Rings,
    Binder,
    Bench,
}

impl Stand {
    /// What it is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Dimensions => "Dimensions",
            Self::TitleBlock => "Title block",
            Self::Towers => "Towers",
            Self::Curves => "Curves",
            Self::Cylinders => "Cylinders",
            Self::Lessons => "Lessons",
            Self::Figures => "Figures",
            Self::Effects => "What moves what",
            Self::Readings => "Readings",
            Self::Shims => "Shims",
            Self::Rings => "Rings",
            Self::Binder => "Binder",
            Self::Bench => "Bench log",
        }
    }
}

/// One of the curves against the crank angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CurveKind {
    Position,
    Volume,
    Ratio,
}

/// What shows a word on the engine at hand.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TermPicture {
    /// Nothing that this program draws.
    #[default]
    Nothing,
    /// The section.
    Section {
        /// The dimensions that are lit.
        lit: Vec<Key>,
        /// Degrees after piston top dead centre.
        #[serde(default)]
        crank: f64,
        /// The volumes are tinted.
        #[serde(default)]
        tints: bool,
    },
    /// The crown's edge, enlarged.
    Rim(Vec<Key>),
    /// The foot of the barrel, enlarged.
    Foot(Vec<Key>),
    /// The two towers.
    Towers(Vec<Key>),
    /// A curve against the crank angle.
    Curve(CurveKind),
    /// The bore from above with the gaps of the rings.
    Gaps,
    /// A ring in its groove.
    Groove,
}

/// A word as it stands in the file.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TermFile {
    id: String,
    #[serde(default)]
    dimension: Option<Key>,
    #[serde(default)]
    term: String,
    #[serde(default)]
    means: String,
    #[serde(default)]
    also: Vec<(Tongue, String)>,
    #[serde(default)]
    confused: String,
    #[serde(default)]
    measured: String,
    #[serde(default)]
    picture: TermPicture,
    #[serde(default)]
    here: String,
    at: Vec<Stand>,
    see: Vec<String>,
}

/// A word of the trade.
#[derive(Clone, Debug)]
pub struct Term {
    file: TermFile,
    here: Text,
    see: Vec<usize>,
}

impl Term {
    /// The name by which it is asked for; that of a dimension is its key.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.file.id
    }

    /// The dimension that it is, if it is one.
    #[must_use]
    pub fn dimension(&self) -> Option<Key> {
        self.file.dimension
    }

    /// The word.
    #[must_use]
    pub fn name(&self) -> &str {
        match self.file.dimension {
            Some(key) => key.name(),
            None => &self.file.term,
        }
    }

    /// What it is.
    #[must_use]
    pub fn means(&self) -> &str {
        match self.file.dimension {
            Some(key) => key.row().meaning,
            None => &self.file.means,
        }
    }

    /// Why a dimension matters; empty for other words.
    #[must_use]
    pub fn matters(&self) -> &'static str {
        self.file.dimension.map_or("", |key| key.row().matters)
    }

    /// How it is measured; empty where it is not.
    #[must_use]
    pub fn measured(&self) -> &str {
        match self.file.dimension {
            Some(key) => key.row().measure,
            None => &self.file.measured,
        }
    }

    /// What else it is called, and where.
    #[must_use]
    pub fn also(&self) -> &[(Tongue, String)] {
        &self.file.also
    }

    /// The same in lines, one for each language.
    #[must_use]
    pub fn also_by_tongue(&self) -> Vec<String> {
        let mut lines: Vec<(&str, Vec<String>)> = Vec::new();
        for (tongue, word) in self.also() {
            let (language, word) = match tongue {
                Tongue::English => ("", word.clone()),
                Tongue::Us | Tongue::Uk => ("", format!("{word} ({})", tongue.name())),
                other => (other.name(), word.clone()),
            };
            match lines.iter_mut().find(|(known, _)| *known == language) {
                Some((_, words)) => words.push(word),
                None => lines.push((language, vec![word])),
            }
        }
        let line = |(language, words): (&str, Vec<String>)| {
            let words = words.join(", ");
            if language.is_empty() { words } else { format!("{language}: {words}") }
        };
        lines.into_iter().map(line).collect()
    }

    /// What it is taken for.
    #[must_use]
    pub fn confused(&self) -> &str {
        &self.file.confused
    }

    /// What shows it.
    #[must_use]
    pub fn picture(&self) -> &TermPicture {
        &self.file.picture
    }

    /// Where in the program it is met; a dimension first of all in the list.
    pub fn at(&self) -> impl Iterator<Item = Stand> + '_ {
        self.file.dimension.map(|_| Stand::Dimensions).into_iter().chain(self.file.at.iter().copied())
    }

    /// Words that belong to it, by their places in the glossary.
    #[must_use]
    pub fn see(&self) -> &[usize] {
        &self.see
    }

    /// What it is on the engine at hand; none where that says nothing of it.
    #[must_use]
    pub fn here(&self, now: &Moment, cylinder: usize, units: &UnitChoice) -> Option<String> {
        let scene = Scene { now, start: now, cylinder, crank_deg: 0.0, shows: &[] };
        let known = !self.here.is_empty() && self.here.values().all(|value| scene.value(value).is_some());
        known.then(|| self.here.fill(&scene, units))
    }
}

/// All words, in alphabetical order. A file that could not be read would give
/// none; a test reads it.
#[must_use]
pub fn glossary() -> &'static [Arc<Term>] {
    static GLOSSARY: OnceLock<Vec<Arc<Term>>> = OnceLock::new();
    GLOSSARY.get_or_init(|| read(TEXT).unwrap_or_default())
}

/// The place of the word with this name in the glossary.
#[must_use]
pub fn place_of(id: &str) -> Option<usize> {
    glossary().iter().position(|term| term.id() == id)
}

/// The place of the word for a dimension in the glossary.
#[must_use]
pub(crate) fn place_of_key(key: Key) -> Option<usize> {
    glossary().iter().position(|term| term.dimension() == Some(key))
}

fn read(words: &str) -> Result<Vec<Arc<Term>>, String> {
    let mut files: Vec<TermFile> = text::options().from_str(words).map_err(|error| error.to_string())?;
    let name = |file: &TermFile| match file.dimension {
        Some(key) => key.name().to_lowercase(),
        None => file.term.to_lowercase(),
    };
    files.sort_by_key(name);
    let ids: Vec<String> = files.iter().map(|file| file.id.clone()).collect();
    let term = |file: TermFile| {
        let here = match file.dimension {
            Some(key) => format!("{{{}}}", key.id()),
            None => file.here.clone(),
        };
        let here = Text::parse(&here, &[]).map_err(|error| format!("{}, here: {error}", file.id))?;
        let place = |id: &String| {
            ids.iter().position(|known| known == id).ok_or_else(|| format!("{}: no word ‘{id}’", file.id))
        };
        let see = file.see.iter().map(place).collect::<Result<_, _>>()?;
        Ok(Arc::new(Term { file, here, see }))
    };
    files.into_iter().map(term).collect()
}

#[cfg(test)]
mod tests;
