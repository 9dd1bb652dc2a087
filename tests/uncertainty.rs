#![expect(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]
//! `crowndeck uncertainty` as it is called from a shell, held against answers
//! that were worked out elsewhere: first order in 50-digit arithmetic, trials
//! by another program with two million draws each.

use serde_json::Value;
use std::process::{Command, Output};

const CASES: &str = include_str!("data/cases.json");

/// Trials of each case here; the reference has [`REFERENCE_TRIALS`].
const TRIALS: f64 = 100_000.0;
const REFERENCE_TRIALS: f64 = 2_000_000.0;

fn crowndeck(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_crowndeck"))
        .arg("uncertainty")
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// The answer of a call that must succeed, with nothing on standard error.
fn answer(args: &[&str]) -> String {
    let output = crowndeck(args);
    assert_eq!((output.status.code(), text(&output.stderr).as_str()), (Some(0), ""), "{args:?}");
    text(&output.stdout)
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&answer(args)).expect("JSON")
}

/// Exit code and messages of a call that must fail, with nothing written.
fn refused(args: &[&str]) -> (Option<i32>, String) {
    let output = crowndeck(args);
    assert_eq!(text(&output.stdout), "", "{args:?}");
    (output.status.code(), text(&output.stderr))
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .or_else(|| value.as_str().and_then(|s| s.parse().ok()))
        .unwrap_or_else(|| panic!("{value} is no number"))
}

/// Every case: standard uncertainty to 1e-6 relative; mean, standard deviation
/// and both ends of the trials within 5 standard errors of the difference to
/// the reference's own trials.
#[test]
fn first_order_and_trials_agree_with_answers_from_elsewhere() {
    let file: Value = serde_json::from_str(CASES).expect("the file is JSON");
    let (mut checked, mut worst_u, mut worst_trials) = (0, 0.0_f64, 0.0_f64);
    for case in file["cases"].as_array().expect("cases") {
        let Some(expected) = case.get("uncertainty") else { continue };
        let id = case["id"].as_str().expect("id");
        let mut args: Vec<String> = vec!["--json".into(), format!("--trials={TRIALS}"), "--seed=20".into()];
        for (key, value) in case["set"].as_object().expect("set") {
            args.push(format!("--set={key}={}", value.as_str().expect("text")));
        }
        for (key, input) in expected["inputs"].as_object().expect("inputs") {
            args.push(format!("--doubt={key}={}:{}", input[0].as_str().expect("a shape"), number(&input[1])));
        }
        let object = json(&args.iter().map(String::as_str).collect::<Vec<_>>());
        let ratio = &object["cylinders"][0]["results"]["static_ratio"];
        let u = number(&ratio["standard_uncertainty"]);
        let off = (u / number(&expected["u_ratio"]) - 1.0).abs();
        assert!(off <= 1e-6, "{id}: u {u}, relative error {off:.1e}");
        worst_u = worst_u.max(off);
        let (ours, theirs) = (&ratio["monte_carlo"], &expected["monte_carlo"]);
        let sd = number(&theirs["sd"]);
        // Of the difference of two sets of trials.
        let scale = (1.0 + REFERENCE_TRIALS / TRIALS).sqrt();
        let rows = [
            ("mean", &ours["mean"], &theirs["mean"], number(&theirs["se_mean"])),
            (
                "standard deviation",
                &ours["standard_deviation"],
                &theirs["sd"],
                sd / (2.0 * REFERENCE_TRIALS).sqrt(),
            ),
            ("low end", &ours["low_95"], &theirs["sym95"][0], number(&theirs["se_sym95"][0])),
            ("high end", &ours["high_95"], &theirs["sym95"][1], number(&theirs["se_sym95"][1])),
        ];
        for (name, actual, expected, standard_error) in rows {
            let errors = (number(actual) - number(expected)).abs() / (standard_error * scale);
            assert!(errors <= 5.0, "{id}, {name}: {actual} against {expected}, {errors:.1} standard errors");
            worst_trials = worst_trials.max(errors);
            checked += 1;
        }
        let shares: f64 = ratio["contributions"]
            .as_array()
            .expect("contributions")
            .iter()
            .map(|c| {
                let part = number(&c["sensitivity"]) * number(&c["standard_uncertainty"]) / u;
                assert!((number(&c["share"]) - part * part).abs() < 1e-9, "{id}: {c}");
                part * part
            })
            .sum();
        assert!((shares - 1.0).abs() < 1e-9, "{id}: shares add up to {shares}");
        assert!(ratio["effective_degrees_of_freedom"].is_null(), "{id}");
        let k = number(&ratio["coverage_factor"]);
        assert!((k - 1.959_963_984_540_054).abs() < 1e-12, "{id}: {k}");
        assert!((number(&ratio["expanded_uncertainty"]) - k * u).abs() < 1e-15, "{id}");
    }
    assert!(checked > 0);
    println!("{checked} figures of trials, worst {worst_trials:.1} standard errors; u within {worst_u:.1e}");
}

