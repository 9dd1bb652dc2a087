#![expect(clippy::expect_used, reason = "a test fails by panicking")]
//! Every case of `tests/data/cases.json`: answers computed from first
//! principles at 50 digits with a general-purpose arithmetic library, held
//! against the engine and the studies.

use crowndeck::engine::{Dims, Engine, Key};
use crowndeck::study::{TargetRatio, curves, effects};
use serde_json::Value;

const FILE: &str = include_str!("data/cases.json");

/// The relative error that every figure must keep.
const TOLERANCE: f64 = 1e-9;

fn number(value: &Value) -> f64 {
    value.as_f64().or_else(|| value.as_str().and_then(|s| s.parse().ok())).expect("a number")
}

fn cases() -> Vec<Value> {
    let file: Value = serde_json::from_str(FILE).expect("the file is JSON");
    file["cases"].as_array().expect("cases").clone()
}

fn engine(case: &Value) -> Engine {
    let mut dims = Dims::new();
    for (id, value) in case["set"].as_object().expect("set") {
        dims.set(Key::from_id(id).expect("a key"), Some(number(value)));
    }
    Engine::new(dims).expect("a possible engine")
}

/// Counts checks and keeps the worst relative error.
#[derive(Default)]
struct Tally {
    checks: u32,
    worst: f64,
}

impl Tally {
    /// `scale` is what an error is relative to where the answer itself is 0.
    fn check(&mut self, what: &str, actual: f64, expected: f64, scale: f64) {
        let error = (actual - expected).abs() / expected.abs().max(scale);
        assert!(error <= TOLERANCE, "{what}: {actual} against {expected}, relative error {error:.2e}");
        self.checks += 1;
        self.worst = self.worst.max(error);
    }

    fn report(&self, name: &str) {
        assert!(self.checks > 0, "{name}: nothing was checked");
        println!("{name}: {} checks, worst relative error {:.1e}", self.checks, self.worst);
    }
}

#[test]
fn figures_at_rest_and_on_the_way() {
    let mut tally = Tally::default();
    for case in cases() {
        let id = case["id"].as_str().expect("id");
        let engine = engine(&case);
        let (f, e) = (engine.figures(), &case["expect"]);
        let throw = f.crank.throw();
        let mut check = |what: &str, actual: f64, expected: &Value, scale: f64| {
            tally.check(&format!("{id} {what}"), actual, number(expected), scale);
        };
        check("deck", f.deck_clearance, &e["deck_clearance_mm"], 1e-3);
        check("squish", f.squish_clearance, &e["squish_clearance_mm"], 1e-3);
        check("true stroke", f.crank.true_stroke(), &e["true_stroke_mm"], 0.0);
        check("top angle", f.crank.theta_top().to_degrees(), &e["tdc_angle_deg"], 1e-3);
        check("bottom angle", f.crank.theta_bottom().to_degrees(), &e["bdc_angle_deg"], 0.0);
        check("swept", f.swept, &e["swept_volume_cc"], 0.0);
        check("clearance", f.clearance_volume, &e["clearance_volume_cc"], 0.0);
        check("static ratio", f.static_ratio, &e["static_ratio"], 0.0);
        match f.effective_ratio {
            Some(ratio) => check("effective ratio", ratio, &e["effective_ratio"], 0.0),
            None => assert!(e["effective_ratio"].is_null(), "{id} effective ratio"),
        }
        let parts = &e["clearance_parts_cc"];
        let small = f.clearance_volume * 1e-3;
        check("chamber", f.clearance.chamber, &parts["chamber"], small);
        check("gasket", f.clearance.gasket, &parts["gasket"], small);
        check("deck volume", f.clearance.deck, &parts["deck"], small);
        check("dish", f.clearance.crown.max(0.0), &parts["dish"], small);
        check("dome", f.clearance.crown.min(0.0), &parts["dome"], small);
        check("pockets", f.clearance.pockets, &parts["pockets"], small);
        check("crevice", f.clearance.top_land, &parts["crevice"], small);
        for row in e["at"].as_array().expect("at") {
            let at = curves::at(&engine, number(&row["angle_deg"]));
            check("position", at.position_mm, &row["position_mm"], throw * 1e-3);
            check("velocity", at.velocity_mm_per_rad, &row["velocity_mm_per_rad"], throw * 1e-3);
            check(
                "acceleration",
                at.acceleration_mm_per_rad2,
                &row["acceleration_mm_per_rad2"],
                throw * 1e-3,
            );
            check("volume", at.volume_cc, &row["volume_cc"], 0.0);
            check("ratio", at.ratio, &row["ratio"], 0.0);
        }
    }
    tally.report("figures");
}

#[test]
fn slopes_are_exact() {
    let mut tally = Tally::default();
    for case in cases() {
        let id = case["id"].as_str().expect("id");
        let all = effects(&engine(&case), None);
        for figure in ["static_ratio", "deck_clearance_mm"] {
            for (key, expected) in case["slopes"][figure].as_object().expect("slopes") {
                let effect = all.iter().find(|e| e.key.id() == key).expect("an effect");
                let slope = match figure {
                    "static_ratio" => effect.slope.static_ratio,
                    _ => effect.slope.deck_clearance_mm,
                };
                tally.check(&format!("{id} d {figure}/d {key}"), slope, number(expected), 1e-4);
            }
        }
    }
    tally.report("slopes");
}

#[test]
fn a_single_dimension_reaches_the_target() {
    let mut tally = Tally::default();
    for case in cases() {
        let id = case["id"].as_str().expect("id");
        let target = TargetRatio::new(number(&case["target_ratio"])).expect("above 1");
        let engine = engine(&case);
        let all = effects(&engine, Some(target));
        for (key, expected) in case["to_target"].as_object().expect("to_target") {
            let found = all.iter().find(|e| e.key.id() == key).expect("an effect").to_target;
            match found {
                Some(to) => tally.check(&format!("{id} {key}"), to.value, number(expected), 1e-3),
                None => assert!(expected.is_null(), "{id} {key}: {expected} not found"),
            }
        }
        // Whatever was found gives the target when it is put in.
        for effect in all {
            if let Some(to) = effect.to_target {
                let moved = Engine::new(engine.dims().with(effect.key, to.value)).expect("possible");
                tally.check(
                    &format!("{id} {} gives", effect.key),
                    moved.figures().static_ratio,
                    target.get(),
                    0.0,
                );
            }
        }
    }
    tally.report("targets");
}
