//! The one way down, held. Which room uses which is read from the table in
//! DEVELOPERS.md, so that page and test can't differ.

mod source;

use source::{Source, module_of};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What stands beside the rooms, and who may use it.
const BESIDE: [(&str, &[&str]); 4] =
    [("clock", &["app", "cli"]), ("licences", &["app", "cli"]), ("all", &[]), ("rooms", &[])];

/// The crates of the window toolkit.
const TOOLKIT: [&str; 7] = ["egui", "eframe", "epaint", "emath", "ecolor", "egui_plot", "egui_extras"];

/// What asks for the time of day.
const CLOCKS: [&str; 4] = ["SystemTime", "Instant", "jiff", "chrono"];

/// Methods of a path that ask the file system.
const OF_FILES: [&str; 8] =
    ["exists", "try_exists", "is_file", "is_dir", "read_dir", "canonicalize", "metadata", "symlink_metadata"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The rooms from the lowest to the highest with all that each may use: what
/// the table names and what that uses.
fn rooms() -> Vec<(String, Vec<String>)> {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let table = page.split("| `src/` |").nth(1).unwrap().split("\n\n").next().unwrap();
    let mut rooms: Vec<(String, Vec<String>)> = Vec::new();
    for line in table.lines().skip(2) {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let (name, uses) = (cells[1].trim_matches('`').to_owned(), cells[3]);
        let named: Vec<String> = match uses {
            "–" => Vec::new(),
            "all above" => rooms.iter().map(|(room, _)| room.clone()).collect(),
            "all but app" => {
                rooms.iter().map(|(room, _)| room.clone()).filter(|room| room != "app").collect()
            }
            listed => listed.split(", ").map(str::to_owned).collect(),
        };
        let mut may = named.clone();
        for used in &named {
            let below = rooms.iter().find(|(room, _)| room == used);
            let (_, below) =
                below.unwrap_or_else(|| panic!("{name} uses {used}, which is not above it in the table"));
            may.extend(below.iter().cloned());
        }
        may.sort();
        may.dedup();
        rooms.push((name, may));
    }
    rooms
}

/// Every file of the program without those of tests, by its path below `src`.
fn program() -> BTreeMap<PathBuf, Source> {
    fn files(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                files(&path, found);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    let src = root().join("src");
    let mut found = Vec::new();
    files(&src, &mut found);
    let mut program: BTreeMap<PathBuf, Source> = found
        .into_iter()
        .map(|path| {
            let short = path.strip_prefix(&src).unwrap().to_owned();
            let source = Source::of(&fs::read_to_string(&path).unwrap(), &module_of(&short));
            (short, source)
        })
        .collect();
    let tests: Vec<Vec<String>> = program
        .iter()
        .flat_map(|(short, source)| {
            source.test_modules.iter().map(|name| [module_of(short), vec![name.clone()]].concat())
        })
        .collect();
    program.retain(|short, _| !tests.iter().any(|test| module_of(short).starts_with(test)));
    assert!(program.len() > 300 && tests.len() > 5, "{} files: the search is broken", program.len());
    program
}

/// The room of a file; none for `main.rs` and `lib.rs`.
fn room_of(short: &Path) -> Option<String> {
    module_of(short).get(1).filter(|name| *name != "main").cloned()
}

fn name(path: &[String]) -> String {
    path.join("::")
}

#[test]
fn every_folder_is_a_room_of_the_table() {
    let rooms = rooms();
    for short in program().keys() {
        let Some(room) = room_of(short) else { continue };
        let known =
            rooms.iter().any(|(name, _)| *name == room) || BESIDE.iter().any(|(name, _)| *name == room);
        assert!(known, "{} is in no room of DEVELOPERS.md", short.display());
    }
}

#[test]
fn no_room_uses_one_above_it() {
    let rooms = rooms();
    let mut seen = 0;
    for (short, source) in program() {
        let Some(room) = room_of(&short) else { continue };
        let may = rooms.iter().find(|(name, _)| *name == room).map(|(_, may)| may);
        for path in source.paths.iter().filter(|path| path[0] == "crate") {
            let used = path.get(1).map_or("*", String::as_str);
            let beside = BESIDE.iter().any(|&(name, by)| name == used && by.contains(&room.as_str()));
            let below = match may {
                Some(may) => may.iter().any(|name| name == used),
                // What stands beside the rooms is asked by the two topmost alone.
                None => !matches!(used, "app" | "cli"),
            };
            let fine = used == room || beside || below;
            assert!(fine, "{} uses {}", short.display(), name(path));
            seen += usize::from(used != room);
        }
    }
    assert!(seen > 1000, "{seen} uses of rooms found: the search is broken");
}

#[test]
fn the_window_toolkit_stays_in_its_two_places() {
    let mut seen = 0;
    for (short, source) in program() {
        let may = short.starts_with("app")
            || module_of(&short).starts_with(&["crate", "render", "screen"].map(String::from));
        for path in source.paths.iter().filter(|path| TOOLKIT.contains(&path[0].as_str())) {
            assert!(may, "{} names the window toolkit: {}", short.display(), name(path));
            seen += 1;
        }
    }
    assert!(seen > 300, "{seen} names of the toolkit found: the search is broken");
}

#[test]
fn no_clock_below_app_and_cli() {
    let mut seen = 0;
    for (short, source) in program() {
        let may = ["app", "cli", "clock.rs"].iter().any(|room| short.starts_with(room));
        for path in &source.paths {
            if path.iter().any(|part| CLOCKS.contains(&part.as_str())) {
                assert!(may, "{} asks a clock: {}", short.display(), name(path));
                seen += 1;
            }
        }
    }
    assert!(seen > 3, "{seen} clocks found: the search is broken");
}

#[test]
fn files_are_touched_by_their_room_the_window_and_the_command_line_alone() {
    let std_fs = ["std", "fs"].map(String::from);
    let mut seen = 0;
    for (short, source) in program() {
        let may = ["app", "cli", "main.rs", "project/file.rs"].iter().any(|room| short.starts_with(room));
        let paths = source.paths.iter().filter(|path| path.starts_with(&std_fs) || path[0] == "tempfile");
        let methods = source.methods.iter().filter(|method| OF_FILES.contains(&method.as_str()));
        for touched in paths.map(|path| name(path)).chain(methods.cloned()) {
            assert!(may, "{} touches a file: {touched}", short.display());
            seen += 1;
        }
    }
    assert!(seen > 10, "{seen} uses of files found: the search is broken");
}

/// What a formula is made of: the engine's numbers with slopes, its crank.
/// Whoever shows figures asks for them.
#[test]
fn no_formula_where_figures_are_shown() {
    for (short, source) in program() {
        if !["app", "cli", "sheet", "render"].iter().any(|room| short.starts_with(room)) {
            continue;
        }
        for path in &source.paths {
            let name = name(path);
            let kernel = ["scalar", "Scalar", "Dual", "crank", "Crank", "checks"];
            let formula = kernel.iter().any(|of| name.starts_with(&format!("crate::engine::{of}")));
            assert!(!formula, "{} computes: {name}", short.display());
        }
    }
}
