//! The rings. The ring card for the bench wall: every ring of every cylinder on
//! one page, wanted, read, to file, with room to write; and where the gaps
//! start. Ring by ring: the same gaps with what is said about each.

use crate::advise::rings::{
    GapAnswer, GapPlace, RingAnswer, RingStudy, Role, SCHOOLS, Verdict, WhichRing, back_sentence, clock,
    second_sentence, side_sentence, way_up_in_short,
};
use crate::project::Project;
use crate::quantity::{Kind, Quantity, UnitChoice, write};
use crate::report::context::Context;
use crate::report::section::{Block, Note, Picture, Section};
use crate::report::table::{Cell, Column, Field, Table};
use crate::study::cautions::Decision;
use std::sync::Arc;

const LEAD: &str = "Each ring is measured and filed in its own bore, square, at the least worn place, and never past what \
    is wanted. The ring maker's sheet comes first. In the plan the gaps are drawn wide.";

pub(crate) fn section(c: &Context<'_>) -> Section {
    let study = c.project.ring_study();
    let mut blocks: Vec<Block> =
        study.faults.iter().map(|fault| Block::Paragraph(fault.sentence(&c.units))).collect();
    if !study.rings.is_empty() {
        blocks.push(Block::Table(card(c, &study)));
    }
    if !c.project.rings.is_empty() {
        blocks.push(Block::Table(set(c, &study)));
    }
    blocks.extend(study.warnings.iter().map(|warning| Block::Paragraph(warning.sentence())));
    blocks.push(Block::Notes(c.beside(&[Decision::Rings])));
    // Last, so that it takes what room is left of the one page.
    if !study.rings.is_empty() {
        blocks.push(Block::Picture(Picture::Rings(Arc::new(study))));
    }
    Section {
        title: "Ring card".to_owned(),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "For the bench wall",
        blocks,
    }
}

/// The gap of one ring in one cylinder, and the units to write it in.
struct Gap {
    ring: String,
    /// Whether it is the first ring of its cylinder, beside which the cylinder
    /// is named.
    first: bool,
    answer: GapAnswer,
    units: UnitChoice,
}

impl Gap {
    fn length(&self, mm: Option<f64>) -> Cell {
        mm.map_or_else(|| Cell::text(""), |mm| Cell::measure(Kind::Length, mm, &self.units))
    }

    fn to_file(&self) -> Cell {
        match self.answer.verdict {
            Verdict::File { remove_mm, .. } => self.length(Some(remove_mm)),
            Verdict::Leave { .. } => Cell::text("leave"),
            Verdict::Unmeasured => Cell::text("measure"),
            Verdict::TooTight { .. } => Cell::strong("too tight"),
            Verdict::TooWide { .. } => Cell::strong("too wide"),
        }
    }

    fn first_stop(&self) -> Cell {
        match self.answer.verdict {
            Verdict::File { next, .. } => self.length(Some(next.stop_at_mm)),
            _ => Cell::text(""),
        }
    }
}

fn length(head: &str) -> Column {
    Column::number(head, "mm").of_kind(Kind::Length)
}

// What is told of a gap, each column once.

const CYLINDER: Field<Gap> =
    Field { column: || Column::left("Cylinder"), cell: |gap| Cell::text(gap.answer.cylinder.as_str()) };
/// The same over several rings, named once.
const CYLINDER_ONCE: Field<Gap> = Field {
    column: || Column::left("Cylinder"),
    cell: |gap| Cell::strong(if gap.first { gap.answer.cylinder.as_str() } else { "" }),
};
const RING: Field<Gap> =
    Field { column: || Column::left("Ring").growing(), cell: |gap| Cell::text(gap.ring.as_str()) };
const BORE: Field<Gap> =
    Field { column: || length("Bore"), cell: |gap| gap.length(Some(gap.answer.bore_mm)) };
const BORE_ONCE: Field<Gap> =
    Field { column: || length("Bore"), cell: |gap| gap.length(gap.first.then_some(gap.answer.bore_mm)) };
