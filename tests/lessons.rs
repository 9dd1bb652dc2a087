//! The lessons, played through the real window to their ends, with wrong
//! turns on the way.
#![expect(clippy::expect_used, clippy::unwrap_used, reason = "a test fails by panicking")]

mod harness;

use crowndeck::engine::Key;
use crowndeck::lesson::{Act, Expr, ScreenPlace, Shows, Task, Whom, book};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use harness::{Tested, click, says, type_into, window_on};

/// How the field of a dimension is called in this window: a small one has the
/// short names.
fn field_of(harness: &Tested, key: Key) -> Option<&'static str> {
    let names = [key.name(), key.row().short];
    names.into_iter().find(|name| harness.query_by_role_and_label(Role::TextInput, name).is_some())
}

fn undo(harness: &mut Tested) {
    let is_undo = |label: String| label.starts_with("Undo: ");
    harness.get_by(|node| node.role() == Role::Button && node.label().is_some_and(is_undo)).click();
    harness.run();
}

fn begin(harness: &mut Tested, title: &str) {
    if !says(harness, &format!("Lesson: {title}")) {
        harness.key_press(Press::F1);
        harness.run();
    }
    let row = |harness: &Tested, step: fn(egui_kittest::Node<'_>)| {
        let is_row = |label: String| label.starts_with(&format!("Lesson: {title}"));
        step(harness.get_by(|node| node.role() == Role::Button && node.label().is_some_and(is_row)));
    };
    row(harness, |row| row.scroll_to_me());
    harness.run();
    row(harness, |row| row.click());
    harness.run();
    click(harness, "Begin");
}

/// To the cylinder at this place: by its cell where the panel is in sight,
/// else by the key that goes to the next one.
fn choose(harness: &mut Tested, cylinder: usize) {
    let label = harness.state().shown_session().project().engine.cylinders[cylinder].label.clone();
    let is_cell = |name: String| name.starts_with(&format!("Cylinder {label}: "));
    let cell = harness.query_by(|node| node.role() == Role::RadioButton && node.label().is_some_and(is_cell));
    if let Some(cell) = cell {
        cell.click();
    }
    harness.run();
    for _ in 0..20 {
        if harness.state().cylinder() == cylinder {
            return;
        }
        harness.key_press(Press::CloseBracket);
        harness.run();
    }
    assert_eq!(harness.state().cylinder(), cylinder);
}

/// Turns the crank: near the angle by a press in the curves, then by its keys,
/// a degree at a press.
fn turn(harness: &mut Tested, angle: f64) {
    let size = harness.ctx.content_rect().size();
    let curves = crowndeck::app::layout::layout(size, false).curves;
    // The last plot of three, right of its scale.
    let plots = (curves.left() + 120.0)..=(curves.right() - 14.0);
    let plot = (egui::lerp(plots.clone(), 0.61) + 28.0)..=*plots.end();
    let share = (angle as f32 + 180.0) / 360.0;
    let x = egui::lerp(plot, share);
    harness.drag_at(egui::pos2(x, curves.center().y));
    harness.run_steps(3);
    harness.drop_at(egui::pos2(x, curves.center().y));
    harness.run();
    let by = (angle - harness.state().crank_deg()).round();
    let key = if by < 0.0 { Press::Comma } else { Press::Period };
    for _ in 0..by.abs() as u32 {
        harness.key_press(key);
        harness.step();
    }
    harness.run();
}

/// Turns a ring's gap with the arrow keys, five degrees at a press, or gives
/// it back to the rule.
fn turn_gap(harness: &mut Tested, gap: &str, to: Option<f64>) {
    let Some(to) = to else {
        let by_the_rule = format!("{gap} by the rule");
        let is_button = |label: String| label.to_lowercase() == by_the_rule;
        harness
            .get_by(|node| node.role() == Role::Button && node.label().is_some_and(is_button))
            .click_accesskit();
        harness.run();
        return;
    };
    let begins = format!("Gap of the {gap}, ");
    let hold = |harness: &Tested| {
        let is_hold = |label: String| label.starts_with(&begins);
        let hold = harness.get_by(|node| node.role() == Role::Slider && node.label().is_some_and(is_hold));
        hold.focus();
        hold.accesskit_node().numeric_value().expect("where it stands")
    };
    let by = ((to - hold(harness)) / 5.0).round();
    harness.run();
    for _ in 0..by.abs() as u32 {
        harness.key_press(if by < 0.0 { Press::ArrowLeft } else { Press::ArrowRight });
        harness.run();
    }
}

