//! What a source file names, read as the compiler reads it: without comments,
//! texts and tests, groups and `super` written out.

use std::path::{Component, Path};

/// A file of the program as far as its rooms are concerned.
#[derive(Debug, Default)]
pub(super) struct Source {
    /// Every path that is named, from its root: `["crate", "study", "Answers"]`
    /// or `["std", "fs", "read"]`.
    pub paths: Vec<Vec<String>>,
    /// Every method that is called.
    pub methods: Vec<String>,
    /// Modules that are there in tests alone.
    pub test_modules: Vec<String>,
}

/// The modules of a file below `src`, from the crate down.
pub(super) fn module_of(short: &Path) -> Vec<String> {
    let mut modules = vec!["crate".to_owned()];
    modules.extend(short.with_extension("").components().filter_map(|part| match part {
        Component::Normal(name) => Some(name.to_string_lossy().into_owned()),
        _ => None,
    }));
    if modules.last().is_some_and(|last| matches!(last.as_str(), "mod" | "lib")) {
        modules.pop();
    }
    modules
}

impl Source {
    /// Reads a code that stands in this module.
    pub(super) fn of(code: &str, module: &[String]) -> Self {
        let mut source = Self::default();
        let tokens = source.without_tests(tokens(code));
        let at = |i: usize| tokens.get(i).map_or("", String::as_str);
        // Modules that are written inside of the file, with the depth of their braces.
        let (mut here, mut depth, mut inner) = (module.to_vec(), 0_usize, Vec::new());
        let mut i = 0;
        while i < tokens.len() {
            match at(i) {
                "{" => {
                    depth += 1;
                    if i >= 2 && at(i - 2) == "mod" {
                        here.push(at(i - 1).to_owned());
                        inner.push(depth);
                    }
                }
                "}" => {
                    if inner.last() == Some(&depth) {
                        inner.pop();
                        here.pop();
                    }
                    depth = depth.saturating_sub(1);
                }
                word if is_word(word) && at(i + 1) == "::" => {
                    let mut found = Vec::new();
                    i = tree(&tokens, i, &[], &mut found);
                    source.paths.extend(found.into_iter().map(|path| resolved(path, &here)));
                    continue;
                }
                "use" if at(i + 1) == "{" => {
                    let mut found = Vec::new();
                    i = tree(&tokens, i + 1, &[], &mut found);
                    source.paths.extend(found.into_iter().map(|path| resolved(path, &here)));
                    continue;
                }
                // A crate or a module by its bare name: `use egui;`, `use egui as e;`.
                word if is_word(word) && i > 0 && at(i - 1) == "use" => {
                    source.paths.push(resolved(vec![word.to_owned()], &here));
                }
                "." if at(i + 2) == "(" => source.methods.push(at(i + 1).to_owned()),
                _ => {}
            }
            i += 1;
        }
        source
    }

    /// The tokens without items that are there in tests alone.
    fn without_tests(&mut self, tokens: Vec<String>) -> Vec<String> {
        const MARK: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
        let mut kept = Vec::new();
        let mut i = 0;
        while i < tokens.len() {
            let marked = tokens.get(i..i + MARK.len()).is_some_and(|here| here == MARK);
            if !marked {
                kept.extend(tokens.get(i).cloned());
                i += 1;
                continue;
            }
            i += MARK.len();
            let (mut depth, start) = (0_usize, i);
            while let Some(token) = tokens.get(i) {
                i += 1;
                match token.as_str() {
                    "{" | "(" | "[" => depth += 1,
                    "}" if depth == 1 => break,
                    "}" | ")" | "]" => depth = depth.saturating_sub(1),
                    ";" if depth == 0 => break,
                    _ => {}
                }
            }
            if let Some([.., word, name, end]) = tokens.get(start..i)
                && word == "mod"
                && end == ";"
            {
                self.test_modules.push(name.clone());
            }
        }
        kept
    }
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_')
}

/// Reads a path that begins at `i`, with all branches of its groups; where it
/// ends.
fn tree(tokens: &[String], mut i: usize, before: &[String], found: &mut Vec<Vec<String>>) -> usize {
    let at = |i: usize| tokens.get(i).map_or("", String::as_str);
    let mut path = before.to_vec();
    loop {
        if at(i) == "{" {
            i += 1;
            while i < tokens.len() && at(i) != "}" {
                i = if matches!(at(i), ",") { i + 1 } else { tree(tokens, i, &path, found) };
            }
            return i + 1;
        }
        if is_word(at(i)) || at(i) == "*" {
            path.push(at(i).to_owned());
        }
        i += 1;
        if at(i) != "::" {
            break;
        }
        i += 1;
        // Types behind a path, `of::<T>`, are read on their own.
        if !is_word(at(i)) && !matches!(at(i), "{" | "*") {
            break;
        }
    }
    if at(i) == "as" && !before.is_empty() {
        i += 2;
    }
    found.push(path);
    i
}

