#![expect(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]
//! The program as it is called from a shell: answers, refusals, exit codes.

use crowndeck::engine::{Dims, Engine, Key};
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

const CASES: &str = include_str!("data/cases.json");
const SCENARIOS: &str = include_str!("data/scenarios.json");

/// The relative error that every figure must keep.
const TOLERANCE: f64 = 1e-9;

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

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}

/// The answer of a call that must succeed, with nothing on standard error.
fn answer(args: &[&str]) -> String {
    let output = crowndeck(args);
    assert_eq!((output.status.code(), err(&output).as_str()), (Some(0), ""), "{args:?}");
    out(&output)
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

/// The number after `"key":`, read by the standard library: the parser of the
/// JSON crate may be one unit in the last place off.
fn number_of(text: &str, key: &str) -> f64 {
    let rest = text.split(&format!("\"{key}\":")).nth(1).unwrap_or_else(|| panic!("{key} in {text}"));
    let end = rest.find([',', '}', ']']).expect("an end");
    rest[..end].trim().parse().unwrap_or_else(|_| panic!("{key}: {rest}"))
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .or_else(|| value.as_str().and_then(|s| s.parse().ok()))
        .unwrap_or_else(|| panic!("{value}"))
}

/// Counts checks and keeps the worst relative error.
#[derive(Default)]
struct Tally {
    checks: u32,
    worst: f64,
}

impl Tally {
    /// `scale` is what an error is relative to where the answer itself is 0.
    fn check(&mut self, what: &str, actual: f64, expected: f64, scale: f64, tolerance: f64) {
        let error = (actual - expected).abs() / expected.abs().max(scale);
        assert!(error <= tolerance, "{what}: {actual} against {expected}, relative error {error:.2e}");
        self.checks += 1;
        self.worst = self.worst.max(error);
    }

    fn report(&self, name: &str) {
        assert!(self.checks > 0, "{name}: nothing was checked");
        println!("{name}: {} checks, worst relative error {:.1e}", self.checks, self.worst);
    }
}

fn cases() -> Vec<Value> {
    json(CASES)["cases"].as_array().expect("cases").clone()
}

/// `--set` arguments that describe a case.
fn settings(case: &Value) -> Vec<String> {
    case["set"]
        .as_object()
        .expect("set")
        .iter()
        .map(|(key, value)| format!("--set={key}={}", value.as_str().expect("text")))
        .collect()
}

#[test]
fn figures_of_every_published_case() {
    let mut tally = Tally::default();
    for case in cases() {
        let id = case["id"].as_str().expect("id");
        let expected = &case["expect"];
        let rows = expected["at"].as_array().expect("at");
        let mut args = vec!["figures".to_owned(), "--json".to_owned()];
        args.extend(settings(&case));
        args.extend(rows.iter().map(|row| format!("--at={}", row["angle_deg"].as_str().expect("text"))));
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let object = json(&answer(&args));
        assert_eq!(object["format"], 1);
        let cylinder = &object["cylinders"][0];
        let throw = number(&case["set"]["stroke"]) / 2.0;
        for (key, scale) in [
            ("deck_clearance_mm", 1e-3),
            ("squish_clearance_mm", 1e-3),
            ("true_stroke_mm", 0.0),
            ("tdc_angle_deg", 1e-3),
            ("bdc_angle_deg", 0.0),
            ("swept_volume_cc", 0.0),
            ("clearance_volume_cc", 0.0),
            ("static_ratio", 0.0),
            ("effective_ratio", 0.0),
        ] {
            tally.check(
                &format!("{id} {key}"),
                number(&cylinder[key]),
                number(&expected[key]),
                scale,
                TOLERANCE,
            );
        }
        let at = cylinder["at"].as_array().expect("at");
        assert_eq!(at.len(), rows.len());
        for (actual, row) in at.iter().zip(rows) {
            for (key, scale) in [
                ("angle_deg", 0.0),
                ("position_mm", throw * 1e-3),
                ("velocity_mm_per_rad", throw * 1e-3),
                ("acceleration_mm_per_rad2", throw * 1e-3),
                ("volume_cc", 0.0),
                ("ratio", 0.0),
            ] {
                tally.check(
                    &format!("{id} at {key}"),
                    number(&actual[key]),
                    number(&row[key]),
                    scale.max(1e-300),
                    TOLERANCE,
                );
            }
        }
    }
    tally.report("figures of the command line");
}

#[test]
fn effects_of_every_published_case() {
    let mut tally = Tally::default();
    for case in cases() {
        let id = case["id"].as_str().expect("id");
        let mut args = vec!["effects".to_owned(), "--json".to_owned()];
        args.extend(settings(&case));
        args.push(format!("--target-ratio={}", case["target_ratio"].as_str().expect("text")));
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let object = json(&answer(&args));
        let effects = object["effects"].as_array().expect("effects");
        let find =
            |key: &str| effects.iter().find(|e| e["dimension"] == key).unwrap_or_else(|| panic!("{key}"));
        for figure in ["static_ratio", "deck_clearance_mm"] {
            for (key, expected) in case["slopes"][figure].as_object().expect("slopes") {
                let slope = number(&find(key)["slope"][figure]);
                tally.check(&format!("{id} {figure} {key}"), slope, number(expected), 1e-4, TOLERANCE);
            }
        }
        for (key, expected) in case["to_target"].as_object().expect("to_target") {
            let to = &find(key)["to_target"];
            assert_eq!(to.is_null(), expected.is_null(), "{id} {key}: {to} against {expected}");
            if !to.is_null() {
                tally.check(
                    &format!("{id} to target {key}"),
                    number(&to["value"]),
                    number(expected),
                    1e-3,
                    TOLERANCE,
                );
                let change = number(&to["value"]) - number(&find(key)["value"]);
                tally.check(&format!("{id} change of {key}"), number(&to["change"]), change, 1e-3, TOLERANCE);
            }
        }
        let base = number(&object["base"]["static_ratio"]);
        tally.check(&format!("{id} base"), base, number(&case["expect"]["static_ratio"]), 0.0, TOLERANCE);
    }
    tally.report("effects of the command line");
}

/// The built-in example stands for what is not set; with everything set that
/// an engine needs, the answer is that engine's.
#[test]
fn numbers_read_back_to_the_same_bits() {
    let set = [
        (Key::Bore, 86.01),
        (Key::Stroke, 74.0),
        (Key::RodLength, 130.0 + 1.0 / 3.0),
        (Key::PinOffset, 0.6),
        (Key::CompressionHeight, 34.5),
        (Key::CaseHeight, 104.7),
        (Key::BarrelLength, 98.0),
        (Key::ChamberVolume, 60.1),
        (Key::CrownVolume, -18.0),
        (Key::IntakeClosing, 55.0),
    ];
    let mut dims = Dims::new();
    let mut args = vec!["figures".to_owned(), "--json".to_owned()];
    for (key, value) in set {
        dims.set(key, Some(value));
        args.push(format!("--set={key}={value}"));
    }
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let text = answer(&args);
    let f = *Engine::new(dims).expect("possible").figures();
    for (key, expected) in [
        ("deck_clearance_mm", f.deck_clearance),
        ("squish_clearance_mm", f.squish_clearance),
        ("true_stroke_mm", f.crank.true_stroke()),
        ("tdc_angle_deg", f.crank.theta_top().to_degrees()),
        ("bdc_angle_deg", f.crank.theta_bottom().to_degrees()),
        ("bore_area_mm2", f.bore_area),
        ("swept_volume_cc", f.swept),
        ("clearance_volume_cc", f.clearance_volume),
        ("static_ratio", f.static_ratio),
        ("effective_ratio", f.effective_ratio.expect("closing")),
        ("rod_ratio", f.rod_ratio),
    ] {
        assert_eq!(number_of(&text, key).to_bits(), expected.to_bits(), "{key}");
    }
    assert_eq!(text.trim_end().lines().count(), 1, "one object and nothing else");
}

#[test]
fn the_keys_and_their_order_are_those_promised() {
    let text = answer(&["figures", "--json", "--at=20"]);
    let keys = [
        "format",
        "project",
        "cylinders",
        "label",
        "head",
        "deck_clearance_mm",
        "squish_clearance_mm",
        "true_stroke_mm",
        "tdc_angle_deg",
        "bdc_angle_deg",
        "bore_area_mm2",
        "swept_volume_cc",
        "clearance_volume_cc",
        "static_ratio",
        "effective_ratio",
        "rod_ratio",
        "warnings",
        "at",
        "angle_deg",
        "position_mm",
        "velocity_mm_per_rad",
        "acceleration_mm_per_rad2",
        "volume_cc",
        "ratio",
    ];
    let mut from = 0;
    for key in keys {
        let place =
            text[from..].find(&format!("\"{key}\":")).unwrap_or_else(|| panic!("{key} after {from}: {text}"));
        from += place;
    }
    assert!(json(&text)["cylinders"][0]["effective_ratio"].is_null(), "no closing angle, no effective ratio");
    let text = answer(&["effects", "--json"]);
    let first = &json(&text)["effects"][0];
    assert_eq!((first["dimension"].as_str(), first["unit"].as_str()), (Some("bore"), Some("mm")));
    assert!(first["to_target"].is_null() && first["after_step"]["static_ratio"].is_number());
}

#[test]
fn what_the_example_leaves_out_is_0_and_the_gasket_has_the_bore() {
    let object = json(&answer(&["effects", "--json", "--set", "bore=83.7 mm"]));
    let value = |key: &str| {
        let effects = object["effects"].as_array().expect("effects");
        effects.iter().find(|e| e["dimension"] == key).map(|e| number(&e["value"]))
    };
    for key in [
        "base_gasket",
        "base_shim",
        "gasket_thickness",
        "head_step",
        "crown_volume",
        "pocket_volume",
        "top_land_height",
        "top_land_diameter",
        "pin_offset",
    ] {
        assert_eq!(value(key), Some(0.0), "{key}");
    }
    assert_eq!(value("gasket_bore"), Some(83.7));
    assert_eq!((value("intake_closing"), value("mockup_deck")), (None, None));
}

#[test]
fn values_are_read_with_their_units() {
    let deck = |shim: &str| {
        number_of(&answer(&["figures", "--json", "--set", &format!("base_shim={shim}")]), "deck_clearance_mm")
    };
    let none = deck("0");
    for (text, mm) in
        [("43 thou", 1.0922), ("1,1 mm", 1.1), ("1/16 in", 1.5875), ("850 µm", 0.85), ("0.11 cm", 1.1)]
    {
        assert!((deck(text) - none - mm).abs() < 1e-12, "{text}");
    }
}

/// Every row of what is refused: exit 1, nothing on standard output, one
/// message that names the dimension, its value and what would be accepted.
#[test]
fn what_is_refused() {
    let rows: [(&[&str], &str, &str); 26] = [
        (&["bore=nan"], "bore", "nan"),
        (&["bore=inf"], "bore", "inf"),
        (&["stroke=-inf"], "stroke", "-inf"),
        (&["rod_length=1e999"], "rod_length", "1e999"),
        (&["chamber_volume=abc"], "chamber_volume", "abc"),
        (&["chamber_volume=3 in"], "chamber_volume", "3 in"),
        (&["bore=0"], "bore", "0 mm"),
        (&["bore=-80"], "bore", "-80 mm"),
        (&["stroke=0"], "stroke", "0 mm"),
        (&["rod_length=0"], "rod_length", "0 mm"),
        (&["base_shim=-0.1"], "base_shim", "-0.1 mm"),
        (&["base_gasket=-0.1"], "base_gasket", "-0.1 mm"),
        (&["gasket_thickness=-0.1"], "gasket_thickness", "-0.1 mm"),
        (&["chamber_volume=-1"], "chamber_volume", "-1 cc"),
        (&["pocket_volume=-1"], "pocket_volume", "-1 cc"),
        (&["top_land_height=-1"], "top_land_height", "-1 mm"),
        (&["top_land_diameter=-1"], "top_land_diameter", "-1 mm"),
        (&["mockup_shim=-0.2"], "mockup_shim", "-0.2 mm"),
        (&["top_land_diameter=80.5"], "top_land_diameter", "80.5 mm"),
        (&["rod_length=31"], "rod_length", "31 mm"),
        (&["rod_length=40", "pin_offset=10"], "rod_length", "40 mm"),
        (&["rod_length=40", "pin_offset=-10"], "rod_length", "40 mm"),
        (&["crown_volume=-90"], "crown_volume", "-90 cc"),
        (&["chamber_volume=0", "head_step=3", "mockup_deck=-2"], "chamber_volume", "0 cc"),
        // The rim meets the head although the volume is positive.
        (&["head_step=-2"], "base_shim", "0 mm"),
        (&["mockup_deck=-0.5"], "base_shim", "0 mm"),
    ];
    for (settings, key, value) in rows {
        for command in ["figures", "effects", "curves"] {
            let mut args = vec![command];
            for setting in settings {
                args.extend(["--set", setting]);
            }
            let output = crowndeck(&args);
            let message = err(&output);
            assert_eq!((output.status.code(), out(&output).as_str()), (Some(1), ""), "{args:?}: {message}");
            assert_eq!(message.trim_end().lines().count(), 1, "{args:?}: {message}");
            for part in [key, value, "accepted"] {
                assert!(message.contains(part), "{args:?}: ‘{part}’ in {message}");
            }
        }
    }
    for ratio in ["1", "0.9", "-3", "nan", "inf"] {
        let output = crowndeck(&["effects", &format!("--target-ratio={ratio}")]);
        let message = err(&output);
        assert_eq!((output.status.code(), out(&output).as_str()), (Some(1), ""), "{ratio}: {message}");
        assert!(message.contains("target ratio") && message.contains("accepted"), "{message}");
    }
}

#[test]
fn what_may_be_negative_is_accepted() {
    for setting in
        ["head_step=-0.1", "crown_volume=-5", "pin_offset=-2", "mockup_deck=0.2", "intake_closing=-10"]
    {
        answer(&["figures", "--json", "--set", setting]);
    }
    // Proud of the block, cleared by the gasket.
    let text = answer(&["figures", "--set", "mockup_deck=-0.1", "--set", "gasket_thickness=1.2"]);
    assert!(text.contains("0.10 mm proud") && text.contains("stands proud"), "{text}");
}

#[test]
fn all_faults_are_told_each_on_its_line() {
    let output = crowndeck(&["figures", "--set", "bore=0", "--set", "stroke=-5"]);
    let message = err(&output);
    assert_eq!(message.lines().count(), 2, "{message}");
    assert!(message.lines().all(|line| line.contains("accepted")), "{message}");
}

#[test]
fn a_call_at_fault_exits_with_2() {
    let calls: [&[&str]; 12] = [
        &["figures", "--set", "bor=80"],
        &["figures", "--set", "bore"],
        &["figures", "--at", "north"],
        &["figures", "--cylinder", "7"],
        &["effects", "--cylinder", "7"],
        &["effects", "--target-ratio", "high"],
        &["curves", "--step", "0"],
        &["curves", "--step=-1"],
        &["curves", "--step", "500"],
        &["check"],
        &["figurs"],
        &["--no-such-flag"],
    ];
    for args in calls {
        let output = crowndeck(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {}", err(&output));
        assert_eq!(out(&output), "", "{args:?}");
        assert!(!err(&output).trim().is_empty(), "{args:?}");
    }
    assert!(err(&crowndeck(&["figures", "--set", "bor=80"])).contains("base_shim"), "the keys are listed");
    assert!(err(&crowndeck(&["figurs"])).contains("figures"), "the subcommands are listed");
}

#[test]
fn without_a_display_the_window_says_so_in_one_line() {
    for args in [&[][..], &["--renderer", "glow"]] {
        let output = crowndeck(args);
        let message = err(&output);
        assert_eq!((output.status.code(), out(&output).as_str()), (Some(1), ""), "{message}");
        assert_eq!(message.lines().count(), 1, "{message}");
        for name in ["display", "figures", "effects", "curves", "sheet", "check"] {
            assert!(message.contains(name), "{message}");
        }
    }
}

#[test]
fn help_has_an_example_everywhere() {
    for args in [
        &["--help"][..],
        &["figures", "--help"],
        &["effects", "--help"],
        &["curves", "--help"],
        &["sheet", "--help"],
        &["check", "--help"],
    ] {
        let text = answer(args);
        assert!(text.contains("Example") && text.contains("crowndeck "), "{text}");
    }
    let text = answer(&["figures", "--help"]);
    for key in Key::all() {
        assert!(text.contains(key.id()), "{key}");
    }
    assert!(answer(&["--version"]).starts_with("crowndeck "));
}

/// All lengths × k and all volumes × k³ give the same ratio.
#[test]
fn an_engine_of_any_size_is_accepted() {
    let lengths = [
        ("bore", 80.0),
        ("stroke", 62.0),
        ("rod_length", 118.0),
        ("compression_height", 36.0),
        ("case_height", 97.1),
        ("barrel_length", 88.6),
        ("base_shim", 0.5),
        ("gasket_thickness", 0.8),
        ("gasket_bore", 82.0),
        ("top_land_height", 6.0),
        ("top_land_diameter", 79.5),
    ];
    let ratio = |k: f64| {
        let mut args = vec!["figures".to_owned(), "--json".to_owned(), "--set=intake_closing=40".to_owned()];
        args.extend(lengths.iter().map(|(key, v)| format!("--set={key}={:e}", v * k)));
        args.push(format!("--set=chamber_volume={:e}", 33.5 * k * k * k));
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let text = answer(&args);
        (number_of(&text, "static_ratio"), number_of(&text, "effective_ratio"))
    };
    let one = ratio(1.0);
    let mut tally = Tally::default();
    for k in [1e-6, 1e-3, 0.1, 10.0, 1e3, 1e6] {
        let scaled = ratio(k);
        tally.check(&format!("static, k {k}"), scaled.0, one.0, 0.0, TOLERANCE);
        tally.check(&format!("effective, k {k}"), scaled.1, one.1, 0.0, TOLERANCE);
    }
    tally.report("scale");
}

#[test]
fn curves_are_a_table_with_units() {
    let text = answer(&["curves", "--step", "10", "--set", "pin_offset=0.6"]);
    let mut lines = text.lines();
    assert_eq!(
        lines.next(),
        Some("cylinder,angle_deg,position_mm,velocity_mm_per_rad,acceleration_mm_per_rad2,volume_cc,ratio")
    );
    let rows: Vec<Vec<f64>> =
        lines.map(|line| line.split(',').map(|v| v.parse().expect("a number")).collect()).collect();
    assert_eq!((rows.len(), rows[0][1], rows[18][1], rows[36][1]), (37, -180.0, 0.0, 180.0));
    assert_eq!(rows[18][2], 0.0, "the top is the top");
    // The same digits as the figures.
    let at = answer(&["figures", "--json", "--at=20", "--set", "pin_offset=0.6"]);
    for (column, key) in [(2, "position_mm"), (3, "velocity_mm_per_rad"), (5, "volume_cc"), (6, "ratio")] {
        assert_eq!(rows[20][column].to_bits(), number_of(&at, key).to_bits(), "{key}");
    }
    assert_eq!(answer(&["curves"]).lines().count(), 362, "a header and one turn in degrees");
}

#[test]
fn nothing_is_written_on_a_failure() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("curves.csv");
    let path = file.to_str().expect("a path");
    std::fs::write(&file, "what was there").expect("written");
    let output = crowndeck(&["curves", "--set", "bore=0", "--out", path]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(std::fs::read_to_string(&file).expect("there"), "what was there");
    assert_eq!(answer(&["curves", "--out", path]), "", "the table is in the file");
    assert_eq!(std::fs::read_to_string(&file).expect("there"), answer(&["curves"]));
    let nowhere = folder.path().join("no folder").join("curves.csv");
    let output = crowndeck(&["curves", "--out", nowhere.to_str().expect("a path")]);
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("no folder"), "{}", err(&output));
    assert_eq!(std::fs::read_dir(folder.path()).expect("listed").count(), 1, "no temporary file stays");
}

fn demo(id: &str) -> String {
    format!("demo-projects/{id}.ron")
}

/// Answers computed by a brute-force program from the true values of five
/// invented engines and re-derived by a second one; printed with four digits.
#[test]
fn demo_projects_give_the_figures_of_their_scenarios() {
    let mut tally = Tally::default();
    for scenario in json(SCENARIOS)["scenarios"].as_array().expect("scenarios") {
        let id = scenario["id"].as_str().expect("id");
        let object = json(&answer(&["figures", &demo(id), "--json"]));
        let cylinders = object["cylinders"].as_array().expect("cylinders");
        let expected = scenario["expected"]["per_cylinder_from_true_values"].as_array().expect("answers");
        assert_eq!(cylinders.len(), expected.len(), "{id}");
        for (actual, row) in cylinders.iter().zip(expected) {
            let label = row["cylinder"].to_string();
            assert_eq!(actual["label"], label, "{id}");
            // The reference counts the closing from the piston's own bottom,
            // the program from the 180 mark of the wheel: with an offset pin
            // the bottom lies beside the mark.
            let beside = number(&actual["bdc_angle_deg"]) - number(&actual["tdc_angle_deg"]) - 180.0;
            let mut actual = actual.clone();
            if beside.abs() > 1e-9 {
                let closing = number(&scenario["timing"]["intake_closes_abdc_deg"]) + beside;
                let set = format!("intake_closing={closing}");
                let moved =
                    json(&answer(&["figures", &demo(id), "--json", "--cylinder", &label, "--set", &set]));
                actual["effective_ratio"] = moved["cylinders"][0]["effective_ratio"].clone();
            }
            let closing =
                if row["ratio_trapped"].is_null() { "ratio_at_intake_closing" } else { "ratio_trapped" };
            for (key, of) in [
                ("deck_clearance_mm", "deck_clearance_mm"),
                ("squish_clearance_mm", "piston_to_head_gap_mm"),
                ("swept_volume_cc", "swept_cc"),
                ("clearance_volume_cc", "clearance_cc"),
                ("static_ratio", "ratio"),
                ("effective_ratio", closing),
            ] {
                let what = format!("{id}, cylinder {}, {key}", row["cylinder"]);
                // Four printed decimals: half a unit of the last one.
                let (a, e) = (number(&actual[key]), number(&row[of]));
                assert!((a - e).abs() <= 0.500_001e-4, "{what}: {a} against {e}");
                tally.check(&what, a, e, 1.0, 1e-4);
            }
        }
    }
    tally.report("demo projects");
}

#[test]
fn demo_projects_are_read_and_checked() {
    for scenario in json(SCENARIOS)["scenarios"].as_array().expect("scenarios") {
        let id = scenario["id"].as_str().expect("id");
        let text = answer(&["check", &demo(id)]);
        assert!(!text.trim().is_empty(), "{id}");
        let text = answer(&["figures", &demo(id)]);
        assert!(text.contains("Cautions") && text.contains("below"), "{text}");
    }
    // The right bank of the flat six is not level.
    let text = answer(&["check", &demo("sorrendel-f6")]);
    assert!(text.lines().any(|line| line.contains("Level 0.07 mm, 0.04 over")), "{text}");
    let text = answer(&["effects", &demo("sorrendel-f6"), "--cylinder", "5"]);
    assert!(text.contains("cylinder 5") && text.contains("Alone to 9.30"), "{text}");
}

#[test]
fn set_values_replace_those_of_the_project() {
    let demo = demo("sorrendel-f6");
    let args = [
        "figures",
        &demo,
        "--json",
        "--cylinder",
        "5",
        "--set",
        "mockup_deck=1.3 mm",
        "--set",
        "mockup_shim=0.25",
    ];
    let object = json(&answer(&args));
    assert_eq!(object["cylinders"].as_array().map(Vec::len), Some(1));
    assert_eq!(object["cylinders"][0]["label"], "5");
}

#[test]
fn a_project_that_cannot_be_read_says_where() {
    let missing = crowndeck(&["figures", "nowhere.ron"]);
    assert_eq!((missing.status.code(), out(&missing).as_str()), (Some(1), ""));
    assert!(err(&missing).contains("nowhere.ron"), "{}", err(&missing));
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("damaged.ron");
    let whole = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(demo("tarnbeck-ft62")))
        .expect("a demo");
    let half: String = whole.lines().take(12).map(|line| format!("{line}\n")).collect();
    std::fs::write(&file, half + "  %").expect("written");
    for command in ["figures", "effects", "curves", "check"] {
        let output = crowndeck(&[command, file.to_str().expect("a path")]);
        let message = err(&output);
        assert_eq!((output.status.code(), out(&output).as_str()), (Some(1), ""), "{command}: {message}");
        assert!(message.contains("damaged.ron") && message.contains("line 13"), "{command}: {message}");
    }
}

