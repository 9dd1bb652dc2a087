#![expect(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]
//! `crowndeck rings` as it is called from a shell, on the demo projects.

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn crowndeck(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_crowndeck"))
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts")
}

fn answer(args: &[&str]) -> String {
    let output = crowndeck(args);
    let err = String::from_utf8(output.stderr).expect("UTF-8");
    assert_eq!((output.status.code(), err.as_str()), (Some(0), ""), "{args:?}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

fn json(args: &[&str]) -> Value {
    let text = answer(args);
    assert_eq!(text.lines().count(), 1, "one object and nothing else");
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("a number: {value}"))
}

/// A copy of a project in `folder` with one text replaced; its path.
fn changed(folder: &Path, project: &str, from: &str, to: &str) -> String {
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(project)).expect("a project");
    assert!(text.contains(from), "{from}");
    let path = folder.join("changed.ron");
    std::fs::write(&path, text.replacen(from, to, 1)).expect("written");
    path.to_str().expect("UTF-8").to_owned()
}

const FLAT_SIX: &str = "demo-projects/sorrendel-f6.ron";
const TWO_STROKE: &str = "demo-projects/zunnar-k123.ron";

/// Bore × factor less what was delivered, with the demo's own numbers.
#[test]
fn the_flat_six_is_told_what_to_file() {
    let all = json(&["rings", FLAT_SIX, "--json"]);
    assert_eq!((all["format"].as_u64(), all["project"].as_str()), (Some(1), Some("Sorrendel F6")));
    let bores = [86.01, 86.0, 86.01, 86.01, 86.02, 86.01];
    let top = [0.30, 0.29, 0.32, 0.29, 0.30, 0.31];
    let second = [0.33, 0.33, 0.31, 0.34, 0.34, 0.35];
    for (ring, factor, delivered) in [(&all["rings"][0], 0.0045, top), (&all["rings"][1], 0.005, second)] {
        for ((gap, bore), delivered) in
            ring["cylinders"].as_array().expect("cylinders").iter().zip(bores).zip(delivered)
        {
            let wanted = factor * bore;
            assert_eq!(gap["verdict"], "file");
            assert!((number(&gap["bore_mm"]) - bore).abs() < 1e-12);
            assert!((number(&gap["wanted_mm"]) - wanted).abs() < 1e-12);
            assert!((number(&gap["gap_mm"]) - delivered).abs() < 1e-12);
            assert!((number(&gap["to_file_mm"]) - (wanted - delivered)).abs() < 1e-12);
            let next = &gap["next_step"];
            assert!(number(&next["stop_at_mm"]) <= wanted && number(&next["remove_mm"]) > 0.0);
            let steps = gap["steps"].as_array().expect("steps");
            assert_eq!(&steps[0], next);
            let last = number(&steps.last().expect("a step")["stop_at_mm"]);
            assert!((last - wanted).abs() <= 0.0127, "the last step ends at what is wanted, never past");
            assert!(last <= wanted + 1e-12);
            assert!(gap["filed_mm"].is_null() && gap["hot_gap_mm"].is_null());
        }
    }
    for gap in all["rings"][2]["cylinders"].as_array().expect("cylinders") {
        assert_eq!((gap["verdict"].as_str(), number(&gap["to_file_mm"])), (Some("leave"), 0.0));
    }
    assert_eq!(all["rings"][0]["side_clearance"], "inside");
}

#[test]
fn the_gaps_start_apart_and_off_thrust_and_pin() {
    let all = json(&["rings", FLAT_SIX, "--json"]);
    let places = all["start_positions"].as_array().expect("places");
    assert_eq!((places.len(), all["warnings"].as_array().map(Vec::len)), (5, Some(0)));
    let apart = |a: f64, b: f64| {
        let d = (a - b).rem_euclid(360.0);
        d.min(360.0 - d)
    };
    let at = |name: &str| number(&places.iter().find(|p| p["gap"] == name).expect("a gap")["angle_deg"]);
    assert!((apart(at("top ring"), at("second ring")) - 180.0).abs() < 1e-9);
    for rail in ["upper rail", "lower rail"] {
        assert!((apart(at(rail), at("expander")) - 45.0).abs() < 1e-9);
    }
    for name in ["top ring", "second ring", "upper rail", "lower rail"] {
        for axis in [0.0, 90.0, 180.0, 270.0] {
            assert!(apart(at(name), axis) >= 15.0, "{name} stands at {}", at(name));
        }
    }
}

