//! A slider that looks like a steel rule: a line with ticks, a knurled thumb,
//! and a hollow triangle where the kept state stands.

use crate::app::theme::{Tokens, radius, width};
use crate::app::widgets::grip::{self, Hold};
use crate::app::widgets::{paint, steps};
use egui::{CursorIcon, EventFilter, Id, Key, Modifiers, Rect, Response, Sense, Shape, Ui, Vec2, WidgetInfo};
use egui::{pos2, vec2};
use std::ops::RangeInclusive;

/// Most intervals between ticks; a range with more steps gets every n-th.
const MAX_TICKS: f64 = 40.0;
/// Lengths of ticks below the middle of the line.
const TICK: f32 = 3.5;
const LONG_TICK: f32 = 5.5;
/// How far above and below its line the rule takes the pointer.
const REACH: f32 = 8.0;
/// How far a held thumb must go before its value moves.
const SLACK: f32 = 3.0;

/// A rule, for one frame.
#[derive(Clone, Debug)]
pub struct Slider<'a> {
    /// Name of what it sets, for screen readers.
    pub name: &'a str,
    /// Its value in words: "130.00 mm".
    pub value_text: &'a str,
    /// The value. It may lie outside the range: then the thumb stands at the
    /// end with an arrow, and the value is left alone.
    pub value: f64,
    /// The range that the rule spans.
    pub range: RangeInclusive<f64>,
    /// One bench step.
    pub step: f64,
    /// Where the kept state stands.
    pub kept: Option<f64>,
}

/// What was done with a rule.
#[derive(Clone, Debug)]
pub struct SliderOutput {
    /// egui's response; its `drag_started` and `drag_stopped` mark the gesture.
    pub response: Response,
    /// The value asked for.
    pub set: Option<f64>,
}

/// What the pointer does between press and release.
#[derive(Clone, Copy, Debug, Default)]
pub struct Gesture {
    /// How far the pointer is from where it was pressed.
    pub delta: Option<Vec2>,
    /// Escape was pressed just now: put everything back.
    pub escaped: bool,
}

impl Gesture {
    /// Follows a drag on `response`. egui lets go of what is dragged when
    /// Escape is pressed; the rest of the drag then counts no more.
    pub fn follow(ui: &Ui, response: &Response) -> Self {
        let key = response.id.with("held");
        if response.dragged() {
            ui.data_mut(|d| d.insert_temp(key, true));
            return Self { delta: response.total_drag_delta(), escaped: false };
        }
        let held = ui.data_mut(|d| d.remove_temp::<bool>(key)).unwrap_or(false);
        let escaped = held && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        Self { delta: None, escaped }
    }
}

/// Steps that the arrow keys (and a screen reader) ask for on a focused
/// widget: right and up raise, left and down lower, Shift gives a fifth, Ctrl ten.
pub fn arrow_steps(ui: &Ui, response: &Response) -> f64 {
    let mut asked = 0.0;
    if response.has_focus() {
        let filter = EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: response.dragged(),
            tab: false,
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        ui.input_mut(|i| {
            let ways =
                [(Key::ArrowRight, 1.0), (Key::ArrowUp, 1.0), (Key::ArrowLeft, -1.0), (Key::ArrowDown, -1.0)];
            asked += steps::of_keys(i, &ways);
        });
    }
    ui.input(|i| {
        use egui::accesskit::Action;
        asked += count(i.num_accesskit_action_requests(response.id, Action::Increment));
        asked -= count(i.num_accesskit_action_requests(response.id, Action::Decrement));
    });
    asked
}

/// Key presses of one frame, as a number.
fn count(n: usize) -> f64 {
    f64::from(u16::try_from(n).unwrap_or(u16::MAX))
}

/// The multiple of `step` nearest to `value`.
///
/// ```
/// use crowndeck::app::widgets::slider::snapped;
/// assert_eq!(snapped(0.2999, 0.1), 0.3);
/// ```
#[must_use]
pub fn snapped(value: f64, step: f64) -> f64 {
    if !(step.is_finite() && step > 0.0) {
        return value;
    }
    let per_unit = 1.0 / step;
    let n = (value / step).round();
    // dividing by a whole number gives 0.3 where multiplying gives 0.30000000000000004
    if (per_unit - per_unit.round()).abs() < 1e-9 * per_unit { n / per_unit.round() } else { n * step }
}