/// A lesson file is told from a project by what is in it, and checked.
#[test]
fn lesson_files_are_checked_too() {
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR"));
    let lessons = std::fs::read_dir(manifest.join("assets/lessons")).expect("the folder of lessons");
    let mut checked = 0;
    for entry in lessons {
        let path = entry.expect("an entry").path();
        let text = answer(&["check", path.to_str().expect("a path")]);
        assert!(text.starts_with("Lesson ‘") && text.contains("nothing was found"), "{text}");
        checked += 1;
    }
    assert!(checked > 0);
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("mine.ron");
    let whole = std::fs::read_to_string(manifest.join("assets/lessons/deck-height.ron")).expect("a lesson");
    let wrong = whole.replacen("{deck_clearance:size} here", "1.10 mm here", 1);
    assert_ne!(wrong, whole);
    std::fs::write(&file, wrong).expect("written");
    let output = crowndeck(&["check", file.to_str().expect("a path")]);
    let message = err(&output);
    assert_eq!((output.status.code(), out(&output).as_str()), (Some(1), ""), "{message}");
    assert!(message.contains("mine.ron: step 2, says: column") && message.contains("is typed"), "{message}");
}

#[test]
fn check_tells_slips_as_they_were_typed_and_faults_all_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("engine.ron");
    let path = file.to_str().expect("a path");
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR"));
    let twin = std::fs::read_to_string(manifest.join(demo("tarnbeck-ft62"))).expect("a demo");
    let edited = |from: &str, to: &str| {
        assert!(twin.contains(from), "the demo has {from}");
        std::fs::write(&file, twin.replace(from, to)).expect("written");
    };
    edited("\"0.8 mm\"", "\"0.014 mm\"");
    let text = answer(&["check", path]);
    assert!(
        text.lines()
            .any(|l| l == "cylinders 1, 2: Head gasket 0.014 mm: thinner than foil. Did you mean 0.014 in?"),
        "{text}"
    );
    edited("\"62 mm\"", "\"262 mm\"");
    let output = crowndeck(&["check", path]);
    let message = err(&output);
    assert_eq!((output.status.code(), message.lines().count()), (Some(1), 2), "{message}");
    assert!(
        message
            .lines()
            .all(|l| l.starts_with("cylinder ") && l.contains("rod_length") && l.contains("accepted")),
        "{message}"
    );
    edited("head: \"L\"", "head: \"X\"");
    let output = crowndeck(&["check", path]);
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("‘X’, which does not exist; name one of: L, R"), "{}", err(&output));
}