/// The formula by hand: π·B·(1 + α_b·ΔT_b) − (π·B − g)·(1 + α_r·ΔT_r), grey
/// iron in an aluminium bore.
#[test]
fn hot_gaps_follow_the_temperatures_that_the_call_assumes() {
    let args = ["rings", FLAT_SIX, "--ring-temperature", "200", "--bore-temperature", "115", "--json"];
    let all = json(&args);
    assert_eq!(number(&all["hot"]["measured_at_c"]), 20.0);
    let gap = &all["rings"][1]["cylinders"][0];
    let around = std::f64::consts::PI * 86.01;
    let hot = around * (1.0 + 21.5e-6 * 95.0) - (around - 0.33) * (1.0 + 11.4e-6 * 180.0);
    assert!((number(&gap["hot_gap_mm"]) - hot).abs() < 1e-9, "{} against {hot}", gap["hot_gap_mm"]);
    let text = answer(&args[..6]);
    assert!(text.contains("Hot, mm") && text.contains("Closes at, mm"), "{text}");
}

/// The ends of a pegged ring stand at its peg, between two ports; a peg over a
/// port is told.
#[test]
fn a_pegged_ring_stands_at_its_peg_and_is_held_against_the_ports() {
    let all = json(&["rings", TWO_STROKE, "--json"]);
    let places = all["start_positions"].as_array().expect("places");
    assert_eq!(places.len(), 1);
    assert_eq!((number(&places[0]["angle_deg"]), places[0]["pegged"].as_bool()), (236.0, Some(true)));
    assert_eq!(all["warnings"].as_array().map(Vec::len), Some(0));
    assert!(answer(&["rings", TWO_STROKE]).contains("top ring, pegged"));
    let gap = &all["rings"][0]["cylinders"][0];
    assert!((number(&gap["wanted_mm"]) - 0.005 * 52.01).abs() < 1e-12);

    let folder = tempfile::tempdir().expect("a folder");
    let over = changed(folder.path(), TWO_STROKE, "peg: \"236 deg\"", "peg: \"75 deg\"");
    let warnings = json(&["rings", &over, "--json"])["warnings"].to_string();
    assert!(warnings.contains("on the exhaust port"), "{warnings}");
    let unknown = changed(folder.path(), TWO_STROKE, "peg: \"236 deg\",", "");
    assert_eq!(json(&["rings", &unknown, "--json"])["start_positions"].as_array().map(Vec::len), Some(0));
    assert!(answer(&["rings", &unknown]).contains("its peg says where"));
}

