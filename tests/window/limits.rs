//! Limits: every one of the list can be given and fed in the file, in the
//! window and on the command line; what is proposed counts once it is taken.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::harness::{Tested, activate, says};
use super::{project, window, write};
use crowndeck::engine::Key as Dimension;
use crowndeck::project::{self as document, Project, demos};
use crowndeck::schema::limit::LimitId;
use egui::Key;
use egui::accesskit::Role;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// What `crowndeck limits` says about each limit of a project that was
/// written to a file.
fn told(project: &Project) -> Vec<Value> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("engine.ron");
    document::save(project, &path).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_crowndeck"))
        .args(["limits".as_ref(), path.as_os_str(), "--json".as_ref()])
        .env_remove("DISPLAY")
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let object: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(object["format"], 1);
    object["limits"].as_array().unwrap().clone()
}

fn key(limit: &Value) -> &str {
    limit["limit"].as_str().unwrap()
}

/// The flat six with all that any limit judges.
fn fed() -> Project {
    let six = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap();
    let mut project = six.project().unwrap();
    project.duty.max_rpm = Some(6000.0);
    project.engine.clamp =
        ron::from_str("Some((engagement: \"14 mm\", with_shim: None, least: \"10 mm\"))").unwrap();
    for valve in ["intake", "exhaust"] {
        let reading = format!(
            "(cylinder: \"1\", of: piston_to_valve({valve}), place: crank(\"10 deg\"), instrument: \"depth mic\", \
             values: [\"2.50 mm\"], date: \"2026-05-02\")"
        );
        project.readings.push(
            ron::Options::default()
                .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
                .from_str(&reading)
                .unwrap(),
        );
    }
    project
}

#[test]
fn every_limit_is_fed_in_file_and_on_the_command_line() {
    let limits = told(&fed());
    assert_eq!(limits.len(), LimitId::all().len(), "every limit is told");
    for limit in &limits {
        assert!(!limit["fed_by"].as_array().unwrap().is_empty(), "{limit}: name what feeds it");
        assert_eq!(limit["fed"], true, "{limit}");
    }
}

#[test]
fn a_limit_that_has_nothing_to_judge_says_so() {
    let mut bare = fed();
    bare.duty.max_rpm = None;
    bare.engine.clamp = None;
    bare.shims.clear();
    bare.engine.heads.iter_mut().for_each(|head| head.level = false);
    let mut one = bare.engine.cylinders.remove(0);
    one.own = Default::default();
    bare.engine.cylinders = vec![one];
    bare.readings.clear();
    bare.rings.clear();
    bare.engine.nominal.clear(Dimension::IntakeClosing);
    let unfed: Vec<String> =
        told(&bare).iter().filter(|limit| limit["fed"] == false).map(|limit| key(limit).to_owned()).collect();
    let wanted = [
        "effective_ceiling",
        "ratio_spread",
        "level",
        "chamber_spread",
        "pieces_min",
        "pieces_max",
        "soft_pieces_max",
        "intake_valve_min",
        "exhaust_valve_min",
        "piston_speed",
        "clamp.least",
    ];
    assert_eq!(unfed, wanted);
}

/// Whether a thing with this name can be typed into.
fn has_field(h: &Tested, name: &str) -> bool {
    let is_named = |label: Option<String>| label.is_some_and(|label| label.contains(name));
    [Role::TextInput, Role::SpinButton, Role::Slider]
        .into_iter()
        .any(|role| h.query_all_by_role(role).any(|node| is_named(node.accesskit_node().label())))
}

