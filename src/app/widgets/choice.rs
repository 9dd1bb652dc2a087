//! One of several things, chosen from a list that opens below.

use crate::app::icons::Icon;
use crate::app::theme::{Tokens, radius, regular, text, width};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{Align, Id, Popup, Rect, Response, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Height of the closed list.
pub(crate) const HEIGHT: f32 = 26.0;
const PAD: f32 = 9.0;

/// A list to choose from, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SegmentedChoice<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Name for screen readers: "Head of cylinder 3".
    pub name: &'a str,
    /// What can be chosen.
    pub options: &'a [String],
    /// Which of them stands; none shows a dash.
    pub chosen: Option<usize>,
}

impl SegmentedChoice<'_> {
    /// Shows the list at the cursor, `width` wide; what was chosen just now.
    pub(crate) fn show(&self, ui: &mut Ui, width_of: f32, t: &Tokens) -> Option<usize> {
        let (rect, _) = ui.allocate_exact_size(vec2(width_of, HEIGHT), Sense::hover());
        let response = ui.interact(rect, self.id, Sense::click());
        self.paint(ui, rect, &response, t);
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
        let word = self.word().to_owned();
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Button, ui.is_enabled(), format!("{}: {word}", self.name))
        });
        let mut picked = None;
        Popup::menu(&response).width(width_of).show(|ui| {
            for (i, option) in self.options.iter().enumerate() {
                if ui.selectable_label(self.chosen == Some(i), option).clicked() {
                    picked = (self.chosen != Some(i)).then_some(i);
                    ui.close();
                }
            }
        });
        picked
    }

    fn word(&self) -> &str {
        self.chosen.and_then(|i| self.options.get(i)).map_or("–", String::as_str)
    }

    fn paint(&self, ui: &Ui, rect: Rect, response: &Response, t: &Tokens) {
        let painter = ui.painter();
        let outline = if response.hovered() { t.ink } else { t.line2 };
        painter.rect(rect, radius::BUTTON, t.field, t.stroke(width::REST, outline), StrokeKind::Inside);
        let end = rect.right() - 20.0;
        let left = rect.left() + PAD;
        let galley = paint::fitted(painter, self.word(), regular(text::BODY), t.ink, end - left);
        let baseline = paint::baseline_for_middle(rect.center().y, text::BODY);
        paint::place(painter, pos2(left, baseline), Align::Min, galley, t.ink);
        Icon::Fold.paint(painter, pos2(rect.right() - 12.0, rect.center().y), 12.0, t.ink2);
        if response.has_focus() {
            paint::focus_ring(painter, rect, radius::BUTTON, t);
        }
    }
}
