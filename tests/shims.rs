#![expect(clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]
//! Which shims go under each barrel: held against choices that were found
//! elsewhere by brute force, against answers worked out at 50 digits, and
//! against a brute force of our own on hundreds of small drawers.

use crowndeck::advise::shims::{
    Budget, MAX_NODES, Proof, ShimAnswer, ShimChoice, ShimFormatter, ShimQuestion, Stock, answer,
};
use crowndeck::drawing::list::Shape;
use crowndeck::drawing::page::Date;
use crowndeck::engine::{Dims, Engine, Key};
use crowndeck::project::{Project, demos};
use crowndeck::quantity::{Kind, Quantity};
use crowndeck::schema::Shim;
use crowndeck::schema::limit::{Limit, LimitId, Limits};
use crowndeck::schema::{Aim, Margin};
use crowndeck::sheet::{Choices, Context, Paper, SheetKind, Stamp, binder};
use crowndeck::study::{Answers, CylinderInput, HeadInput, Question, TargetRatio};
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn crowndeck(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_crowndeck"))
        .args(args)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts")
}

fn json(args: &[&str]) -> Value {
    let output = crowndeck(args);
    let err = String::from_utf8(output.stderr).expect("UTF-8");
    assert_eq!((output.status.code(), err.as_str()), (Some(0), ""), "{args:?}");
    serde_json::from_slice(&output.stdout).expect("one JSON object")
}

fn number(value: &Value) -> f64 {
    let text = || value.as_str().and_then(|text| text.parse().ok());
    value.as_f64().or_else(text).unwrap_or_else(|| panic!("{value} is no number"))
}

fn solve(ask: &ShimQuestion) -> ShimAnswer {
    answer(ask, &mut Budget::new(MAX_NODES, &|| false))
}

fn shims(of: &[(&str, u32)]) -> Vec<Shim> {
    let shim = |&(text, count): &(&str, u32)| Shim {
        thickness: Quantity::parse(Kind::Length, text).expect("a length"),
        count,
        material: String::new(),
        soft: false,
    };
    of.iter().map(shim).collect()
}

fn flat_six() -> Project {
    let demo = demos().iter().find(|demo| demo.text.contains("Sorrendel F6")).expect("it is a demo");
    demo.project().expect("it reads")
}

fn stacks(choice: &ShimChoice) -> Vec<Vec<f64>> {
    choice.fits.iter().map(|fit| fit.stack_mm.clone()).collect()
}

/// The reference choices of the invented engines, found by brute force in
/// another language. It rounded the worst error to 0.01 before its
/// tie-breaks, so ours must be as good or better.
#[test]
fn the_demo_engines_get_choices_at_least_as_good_as_the_reference() {
    let all: Value = serde_json::from_str(include_str!("data/scenarios.json")).expect("JSON");
    let mut compared = 0;
    for scenario in all["scenarios"].as_array().expect("scenarios") {
        let id = scenario["id"].as_str().expect("an id");
        let path = format!("demo-projects/{}.ron", id.trim());
        let told = json(&["shims", &path, "--json"]);
        let references = scenario["expected"]["reference_choice"].as_array().expect("choices");
        for (reference, head) in references.iter().zip(told["heads"].as_array().expect("heads")) {
            assert_eq!(reference["head"], head["head"]);
            assert_eq!(reference["feasible"], head["possible"]);
            let Some(best) = head["choices"].as_array().and_then(|all| all.first()) else { continue };
            let (error, theirs) =
                (number(&best["worst_ratio_error"]), number(&reference["worst_ratio_error"]));
            assert!(error <= theirs + 5e-5, "{id}: {error} against {theirs}");
            assert!(number(&best["level_spread_mm"]) <= 0.1);
            for (ours, barrel) in best["barrels"]
                .as_array()
                .expect("barrels")
                .iter()
                .zip(reference["per_cylinder"].as_array().expect("cylinders"))
            {
                if barrel["shim_stack_mm"] == ours["stack_mm"] {
                    let (a, b) = (number(&ours["static_ratio"]), number(&barrel["ratio"]));
                    assert!((a - b).abs() < 5e-5, "{id}: {a} against {b}");
                    compared += 1;
                }
            }
        }
    }
    assert!(compared >= 9, "only {compared} stacks were the same");
}