impl Slider<'_> {
    /// Shows the rule along the line from `rect`'s left to its right, at its
    /// vertical centre.
    pub fn show(&self, ui: &mut Ui, id: Id, rect: Rect, t: &Tokens) -> SliderOutput {
        self.show_lit(ui, id, rect, false, t)
    }

    /// As [`Slider::show`]; `lit` if the pointer is over the row that it stands in.
    pub fn show_lit(&self, ui: &mut Ui, id: Id, rect: Rect, lit: bool, t: &Tokens) -> SliderOutput {
        let y = paint::snap(ui.painter(), rect.center().y);
        let hit = Rect::from_min_max(pos2(rect.left() - 7.0, y - REACH), pos2(rect.right() + 7.0, y + REACH));
        let mut response =
            ui.interact(hit, id, Sense::drag()).on_hover_and_drag_cursor(CursorIcon::ResizeHorizontal);
        if response.drag_started() {
            response.request_focus();
        }
        let set = self.wanted_by_pointer(ui, &response, rect).or_else(|| self.wanted_by_keys(ui, &response));
        let set = set.filter(|v| v.is_finite() && *v != self.value);
        if set.is_some() {
            response.mark_changed();
        }
        self.paint(ui, &response, rect, lit, t);
        response.widget_info(|| WidgetInfo::slider(ui.is_enabled(), self.value, self.name));
        self.describe(ui, id);
        SliderOutput { response, set }
    }

    fn describe(&self, ui: &Ui, id: Id) {
        ui.ctx().accesskit_node_builder(id, |node| {
            use egui::accesskit::Action;
            node.set_value(self.value_text);
            node.set_min_numeric_value(*self.range.start());
            node.set_max_numeric_value(*self.range.end());
            node.set_numeric_value_step(self.step);
            for action in [Action::SetValue, Action::Increment, Action::Decrement] {
                node.add_action(action);
            }
        });
    }

    fn span(&self) -> f64 {
        self.range.end() - self.range.start()
    }

    /// Where a value stands, at the nearer end if it lies outside.
    fn x_of(&self, value: f64, rect: Rect) -> f32 {
        let share = (value - self.range.start()) / self.span();
        let share = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 };
        rect.left() + rect.width() * share as f32
    }

    fn value_at(&self, x: f32, rect: Rect) -> f64 {
        let share = f64::from((x - rect.left()) / rect.width()).clamp(0.0, 1.0);
        self.range.start() + share * self.span()
    }

    /// The value under the pointer during a drag: to the step, with Alt to a
    /// hundredth of it; at Escape the value of the press. A thumb is taken
    /// where it is held; beside it, it comes to the pointer.
    fn wanted_by_pointer(&self, ui: &Ui, response: &Response, rect: Rect) -> Option<f64> {
        let key = response.id.with("pressed");
        let gesture = Gesture::follow(ui, response);
        let stored = ui.data(|d| d.get_temp::<Press>(key));
        if !response.dragged() {
            ui.data_mut(|d| d.remove::<Press>(key));
            return stored.filter(|press| gesture.escaped && press.moved).map(|press| press.value);
        }
        let pointer = response.interact_pointer_pos()?;
        let mut press = stored.unwrap_or_else(|| {
            let thumb = self.x_of(self.value, rect);
            let origin = ui.input(|i| i.pointer.press_origin()).unwrap_or(pointer).x;
            Press {
                value: self.value,
                thumb,
                on_thumb: (origin - thumb).abs() <= grip::THUMB.x,
                moved: false,
            }
        });
        // pressing may have taken a draft beside the rule: what it gave stays
        if !press.moved && press.value != self.value {
            press = Press { value: self.value, thumb: self.x_of(self.value, rect), ..press };
        }
        let delta = gesture.delta?.x;
        // a hand that trembles while it presses must not round a measured value
        let still = press.on_thumb && delta.abs() < SLACK;
        let had_moved = press.moved;
        press.moved |= !still;
        ui.data_mut(|d| d.insert_temp(key, press));
        if still {
            return had_moved.then_some(press.value);
        }
        let x = if press.on_thumb { press.thumb + delta } else { pointer.x };
        let alt = ui.input(|i| i.modifiers.alt);
        let value = snapped(self.value_at(x, rect), if alt { self.step / 100.0 } else { self.step });
        Some(value.clamp(*self.range.start(), *self.range.end()))
    }

    /// Arrows, Home, End, and what a screen reader asks for.
    fn wanted_by_keys(&self, ui: &Ui, response: &Response) -> Option<f64> {
        let (low, high) = (*self.range.start(), *self.range.end());
        let steps = arrow_steps(ui, response);
        if steps != 0.0 {
            let next = self.value + steps * self.step;
            let next = snapped(next, self.step * steps::FINE / 1000.0);
            // an arrow leads up to the end of the range, never back over it
            return Some(if steps > 0.0 {
                next.min(high.max(self.value))
            } else {
                next.max(low.min(self.value))
            });
        }
        if response.has_focus() {
            let (home, end) = ui.input_mut(|i| {
                (i.consume_key(Modifiers::NONE, Key::Home), i.consume_key(Modifiers::NONE, Key::End))
            });
            if home || end {
                return Some(if home { low } else { high });
            }
        }
        ui.input(|i| {
            use egui::accesskit::{Action, ActionData};
            i.accesskit_action_requests(response.id, Action::SetValue)
                .filter_map(|request| match request.data {
                    Some(ActionData::NumericValue(v)) => Some(v),
                    _ => None,
                })
                .last()
        })
    }

    fn paint(&self, ui: &Ui, response: &Response, rect: Rect, lit: bool, t: &Tokens) {
        let painter = ui.painter();
        let y = paint::snap(painter, rect.center().y);
        let fine = t.stroke(width::REST, t.line2);
        paint::hline(painter, rect.left(), rect.right() + 1.0, y, fine);
        self.paint_ticks(ui, rect, y, t);
        let thumb_x = self.x_of(self.value, rect);
        if let Some(kept) = self.kept.filter(|k| *k != self.value) {
            let kept_x = self.x_of(kept, rect);
            let (a, b) = (thumb_x.min(kept_x), thumb_x.max(kept_x));
            painter.rect_filled(Rect::from_min_max(pos2(a, y - 1.0), pos2(b, y + 2.0)), 0.0, t.accent);
            let tip = pos2(kept_x, y + 1.5);
            let triangle = vec![tip, tip + vec2(4.6, 8.0), tip + vec2(-4.6, 8.0)];
            painter.add(Shape::convex_polygon(triangle, t.panel, t.stroke(1.2, t.ghost)));
        }
        let hold = if response.dragged() {
            Hold::Held
        } else if lit
            || response.hovered()
            || response.has_focus()
            || self.kept.is_some_and(|k| k != self.value)
        {
            Hold::Lit
        } else {
            Hold::Rest
        };
        let thumb = paint::around(painter, pos2(thumb_x + 0.5, y + 0.5), grip::THUMB);
        grip::paint_grip(ui, thumb, hold, true, t.field, t);
        self.paint_beyond(ui, thumb, t);
        if response.has_focus() && hold != Hold::Held {
            paint::focus_ring(painter, thumb, radius::GRIP, t);
        }
    }

    fn paint_ticks(&self, ui: &Ui, rect: Rect, y: f32, t: &Tokens) {
        let steps = self.span() / self.step;
        if !(steps.is_finite() && steps >= 1.0) {
            return;
        }
        let every = (steps / MAX_TICKS).ceil().max(1.0);
        let fine = t.stroke(width::REST, t.line2);
        let mut tick = 0.0;
        let mut nth = 0_u32;
        while tick < steps + 1e-6 {
            let x = rect.left() + rect.width() * (tick / steps) as f32;
            let long = nth.is_multiple_of(5) || tick + every > steps + 1e-6;
            paint::vline(ui.painter(), x, y, y + if long { LONG_TICK + 0.5 } else { TICK + 0.5 }, fine);
            tick += every;
            nth += 1;
        }
    }

    /// A small arrow outward when the value lies beyond the end.
    fn paint_beyond(&self, ui: &Ui, thumb: Rect, t: &Tokens) {
        let way = if self.value > *self.range.end() {
            1.0
        } else if self.value < *self.range.start() {
            -1.0
        } else {
            return;
        };
        let tip = thumb.center() + vec2(way * (thumb.width() / 2.0 + 6.0), 0.0);
        let arrow = vec![tip, tip + vec2(-way * 4.0, -3.5), tip + vec2(-way * 4.0, 3.5)];
        ui.painter().add(Shape::convex_polygon(arrow, t.ink2, egui::Stroke::NONE));
    }
}

/// What was under the pointer when it was pressed.
#[derive(Clone, Copy, Debug)]
struct Press {
    value: f64,
    /// Where the thumb stood.
    thumb: f32,
    on_thumb: bool,
    /// This drag has moved the value.
    moved: bool,
}
