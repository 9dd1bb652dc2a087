//! The ring card for the bench wall: every ring of every cylinder on one
//! page, wanted, read, to file, with room to write; and where the gaps start.

use crate::advise::rings::{GapPlace, RingStudy, Role, Verdict, clock, way_up_in_short};
use crate::quantity::{Kind, Quantity, write};
use crate::sheet::binder::Context;
use crate::sheet::flow::{Figure, Item, Sheet};
use crate::sheet::ring_card_picture::{most, ring_card_picture};
use crate::sheet::table::{Cell, Column, Table};
use crate::study::cautions::Decision;
use kurbo::Size;

const LEAD: &str = "Each ring is measured and filed in its own bore, square, at the least worn place, and never past what \
    is wanted. The ring maker's sheet comes first. In the plan the gaps are drawn wide.";
/// The least height of the pictures, mm.
const LEAST: f64 = 50.0;

pub(crate) fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
    let c = *c;
    let study = c.project.ring_study();
    let mut items: Vec<Item<'a>> =
        study.faults.iter().map(|fault| Item::Text(fault.sentence(&c.units))).collect();
    if !study.rings.is_empty() {
        items.push(Item::Table(card(&c, &study)));
    }
    if !c.project.rings.is_empty() {
        items.push(Item::Table(set(&c, &study)));
    }
    items.extend(study.warnings.iter().map(|warning| Item::Text(warning.sentence())));
    items.push(Item::Cautions(c.beside(&[Decision::Rings])));
    // Last, so that it takes what room is left of the one page.
    if !study.rings.is_empty() {
        let draw = Box::new(move |room: Size| ring_card_picture(c.project, &study, c.cylinder, room));
        items.push(Item::Figure(Figure { least: LEAST, most: most(c.project), draw }));
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
            Column::number("To file", "mm"),
            Column::number("First stop", "mm"),
            Column::pen("Filed", 19.0),
            Column::pen("Final", 19.0),
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
            let stop = match gap.verdict {
                Verdict::File { next, .. } => cell(Some(next.stop_at_mm)),
                _ => Cell::text(""),
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
                to_file,
                stop,
                cell(gap.stages.filed_mm),
                cell(gap.stages.final_mm),
            ]);
        }
    }
    table
}

/// The rings of one piston: what is the same in every bore.
fn set(c: &Context<'_>, study: &RingStudy) -> Table {
    let mut table = Table::new(
        "The rings of one piston; angles clockwise from the front end of the pin, seen from above",
        "Of each ring what it is made of, where its gap starts in degrees and by the clock, side and back clearance, and \
         which way up it goes",
        [
            Column::left("Ring"),
            Column::left("Made of"),
            Column::left("Gap starts at").growing(),
            Column::number("Side", "mm"),
            Column::number("Back", "mm"),
            Column::left("Which way up"),
        ],
    );
    let roles = study.asked.roles();
    for (index, ring) in c.project.rings.iter().enumerate() {
        let place = |place: &GapPlace| {
            let part = match place.role {
                Role::UpperRail => "upper ",
                Role::LowerRail => "lower ",
                Role::Expander => "expander ",
                Role::Compression(_) | Role::OilRing => "",
            };
            let pegged = if place.pegged { ", pegged" } else { "" };
            format!("{part}{:.0}° ({}){pegged}", place.angle_deg, clock(place.angle_deg))
        };
        let is_its = |place: &&GapPlace| roles.iter().any(|(of, role)| *of == index && *role == place.role);
        let places: Vec<String> = study.places.iter().filter(is_its).map(place).collect();
        let length = |value: Option<&Quantity>| match value.map(Quantity::base) {
            Some(mm) => Cell::text(write(Kind::Length, mm, None, &c.units).to_string()).of(mm),
            None => Cell::text("–"),
        };
        let which = study.asked.which.get(index).copied();
        let words = format!("{} {}", ring.name, ring.material);
        table.row([
            Cell::strong(format!("{} {}", index + 1, ring.title())),
            Cell::text(ring.material.clone()),
            Cell::text(if places.is_empty() { "its peg says where".to_owned() } else { places.join(", ") }),
            length(ring.side_clearance.as_ref()),
            length(ring.back_clearance.as_ref()),
            Cell::text(which.map_or("", |which| way_up_in_short(which, &words))),
        ]);
    }
    table
}
