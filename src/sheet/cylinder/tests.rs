//! The pages of the demo engines.

use super::*;
use crate::drawing::page::{Block, Date};
use crate::engine::Key;
use crate::project::{Entry, demo, demos};
use crate::quantity::Quantity;
use crate::sheet::section_page::tests::{assert_nothing_collides, texts};
use crate::sheet::title_block::file_fingerprint;

fn stamp() -> Stamp {
    Stamp { date: Date::new(2026, 11, 25).unwrap(), author: "North bench".into() }
}

fn answers(project: &Project) -> Answers {
    Answers::to(&project.question())
}

fn page(project: &Project, answers: &Answers, cylinder: usize, paper: Paper) -> Result<Document, SheetError> {
    at(project, answers, cylinder, paper, 0.0)
}

fn at(
    project: &Project,
    answers: &Answers,
    cylinder: usize,
    paper: Paper,
    crank_deg: f64,
) -> Result<Document, SheetError> {
    let question = project.question();
    let units = project.units;
    cylinder_page(
        &Context { project, question: &question, answers, units, cylinder, crank_deg },
        paper,
        &stamp(),
    )
}

#[test]
fn at_every_crank_angle_nothing_collides_and_the_page_says_where_the_crank_stands() {
    for demo in demos() {
        let project = demo.project().unwrap();
        let answers = answers(&project);
        for (crank_deg, said) in [
            (20.0, "crank at 20.0°"),
            (90.0, "crank at 90.0°"),
            (-120.0, "crank at \u{2212}120.0°"),
            (180.0, "crank at 180.0°"),
        ] {
            for paper in [Paper::A4, Paper::Letter] {
                let document = at(&project, &answers, worst_cylinder(&answers), paper, crank_deg).unwrap();
                assert_nothing_collides(&document, paper);
                let says = texts(&document);
                for said in [said, "Figures at top dead centre"] {
                    assert!(says.iter().any(|text| text.ends_with(said)), "{}: {said}", demo.id);
                }
            }
        }
    }
}

#[test]
fn every_cylinder_of_every_demo_gets_a_page_on_which_nothing_collides() {
    for demo in demos() {
        let project = demo.project().unwrap();
        let answers = answers(&project);
        for paper in [Paper::A4, Paper::Letter] {
            let document = page(&project, &answers, worst_cylinder(&answers), paper).unwrap();
            assert_nothing_collides(&document, paper);
            assert!(crate::render::pdf::write(&document).is_ok(), "{}", demo.id);
        }
    }
}

#[test]
fn the_flat_twin_fits_one_page_and_says_what_it_is() {
    let project = demo();
    let answers = answers(&project);
    let document = page(&project, &answers, 0, Paper::A4).unwrap();
    assert_eq!(document.pages.len(), 1);
    let says = texts(&document);
    // Worked by hand: 97.1 + 0.5 + 88.6 = 186.2 mm of tower less
    // 31 + 118 + 36 = 185 mm of reach leaves 1.2 mm; with 0.8 mm of gasket 2.
    for words in ["1.20 mm below", "2.00 mm", "1:2 (5:1)", "80.01 mm", "118.00 mm", "2026-11-25", "1 / 1"] {
        assert!(says.iter().any(|text| text == words), "{words} is not on the page");
    }
    assert!(says.iter().any(|text| text.starts_with("Plugs out, by hand")));
    assert!(says.iter().any(|text| text.contains("no verdict until it is")));
    let figures = document.pages[0].blocks.iter().filter(|block| matches!(block, Block::Figure(..)));
    assert_eq!(figures.count(), 3, "section, crown edge, barrel foot");
}

#[test]
fn the_terms_on_the_page_sum_up_to_what_is_left() {
    let project = demo();
    let answers = answers(&project);
    let solved = answers.cylinders[0].solved().unwrap();
    let question = project.question();
    let teller = Teller {
        project: &project,
        question: &question,
        answers: &answers,
        cylinder: 0,
        solved,
        units: project.units,
    };
    let rows = teller.terms();
    let number = |text: &str| -> f64 {
        text.trim_end_matches(" cc").replace('\u{2212}', "-").trim_start_matches('+').parse().unwrap()
    };
    let (left, terms) = rows.split_last().unwrap();
    let sum: f64 = terms.iter().map(|row| number(&row.value)).sum();
    // Each is rounded to 0.1.
    assert!((sum - number(&left.value)).abs() < 0.05 * 6.0, "{sum} against {}", left.value);
    assert!(terms.iter().all(|row| !row.note.is_empty()));
}

#[test]
fn the_same_project_gives_the_same_page_and_another_its_own_mark() {
    let mut project = demo();
    let before = answers(&project);
    let made = |project: &Project| page(project, &before, 0, Paper::A4).unwrap();
    let first = made(&project);
    assert_eq!(first, made(&project));
    let mark = file_fingerprint(&project);
    assert_eq!(mark.len(), 9);
    project.notes.push('x');
    assert_ne!(file_fingerprint(&project), mark);
}

#[test]
fn what_cannot_be_drawn_is_told() {
    let mut project = demo();
    let value = Quantity::of(Kind::Length, 10.0).unwrap();
    let known = Provenance::Measured;
    for cylinder in &mut project.engine.cylinders {
        cylinder.own.set(Key::RodLength, Entry { value: value.clone(), known, note: String::new() });
    }
    let answers = answers(&project);
    let error = page(&project, &answers, 1, Paper::A4).unwrap_err();
    assert!(
        error.to_string().starts_with("cylinder 2 can't be drawn: rod_length (Rod length) 10 mm:"),
        "{error}"
    );
    let error = page(&project, &answers, 7, Paper::A4).unwrap_err();
    assert_eq!(error.to_string(), "the project has no cylinder number 8");
}

#[test]
fn typed_values_keep_their_unit_and_a_gap_its_words() {
    let length = |text: &str| Quantity::parse(Kind::Length, text).unwrap();
    assert_eq!(typed(Key::BaseShim, &length("43 thou")), "43 thou");
    assert_eq!(typed(Key::MockupDeck, &length("-0.1 mm")), "0.1 mm proud");
    assert_eq!(typed(Key::MockupDeck, &length("1.1 mm")), "1.1 mm below");
    assert_eq!(typed(Key::HeadStep, &length("-0.3 mm")), "\u{2212}0.3 mm");
    let angle = Quantity::parse(Kind::Angle, "40 deg").unwrap();
    assert_eq!(typed(Key::IntakeClosing, &angle), "40°");
}

#[test]
fn a_small_engine_keeps_its_figures() {
    let cc = UnitChoice::default();
    let written = |base: f64| write(Kind::Volume, base, Some(volume_decimals(base, &cc)), &cc).to_string();
    for (base, text) in [(44.13, "44.1 cc"), (9.876, "9.88 cc"), (0.6123, "0.612 cc"), (0.0, "0.000000 cc")] {
        assert_eq!(written(base), text);
    }
}
