//! The handles on the drawing: what a hand or the arrow keys ask for.

use super::{SheetView, e_pos, e_vec, k_point};
use crate::app::command::Command;
use crate::app::entry;
use crate::app::views::{ViewContext, curves};
use crate::app::widgets::grip::{Handle as Grip, HandleOutput};
use crate::app::widgets::slider;
use crate::drawing::section::Section;
use crate::drawing::{Handle, HandleKind};
use crate::engine::Key;
use crate::project::{Edit, Gesture};
use crate::study::words;
use egui::{Id, Rect, Ui};

/// Shows the handles that lie inside `frame` and not under one of `covers`.
pub(super) fn handles_ui(
    ui: &mut Ui,
    (frame, covers): (Rect, &[Rect]),
    drawn: &Section,
    shown: &ViewContext<'_>,
    view: &mut SheetView,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    for handle in &drawn.handles {
        let center = e_pos(handle.at);
        if !frame.contains(center) || covers.iter().any(|cover| cover.contains(center)) {
            continue;
        }
        let told = told(handle, shown, view.start);
        let grip = Grip {
            id: match handle.what {
                HandleKind::Crank => Id::unique("handle crank"),
                HandleKind::Dimension(key) => Id::unique(("handle", key.index())),
            },
            center,
            way: e_vec(handle.way),
            name: &told.name,
            flag: &told.flag,
            flag_second: &told.second,
            value_text: &told.value_text,
        };
        let output = grip.show(ui, shown.t);
        let held = output.response.dragged();
        if output.response.drag_started() {
            view.start = Some((handle.what, told.value));
        }
        if let HandleKind::Dimension(key) = handle.what {
            if held || output.response.has_focus() {
                view.in_hand = Some(key);
            }
            if output.response.hovered() {
                view.hovered = Some(key);
            }
        }
        let start = told.start.unwrap_or(told.value);
        if let Some(asked) = asked(ui, handle, &output, start, told.value, drawn, shown) {
            push(handle.what, asked, shown, gesture, out);
        }
        if !held && told.start.is_some() {
            view.start = None;
        }
        grip.paint_flag(ui, &output.response, frame, shown.t);
    }
}

/// What a handle says of itself.
struct HandleAnnouncement {
    name: String,
    value: f64,
    value_text: String,
    flag: String,
    second: String,
    /// The value at the press, while it is held.
    start: Option<f64>,
}

fn told(handle: &Handle, shown: &ViewContext<'_>, start: Option<(HandleKind, f64)>) -> HandleAnnouncement {
    let (name, short, value, value_text) = match handle.what {
        HandleKind::Crank => {
            let degrees = curves::degrees(shown.crank_deg);
            ("Crank angle", "crank".to_owned(), shown.crank_deg, degrees)
        }
        HandleKind::Dimension(key) => {
            let value = shown.value(key).unwrap_or(0.0);
            let short = if key == Key::BaseShim { "shim".into() } else { key.row().short.to_lowercase() };
            (key.name(), short, value, shown.written(key.kind(), value).to_string())
        }
    };
    let start = start.filter(|(what, _)| *what == handle.what).map(|(_, start)| start);
    let second = match start {
        Some(start) if start != value => match handle.what {
            HandleKind::Crank => words::change(value - start, 1),
            HandleKind::Dimension(key) => {
                let by = shown.written(key.kind(), (value - start).abs()).number;
                format!("{}{by}", if value > start { '+' } else { '\u{2212}' })
            }
        },
        _ => "drag or arrows".to_owned(),
    };
    HandleAnnouncement {
        name: format!("{name}, on the drawing"),
        flag: format!("{short} {value_text}"),
        value,
        value_text,
        second,
        start,
    }
}

/// The value that a handle asks for, snapped to sensible steps unless Alt is
/// held.
fn asked(
    ui: &Ui,
    handle: &Handle,
    output: &HandleOutput,
    start: f64,
    now: f64,
    drawn: &Section,
    shown: &ViewContext<'_>,
) -> Option<f64> {
    if output.put_back {
        return Some(start);
    }
    let free = ui.input(|i| i.modifiers.alt);
    match handle.what {
        HandleKind::Crank => {
            if output.steps != 0.0 {
                return Some(now + output.steps);
            }
            let pointer = output.response.interact_pointer_pos()?;
            if !output.response.dragged() || output.dragged.is_none() {
                return None;
            }
            // The pointer is followed round the crank centre, however the
            // engine lies.
            let (engine, _) = shown.engine()?;
            let at = drawn.view.model_from_out(k_point(pointer));
            let angle = engine.figures().crank.angle_toward(at.x, at.y);
            Some(if free { angle } else { angle.round() })
        }
        HandleKind::Dimension(key) => {
            let step = entry::rule_step(key, shown.units());
            if output.steps != 0.0 {
                return Some(now + output.steps * step);
            }
            let dragged = f64::from(output.dragged?) / handle.out_per_unit;
            let value = start + dragged * gear(key, drawn);
            Some(if free { value } else { slider::snapped(value, step) })
        }
    }
}

/// How far a value goes for the way of the hand. On the whole drawing a shim
/// is a hairline: there the hand moves the gap in the circle, so that a tenth
/// is a finger's breadth. The closer one looks, the more the hand moves the
/// part itself, up to one for one.
fn gear(key: Key, drawn: &Section) -> f64 {
    let whole = if key == Key::BaseShim { 0.05 } else { 0.2 };
    (whole * drawn.view.scale() / drawn.whole_scale).min(1.0)
}

fn push(what: HandleKind, asked: f64, shown: &ViewContext<'_>, gesture: Gesture, out: &mut Vec<Command>) {
    match what {
        HandleKind::Crank => out.push(Command::SetCrank(asked)),
        HandleKind::Dimension(key) => {
            if let Some(value) = entry::stepped(key, asked, 0.0, shown.units())
                && shown.value(key) != Some(value.base())
            {
                let edit =
                    Edit::SetDimension { scope: shown.scope(key), key, value, known: shown.known(key) };
                out.push(Command::Edit(edit, Some(gesture)));
            }
        }
    }
}