/// Banks of barrels worked out at 50 digits: the same worst error, to 1e-9.
#[test]
fn level_banks_agree_with_answers_from_elsewhere() {
    let file: Value = serde_json::from_str(include_str!("data/cases.json")).expect("JSON");
    let mut seen = 0;
    for case in file["cases"].as_array().expect("cases") {
        let bank = &case["level_bank"];
        if bank.is_null() {
            continue;
        }
        let mut question = Question {
            heads: vec![HeadInput { label: "A".into(), level: true, ..HeadInput::default() }],
            target: Some(TargetRatio::new(number(&bank["target"])).expect("above 1")),
            limits: Limits::new()
                .with(LimitId::SquishMin, Limit::builder(number(&bank["min_squish"])))
                .with(LimitId::Level, Limit::builder(number(&bank["level_tolerance_um"]) / 1000.0))
                .with(LimitId::PiecesMax, Limit::builder(number(&bank["max_shims_each"]))),
            ..Question::default()
        };
        let mut nominal = Dims::new();
        for (key, value) in case["set"].as_object().expect("dimensions") {
            nominal.set(Key::from_id(key).expect("a key"), Some(number(value)));
        }
        // A deck that was read would rule over the chain that is asked here.
        nominal.set(Key::MockupDeck, None);
        nominal.set(Key::MockupShim, None);
        for (place, barrel) in bank["barrels"].as_array().expect("barrels").iter().enumerate() {
            let dims = nominal
                .with(Key::CaseHeight, number(&barrel["case"]))
                .with(Key::BarrelLength, number(&barrel["cylinder"]))
                .with(Key::CompressionHeight, number(&barrel["comp_height"]))
                .with(Key::ChamberVolume, number(&barrel["chamber"]))
                .with(Key::BaseShim, 0.0);
            question.cylinders.push(CylinderInput {
                label: (place + 1).to_string(),
                dims,
                ..CylinderInput::default()
            });
        }
        let panel: Vec<Shim> = bank["shim_sizes_um"]
            .as_array()
            .expect("sizes")
            .iter()
            .map(|size| shims(&[(&format!("{} mm", number(size) / 1000.0), 99)]).remove(0))
            .collect();
        let ask = plain_ask(question, &panel);
        let told = solve(&ask);
        let best = told.heads[0].choices.first().unwrap_or_else(|| panic!("{}: {told:?}", case["id"]));
        let (error, theirs) =
            (best.worst_ratio_error.expect("a target"), number(&bank["best"]["worst_error"]));
        assert!((error - theirs).abs() < 1e-9, "{}: {error} against {theirs}", case["id"]);
        let spread = number(&bank["best"]["level_spread_um"]) / 1000.0;
        assert!(best.level_spread_mm <= spread + 1e-9, "{}: {}", case["id"], best.level_spread_mm);
        seen += 1;
    }
    assert_eq!(seen, 8);
}

fn plain_ask(question: Question, panel: &[Shim]) -> ShimQuestion {
    let castings = (0..question.cylinders.len()).collect();
    ShimQuestion {
        question,
        stock: Stock::of(panel),
        inch_stock: false,
        castings,
        clamp: None,
        margin: Margin::None,
        aim: Aim::Ratio,
    }
}

/// A pseudo-random sequence, the same every time (SplitMix64, from memory of
/// Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    }

    fn hundredths(&mut self, low: u64, sides: u64) -> f64 {
        (low + self.roll(sides)) as f64 / 100.0
    }
}

