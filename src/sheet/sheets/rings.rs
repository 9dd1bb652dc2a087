//! The ring card for the bench wall: every ring of every cylinder on one
//! page, wanted, read, to file, with room to write; and where the gaps start.

use crate::drawing::pens::Pens;
use crate::drawing::rings::plan::{Dial, plan};
use crate::quantity::{Kind, write};
use crate::sheet::binder::Context;
use crate::sheet::flow::{Drawn, Figure, Item, Sheet};
use crate::sheet::ring_picture::{plan_input, plan_words};
use crate::sheet::table::{Cell, Column, Table};
use crate::study::cautions::Decision;
use crate::study::rings::{RingStudy, Verdict, clock};
use kurbo::{Rect, Size};

const LEAD: &str = "Each ring is measured and filed in its own bore, square, at the least worn place, and never past what \
    is wanted. The ring maker's sheet comes first. In the plan the gaps are drawn wide.";
/// The side of the plan, mm.
const PLAN: f64 = 78.0;
/// The same where the page is short.
const LEAST: f64 = 50.0;

pub fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
    let c = *c;
    let study = c.project.ring_study();
    let mut items: Vec<Item<'a>> =
        study.faults.iter().map(|fault| Item::Text(fault.sentence(&c.units))).collect();
    if !study.rings.is_empty() {
        items.push(Item::Table(card(&c, &study)));
    }
    if !study.places.is_empty() {
        items.push(Item::Table(places(&study)));
        for warning in &study.warnings {
            items.push(Item::Text(warning.sentence()));
        }
    }
    items.push(Item::Cautions(c.beside(&[Decision::Rings])));
    // Last, so that it takes what room is left of the one page.
    let drawn = plan_input(c.project, &study, c.cylinder, None, Dial::Clock);
    if drawn.is_some_and(|input| !input.gaps.is_empty()) {
        let draw = Box::new(move |room: Size| picture(&c, &study, room));
        items.push(Item::Figure(Figure { least: LEAST, most: PLAN, draw }));
    }
    Sheet {
        title: "Ring card".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "For the bench wall",
        scale: String::new(),
        items,
    }
}

/// The bore from above; gaps are drawn wide, so that it has no scale.
fn picture(c: &Context<'_>, study: &RingStudy, room: Size) -> Drawn {
    let side = PLAN.min(room.width).min(room.height);
    let left = (room.width - side) / 2.0;
    let list = plan_input(c.project, study, c.cylinder, None, Dial::Clock)
        .map(|input| plan(&input, Rect::new(left, 0.0, left + side, side), &Pens::PAPER).list);
    Drawn { alt: plan_words(study), list: list.unwrap_or_default(), height: side, scale: String::new() }
}

/// Rings of all cylinders.
fn card(c: &Context<'_>, study: &RingStudy) -> Table {
    let mut table = Table::new(
        "Gaps",
        "The end gap of every ring in every cylinder: wanted, as delivered, to file, filed and final",
        [
            Column::left("Cylinder"),
            Column::left("Ring").growing(),
            Column::number("Bore", "mm"),
            Column::number("Wanted", "mm"),
            Column::number("Delivered", "mm"),
            Column::number("Filed", "mm"),
            Column::number("To file", "mm"),
            Column::pen("Final", 20.0),
        ],
    );
    let cell = |mm: Option<f64>| match mm {
        Some(mm) => Cell::text(write(Kind::Length, mm, None, &c.units).to_string()).of(mm),
        None => Cell::text(""),
    };
    let bores = study.rings.first().map_or(0, |ring| ring.gaps.len());
    for place in 0..bores {
        for (index, answer) in study.rings.iter().enumerate() {
            let (Some(gap), Some(ring)) = (answer.gaps.get(place), c.project.rings.get(index)) else {
                continue;
            };
            let to_file = match gap.verdict {
                Verdict::File { remove_mm, .. } => cell(Some(remove_mm)),
                Verdict::Leave { .. } => Cell::text("leave"),
                Verdict::Unmeasured => Cell::text("measure"),
                Verdict::TooTight { .. } => Cell::strong("too tight"),
                Verdict::TooWide { .. } => Cell::strong("too wide"),
            };
            table.row([
                Cell::strong(if index == 0 { gap.cylinder.as_str() } else { "" }),
                Cell::text(ring.title()),
                cell((index == 0).then_some(gap.bore_mm)),
                cell(Some(gap.wanted_mm)),
                cell(gap.stages.delivered_mm),
                cell(gap.stages.filed_mm),
                to_file,
                cell(gap.stages.final_mm),
            ]);
        }
    }
    table
}

/// Where the gaps start.
fn places(study: &RingStudy) -> Table {
    let mut table = Table::new(
        "Where the gaps start, clockwise from the front end of the pin, seen from above",
        "The place of every gap around the bore, in degrees and by the clock",
        [Column::left("Gap").growing(), Column::number("Degrees", "°"), Column::right("Clock")],
    );
    for place in &study.places {
        let pegged = if place.pegged { ", pegged" } else { "" };
        table.row([
            Cell::text(format!("{}{pegged}", place.role.name())),
            Cell::text(format!("{:.0}°", place.angle_deg)).of(place.angle_deg),
            Cell::text(clock(place.angle_deg)),
        ]);
    }
    table
}
