//! The two towers, to a standard scale.

use crate::drawing::input::SectionInput;
use crate::drawing::parts::PartsInput;
use crate::drawing::pens::Pens;
use crate::drawing::towers::{Towers, towers};
use crate::drawing::{Frame, Keys};
use crate::engine::{Key, Stack};
use crate::quantity::{Kind, write};
use crate::scene::cylinder::{measured, parts_input};
use crate::sheet::Scale;
use crate::sheet::binder::Context;
use crate::sheet::flow::{Drawn, Figure, Item, Sheet};
use crate::sheet::table::{Cell, Column, Table};
use crate::sheet::wording::{typed, word};
use crate::study::cautions::Decision;
use crate::study::words;
use kurbo::{Rect, Size};

const LEAD: &str = "How high the piston reaches beside how high the cylinder stands, from one floor, the crank \
    centre. What is left over is the deck clearance. Heights are to scale, widths mean nothing.";

pub(crate) fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
    let c = *c;
    let label = c.label(c.cylinder);
    let mut items = Vec::new();
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    match solved.map(|solved| parts_input(&c.project.engine, &solved.engine)) {
        Some(Ok((parts, _))) => {
            let keys = measured(&c.project.engine, c.cylinder);
            let draw = Box::new(move |room: Size| picture(&parts, keys, &c, room));
            items.push(Item::Figure(Figure { least: 110.0, most: 165.0, draw }));
            items.push(Item::Table(chain(&c)));
            items.push(Item::Cautions(
                c.beside(&[Decision::Squish]).into_iter().filter(|c| c.text.contains("deck")).collect(),
            ));
        }
        _ => items.push(Item::Text("Nothing is drawn: this cylinder can't exist as it stands.".to_owned())),
    }
    Sheet {
        title: format!("Cylinder {label}, two towers"),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Chain of dimensions",
        scale: String::new(),
        items,
    }
}

/// The largest standard scale that fits. The scale of a picture is linear in
/// the height of its frame, so that two pictures tell the height that gives a
/// scale.
fn picture(parts: &PartsInput, measured: Keys, c: &Context<'_>, room: Size) -> Drawn {
    let input = SectionInput { units: c.units, ..SectionInput::new(parts, measured) };
    let mut pens = Pens::PAPER;
    pens.letter = pens.gap;
    // Narrower columns leave room for the circle beside them.
    pens.first_line = 6.2;
    let draw = |height: f64| -> Towers {
        towers(&input, &Frame::new(Rect::new(0.0, 0.0, room.width, height)), &pens)
    };
    let full = draw(room.height);
    let less = draw(room.height - 10.0);
    let tallest = 10.0 / (full.scale - less.scale).max(1e-12);
    let scale = Scale::all().find(|scale| scale.factor() <= full.scale * (1.0 + 1e-9));
    let scale = scale.unwrap_or(Scale::FULL);
    let height = room.height - (full.scale - scale.factor()) * tallest;
    let drawn = draw(height);
    let f = parts.engine.figures();
    Drawn {
        alt: format!(
            "Two towers from the crank centre. The piston reaches {}, the cylinder stands {}: the rim is {}.",
            write(Kind::Length, f.crank.y_top() + value(parts, Key::CompressionHeight), None, &c.units),
            write(
                Kind::Length,
                f.crank.y_top() + value(parts, Key::CompressionHeight) + f.deck_clearance,
                None,
                &c.units
            ),
            words::gap(f.deck_clearance, None, &c.units),
        ),
        list: drawn.list,
        height,
        scale: scale.to_string(),
    }
}

fn value(parts: &PartsInput, key: Key) -> f64 {
    parts.engine.dims().filled(key).unwrap_or(0.0)
}

/// The parts of both towers, as they were typed.
fn chain(c: &Context<'_>) -> Table {
    let mut table = Table::new(
        "The chain",
        "The dimensions that make up both towers, and how each is known",
        [
            Column::left("Tower"),
            Column::left("Dimension").growing(),
            Column::number("Value", "mm"),
            Column::left("Known"),
        ],
    );
    for key in Key::stack() {
        let Some((entry, _)) = c.project.engine.entry(c.cylinder, key) else { continue };
        let which = if key.row().stack == Stack::Top { "tower" } else { "reach" };
        table.row([
            Cell::text(which),
            Cell::text(key.name()),
            Cell::strong(typed(key, &entry.value)).of(entry.value.base()),
            Cell::text(word(entry.known)),
        ]);
    }
    table
}
