//! What a limit or a proposal asks for has a field in the window: use, speed,
//! fuel, rods, banks. Typed, refused, undone; old files kept.

use super::{Dimension, Tested, activate, project, says, window, window_of, window_on, write};
use crowndeck::project::load;
use crowndeck::schema::Usage;
use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;

fn engine_page(mut h: Tested) -> Tested {
    h.key_press(Key::F9);
    h.run();
    h
}

fn undo_label(h: &Tested) -> String {
    h.state().session().history().undo_label().unwrap_or_default().to_owned()
}

fn undo(h: &mut Tested) {
    h.key_press(Key::Escape);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
}

#[test]
fn speed_fuel_and_rods_are_typed_and_each_is_one_step() {
    for size in [vec2(1280.0, 720.0), vec2(1440.0, 900.0)] {
        let mut h = engine_page(window_of(size));
        let start = project(&h).duty.clone();
        for (field, typed, step) in [
            ("Rated speed", "2 800 rpm", "Rated speed: 3000 rpm to 2800 rpm"),
            ("Greatest speed", "4000", "Greatest speed: 3600 rpm to 4000 rpm"),
            ("Fuel", "petrol, 95 RON", "Fuel: petrol, 87 RON to petrol, 95 RON"),
            ("Reciprocating mass", "400 g", "Reciprocating mass: 0.42 kg to 0.4 kg"),
            ("Rod material", "aluminium", "Rod material: steel to aluminium"),
            ("Rod modulus", "72", "Rod modulus: 205 GPa to 72 GPa"),
            ("Rod shank area", "2.2 cm2", "Rod shank area: 150 mm² to 220 mm²"),
        ] {
            write(&mut h, field, typed);
            assert_eq!(undo_label(&h), step);
        }
        let duty = &project(&h).duty;
        assert_eq!((duty.rated_rpm, duty.max_rpm), (Some(2800.0), Some(4000.0)));
        assert_eq!((duty.fuel.as_str(), duty.reciprocating_mass_kg), ("petrol, 95 RON", Some(0.4)));
        assert_eq!(duty.rod.shank_area_mm2, Some(220.0));
        let build = h.state().session().question().build;
        assert_eq!((build.fuel_ron, build.max_rpm), (Some(95.0), Some(4000.0)));
        for _ in 0..7 {
            undo(&mut h);
        }
        assert_eq!(project(&h).duty, start);
    }
}

#[test]
fn nonsense_is_refused_beside_its_field_and_changes_nothing() {
    let mut h = engine_page(window());
    let start = project(&h).clone();
    for (typed, why) in [
        ("fast", "Greatest speed: ‘fast’ is no number; write one in rpm, such as 6000"),
        ("-1", "Greatest speed: -1 rpm is not above 0"),
        ("500000", "Greatest speed: 500000 rpm is more than 100000 rpm"),
    ] {
        write(&mut h, "Greatest speed", typed);
        assert!(says(&h, &format!("Not taken. {why}")), "{typed}");
        assert_eq!(*project(&h), start);
    }
    write(&mut h, "Greatest speed", "2000");
    assert!(says(&h, "rated speed 3000 rpm is above greatest speed 2000 rpm"), "told, not forbidden");
}

#[test]
fn the_use_is_chosen_from_a_list_and_undone() {
    let mut h = engine_page(window());
    assert_eq!(project(&h).duty.usage, None);
    activate(&mut h, "Use: not said");
    h.get_by_role_and_label(Role::Button, "stationary").click_accesskit();
    h.run();
    assert_eq!(project(&h).duty.usage, Some(Usage::Stationary));
    assert_eq!(undo_label(&h), "Use: stationary");
    assert!(says(&h, "Use: stationary"));
    undo(&mut h);
    assert_eq!(project(&h).duty.usage, None);
}

#[test]
fn a_bank_gets_another_name_and_its_cylinders_follow() {
    let mut h = engine_page(window());
    assert!(says(&h, "cylinder 1, lying to the left"));
    write(&mut h, "Bank left", "port side");
    assert_eq!(project(&h).engine.cylinders[0].bank.as_deref(), Some("port side"));
    assert_eq!(undo_label(&h), "Bank left is called port side");
    write(&mut h, "Bank right", "port side");
    assert_eq!(project(&h).engine.banks[1].label, "right", "two of one name are refused");
    undo(&mut h);
    assert_eq!(project(&h).engine.banks[0].label, "left");
}

