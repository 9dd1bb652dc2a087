//! The engine as a step of a lesson shows it, with numbered flags on what the
//! step speaks of.

use super::draft::{NARROW, Type, line, moved, text};
use super::flow::Drawn;
use super::term_picture::pictures_in;
use crate::drawing::list::{Anchor, DisplayList, Ink, Shape};
use crate::drawing::pens::Pens;
use crate::drawing::pictures::Picture;
use crate::drawing::section::Section;
use crate::drawing::towers::towers;
use crate::drawing::{Frame, Handle, HandleKind, Keys, SectionInput, Spot};
use crate::engine::{Key, words};
use crate::lesson::{Moment, ScreenPlace, Setup, Shows, Step};
use crate::scene::cylinder::{measured, parts_input, turn};
use kurbo::{Circle, Point, Rect, Shape as _, Size, Vec2};

/// Radius of circle Z, mm.
const CIRCLE: f64 = 16.0;
/// Width of the column with the details, mm.
const DETAILS: f64 = 64.0;
/// Height of the bar under the main view, mm.
const BAR: f64 = 6.0;
/// Radius of a flag, mm.
const FLAG: f64 = 2.1;
/// Flags stand in the first free of these distances from their places, mm.
const DISTANCES: [f64; 4] = [6.0, 9.0, 13.0, 18.0];

/// Where a place lies on the section; none if it is not on it.
#[must_use]
pub(crate) fn anchor(place: ScreenPlace, drawn: &Section) -> Option<Point> {
    match place {
        ScreenPlace::Gap => drawn.rim.as_ref().map(|detail| detail.centre),
        ScreenPlace::Foot => drawn.foot.as_ref().map(|detail| detail.centre),
        other => on_section(other, &drawn.spots, &drawn.handles),
    }
}

/// Where a place lies on the main view.
fn on_section(place: ScreenPlace, spots: &[Spot], handles: &[Handle]) -> Option<Point> {
    let handle = |what: HandleKind| handles.iter().find(|h| h.what == what).map(|h| h.at);
    match place {
        ScreenPlace::ShimHandle => handle(HandleKind::Dimension(Key::BaseShim)),
        ScreenPlace::Crankpin => handle(HandleKind::Crank),
        ScreenPlace::Chamber => {
            spot(spots, Key::ChamberVolume).or_else(|| handle(HandleKind::Dimension(Key::ChamberVolume)))
        }
        ScreenPlace::Dimension(key) => spot(spots, key),
        ScreenPlace::Gap | ScreenPlace::Foot | ScreenPlace::Area(_) => None,
    }
}

fn spot(spots: &[Spot], key: Key) -> Option<Point> {
    spots.iter().find(|spot| spot.key == key).map(|spot| spot.area.center())
}

/// The places of a step that can be shown, in the order of their flags.
pub(super) fn flagged(step: &Step) -> impl Iterator<Item = (usize, ScreenPlace)> + '_ {
    step.look
        .iter()
        .enumerate()
        .filter(|(_, (place, text))| place.is_on_sheet() && !text.is_empty())
        .map(|(i, (place, _))| (i, *place))
}

/// Whether the picture is wide rather than tall: a cylinder that lies in its
/// engine, as the window shows it.
pub(super) fn is_wide(setup: &Setup) -> bool {
    setup.view == Shows::Section && turn(&setup.project.engine, setup.cylinder).deg().abs() > 45.0
}