/// A gap that was turned by hand, temperatures of the project, the instrument.
#[test]
fn what_the_project_says_about_its_gaps_counts() {
    let folder = tempfile::tempdir().expect("a folder");
    let from = "    rings: [\n";
    let to = "    ring_layout: (gaps: [(gap: compression(1), at: \"100 deg\")], heat: (ring: 200.0, bore: 115.0)),\n    rings: [\n";
    let path = changed(folder.path(), FLAT_SIX, from, to);
    let all = json(&["rings", &path, "--json"]);
    let top = all["start_positions"].as_array().expect("places").iter().find(|p| p["gap"] == "top ring");
    assert_eq!(top.map(|p| number(&p["angle_deg"])), Some(100.0));
    assert!(all["warnings"].to_string().contains("thrust face"));
    assert_eq!(number(&all["hot"]["ring_temperature_c"]), 200.0);

    // A feeler of 0.05 mm steps with a repeatability of 0.02 mm.
    let line = "(cylinder: \"1\", delivered: \"0.30 mm\")";
    let read = "(cylinder: \"1\", delivered: \"0.385 mm\", instrument: \"leaf\", read_where: \"86.01 mm\")";
    let path = changed(folder.path(), FLAT_SIX, line, read);
    let leaf = "    instruments: [(id: \"leaf\", name: \"feeler leaves\", step: \"0.05 mm\", repeatability: \"0.02 mm\"),\n";
    let path = changed(folder.path(), &path, "    instruments: [\n", leaf);
    let gap = json(&["rings", &path, "--json"])["rings"][0]["cylinders"][0].clone();
    let doubt = number(&gap["doubt_mm"]);
    assert!((0.02..0.06).contains(&doubt), "{doubt}");
    assert!(gap["text"].as_str().expect("words").starts_with("Too near to call"), "{gap}");

    // Read 22 mm down where the bore is 0.02 mm wider: π·0.02 less where it counts.
    let worn = "(cylinder: \"1\", delivered: \"0.40 mm\", read_where: \"86.03 mm\", depth: \"22 mm\")";
    let path = changed(folder.path(), FLAT_SIX, line, worn);
    let gap = json(&["rings", &path, "--json"])["rings"][0]["cylinders"][0].clone();
    assert!((number(&gap["gap_mm"]) - (0.40 - 0.02 * std::f64::consts::PI)).abs() < 1e-12, "{gap}");
    assert_eq!((number(&gap["read_where_mm"]), number(&gap["depth_mm"])), (86.03, 22.0));
    let text = answer(&["rings", &path]);
    assert!(
        text.contains("0.40 mm read where the bore is 86.03 mm is 0.34 mm where it is 86.01 mm"),
        "{text}"
    );
    assert!(text.contains("second wider, so that no gas is trapped"), "{text}");
}

#[test]
fn every_demo_is_answered_with_its_cautions() {
    for entry in
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-projects")).expect("demos")
    {
        let path = entry.expect("a file").path();
        let path = path.to_str().expect("UTF-8");
        let all = json(&["rings", path, "--json"]);
        assert!(!all["rings"].as_array().expect("rings").is_empty(), "{path}");
        let cautions = all["cautions"].to_string();
        for part in ["one direction", "eye protection", "maker's sheet"] {
            assert!(cautions.contains(part), "{path}: {part}: {cautions}");
        }
        let text = answer(&["rings", path]);
        assert!(!text.contains("NaN") && !text.contains("OK"), "{text}");
    }
}

#[test]
fn stages_count_in_their_order_and_nonsense_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let with = |from: &str, to: &str| changed(folder.path(), FLAT_SIX, from, to);
    let from = "(cylinder: \"1\", delivered: \"0.30 mm\")";
    let filed = with(from, "(cylinder: \"1\", delivered: \"0.30 mm\", filed: \"0.34 mm\")");
    let gap = json(&["rings", &filed, "--json"])["rings"][0]["cylinders"][0].clone();
    assert!(
        (number(&gap["gap_mm"]) - 0.34).abs() < 1e-12
            && (number(&gap["to_file_mm"]) - (0.0045 * 86.01 - 0.34)).abs() < 1e-12
    );
    let wide = with(from, "(cylinder: \"1\", delivered: \"0.70 mm\")");
    let gap = json(&["rings", &wide, "--json"])["rings"][0]["cylinders"][0].clone();
    assert_eq!(gap["verdict"], "too_wide");
    assert!(number(&gap["too_wide_by_mm"]) > 0.1);
    for (from, to) in [("per_bore(0.0045)", "per_bore(0.0)"), ("per_bore(0.0045)", "per_bore(0.5)")] {
        let bad = with(from, to);
        let output = crowndeck(&["rings", &bad]);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(1), 0), "{to}");
        assert!(!output.stderr.is_empty());
    }
    for args in [
        vec!["rings"],
        vec!["rings", FLAT_SIX, "--ring-temperature", "200"],
        vec!["rings", FLAT_SIX, "--ring-temperature", "hot", "--bore-temperature", "100"],
    ] {
        assert_eq!(crowndeck(&args).status.code(), Some(2), "{args:?}");
    }
}
