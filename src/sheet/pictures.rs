//! The pictures that a report names, drawn on paper.

use super::flow::{Drawn, Figure};
use super::ring_card_picture::{most, ring_card_picture};
use super::scale::Scale;
use crate::advise::shims::{Fit, ShimQuestion};
use crate::drawing::curves::{Chart, ChartLine, Mark, Scale as ChartScale, chart};
use crate::drawing::input::SectionInput;
use crate::drawing::list::Dash;
use crate::drawing::parts::PartsInput;
use crate::drawing::pens::Pens;
use crate::drawing::towers::{Towers, towers};
use crate::drawing::{Frame, Keys};
use crate::engine::Key;
use crate::quantity::{Kind, write};
use crate::report::Context;
use crate::report::section::{Curve, Picture};
use crate::scene::cylinder::{measured, parts_input};
use crate::scene::shim_bank::shim_bank;
use crate::study::{CurvePoint, Solved, words};
use kurbo::{Point, Rect, Size};
use std::sync::Arc;

/// The least height of the pictures of rings, mm.
const RINGS: f64 = 50.0;
/// The least and the greatest height of level line and shims, mm.
const BANK: (f64, f64) = (33.0, 44.0);
/// The height for a barrel alone, which has no level line, mm.
const ALONE: f64 = 34.0;

/// Returns the drawing of a picture; `None` for a cylinder that can't be drawn.
pub(super) fn figure<'a>(c: &Context<'a>, picture: &Picture) -> Option<Figure<'a>> {
    let c = *c;
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    Some(match picture {
        Picture::Towers => {
            let (parts, _) = parts_input(&c.project.engine, &solved?.engine).ok()?;
            let keys = measured(&c.project.engine, c.cylinder);
            Figure {
                least: 110.0,
                most: 165.0,
                draw: Box::new(move |room| both_towers(&parts, keys, &c, room)),
            }
        }
        Picture::Curve(curve) => curve_figure(&c, solved?, *curve),
        Picture::Rings(study) => {
            let study = Arc::clone(study);
            let draw = Box::new(move |room| ring_card_picture(c.project, &study, c.cylinder, room));
            Figure { least: RINGS, most: most(c.project), draw }
        }
        Picture::Bank { ask, head, fits } => bank(&c, ask, *head, fits),
    })
}

/// Returns level line and shims of the barrels under a head.
fn bank<'a>(c: &Context<'a>, ask: &Arc<ShimQuestion>, head: usize, fits: &[Fit]) -> Figure<'a> {
    let (ask, fits, units) = (Arc::clone(ask), fits.to_vec(), c.units);
    let name = c.head_label(head);
    let (least, most) = if fits.len() < 2 { (ALONE, ALONE) } else { BANK };
    let draw = Box::new(move |room: Size| {
        let bank = shim_bank(&ask, head, &fits, &units);
        let height = most.min(room.height);
        let width = room.width.min(150.0);
        let drawn = bank.draw(Rect::new(0.0, 0.0, width, height), &Pens::PAPER);
        Drawn {
            alt: format!("Level line and shims under head {name}: {}", bank.words()),
            list: drawn.list,
            height,
            scale: String::new(),
        }
    });
    Figure { least, most, draw }
}

/// Returns a curve of the cylinder against crank angle.
fn curve_figure<'a>(c: &Context<'a>, solved: &'a Solved, curve: Curve) -> Figure<'a> {
    let (length, cubic) = (c.units.unit(Kind::Length), c.units.unit(Kind::Volume));
    let title = match curve {
        Curve::Position => format!("Below the top, {}", length.symbol()),
        Curve::Volume => format!("Volume above the piston, {}", cubic.symbol()),
        Curve::Ratio => "Ratio so far".to_owned(),
    };
    let value = move |p: &CurvePoint| match curve {
        Curve::Position => length.from_base(p.position_mm),
        Curve::Volume => cubic.from_base(p.volume_cc),
        Curve::Ratio => p.ratio,
    };
    let marks = marks(c, solved);
    let draw = move |room: Size| {
        let points: Vec<Point> =
            solved.curve.iter().map(|point| Point::new(point.angle_deg, value(point))).collect();
        let up = ChartScale::around(title.as_str(), points.iter().map(|point| point.y), 5);
        let most = points.iter().map(|point| point.y).fold(0.0, f64::max);
        let across = ChartScale {
            title: "Degrees after top dead centre".to_owned(),
            low: -180.0,
            high: 180.0,
            step: 30.0,
            decimals: 0,
        };
        let lines = vec![ChartLine { points, dash: Dash::Solid }];
        let of = Chart { across, up, lines, marks: marks.clone() };
        let area = Rect::from_origin_size((0.0, 0.0), room);
        Drawn {
            alt: format!("{title} against crank angle; the most is {}.", words::plain(most, 2)),
            list: chart(&of, area, &Pens::PAPER),
            height: room.height,
            scale: String::new(),
        }
    };
    Figure { least: 44.0, most: 48.0, draw: Box::new(draw) }
}

/// Where the cylinder is shut, on the stroke before top dead centre.
fn marks(c: &Context<'_>, solved: &Solved) -> Vec<Mark> {
    let dims = solved.engine.dims();
    let degrees = |deg: f64| write(Kind::Angle, deg, Some(0), &c.units);
    let port = dims
        .get(Key::PortClosing)
        .map(|deg| Mark { at: -deg, text: format!("exhaust port shuts, {} before", degrees(deg)) });
    let intake = dims.get(Key::IntakeClosing).map(|deg| Mark {
        at: deg - 180.0,
        text: format!("intake shuts, {} after the bottom", degrees(deg)),
    });
    [port, intake].into_iter().flatten().filter(|mark| (-180.0..=180.0).contains(&mark.at)).collect()
}

/// Returns both towers to the largest standard scale that fits. The scale of a picture is linear in
/// the height of its frame, so that two pictures tell the height that gives a
/// scale.
fn both_towers(parts: &PartsInput, measured: Keys, c: &Context<'_>, room: Size) -> Drawn {
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
