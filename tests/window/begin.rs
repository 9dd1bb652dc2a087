//! A new engine: gone through by keyboard, left by Escape, taken from another.

use super::{Dimension, Tested, activate, project, says, window, write};
use crowndeck::project::{Construction, Cooling, demos};
use crowndeck::quantity::LengthUnit;
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn asked() -> Tested {
    let mut h = window();
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h
}

fn keys(h: &mut Tested, keys: &[Key]) {
    for &key in keys {
        h.key_press(key);
        h.run();
    }
}

/// Nothing but the keyboard: a digit for the construction, a digit for the
/// cylinders, Enter through the rest; then straight into the first field.
#[test]
fn the_assistant_goes_by_keyboard_alone_and_ends_in_the_first_field() {
    let mut h = asked();
    assert!(says(&h, "New engine, step 1 of 4"));
    keys(&mut h, &[Key::Num2, Key::Num4, Key::Enter]);
    assert!(says(&h, "New engine, step 3 of 4"));
    keys(&mut h, &[Key::Enter, Key::Enter]);
    let engine = &project(&h).engine;
    assert_eq!((engine.construction, engine.cylinders.len()), (Construction::Block, 4));
    assert_eq!(project(&h).title, "My engine");
    let first = h.get_by_role_and_label(Role::TextInput, "Case height");
    assert!(first.accesskit_node().is_focused());
    assert!(says(&h, "Still missing: Case height"));
}

#[test]
fn escape_at_any_step_leaves_everything_as_it_was() {
    for steps in 0..4 {
        let mut h = window();
        write(&mut h, "Base shim", "0.30 mm");
        let before = project(&h).clone();
        let undo = h.state().session().history().undo_label().map(str::to_owned);
        h.key_press_modifiers(Modifiers::COMMAND, Key::N);
        h.run();
        keys(&mut h, &[Key::Num3, Key::Enter, Key::Enter][..steps]);
        assert!(says(&h, &format!("step {} of 4", steps + 1)));
        h.key_press(Key::Escape);
        h.run();
        assert!(!says(&h, "New engine, step"), "step {}", steps + 1);
        assert_eq!(*project(&h), before);
        assert_eq!(h.state().session().history().undo_label().map(str::to_owned), undo);
    }
}

/// What is said in the steps stands in the project: heads, how they stand,
/// cooling, units, instruments, the gasket that there is not.
#[test]
fn every_answer_goes_into_the_engine() {
    let mut h = asked();
    activate(&mut h, "Separate barrels");
    write(&mut h, "Name of the engine", "Shed six");
    for _ in 0..5 {
        activate(&mut h, "More cylinders");
    }
    activate(&mut h, "More heads");
    assert!(says(&h, "Head B over cylinders 4, 5, 6"));
    activate(&mut h, "Lying, to both sides");
    activate(&mut h, "Water");
    activate(&mut h, "Next");
    activate(&mut h, "Thou");
    assert!(says(&h, "a gap 43.0 thou"));
    activate(&mut h, "Next");
    assert!(says(&h, "Without a burette"));
    h.get_by_role_and_label(Role::CheckBox, "Burette and flat plate").click_accesskit();
    h.run();
    assert!(!says(&h, "Without a burette"));
    h.get_by_role_and_label(Role::CheckBox, "A gasket lies under the head").click_accesskit();
    h.run();
    activate(&mut h, "Begin");
    let project = project(&h);
    assert_eq!((project.title.as_str(), project.units.length), ("Shed six", LengthUnit::Thou));
    let engine = &project.engine;
    assert_eq!((engine.cylinders.len(), engine.heads.len(), engine.cooling), (6, 2, Cooling::Water));
    assert_eq!((engine.orientation(0).lean_deg(), engine.orientation(5).lean_deg()), (-90.0, 90.0));
    assert_eq!(engine.nominal.get(Dimension::GasketThickness).unwrap().value.text(), "0 thou");
    assert_eq!(project.instruments.iter().map(|i| i.id.as_str()).collect::<Vec<_>>(), ["burette"]);
}

#[test]
fn another_engine_takes_the_shop_of_the_last_one_along() {
    let mut h = asked();
    let last = project(&h).clone();
    activate(&mut h, &format!("Like {}", last.title));
    let project = project(&h);
    assert_eq!((&project.limits, &project.instruments), (&last.limits, &last.instruments));
    assert_eq!(project.engine.banks, last.engine.banks);
    assert!(project.readings.is_empty() && project.engine.missing(0).count() > 5);
}

#[test]
fn an_example_opens_from_the_first_step() {
    let mut h = asked();
    activate(&mut h, demos()[3].what);
    assert_eq!(project(&h).title, demos()[3].project().unwrap().title);
}

/// On the sheet each missing dimension leads to its field, and the list
/// shrinks as they are given.
#[test]
fn the_list_on_the_sheet_leads_to_each_field_and_gets_shorter() {
    let mut h = asked();
    keys(&mut h, &[Key::Num1]);
    activate(&mut h, "Begin now");
    let missing: Vec<Dimension> = project(&h).engine.wanted(0).collect();
    assert!(missing.contains(&Dimension::BarrelLength));
    for key in &missing {
        activate(&mut h, &format!("{}: to its field", key.name()));
        let field = crowndeck::app::window::field_id(*key);
        assert_eq!(h.ctx.memory(|m| m.focused()), Some(field), "{}", key.name());
    }
    write(&mut h, "Bore", "86 mm");
    assert!(h.query_by_role_and_label(Role::Button, "Bore: to its field").is_none());
    assert!(h.query_by_role_and_label(Role::Button, "Stroke: to its field").is_some());
}
