//! Numbered flags on the drawing: what a step speaks of, with a leader to it.

use crate::app::theme::{Tokens, radius, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::paint;
use crate::drawing::section::Section;
use crate::lesson::{ScreenPlace, WindowArea};
use egui::accesskit::Role;
use egui::{Align, Id, Pos2, Rect, Sense, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2};

const HEIGHT: f32 = 26.0;

/// Where a place lies on the drawing; nothing if it is not on it.
#[must_use]
pub(crate) fn anchor(place: ScreenPlace, drawn: &Section) -> Option<Pos2> {
    crate::sheet::anchor(place, drawn).map(to_screen)
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen need no more than f32")]
fn to_screen(p: kurbo::Point) -> Pos2 {
    pos2(p.x as f32, p.y as f32)
}

/// Shows the flags of the step, and frames the title block if it is spoken
/// of. Texts and grips of the drawing and what else covers the sheet are kept
/// free where there is room, the enlarged details where there is more.
pub(crate) fn flags_ui(
    ui: &Ui,
    frame: Rect,
    (block, covers): (Rect, &[Rect]),
    drawn: &Section,
    shown: &ViewContext<'_>,
) {
    let Some(playing) = shown.lesson else { return };
    let Some(step) = playing.run().now() else { return };
    let t = shown.t;
    if step.look.iter().any(|(place, _)| *place == ScreenPlace::Area(WindowArea::TitleBlock)) {
        ui.painter().rect_stroke(block, 0.0, t.stroke(width::HEAVY, t.accent), StrokeKind::Inside);
    }
    let texts: Vec<Rect> = drawn.texts.iter().map(|placed| to_rect(placed.outline.bounds())).collect();
    let mut taken = texts.clone();
    taken.extend(drawn.handles.iter().map(|handle| grip_at(to_screen(handle.at))));
    taken.extend(covers);
    taken.push(block);
    let details: Vec<Rect> =
        drawn.rim.iter().chain(&drawn.foot).map(|detail| to_rect(detail.frame())).collect();
    let mut number = 0;
    for ((place, _), words) in step.look.iter().zip(&playing.said().flags) {
        if words.is_empty() {
            continue;
        }
        let Some(at) = anchor(*place, drawn).filter(|at| frame.contains(*at)) else { continue };
        number += 1;
        let (flag, leader) = flag_ui(ui, frame, (at, number, words), (&taken, &details, &texts), t);
        taken.push(flag);
        // The next one does not lie on the way to this one's place.
        let along = [0.2, 0.4, 0.6, 0.8].map(|part| leader[0].lerp(leader[1], part));
        taken.extend(along.map(|at| Rect::from_center_size(at, Vec2::splat(8.0))));
    }
}

/// About where a grip lies.
fn grip_at(at: Pos2) -> Rect {
    Rect::from_center_size(at, Vec2::splat(20.0))
}

fn to_rect(r: kurbo::Rect) -> Rect {
    Rect::from_min_max(to_screen(kurbo::Point::new(r.x0, r.y0)), to_screen(kurbo::Point::new(r.x1, r.y1)))
}

/// One flag; what it covers, and its leader.
fn flag_ui(
    ui: &Ui,
    frame: Rect,
    (at, number, words): (Pos2, usize, &str),
    (taken, details, texts): (&[Rect], &[Rect], &[Rect]),
    t: &Tokens,
) -> (Rect, [Pos2; 2]) {
    let painter = ui.painter().with_clip_rect(frame);
    let galley = paint::line(&painter, words, semibold(text::DIMENSION), t.ink);
    let size = vec2(galley.size().x + 40.0, HEIGHT);
    let rect = free_place(frame, at, size, taken, details);
    let near = pos2(at.x.clamp(rect.left() + 10.0, rect.right() - 10.0), rect.center().y);
    // At the edge of a value, not on its digits.
    let text = texts.iter().find(|text| text.expand(4.0).contains(at));
    let at = text.map_or(at, |text| {
        let way = (near - text.center()).normalized();
        text.expand(5.0).intersects_ray_from_center(way)
    });
    painter.line_segment([near, at], t.stroke(1.6, t.accent));
    painter.circle_filled(at, 3.4, t.accent);
    painter.rect(rect, HEIGHT / 2.0, t.sheet, t.stroke(1.6, t.accent), StrokeKind::Inside);
    let disc = pos2(rect.left() + 14.0, rect.center().y);
    painter.circle_filled(disc, 8.0, t.accent);
    let font = semibold(text::CAPTION);
    let digit = paint::line(&painter, &number.to_string(), font, t.on_accent);
    painter.galley(disc - digit.size() / 2.0, digit, t.on_accent);
    let baseline = paint::baseline_for_middle(rect.center().y, text::DIMENSION);
    paint::place(&painter, pos2(rect.left() + 28.0, baseline), Align::Min, galley, t.ink);
    let response = ui.interact(rect, Id::unique(("lesson flag", number)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("Flag {number}: {words}")));
    (rect.expand(radius::BUTTON), [near, at])
}

/// The nearest of some places around a point where nothing is covered, else
/// where only a detail is; the first one if each covers more.
fn free_place(frame: Rect, at: Pos2, size: Vec2, taken: &[Rect], details: &[Rect]) -> Rect {
    let inner = frame.shrink(6.0);
    let ways = [(0.4_f32, 1.0_f32), (-0.8, 1.0), (-1.0, -0.6), (1.0, -0.6), (-1.4, 0.2), (1.4, 0.2)];
    let distances = [44.0_f32, 70.0, 100.0, 140.0, 190.0];
    let place = |(distance, (x, y)): (f32, (f32, f32))| {
        let rect = Rect::from_center_size(at + vec2(x * (distance + size.x * 0.3), y * distance), size);
        rect.translate(vec2(
            (inner.left() - rect.left()).max(0.0) - (rect.right() - inner.right()).max(0.0),
            (inner.top() - rect.top()).max(0.0) - (rect.bottom() - inner.bottom()).max(0.0),
        ))
    };
    let places = distances.into_iter().flat_map(|distance| ways.into_iter().map(move |way| (distance, way)));
    let places: Vec<Rect> = places.map(place).filter(|rect| !rect.expand(8.0).contains(at)).collect();
    let free = |rect: &&Rect| taken.iter().all(|other| !other.intersects(**rect));
    let clear = |rect: &&Rect| free(rect) && details.iter().all(|other| !other.intersects(**rect));
    let found = places.iter().find(clear).or_else(|| places.iter().find(free)).or(places.first());
    found.copied().unwrap_or_else(|| Rect::from_min_size(at + vec2(20.0, 20.0), size))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flag_stays_in_the_frame_and_off_what_is_taken() {
        let frame = Rect::from_min_size(pos2(0.0, 0.0), vec2(600.0, 500.0));
        let size = vec2(90.0, HEIGHT);
        for at in [pos2(5.0, 5.0), pos2(590.0, 490.0), pos2(300.0, 250.0)] {
            let free = free_place(frame, at, size, &[], &[]);
            assert!(frame.contains_rect(free) && !free.contains(at), "{at:?} {free:?}");
            let other = free_place(frame, at, size, &[free], &[]);
            assert!(!other.intersects(free), "{at:?}");
        }
    }
}
