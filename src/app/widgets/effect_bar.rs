//! How much one step of a dimension moves a figure: a number over a bar that
//! points right when it raises and left when it lowers.

use crate::app::theme::{Tokens, regular};
use crate::app::widgets::paint;
use egui::accesskit::Role;
use egui::{Align, Id, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};

/// Bars shorter than this are not drawn: only the centre line and "0".
const LEAST: f32 = 0.8;
/// Half the height of the shaft, the head and the centre line.
const SHAFT: f32 = 2.5;
const HEAD: f32 = 4.5;

/// The effect of one step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Effect<'a> {
    /// The number, with its sign: "−0.09".
    pub text: &'a str,
    /// Size against the largest effect shown, −1 to 1.
    pub share: f32,
    /// The whole sentence for the tooltip: "0.1 mm more lowers the ratio by 0.09".
    pub sentence: &'a str,
}

/// Where number and bar stand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heights {
    /// Middle of the digits.
    pub number: f32,
    /// Middle of the bar; none where something else needs its place.
    pub bar: Option<f32>,
    /// Text size of the number.
    pub size: f32,
}

/// Paints the bar around `center`; a share of 1 is `half` points long.
pub(crate) fn paint_bar(painter: &Painter, center: Pos2, half: f32, share: f32, t: &Tokens) {
    let long = if share.is_finite() { share.clamp(-1.0, 1.0) * half } else { 0.0 };
    paint::vline(painter, center.x, center.y - HEAD, center.y + HEAD, Stroke::new(1.0, t.ink2));
    if long.abs() < LEAST {
        return;
    }
    let way = long.signum();
    let tip = pos2(center.x + 0.5 + long, center.y);
    let head = long.abs().min(5.0) * way;
    let neck = pos2(tip.x - head, center.y);
    let triangle = vec![tip, neck + vec2(0.0, -HEAD), neck + vec2(0.0, HEAD)];
    painter.add(Shape::convex_polygon(triangle, t.ink2, Stroke::NONE));
    if long.abs() > 5.0 {
        let shaft = Rect::from_two_pos(
            pos2(center.x + 0.5, center.y - SHAFT),
            pos2(neck.x + way * 0.5, center.y + SHAFT),
        );
        painter.rect_filled(shaft, 0.0, t.ink2);
    }
}

impl Effect<'_> {
    /// Shows number and bar, right-aligned at the right edge of `rect`: the
    /// digits centred on `number_y`, the bar (if there is room for it) on `bar_y`.
    pub(crate) fn show(&self, ui: &Ui, id: Id, rect: Rect, at: Heights, t: &Tokens) -> Response {
        let response = ui.interact(rect, id, Sense::hover());
        let painter = ui.painter();
        paint::text_mid(
            painter,
            pos2(rect.right(), at.number),
            Align::Max,
            self.text,
            regular(at.size),
            t.ink2,
        );
        let half = rect.width() / 2.0 - 1.5;
        if let Some(y) = at.bar {
            paint_bar(painter, pos2(rect.center().x, y), half, self.share, t);
        }
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("one step: {}", self.text)));
        if self.sentence.is_empty() { response } else { response.on_hover_text(self.sentence) }
    }
}