/// A small engine with a small drawer.
fn small_case(dice: &mut Dice) -> ShimQuestion {
    let heads = 1 + dice.roll(2) as usize;
    let cylinders = heads + dice.roll(3) as usize;
    let mut question = Question {
        heads: (0..heads)
            .map(|h| HeadInput { label: h.to_string(), level: dice.roll(4) > 0, ..HeadInput::default() })
            .collect(),
        target: Some(TargetRatio::new(dice.hundredths(860, 100)).expect("above 1")),
        ..Question::default()
    };
    question.limits = Limits::new()
        .with(LimitId::SquishMin, Limit::builder(dice.hundredths(60, 60)))
        .with(LimitId::Level, Limit::builder(dice.hundredths(1, 12)))
        .with(LimitId::PiecesMax, Limit::builder((1 + dice.roll(2)) as f64));
    if dice.roll(2) == 0 {
        question.limits.set(LimitId::SquishMax, Some(Limit::builder(dice.hundredths(120, 80))));
    }
    if dice.roll(2) == 0 {
        question.limits.set(LimitId::RatioTolerance, Some(Limit::builder(dice.hundredths(5, 40))));
    }
    for place in 0..cylinders {
        let dims = Dims::new()
            .with(Key::Bore, 86.0)
            .with(Key::Stroke, 74.0)
            .with(Key::RodLength, 130.0)
            .with(Key::CompressionHeight, 33.0)
            .with(Key::CaseHeight, dice.hundredths(10_440, 12))
            .with(Key::BarrelLength, dice.hundredths(9_640, 12))
            .with(Key::ChamberVolume, 45.0 + dice.hundredths(0, 200));
        question.cylinders.push(CylinderInput {
            label: (place + 1).to_string(),
            head: if place < heads { place } else { dice.roll(heads as u64) as usize },
            dims,
            ..CylinderInput::default()
        });
    }
    let sizes = ["0.05", "0.10", "0.15", "0.20", "0.25", "0.30", "0.40"];
    let mut panel = Vec::new();
    for _ in 0..1 + dice.roll(3) {
        let size = sizes[dice.roll(sizes.len() as u64) as usize];
        panel.extend(shims(&[(size, 1 + dice.roll(3) as u32)]));
    }
    plain_ask(question, &panel)
}

/// What a choice for all heads is worth: the worst error over all, the error
/// of each head, the worst level, that of each head, pieces, height. Lengths
/// in whole nanometres, so that equal ones are equal.
type Worth = (Vec<f64>, Vec<i64>, u32, i64);

fn worth(ask: &ShimQuestion, stacks: &[Vec<f64>]) -> Option<Worth> {
    let limits = &ask.question.limits;
    let target = ask.question.target.expect("a target").get();
    let heads = ask.question.heads.len();
    let (mut errors, mut tops) = (vec![0.0_f64; heads], vec![Vec::new(); heads]);
    let nm = |mm: f64| (mm * 1e6).round() as i64;
    for (input, stack) in ask.question.cylinders.iter().zip(stacks) {
        let shim: f64 = stack.iter().sum();
        let engine = Engine::new(input.dims.with(Key::BaseShim, shim)).ok()?;
        let f = engine.figures();
        let error = (f.static_ratio - target).abs();
        let low = limits.value(LimitId::SquishMin).is_none_or(|l| f.squish_clearance >= l - 1e-9);
        let high = limits.value(LimitId::SquishMax).is_none_or(|l| f.squish_clearance <= l + 1e-9);
        let near = limits.value(LimitId::RatioTolerance).is_none_or(|l| error <= l + 1e-9);
        if !(low && high && near) {
            return None;
        }
        errors[input.head] = errors[input.head].max(error);
        let dims = input.dims;
        let value = |key| dims.get(key).unwrap_or(0.0);
        tops[input.head].push(nm(value(Key::CaseHeight) + value(Key::BarrelLength) + shim));
    }
    let spread =
        |tops: &Vec<i64>| tops.iter().max().copied().unwrap_or(0) - tops.iter().min().copied().unwrap_or(0);
    let spreads: Vec<i64> = tops.iter().map(spread).collect();
    let level = nm(limits.value(LimitId::Level).expect("a limit"));
    if spreads.iter().zip(&ask.question.heads).any(|(spread, head)| head.level && *spread > level) {
        return None;
    }
    let mut by_error = vec![errors.iter().copied().fold(0.0, f64::max)];
    by_error.extend(errors);
    let mut by_level = vec![spreads.iter().copied().max().unwrap_or(0)];
    by_level.extend(spreads);
    let pieces = stacks.iter().map(Vec::len).sum::<usize>() as u32;
    let height = stacks.iter().flatten().map(|mm| nm(*mm)).sum();
    Some((by_error, by_level, pieces, height))
}

fn is_better(a: &Worth, b: &Worth) -> bool {
    for (x, y) in a.0.iter().zip(&b.0) {
        if (x - y).abs() > 1e-9 {
            return x < y;
        }
    }
    (&a.1, a.2, a.3) < (&b.1, b.2, b.3)
}

