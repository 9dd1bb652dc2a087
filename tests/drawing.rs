//! The drawing as a drawing office would check it, on every demo engine: no
//! text lies on another, on a ring round a detail, on a dimension line or
//! outside of its sheet.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use crowndeck::app::layout::layout;
use crowndeck::app::views::sheet::room;
use crowndeck::drawing::clip::Convex;
use crowndeck::drawing::label::{Pose, outline};
use crowndeck::drawing::list::{Dash, DisplayList, Ink, Shape};
use crowndeck::drawing::page::{Block, Date, Document};
use crowndeck::drawing::pens::{Letters, Pens};
use crowndeck::drawing::section::section;
use crowndeck::drawing::towers::towers;
use crowndeck::drawing::view::Turn;
use crowndeck::drawing::{Frame, SectionInput};
use crowndeck::project::{Project, demos};
use crowndeck::scene::cylinder::{measured, parts_input};
use crowndeck::sheet::{Choices, Context, Paper, SheetKind, Stamp, binder, worst_cylinder};
use crowndeck::study::Answers;
use kurbo::{Circle, Line, PathEl, Point, Shape as _};

/// Top, half way, bottom, and a place where the gap just opens.
const ANGLES: [f64; 5] = [0.0, 12.0, 90.0, 180.0, -60.0];

struct Asked {
    id: &'static str,
    project: Project,
    answers: Answers,
}

fn all() -> Vec<Asked> {
    let asked = demos().iter().map(|demo| {
        let project = demo.project().unwrap();
        let answers = Answers::to(&project.question());
        Asked { id: demo.id, project, answers }
    });
    asked.collect()
}

impl Asked {
    /// Draws every cylinder that differs from the one before at every angle.
    fn each_section(&self, turn: Option<Turn>, mut then: impl FnMut(&SectionInput<'_>, &str)) {
        let assembly = &self.project.engine;
        for cylinder in [0, self.project.engine.cylinders.len() - 1] {
            let solved = self.answers.cylinders[cylinder].result.as_ref().unwrap();
            let (parts, _) = parts_input(assembly, &solved.engine).unwrap();
            let turn = turn.unwrap_or_else(|| crowndeck::scene::cylinder::turn(assembly, cylinder));
            for angle_deg in ANGLES {
                let input = SectionInput {
                    angle_deg,
                    turn,
                    units: self.project.units,
                    tints: true,
                    doubt_mm: Some(0.02),
                    ..SectionInput::new(&parts, measured(assembly, cylinder))
                };
                then(&input, &format!("{} cylinder {}, {angle_deg}°", self.id, cylinder + 1));
            }
        }
    }

    fn document(&self, paper: Paper, sheets: Vec<SheetKind>) -> Document {
        let question = self.project.question();
        let context = Context {
            project: &self.project,
            question: &question,
            answers: &self.answers,
            units: self.project.units,
            cylinder: worst_cylinder(&self.answers),
            crank_deg: 0.0,
        };
        let choices = Choices {
            sheets,
            paper,
            units: context.units,
            cylinder: context.cylinder,
            every_cylinder: true,
            crank_deg: 0.0,
        };
        let stamp = Stamp { date: Date::new(2026, 11, 26).unwrap(), author: "Bench".into() };
        binder(&context, &choices, &stamp, &mut |_, _| true).unwrap()
    }
}

/// The sheet in the windows that people have, with and without a wide drawer.
fn windows() -> impl Iterator<Item = (Frame, String)> {
    let sizes = [(1024.0, 640.0), (1280.0, 720.0), (1440.0, 900.0), (1920.0, 1080.0)];
    sizes.into_iter().flat_map(|(w, h)| {
        [false, true].map(|wide| {
            let words = if wide { "beside a wide drawer" } else { "" };
            (room(&layout(egui::vec2(w, h), wide)), format!("{w}×{h} {words}"))
        })
    })
}

/// Texts with their outlines, read out of the list itself.
fn texts<'a>(shapes: impl IntoIterator<Item = &'a Shape>) -> Vec<(&'a str, Convex)> {
    let texts = shapes.into_iter().filter_map(|shape| match shape {
        Shape::Text { at, anchor, turn_deg, size, bold, text, .. } => {
            let letters = Letters { size: *size, bold: *bold };
            let pose = Pose { at: *at, anchor: *anchor, turn_deg: *turn_deg };
            Some((text.as_str(), outline(text, letters, pose)))
        }
        _ => None,
    });
    texts.collect()
}

/// The rings of details and marks: full circles in a narrow continuous line.
fn rings(list: &DisplayList) -> Vec<Circle> {
    let rings = list.shapes.iter().filter_map(|shape| match shape {
        Shape::Stroke { path, ink: Ink::Edge | Ink::Second, dash: Dash::Solid, .. } => {
            let around = path.bounding_box();
            let round = path
                .elements()
                .iter()
                .all(|el| matches!(el, PathEl::MoveTo(_) | PathEl::CurveTo(..) | PathEl::ClosePath));
            let curves = path.elements().iter().filter(|el| matches!(el, PathEl::CurveTo(..))).count();
            let square = (around.width() - around.height()).abs() < 1e-6 * around.width();
            (round && square && curves >= 4).then(|| Circle::new(around.center(), around.width() / 2.0))
        }
        _ => None,
    });
    rings.collect()
}

