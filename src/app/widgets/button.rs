//! Buttons: the one that the user most likely wants, plain ones, ones with
//! only an icon, and ones that can't be pressed now.

use crate::app::icons::Icon;
use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::widgets::{key_cap, paint};
use egui::accesskit::Role;
use egui::{
    Align, Color32, Id, Painter, Rect, Response, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};

/// Height of every button.
pub(crate) const HEIGHT: f32 = 28.0;
const PAD: f32 = 11.0;
/// Left edge to the middle of the icon, and to the words beside it.
const ICON_X: f32 = 17.0;
const WORDS_X: f32 = 31.0;

/// What a button is among its neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// The one main thing to do; at most one in sight.
    Primary,
    /// Any other.
    Plain,
    /// Chosen among several.
    Chosen,
}

/// A button, for one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Button<'a> {
    /// Identity, the same in every frame.
    pub id: Id,
    /// Its words; also its name for screen readers.
    pub label: &'a str,
    /// Shown before the words, or in their place.
    pub icon: Option<Icon>,
    /// Only the icon is shown.
    pub icon_only: bool,
    /// What it is among its neighbours.
    pub kind: Kind,
    /// The key that does the same.
    pub key: Option<&'a str>,
    /// It can be pressed.
    pub enabled: bool,
    /// Tooltip: what it does, or why it can't be pressed.
    pub tooltip: &'a str,
}

impl<'a> Button<'a> {
    /// A plain button with words.
    #[must_use]
    pub(crate) fn plain(id: Id, label: &'a str) -> Self {
        Self {
            id,
            label,
            icon: None,
            icon_only: false,
            kind: Kind::Plain,
            key: None,
            enabled: true,
            tooltip: "",
        }
    }

    /// The main thing to do.
    #[must_use]
    pub(crate) fn primary(id: Id, label: &'a str) -> Self {
        Self { kind: Kind::Primary, ..Self::plain(id, label) }
    }

    /// Only an icon; `label` names it.
    #[must_use]
    pub(crate) fn icon(id: Id, icon: Icon, label: &'a str) -> Self {
        Self { icon: Some(icon), icon_only: true, tooltip: label, ..Self::plain(id, label) }
    }

    /// With an icon before its words.
    #[must_use]
    pub(crate) fn with_icon(self, icon: Icon) -> Self {
        Self { icon: Some(icon), ..self }
    }

    /// With the cap of the key that does the same.
    #[must_use]
    pub(crate) fn with_key(self, key: &'a str) -> Self {
        Self { key: Some(key), ..self }
    }

    /// Pressable or not; if not, the tooltip should say why.
    #[must_use]
    pub(crate) fn enabled(self, enabled: bool) -> Self {
        Self { enabled, ..self }
    }

    /// With a tooltip.
    #[must_use]
    pub(crate) fn tooltip(self, tooltip: &'a str) -> Self {
        Self { tooltip, ..self }
    }

    /// The room that the button needs.
    #[must_use]
    pub(crate) fn size(&self, painter: &Painter, t: &Tokens) -> Vec2 {
        if self.icon_only {
            return Vec2::splat(HEIGHT);
        }
        let words = paint::line(painter, self.label, self.font(), t.ink).size().x;
        let left = if self.icon.is_some() { WORDS_X } else { PAD };
        let right = self.key.map_or(PAD, |key| key_cap::width_of(painter, key, t) + 8.0 + 12.0);
        vec2((left + words + right).ceil(), HEIGHT)
    }

    fn font(&self) -> egui::FontId {
        if self.kind == Kind::Primary { semibold(text::BODY) } else { regular(text::BODY) }
    }

    /// Shows the button at the cursor, as large as it needs to be.
    pub(crate) fn add(&self, ui: &mut Ui, t: &Tokens) -> Response {
        let size = self.size(ui.painter(), t);
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        self.show(ui, rect, t)
    }

