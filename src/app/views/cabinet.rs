//! The right column: all cylinders, the open drawer, and the fronts of the
//! closed ones, which still say what is inside.

use super::bench::BenchView;
use super::binder::BinderView;
use super::compare::CompareView;
use super::engine::EngineView;
use super::lessons::{self, LessonsView};
use super::panel::{DRAWERS, Panel, PanelRow};
use super::readings::ReadingsView;
use super::rings::RingsView;
use super::shims::ShimsView;
use super::{ViewContext, cylinders};
use crate::app::command::Command;
use crate::app::theme::radius;
use crate::app::widgets::panel;
use crate::app::widgets::panel_tab::{PanelTab, panel_head};
use crate::app::widgets::verdict::Verdict as Shape;
use crate::study::verdict::Verdict;
use egui::{Id, Rect, Sense, Ui, UiBuilder, pos2, vec2};

/// What the column remembers.
#[derive(Default)]
pub struct Cabinet {
    /// What the binder drawer remembers.
    pub binder: BinderView,
    /// What the bench log remembers.
    pub bench: BenchView,
    /// What the drawer of lessons remembers.
    pub lessons: LessonsView,
    /// What the readings drawer remembers.
    pub readings: ReadingsView,
    /// What the drawer of kept states remembers.
    pub compare: CompareView,
    /// What the engine drawer remembers.
    pub engine: EngineView,
    /// What the drawer of rings remembers.
    pub rings: RingsView,
    /// What the drawer of shims remembers.
    pub shims: ShimsView,
    /// In the least window: the column was called over the sheet.
    pub called: bool,
    /// The keyboard is in something that stands outside this column.
    pub keyboard_elsewhere: bool,
}

/// Identity of the head of the open drawer.
#[must_use]
pub(crate) fn head_id() -> Id {
    Id::unique("drawer head")
}

/// The shape of a verdict.
#[must_use]
pub(crate) fn shape(verdict: &Verdict) -> Shape {
    match verdict {
        Verdict::Inside { .. } => Shape::Inside,
        Verdict::TooNear => Shape::Close,
        Verdict::Over { .. } => Shape::Over,
        Verdict::Unknown { .. } => Shape::Unknown,
    }
}

/// Shows the column.
pub(crate) fn cabinet_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut Cabinet, out: &mut Vec<Command>) {
    let t = shown.t;
    let layout = shown.layout;
    view.keyboard_elsewhere = false;
    if layout.right_over_sheet && !view.called {
        return;
    }
    if layout.right_over_sheet {
        // The sheet does not show through between the panels, and is not
        // touched through them.
        let ground = Rect::from_min_max(layout.right.min - vec2(8.0, 6.0), layout.right.max + vec2(8.0, 8.0));
        ui.interact(ground, Id::unique("under the right column"), Sense::CLICK | Sense::DRAG);
        ui.painter().rect_filled(ground, radius::PANEL, t.board);
    }
    let beside = lessons::beside(shown, view.lessons.words.open);
    if beside.cylinders {
        panel::paint_panel(ui.painter(), layout.cylinders, t);
        cylinders::cylinders_ui(ui, layout.cylinders, shown, out);
    }
    let open = shown.panel.row();
    let closed: Vec<&PanelRow> =
        DRAWERS.iter().filter(|row| beside.fronts && row.panel != open.panel).collect();
    // The fronts that exist stand at the bottom; the drawer takes the rest.
    let places: Vec<Rect> = layout.fronts.iter().rev().take(closed.len()).rev().copied().collect();
    let bottom = places.first().map_or(layout.right.bottom(), |front| front.top() - 4.0);
    let top = if beside.cylinders { layout.panel.top() } else { layout.cylinders.top() };
    let panel = Rect::from_min_max(pos2(layout.panel.left(), top), pos2(layout.panel.right(), bottom));
    panel::paint_panel(ui.painter(), panel, t);
    let focused = ui.memory(|m| m.focused()).and_then(|id| ui.ctx().read_response(id));
    view.keyboard_elsewhere =
        focused.is_some_and(|focused| !panel.x_range().contains(focused.rect.center().x));
    let head = Rect::from_min_size(panel.min + vec2(14.0, 4.0), vec2(panel.width() - 28.0, 32.0));
    if panel_head(ui, head, head_id(), open.icon, open.name, open.key, t).clicked() {
        out.push(Command::Show(Panel::Figures));
    }
    let body =
        Rect::from_min_max(pos2(panel.left() + 14.0, head.bottom() + 2.0), panel.max - vec2(14.0, 8.0));
    let body = lessons::strip_ui(ui, body, shown, out);
    ui.scope_builder(UiBuilder::new().max_rect(body).id_salt(open.name), |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        (open.body)(ui, shown, view, out);
    });
    for (row, rect) in closed.into_iter().zip(places) {
        let (status, verdict) = (row.status)(shown);
        let front = PanelTab {
            id: Id::unique(("front", row.name)),
            icon: row.icon,
            name: row.name,
            key: row.key,
            status: &status,
            verdict,
        };
        if front.show(ui, rect, t).clicked() {
            out.push(Command::Show(row.panel));
        }
    }
}