/// The path from its root; `self` and `super` are written out.
fn resolved(path: Vec<String>, module: &[String]) -> Vec<String> {
    let mut here = module.to_vec();
    let mut rest = path.into_iter().peekable();
    if !rest.peek().is_some_and(|first| matches!(first.as_str(), "self" | "super")) {
        return rest.collect();
    }
    while let Some(step) = rest.next_if(|step| matches!(step.as_str(), "self" | "super")) {
        if step == "super" {
            here.pop();
        }
    }
    here.extend(rest);
    here
}

/// Words, `::`, and single signs; no comments, texts, characters or lifetimes.
fn tokens(code: &str) -> Vec<String> {
    let chars: Vec<char> = code.chars().collect();
    let at = |i: usize| chars.get(i).copied().unwrap_or('\0');
    let mut tokens = Vec::new();
    let mut i = 0;
    while i < chars.len() {
        let c = at(i);
        if c == '/' && at(i + 1) == '/' {
            while i < chars.len() && at(i) != '\n' {
                i += 1;
            }
        } else if c == '/' && at(i + 1) == '*' {
            while i < chars.len() && !(at(i) == '*' && at(i + 1) == '/') {
                i += 1;
            }
            i += 2;
        } else if let Some(end) = raw_text(&chars, i) {
            i = end;
        } else if c == '"' {
            i += 1;
            while i < chars.len() && at(i) != '"' {
                i += if at(i) == '\\' { 2 } else { 1 };
            }
            i += 1;
        } else if c == '\'' {
            // 'a' and '\n' are characters, 'a without an end is a lifetime.
            if at(i + 1) == '\\' {
                i += 3;
                while i < chars.len() && at(i) != '\'' {
                    i += 1;
                }
                i += 1;
            } else if at(i + 2) == '\'' {
                i += 3;
            } else {
                i += 1;
                while at(i).is_alphanumeric() || at(i) == '_' {
                    i += 1;
                }
            }
        } else if c.is_alphanumeric() || c == '_' {
            let start = i;
            while at(i).is_alphanumeric() || at(i) == '_' {
                i += 1;
            }
            tokens.extend(chars.get(start..i).map(|word| word.iter().collect()));
        } else if c == ':' && at(i + 1) == ':' {
            tokens.push("::".to_owned());
            i += 2;
        } else {
            if !c.is_whitespace() {
                tokens.push(c.to_string());
            }
            i += 1;
        }
    }
    tokens
}

/// Where a raw text that begins at `i` ends: `r"…"`, `br#"…"#`.
fn raw_text(chars: &[char], i: usize) -> Option<usize> {
    let at = |i: usize| chars.get(i).copied().unwrap_or('\0');
    if i > 0 && (at(i - 1).is_alphanumeric() || at(i - 1) == '_') {
        return None;
    }
    let start = if at(i) == 'b' { i + 1 } else { i };
    let marks = chars.get(start + 1..)?.iter().take_while(|c| **c == '#').count();
    if at(start) != 'r' || at(start + 1 + marks) != '"' {
        return None;
    }
    let mut end = start + 2 + marks;
    while end < chars.len() {
        if at(end) == '"' && (1..=marks).all(|k| at(end + k) == '#') {
            return Some(end + 1 + marks);
        }
        end += 1;
    }
    Some(end)
}

#[test]
fn groups_are_written_out_and_super_is_followed() {
    let code = r##"
        use crate::{app::x, study::{self, y as z}};
        use super::super::cli::w;
        use egui;
        use {std::fs::File, super::{k, l as m}};
        /// crate::render in a comment
        const T: &str = "crate::sheet";
        const R: &str = r#"crate::"sheet"#;
        fn f<'a>(c: char) -> bool { c == '"' && crate::lesson::of::<u8>(std::fs::read("x").is_ok()).exists() }
        mod inner { use super::sibling::s; }
        #[cfg(test)]
        fn only() { crate::scene::q(); }
        #[cfg(test)]
        mod tests { use crate::scene::t; }
        #[cfg(test)]
        mod fixtures;
        fn g() -> crate::quantity::Kind { super::h() }
    "##;
    let module: Vec<String> = ["crate", "drawing", "parts"].map(String::from).into();
    let source = Source::of(code, &module);
    let paths: Vec<String> = source.paths.iter().map(|path| path.join("::")).collect();
    assert_eq!(
        paths,
        [
            "crate::app::x",
            "crate::study::self",
            "crate::study::y",
            "crate::cli::w",
            "egui",
            "std::fs::File",
            "crate::drawing::k",
            "crate::drawing::l",
            "crate::lesson::of",
            "std::fs::read",
            "crate::drawing::parts::sibling::s",
            "crate::quantity::Kind",
            "crate::drawing::h",
        ]
    );
    assert_eq!(source.methods, ["is_ok", "exists"]);
    assert_eq!(source.test_modules, ["fixtures"]);
}
