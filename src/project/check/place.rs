//! Where in a project something is wrong: in words, and as the way to it in
//! the file.

/// One step of the way to a place in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Into this field.
    Field(&'static str),
    /// Into this piece of a list, from 0.
    Item(usize),
}

/// A place in a project.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) words: String,
    pub(super) path: Vec<Step>,
}

impl Place {
    /// Names a place and the list that it is a piece of, counted from 0.
    pub(super) fn item(words: String, within: &[Step], list: &'static str, index: usize) -> Self {
        let path = within.iter().copied().chain([Step::Field(list), Step::Item(index)]).collect();
        Self { words, path }
    }

    /// Names a place by its field.
    pub(super) fn field(words: impl Into<String>, within: &[Step], field: &'static str) -> Self {
        Self { words: words.into(), path: within.iter().copied().chain([Step::Field(field)]).collect() }
    }

    /// The same place, a field further in.
    pub(super) fn within(&self, field: &'static str) -> Self {
        let mut path = self.path.clone();
        path.push(Step::Field(field));
        Self { words: self.words.clone(), path }
    }
}

impl From<&str> for Place {
    fn from(words: &str) -> Self {
        words.to_owned().into()
    }
}

impl From<String> for Place {
    fn from(words: String) -> Self {
        Self { words, path: Vec::new() }
    }
}

impl From<&String> for Place {
    fn from(words: &String) -> Self {
        words.clone().into()
    }
}

impl From<&Self> for Place {
    fn from(place: &Self) -> Self {
        place.clone()
    }
}