/// Every way to lay shims under the barrels, one after the other.
fn brute_force(ask: &ShimQuestion) -> Option<Worth> {
    let foils: Vec<(f64, u32)> = ask.stock.foils().iter().map(|l| (l.mm, l.count)).collect();
    let most = ask.pieces_most() as usize;
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    let mut from = 0;
    for _ in 0..most {
        let end = all.len();
        for place in from..end {
            let first = all[place].last().copied().unwrap_or(0);
            for leaf in first..foils.len() {
                all.push(all[place].iter().copied().chain([leaf]).collect());
            }
        }
        from = end;
    }
    let mut best: Option<Worth> = None;
    let count = ask.question.cylinders.len();
    let mut at = vec![0; count];
    loop {
        let mut used = vec![0_u32; foils.len()];
        at.iter().flat_map(|place| &all[*place]).for_each(|leaf| used[*leaf] += 1);
        if used.iter().zip(&foils).all(|(used, (_, count))| used <= count) {
            let stacks: Vec<Vec<f64>> =
                at.iter().map(|place| all[*place].iter().map(|leaf| foils[*leaf].0).collect()).collect();
            if let Some(worth) = worth(ask, &stacks)
                && best.as_ref().is_none_or(|b| is_better(&worth, b))
            {
                best = Some(worth);
            }
        }
        let Some(place) = at.iter().position(|place| place + 1 < all.len()) else { return best };
        at[place] += 1;
        at[..place].fill(0);
    }
}

#[test]
fn the_choice_is_the_best_of_all_on_hundreds_of_small_drawers() {
    let mut dice = Dice(7);
    let (mut possible, mut impossible, mut shared) = (0, 0, 0);
    for case in 0..400 {
        let ask = small_case(&mut dice);
        let told = solve(&ask);
        assert_eq!(told.proof, Proof::Proved, "case {case}");
        let best = brute_force(&ask);
        let firsts: Option<Vec<&ShimChoice>> = told.heads.iter().map(|head| head.choices.first()).collect();
        match (best, firsts) {
            (Some(best), Some(firsts)) => {
                let mut stacks = vec![Vec::new(); ask.question.cylinders.len()];
                for fit in firsts.iter().flat_map(|choice| &choice.fits) {
                    stacks[fit.cylinder].clone_from(&fit.stack_mm);
                }
                let ours = worth(&ask, &stacks).unwrap_or_else(|| panic!("case {case} breaks a limit"));
                assert!(
                    !is_better(&best, &ours) && !is_better(&ours, &best),
                    "case {case}: {ours:?} against {best:?}"
                );
                possible += 1;
            }
            (None, None) => impossible += 1,
            // One head can be served where the brute force wants both.
            (None, Some(_)) => panic!("case {case}: a choice where there is none"),
            (Some(_), None) => panic!("case {case}: no choice where there is one"),
        }
        shared += u32::from(told.heads.iter().any(|h| h.why.as_ref().is_some_and(|why| why.starved)));
    }
    assert!(possible > 100 && impossible > 50, "{possible} possible, {impossible} impossible");
    assert!(shared < 400);
}

/// What one limit alone would have to be is believed only if a choice exists
/// there and none does a hair tighter.
#[test]
fn each_relaxation_is_the_least_that_helps() {
    let mut dice = Dice(23);
    let mut seen = 0;
    for case in 0..200 {
        let ask = small_case(&mut dice);
        if ask.question.heads.len() > 1 || ask.question.cylinders.len() > 2 {
            continue;
        }
        for head in &solve(&ask).heads {
            for relaxation in head.relaxations() {
                let id = relaxation.rule;
                let known = [LimitId::SquishMin, LimitId::SquishMax, LimitId::RatioTolerance, LimitId::Level];
                if !known.contains(&id) {
                    continue;
                }
                let with = |value: f64| {
                    let mut other = ask.clone();
                    other.question.limits.set(id, Some(Limit::builder(value)));
                    brute_force(&other).is_some()
                };
                let hair = if relaxation.rule.is_least() { 1e-6 } else { -1e-6 };
                assert!(with(relaxation.needed - hair), "case {case}: {relaxation:?} does not help");
                assert!(!with(relaxation.needed + hair), "case {case}: {relaxation:?} is more than needed");
                seen += 1;
            }
        }
    }
    assert!(seen > 20, "only {seen} were seen");
}

