//! The one way down, held: no room names a room that stands above it.

use std::fs;
use std::path::{Path, PathBuf};

/// From the lowest to the highest, each with the rooms it may use.
const ROOMS: [(&str, &[&str]); 14] = [
    ("quantity", &[]),
    ("engine", &["quantity"]),
    ("reading", &["quantity", "engine"]),
    ("schema", &["quantity", "engine", "reading"]),
    ("study", &["quantity", "engine", "reading", "schema"]),
    ("advise", &["quantity", "engine", "reading", "schema", "study"]),
    ("project", &["quantity", "engine", "reading", "schema", "study", "advise"]),
    ("lesson", &["quantity", "engine", "reading", "schema", "study", "advise", "project"]),
    ("drawing", &["quantity", "engine"]),
    ("render", &["engine", "drawing"]),
    ("scene", &["quantity", "engine", "reading", "schema", "study", "advise", "project", "drawing"]),
    (
        "sheet",
        &[
            "quantity", "engine", "reading", "schema", "study", "advise", "project", "lesson", "drawing",
            "scene",
        ],
    ),
    (
        "cli",
        &[
            "quantity", "engine", "reading", "schema", "study", "advise", "project", "lesson", "drawing",
            "render", "scene", "sheet", "clock", "licences",
        ],
    ),
    (
        "app",
        &[
            "quantity", "engine", "reading", "schema", "study", "advise", "project", "lesson", "drawing",
            "render", "scene", "sheet", "clock", "licences",
        ],
    ),
];

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found
}

/// The code of a file without comments and without its tests, which may look
/// at anything.
fn code(path: &Path) -> String {
    if path.ends_with("tests.rs") {
        return String::new();
    }
    let text = fs::read_to_string(path).unwrap();
    let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
    code.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// The rooms that a code names.
fn named(code: &str) -> Vec<&str> {
    code.split("crate::")
        .skip(1)
        .map(|rest| rest.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').next().unwrap())
        .collect()
}

#[test]
fn no_room_uses_one_above_it() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut seen = 0;
    for (room, may) in ROOMS {
        let mut all = files(&source.join(room));
        all.push(source.join(room).with_extension("rs"));
        for path in all.iter().filter(|path| path.is_file()) {
            let code = code(path);
            for name in named(&code) {
                let known =
                    matches!(name, "clock" | "licences") || ROOMS.iter().any(|&(other, _)| other == name);
                assert!(!known || name == room || may.contains(&name), "{} uses {name}", path.display());
                seen += usize::from(may.contains(&name));
            }
        }
    }
    assert!(seen > 300, "{seen} uses of rooms found: the search is broken");
}

#[test]
fn the_window_toolkit_stays_in_its_two_places() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for path in files(&source) {
        let short = path.strip_prefix(&source).unwrap();
        if short.starts_with("app")
            || short.starts_with("render/screen.rs")
            || short.starts_with("render/screen")
        {
            continue;
        }
        assert!(
            !code(&path).contains("egui::") || short == Path::new("rooms.rs"),
            "{} names the window toolkit",
            short.display()
        );
    }
}
