//! Fronts of the cabinet's panels. A closed panel still says what is
//! inside: its status stands at the right, brick with its shape where a limit
//! is broken or near.

use crate::app::icons::Icon;
use crate::app::theme::{Tokens, radius, regular, semibold, space, text, width};
use crate::app::widgets::verdict::Verdict;
use crate::app::widgets::{key_cap, paint};
use egui::accesskit::Role;
use egui::{Align, Id, Painter, Pos2, Rect, Response, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

const ICON_X: f32 = 18.5;
const NAME_X: f32 = 36.0;
/// Edge of the front to its key cap, and cap to status.
const CAP_END: f32 = 10.0;
const CAP_GAP: f32 = 10.0;
/// Size of the shape in a front.
const SHAPE: f32 = 13.5;

/// A panel's front, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PanelTab<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Its icon.
    pub icon: Icon,
    /// "Shims".
    pub name: &'a str,
    /// The key that opens it: "F5".
    pub key: &'a str,
    /// "6 of 6 measured"; "right bank not level". May be empty.
    pub status: &'a str,
    /// What the status means, where it is a verdict.
    pub verdict: Option<Verdict>,
}

impl PanelTab<'_> {
    /// Shows the front in `rect`; a click opens the panel.
    pub(crate) fn show(&self, ui: &Ui, rect: Rect, t: &Tokens) -> Response {
        let response = ui.interact(rect, self.id, Sense::click());
        let painter = ui.painter();
        let outline = if response.hovered() { t.ink2 } else { t.line };
        let fill = if response.is_pointer_button_down_on() { t.accent_tint } else { t.panel };
        painter.rect(rect, radius::BUTTON, fill, t.stroke(width::REST, outline), StrokeKind::Inside);
        let middle = rect.center().y;
        let cap = key_cap::paint_cap(painter, pos2(rect.right() - CAP_END, middle), self.key, t);
        let end = cap.left() - space::TIGHT;
        let wanted = paint::line(painter, self.name, semibold(text::BODY), t.ink).size().x;
        // Where there is not room for both, the name tells more.
        let has_icon = rect.left() + NAME_X + wanted <= end;
        if has_icon {
            self.icon.paint(painter, pos2(rect.left() + ICON_X, middle), 16.5, t.ink);
        }
        let left = rect.left() + if has_icon { NAME_X } else { space::NEAR };
        let name = paint::fitted(painter, self.name, semibold(text::BODY), t.ink, end - left);
        let baseline = paint::baseline_for_middle(middle, text::BODY);
        let name = paint::place(painter, pos2(left, baseline), Align::Min, name, t.ink);
        self.paint_status(painter, pos2(cap.left() - CAP_GAP, middle), name.right() + space::NEAR, t);
        if response.has_focus() {
            paint::focus_ring(painter, rect, radius::BUTTON, t);
        }
        response.widget_info(|| {
            let words = if self.status.is_empty() {
                self.name.to_owned()
            } else {
                format!("{}: {}", self.name, self.status)
            };
            WidgetInfo::labeled(Role::Button, ui.is_enabled(), words)
        });
        ui.ctx().accesskit_node_builder(self.id, |node| node.set_keyboard_shortcut(self.key));
        response
    }

    /// A status that does not fit is left out; its shape stays.
    fn paint_status(&self, painter: &Painter, right: Pos2, least_x: f32, t: &Tokens) {
        let alarm = self.verdict.filter(|v| v.alarms());
        let (font, color) = match alarm {
            Some(_) => (semibold(text::CAPTION), t.warn),
            None => (regular(text::CAPTION), t.ink3),
        };
        let galley = paint::line(painter, self.status, font, color);
        let shape = alarm.map_or(0.0, |_| SHAPE + 7.0);
        let mut x = right.x;
        if x - galley.size().x - shape >= least_x {
            let baseline = paint::baseline_for_middle(right.y, text::CAPTION);
            x = paint::place(painter, pos2(right.x, baseline), Align::Max, galley, color).left() - 7.0;
        }
        if let Some(verdict) = alarm {
            verdict.paint(painter, pos2(x - SHAPE / 2.0, right.y), SHAPE, t);
        }
    }
}

/// The head of the open panel: icon, title, and the key that closes it.
/// Gives back the response of the key cap, which closes the panel.
pub(crate) fn panel_head(
    ui: &Ui,
    rect: Rect,
    id: Id,
    icon: Icon,
    title: &str,
    key: &str,
    t: &Tokens,
) -> Response {
    let painter = ui.painter();
    let middle = rect.center().y;
    icon.paint(painter, pos2(rect.left() + 8.0, middle), 16.5, t.ink);
    paint::text_mid(
        painter,
        pos2(rect.left() + 26.0, middle),
        Align::Min,
        title,
        semibold(text::PANEL),
        t.ink,
    );
    let cap = key_cap::paint_cap(painter, pos2(rect.right(), middle), key, t);
    let response = ui.interact(cap.expand2(vec2(4.0, 4.0)), id, Sense::click());
    if response.has_focus() {
        paint::focus_ring(painter, cap, radius::FIELD, t);
    }
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), format!("Close {title}")));
    response.on_hover_text("Back to Figures")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::theme::Theme;
    use crate::app::widgets::gallery::harness;
    use egui::Key;
    use egui_kittest::kittest::{NodeT as _, Queryable as _};

    #[test]
    fn a_front_opens_by_pointer_and_key_and_names_its_status() {
        let mut h = harness(Theme::Paper, vec2(300.0, 40.0), 0, |ui, t, opened| {
            let front = PanelTab {
                id: Id::unique("front under test"),
                icon: Icon::Shims,
                name: "Shims",
                key: "F5",
                status: "right bank not level",
                verdict: Some(Verdict::Over),
            };
            let rect = Rect::from_min_size(pos2(5.0, 5.0), vec2(280.0, 28.0));
            *opened += i32::from(front.show(ui, rect, t).clicked());
        });
        let node = h.get_by_role_and_label(Role::Button, "Shims: right bank not level");
        assert_eq!(node.accesskit_node().data().keyboard_shortcut(), Some("F5"));
        node.click();
        h.run();
        h.get_by_role(Role::Button).focus();
        h.run();
        h.key_press(Key::Space);
        h.run();
        assert_eq!(*h.state(), 2);
    }
}
