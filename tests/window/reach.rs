//! What a screen reader meets: every place is opened and its tree read.

use super::system::{command, leave_field};
use super::*;
use crowndeck::app::command::Action;
use crowndeck::app::views::panel::PANELS;
use crowndeck::lesson::book;

/// Roles that can be pressed, typed into or moved.
const CONTROLS: [Role; 12] = [
    Role::Button,
    Role::TextInput,
    Role::MultilineTextInput,
    Role::CheckBox,
    Role::RadioButton,
    Role::Slider,
    Role::SpinButton,
    Role::ComboBox,
    Role::Link,
    Role::MenuItem,
    Role::DisclosureTriangle,
    Role::Switch,
];

/// One node of the tree.
#[derive(Clone, Debug, PartialEq)]
struct Node {
    role: Role,
    name: String,
    value: String,
    told: String,
}

fn tree(h: &Tested) -> Vec<Node> {
    let all = h.query_all(egui_kittest::kittest::by().predicate(|_| true));
    all.map(|node| {
        let node = node.accesskit_node();
        Node {
            role: node.role(),
            name: node.label().unwrap_or_default(),
            value: node.value().unwrap_or_default(),
            told: node.data().description().unwrap_or_default().to_owned(),
        }
    })
    .collect()
}

/// Every control has a name, every slider a value, the field of every
/// dimension its unit, drawing and curves their figures in words. How many
/// controls there are.
fn is_told(h: &Tested, place: &str) -> usize {
    let nodes = tree(h);
    let mut controls = 0;
    for node in &nodes {
        if !CONTROLS.contains(&node.role) {
            continue;
        }
        controls += 1;
        assert!(!node.name.trim().is_empty(), "{place}: no name: {node:?}");
        if node.role == Role::Slider {
            assert!(!node.value.trim().is_empty(), "{place}: no value: {node:?}");
        }
    }
    for key in Dimension::all() {
        let unit = match key.kind() {
            crowndeck::quantity::Kind::Length => ["mm", "in", "thou"].as_slice(),
            crowndeck::quantity::Kind::Volume => &["cc", "cuin"],
            crowndeck::quantity::Kind::Angle => &["°"],
        };
        let field = nodes.iter().find(|node| node.role == Role::TextInput && node.name == key.name());
        if let Some(field) = field {
            let told = unit.iter().any(|unit| field.told.starts_with(&format!("{unit}, ")));
            assert!(told, "{place}: no unit: {field:?}");
        }
    }
    controls
}

/// Names that several controls of one kind bear: a list of controls in a
/// screen reader would not tell them apart.
fn names_twice(h: &Tested) -> Vec<String> {
    let mut names: Vec<(Role, String)> =
        tree(h).into_iter().filter(|n| CONTROLS.contains(&n.role)).map(|n| (n.role, n.name)).collect();
    names.sort_by_key(|(role, name)| (format!("{role:?}"), name.clone()));
    let twice = names.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0].1.clone());
    twice.collect()
}

fn says_picture(h: &Tested, place: &str) {
    let names: Vec<String> = tree(h).into_iter().map(|node| node.name).collect();
    let told = |start: &str, within: &str| names.iter().any(|n| n.starts_with(start) && n.contains(within));
    assert!(told("Section of cylinder", "static ratio"), "{place}: the section is not told");
    assert!(told("Cylinder ", "deck clearance"), "{place}: the figures are not told");
}

#[test]
fn every_drawer_can_be_heard() {
    for size in [vec2(1024.0, 640.0), vec2(1280.0, 720.0), vec2(1440.0, 900.0)] {
        let mut h = window_of(size);
        for row in PANELS {
            let named = Action::Panel(row.panel);
            let key = named.row().and_then(|row| row.key).unwrap().logical_key;
            h.key_press(key);
            h.run();
            let place = format!("{} at {size:?}", row.name);
            assert!(is_told(&h, &place) > 20, "{place}");
            assert_eq!(names_twice(&h), [""; 0], "{place}");
            says_picture(&h, &place);
        }
    }
}

#[test]
fn every_page_of_the_readings_can_be_heard() {
    let mut h = window_of(vec2(1280.0, 720.0));
    h.key_press(Key::F4);
    h.run();
    for page in ["Two routes", "Doubt", "Instruments", "Top finder", "Burette"] {
        activate(&mut h, page);
        assert!(is_told(&h, page) > 20, "{page}");
        assert_eq!(names_twice(&h), [""; 0], "{page}");
    }
}

