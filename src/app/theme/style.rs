//! Fills egui's own style from the tokens, so that menus, tooltips, scroll
//! bars and text selection look like the rest.

use super::{REGULAR, SEMIBOLD, Theme, Tokens, radius, regular, semibold, text, width};
use egui::epaint::Shadow;
use egui::style::{Selection, WidgetVisuals, Widgets};
use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, Stroke, Style, TextStyle, Visuals,
    vec2,
};
use std::collections::BTreeMap;
use std::sync::Arc;

/// IBM Plex Sans Regular, the same file as on the page.
static REGULAR_BYTES: &[u8] = include_bytes!("../../../assets/fonts/IBMPlexSans_400Regular.ttf");
/// IBM Plex Sans SemiBold, the same file as on the page.
static SEMIBOLD_BYTES: &[u8] = include_bytes!("../../../assets/fonts/IBMPlexSans_600SemiBold.ttf");

/// Gives the whole context the look of `theme`. Call it once at the start and
/// whenever the theme changes.
pub(crate) fn apply(ctx: &Context, theme: Theme) {
    let t = theme.tokens();
    ctx.set_fonts(fonts());
    ctx.set_theme(if t.dark { egui::Theme::Dark } else { egui::Theme::Light });
    ctx.all_styles_mut(|style| fill(style, t));
}

/// The two faces, and nothing else: the words on the screen are then the same
/// on every machine, and a sign that the face lacks is found by the tests.
fn fonts() -> FontDefinitions {
    let face = |bytes| Arc::new(FontData::from_static(bytes));
    FontDefinitions {
        font_data: BTreeMap::from([
            (REGULAR.to_owned(), face(REGULAR_BYTES)),
            (SEMIBOLD.to_owned(), face(SEMIBOLD_BYTES)),
        ]),
        families: BTreeMap::from([
            (FontFamily::Proportional, vec![REGULAR.to_owned()]),
            (FontFamily::Monospace, vec![REGULAR.to_owned()]),
            (FontFamily::Name(REGULAR.into()), vec![REGULAR.to_owned()]),
            (FontFamily::Name(SEMIBOLD.into()), vec![SEMIBOLD.to_owned()]),
        ]),
    }
}

fn fill(style: &mut Style, t: &Tokens) {
    style.text_styles = [
        (TextStyle::Small, regular(text::CAPTION)),
        (TextStyle::Body, regular(text::BODY)),
        (TextStyle::Button, regular(text::BODY)),
        (TextStyle::Monospace, regular(text::BODY)),
        (TextStyle::Heading, semibold(text::PANEL)),
    ]
    .into();
    style.animation_time = 0.0;
    style.spacing.item_spacing = vec2(8.0, 4.0);
    style.spacing.button_padding = vec2(11.0, 6.0);
    style.spacing.interact_size.y = 28.0;
    style.spacing.tooltip_width = 320.0;
    style.interaction.selectable_labels = false;
    style.visuals = visuals(t);
}

fn visuals(t: &Tokens) -> Visuals {
    let mut v = if t.dark { Visuals::dark() } else { Visuals::light() };
    v.override_text_color = Some(t.ink);
    v.weak_text_color = Some(t.ink3);
    v.hyperlink_color = t.accent;
    v.faint_bg_color = t.row;
    v.extreme_bg_color = t.field;
    v.code_bg_color = t.row;
    v.warn_fg_color = t.warn;
    v.error_fg_color = t.warn;
    v.panel_fill = t.board;
    v.window_fill = t.panel;
    v.window_stroke = t.stroke(width::REST, t.line2);
    v.window_corner_radius = corner(radius::PANEL);
    v.menu_corner_radius = corner(radius::BUTTON);
    v.window_shadow = Shadow::NONE;
    v.popup_shadow = Shadow::NONE;
    v.text_cursor.stroke = Stroke::new(1.5, t.ink);
    v.selection = Selection { bg_fill: t.accent_tint, stroke: t.stroke(width::HEAVY, t.accent) };
    v.widgets = Widgets {
        noninteractive: widget(t.panel, t.stroke(width::REST, t.line), t.ink),
        inactive: widget(t.field, t.stroke(width::REST, t.line2), t.ink),
        hovered: widget(t.field, t.stroke(width::REST, t.ink2), t.ink),
        active: widget(t.accent_tint, t.stroke(width::HEAVY, t.accent), t.ink),
        open: widget(t.accent_tint, t.stroke(width::REST, t.accent), t.ink),
    };
    v
}

fn widget(fill: Color32, outline: Stroke, ink: Color32) -> WidgetVisuals {
    WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: outline,
        corner_radius: corner(radius::BUTTON),
        fg_stroke: Stroke::new(1.5, ink),
        expansion: 0.0,
    }
}

fn corner(points: f32) -> CornerRadius {
    CornerRadius::from(points)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn applying_a_theme_fills_the_style_of_both_modes() {
        let ctx = Context::default();
        apply(&ctx, Theme::Slate);
        for mode in [egui::Theme::Dark, egui::Theme::Light] {
            let style = ctx.style_of(mode);
            assert_eq!(style.visuals.panel_fill, Theme::Slate.tokens().board);
            assert_eq!(style.visuals.widgets.active.expansion, 0.0);
            assert_eq!(style.visuals.popup_shadow, Shadow::NONE);
        }
    }

    #[test]
    fn both_faces_have_the_signs_that_the_window_writes() {
        for bytes in [REGULAR_BYTES, SEMIBOLD_BYTES] {
            let face = ttf_parser::Face::parse(bytes, 0).unwrap();
            let lacking: String =
                "−Ø×±°²³→←↑↓…–—′″½µ·≤≥≈’“”".chars().filter(|c| face.glyph_index(*c).is_none()).collect();
            assert_eq!(lacking, "", "signs that the face lacks");
        }
    }
}