fn sheet(project: &str, file: &Path, more: &[&str]) -> Output {
    let mut args = vec!["sheet", project, "--out", file.to_str().expect("a path")];
    args.extend(more);
    crowndeck(&args)
}

#[test]
fn the_sheet_is_a_whole_file_and_the_same_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let twin = demo("tarnbeck-ft62");
    let made = |name: &str, more: &[&str]| {
        let file = folder.path().join(name);
        let output = sheet(&twin, &file, more);
        assert_eq!((output.status.code(), out(&output).as_str()), (Some(0), ""), "{}", err(&output));
        std::fs::read(file).expect("written")
    };
    let pdf = made("one.pdf", &[]);
    assert!(pdf.starts_with(b"%PDF-") && pdf.len() > 10_000, "{} bytes", pdf.len());
    assert_eq!(pdf, made("two.PDF", &[]));
    assert_ne!(pdf, made("letter.pdf", &["--paper", "letter"]));
    let svg = String::from_utf8(made("one.svg", &["--cylinder", "2"])).expect("text");
    assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
    for text in ["Tarnbeck FT-62", "1.17 mm below", "8.04"] {
        assert!(svg.contains(text), "{text} in the sheet of cylinder 2");
    }
    // A picture of one page: 210 mm at 100 dots to 25.4 mm.
    let png = made("one.png", &["--dpi", "100"]);
    let width = u32::from_be_bytes(png[16..20].try_into().expect("four bytes"));
    assert_eq!((&png[1..4], width), (&b"PNG"[..], 827));
    let csv = String::from_utf8(made("tables.csv", &["--sheets", "readings,figures"])).expect("text");
    assert!(csv.contains("Readings,As read") && csv.contains("Deck clearance (mm)"), "{csv}");
    let figures = String::from_utf8(made("figures.md", &[])).expect("text");
    assert!(figures.starts_with("## Tarnbeck FT-62") && figures.contains("1.17 mm below"), "{figures}");
    assert_ne!(made("third.pdf", &["--sheets", "all", "--page", "3"]), pdf);
}