#[test]
fn the_same_seed_gives_the_same_digits() {
    let doubts = ["--doubt", "chamber_volume=rectangular:0.16", "--trials", "1000", "--json", "--seed"];
    let run = |seed: &'static str| answer(&[&doubts[..], &[seed]].concat());
    assert_eq!(run("3"), run("3"));
    assert_ne!(run("3"), run("4"));
    let object: Value = serde_json::from_str(&run("3")).expect("JSON");
    let trials = &object["cylinders"][0]["results"]["static_ratio"]["monte_carlo"];
    assert_eq!((trials["seed"].as_u64(), trials["trials"].as_u64()), (Some(3), Some(1000)));
}

/// Without a doubt named there is none, and no figure is invented.
#[test]
fn without_a_project_only_the_doubts_named_count() {
    let object = json(&["--json", "--trials", "100"]);
    assert_eq!(object["format"], 1);
    for figure in ["deck_clearance_mm", "squish_clearance_mm", "clearance_volume_cc", "static_ratio"] {
        let result = &object["cylinders"][0]["results"][figure];
        assert_eq!(number(&result["standard_uncertainty"]), 0.0, "{figure}");
        assert_eq!(result["contributions"].as_array().map(Vec::len), Some(0), "{figure}");
        assert_eq!(result["monte_carlo"]["mean"], result["value"], "{figure}");
    }
    // A doubt in thou is one in mm: slope 1 for the deck.
    let object = json(&["--json", "--trials=100", "--doubt", "barrel_length=normal:1 thou"]);
    let deck = &object["cylinders"][0]["results"]["deck_clearance_mm"];
    assert!((number(&deck["standard_uncertainty"]) - 0.0254).abs() < 1e-12);
    assert_eq!(deck["contributions"][0]["dimension"], "barrel_length");
}

#[test]
fn adaptive_trials_settle() {
    let object = json(&["--json", "--doubt", "chamber_volume=normal:0.1"]);
    let trials = &object["cylinders"][0]["results"]["static_ratio"]["monte_carlo"];
    let n = trials["trials"].as_u64().expect("a number");
    assert!((20_000..=500_000).contains(&n) && n.is_multiple_of(10_000), "{n}");
}

/// The readings of the flat twin: the deck was read six times with one
/// indicator, the second chamber has a bubble in it that makes its ratio far
/// less certain, and the program says so.
#[test]
fn the_readings_of_a_project_give_its_doubts() {
    let object = json(&["demo-projects/tarnbeck-ft62.ron", "--json", "--trials", "10000"]);
    let result = |cylinder: usize, figure: &str| object["cylinders"][cylinder]["results"][figure].clone();
    let deck = result(0, "deck_clearance_mm");
    assert!((number(&deck["value"]) - 1.2).abs() < 1e-9, "{deck}");
    let expanded = number(&deck["expanded_uncertainty"]);
    assert!((0.012..0.03).contains(&expanded), "{expanded}");
    assert_eq!(
        deck["contributions"]
            .as_array()
            .expect("a list")
            .iter()
            .filter(|c| number(&c["share"]) > 0.0)
            .count(),
        1
    );
    let of_ratio = |cylinder| number(&result(cylinder, "static_ratio")["expanded_uncertainty"]);
    assert!(of_ratio(1) > 2.0 * of_ratio(0), "{} and {}", of_ratio(0), of_ratio(1));
    assert!(number(&result(1, "static_ratio")["effective_degrees_of_freedom"]) < 5.0);

    let text = answer(&["demo-projects/tarnbeck-ft62.ron", "--cylinder", "2", "--trials", "1000"]);
    assert!(text.contains("32.9 cc stands 0.9 cc below the others: an air bubble"), "{text}");
    assert!(text.contains("Deck from the chain against deck as read. The two routes agree"), "{text}");
    assert!(text.contains("Read the chamber volume three more times with a burette"), "{text}");
    let slip = answer(&["demo-projects/oldermoor-t4.ron", "--cylinder", "4", "--trials", "1000"]);
    assert!(slip.contains("millimetres and inches were mixed up"), "{slip}");
}