#[test]
fn a_note_stands_on_the_dimension_that_it_was_written_for() {
    let mut h = engine_page(window());
    let note = |h: &Tested, key: Dimension| {
        let entry = project(h).engine.entry(0, key).unwrap().0;
        (entry.note.clone(), entry.value.text().to_owned())
    };
    let shared = note(&h, Dimension::Stroke);
    write(&mut h, "Note on stroke", "from the maker's sheet");
    assert_eq!(note(&h, Dimension::Stroke), ("from the maker's sheet".to_owned(), shared.1.clone()));
    assert_eq!(undo_label(&h), "Note on stroke");
    write(&mut h, "Note on barrel length, cylinder 1", "seat cleaned first");
    assert_eq!(note(&h, Dimension::BarrelLength).0, "seat cleaned first");
    assert_ne!(project(&h).engine.entry(1, Dimension::BarrelLength).unwrap().0.note, "seat cleaned first");
    for _ in 0..2 {
        undo(&mut h);
    }
    assert_eq!(note(&h, Dimension::Stroke), shared);
}

/// Opened, changed, saved: the new file is of the newest format, the old one
/// lies beside it as it was, and the status line says so.
#[test]
fn a_file_of_format_1_is_kept_beside_what_is_saved() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("engine.ron");
    let old = include_str!("../data/formats/1/tarnbeck-ft62.ron");
    std::fs::write(&file, old).unwrap();
    let mut h = engine_page(window_on(&file));
    assert!(!h.state().session().history().is_changed(), "opening changes nothing");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), old);
    write(&mut h, "Greatest speed", "4000");
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    h.run();
    assert!(says(&h, "the file as it was before is beside it as engine.format-1.ron"));
    assert_eq!(std::fs::read_to_string(folder.path().join("engine.format-1.ron")).unwrap(), old);
    assert_eq!(load(&file).unwrap().duty.max_rpm, Some(4000.0));
    write(&mut h, "Greatest speed", "4100");
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    h.run();
    assert!(says(&h, "Saved to") && !says(&h, "as it was before"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "kept once");
}

/// A sweep typed at the bench: its least is judged, contact is told, and what
/// no wheel or gauge can show is refused.
#[test]
fn piston_to_valve_is_typed_like_any_other_reading() {
    for size in [vec2(1280.0, 720.0), vec2(1440.0, 900.0)] {
        let mut h = window_of(size);
        h.key_press(Key::F4);
        h.run();
        activate(&mut h, "Read another dimension: Read another dimension …");
        h.get_by_role_and_label(Role::Button, "Piston to intake valve").click_accesskit();
        h.run();
        assert!(says(&h, "every 5° from 15° before to 15° after"), "the caution is beside the field");
        for (line, value) in [("5° after", "2.60"), ("10° after", "2.31"), ("15° after", "2.70")] {
            write(&mut h, &format!("Piston to intake valve, {line}, next value"), value);
        }
        let gap = h.state().session().question().cylinders[0].valve_gap.intake.unwrap();
        assert_eq!(gap.value, 2.31);
        assert!(gap.doubt.is_some_and(|doubt| doubt > 0.0 && doubt < 0.1), "{gap:?}");
        assert!(says(
            &h,
            "The least of the sweep: 10° after on overlap. Piston to intake valve 2.31 mm, 0.31 to spare"
        ));
        write(&mut h, "Another crank angle, intake valve", "8");
        write(&mut h, "Piston to intake valve, 8° after, next value", "2.01");
        assert!(says(
            &h,
            "The least of the sweep: 8° after on overlap. Piston to intake valve 2.01 mm ±0.02, too near to call"
        ));
        let before = project(&h).clone();
        write(&mut h, "Piston to intake valve, at the top, next value", "-0.2");
        assert!(says(&h, "a distance is 0, which is contact, or more"));
        assert_eq!(*project(&h), before);
        h.key_press(Key::Escape);
        h.run();
        write(&mut h, "Piston to intake valve, at the top, next value", "0");
        assert!(says(&h, "0 is contact: piston and valve touch"));
        assert!(undo_label(&h).starts_with("Reading of piston to intake valve"), "{}", undo_label(&h));
        h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        h.run();
        assert_eq!(
            h.state().session().question().cylinders[0].valve_gap.intake.map(|gap| gap.value),
            Some(2.01)
        );
    }
}

/// A two-stroke has ports.
#[test]
fn a_two_stroke_is_not_asked_for_valves() {
    let mut h = window();
    h.key_press(Key::F9);
    h.run();
    activate(&mut h, "Built as: Separate barrels");
    h.get_by_role_and_label(Role::Button, "Two-stroke").click_accesskit();
    h.run();
    h.key_press(Key::Escape);
    h.run();
    h.key_press(Key::F4);
    h.run();
    activate(&mut h, "Read another dimension: Read another dimension …");
    assert!(!says(&h, "Piston to intake valve"));
}
