//! The window as a place to live in: what the engine is and what it is judged
//! by, states that are kept, keys, files. Found by role and label, then numbers.

mod begin;
mod contrast;
#[path = "../harness/mod.rs"]
mod harness;
mod inputs;
mod limits;
mod reach;
mod system;

use crowndeck::engine::Key as Dimension;
use crowndeck::project;
use crowndeck::schema::limit::LimitId;
use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use harness::{SMALL, Tested, USUAL, activate, says, window_of};

fn window() -> Tested {
    window_of(USUAL)
}

/// Types into a field for words and takes it with Enter.
fn write(harness: &mut Tested, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    if text.is_empty() {
        harness.key_press(Key::Delete);
    } else {
        harness.get_by_role_and_label(Role::TextInput, label).type_text(text);
    }
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

/// The window on a file of its own.
fn window_on(file: &std::path::Path) -> Tested {
    harness::window_on(SMALL, 1.0, Some(file.to_path_buf()))
}

fn project(harness: &Tested) -> &project::Project {
    harness.state().session().project()
}

#[test]
fn the_name_of_the_engine_and_its_limits_are_typed_and_each_is_one_step() {
    let mut h = window();
    let start = project(&h).clone();
    h.key_press(Key::F9);
    h.run();
    write(&mut h, "Name", "Shed engine");
    assert_eq!(project(&h).title, "Shed engine");
    write(&mut h, "Squish, at least", "43 thou");
    let given = project(&h).limits.get(LimitId::SquishMin).cloned().unwrap();
    assert_eq!(given.value.to_string(), "43 thou");
    write(&mut h, "Squish, at least", "three");
    assert!(says(&h, "Not taken"), "a refusal stands beside the field");
    assert_eq!(project(&h).limits.get(LimitId::SquishMin), Some(&given));
    let label = h.state().session().history().undo_label().unwrap().to_owned();
    assert!(label.starts_with("Squish, at least: ") && label.ends_with("to 43 thou"), "{label}");
    h.key_press(Key::Escape);
    h.run();
    for _ in 0..2 {
        let undo = format!("Undo: {}", h.state().session().history().undo_label().unwrap());
        activate(&mut h, &undo);
    }
    assert_eq!(*project(&h), start);
}

#[test]
fn a_cylinder_gets_a_name_a_fellow_and_goes() {
    let mut h = window();
    h.key_press(Key::F9);
    h.run();
    let count = project(&h).engine.cylinders.len();
    write(&mut h, "Cylinder 1", "left");
    assert_eq!(project(&h).engine.cylinders[0].label, "left");
    activate(&mut h, "Add a cylinder");
    assert_eq!(project(&h).engine.cylinders.len(), count + 1);
    let readings = project(&h).readings.len();
    activate(&mut h, "Remove cylinder left");
    assert_eq!(project(&h).engine.cylinders.len(), count);
    assert!(project(&h).engine.cylinders.iter().all(|c| c.label != "left"));
    assert!(project(&h).readings.len() < readings, "its readings went with it");
}

#[test]
fn what_is_missing_leads_to_its_field() {
    let mut h = window();
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.key_press(Key::Enter);
    h.run();
    activate(&mut h, "Begin now");
    h.key_press(Key::F9);
    h.run();
    assert!(says(&h, "Dimensions are missing"));
    let missing: Vec<Dimension> = project(&h).engine.missing(0).collect();
    assert!(missing.contains(&Dimension::Bore));
    activate(&mut h, "Bore");
    let field = h.get_by_role_and_label(Role::TextInput, "Bore");
    assert!(field.accesskit_node().is_focused());
}

#[test]
fn a_file_that_someone_else_changed_is_not_saved_over_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("engine.ron");
    project::save(&project::demo(), &file).unwrap();
    let mut h = window_on(&file);
    h.key_press(Key::F9);
    h.run();
    write(&mut h, "Name", "mine");
    let theirs = project::Project { title: "theirs".into(), ..project::demo() };
    project::save(&theirs, &file).unwrap();
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    h.run();
    assert!(says(&h, "The file was changed by someone else"));
    assert_eq!(project::load(&file).unwrap().title, "theirs");
    activate(&mut h, "Save over it");
    assert_eq!(project::load(&file).unwrap().title, "mine");
    write(&mut h, "Name", "mine too");
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    h.run();
    assert_eq!(project::load(&file).unwrap().title, "mine too", "what was saved here is not someone else's");
}

