//! What a step speaks of stands out: its rows are framed and the rest of the
//! window steps back, until it is pointed at or has the keyboard.

use crate::app::layout::Layout;
use crate::app::theme::{radius, width};
use crate::app::views::ViewContext;
use crate::app::widgets::panel;
use crate::engine::Key;
use crate::lesson::{ScreenPlace, WindowArea};
use egui::{Rect, StrokeKind, Ui, pos2};

/// Steps back what is not spoken of. `rows` is where the rows of the
/// dimensions stand in this frame.
pub(crate) fn spotlight_ui(ui: &Ui, shown: &ViewContext<'_>, rows: &[(Key, Rect)]) {
    let Some(step) = shown.lesson.and_then(|playing| playing.run().now()) else { return };
    let spoken = |place: ScreenPlace| step.look.iter().any(|(at, _)| *at == place);
    let layout: &Layout = shown.layout;
    let t = shown.t;
    let framed: Vec<Rect> = rows
        .iter()
        .filter(|(key, _)| spoken(ScreenPlace::Dimension(*key)))
        .map(|(_, rect)| rect.intersect(layout.left))
        .filter(|rect| rect.height() > 4.0)
        .collect();
    if !in_use(ui, layout.left) && !spoken(ScreenPlace::Area(WindowArea::Dimensions)) {
        for rect in around(layout.left, &framed) {
            panel::step_back(ui.painter(), rect, t);
        }
    }
    for rect in &framed {
        let stroke = t.stroke(width::HEAVY, t.accent);
        ui.painter().rect_stroke(rect.shrink(1.0), radius::BUTTON, stroke, StrokeKind::Inside);
    }
    // The panel takes the places of fronts that do not exist.
    let closed = super::super::panel::PANELS.len() - 1;
    let fronts =
        layout.fronts.iter().rev().take(closed).copied().reduce(Rect::union).unwrap_or(Rect::NOTHING);
    let beside = super::beside(shown);
    let mut panels = vec![(layout.curves, WindowArea::Curves)];
    if beside.fronts {
        panels.push((fronts, WindowArea::Fronts));
    }
    if beside.cylinders {
        panels.push((layout.cylinders, WindowArea::Cylinders));
    }
    for (rect, of) in panels {
        let covered = layout.right_over_sheet && of != WindowArea::Curves;
        if !spoken(ScreenPlace::Area(of)) && !in_use(ui, rect) && !covered {
            panel::step_back(ui.painter(), rect, t);
        }
    }
    if !in_use(ui, layout.top) {
        panel::step_back(ui.painter(), layout.top, t);
    }
}

/// Whether the pointer or the keyboard is in it.
fn in_use(ui: &Ui, rect: Rect) -> bool {
    let pointed = ui.input(|i| i.pointer.hover_pos()).is_some_and(|at| rect.contains(at));
    let focused = ui.memory(|memory| memory.focused());
    pointed
        || focused.and_then(|id| ui.ctx().read_response(id)).is_some_and(|r| rect.contains(r.rect.center()))
}

/// The parts of a panel above, between and below its framed rows.
fn around(panel: Rect, framed: &[Rect]) -> Vec<Rect> {
    let mut rows = framed.to_vec();
    rows.sort_by(|a, b| a.top().total_cmp(&b.top()));
    let mut parts = Vec::new();
    let mut top = panel.top();
    for row in rows {
        if row.top() > top {
            parts.push(Rect::from_min_max(pos2(panel.left(), top), pos2(panel.right(), row.top())));
        }
        top = top.max(row.bottom());
    }
    if top < panel.bottom() {
        parts.push(Rect::from_min_max(pos2(panel.left(), top), panel.max));
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steps_back_leaves_out_the_framed_rows() {
        let rect = |y0: f32, y1: f32| Rect::from_min_max(pos2(0.0, y0), pos2(10.0, y1));
        let parts = around(rect(0.0, 100.0), &[rect(40.0, 60.0), rect(20.0, 40.0)]);
        assert_eq!(parts, [rect(0.0, 20.0), rect(60.0, 100.0)]);
        assert_eq!(around(rect(0.0, 100.0), &[]), [rect(0.0, 100.0)]);
    }
}