    /// Shows the button in `rect`.
    pub(crate) fn show(&self, ui: &Ui, rect: Rect, t: &Tokens) -> Response {
        let enabled = self.enabled && ui.is_enabled();
        let response = ui.interact(rect, self.id, if enabled { Sense::click() } else { Sense::hover() });
        let down = enabled && response.is_pointer_button_down_on();
        let lit = enabled && response.hovered();
        let (fill, outline, ink) = self.colors(enabled, lit, down, t);
        let painter = ui.painter();
        painter.rect(rect, radius::BUTTON, fill, outline, StrokeKind::Inside);
        self.contents(painter, rect, ink, enabled, t);
        if response.has_focus() {
            paint::focus_ring(painter, rect, radius::BUTTON, t);
        }
        if response.gained_focus() {
            // In a list that scrolls, the keyboard must not walk out of sight.
            response.scroll_to_me(None);
        }
        response.widget_info(|| {
            if self.kind == Kind::Chosen {
                WidgetInfo::selected(Role::Button, enabled, true, self.label)
            } else {
                WidgetInfo::labeled(Role::Button, enabled, self.label)
            }
        });
        if self.tooltip.is_empty() { response } else { response.on_hover_text(self.tooltip) }
    }

    fn colors(&self, enabled: bool, lit: bool, down: bool, t: &Tokens) -> (Color32, Stroke, Color32) {
        if !enabled {
            return (Color32::TRANSPARENT, Stroke::new(width::REST, t.line), t.ink3);
        }
        match self.kind {
            Kind::Primary if down => (t.accent_tint, t.stroke(width::HEAVY, t.accent), t.ink),
            Kind::Primary if lit => (t.accent, t.stroke(width::HEAVY, t.ink), t.on_accent),
            Kind::Primary => (t.accent, Stroke::NONE, t.on_accent),
            Kind::Plain if down => (t.accent_tint, t.stroke(width::HEAVY, t.accent), t.ink),
            Kind::Chosen => (t.accent_tint, t.stroke(width::HEAVY, t.accent), t.ink),
            Kind::Plain if lit => (t.field, t.stroke(width::REST, t.ink), t.ink),
            Kind::Plain => (t.field, t.stroke(width::REST, t.line2), t.ink),
        }
    }

    fn contents(&self, painter: &Painter, rect: Rect, ink: Color32, enabled: bool, t: &Tokens) {
        let middle = rect.center().y;
        if let Some(icon) = self.icon {
            let x = if self.icon_only { rect.center().x } else { rect.left() + ICON_X };
            icon.paint(painter, pos2(x, middle), 16.0, ink);
        }
        if self.icon_only {
            return;
        }
        let left = rect.left() + if self.icon.is_some() { WORDS_X } else { PAD };
        let mut end = rect.right() - PAD / 2.0;
        if let Some(key) = self.key
            && enabled
        {
            end = key_cap::paint_cap(painter, pos2(rect.right() - 8.0, middle), key, t).left() - 4.0;
        }
        let galley = paint::fitted(painter, self.label, self.font(), ink, end - left);
        let baseline = paint::baseline_for_middle(middle, text::BODY);
        paint::place(painter, pos2(left, baseline), Align::Min, galley, ink);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::theme::Theme;
    use crate::app::widgets::gallery::harness;
    use egui::Key;
    use egui_kittest::kittest::{NodeT as _, Queryable as _};

    fn buttons_ui(ui: &mut Ui, t: &Tokens, pressed: &mut Vec<&'static str>) {
        let id = |name: &str| Id::unique(("button", name));
        for (label, enabled) in [("Fit choice 1", true), ("Next", false)] {
            if Button::primary(id(label), label).enabled(enabled).add(ui, t).clicked() {
                pressed.push(label);
            }
        }
        if Button::icon(id("Undo"), Icon::Undo, "Undo").add(ui, t).clicked() {
            pressed.push("Undo");
        }
    }

    #[test]
    fn a_button_is_pressed_by_pointer_and_by_key() {
        let mut h = harness(Theme::Paper, vec2(200.0, 120.0), Vec::new(), buttons_ui);
        h.get_by_role_and_label(Role::Button, "Fit choice 1").click();
        h.run();
        h.get_by_role_and_label(Role::Button, "Undo").focus();
        h.run();
        h.key_press(Key::Enter);
        h.run();
        assert_eq!(h.state(), &["Fit choice 1", "Undo"]);
    }

    #[test]
    fn a_button_that_cannot_be_pressed_says_so_and_does_nothing() {
        let mut h = harness(Theme::Paper, vec2(200.0, 120.0), Vec::new(), buttons_ui);
        let next = h.get_by_role_and_label(Role::Button, "Next");
        assert!(next.accesskit_node().is_disabled());
        next.click();
        h.run();
        assert!(h.state().is_empty());
    }
}