#[test]
fn no_sheet_is_made_of_an_engine_that_cannot_exist() {
    let folder = tempfile::tempdir().expect("a folder");
    let twin = demo("tarnbeck-ft62");
    let whole = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&twin)).expect("a demo");
    let project = folder.path().join("engine.ron");
    std::fs::write(&project, whole.replace("\"62 mm\"", "\"262 mm\"")).expect("written");
    let file = folder.path().join("sheet.pdf");
    let output = sheet(project.to_str().expect("a path"), &file, &[]);
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("rod_length") && !file.exists(), "{}", err(&output));
    for (name, more) in [
        ("sheet.doc", &[][..]),
        ("sheet", &[]),
        ("sheet.pdf", &["--cylinder", "9"]),
        ("sheet.pdf", &["--page", "2"]),
        ("sheet.pdf", &["--page", "0"]),
        ("all.png", &["--sheets", "all"]),
    ] {
        let file = folder.path().join(name);
        let output = sheet(&twin, &file, more);
        assert_eq!(output.status.code(), Some(2), "{name}: {}", err(&output));
        assert!(!file.exists(), "{name}");
    }
}

/// A kept file of format 1 gives what the same engine gives in the newest
/// format, byte for byte, and is not touched by being read.
#[test]
fn files_of_format_1_give_the_same_answers() {
    for id in ["tarnbeck-ft62", "oldermoor-t4", "brackwell-s7", "zunnar-k123", "sorrendel-f6"] {
        let old = format!("tests/data/formats/1/{id}.ron");
        let before = std::fs::read(&old).expect("the kept file");
        for call in [&["figures", "--json"][..], &["effects", "--json"], &["shims", "--json"], &["check"]] {
            let given = |file: &str| {
                let mut args = vec![call[0], file];
                args.extend(&call[1..]);
                answer(&args)
            };
            assert_eq!(given(&old), given(&demo(id)), "{id} {call:?}");
        }
        assert_eq!(std::fs::read(&old).expect("still there"), before);
    }
    let folder = tempfile::tempdir().expect("a folder");
    let newer = folder.path().join("newer.ron");
    let text = std::fs::read_to_string(demo("zunnar-k123")).expect("a demo");
    std::fs::write(&newer, text.replacen("format: 2", "format: 3", 1)).expect("written");
    let refused = crowndeck(&["figures", newer.to_str().expect("a path")]);
    assert_eq!(refused.status.code(), Some(1));
    assert!(err(&refused).contains("the file has format 3, and this program reads up to 2"));
    assert!(err(&refused).contains("open it with the newer program that wrote it"), "{}", err(&refused));
}