/// Dimension lines with an arrow at either end.
fn dimension_lines(list: &DisplayList) -> Vec<Line> {
    let tips: Vec<Point> = list
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Fill { path, .. } if path.elements().len() == 4 => path.elements()[0].end_point(),
            _ => None,
        })
        .collect();
    let is_tip = |p: Point| tips.iter().any(|tip| (*tip - p).hypot() < 1e-6);
    let lines = list.shapes.iter().filter_map(|shape| match shape {
        Shape::Stroke { path, dash: Dash::Solid, .. } => match path.elements() {
            [PathEl::MoveTo(a), PathEl::LineTo(b)] if is_tip(*a) && is_tip(*b) => Some(Line::new(*a, *b)),
            _ => None,
        },
        _ => None,
    });
    lines.collect()
}

const ON_A_LINE: &str = " lies on a dimension line";

/// No two texts share a place, and none lies across a ring or on a dimension
/// line.
fn faults(list: &DisplayList) -> Vec<String> {
    let texts = texts(&list.shapes);
    let mut faults = Vec::new();
    for (i, (a, outline)) in texts.iter().enumerate() {
        for (b, other) in &texts[..i] {
            if outline.overlaps(other) {
                faults.push(format!("{a:?} lies on {b:?}"));
            }
        }
        for line in dimension_lines(list) {
            if outline.inside(line).is_some_and(|(from, to)| (to - from) * (line.p1 - line.p0).hypot() > 1.0)
            {
                faults.push(format!("{a:?}{ON_A_LINE}"));
            }
        }
        for ring in rings(list) {
            let far = outline.corners().iter().map(|p| (*p - ring.center).hypot()).fold(0.0, f64::max);
            if far > ring.radius && outline.distance(ring.center) < ring.radius {
                faults.push(format!("{a:?} lies across a ring of radius {:.1}", ring.radius));
            }
        }
    }
    faults
}

#[test]
fn on_no_sheet_of_a_window_does_a_text_lie_on_another_a_ring_or_a_dimension_line() {
    let mut found = Vec::new();
    let mut drawn = 0;
    for asked in all() {
        for upright in [None, Some(Turn::UPRIGHT), Some(Turn::from_deg(35.0))] {
            asked.each_section(upright, |input, what| {
                for (frame, window) in windows() {
                    let section = section(input, &frame, &Pens::SCREEN);
                    let what = format!("{what} turned {}, {window}", input.turn.deg());
                    // An engine that leans in a sheet that is narrower than it is
                    // tall may lack room for a value; it then stands in the list,
                    // or on a line.
                    let cramped = upright.is_some_and(|t| t != Turn::UPRIGHT) && !frame.tower;
                    let mut wrong = faults(&section.list);
                    wrong.retain(|fault| !cramped || !fault.ends_with(ON_A_LINE));
                    let outside = section.texts.iter().filter(|t| {
                        let at = t.outline.bounds();
                        !frame.area.contains_rect(at)
                            || frame.keep_clear.iter().any(|k| k.inset(-1e-6).intersect(at).area() > 0.0)
                    });
                    // A grip would hide part of a value, and 60.1 reads as 0.1.
                    let under_a_grip = section.texts.iter().filter(|t| {
                        let grips = section.handles.iter().map(|handle| handle.at);
                        grips.into_iter().any(|grip| t.outline.distance(grip) < 7.0)
                    });
                    wrong.extend(under_a_grip.map(|t| format!("{:?} lies under a grip", t.text)));
                    wrong.extend(outside.map(|t| format!("{:?} leaves the sheet", t.text)));
                    let left_out = section.left_out.iter().filter(|_| !cramped);
                    wrong.extend(left_out.map(|text| format!("{text:?} found no place")));
                    found.extend(wrong.into_iter().map(|wrong| format!("{what}: {wrong}")));
                    drawn += rings(&section.list).len().min(1);
                }
            });
        }
    }
    assert!(drawn > 500, "rings are found: {drawn}");
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn in_the_view_of_the_towers_no_text_lies_on_another_the_ring_or_a_dimension_line() {
    let mut found = Vec::new();
    for asked in all() {
        asked.each_section(None, |input, what| {
            for (frame, window) in windows() {
                let towers = towers(input, &frame, &Pens::SCREEN);
                let left_out = towers.left_out.iter().map(|text| format!("{text:?} found no place"));
                let wrong = faults(&towers.list).into_iter().chain(left_out);
                found.extend(wrong.map(|wrong| format!("{what}, {window}: {wrong}")));
            }
        });
    }
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn on_paper_no_text_of_a_drawing_lies_on_another_a_ring_or_a_dimension_line() {
    let mut found = Vec::new();
    for asked in all() {
        for paper in [Paper::A4, Paper::Letter] {
            let document = asked.document(paper, vec![SheetKind::Section, SheetKind::Towers]);
            for page in &document.pages {
                let figures = page.blocks.iter().filter(|block| matches!(block, Block::Figure(..)));
                let shapes: Vec<Shape> = figures.flat_map(Block::shapes).cloned().collect();
                let what = format!("{} on {paper:?}, {}", asked.id, page.name);
                found.extend(
                    faults(&DisplayList { shapes }).into_iter().map(|wrong| format!("{what}: {wrong}")),
                );
            }
        }
    }
    assert_eq!(found, Vec::<String>::new());
}