/// The key of a drawer; it stays open if it is.
fn open(harness: &mut Tested, shows: Shows) {
    let key = match shows {
        Shows::Section | Shows::Towers => Press::T,
        Shows::Figures => Press::F2,
        Shows::Effects => Press::F3,
        Shows::Readings => Press::F4,
        Shows::Shims => Press::F5,
        Shows::Rings => Press::F6,
    };
    harness.key_press(key);
    harness.run();
}

fn to_lesson(harness: &mut Tested) {
    if harness.query_by_role_and_label(Role::Button, "Leave").is_none() {
        harness.key_press(Press::F1);
        harness.run();
    }
}

/// Does by hand, in the window, what a lesson asks for or warns of.
fn by_hand(harness: &mut Tested, acts: &[Act]) {
    let number = |harness: &Tested, expr: &Expr, cylinder: usize| {
        let window = harness.state();
        let found = window.lesson().unwrap().number(expr, cylinder, window.crank_deg());
        found.expect("a value")
    };
    for act in acts {
        match act {
            Act::Set { whom, key, to } => {
                let here = harness.state().cylinder();
                let engine = &harness.state().shown_session().project().engine;
                let cylinders: Vec<usize> = match whom {
                    Whom::Chosen => vec![here],
                    Whom::Cylinder(i) => vec![*i],
                    Whom::UnderHead => engine.under_head(&engine.cylinders[here].head).collect(),
                    Whom::All => (0..engine.cylinders.len()).collect(),
                };
                for cylinder in cylinders {
                    let value = number(harness, to, cylinder);
                    choose(harness, cylinder);
                    let unit = key.kind().base_unit().symbol();
                    let name = field_of(harness, *key).expect("the field of a dimension");
                    type_into(harness, name, &format!("{value:.6} {unit}"));
                }
                choose(harness, here);
            }
            Act::Turn(angle) => {
                let cylinder = harness.state().cylinder();
                let angle = number(harness, angle, cylinder);
                turn(harness, angle);
            }
            Act::Choose(cylinder) => choose(harness, *cylinder),
            Act::Open(shows) => open(harness, *shows),
            Act::Enter { key, at, to } => {
                let value = number(harness, to, harness.state().cylinder());
                open(harness, Shows::Readings);
                let short = || key.row().short.to_owned();
                let begins = at.as_ref().map_or_else(short, |place| place.name().into_owned());
                let is_next = |name: &String| name.starts_with(&begins) && name.ends_with(", next value");
                let fields = harness.query_all_by_role(Role::TextInput);
                let next = fields.filter_map(|node| node.accesskit_node().label()).find(is_next);
                type_into(harness, &next.expect("a field for the reading"), &format!("{value:.6}"));
                harness.key_press(Press::F1);
                harness.run();
            }
            Act::Strike(_) => {
                open(harness, Shows::Readings);
                harness.get_by_role_and_label(Role::TextInput, "Reason").focus();
                harness.run();
                harness.key_press(Press::Enter);
                harness.run();
                harness.key_press(Press::F1);
                harness.run();
            }
            Act::FileRing { ring, to } => {
                let value = number(harness, to, harness.state().cylinder());
                let title = harness.state().shown_session().project().rings[*ring].title();
                open(harness, Shows::Rings);
                harness.get_by_role_and_label(Role::TextInput, &format!("{title}, filed")).focus();
                harness.run();
                harness.key_press_modifiers(Modifiers::COMMAND, Press::A);
                harness.event(Event::Text(format!("{value:.3} mm")));
                harness.run();
                harness.key_press(Press::Enter);
                harness.run();
                harness.key_press(Press::F1);
                harness.run();
            }
            Act::TurnGap { gap, to } => {
                let to = to.as_ref().map(|to| number(harness, to, harness.state().cylinder()));
                open(harness, Shows::Rings);
                turn_gap(harness, &gap.name(), to);
                harness.key_press(Press::F1);
                harness.run();
            }
        }
    }
}