#[test]
fn work_that_could_not_be_saved_is_offered_and_taken_without_saving_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("engine.ron");
    project::save(&project::demo(), &file).unwrap();
    let kept = project::Project { title: "kept".into(), ..project::demo() };
    project::save(&kept, &project::recovery_path(&file)).unwrap();
    let mut h = window_on(&file);
    assert!(says(&h, "Unsaved work was kept"));
    activate(&mut h, "Take it");
    assert_eq!(project(&h).title, "kept");
    assert!(h.state().session().history().is_changed());
    assert_eq!(project::load(&file).unwrap(), project::demo());
}

#[test]
fn two_states_stand_side_by_side_and_one_comes_back() {
    let mut h = window();
    let start = project(&h).engine.clone();
    h.key_press(Key::K);
    h.run();
    h.key_press(Key::F10);
    h.run();
    write(&mut h, "Name of state 1", "as built");
    assert_eq!(project(&h).kept[0].name, "as built");
    write(&mut h, "Stroke", "63");
    assert!(says(&h, "Stroke: 62.00 mm, 63.00 mm, change +1.00 mm"));
    assert!(says(&h, "Deck clearance: 1.20 mm below, 0.70 mm below, change 0.50 closer"));
    activate(&mut h, "Show as built behind the drawing");
    assert_eq!(h.state().session().reference().name, "as built");
    activate(&mut h, "Back to as built");
    assert_eq!(project(&h).engine, start);
    assert!(says(&h, "No dimension differs"));
    activate(&mut h, "Drop as built");
    assert!(project(&h).kept.is_empty());
}

#[test]
fn every_key_stands_on_the_card_and_escape_puts_it_away() {
    let mut h = window();
    h.key_press(Key::Questionmark);
    h.run();
    assert!(says(&h, "Save as: Ctrl+Shift+S") || says(&h, "Save as: Shift+Ctrl+S"));
    for row in crowndeck::app::command::COMMANDS.iter().filter(|row| row.key.is_some()) {
        assert!(says(&h, &format!("{}: ", row.name.trim_end_matches('…'))), "{}", row.name);
    }
    assert!(says(&h, "Keys: ?"), "a key as it stands on the keyboard");
    h.key_press(Key::Escape);
    h.run();
    assert!(!says(&h, "Take what was typed: Enter"));
}

/// In the least window the drawers are called by the mouse too, and put away.
#[test]
fn in_the_least_window_a_button_calls_the_drawers() {
    let mut h = window_of(vec2(1024.0, 640.0));
    assert!(!says(&h, "All cylinders, worst first"));
    activate(&mut h, "Drawers");
    assert!(says(&h, "Figures") && says(&h, "Piston to intake valve"));
    activate(&mut h, "Drawers");
    assert!(!says(&h, "Piston to intake valve"));
    let h = window_of(vec2(1280.0, 720.0));
    assert!(h.query_by_role_and_label(Role::Button, "Drawers").is_none(), "they are always there");
}