const WANTED: Field<Gap> =
    Field { column: || length("Wanted"), cell: |gap| gap.length(Some(gap.answer.wanted_mm)) };
const DELIVERED: Field<Gap> =
    Field { column: || length("Delivered"), cell: |gap| gap.length(gap.answer.stages.delivered_mm) };
const FILED: Field<Gap> = Field {
    column: || Column::pen("Filed", 19.0).of_kind(Kind::Length),
    cell: |gap| gap.length(gap.answer.stages.filed_mm),
};
const FINAL: Field<Gap> = Field {
    column: || Column::pen("Final", 19.0).of_kind(Kind::Length),
    cell: |gap| gap.length(gap.answer.stages.final_mm),
};
const TO_FILE: Field<Gap> = Field { column: || length("To file"), cell: Gap::to_file };
const FIRST_STOP: Field<Gap> = Field { column: || length("First stop"), cell: Gap::first_stop };
const HOT: Field<Gap> = Field {
    column: || length("Hot"),
    cell: |gap| gap.length(gap.answer.hot.map(|hot| hot.gap_mm.unwrap_or(hot.wanted_mm))),
};
const CLOSES_AT: Field<Gap> = Field {
    column: || length("Closes at"),
    cell: |gap| gap.length(gap.answer.hot.map(|hot| hot.closes_at_mm.max(0.0))),
};
const VERDICT: Field<Gap> =
    Field { column: || Column::left(""), cell: |gap| Cell::text(gap.answer.sentence(&gap.units)) };

/// Returns the gaps of all rings, bore by bore.
fn card(c: &Context<'_>, study: &RingStudy) -> Table {
    let bores = study.rings.first().map_or(0, |ring| ring.gaps.len());
    let gaps = (0..bores).flat_map(|place| {
        study.rings.iter().zip(&c.project.rings).enumerate().filter_map(move |(index, (answer, ring))| {
            let answer = answer.gaps.get(place)?.clone();
            Some(Gap { ring: ring.title(), first: index == 0, answer, units: c.units })
        })
    });
    Table::of(
        "Gaps",
        "The end gap of every ring in every cylinder: wanted, as delivered, to file, filed and final",
        &[&CYLINDER_ONCE, &RING, &BORE_ONCE, &WANTED, &DELIVERED, &TO_FILE, &FIRST_STOP, &FILED, &FINAL],
        gaps,
    )
}

/// Returns the gaps of one ring in every bore, with what they are hot where
/// temperatures are assumed.
fn gaps(study: &RingStudy, answer: &RingAnswer, units: &UnitChoice) -> Table {
    let mut fields = vec![&CYLINDER, &BORE, &WANTED, &DELIVERED, &FILED, &FINAL, &TO_FILE];
    if study.heat.is_some() {
        fields.extend([&HOT, &CLOSES_AT]);
    }
    fields.push(&VERDICT);
    let gap =
        |gap: &GapAnswer| Gap { ring: answer.name.clone(), first: true, answer: gap.clone(), units: *units };
    Table::of("", "", &fields, answer.gaps.iter().map(gap))
}

/// Returns what is to be filed in the room of a number, and whether it warns.
pub(crate) fn to_file_in_short(gap: &GapAnswer, units: &UnitChoice) -> (String, bool) {
    if gap.may_be_short_mm().is_some() {
        return ("near".into(), false);
    }
    match gap.verdict {
        Verdict::Unmeasured => ("measure".into(), false),
        Verdict::File { remove_mm, .. } => (write(Kind::Length, remove_mm, None, units).number, false),
        Verdict::Leave { .. } => ("leave".into(), false),
        Verdict::TooTight { .. } => ("tight".into(), true),
        Verdict::TooWide { .. } => ("wide".into(), true),
    }
}