/// Leaves the lesson and goes on with it: the step begins anew.
fn anew(harness: &mut Tested) {
    let step = harness.state().lesson().expect("a lesson").run().step();
    to_lesson(harness);
    click(harness, "Leave");
    let button = if step == 0 { "Begin".to_owned() } else { format!("Go on at step {}", step + 1) };
    click(harness, &button);
}

/// The button that goes on.
fn on(harness: &Tested) -> &'static str {
    if harness.state().lesson().expect("a lesson").run().is_last() { "Finish" } else { "Next" }
}

fn press_on(harness: &mut Tested) {
    click(harness, on(harness));
}

fn fits_its_place(harness: &Tested, at: &str) {
    let over = harness.state().lesson_overflow();
    assert!(over <= 0.5, "{at}: {over} points too long in a window of {:?}", harness.ctx.content_rect());
}

/// Plays the step that is open. With `wrong_turns`, every wrong choice and
/// every typical mistake comes first, and a task is done by hand; else it is
/// done as the lesson itself shows it.
fn play_step(harness: &mut Tested, wrong_turns: bool) {
    let playing = harness.state().lesson().expect("a lesson");
    let at = format!("{}, step {}", playing.run().lesson().id, playing.run().step() + 1);
    let step = playing.run().now().expect("a step").clone();
    let said = playing.said().clone();
    assert!(says(harness, &said.title), "{at}: its title");
    for words in &said.says {
        assert!(!words.contains(['{', '}', '–']), "{at}: {words}");
        assert!(says(harness, words), "{at}: {words}");
    }
    let flags = step.look.iter().zip(&said.flags).filter(|(_, words)| !words.is_empty());
    for ((place, _), words) in flags {
        assert!(!matches!(place, ScreenPlace::Area(_)), "{at}: a panel bears no flag");
        assert!(says(harness, &format!(": {words}")), "{at}: the flag ‘{words}’ has no place on the drawing");
    }
    for (place, _) in &step.look {
        if let ScreenPlace::Dimension(key) = place {
            assert!(field_of(harness, *key).is_some(), "{at}: {key} is not in the list");
        }
    }
    match &step.task {
        Task::Read => {}
        Task::Ask(question) => {
            let may_go_on = |harness: &Tested| harness.state().lesson().unwrap().run().may_go_on();
            let order = question.choices.iter().enumerate().filter(|(_, c)| wrong_turns && !c.right);
            let right = question.choices.iter().position(|c| c.right).expect("a right one");
            for wrong in order.map(|(i, _)| i) {
                let words = said.choices.get(wrong).unwrap().0.clone();
                click(harness, &words);
                assert!(!may_go_on(harness), "{at}: ‘{words}’ is not right");
                let answer = harness.state().lesson().unwrap().said().choices.get(wrong).unwrap().1.clone();
                assert!(says(harness, &answer.expect("an answer")), "{at}");
                fits_its_place(harness, &at);
            }
            click(harness, &said.choices.get(right).unwrap().0);
            assert!(may_go_on(harness), "{at}");
        }
        Task::Todo(todo) => {
            let on = harness.get_by_role_and_label(Role::Button, on(harness));
            assert!(on.accesskit_node().is_disabled(), "{at}");
            click(harness, "Hint");
            fits_its_place(harness, &format!("{at}, with its hint"));
            for (number, wrong) in todo.wrong.iter().enumerate().filter(|_| wrong_turns) {
                let at = format!("{at}, wrong {}", number + 1);
                by_hand(harness, &wrong.by);
                let told = harness.state().lesson().unwrap().said().wrong.clone();
                assert!(told.as_ref().is_some_and(|told| says(harness, told)), "{at}: {told:?}");
                assert!(!harness.state().lesson().unwrap().run().is_done(), "{at}");
                to_lesson(harness);
                fits_its_place(harness, &at);
                anew(harness);
            }
            if wrong_turns {
                by_hand(harness, &todo.show);
                to_lesson(harness);
            } else {
                click(harness, "Show me");
                to_lesson(harness);
            }
            assert!(harness.state().lesson().unwrap().run().is_done(), "{at}: it is done");
            harness.run();
        }
    }
    fits_its_place(harness, &at);
}

