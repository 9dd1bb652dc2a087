#![expect(clippy::expect_used, reason = "a test fails by panicking")]
//! Files from strangers: whatever is in them, the program answers with figures
//! or with a sentence, in time, and the terminal shows it and obeys none of it.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output};
use std::time::{Duration, Instant};

const TWIN: &str = include_str!("../demo-projects/tarnbeck-ft62.ron");

/// Far above what a call takes here, and far below what it took before it was
/// bounded: half a minute to for ever.
const IN_TIME: Duration = Duration::from_secs(10);

/// Calls the program on a file with this text; `FILE` stands for its name.
fn call(args: &[&str], text: &str) -> Output {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("file.ron");
    std::fs::write(&file, text).expect("written");
    let args = args.iter().map(|arg| match *arg {
        "FILE" => file.clone(),
        other => PathBuf::from(other.replace("FOLDER", &folder.path().display().to_string())),
    });
    let start = Instant::now();
    let output = Command::new(env!("CARGO_BIN_EXE_crowndeck"))
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("the program starts");
    assert!(start.elapsed() < IN_TIME, "{:?}", start.elapsed());
    output
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// The twin with a piece of its text replaced everywhere.
fn twin(from: &str, to: &str) -> String {
    assert!(TWIN.contains(from), "{from}");
    TWIN.replace(from, to)
}

/// Nothing that steers a terminal but the end of a line.
fn assert_plain(said: &str) {
    let steering = |c: &char| c.is_control() && *c != '\n' || matches!(c, '\u{202a}'..='\u{202e}');
    assert_eq!(said.chars().find(steering), None, "{said:?}");
}

#[test]
fn a_title_or_label_moves_no_cursor_and_forges_no_line() {
    let evil = "x\\u{1b}[2J\\nForged: all OK\\u{9b}31m\\u{202e}";
    let file = twin("title: \"", &format!("title: \"{evil}"))
        .replace("label: \"1\"", &format!("label: \"{evil}\""))
        .replace("cylinder: \"1\"", &format!("cylinder: \"{evil}\""))
        .replace("label: \"L\"", &format!("label: \"{evil}\""))
        .replace("head: \"L\"", &format!("head: \"{evil}\""));
    for args in [
        &["figures", "FILE"][..],
        &["figures", "FILE", "--at", "20"],
        &["effects", "FILE"],
        &["uncertainty", "FILE", "--trials", "1000"],
        &["shims", "FILE"],
        &["rings", "FILE"],
        &["check", "FILE"],
        &["curves", "FILE", "--step", "90"],
        &["figures", "FILE", "--cylinder", "nobody"],
        &["figures", "FILE", "--set", "bore=0"],
        &["figures", "no\u{1b}[2J\nForged: such file"],
    ] {
        let output = call(args, &file);
        let said = text(&output.stdout) + &text(&output.stderr);
        assert!(!said.is_empty(), "{args:?}");
        assert_plain(&said);
        assert!(said.lines().all(|line| !line.starts_with("Forged")), "{args:?}: {said}");
    }
    let broken =
        twin("title: \"", &format!("title: \"{evil}")).replace("head: \"L\"", "head: \"no\\nForged: x\"");
    let output = call(&["check", "FILE"], &broken);
    assert_eq!(output.status.code(), Some(1));
    assert_plain(&text(&output.stderr));
    assert!(text(&output.stderr).lines().all(|line| !line.starts_with("Forged")));

    // Another program gets every text as it is, and its terminal is safe too.
    let output = call(&["figures", "FILE", "--json"], &file);
    assert_plain(&text(&output.stdout));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let title = json["project"].as_str().expect("a title");
    assert!(title.starts_with("x\u{1b}[2J\nForged: all OK\u{9b}31m\u{202e}"), "{title:?}");

    let output = call(&["sheet", "FILE", "--out", "FOLDER/out.md"], &file);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
}

#[test]
fn a_label_is_no_formula_for_a_spreadsheet() {
    let file = twin("label: \"1\"", "label: \"=1+1\"").replace("cylinder: \"1\"", "cylinder: \"=1+1\"");
    let output = call(&["curves", "FILE", "--step", "90"], &file);
    let said = text(&output.stdout);
    assert!(said.lines().skip(1).any(|line| line.starts_with("'=1+1,")), "{said}");
    assert!(said.lines().all(|line| !line.starts_with('=')), "{said}");
}

#[test]
fn more_than_a_project_holds_is_refused_before_anything_is_worked_out() {
    let heads: String = (0..30_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, "(label: \"H{i}\"),");
        all
    });
    let cylinders: String = (0..30_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, "(label: \"C{i}\", head: \"H{i}\"),");
        all
    });
    let file = twin("heads: [", &format!("heads: [{heads}"))
        .replace("cylinders: [", &format!("cylinders: [{cylinders}"));
    for command in ["check", "figures", "shims", "rings"] {
        let output = call(&[command, "FILE"], &file);
        assert_eq!((output.status.code(), text(&output.stdout).as_str()), (Some(1), ""));
        let said = text(&output.stderr);
        assert_eq!(said.lines().count(), 2, "{said}");
        assert!(
            said.contains(": line ") && said.contains("engine: has 30,002 cylinders; at most 64 are read"),
            "{said}"
        );
    }
    let output =
        call(&["check", "FILE"], &twin("title: \"", &format!("owner: \"{}\", title: \"", "x".repeat(2000))));
    assert!(text(&output.stderr).contains("its owner has 2,000 letters; at most 200 are read"));
    let output = call(&["check", "--help"], "");
    assert!(text(&output.stdout).contains("20,000  readings"), "{}", text(&output.stdout));
}