/// Draws it into a room, its corner at the origin, mm. None where the engine
/// can't exist.
pub(super) fn step_picture(setup: &Setup, step: &Step, now: &Moment, room: Size) -> Option<Drawn> {
    let solved = now.answers.cylinders.get(setup.cylinder)?.solved()?;
    let (parts, _) = parts_input(&setup.project.engine, &solved.engine).ok()?;
    let marked: Keys = step
        .look
        .iter()
        .filter_map(|(place, _)| match place {
            ScreenPlace::Dimension(key) => Some(*key),
            _ => None,
        })
        .collect();
    let input = SectionInput {
        angle_deg: setup.crank_deg,
        turn: turn(&setup.project.engine, setup.cylinder),
        marked,
        units: setup.project.units,
        ..SectionInput::new(&parts, measured(&setup.project.engine, setup.cylinder))
    };
    let places: Vec<ScreenPlace> = flagged(step).map(|(_, place)| place).collect();
    let mut shown = if setup.view == Shows::Towers {
        both_towers(&input, &places, room)
    } else {
        section_and_details(&input, &places, room)
    };
    let gap = words::gap(solved.engine.figures().deck_clearance, None, &setup.project.units);
    let angle = crate::study::words::plain(setup.crank_deg, 0);
    let alt = match setup.view {
        Shows::Towers => format!("Two towers from the crank centre. The deck clearance is {gap}."),
        _ => format!("Section with the crank {angle} degrees after the top. The deck clearance is {gap}."),
    };
    put_flags(&mut shown, Rect::from_origin_size(Point::ORIGIN, room));
    Some(Drawn { list: shown.list, height: room.height, alt, scale: String::new() })
}

/// A picture with what its flags need.
struct Flagged {
    list: DisplayList,
    anchors: Vec<Point>,
    taken: Vec<Rect>,
}

fn both_towers(input: &SectionInput<'_>, places: &[ScreenPlace], room: Size) -> Flagged {
    let mut pens = Pens::PAPER;
    pens.letter = pens.gap;
    // Narrower columns leave room for the circle beside them.
    pens.first_line = 6.2;
    let drawn = towers(input, &Frame::new(Rect::from_origin_size(Point::ORIGIN, room)), &pens);
    let at = |place: &ScreenPlace| match place {
        ScreenPlace::Dimension(key) => spot(&drawn.spots, *key),
        _ => None,
    };
    Flagged {
        anchors: places.iter().filter_map(at).collect(),
        taken: drawn.texts.iter().map(|placed| placed.outline.bounds()).collect(),
        list: drawn.list,
    }
}

/// The main view at the left with a bar under it, the details at the right.
fn section_and_details(input: &SectionInput<'_>, places: &[ScreenPlace], room: Size) -> Flagged {
    let mut pens = Pens::PAPER;
    pens.letter = pens.gap;
    pens.circle_rim = CIRCLE;
    pens.circle_foot = CIRCLE / 2.0;
    let left = Size::new(room.width - DETAILS, room.height - BAR);
    let (scale, views) = pictures_in(input, left, &pens);
    let mut shown = Flagged { list: DisplayList::default(), anchors: Vec::new(), taken: Vec::new() };
    let put = |shown: &mut Flagged, picture: &Picture, middle: Point| -> Vec2 {
        let by = middle - picture.bounds.center();
        shown.list.shapes.extend(moved(picture.list.clone(), by).shapes);
        shown.taken.extend(picture.texts.iter().map(|placed| placed.outline.bounds() + by));
        by
    };
    let main = put(&mut shown, &views.section, Point::new(left.width / 2.0, left.height / 2.0));
    let details: Vec<Point> = arranged(&views.details, room)
        .into_iter()
        .zip(&views.details)
        // A detail is drawn around the origin.
        .map(|(middle, detail)| put(&mut shown, detail, middle).to_point())
        .collect();
    let at = |place: &ScreenPlace| {
        let on_main = |point: Option<Point>| point.map(|point| point + main);
        match place {
            ScreenPlace::Gap => details.first().copied(),
            ScreenPlace::Foot => details.get(1).copied(),
            other => on_main(on_section(*other, &views.section.spots, &views.section.handles)),
        }
    };
    shown.anchors = places.iter().filter_map(at).collect();
    bar(&mut shown.list, scale, Point::new(0.0, room.height - 1.0));
    shown
}

