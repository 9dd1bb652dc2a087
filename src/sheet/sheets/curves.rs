//! Position, volume and ratio against crank angle, drawn and as a table.

use crate::drawing::curves::{Chart, ChartLine, Mark, Scale, chart};
use crate::drawing::list::Dash;
use crate::drawing::pens::Pens;
use crate::engine::Key;
use crate::quantity::{Kind, write};
use crate::sheet::binder::Context;
use crate::sheet::flow::{Drawn, Figure, Item, Sheet};
use crate::sheet::table::{Cell, Column, Table};
use crate::study::curves::at;
use crate::study::{CurvePoint, Solved, words};
use kurbo::{Point, Rect, Size};

const LEAD: &str = "Every angle is degrees after piston top dead centre, as a degree wheel set with a positive stop \
    shows it.";

/// Angles of the table, degrees after top dead centre: close together where
/// the piston hardly moves.
const ANGLES: [f64; 13] = [0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0, 180.0];

pub(crate) fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
    let c = *c;
    let label = c.label(c.cylinder);
    let solved = c.answers.cylinders.get(c.cylinder).and_then(|answer| answer.solved());
    let items = match solved {
        Some(solved) => {
            let length = c.units.unit(Kind::Length);
            let cubic = c.units.unit(Kind::Volume);
            vec![
                drawn(&c, solved, &format!("Below the top, {}", length.symbol()), move |p| {
                    length.from_base(p.position_mm)
                }),
                drawn(&c, solved, &format!("Volume above the piston, {}", cubic.symbol()), move |p| {
                    cubic.from_base(p.volume_cc)
                }),
                drawn(&c, solved, "Ratio so far", |p| p.ratio),
                Item::Table(values(&c, solved)),
            ]
        }
        None => vec![Item::Text("Nothing is drawn: this cylinder can't exist as it stands.".to_owned())],
    };
    Sheet {
        title: format!("Cylinder {label}, curves"),
        heading: String::new(),
        lead: LEAD.to_owned(),
        kind: "Curves against crank angle",
        scale: String::new(),
        items,
    }
}

fn drawn<'a>(
    c: &Context<'a>,
    solved: &'a Solved,
    title: &str,
    value: impl Fn(&CurvePoint) -> f64 + 'a,
) -> Item<'a> {
    let marks = marks(c, solved);
    let title = title.to_owned();
    let draw = move |room: Size| {
        let points: Vec<Point> =
            solved.curve.iter().map(|point| Point::new(point.angle_deg, value(point))).collect();
        let up = Scale::around(title.as_str(), points.iter().map(|point| point.y), 5);
        let most = points.iter().map(|point| point.y).fold(0.0, f64::max);
        let across = Scale {
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
    Item::Figure(Figure { least: 44.0, most: 48.0, draw: Box::new(draw) })
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

fn values(c: &Context<'_>, solved: &Solved) -> Table {
    let mut table = Table::new(
        "Values",
        "Position, volume and ratio at some crank angles after top dead centre",
        [
            Column::number("Degrees after the top", "deg"),
            Column::number("Below the top", "mm"),
            Column::number("Volume", "cc"),
            Column::number("Ratio so far", ""),
        ],
    );
    table.close = true;
    for angle in ANGLES {
        let point = at(&solved.engine, angle);
        table.row([
            Cell::text(words::plain(angle, 0)).of(angle),
            Cell::text(write(Kind::Length, point.position_mm, None, &c.units).to_string())
                .of(point.position_mm),
            Cell::text(crate::sheet::wording::volume(point.volume_cc, None, &c.units).0).of(point.volume_cc),
            Cell::text(words::plain(point.ratio, 2)).of(point.ratio),
        ]);
    }
    table
}