/// The shim that changes one ratio into another, without any chamber volume:
/// t/S = (CR1 − CR2)/((CR1 − 1)(CR2 − 1)) (derived in `study::target`).
#[test]
fn the_shim_identity_holds_between_choices() {
    let project = demos().iter().find(|d| d.text.contains("Tarnbeck")).expect("a demo").project();
    let ask = project.expect("it reads").shim_ask(Margin::None, Aim::Ratio);
    let told = solve(&ask);
    let head = &told.heads[0];
    assert!(head.choices.len() >= 3);
    let stroke =
        Engine::new(ask.question.cylinders[0].dims).expect("it exists").figures().crank.true_stroke();
    let (a, b) = (&head.choices[0].fits[0], &head.choices[2].fits[0]);
    let shim = stroke * (a.ratio - b.ratio) / ((a.ratio - 1.0) * (b.ratio - 1.0));
    assert!((b.height_mm - a.height_mm - shim).abs() < 1e-9, "{shim}");
}

#[test]
fn a_bank_that_nothing_can_level_says_why_and_what_would_help() {
    let mut project = flat_six();
    project.shims = shims(&[("0.15", 6)]);
    let ask = project.shim_ask(Margin::None, Aim::Ratio);
    let told = solve(&ask);
    let telling = ShimFormatter { ask: &ask, units: &project.units };
    let right = told.heads.iter().find(|head| ask.question.heads[head.head].label == "R").expect("a bank");
    assert!(!right.is_possible());
    let why = telling.why_none(&told, right).join("\n");
    for word in [
        "The level tolerance can't be held",
        "A choice exists with the level tolerance at 0.070 mm in place of 0.03 mm",
        "Buy one shim of 0.20 mm: then 4: 0.15 mm, 5: 0.20 mm",
    ] {
        assert!(why.contains(word), "{word} is missing:\n{why}");
    }
    // Held to a wider squish the sets that a looser level would allow are too
    // tight: now two limits stand in the way.
    project
        .limits
        .set(LimitId::SquishMin, Some(Quantity::parse(Kind::Length, "1.00 mm").expect("a length").into()));
    let ask = project.shim_ask(Margin::None, Aim::Ratio);
    let told = solve(&ask);
    let telling = ShimFormatter { ask: &ask, units: &project.units };
    let right = told.heads.iter().find(|head| ask.question.heads[head.head].label == "R").expect("a bank");
    let why = telling.why_none(&told, right).join("\n");
    assert!(why.contains("No single limit"), "{why}");
    // What is proposed to buy does help.
    let better = solve(&flat_six().shim_ask(Margin::None, Aim::Ratio));
    assert!(better.heads.iter().all(|head| head.is_possible()));
}

#[test]
fn two_heads_never_take_the_same_piece() {
    let mut project = flat_six();
    project.shims = shims(&[("0.15", 5), ("0.20", 1)]);
    let ask = project.shim_ask(Margin::None, Aim::Ratio);
    let told = solve(&ask);
    let firsts = told.heads.iter().filter_map(|head| head.choices.first());
    let used: Vec<f64> = firsts.flat_map(|c| stacks(c).concat()).collect();
    assert_eq!(used.iter().filter(|mm| **mm == 0.15).count(), 5);
    assert_eq!(used.iter().filter(|mm| **mm == 0.20).count(), 1);
    project.shims = shims(&[("0.15", 4), ("0.20", 1)]);
    let ask = project.shim_ask(Margin::None, Aim::Ratio);
    let told = solve(&ask);
    let starved: Vec<bool> =
        told.heads.iter().map(|head| head.why.as_ref().is_some_and(|why| why.starved)).collect();
    assert_eq!(starved.iter().filter(|s| **s).count(), 1, "{starved:?}");
}

#[test]
fn a_barrel_block_moves_as_one() {
    let mut project = flat_six();
    for cylinder in &mut project.engine.cylinders[3..6] {
        cylinder.casting = Some("right block".into());
    }
    let told = solve(&project.shim_ask(Margin::None, Aim::Ratio));
    let right = &told.heads[1];
    // Their own barrels differ by more than a common stack can level.
    match right.choices.first() {
        Some(choice) => {
            let all = stacks(choice);
            assert!(all.windows(2).all(|pair| pair[0] == pair[1]), "{all:?}");
            assert_eq!(choice.pieces as usize, all[0].len());
        }
        None => assert!(right.why.is_some()),
    }
}