#[test]
fn the_curves_are_told_in_words_as_they_run() {
    let mut h = window();
    write(&mut h, "Base shim", "0.75 mm");
    leave_field(&mut h);
    h.key_press(Key::Period);
    h.run();
    let names: Vec<String> = tree(&h).into_iter().map(|node| node.name).collect();
    for start in ["Below the top", "Volume", "Ratio so far"] {
        let name = names.iter().find(|n| n.starts_with(&format!("{start} against crank angle"))).unwrap();
        assert!(name.contains(" at 1.0°, ") && name.contains(" half a turn on"), "{name}");
    }
    let ratio = names.iter().find(|n| n.starts_with("Ratio so far")).unwrap();
    assert!(ratio.ends_with(" 1.00 half a turn on") || ratio.contains("1.00 half a turn on; as opened: "));
    // In the least window one line takes their place.
    let h = window_of(vec2(1024.0, 640.0));
    assert!(says(&h, "Crank 0.0°, at the top, below the top 0.00 mm"));
}

#[test]
fn every_lesson_and_the_words_can_be_heard() {
    for index in 0..book().len() {
        let mut h = window_of(vec2(1280.0, 720.0));
        h.key_press(Key::F1);
        h.run();
        let title = format!("Lesson: {}, not begun", book()[index].title);
        h.get_by_role_and_label(Role::Button, &title).click_accesskit();
        h.run();
        activate(&mut h, "Begin");
        is_told(&h, &book()[index].title);
        assert_eq!(names_twice(&h), [""; 0], "{}", book()[index].title);
        assert!(says(&h, "Step 1 of "));
    }
    let mut h = window();
    h.key_press(Key::W);
    h.run();
    assert!(is_told(&h, "the words") > 40);
}

#[test]
fn whatever_lies_over_the_window_can_be_heard() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("engine.ron");
    project::save(&project::demo(), &file).unwrap();
    let over = |h: &mut Tested, place: &str, words: &str| {
        assert!(says(h, words), "{place}");
        is_told(h, place);
        h.key_press(Key::Escape);
        h.run();
        assert!(!says(h, words), "{place}: Escape leaves it");
    };
    let mut h = window_on(&file);
    h.key_press(Key::Slash);
    h.run();
    over(&mut h, "search", "Search commands and dimensions");
    h.key_press(Key::Questionmark);
    h.run();
    over(&mut h, "keys", "Take what was typed: Enter");
    command(&mut h, "About crowndeck");
    assert!(says(&h, "Permission is hereby granted"), "its own licence");
    activate(&mut h, "Packages");
    assert!(says(&h, "packages of others"));
    over(&mut h, "about", "Licence: MIT or Apache-2.0");
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    h.run();
    over(&mut h, "a path", "Path of the file");
    for steps in 0..4 {
        h.key_press_modifiers(Modifiers::COMMAND, Key::N);
        h.run();
        for _ in 0..steps {
            h.key_press(Key::Enter);
            h.run();
        }
        over(&mut h, "a new engine", &format!("New engine, step {} of 4", steps + 1));
    }
    command(&mut h, "Towers or section");
    assert!(says(&h, "Two towers of cylinder"));
    write(&mut h, "Base shim", "0.75 mm");
    command(&mut h, "Revert to the saved file");
    over(&mut h, "unsaved changes", "The changes are not saved");
    let theirs = project::Project { title: "theirs".into(), ..project::demo() };
    project::save(&theirs, &file).unwrap();
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    h.run();
    over(&mut h, "another's file", "The file was changed by someone else");
    h.key_press(Key::F11);
    h.run();
    over(&mut h, "the large view", "Esc: back to the window");
}

/// What was just done is said aloud, and a refusal stands with its field.
#[test]
fn what_was_done_and_what_was_refused_is_announced() {
    let mut h = window();
    command(&mut h, "Copy the figures");
    let status = |h: &Tested| tree(h).into_iter().find(|node| node.role == Role::Status).unwrap();
    assert!(!status(&h).name.starts_with("kept: "), "{:?}", status(&h));
    write(&mut h, "Bore", "-3");
    let field = tree(&h).into_iter().find(|n| n.role == Role::TextInput && n.name == "Bore").unwrap();
    assert!(field.told.contains("above 0"), "{field:?}");
}
