//! By which licences the program, its lettering and the packages inside it
//! are given, with the notices that those ask for. Window and command line
//! show them.

use std::sync::LazyLock;

/// What the program is, in one sentence.
pub const WHAT: &str = "One cylinder of an engine, from the parts on the bench to the section on the screen and the \
                        page in the binder.";

/// The program's own licence.
pub const OWN: &str = "MIT or Apache-2.0, as you like.";

static MIT: &str = include_str!("../LICENSE-MIT");
static APACHE: &str = include_str!("../LICENSE-APACHE");
static FONT: &str = include_str!("../assets/fonts/LICENSE_FONT");
/// Made by `.ci/notices` from the sources of the packages.
static PACKAGES: &str = include_str!("../assets/notices.txt");

/// A part with its own licence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// What it is.
    pub name: &'static str,
    /// Licence and notices, to be read as they stand.
    pub text: &'static str,
}

/// The program, the lettering, the packages.
///
/// ```
/// use crowndeck::licences::PARTS;
/// assert!(PARTS[0].text.contains("Permission is hereby granted"));
/// assert!(PARTS.iter().any(|part| part.text.contains("SIL OPEN FONT LICENSE")));
/// ```
pub static PARTS: [Part; 4] = [
    Part { name: "crowndeck, MIT", text: MIT },
    Part { name: "crowndeck, Apache-2.0", text: APACHE },
    Part { name: "Lettering", text: FONT },
    Part { name: "Packages", text: PACKAGES },
];

/// The lines of each part, so that a long text is cut once.
pub static LINES: LazyLock<[Vec<&'static str>; 4]> =
    LazyLock::new(|| PARTS.each_ref().map(|part| part.text.lines().collect()));

/// Everything, one part after the other.
#[must_use]
pub fn all() -> String {
    let parts: Vec<String> =
        PARTS.iter().map(|part| format!("{}\n\n{}", part.name, part.text.trim_end())).collect();
    format!("{WHAT}\n{OWN}\n\n{}\n", parts.join(&format!("\n\n{}\n", "=".repeat(78))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::path::Path;

    /// "name version" of every package that the notices speak of.
    fn noted() -> BTreeSet<&'static str> {
        let lines: Vec<&str> = PACKAGES.lines().collect();
        let mut noted = BTreeSet::new();
        for pair in lines.windows(2) {
            if pair[0].starts_with("======") && pair[1].contains(|c: char| c.is_ascii_digit()) {
                noted.extend(pair[1].split(", "));
            }
        }
        let bare = lines.iter().rev().take_while(|line| !line.starts_with("======"));
        noted.extend(bare.filter_map(|line| line.split_once(": ").map(|(who, _)| who)));
        noted
    }

    /// The notices speak of the versions that are built, and leave out none of
    /// the packages that the program itself names.
    #[test]
    fn the_notices_are_of_today() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let lock = std::fs::read_to_string(root.join("Cargo.lock")).unwrap();
        let value = |line: &str| line.split('"').nth(1).unwrap_or_default().to_owned();
        let locked: BTreeSet<String> = lock
            .split("[[package]]")
            .skip(1)
            .map(|package| {
                let field =
                    |name: &str| package.lines().find(|line| line.starts_with(name)).map(value).unwrap();
                format!("{} {}", field("name = "), field("version = "))
            })
            .collect();
        let noted = noted();
        let stale: Vec<_> = noted.iter().filter(|who| !locked.contains(**who)).collect();
        assert!(stale.is_empty(), "not built any more, run .ci/notices: {stale:?}");
        let manifest = std::fs::read_to_string(root.join("Cargo.toml")).unwrap();
        let wanted = manifest.split("\n[dependencies]\n").nth(1).unwrap().split("\n[").next().unwrap();
        let names: Vec<&str> = wanted
            .lines()
            .filter_map(|line| line.split_once(" = ").map(|(name, _)| name))
            .filter(|name| !name.starts_with('#'))
            .collect();
        assert!(names.len() > 10, "{names:?}");
        for name in names {
            assert!(noted.iter().any(|who| who.starts_with(&format!("{name} "))), "{name}: run .ci/notices");
        }
        assert!(noted.len() > 400, "{}", noted.len());
    }
}
