//! The lessons, played through the real window to their ends, with wrong
//! turns on the way.
#![expect(clippy::expect_used, clippy::unwrap_used, reason = "a test fails by panicking")]

use crowndeck::app::Window;
use crowndeck::lesson::{Place, Task, book};
use egui::accesskit::Role;
use egui::{Event, Key as Press, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn window(size: Vec2, density: f32) -> Harness<'static, Window> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(density)
        .with_step_dt(0.02)
        .with_max_steps(20)
        .build_eframe(|cc| Window::new(cc, None));
    harness.run();
    harness
}

/// All text that the accessibility tree carries.
fn screen_says(harness: &Harness<'_, Window>, words: &str) -> bool {
    let says = |text: Option<String>| text.is_some_and(|text| text.contains(words));
    harness.query_all(egui_kittest::kittest::by().predicate(|_| true)).any(|node| {
        let data = node.accesskit_node();
        says(data.label()) || says(data.value())
    })
}

fn press(harness: &mut Harness<'_, Window>, button: &str) {
    harness.get_by_role_and_label(Role::Button, button).click();
    harness.run();
}

fn type_into(harness: &mut Harness<'_, Window>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).focus();
    harness.run();
    harness.event(Event::Text(text.into()));
    harness.run();
    harness.key_press(Press::Enter);
    harness.run();
}

fn undo(harness: &mut Harness<'_, Window>) {
    let is_undo = |label: String| label.starts_with("Undo: ");
    harness.get_by(|node| node.role() == Role::Button && node.label().is_some_and(is_undo)).click();
    harness.run();
}

fn begin(harness: &mut Harness<'_, Window>, title: &str) {
    if !screen_says(harness, &format!("Lesson: {title}")) {
        harness.key_press(Press::F1);
        harness.run();
    }
    let row = harness.get_by(|node| {
        node.role() == Role::Button
            && node.label().is_some_and(|l| l.starts_with(&format!("Lesson: {title}")))
    });
    row.click();
    harness.run();
    press(harness, "Begin");
}

/// Plays the step that is open: every wrong choice first, then the right one;
/// a task as the lesson itself shows it.
fn play_step(harness: &mut Harness<'_, Window>) {
    let playing = harness.state().lesson().expect("a lesson");
    let at = format!("{}, step {}", playing.run().lesson().id, playing.run().step() + 1);
    let step = playing.run().now().expect("a step").clone();
    let said = playing.said().clone();
    assert!(screen_says(harness, &said.title), "{at}: its title");
    for words in &said.says {
        assert!(!words.contains(['{', '}']), "{at}: {words}");
        assert!(screen_says(harness, words), "{at}: {words}");
    }
    let flags = step.look.iter().zip(&said.flags).filter(|(_, words)| !words.is_empty());
    for ((place, _), words) in flags {
        assert!(!matches!(place, Place::Panel(_)), "{at}: a panel bears no flag");
        assert!(
            screen_says(harness, &format!(": {words}")),
            "{at}: the flag ‘{words}’ has no place on the drawing"
        );
    }
    match &step.task {
        Task::Read => {}
        Task::Ask(question) => {
            let may_go_on =
                |harness: &Harness<'_, Window>| harness.state().lesson().unwrap().run().may_go_on();
            let order = question.choices.iter().enumerate().filter(|(_, c)| !c.right);
            let right = question.choices.iter().position(|c| c.right).expect("a right one");
            for wrong in order.map(|(i, _)| i) {
                let words = said.choices.get(wrong).unwrap().0.clone();
                press(harness, &words);
                assert!(!may_go_on(harness), "{at}: ‘{words}’ is not right");
                let answer = harness.state().lesson().unwrap().said().choices.get(wrong).unwrap().1.clone();
                assert!(screen_says(harness, &answer.expect("an answer")), "{at}");
            }
            press(harness, &said.choices.get(right).unwrap().0);
            assert!(may_go_on(harness), "{at}");
        }
        Task::Todo(_) => {
            assert!(
                harness.get_by_role_and_label(Role::Button, "Next").accesskit_node().is_disabled(),
                "{at}"
            );
            press(harness, "Show me");
            assert!(harness.state().lesson().unwrap().run().is_done(), "{at}: what is shown does it");
        }
    }
    assert!(harness.state().lesson_overflow() <= 0.5, "{at}: {} too long", harness.state().lesson_overflow());
}

/// Every lesson to its end, every wrong choice on the way; the person's own
/// project, its history and its file are as before.
#[test]
fn every_lesson_is_played_to_its_end_and_the_own_project_is_not_touched() {
    let mut harness = window(vec2(1280.0, 720.0), 1.0);
    let own = harness.state().session().project().clone();
    let revision = harness.state().session().history().revision();
    for lesson in book() {
        begin(&mut harness, &lesson.title);
        for step in 0..lesson.steps.len() {
            assert_eq!(harness.state().lesson().expect("a lesson").run().step(), step, "{}", lesson.id);
            play_step(&mut harness);
            press(&mut harness, if step + 1 == lesson.steps.len() { "Finish" } else { "Next" });
        }
        assert!(harness.state().lesson().is_none(), "{}", lesson.id);
        assert_eq!(harness.state().progress().of(&lesson.id).map(|mark| mark.finished), Some(true));
    }
    assert_eq!(*harness.state().session().project(), own);
    assert_eq!(harness.state().session().history().revision(), revision);
    assert!(!harness.state().session().history().is_changed());
}

/// A wrong turn is answered, the right one is noticed, a lesson is left and
/// gone on with, and undo works on the copy alone.
#[test]
fn a_wrong_turn_is_answered_and_a_lesson_can_be_left_and_gone_on_with() {
    let mut harness = window(vec2(1280.0, 720.0), 1.0);
    type_into(&mut harness, "Bore", "80 mm");
    let own = harness.state().session().project().clone();
    let lesson = book().iter().find(|lesson| lesson.id == "deck-height").expect("the first lesson");
    begin(&mut harness, &lesson.title);
    for _ in 0..2 {
        play_step(&mut harness);
        press(&mut harness, "Next");
    }
    // The shim's step: thinner is answered, thicker by as much is right.
    type_into(&mut harness, "Base shim", "0.05 mm");
    let wrong = harness.state().lesson().unwrap().said().wrong.clone().expect("an answer to a thinner shim");
    assert!(screen_says(&harness, &wrong), "{wrong}");
    undo(&mut harness);
    assert_eq!(harness.state().lesson().unwrap().said().wrong, None, "undo puts the copy back");
    press(&mut harness, "Hint");
    assert!(screen_says(&harness, &harness.state().lesson().unwrap().said().hint.clone()));
    press(&mut harness, "Leave");
    assert_eq!(*harness.state().session().project(), own);
    assert!(screen_says(&harness, "Go on at step 3"));
    press(&mut harness, "Go on at step 3");
    assert_eq!(harness.state().lesson().unwrap().run().step(), 2);
    press(&mut harness, "Leave");
    undo(&mut harness);
    assert!(!harness.state().session().history().is_changed(), "undo is the person's own again");
}