#[test]
fn at_the_unfavourable_end_fewer_choices_remain_and_each_holds_as_it_stands() {
    let path = "demo-projects/tarnbeck-ft62.ron";
    let plain = json(&["shims", path, "--json"]);
    let doubt = json(&["shims", path, "--margin", "doubt", "--json"]);
    let count = |all: &Value| -> Vec<usize> {
        all["heads"]
            .as_array()
            .expect("heads")
            .iter()
            .map(|h| h["choices"].as_array().expect("c").len())
            .collect()
    };
    for (less, more) in count(&doubt).iter().zip(count(&plain)) {
        assert!(*less <= more);
    }
    assert!(count(&doubt).iter().sum::<usize>() < count(&plain).iter().sum());
}

#[test]
fn what_is_odd_in_a_drawer_is_told_in_a_sentence() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("empty.ron");
    let mut project = flat_six();
    project.shims.clear();
    crowndeck::project::save(&project, &path).expect("saved");
    let told = json(&["shims", path.to_str().expect("UTF-8"), "--json"]);
    let remark = told["remarks"][0].as_str().expect("a remark");
    assert!(remark.starts_with("The drawer is empty"), "{remark}");
    project.shims = shims(&[("0.15", 0), ("0.2", 3), ("0.200", 3)]);
    crowndeck::project::save(&project, &path).expect("saved");
    let told = json(&["shims", path.to_str().expect("UTF-8"), "--json"]);
    let remarks: Vec<&str> =
        told["remarks"].as_array().expect("remarks").iter().filter_map(Value::as_str).collect();
    assert!(remarks.iter().any(|r| r.contains("none left")), "{remarks:?}");
    assert!(remarks.iter().any(|r| r.contains("more than once")), "{remarks:?}");
}

fn head_of(ask: &ShimQuestion, head: usize) -> usize {
    ask.question.cylinders.iter().filter(|cylinder| cylinder.head == head).count()
}

#[test]
fn limits_that_contradict_each_other_are_named_alone() {
    let mut project = flat_six();
    let length = |text: &str| Quantity::parse(Kind::Length, text).expect("a length").into();
    project.limits.set(LimitId::SquishMin, Some(length("1.2 mm")));
    project.limits.set(LimitId::SquishMax, Some(length("1.0 mm")));
    let ask = project.shim_ask(Margin::None, Aim::Ratio);
    let told = solve(&ask);
    let telling = ShimFormatter { ask: &ask, units: &project.units };
    for head in &told.heads {
        let why = telling.why_none(&told, head).join("\n");
        assert!(why.contains("the least squish"), "{why}");
        let told_of = why.matches("for the least squish and at most").count();
        assert_eq!(told_of, head_of(&ask, head.head), "each barrel that no shim can serve is named:\n{why}");
    }
}

/// A whole drawer of common sizes under eight barrels on one head: the work
/// stays far below what is allowed.
#[test]
fn a_full_drawer_under_eight_barrels_is_settled_with_little_work() {
    let mut project = flat_six();
    let mut engine = project.engine.clone();
    for cylinder in &mut engine.cylinders {
        cylinder.head = "L".into();
    }
    for label in ["7", "8"] {
        let mut more = engine.cylinders[0].clone();
        more.label = label.into();
        engine.cylinders.push(more);
    }
    engine.heads.truncate(1);
    project.engine = engine;
    project.limits.set(LimitId::PiecesMax, Some(3_u32.into()));
    project.shims = shims(&[
        ("0.10", 8),
        ("0.15", 8),
        ("0.20", 8),
        ("0.25", 8),
        ("0.30", 8),
        ("0.40", 8),
        ("0.50", 8),
        ("0.80", 8),
    ]);
    let ask = project.shim_ask(Margin::None, Aim::Ratio);
    let never = || false;
    let mut budget = Budget::new(MAX_NODES, &never);
    let told = answer(&ask, &mut budget);
    assert_eq!(told.proof, Proof::Proved);
    assert!(budget.spent() < MAX_NODES / 20, "{} looks", budget.spent());
}

#[test]
fn a_search_that_is_stopped_says_so() {
    let ask = flat_six().shim_ask(Margin::None, Aim::Ratio);
    let told = answer(&ask, &mut Budget::new(3, &|| false));
    assert!(matches!(told.proof, Proof::Stopped { .. }), "{:?}", told.proof);
    let telling = ShimFormatter { ask: &ask, units: &crowndeck::quantity::UnitChoice::default() };
    assert!(telling.proof(&told).contains("stopped"));
}