#[test]
fn every_limit_and_what_feeds_it_has_a_field_in_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("engine.ron");
    document::save(&fed(), &path).unwrap();
    let mut h = super::window_on(&path);
    for group in ["Timing", "Mock-up"] {
        activate(&mut h, &format!("{group}: unfold"));
    }
    let fields = |h: &Tested| -> Vec<&str> {
        Dimension::all().filter(|key| has_field(h, key.name())).map(|k| k.id()).collect()
    };
    let mut dimensions = fields(&h);
    // A port is a dimension of a two-stroke alone.
    let mut kart = super::window_on(Path::new("demo-projects/zunnar-k123.ron"));
    activate(&mut kart, "Timing: unfold");
    dimensions.extend(fields(&kart));
    drop(kart);
    for valve in ["intake", "exhaust"] {
        let mut unread = window();
        unread.key_press(Key::F4);
        unread.run();
        activate(&mut unread, "Read another dimension: Read another dimension …");
        unread.get_by_role_and_label(Role::Button, &format!("Piston to {valve} valve")).click_accesskit();
        unread.run();
        let field = format!("Piston to {valve} valve, at the top, next value");
        unread.get_by_role_and_label(Role::TextInput, &field);
    }
    h.key_press(Key::F9);
    h.run();
    let limits = told(&fed());
    for limit in limits.iter().filter(|limit| key(limit) != "clamp.least") {
        let name = limit["name"].as_str().unwrap();
        h.get_by_role_and_label(Role::TextInput, name);
    }
    for limit in &limits {
        for feed in limit["fed_by"].as_array().unwrap() {
            let by = feed["key"].as_str().unwrap_or_default();
            match feed["sort"].as_str().unwrap() {
                "dimension" => assert!(dimensions.contains(&by), "no field for {by}: {dimensions:?}"),
                "duty" => {
                    assert_eq!(by, "max_rpm", "say what its field is called");
                    assert!(has_field(&h, "Greatest speed"));
                }
                // Of dimensions, which have their fields.
                "figure" => assert!(dimensions.contains(&"stroke")),
                // Of the distance of piston and valve, typed above.
                "reading" | "stock" | "clamp" => {}
                other => panic!("{other}: say where its field is"),
            }
        }
    }
}

#[test]
fn what_is_proposed_is_told_with_its_support_and_taken_by_one_button() {
    let mut h = window();
    let start = project(&h).clone();
    h.key_press(Key::F9);
    h.run();
    assert_eq!(*project(&h), start, "nothing is set by itself");
    let says_so = "common practice: air-cooled separate barrels, steel rods, road; many aim at 1.0 to 1.3";
    assert!(says(&h, says_so));
    assert_eq!(start.limits.value(LimitId::RatioSpread), None);
    let judged = |h: &Tested| {
        h.state()
            .session()
            .answers()
            .judged()
            .filter(|j| j.what.row().id == LimitId::RatioSpread.row().judged)
            .count()
    };
    assert_eq!(judged(&h), 0, "nothing is judged by what was not taken");
    let take =
        "Take 0.2 for ratio, between cylinders: common practice: static ratio between cylinders; aim at 0.1";
    activate(&mut h, take);
    let taken = project(&h).limits.text(LimitId::RatioSpread).unwrap();
    assert_eq!(taken.value, "0.2");
    assert_eq!(taken.source, "common practice: static ratio between cylinders; aim at 0.1");
    assert_eq!(judged(&h), 1);
    assert!(h.query_by_role_and_label(Role::Button, take).is_none(), "what is taken is not proposed again");
    write(&mut h, "Ratio, between cylinders", "");
    assert_eq!(project(&h).limits.get(LimitId::RatioSpread), None);
    assert!(h.query_by_role_and_label(Role::Button, take).is_some());
    for _ in 0..2 {
        let undo = format!("Undo: {}", h.state().session().history().undo_label().unwrap());
        activate(&mut h, &undo);
    }
    assert_eq!(*project(&h), start);
}

#[test]
fn proposals_follow_how_the_engine_is_built() {
    let of = |file: &str, limit: &str| -> Vec<String> {
        let demo = demos().iter().find(|demo| demo.id == file).unwrap();
        let all = told(&demo.project().unwrap());
        let found = all.iter().find(|of| key(of) == limit).unwrap();
        let proposals = found["proposals"].as_array().unwrap().iter();
        proposals
            .map(|of| format!("{}, {}", of["text"].as_str().unwrap(), of["support"].as_str().unwrap()))
            .collect()
    };
    assert_eq!(of("sorrendel-f6", "squish_min"), ["1.00 mm, common practice"]);
    assert_eq!(of("oldermoor-t4", "level"), ["0.08 mm, common practice"]);
    assert_eq!(of("zunnar-k123", "effective_ceiling"), ["7.5, common practice"]);
    assert_eq!(of("sorrendel-f6", "effective_ceiling"), Vec::<String>::new());
}
