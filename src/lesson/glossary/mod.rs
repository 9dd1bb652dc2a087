//! The glossary: every dimension of the list, and the words of the trade
//! around them.
//!
//! The meaning of a dimension, why it matters and how it is measured are in the
//! list of dimensions alone; the file `assets/words.ron` adds its synonyms in
//! the trade, what it is confused with, and its picture.

mod search;

pub use search::{find, in_label};

use super::eval::{Moment, Scene};
use super::words::Text;
use crate::engine::Key;
use crate::project::text;
use crate::quantity::UnitChoice;
use serde::Deserialize;
use std::sync::{Arc, OnceLock};

/// Text of the glossary's file.
static TEXT: &str = include_str!("../../../assets/words.ron");

/// A language or region in which a synonym is used.
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
    /// Returns the prefix of a synonym; empty for one that is used everywhere
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

/// A part of the program in which a word is met.
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
    /// Returns its name on the screen.
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

/// A curve against the crank angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CurveKind {
    Position,
    Volume,
    Ratio,
}

/// The picture of a word on the engine at hand.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TermPicture {
    /// No picture that this program draws.
    #[default]
    Nothing,
    /// The section.
    Section {
        /// The dimensions that are lit.
        lit: Vec<Key>,
        /// Degrees after piston top dead centre.
        #[serde(default)]
        crank: f64,
        /// Whether the volumes are tinted.
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

/// A word as it is in the file.
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
    /// Returns the name by which it is asked for; that of a dimension is its
    /// key.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.file.id
    }

    /// Returns the dimension that it names; `None` for other words.
    #[must_use]
    pub fn dimension(&self) -> Option<Key> {
        self.file.dimension
    }

    /// Returns the word.
    #[must_use]
    pub fn name(&self) -> &str {
        match self.file.dimension {
            Some(key) => key.name(),
            None => &self.file.term,
        }
    }

    /// Returns its meaning.
    #[must_use]
    pub fn means(&self) -> &str {
        match self.file.dimension {
            Some(key) => key.row().meaning,
            None => &self.file.means,
        }
    }

    /// Returns why a dimension matters; empty for other words.
    #[must_use]
    pub fn matters(&self) -> &'static str {
        self.file.dimension.map_or("", |key| key.row().matters)
    }

    /// Returns how it is measured; empty where it is not.
    #[must_use]
    pub fn measured(&self) -> &str {
        match self.file.dimension {
            Some(key) => key.row().measure,
            None => &self.file.measured,
        }
    }

    /// Returns its synonyms, with where they are used.
    #[must_use]
    pub fn also(&self) -> &[(Tongue, String)] {
        &self.file.also
    }

    /// Returns its synonyms in lines, one for each language.
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

    /// Returns what it is confused with.
    #[must_use]
    pub fn confused(&self) -> &str {
        &self.file.confused
    }

    /// Returns its picture.
    #[must_use]
    pub fn picture(&self) -> &TermPicture {
        &self.file.picture
    }

    /// Returns the parts of the program in which it is met; for a dimension
    /// first of all the list.
    pub fn at(&self) -> impl Iterator<Item = Stand> + '_ {
        self.file.dimension.map(|_| Stand::Dimensions).into_iter().chain(self.file.at.iter().copied())
    }

    /// Returns the words that belong to it, by their indices in the glossary.
    #[must_use]
    pub fn see(&self) -> &[usize] {
        &self.see
    }

    /// Returns its value on the engine at hand; `None` where it has none.
    #[must_use]
    pub fn here(&self, now: &Moment, cylinder: usize, units: &UnitChoice) -> Option<String> {
        let scene = Scene { now, start: now, cylinder, crank_deg: 0.0, shows: &[] };
        let known = !self.here.is_empty() && self.here.values().all(|value| scene.value(value).is_some());
        known.then(|| self.here.fill(&scene, units))
    }
}

/// Returns all words, in alphabetical order. A file that could not be read
/// would give none; a test reads it.
#[must_use]
pub fn glossary() -> &'static [Arc<Term>] {
    static GLOSSARY: OnceLock<Vec<Arc<Term>>> = OnceLock::new();
    GLOSSARY.get_or_init(|| read(TEXT).unwrap_or_default())
}

/// Returns the index of the word with this name in the glossary.
#[must_use]
pub fn place_of(id: &str) -> Option<usize> {
    glossary().iter().position(|term| term.id() == id)
}

/// Returns the index of the word for a dimension in the glossary.
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