/// The use of the engine comes from the file or from the call.
#[test]
fn the_use_of_the_engine_is_told_and_can_be_set() {
    let plain = json(&answer(&["figures", &demo("zunnar-k123"), "--json"]));
    assert_eq!(plain.get("use"), None, "nobody said");
    let set = answer(&["figures", &demo("zunnar-k123"), "--set", "use=race"]);
    assert!(set.starts_with("Zunnar K123\nUse: race\n\n"), "{set}");
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("kart.ron");
    let text = std::fs::read_to_string(demo("zunnar-k123")).expect("a demo");
    std::fs::write(&file, text.replacen("duty: (", "duty: (use: race, ", 1)).expect("written");
    let said = json(&answer(&["figures", file.to_str().expect("a path"), "--json"]));
    assert_eq!(said["use"], "race");
    assert_eq!(said["cylinders"], plain["cylinders"], "no figure moves");
    let wrong = crowndeck(&["figures", "--set", "use=fun"]);
    assert_eq!(wrong.status.code(), Some(1));
    assert!(err(&wrong).contains("use ‘fun’: there is no such use; accepted: road, race, stationary"));
}

/// A distance to a valve is a reading: it is judged with its doubt, the least
/// of the sweep counts, contact is told, and less than nothing is refused.
#[test]
fn piston_to_valve_is_judged_as_it_was_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("twin.ron");
    let text = std::fs::read_to_string(demo("tarnbeck-ft62")).expect("a demo");
    let with = |value: &str| {
        let line = |angle: &str, value: &str| {
            format!(
                "(cylinder: \"1\", of: piston_to_valve(intake), place: crank(\"{angle} deg\"), instrument: \
                 \"indicator\", values: [\"{value} mm\"]),"
            )
        };
        let lines = [line("5", "2.60"), line("10", value), line("15", "2.70")].concat();
        std::fs::write(&file, text.replacen("readings: [", &format!("readings: [{lines}"), 1))
            .expect("written");
        let path = file.to_str().expect("a path").to_owned();
        move |args: &[&str]| crowndeck(&[&[args[0], path.as_str()], &args[1..]].concat())
    };
    let row = |text: &str| {
        let found =
            text.lines().find(|line| line.contains("Piston to intake valve") && line.contains("cylinder 1 "));
        found.unwrap_or_else(|| panic!("{text}")).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let told = row(&out(&with("2.31")(&["figures"])));
    assert!(
        told.starts_with("Piston to intake valve cylinder 1 2.31 mm 0.31 to spare at least 2.00"),
        "{told}"
    );
    let near = with("2.01");
    let told = row(&out(&near(&["figures"])));
    assert!(told.contains("2.01 mm ±0.02 too near to call: may be below 2.00"), "{told}");
    let warnings = json(&out(&near(&["figures", "--json"])))["cylinders"][0]["warnings"].to_string();
    assert!(warnings.contains("Piston to intake valve 2.01 mm ±0.02, too near to call: may be below 2.00"));
    assert!(
        out(&near(&["check"])).contains("cylinder 1: Piston to intake valve 2.01 mm ±0.02, too near to call")
    );
    let touching = with("0");
    assert!(row(&out(&touching(&["figures"]))).contains("0.00 mm 2.00 under"));
    let contact = "In the readings of the piston to intake valve: 0 is contact: piston and valve touch";
    assert!(out(&touching(&["check"])).contains(contact), "{}", out(&touching(&["check"])));
    let refused = with("-0.10")(&["figures"]);
    assert_eq!(refused.status.code(), Some(1));
    assert!(
        err(&refused).contains("reading 2: piston to intake valve is ‘-0.10 mm’; a distance is 0"),
        "{}",
        err(&refused)
    );
}
