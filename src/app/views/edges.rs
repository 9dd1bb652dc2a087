//! The edges between the panes: dragged, or moved with the arrow keys.

use crate::app::layout::{Layout, Panes};
use crate::app::theme::{Tokens, radius, width};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{CursorIcon, EventFilter, Id, Key, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// What an arrow key moves an edge by, points.
const STEP: f32 = 8.0;
/// Length of the mark that shows where an edge is taken.
const MARK: f32 = 22.0;

/// An edge between two panes.
struct Edge {
    /// What its place is.
    name: &'static str,
    /// The gap in which it lies.
    gap: Rect,
    /// It moves sideways.
    sideways: bool,
    /// Size of the pane that it belongs to, points.
    size: f32,
    /// The size grows toward the right or the bottom.
    grows_on: bool,
}

/// Shows the edges and moves them.
pub(crate) fn edges_ui(ui: &Ui, layout: &Layout, wide: bool, panes: &mut Panes, t: &Tokens) {
    if layout.right_over_sheet {
        return;
    }
    let Layout { left, sheet, curves, right, .. } = layout;
    let upright = |from: &Rect, to: &Rect| {
        Rect::from_min_max(pos2(from.right(), from.top()), pos2(to.left(), from.bottom().max(to.bottom())))
    };
    let edges = [
        Edge {
            name: "Width of the dimensions",
            gap: upright(left, sheet),
            sideways: true,
            size: left.width(),
            grows_on: true,
        },
        Edge {
            name: "Width of the right column",
            gap: upright(sheet, right),
            sideways: true,
            size: right.width(),
            grows_on: false,
        },
        Edge {
            name: "Height of the curves",
            gap: Rect::from_min_max(sheet.left_bottom(), curves.right_top()),
            sideways: false,
            size: curves.height(),
            grows_on: false,
        },
    ];
    // What is moved is counted from where the edges really stand.
    let Panes { left, right, wide: wide_right, curves } = panes;
    let now = layout.panes;
    let wanted = [
        (left, now.left),
        if wide { (wide_right, now.wide) } else { (right, now.right) },
        (curves, now.curves),
    ];
    for (edge, (wanted, now)) in edges.iter().zip(wanted) {
        let Some(moved) = edge.moved(ui, t) else { continue };
        *wanted = match moved {
            Moved::By(by) => now + by,
            Moved::Back => 0.0,
        };
        ui.ctx().request_repaint();
    }
}

enum Moved {
    /// The pane becomes larger by so many points.
    By(f32),
    /// To where it stands usually.
    Back,
}

impl Edge {
    fn moved(&self, ui: &Ui, t: &Tokens) -> Option<Moved> {
        let id = Id::unique(("edge", self.name));
        let response = ui.interact(self.gap, id, Sense::click_and_drag());
        let (cursor, more, less) = if self.sideways {
            (CursorIcon::ResizeHorizontal, Key::ArrowRight, Key::ArrowLeft)
        } else {
            (CursorIcon::ResizeVertical, Key::ArrowDown, Key::ArrowUp)
        };
        let response = response.on_hover_cursor(cursor);
        response.widget_info(|| WidgetInfo::slider(true, f64::from(self.size), self.name));
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_role(Role::Splitter);
            node.set_value(format!("{:.0} points", self.size));
        });
        let lit = response.hovered() || response.dragged() || response.has_focus();
        let middle = self.gap.center();
        let long = if self.sideways { vec2(2.0, MARK) } else { vec2(MARK, 2.0) };
        ui.painter().rect_filled(
            Rect::from_center_size(middle, long),
            1.0,
            if lit { t.accent } else { t.line },
        );
        if response.has_focus() {
            let around = Rect::from_center_size(middle, long).expand(width::HEAVY);
            paint::focus_ring(ui.painter(), around, radius::GRIP, t);
        }
        let sign = if self.grows_on { 1.0 } else { -1.0 };
        if response.double_clicked() {
            return Some(Moved::Back);
        }
        if response.dragged() {
            let drag = response.drag_delta();
            let by = sign * if self.sideways { drag.x } else { drag.y };
            return (by != 0.0).then_some(Moved::By(by));
        }
        if !response.has_focus() {
            return None;
        }
        let filter = EventFilter {
            horizontal_arrows: self.sideways,
            vertical_arrows: !self.sideways,
            ..EventFilter::default()
        };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
        let pressed = |key| ui.input(|input| input.key_pressed(key));
        if pressed(more) {
            Some(Moved::By(sign * STEP))
        } else if pressed(less) {
            Some(Moved::By(-sign * STEP))
        } else {
            None
        }
    }
}