/// Every lesson to its end, every wrong choice on the way; the person's own
/// project, its history and its file are as before.
#[test]
fn every_lesson_is_played_to_its_end_and_the_own_project_is_not_touched() {
    let mut harness = window_on(vec2(1280.0, 720.0), 1.0, None);
    let own = harness.state().session().project().clone();
    let revision = harness.state().session().history().revision();
    for lesson in book() {
        begin(&mut harness, &lesson.title);
        for step in 0..lesson.steps.len() {
            assert_eq!(harness.state().lesson().expect("a lesson").run().step(), step, "{}", lesson.id);
            play_step(&mut harness, true);
            press_on(&mut harness);
        }
        assert!(harness.state().lesson().is_none(), "{}", lesson.id);
        assert_eq!(harness.state().progress().of(&lesson.id).map(|mark| mark.finished), Some(true));
    }
    assert_eq!(*harness.state().session().project(), own);
    assert_eq!(harness.state().session().history().revision(), revision);
    assert!(!harness.state().session().history().is_changed());
}

/// At 200 % a screen of 2560×1440 dots has as much room as one of 1280×720;
/// and the usual window has larger letters.
#[test]
fn no_step_is_longer_than_its_place_at_double_scale_and_in_the_usual_window() {
    for (size, density) in
        [(vec2(1280.0, 720.0), 2.0), (vec2(1440.0, 900.0), 1.0), (vec2(1920.0, 1080.0), 1.0)]
    {
        let mut harness = window_on(size, density, None);
        for lesson in book() {
            begin(&mut harness, &lesson.title);
            for _ in 0..lesson.steps.len() {
                play_step(&mut harness, false);
                press_on(&mut harness);
            }
        }
    }
}

/// A wrong turn is answered, the right one is noticed, a lesson is left and
/// gone on with, and undo works on the copy alone.
#[test]
fn a_wrong_turn_is_answered_and_a_lesson_can_be_left_and_gone_on_with() {
    let mut harness = window_on(vec2(1280.0, 720.0), 1.0, None);
    type_into(&mut harness, "Bore", "80 mm");
    let own = harness.state().session().project().clone();
    let lesson = book().iter().find(|lesson| lesson.id == "deck-height").expect("the first lesson");
    begin(&mut harness, &lesson.title);
    for _ in 0..2 {
        play_step(&mut harness, false);
        click(&mut harness, "Next");
    }
    // The shim's step: thinner is answered, thicker by as much is right.
    type_into(&mut harness, "Base shim", "0.05 mm");
    let wrong = harness.state().lesson().unwrap().said().wrong.clone().expect("an answer to a thinner shim");
    assert!(says(&harness, &wrong), "{wrong}");
    undo(&mut harness);
    assert_eq!(harness.state().lesson().unwrap().said().wrong, None, "undo puts the copy back");
    click(&mut harness, "Hint");
    assert!(says(&harness, &harness.state().lesson().unwrap().said().hint.clone()));
    click(&mut harness, "Leave");
    assert_eq!(*harness.state().session().project(), own);
    assert!(says(&harness, "Go on at step 3"));
    click(&mut harness, "Go on at step 3");
    assert_eq!(harness.state().lesson().unwrap().run().step(), 2);
    click(&mut harness, "Leave");
    undo(&mut harness);
    assert!(!harness.state().session().history().is_changed(), "undo is the person's own again");
}