/// The middles of the details in their column: one over the other where that
/// fits, else side by side.
fn arranged(details: &[Picture], room: Size) -> Vec<Point> {
    let gaps = super::draft::count(details.len()) + 1.0;
    let tall: f64 = details.iter().map(|detail| detail.bounds.height()).sum();
    let left = room.width - DETAILS;
    if tall <= room.height {
        let between = (room.height - tall) / gaps;
        let mut y = 0.0;
        return details
            .iter()
            .map(|detail| {
                y += between + detail.bounds.height();
                Point::new(left + DETAILS / 2.0, y - detail.bounds.height() / 2.0)
            })
            .collect();
    }
    let wide: f64 = details.iter().map(|detail| detail.bounds.width()).sum();
    let between = ((DETAILS - wide) / gaps).max(1.0);
    // Wide ones reach into what the main view leaves free.
    let mut x = left.min(room.width - wide - between * gaps);
    details
        .iter()
        .map(|detail| {
            x += between + detail.bounds.width();
            Point::new(x - detail.bounds.width() / 2.0, room.height / 2.0)
        })
        .collect()
}

/// A bar of 50 or 100 mm of the engine; `at` is its left end.
fn bar(list: &mut DisplayList, scale: f64, at: Point) {
    let length = if 50.0 * scale < 12.0 { 100.0 } else { 50.0 };
    let (x, y) = (at.x + length * scale, at.y);
    let ends = [at.x, x].map(|x| line((x, y - 1.6), (x, y), NARROW));
    list.shapes.push(line((at.x, y), (x, y), NARROW));
    list.shapes.extend(ends);
    list.shapes.push(text(
        (x + 2.0, y),
        Anchor::Left,
        Type::regular(2.1),
        format!("{length:.0} mm of the engine"),
    ));
}

/// Where a way from a point inside of a box leaves it.
fn left_at(area: Rect, from: Point, way: Vec2) -> Point {
    let along = |low: f64, high: f64, way: f64| match way {
        way if way > 0.0 => high / way,
        way if way < 0.0 => low / way,
        _ => f64::INFINITY,
    };
    let (x, y) =
        (along(area.x0 - from.x, area.x1 - from.x, way.x), along(area.y0 - from.y, area.y1 - from.y, way.y));
    from + way * x.min(y)
}

/// Numbered discs beside their places, off all texts and off each other.
fn put_flags(shown: &mut Flagged, area: Rect) {
    let Flagged { list, anchors, taken } = shown;
    let inside = area.inset(-FLAG);
    let font = Type::bold(1.9);
    let texts = taken.clone();
    for (i, at) in anchors.iter().copied().enumerate() {
        let ways = DISTANCES.iter().flat_map(|&far| {
            (0..8_i32).map(move |eighth| {
                let turn = f64::from(eighth) * std::f64::consts::FRAC_PI_4 + 0.4;
                at + Vec2::new(crate::engine::num::cos(turn), crate::engine::num::sin(turn)) * far
            })
        });
        let free = |disc: &Point| {
            let around = Rect::from_center_size(*disc, (2.4 * FLAG, 2.4 * FLAG));
            inside.contains(*disc) && taken.iter().all(|other| other.intersect(around).is_zero_area())
        };
        let disc = ways.into_iter().find(free).unwrap_or(at + Vec2::new(DISTANCES[0], 0.0));
        taken.push(Rect::from_center_size(disc, (2.4 * FLAG, 2.4 * FLAG)));
        let way = (disc - at) / (disc - at).hypot();
        let near = disc - way * FLAG;
        // At the edge of a value, not on its digits.
        let at = texts.iter().find(|text| text.contains(at)).map_or(at, |text| left_at(*text, at, way));
        list.shapes.push(line((at.x, at.y), (near.x, near.y), NARROW));
        let dot = Circle::new(at, 0.6).to_path(0.01);
        list.shapes.push(Shape::Fill { path: dot, ink: Ink::Edge });
        let ring = Circle::new(disc, FLAG).to_path(0.01);
        list.shapes.push(Shape::Fill { path: ring.clone(), ink: Ink::Sheet });
        list.shapes.push(Shape::Stroke {
            path: ring,
            ink: Ink::Edge,
            width: 0.35,
            dash: crate::drawing::list::Dash::Solid,
        });
        list.shapes.push(text((disc.x, disc.y + 0.95), Anchor::Middle, font, (i + 1).to_string()));
    }
}
