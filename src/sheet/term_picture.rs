//! From a word of the trade to the picture that shows it on the engine at
//! hand: the same drawing as everywhere, with what is spoken of lit.

use super::flow::Drawn;
use crate::drawing::curves::{Chart, ChartLine, Mark, Scale, chart};
use crate::drawing::input::SectionInput;
use crate::drawing::list::{Dash, DisplayList, Shape};
use crate::drawing::parts::{self, PartsInput};
use crate::drawing::pens::{Medium, Pens};
use crate::drawing::pictures::{Picture, Pictures, pictures};
use crate::drawing::rings::groove::groove;
use crate::drawing::rings::plan::{Dial, plan};
use crate::drawing::towers::towers;
use crate::drawing::{Frame, Keys};
use crate::engine::Key;
use crate::lesson::{CurveKind, TermPicture};
use crate::quantity::Kind;
use crate::report::Context;
use crate::scene::cylinder::{measured, parts_input};
use crate::scene::rings::{groove_input, plan_input, plan_words};
use crate::study::{CurvePoint, Solved};
use kurbo::{Point, Rect, Size, Vec2};

/// Tries at the largest scale that fits, each nearer than the last.
const TRIES: usize = 4;

/// The picture of a word, its corner at the origin, in the units of the pens.
/// None where the engine has nothing to show for it, such as a shim that is
/// not there.
#[must_use]
pub(crate) fn term_picture(c: &Context<'_>, of: &TermPicture, room: Size, pens: &Pens) -> Option<Drawn> {
    let solved = c.answers.cylinders.get(c.cylinder)?.solved()?;
    let parts = || parts_input(&c.project.engine, &solved.engine).ok().map(|(parts, _)| parts);
    let lit = |keys: &[Key]| keys.iter().copied().collect::<Keys>();
    let area = Rect::from_origin_size(Point::ORIGIN, room);
    match of {
        TermPicture::Nothing => None,
        TermPicture::Section { lit: keys, crank, tints } => {
            let parts = parts()?;
            let input = SectionInput {
                marked: lit(keys),
                angle_deg: *crank,
                tints: *tints && pens.medium == Medium::Screen,
                ..input(c, &parts, pens)
            };
            Some(placed(pictures_in(&input, room, pens).1.section, room))
        }
        TermPicture::Rim(keys) => {
            let parts = parts()?;
            let details =
                details_in(&SectionInput { marked: lit(keys), ..input(c, &parts, pens) }, room, pens);
            details.into_iter().next().map(|picture| placed(picture, room))
        }
        TermPicture::Foot(keys) => {
            let parts = parts()?;
            let details =
                details_in(&SectionInput { marked: lit(keys), ..input(c, &parts, pens) }, room, pens);
            details.into_iter().nth(1).map(|picture| placed(picture, room))
        }
        TermPicture::Towers(keys) => {
            let parts = parts()?;
            let input = SectionInput { marked: lit(keys), ..input(c, &parts, pens) };
            let drawn = towers(&input, &Frame::new(area), pens);
            Some(whole(
                "How high the piston reaches beside how high the cylinder stands".into(),
                drawn.list,
                room,
            ))
        }
        TermPicture::Curve(kind) => Some(curve(c, solved, *kind, area, pens)),
        TermPicture::Gaps => {
            let study = c.project.ring_study();
            let input = plan_input(c.project, &study, c.cylinder, None, Dial::Clock)?;
            let side = room.width.min(room.height);
            let left = (room.width - side) / 2.0;
            let area = Rect::new(left, 0.0, left + side, side);
            (!input.gaps.is_empty()).then(|| whole(plan_words(&study), plan(&input, area, pens).list, room))
        }
        TermPicture::Groove => {
            let bore = solved.engine.dims().filled(Key::Bore)?;
            let input = groove_input(c.project, 0, bore)?;
            Some(whole("A ring in its groove, magnified".into(), groove(&input, area, pens).list, room))
        }
    }
}

fn input<'a>(c: &Context<'_>, parts: &'a PartsInput, pens: &Pens) -> SectionInput<'a> {
    let tints = pens.medium == Medium::Screen;
    SectionInput {
        units: c.units,
        tints,
        ..SectionInput::new(parts, measured(&c.project.engine, c.cylinder))
    }
}

fn whole(alt: String, list: DisplayList, room: Size) -> Drawn {
    Drawn { list, height: room.height, alt, scale: String::new() }
}

/// The picture in the middle of its room. On a screen a detail tells by how
/// much it enlarges the section beside it; here there is none.
fn placed(mut picture: Picture, room: Size) -> Drawn {
    let is_beside = |text: &str| text.ends_with("the section");
    picture.list.shapes.retain(|shape| !matches!(shape, Shape::Text { text, .. } if is_beside(text)));
    let by: Vec2 = Point::new(room.width / 2.0, room.height / 2.0) - picture.bounds.center();
    whole(picture.alt, super::draft::moved(picture.list, by), room)
}