/// An edge between two panes is moved by keyboard and by mouse, stops where a
/// pane would lose its room, and goes back.
#[test]
fn the_edges_between_the_panes_are_moved_and_go_back() {
    let mut h = window_of(vec2(1280.0, 720.0));
    let size = |h: &Tested, edge: &str| h.get_by_label(edge).accesskit_node().value().unwrap();
    for (edge, key, before, after) in [
        ("Width of the dimensions", Key::ArrowRight, "272 points", "288 points"),
        ("Width of the right column", Key::ArrowLeft, "312 points", "328 points"),
        ("Height of the curves", Key::ArrowUp, "134 points", "150 points"),
    ] {
        assert_eq!(size(&h, edge), before);
        h.get_by_label(edge).focus();
        h.run();
        for _ in 0..2 {
            h.key_press(key);
            h.run();
        }
        assert_eq!(size(&h, edge), after, "{edge}");
    }
    for _ in 0..100 {
        h.key_press(Key::ArrowUp);
        h.run();
    }
    let tallest: f64 = size(&h, "Height of the curves").split(' ').next().unwrap().parse().unwrap();
    assert!((200.0..360.0).contains(&tallest), "the sheet keeps its room: {tallest}");
    let edge = h.get_by_label("Width of the right column").rect().center();
    h.drag_at(edge);
    h.run();
    h.hover_at(edge - vec2(40.0, 0.0));
    h.run();
    h.drop_at(edge - vec2(40.0, 0.0));
    h.run();
    assert_eq!(size(&h, "Width of the right column"), "368 points");
    h.key_press(Key::Slash);
    h.run();
    h.event(egui::Event::Text("usual sizes".into()));
    h.run();
    h.key_press(Key::Enter);
    h.run();
    assert_eq!(size(&h, "Width of the right column"), "312 points");
    assert_eq!(size(&h, "Height of the curves"), "134 points");
}

/// A file of the desktop that was let go over the window.
#[derive(Debug)]
struct Dropped(std::path::PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

/// A file dropped on the window opens; unsaved work is asked about first, and
/// a file that is no project is told and loses nothing.
#[test]
fn a_dropped_file_opens_and_unsaved_work_is_asked_about_first() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("theirs.ron");
    let theirs = project::Project { title: "theirs".into(), ..project::demo() };
    project::save(&theirs, &file).unwrap();
    let drop = |h: &mut Tested, path: &std::path::Path| {
        h.input_mut().dropped_files = vec![std::sync::Arc::new(Dropped(path.to_path_buf()))];
        h.run();
        h.run();
    };
    let mut h = window();
    drop(&mut h, &file);
    assert_eq!(project(&h).title, "theirs");
    h.key_press(Key::F9);
    h.run();
    write(&mut h, "Name", "mine");
    let other = folder.path().join("other.ron");
    project::save(&project::demo(), &other).unwrap();
    drop(&mut h, &other);
    assert!(says(&h, "The changes are not saved"));
    activate(&mut h, "Stay here");
    assert_eq!(project(&h).title, "mine");
    drop(&mut h, &other);
    activate(&mut h, "Go on without saving");
    assert_eq!(project(&h).title, project::demo().title);
    let wrong = folder.path().join("wrong.ron");
    std::fs::write(&wrong, "no project").unwrap();
    drop(&mut h, &wrong);
    assert_eq!(project(&h).title, project::demo().title);
    assert!(says(&h, "wrong.ron"), "it is told");
}

/// A roll of the wheel over the field that has the keyboard is one step for
/// undo; the next roll is another.
#[test]
fn a_roll_of_the_wheel_is_one_step() {
    let mut h = window();
    let shim = |h: &Tested| {
        let dims = project(h).dims(h.state().cylinder()).unwrap();
        dims.filled(Dimension::BaseShim).unwrap()
    };
    let start = shim(&h);
    let field = h.get_by_role_and_label(Role::TextInput, "Base shim");
    let at = field.rect().center();
    field.focus();
    h.run();
    h.hover_at(at);
    h.run();
    let roll = |h: &mut Tested, notches: usize| {
        for _ in 0..notches {
            h.event(egui::Event::MouseWheel {
                unit: egui::MouseWheelUnit::Line,
                delta: vec2(0.0, 1.0),
                phase: egui::TouchPhase::Move,
                source: egui::MouseWheelSource::Wheel,
                modifiers: Modifiers::NONE,
            });
            h.run_steps(3);
        }
        // The hand rests.
        h.run_steps(60);
    };
    roll(&mut h, 3);
    let once = shim(&h);
    assert!((once - start - 0.15).abs() < 1e-9, "{start} to {once}");
    roll(&mut h, 2);
    assert!((shim(&h) - once - 0.1).abs() < 1e-9);
    for back in [once, start] {
        h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        h.run_steps(5);
        assert!((shim(&h) - back).abs() < 1e-9, "{} for {back}", shim(&h));
    }
}
