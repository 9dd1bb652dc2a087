//! `crowndeck figures`.

use super::args::FiguresArgs;
use super::failure::Failure;
use super::input::{Input, Reader, solved};
use super::json;
use super::output::{TextTable, print};
use crate::engine::Key;
use crate::quantity::{Kind, UnitChoice, write};
use crate::schema::Usage;
use crate::study::cautions::{self, Decision};
use crate::study::{Answers, Judgement, Solved, Subject, curves, words};

/// Answers `figures`.
///
/// # Errors
/// Faults of the engine, the file or the call.
pub(super) fn run(args: &FiguresArgs) -> Result<(), Failure> {
    let input = Input::of(&args.source, Reader::of(args.json))?;
    let chosen = match &args.cylinder {
        Some(label) => vec![input.cylinder(label)?],
        None => (0..input.question.cylinders.len()).collect(),
    };
    let answers = input.answers()?;
    let text = if args.json {
        as_json(&input, &answers, &chosen, &args.at)?
    } else {
        as_text(&input, &answers, &chosen, &args.at)?
    };
    print(&text, Reader::of(args.json))
}

fn labels(input: &Input, index: usize) -> (&str, &str) {
    let cylinder = input.question.cylinders.get(index);
    let head = cylinder.and_then(|c| input.question.heads.get(c.head));
    (cylinder.map_or("", |c| c.label.as_str()), head.map_or("", |h| h.label.as_str()))
}

fn as_json(input: &Input, answers: &Answers, chosen: &[usize], at: &[f64]) -> Result<String, Failure> {
    let mut cylinders = Vec::new();
    for &index in chosen {
        let (label, head) = labels(input, index);
        let warnings = answers.warnings(index, &input.units);
        cylinders.push(json::Cylinder::of(label, head, &solved(answers, index)?.engine, at, warnings));
    }
    json::text(&json::Figures {
        format: json::FORMAT,
        project: input.title.clone(),
        usage: input.usage.map(Usage::id),
        cylinders,
    })
}

fn as_text(input: &Input, answers: &Answers, chosen: &[usize], at: &[f64]) -> Result<String, Failure> {
    let units = &input.units;
    let mut rows = Vec::new();
    for &index in chosen {
        rows.push((index, solved(answers, index)?));
    }
    let usage = input.usage.map_or_else(String::new, |usage| format!("Use: {}\n", usage.name()));
    let mut text = format!("{}\n{usage}\n", input.title);
    text.push_str(&headline(input, &rows));
    text.push('\n');
    text.push_str(&mechanism(input, &rows));
    for &angle in at {
        text.push_str(&format!("\n{}\n", angle_title(angle)));
        text.push_str(&at_angle(input, &rows, angle));
    }
    let judged = judged_rows(input, answers, chosen);
    if !judged.is_empty() {
        text.push_str("\nLimits\n");
        text.push_str(&limits(input, &judged, units));
    }
    let looked: Vec<(usize, String)> = chosen
        .iter()
        .flat_map(|&i| answers.to_look_at(i, units).into_iter().map(move |text| (i, text)))
        .collect();
    let slips = grouped(input, looked.iter().map(|(i, text)| (*i, text.as_str())));
    if !slips.is_empty() {
        text.push_str("\nTo look at\n");
        text.push_str(&slips);
    }
    text.push_str("\nCautions\n");
    let of_figures = rows.iter().flat_map(|(i, s)| s.cautions.iter().map(move |c| (*i, c.text)));
    text.push_str(&grouped(input, of_figures));
    let general = cautions::cautions_for(Decision::Record, &input.question.build, None);
    for caution in general.iter().filter(|c| c.id == "measure_again" || c.id == "no_certified_use") {
        text.push_str(&format!("  {}\n", caution.text));
    }
    Ok(text)
}

/// The number of a value in the user's unit.
fn number(kind: Kind, base: f64, units: &UnitChoice) -> String {
    write(kind, base, None, units).number
}

/// A heading with its unit, over a column that is aligned to the right.
fn heading(name: &str, kind: Kind, units: &UnitChoice) -> String {
    format!(">{name}, {}", units.unit(kind).symbol())
}

fn headline(input: &Input, rows: &[(usize, &Solved)]) -> String {
    let units = &input.units;
    let trapped = rows.iter().any(|(_, s)| s.engine.dims().get(Key::PortClosing).is_some());
    let effective = if trapped { ">Trapped ratio" } else { ">Effective ratio" };
    let headings = [
        "Cylinder".to_owned(),
        "Head".to_owned(),
        ">Deck clearance".to_owned(),
        heading("Squish", Kind::Length, units),
        heading("Swept", Kind::Volume, units),
        heading("Clearance", Kind::Volume, units),
        ">Static ratio".to_owned(),
        effective.to_owned(),
    ];
    let mut table = TextTable::new(headings.iter().map(String::as_str));
    for (index, solved) in rows {
        let f = solved.engine.figures();
        let (label, head) = labels(input, *index);
        table.row([
            label.to_owned(),
            head.to_owned(),
            words::gap(f.deck_clearance, None, units),
            number(Kind::Length, f.squish_clearance, units),
            number(Kind::Volume, f.swept, units),
            number(Kind::Volume, f.clearance_volume, units),
            words::plain(f.static_ratio, 2),
            f.effective_ratio.map_or_else(|| "–".to_owned(), |r| words::plain(r, 2)),
        ]);
    }
    table.text()
}