/// Returns all that follows for the rings, ring by ring.
pub(crate) fn ring_by_ring(project: &Project, study: &RingStudy) -> Section {
    let mut blocks = Vec::new();
    if study.rings.is_empty() {
        blocks.push(Block::Apart(
            "No ring is entered: name the rings of one piston, from the top, with the gap that is wanted."
                .to_owned(),
        ));
    }
    for (index, answer) in study.rings.iter().enumerate() {
        blocks.extend(of_ring(project, study, index, answer));
    }
    if study.rings.len() > 1 {
        blocks.push(Block::Heading("The second ring: two schools".to_owned()));
        let told =
            SCHOOLS.iter().map(|school| format!("{} ({}): {}", school.name, school.source, school.why));
        blocks.push(Block::Notes(told.map(Note::standing).collect()));
    }
    let (asked, places) = (&study.asked, &study.places);
    if asked.pegged.iter().zip(&asked.pegs).any(|(pegged, peg)| *pegged && peg.is_none()) {
        blocks.push(Block::Apart(
            "A ring is pegged: its peg says where its gap stands. See that no ring end runs over a port."
                .to_owned(),
        ));
    }
    if !places.is_empty() {
        blocks.push(Block::Table(positions(places)));
        blocks.extend(study.warnings.iter().map(|warning| Block::Paragraph(warning.sentence())));
    }
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Notes(study.cautions.iter().map(|caution| Note::standing(caution.text)).collect()));
    Section { title: project.title.clone(), blocks, ..Section::default() }
}

/// Returns what there is to say about one ring.
fn of_ring(project: &Project, study: &RingStudy, index: usize, answer: &RingAnswer) -> Vec<Block> {
    let units = &project.units;
    let (Some(ring), Some(input)) = (project.rings.get(index), study.asked.rings.get(index)) else {
        return Vec::new();
    };
    let material = if ring.material.is_empty() { String::new() } else { format!(", {}", ring.material) };
    let mut blocks = vec![Block::Heading(format!(
        "{}{material}: {} ({})",
        ring.name,
        input.wanted.rule(units),
        ring.source
    ))];
    let mut say = |text: String| blocks.push(Block::Paragraph(text));
    if let Some(side) = &ring.side_clearance
        && let Some((row, _)) = study.asked.side(index, side.base(), study.diesel)
    {
        say(side_sentence(side.base(), row, units));
    }
    if let Some(back) = &ring.back_clearance {
        say(back_sentence(back.base(), units));
    }
    blocks.push(Block::Table(gaps(study, answer, units)));
    let mut say = |text: String| blocks.push(Block::Paragraph(text));
    for gap in &answer.gaps {
        if let Some(elsewhere) = gap.elsewhere(units) {
            say(format!("Cylinder {}: {elsewhere}", gap.cylinder));
        }
    }
    if study.asked.which.get(index) == Some(&WhichRing::Second)
        && let (Some(top), Some(second)) = (study.rings.first(), answer.gaps.first())
        && let Some(top) = top.gaps.first()
    {
        say(second_sentence(top.wanted_mm, second.wanted_mm, second.bore_mm, units));
    }
    if study.heat.is_some() && answer.gaps.iter().any(|gap| gap.hot.is_none()) {
        say(
            "Hot: name the metals of ring and barrel in words that a handbook knows, such as grey cast iron."
                .to_owned(),
        );
    }
    blocks
}

/// Returns where the gaps start.
fn positions(places: &[GapPlace]) -> Table {
    let mut table = Table::new(
        "Where the gaps start, clockwise from the front end of the pin, seen from above",
        "The place of each gap in degrees and by the clock",
        [Column::left("Gap"), Column::right("Degrees"), Column::right("Clock")],
    );
    for place in places {
        let name = if place.pegged { format!("{}, pegged", place.role.name()) } else { place.role.name() };
        table.row([
            Cell::text(name),
            Cell::text(format!("{:.0}°", place.angle_deg)),
            Cell::text(clock(place.angle_deg)),
        ]);
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
            Some(mm) => Cell::measure(Kind::Length, mm, &c.units),
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
