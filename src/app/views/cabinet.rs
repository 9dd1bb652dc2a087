//! The right column: all cylinders, the open panel, and the fronts of the
//! closed ones, which still say what is inside.

use super::panel::{PANELS, Panel, PanelRow, PanelView};
use super::{ViewContext, cylinders, lessons};
use crate::app::command::Command;
use crate::app::theme::radius;
use crate::app::widgets::panel;
use crate::app::widgets::panel_tab::{PanelTab, panel_head};
use crate::app::widgets::verdict::Verdict as Shape;
use crate::study::verdict::Verdict;
use egui::{Id, Rect, Sense, Ui, UiBuilder, pos2, vec2};

/// The panels, and what the column remembers.
pub(crate) struct Cabinet {
    views: Vec<(Panel, Box<dyn PanelView>)>,
    /// In the least window: the column lies open over the sheet.
    pub(crate) overlay_open: bool,
    /// The keyboard is in something that stands outside this column.
    pub(crate) keyboard_elsewhere: bool,
}

impl Default for Cabinet {
    fn default() -> Self {
        let views = PANELS.iter().map(|row| (row.panel, (row.new)())).collect();
        Self { views, overlay_open: false, keyboard_elsewhere: false }
    }
}

impl Cabinet {
    /// Returns a panel; every one has its row in the table, so `None` is never
    /// met (test).
    pub(crate) fn panel(&mut self, panel: Panel) -> Option<&mut dyn PanelView> {
        let (_, view) = self.views.iter_mut().find(|(of, _)| *of == panel)?;
        Some(view.as_mut())
    }

    /// How far the content of a panel reached beyond its room when it was last
    /// shown, points.
    pub(crate) fn overflow(&self, panel: Panel) -> f32 {
        self.views.iter().find(|(of, _)| *of == panel).map_or(0.0, |(_, view)| view.overflow())
    }
}

/// Identity of the head of the open panel.
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
    if layout.right_over_sheet && !view.overlay_open {
        return;
    }
    if layout.right_over_sheet {
        // The sheet does not show through between the panels, and is not
        // touched through them.
        let ground = Rect::from_min_max(layout.right.min - vec2(8.0, 6.0), layout.right.max + vec2(8.0, 8.0));
        ui.interact(ground, Id::unique("under the right column"), Sense::CLICK | Sense::DRAG);
        ui.painter().rect_filled(ground, radius::PANEL, t.board);
    }
    let beside = lessons::beside(shown);
    if beside.cylinders {
        panel::paint_panel(ui.painter(), layout.cylinders, t);
        cylinders::cylinders_ui(ui, layout.cylinders, shown, out);
    }
    let open = shown.panel.row();
    let closed: Vec<&PanelRow> =
        PANELS.iter().filter(|row| beside.fronts && row.panel != open.panel).collect();
    // The fronts that exist stand at the bottom; the panel takes the rest.
    let places: Vec<Rect> = layout.fronts.iter().rev().take(closed.len()).rev().copied().collect();
    let bottom = places.first().map_or(layout.right.bottom(), |front| front.top() - 4.0);
    let top = if beside.cylinders { layout.panel.top() } else { layout.cylinders.top() };
    let panel = Rect::from_min_max(pos2(layout.panel.left(), top), pos2(layout.panel.right(), bottom));
    panel::paint_panel(ui.painter(), panel, t);
    let focused = ui.memory(|m| m.focused()).and_then(|id| ui.ctx().read_response(id));
    view.keyboard_elsewhere =
        focused.is_some_and(|focused| !panel.x_range().contains(focused.rect.center().x));
    let head = Rect::from_min_size(panel.min + vec2(14.0, 4.0), vec2(panel.width() - 28.0, 32.0));
    if panel_head(ui, head, head_id(), open.icon, open.name, open.key.name(), t).clicked() {
        out.push(Command::Show(Panel::Figures));
    }
    let body =
        Rect::from_min_max(pos2(panel.left() + 14.0, head.bottom() + 2.0), panel.max - vec2(14.0, 8.0));
    let body = lessons::strip_ui(ui, body, shown, out);
    ui.scope_builder(UiBuilder::new().max_rect(body).id_salt(open.name), |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        if let Some(panel) = view.panel(open.panel) {
            panel.ui(ui, shown, out);
        }
    });
    for (row, rect) in closed.into_iter().zip(places) {
        let (status, verdict) =
            view.panel(row.panel).map_or_else(Default::default, |panel| panel.status(shown));
        let front = PanelTab {
            id: Id::unique(("front", row.name)),
            icon: row.icon,
            name: row.name,
            key: row.key.name(),
            status: &status,
            verdict,
        };
        if front.show(ui, rect, t).clicked() {
            out.push(Command::Show(row.panel));
        }
    }
}
