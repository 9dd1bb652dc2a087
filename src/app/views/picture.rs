//! A drawing of the sheet's kind inside a panel.

use super::sheet::colour;
use crate::app::theme::Tokens;
use crate::drawing::list::DisplayList;
use crate::render::screen;
use egui::{Pos2, Rect, Ui};

/// A rectangle of the screen for a drawing.
pub(super) fn area(rect: Rect) -> kurbo::Rect {
    kurbo::Rect::new(
        f64::from(rect.left()),
        f64::from(rect.top()),
        f64::from(rect.right()),
        f64::from(rect.bottom()),
    )
}

/// Paints a drawing that was made for places of the screen, on a piece of the
/// sheet.
pub(super) fn paint_list(ui: &Ui, rect: Rect, list: &DisplayList, t: &Tokens) {
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 4.0, t.sheet);
    let palette = |ink| colour(t, ink);
    let density = ui.ctx().pixels_per_point();
    painter.extend(screen::outlines(list, palette, Pos2::ZERO, density).shapes);
    let texts = ui.ctx().fonts_mut(|fonts| screen::texts(list, palette, Pos2::ZERO, fonts));
    painter.extend(texts.shapes);
}