/// The flat six with twenty thicknesses at hand, up to three pieces under a
/// barrel: eleven thousand million sets.
fn full_drawer() -> ShimQuestion {
    let mut project = flat_six();
    project.limits.set(LimitId::PiecesMax, Some(3_u32.into()));
    let hundredths = [5, 8, 10, 12, 15, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 60, 80, 100, 125, 150_u32];
    let texts: Vec<(String, u32)> = (2_u32..)
        .zip(hundredths)
        .map(|(i, of)| (format!("{}.{:02}", of / 100, of % 100), 2 + i % 5))
        .collect();
    let of: Vec<(&str, u32)> = texts.iter().map(|(text, count)| (text.as_str(), *count)).collect();
    project.shims = shims(&of);
    project.shim_ask(Margin::None, Aim::Ratio)
}

#[test]
fn two_heads_of_a_six_with_twenty_thicknesses_are_settled_with_little_work() {
    let ask = full_drawer();
    let mut budget = Budget::new(MAX_NODES, &|| false);
    let told = answer(&ask, &mut budget);
    assert_eq!(told.proof, Proof::Proved);
    let sets: u128 = told.heads.iter().map(|head| head.sets).sum();
    assert!(sets > 10_000_000_000, "{sets} sets");
    assert!(budget.spent() < MAX_NODES / 200, "{} looks", budget.spent());
}

/// However early the search is stopped, what it says about the best possible
/// holds: the best lies between its bound and what it found.
#[test]
fn a_search_that_is_stopped_tells_how_far_its_best_may_be_from_the_best_possible() {
    let ask = full_drawer();
    let error = |told: &ShimAnswer| {
        let worst = |head: &crowndeck::advise::shims::HeadAnswer| head.choices.first()?.worst_ratio_error;
        told.heads
            .iter()
            .map(worst)
            .collect::<Option<Vec<f64>>>()
            .map(|all| all.into_iter().fold(0.0, f64::max))
    };
    let mut whole = Budget::new(MAX_NODES, &|| false);
    let best = error(&answer(&ask, &mut whole)).expect("a choice");
    let (mut found, mut bounded) = (0, 0);
    for part in 1..80 {
        // Early stops matter most.
        let told = answer(&ask, &mut Budget::new(whole.spent() * part * part / 80_000, &|| false));
        let telling = ShimFormatter { ask: &ask, units: &crowndeck::quantity::UnitChoice::default() };
        if told.proof == Proof::FirstProved {
            assert!(error(&told).is_some_and(|so_far| (so_far - best).abs() < 1e-9));
        }
        let Proof::Stopped { cost_at_least } = told.proof else { continue };
        if let Some(bound) = cost_at_least {
            let says = telling.proof(&told);
            assert!(
                says.contains("none can be less than") || says.contains("No choice is less than"),
                "{says}"
            );
            bounded += 1;
            assert!(bound <= best + 1e-9, "no choice is better than {bound}, it says, and {best} is");
        }
        if let Some(so_far) = error(&told) {
            found += 1;
            assert!(so_far >= best - 1e-9, "{so_far} can't be better than the best, {best}");
        }
        for head in &told.heads {
            assert!(head.choices.iter().all(|choice| choice.breaks.is_empty()), "a choice holds every limit");
        }
    }
    assert!(found > 0 && bounded > 0, "found {found}, bounded {bounded}");
}