/// As many as may be: twenty thousand readings of one thing, a word of ten
/// thousand letters.
#[test]
fn what_a_project_may_hold_is_answered_in_time() {
    let readings: String = (0..19_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, "(cylinder: \"1\", of: deck, place: thrust, values: [\"1.{:02} mm\"]),", i % 90);
        all
    });
    let file = twin("readings: [", &format!("readings: [{readings}")).replacen(
        "notes: \"",
        &format!("notes: \"{} ", "x".repeat(10_000)),
        1,
    );
    for command in ["check", "figures", "rings"] {
        let output = call(&[command, "FILE"], &file);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    }
    let file = twin("notes: \"", &format!("notes: \"{} ", "x".repeat(10_000)));
    let output = call(&["sheet", "FILE", "--sheets", "all", "--out", "FOLDER/out.pdf"], &file);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
}

#[test]
fn an_engine_too_large_to_draw_has_its_figures() {
    for size in ["11 m", "1e12 mm", "1e100 mm"] {
        let set = format!("stroke={size}");
        let rod = format!("rod_length={}", size.replace("11", "30").replace("1e", "3e"));
        // The chain is left out: only sizes matter here.
        let output = call(
            &["figures", "--set", &set, "--set", &rod, "--set", "mockup_deck=1", "--set", "mockup_shim=0"],
            "",
        );
        assert_eq!(output.status.code(), Some(0), "{size}: {}", text(&output.stderr));
        let large = TWIN.replace("bore: (value: \"", &format!("bore: (value: \"{size} + "));
        let output = call(&["figures", "FILE"], &large);
        assert_eq!(output.status.code(), Some(0), "{size}: {}", text(&output.stderr));
        let output = call(&["sheet", "FILE", "--out", "FOLDER/out.pdf"], &large);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{size}: {said}");
        assert!(said.contains("too large to draw"), "{said}");
        let output = call(&["sheet", "FILE", "--sheets", "all", "--out", "FOLDER/out.pdf"], &large);
        assert_ne!(output.status.code(), Some(101), "{size}: {}", text(&output.stderr));
    }
}

#[test]
fn messages_are_short_and_say_what_would_be_accepted() {
    let number = "9".repeat(100);
    let output = call(&["figures", "--set", &format!("bore={number} furlongs")], "");
    let said = text(&output.stderr);
    assert!(output.status.code() == Some(1) && !said.contains(&number) && said.contains('…'), "{said}");
    let output = call(&["sheet", "FILE", "--out", "FOLDER/x.png", "--dpi", "20"], TWIN);
    assert!(text(&output.stderr).contains("36..=600"), "{}", text(&output.stderr));
    let output = call(&["sheet", "FILE", "--help"], TWIN);
    assert!(text(&output.stdout).contains("36 to 600"));
}