fn mechanism(input: &Input, rows: &[(usize, &Solved)]) -> String {
    let units = &input.units;
    let headings = [
        "Cylinder".to_owned(),
        heading("True stroke", Kind::Length, units),
        ">Rod ratio".to_owned(),
        ">Top dead centre at".to_owned(),
        ">Bottom dead centre at".to_owned(),
    ];
    let mut table = TextTable::new(headings.iter().map(String::as_str));
    for (index, solved) in rows {
        let f = solved.engine.figures();
        let degrees = |radians: f64| format!("{}°", words::plain(radians.to_degrees(), 2));
        table.row([
            labels(input, *index).0.to_owned(),
            number(Kind::Length, f.crank.true_stroke(), units),
            words::plain(f.rod_ratio, 2),
            degrees(f.crank.theta_top()),
            degrees(f.crank.theta_bottom()),
        ]);
    }
    format!("Crank angles from the bore axis\n{}", table.text())
}

fn angle_title(angle: f64) -> String {
    let size = words::plain(angle.abs(), 2);
    let size = size.trim_end_matches('0').trim_end_matches('.');
    match angle {
        a if a > 0.0 => format!("{size}° after top dead centre"),
        a if a < 0.0 => format!("{size}° before top dead centre"),
        _ => "At top dead centre".to_owned(),
    }
}

fn at_angle(input: &Input, rows: &[(usize, &Solved)], angle: f64) -> String {
    let units = &input.units;
    let headings = [
        "Cylinder".to_owned(),
        heading("Below the top", Kind::Length, units),
        heading("Volume", Kind::Volume, units),
        ">Ratio so far".to_owned(),
        ">Velocity, mm/rad".to_owned(),
        ">Acceleration, mm/rad²".to_owned(),
    ];
    let mut table = TextTable::new(headings.iter().map(String::as_str));
    for (index, solved) in rows {
        let point = curves::at(&solved.engine, angle);
        table.row([
            labels(input, *index).0.to_owned(),
            number(Kind::Length, point.position_mm, units),
            number(Kind::Volume, point.volume_cc, units),
            words::plain(point.ratio, 3),
            words::plain(point.velocity_mm_per_rad, 2),
            words::plain(point.acceleration_mm_per_rad2, 2),
        ]);
    }
    table.text()
}

/// What was judged of the chosen cylinders, of the heads over them and, where
/// all are shown, of the engine; the worst first.
fn judged_rows<'a>(input: &Input, answers: &'a Answers, chosen: &[usize]) -> Vec<&'a Judgement> {
    let all = chosen.len() == input.question.cylinders.len();
    let over =
        |head: usize| chosen.iter().any(|&i| input.question.cylinders.get(i).is_some_and(|c| c.head == head));
    let shown = |j: &&Judgement| match j.subject {
        Subject::Engine => all,
        Subject::Head(head) => over(head),
        Subject::Cylinder(index) => chosen.contains(&index),
    };
    let mut rows: Vec<&Judgement> = answers.judged().filter(shown).collect();
    rows.sort_by_key(|j| std::cmp::Reverse(j.verdict.severity()));
    rows
}

fn limits(input: &Input, rows: &[&Judgement], units: &UnitChoice) -> String {
    let mut lines: Vec<(Vec<Subject>, [String; 5])> = Vec::new();
    for judged in rows {
        let cells = [
            judged.what.name().to_owned(),
            judged.value_text(units),
            judged.long_verdict(units),
            judged.limit_text(units),
            judged.source.clone(),
        ];
        match lines.iter_mut().find(|(_, of)| *of == cells) {
            Some((subjects, _)) => subjects.push(judged.subject),
            None => lines.push((vec![judged.subject], cells)),
        }
    }
    let mut table = TextTable::new(["Figure", "Of", "Value", "Verdict", "Limit", "Where it comes from"]);
    for (subjects, [name, value, verdict, limit, source]) in lines {
        table.row([name, input.subjects(&subjects), value, verdict, limit, source]);
    }
    table.text()
}

/// Texts about cylinders, each once with the cylinders that it is about.
fn grouped<'a>(input: &Input, texts: impl Iterator<Item = (usize, &'a str)>) -> String {
    let mut groups: Vec<(&str, Vec<usize>)> = Vec::new();
    for (index, text) in texts {
        match groups.iter_mut().find(|(of, _)| *of == text) {
            Some((_, cylinders)) => cylinders.push(index),
            None => groups.push((text, vec![index])),
        }
    }
    let all = input.question.cylinders.len();
    let line = |(text, cylinders): &(&str, Vec<usize>)| {
        if cylinders.len() == all {
            format!("  {text}\n")
        } else {
            let subjects: Vec<Subject> = cylinders.iter().map(|&i| Subject::Cylinder(i)).collect();
            format!("  {}: {text}\n", input.subjects(&subjects))
        }
    };
    groups.iter().map(line).collect()
}