#[test]
fn what_does_not_fit_together_is_told_in_a_sentence_each() {
    let told = |project: &Project| {
        let ask = project.shim_ask(Margin::None, Aim::Ratio);
        let telling = ShimFormatter { ask: &ask, units: &project.units };
        (telling.remarks().join("\n"), solve(&ask))
    };
    let length = |text: &str| Quantity::parse(Kind::Length, text).expect("a length").into();
    // Limits that contradict each other.
    let mut project = flat_six();
    project.limits.set(LimitId::SquishMin, Some(length("1.2 mm")));
    project.limits.set(LimitId::SquishMax, Some(length("1.0 mm")));
    project.limits.set(LimitId::PiecesMin, Some(3_u32.into()));
    project.limits.set(LimitId::PiecesMax, Some(2_u32.into()));
    let (remarks, _) = told(&project);
    assert!(remarks.contains("The least squish, 1.20 mm, is above the greatest, 1.00 mm"), "{remarks}");
    assert!(remarks.contains("The fewest pieces, 3, are more than the most, 2"), "{remarks}");
    // A barrel without readings.
    let mut project = flat_six();
    project.readings.retain(|reading| reading.cylinder != "5");
    for key in [Key::MockupDeck, Key::MockupShim] {
        project.engine.cylinders[4].own.clear(key);
    }
    let (remarks, answer) = told(&project);
    assert!(remarks.contains("No deck was read over barrel 5"), "{remarks}");
    assert_eq!(answer.proof, Proof::Proved, "it is chosen for by its dimensions");
    // A head of one barrel has no level to keep.
    let mut project = flat_six();
    let alone = crowndeck::project::Head { label: "M".into(), level: true, tolerance: None };
    project.engine.heads.push(alone);
    project.engine.cylinders[5].head = "M".into();
    let (_, answer) = told(&project);
    let alone = answer.heads.iter().find(|head| head.head == 2).expect("the new head");
    assert!(alone.choices.iter().all(|choice| choice.fits.len() == 1 && choice.level_spread_mm == 0.0));
    assert!(!alone.choices.is_empty());
}

#[test]
fn a_call_for_no_project_or_another_margin_is_refused() {
    assert_eq!(crowndeck(&["shims"]).status.code(), Some(2));
    assert_eq!(
        crowndeck(&["shims", "demo-projects/sorrendel-f6.ron", "--margin", "some"]).status.code(),
        Some(2)
    );
    assert!(!Path::new("some").exists());
}

/// Every text of the sheet of shims, on this paper.
fn sheet(project: &Project, paper: Paper) -> String {
    let question = project.question();
    let answers = Answers::to(&question);
    let context = Context {
        project,
        question: &question,
        answers: &answers,
        units: project.units,
        cylinder: 0,
        crank_deg: 0.0,
    };
    let choices = Choices {
        sheets: vec![SheetKind::Shims],
        paper,
        units: project.units,
        cylinder: 0,
        every_cylinder: false,
        crank_deg: 0.0,
    };
    let stamp = Stamp { date: Date::new(2026, 11, 26).expect("a day"), author: String::new() };
    let document = binder(&context, &choices, &stamp, &mut |_, _| true).expect("a document");
    let mut words = String::new();
    for shape in document.pages.iter().flat_map(|page| page.shapes()) {
        if let Shape::Text { text, at, .. } = shape {
            assert!(at.x.is_finite() && paper.frame().contains(*at), "‘{text}’ at {at:?}");
            words.push_str(text);
            words.push('\n');
        }
    }
    words
}

#[test]
fn the_sheet_tells_the_choice_the_runners_up_and_who_signs() {
    let mut project = flat_six();
    for paper in [Paper::A4, Paper::Letter] {
        let words = sheet(&project, paper);
        for word in [
            "Head R: choice 1, not fitted yet",
            "too near to call: may be below 9.15",
            "ratio 0.046 further off",
            "Level is 0.07 mm, 0.04 mm over 0.03 mm",
            "0.03 allowed",
            "Level comes first",
            "Fitted, clamped and read again by",
        ] {
            assert!(words.replace('\n', " ").contains(word), "{word} is missing:\n{words}");
        }
    }
    // What lies there now is told, whichever choice it is.
    let ask = project.shims_as_chosen();
    let told = solve(&ask);
    let second = &told.heads.iter().find(|head| head.choices.len() > 1).expect("two choices").choices[1];
    let edit = project.fit_shims("Fit".into(), &second.fits).expect("an edit");
    project = edit.apply(&project).expect("a project");
    assert!(sheet(&project, Paper::A4).contains("choice 2, these lie there now"));
}

#[test]
fn the_sheet_of_an_engine_without_a_choice_says_why_and_what_would_do() {
    let mut project = flat_six();
    project.shims = shims(&[("0.15", 6)]);
    let words = sheet(&project, Paper::A4).replace('\n', " ");
    for word in [
        "Head R: no choice holds every limit",
        "The level tolerance can't be held by anything in the drawer.",
        "Buy one shim of 0.20 mm",
    ] {
        assert!(words.contains(word), "{word} is missing:\n{words}");
    }
    assert!(!SheetKind::Shims.fits(&Project { shims: Vec::new(), ..project }), "nothing to decide");
}
