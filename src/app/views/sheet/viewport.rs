//! Looking closely at the drawing: enlarged at the pointer, moved by hand, the
//! whole of it, or as large as the parts on the bench.

use crate::drawing::Lens;
use crate::drawing::view::View;
use egui::{CursorIcon, Id, PointerButton, Pos2, Rect, Sense, Ui, Vec2};
use kurbo::Point;

/// One step of the keys and buttons.
const STEP: f64 = 1.25;
/// Nobody looks closer than this many times the whole drawing: a hundredth of
/// a millimetre is then some points wide.
const MOST: f64 = 400.0;
/// Points of the wheel that double the drawing.
const WHEEL_DOUBLES: f32 = 240.0;

/// What a person looks at.
#[derive(Clone, Debug, Default)]
pub(super) struct Viewport {
    /// None: the whole drawing.
    pub lens: Option<Lens>,
    seen: Option<Seen>,
}

/// How the drawing was shown last.
#[derive(Clone, Copy, Debug)]
struct Seen {
    view: View,
    whole_scale: f64,
    area: kurbo::Rect,
}

impl Viewport {
    /// Remembers how the drawing is shown, for what is asked next.
    pub(super) fn remember(&mut self, view: View, whole_scale: f64, area: kurbo::Rect) {
        self.seen = Some(Seen { view, whole_scale, area });
    }

    /// Points per mm of the engine, and how many times the whole drawing.
    #[must_use]
    pub(super) fn scale(&self) -> Option<(f64, f64)> {
        self.seen.map(|seen| (seen.view.scale(), seen.view.scale() / seen.whole_scale))
    }

    /// Shows the whole drawing.
    pub(super) fn whole(&mut self) {
        self.lens = None;
    }

    /// One step closer or farther, around the middle of the sheet.
    pub(super) fn step(&mut self, closer: bool) {
        if let Some(seen) = self.seen {
            self.zoom(if closer { STEP } else { 1.0 / STEP }, seen.area.center());
        }
    }

    /// Enlarges what is at a place of the screen by a factor; shows the whole
    /// where less than that would be left.
    pub(super) fn zoom(&mut self, factor: f64, at: Point) {
        let Some(seen) = self.seen else { return };
        let wished = seen.view.scale() * factor;
        if wished <= seen.whole_scale {
            self.whole();
            return;
        }
        let scale = wished.min(MOST * seen.whole_scale);
        self.look(seen.view.zoomed(scale / seen.view.scale(), at));
    }

    /// Shows the drawing in this scale, the middle staying where it is.
    pub(super) fn at_scale(&mut self, points_per_mm: f64) {
        if let Some(seen) = self.seen {
            self.look(seen.view.zoomed(points_per_mm / seen.view.scale(), seen.area.center()));
        }
    }

    fn look(&mut self, view: View) {
        if let Some(seen) = &mut self.seen {
            self.lens = Some(Lens::of(&view, seen.area));
            // What is asked next in the same frame goes on from here.
            seen.view = view;
        }
    }

    /// Takes wheel, pinch and drags on the empty sheet.
    pub(super) fn take_hand(&mut self, ui: &Ui, frame: Rect) {
        // Not in the order of the keyboard: the keys + − 0 do the same.
        let ground = ui.interact(frame, Id::unique("sheet ground"), Sense::CLICK | Sense::DRAG);
        if ground.double_clicked() {
            self.whole();
        }
        let held = [PointerButton::Primary, PointerButton::Middle];
        if self.lens.is_some() && held.iter().any(|&button| ground.dragged_by(button)) {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
            self.pan(ground.drag_delta());
        }
        if ground.contains_pointer()
            && let Some(pointer) = ui.input(|i| i.pointer.hover_pos())
        {
            let (wheel, pinch) = ui.input(|i| (i.smooth_scroll_delta.y, i.zoom_delta()));
            let factor = (wheel / WHEEL_DOUBLES).exp2() * pinch;
            if factor != 1.0 && factor > 0.0 {
                self.zoom(f64::from(factor), place(pointer));
            }
        }
    }

    fn pan(&mut self, by: Vec2) {
        if let Some(seen) = self.seen.filter(|_| by != Vec2::ZERO) {
            self.look(seen.view.moved(kurbo::Vec2::new(f64::from(by.x), f64::from(by.y))));
        }
    }
}

fn place(p: Pos2) -> Point {
    Point::new(f64::from(p.x), f64::from(p.y))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::view::Turn;

    fn glass() -> Viewport {
        let mut glass = Viewport::default();
        let view = View::new(2.0, Point::new(100.0, 400.0), Turn::UPRIGHT);
        glass.remember(view, 2.0, kurbo::Rect::new(0.0, 0.0, 600.0, 500.0));
        glass
    }

    fn view(glass: &Viewport) -> View {
        let seen = glass.seen.unwrap();
        glass.lens.map_or(seen.view, |lens| lens.view(seen.area, Turn::UPRIGHT))
    }

    #[test]
    fn what_is_under_the_pointer_stays_there() {
        let mut glass = glass();
        let at = Point::new(180.0, 90.0);
        let held = view(&glass).model_from_out(at);
        for _ in 0..5 {
            glass.zoom(1.7, at);
            assert!((view(&glass).out_from_model(held) - at).hypot() < 1e-9);
        }
        assert!((glass.scale().unwrap().1 - 1.7 * 1.7 * 1.7 * 1.7 * 1.7).abs() < 1e-9);
    }

    #[test]
    fn smaller_than_whole_is_whole_and_larger_than_most_is_most() {
        let mut glass = glass();
        glass.step(true);
        assert!(glass.lens.is_some());
        glass.zoom(0.1, Point::ZERO);
        assert_eq!(glass.lens, None);
        let mut glass = self::glass();
        glass.zoom(1e9, Point::new(10.0, 10.0));
        assert!((glass.scale().unwrap().1 - MOST).abs() < 1e-9);
    }

    #[test]
    fn true_size_is_the_scale_that_was_asked_for() {
        let mut glass = glass();
        glass.at_scale(3.78);
        assert!((view(&glass).scale() - 3.78).abs() < 1e-12);
    }
}