/// The main view as large as the room allows, with its details; output units
/// per mm of the engine.
pub(super) fn pictures_in(input: &SectionInput<'_>, room: Size, pens: &Pens) -> (f64, Pictures) {
    let bare = parts::parts(input.parts, 0.0).standing_still().datums.bounds().size();
    let most = room.width.max(room.height) / bare.width.max(bare.height);
    let size = |scale: f64| pictures(input, scale, pens).section.bounds.size();
    // Dimension lines keep their size, so that a picture grows linearly with
    // its scale: two of them tell the line.
    let (half, full) = (size(most / 2.0), size(most));
    let fit = |room: f64, half: f64, full: f64| {
        most * (1.0 - (full - room) / (2.0 * (full - half)).max(f64::MIN_POSITIVE))
    };
    let fitted = fit(room.width, half.width, full.width).min(fit(room.height, half.height, full.height));
    let mut scale = fitted.clamp(most / 20.0, most);
    let mut views = pictures(input, scale, pens);
    for _ in 0..TRIES {
        let bounds = views.section.bounds;
        if bounds.width() <= room.width && bounds.height() <= room.height {
            break;
        }
        scale *= 0.96;
        views = pictures(input, scale, pens);
    }
    (scale, views)
}

/// The details, their circles as large as the room allows.
fn details_in(input: &SectionInput<'_>, room: Size, pens: &Pens) -> Vec<Picture> {
    let mut pens = *pens;
    let bare = parts::parts(input.parts, 0.0).standing_still().datums.bounds().size();
    let scale = room.height / bare.height;
    pens.circle_rim = room.width.min(room.height) / 2.0;
    pens.circle_foot = pens.circle_rim;
    let mut details = pictures(input, scale, &pens).details;
    for _ in 0..TRIES {
        let over = |picture: &Picture| {
            (picture.bounds.width() / room.width).max(picture.bounds.height() / room.height)
        };
        let most = details.iter().map(over).fold(0.0, f64::max);
        if most <= 1.0 {
            break;
        }
        pens.circle_rim /= most * 1.01;
        pens.circle_foot = pens.circle_rim;
        details = pictures(input, scale, &pens).details;
    }
    details
}

/// What of a point of the curves is drawn.
type ValueOf = Box<dyn Fn(&CurvePoint) -> f64>;

/// One of the curves; where the cylinder is shut is marked on that of the
/// ratio.
fn curve(c: &Context<'_>, solved: &Solved, kind: CurveKind, area: Rect, pens: &Pens) -> Drawn {
    let (length, cubic) = (c.units.unit(Kind::Length), c.units.unit(Kind::Volume));
    let (title, value): (String, ValueOf) = match kind {
        CurveKind::Position => (
            format!("Below the top, {}", length.symbol()),
            Box::new(move |point| length.from_base(point.position_mm)),
        ),
        CurveKind::Volume => (
            format!("Volume above the piston, {}", cubic.symbol()),
            Box::new(move |point| cubic.from_base(point.volume_cc)),
        ),
        CurveKind::Ratio => ("Ratio so far".to_owned(), Box::new(|point| point.ratio)),
    };
    let points: Vec<Point> =
        solved.curve.iter().map(|point| Point::new(point.angle_deg, value(point))).collect();
    let up = Scale::around(title.as_str(), points.iter().map(|point| point.y), 4);
    let across = Scale {
        title: "Degrees after top dead centre".to_owned(),
        low: -180.0,
        high: 180.0,
        step: 90.0,
        decimals: 0,
    };
    let dims = solved.engine.dims();
    let port = dims.get(Key::PortClosing).map(|deg| Mark { at: -deg, text: "port shuts".to_owned() });
    let intake =
        dims.get(Key::IntakeClosing).map(|deg| Mark { at: deg - 180.0, text: "intake shuts".to_owned() });
    let marks = [port, intake].into_iter().flatten().filter(|_| kind == CurveKind::Ratio).collect();
    let chart_of = Chart { across, up, lines: vec![ChartLine { points, dash: Dash::Solid }], marks };
    whole(format!("{title} against crank angle"), chart(&chart_of, area, pens), area.size())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::glossary;
    use crate::project::demos;
    use crate::study::Answers;

    /// Every word that has a picture has one on some demo, whole and within
    /// its room; what is lit is drawn in accent.
    #[test]
    fn every_picture_of_a_word_can_be_drawn() {
        let mut drawn = vec![false; glossary().len()];
        for demo in demos() {
            let project = demo.project().unwrap();
            let question = project.question();
            let answers = Answers::to(&question);
            let units = project.units;
            let c = Context {
                project: &project,
                question: &question,
                answers: &answers,
                units,
                cylinder: 0,
                crank_deg: 0.0,
            };
            let room = Size::new(300.0, 240.0);
            for (i, term) in glossary().iter().enumerate() {
                let Some(picture) = term_picture(&c, term.picture(), room, &Pens::SCREEN) else { continue };
                drawn[i] = true;
                assert!(!picture.alt.is_empty() && !picture.list.shapes.is_empty(), "{}", term.id());
                for shape in &picture.list.shapes {
                    assert!(shape.is_finite(), "{}", term.id());
                    if let Shape::Text { at, text, .. } = shape {
                        let inside = Rect::from_origin_size(Point::ORIGIN, room).inflate(2.0, 2.0);
                        assert!(inside.contains(*at), "{}, {}: {text} at {at}", demo.id, term.id());
                    }
                }
            }
        }
        for (term, drawn) in glossary().iter().zip(drawn) {
            assert_eq!(drawn, *term.picture() != TermPicture::Nothing, "{}", term.id());
        }
    }
}
