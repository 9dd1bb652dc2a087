//! The pictures of the ring card in one row: the bore from above, a ring in its
//! groove, the way to file the first ring that is to be filed.

use super::draft::{Type, text};
use super::flow::Drawn;
use crate::advise::rings::RingStudy;
use crate::drawing::list::{Anchor, DisplayList};
use crate::drawing::pens::Pens;
use crate::drawing::rings::filing::filing;
use crate::drawing::rings::groove::groove;
use crate::drawing::rings::plan::{Dial, plan};
use crate::engine::Key;
use crate::project::Project;
use crate::scene::rings::{filing_input, filing_words, groove_input, plan_input, plan_words};
use kurbo::{Rect, Size};

/// Between two pictures, mm.
const GAP: f64 = 6.0;
/// A line over a picture, mm.
const CAPTION: f64 = 5.0;
/// What the picture of filing takes, mm, caption and all.
const FILING: f64 = 40.0;
/// The least that a groove is drawn in, mm, caption and all.
const GROOVE: f64 = 24.0;
/// The plan of a bore with ports, which are named around it.
const PORTS: f64 = 80.0;
/// The plan beside the other pictures.
const PLAN: f64 = 84.0;

/// The most that the pictures take, mm.
#[must_use]
pub(super) fn most(project: &Project) -> f64 {
    if project.ring_layout.ports.is_empty() { PLAN } else { PORTS + GAP + FILING }
}

/// Draws the pictures into a room of this size.
#[must_use]
pub(super) fn ring_card_picture(project: &Project, study: &RingStudy, cylinder: usize, room: Size) -> Drawn {
    let mut list = DisplayList::default();
    let mut alt = Vec::new();
    // With ports the plan stands over the other two, else beside them.
    let over = room.height >= most(project) - 1e-6 && !project.ring_layout.ports.is_empty();
    let input =
        plan_input(project, study, cylinder, None, Dial::Clock).filter(|input| !input.gaps.is_empty());
    let mut rest = Rect::from_origin_size((0.0, 0.0), room);
    if let Some(input) = input {
        let area = if over {
            rest.y0 = PORTS + GAP;
            Rect::new(0.0, 0.0, room.width, PORTS)
        } else {
            let side = room.height.min(0.5 * room.width);
            rest.x0 = side + GAP;
            Rect::new(0.0, 0.0, side, side)
        };
        list.shapes.extend(plan(&input, area, &Pens::PAPER).list.shapes);
        alt.push(plan_words(study));
    }
    let filed = first_to_file(project, study, cylinder);
    let half = 0.5 * (rest.width() - GAP);
    let (of_groove, of_filing) = match filed {
        Some(_) if over => (Rect { x1: rest.x0 + half, ..rest }, Some(Rect { x0: rest.x1 - half, ..rest })),
        Some(_) if rest.height() >= GROOVE + FILING => {
            let y = rest.y1 - FILING;
            (Rect { y1: y - 2.0, ..rest }, Some(Rect { y0: y, ..rest }))
        }
        // Where there is little room the groove alone is drawn.
        _ => (rest, None),
    };
    alt.extend(groove_in(project, cylinder, of_groove, &mut list));
    if let (Some((title, input)), Some(room)) = (filed, of_filing) {
        caption(&mut list, (room.x0, room.y0 + 2.5), title);
        let area = Rect { y0: room.y0 + CAPTION, ..room };
        list.shapes.extend(filing(&input, area, &Pens::PAPER).list.shapes);
        alt.push(filing_words(&input));
    }
    Drawn { alt: alt.join(" "), list, height: room.height, scale: String::new() }
}

fn caption(list: &mut DisplayList, at: (f64, f64), words: String) {
    list.shapes.push(text(at, Anchor::Left, Type::bold(2.2), words));
}

/// The ring whose clearances are best known, in its groove; in words as well.
fn groove_in(project: &Project, cylinder: usize, room: Rect, list: &mut DisplayList) -> Option<String> {
    let bore_mm = project.dims(cylinder)?.get(Key::Bore).filter(|mm| mm.is_finite() && *mm > 0.0)?;
    let known = |ring: &crate::schema::Ring| {
        [&ring.side_clearance, &ring.back_clearance, &ring.height, &ring.thickness]
            .into_iter()
            .flatten()
            .count()
    };
    // The first of those that are known alike.
    let ring = (0..project.rings.len()).rev().max_by_key(|ring| project.rings.get(*ring).map(known))?;
    let input = groove_input(project, ring, bore_mm)?;
    let area = Rect::new(room.x0, room.y0 + CAPTION, room.x1, room.y1);
    let picture = groove(&input, area, &Pens::PAPER);
    let title = project.rings.get(ring)?.title();
    let scale = |scale: f64| {
        if (scale - scale.round()).abs() < 1e-9 { format!("{scale:.0}:1") } else { String::new() }
    };
    let (whole, circle) = (scale(picture.scale), scale(picture.circle_scale));
    let scales = if whole.is_empty() { "magnified".to_owned() } else { format!("{whole}, circle {circle}") };
    let words = format!("{title} in its groove ({scales})");
    caption(list, (room.x0, room.y0 + 2.5), words.clone());
    list.shapes.extend(picture.list.shapes);
    Some(format!(
        "{words}: side clearance {}, back clearance {}.",
        or_none(&input.side.text),
        or_none(&input.back.text)
    ))
}

fn or_none(text: &str) -> &str {
    if text.is_empty() { "not measured" } else { text }
}

/// The way to file the first ring that is to be filed, of the cylinder shown
/// before all others.
fn first_to_file(
    project: &Project,
    study: &RingStudy,
    cylinder: usize,
) -> Option<(String, crate::drawing::rings::filing::FilingInput)> {
    let bores = study.rings.first().map_or(0, |ring| ring.gaps.len());
    let order = std::iter::once(cylinder).chain((0..bores).filter(move |bore| *bore != cylinder));
    for bore in order {
        for (index, ring) in study.rings.iter().enumerate() {
            let Some(gap) = ring.gaps.get(bore) else { continue };
            if let Some(input) = filing_input(gap, &project.units) {
                let title = project.rings.get(index)?.title();
                return Some((
                    format!("To file, for example: {}, cylinder {}", title.to_lowercase(), gap.cylinder),
                    input,
                ));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::list::Shape;
    use crate::project::demos;

    #[test]
    fn every_demo_has_its_plan_its_groove_and_every_stop() {
        for demo in demos() {
            let project = demo.project().unwrap();
            let study = project.ring_study();
            let room = Size::new(176.0, most(&project));
            let drawn = ring_card_picture(&project, &study, 0, room);
            let texts: Vec<&str> = drawn
                .list
                .shapes
                .iter()
                .filter_map(|shape| match shape {
                    Shape::Text { text, .. } => Some(text.as_str()),
                    _ => None,
                })
                .collect();
            assert!(texts.iter().any(|text| text.contains("in its groove (")), "{texts:?}");
            assert!(texts.contains(&"pin end, front"), "{texts:?}");
            if study.left_to_do().to_file > 0 {
                assert!(texts.iter().any(|text| text.ends_with("wanted, never past")), "{texts:?}");
            }
            for port in &project.ring_layout.ports {
                assert!(texts.contains(&port.name.as_str()), "{}: {texts:?}", port.name);
            }
            assert!(drawn.alt.contains("clockwise from the front end of the pin"));
        }
    }
}