/// A doubt that is named stands in place of the readings'.
#[test]
fn a_named_doubt_replaces_that_of_the_readings() {
    let object = json(&[
        "demo-projects/tarnbeck-ft62.ron",
        "--cylinder=1",
        "--json",
        "--trials=1000",
        "--doubt",
        "chamber_volume=triangular:0.02 cc",
    ]);
    let ratio = &object["cylinders"][0]["results"]["static_ratio"];
    let all = ratio["contributions"].as_array().expect("a list");
    let chamber = all.iter().find(|c| c["dimension"] == "chamber_volume").expect("the chamber");
    assert_eq!(number(&chamber["standard_uncertainty"]), 0.02);
}

#[test]
fn what_can_not_be_used_is_refused_with_its_reason() {
    for (doubt, part) in [
        ("bore", "equals sign"),
        ("bore=0.005", "equals sign"),
        ("bores=normal:0.005", "no dimension is called ‘bores’"),
        ("bore=uniform:0.005", "‘uniform’ is no shape"),
        ("bore=normal:-0.005", "not a finite number of 0 or more"),
        ("bore=normal:nan", "number is missing"),
        ("bore=normal:1 cc", "a length can't be in cc"),
    ] {
        let (code, message) = refused(&["--doubt", doubt]);
        assert_eq!(code, Some(2), "{doubt}: {message}");
        assert!(message.contains(part), "{doubt}: {message}");
    }
    for trials in ["0", "99", "10000001", "many"] {
        let (code, message) = refused(&["--trials", trials]);
        assert_eq!(code, Some(2), "{message}");
        assert!(message.contains("whole number from 100 to 10000000"), "{message}");
    }
    assert_eq!(refused(&["--seed", "-1"]).0, Some(2));
    assert_eq!(refused(&["--cylinder", "9"]).0, Some(2));
    // A doubt of what is not there, and doubts within which no engine exists.
    let (code, message) = refused(&["--doubt", "mockup_deck=normal:0.01"]);
    assert_eq!(code, Some(1), "{message}");
    assert!(message.contains("mockup_deck (Mock-up deck)") && message.contains("no value"), "{message}");
    let (code, message) = refused(&["--trials=1000", "--doubt", "chamber_volume=normal:30"]);
    assert_eq!(code, Some(1), "{message}");
    assert!(message.contains("can't exist"), "{message}");
    let (code, message) = refused(&["--set", "rod_length=10", "--doubt", "bore=normal:0.01"]);
    assert_eq!(code, Some(1), "{message}");
    assert!(message.contains("rod_length"), "{message}");
}

/// The faults that lie in the readings and parts of the five demo engines are
/// found by the program itself, and nothing else is called odd: a bubble and
/// two low fills, an inch slip, a short rod, a short barrel.
#[test]
fn faults_in_the_demo_engines_are_found_and_nothing_else() {
    let demos = [
        ("tarnbeck-ft62", &["cylinder 2: In the readings of the chamber volume: 32.9 cc"][..]),
        (
            "oldermoor-t4",
            &[
                "cylinder 1: In the readings of the chamber volume: 85.6 cc",
                "cylinder 2: In the readings of the chamber volume: 86.4 cc",
                "cylinder 3: Rod length is 0.21 mm less",
                "cylinder 4: In the readings of the deck clearance: 0.014 mm",
            ],
        ),
        ("brackwell-s7", &[]),
        ("zunnar-k123", &[]),
        ("sorrendel-f6", &["cylinder 5: Barrel length is"]),
    ];
    for (id, expected) in demos {
        let output = Command::new(env!("CARGO_BIN_EXE_crowndeck"))
            .args(["check", &format!("demo-projects/{id}.ron")])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("the program starts");
        let text = text(&output.stdout);
        let odd = |line: &&str| line.contains("the others:") || line.contains("than the middle of all");
        let found: Vec<&str> = text.lines().filter(odd).collect();
        assert_eq!(found.len(), expected.len(), "{id}: {text}");
        for (line, start) in found.iter().zip(expected) {
            assert!(line.starts_with(start), "{id}: {line}");
        }
    }
}
