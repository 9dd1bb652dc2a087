//! Search for a word by its name, by its synonyms, and by its meaning.

use super::{Term, Tongue, glossary};

/// Returns the words that match a typed text, best first, by their indices in
/// the glossary; all of them for an empty text. Case and accents don't count.
///
/// ```
/// use crowndeck::lesson::{find, glossary};
/// let first = |typed: &str| find(typed).first().map(|&i| glossary()[i].id().to_owned());
/// assert_eq!(first("gudgeon").as_deref(), Some("piston_pin"));
/// assert_eq!(first("quetschmass").as_deref(), Some("squish"));
/// ```
#[must_use]
pub fn find(typed: &str) -> Vec<usize> {
    let typed = folded(typed.trim());
    let mut found: Vec<(u8, usize)> = glossary()
        .iter()
        .enumerate()
        .filter_map(|(i, term)| rank(term, &typed).map(|rank| (rank, i)))
        .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, i)| i).collect()
}

impl Term {
    /// Returns the synonym by which a typed text finds the word, with where it
    /// is said; `None` where the word itself matches, or no synonym does.
    #[must_use]
    pub fn called(&self, typed: &str) -> Option<String> {
        let typed = folded(typed.trim());
        if typed.is_empty() || folded(self.name()).contains(&typed) {
            return None;
        }
        let (tongue, word) = self.also().iter().find(|(_, word)| folded(word).contains(&typed))?;
        Some(match tongue.name() {
            "" => word.clone(),
            name => format!("{word}, {name}"),
        })
    }
}

/// Returns how well a word fits, 0 best; `None` where it does not.
fn rank(term: &Term, typed: &str) -> Option<u8> {
    let name = folded(term.name());
    let also = || term.also().iter().map(|(_, word)| folded(word));
    // A word of the sentence must begin so: "rim" is not found in "trim".
    let says = |text: &str| folded(text).match_indices(typed).any(|(at, _)| begins(&folded(text), at));
    if name.starts_with(typed) {
        Some(0)
    } else if also().any(|word| word.starts_with(typed)) {
        Some(1)
    } else if name.contains(typed) || term.dimension().is_some_and(|key| key.id() == typed) {
        Some(2)
    } else if also().any(|word| word.contains(typed)) {
        Some(3)
    } else if typed.chars().count() > 1 && says(term.means()) {
        Some(4)
    } else if typed.chars().count() > 1
        && [term.matters(), term.confused(), term.measured()].into_iter().any(says)
    {
        Some(5)
    } else {
        None
    }
}

/// Returns the word that the label of something in the window refers to, by its
/// index in the glossary: the longest that is in it as a word of its own, the
/// first of those.
///
/// ```
/// use crowndeck::lesson::{glossary, in_label};
/// let found = in_label("Least squish, 0.98 mm").map(|i| glossary()[i].id());
/// assert_eq!(found, Some("squish"));
/// assert_eq!(in_label("Save as…"), None);
/// ```
#[must_use]
pub fn in_label(label: &str) -> Option<usize> {
    let label = folded(label);
    let mut best: Option<(usize, usize, usize)> = None;
    for (i, term) in glossary().iter().enumerate() {
        let english = |(tongue, word): &(Tongue, String)| {
            matches!(tongue, Tongue::English | Tongue::Us | Tongue::Uk).then(|| folded(word))
        };
        let short = term.dimension().map(|key| folded(key.row().short));
        let names =
            std::iter::once(folded(term.name())).chain(short).chain(term.also().iter().filter_map(english));
        for name in names {
            let Some(at) = whole_word(&label, &name) else { continue };
            let length = name.chars().count();
            if best.is_none_or(|(most, first, _)| length > most || (length == most && at < first)) {
                best = Some((length, at, i));
            }
        }
    }
    best.map(|(_, _, i)| i)
}

/// Returns the position of a name in a text as a word of its own, or as its
/// plural.
fn whole_word(text: &str, name: &str) -> Option<usize> {
    text.match_indices(name).map(|(at, _)| at).find(|&at| {
        let after = text.get(at + name.len()..).unwrap_or_default();
        let after = after.strip_prefix('s').unwrap_or(after);
        begins(text, at) && after.chars().next().is_none_or(|c| !c.is_alphanumeric())
    })
}

fn begins(text: &str, at: usize) -> bool {
    text.get(..at).and_then(|before| before.chars().next_back()).is_none_or(|c| !c.is_alphanumeric())
}

/// Returns the text in small letters without accents.
fn folded(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars().flat_map(char::to_lowercase) {
        match letter {
            'á' | 'à' | 'â' | 'ä' => plain.push('a'),
            'é' | 'è' | 'ê' | 'ë' => plain.push('e'),
            'í' | 'î' | 'ï' => plain.push('i'),
            'ó' | 'ô' | 'ö' => plain.push('o'),
            'ú' | 'û' | 'ü' => plain.push('u'),
            'ç' => plain.push('c'),
            'ñ' => plain.push('n'),
            'ß' => plain.push_str("ss"),
            '’' => plain.push('\''),
            other => plain.push(other),
        }
    }
    plain
}
