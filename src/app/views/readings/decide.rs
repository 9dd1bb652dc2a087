//! Values on which somebody has to decide, or did: the odd one with its
//! likely cause and three ways on, a value to be struck out with its reason,
//! and what was struck or kept.

use super::parts::{row, say, text_edit};
use super::{ReadingsView, ViewContext};
use crate::app::command::Command;
use crate::app::theme::{radius, regular, semibold, text, width};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::project::Edit;
use crate::quantity::{Kind, write};
use crate::reading::{Estimate, Evaluation, Outlier, Subject};
use crate::study::{adopt, words};
use egui::{Align, Id, StrokeKind, Ui, UiBuilder, pos2, vec2};

/// Why a value was kept, where the person said nothing else.
const LOOKED_AT: &str = "looked at again, nothing wrong found";

/// The box of an odd value.
pub(super) fn odd_ui(
    ui: &mut Ui,
    evaluation: &Evaluation,
    odd: &Outlier,
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
    out: &mut Vec<Command>,
) {
    let of = &evaluation.of;
    let number = |v: f64| write(of.kind(), v, None, shown.units()).to_string();
    let side = if odd.read < odd.middle { "below" } else { "above" };
    let title = format!(
        "{} stands {} {side} the others: {}.",
        odd.written,
        number((odd.read - odd.middle).abs()),
        odd.cause.text()
    );
    let choices = format!(
        "{} It stays in the record either way. {}. Rule: {}.",
        both_ways(of, odd, shown),
        odd.cause.check(),
        crate::reading::outlier::RULE
    );
    let again = match of.kind() {
        Kind::Volume => "Fill again",
        Kind::Length | Kind::Angle => "Read again",
    };
    let at = (odd.reading, odd.value);
    let ways = [("Strike it out", Way::Strike), ("Keep it in", Way::Keep), (again, Way::Again)];
    let done = box_ui(ui, at, (&title, &choices), odd.cause.reason(), &ways, shown, view);
    carry_out(done, at, odd.cause.reason(), view, out);
}

/// What each choice gives.
fn both_ways(of: &Subject, odd: &Outlier, shown: &ViewContext<'_>) -> String {
    let project = shown.project();
    let told = |estimate: Option<Estimate>| match estimate {
        None => "no value is left".to_owned(),
        Some(estimate) => {
            let mean = match of {
                Subject::Deck => words::gap(estimate.value, None, shown.units()),
                _ => write(of.kind(), estimate.value, None, shown.units()).to_string(),
            };
            let figures = shown.solved().and_then(|s| adopt::figures_with(&s.engine, of, &estimate));
            match figures {
                Some(f) => format!("{mean}, ratio {}", words::plain(f.static_ratio, 2)),
                None => mean,
            }
        }
    };
    let mean = |counts| told(project.mean_if(odd.reading, odd.value, counts));
    format!("Left out: {}. Kept in: {}.", mean(false), mean(true))
}

/// A way on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Strike,
    Keep,
    Again,
    Leave,
}

/// A box with a title, what follows, a reason and some ways on.
fn box_ui(
    ui: &mut Ui,
    at: (usize, usize),
    (title, choices): (&str, &str),
    reason: &str,
    ways: &[(&str, Way)],
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
) -> Option<(Way, String)> {
    let t = shown.t;
    let ground = ui.painter().add(egui::Shape::Noop);
    let outer = ui.available_rect_before_wrap();
    row(ui, 4.0);
    let top = ui.cursor().top();
    let mut done = None;
    let inner = egui::Rect::from_min_max(
        pos2(outer.left() + 34.0, top + 6.0),
        pos2(outer.right() - 12.0, top + 4000.0),
    );
    let id = Id::unique(("reason", at));
    let used = ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| {
        say(ui, title, semibold(text::DIMENSION), t.ink);
        say(ui, choices, regular(text::CAPTION), t.ink2);
        let line = row(ui, 32.0);
        let label = pos2(line.left(), line.center().y);
        let name =
            paint::text_mid(ui.painter(), label, Align::Min, "Reason", regular(text::DIMENSION), t.ink2);
        let mut left = line.right();
        let mut rects = Vec::new();
        for (i, (words, way)) in ways.iter().enumerate().rev() {
            let bid = Id::unique(("decide", at, i));
            let button = if i == 0 { Button::primary(bid, words) } else { Button::plain(bid, words) };
            let size = button.size(ui.painter(), t);
            let rect = egui::Rect::from_min_size(pos2(left - size.x, line.top() + 2.0), size);
            left = rect.left() - 8.0;
            rects.push((i, *words, *way, rect));
        }
        let field = egui::Rect::from_min_max(
            pos2(name.right() + 8.0, line.top() + 3.0),
            pos2(left.max(name.right() + 60.0), line.top() + 29.0),
        );
        let draft = view.reasons.entry(at).or_insert_with(|| reason.to_owned());
        let edit = text_edit(ui, field, (id, "Reason", "why"), draft, t);
        if edit.gained_focus() {
            edit.scroll_to_me(None);
        }
        if edit.lost_focus()
            && ui.input(|i| i.key_pressed(egui::Key::Enter))
            && let Some((_, way)) = ways.first()
        {
            done = Some((*way, draft.clone()));
        }
        for (i, words, way, rect) in rects.into_iter().rev() {
            let bid = Id::unique(("decide", at, i));
            let button = if i == 0 { Button::primary(bid, words) } else { Button::plain(bid, words) };
            if button.show(ui, rect, t).clicked() {
                done = Some((way, draft.clone()));
            }
        }
    });
    let bottom = used.response.rect.bottom() + 6.0;
    let frame = egui::Rect::from_min_max(pos2(outer.left(), top), pos2(outer.right(), bottom));
    let shape = egui::epaint::RectShape::new(
        frame,
        radius::BUTTON,
        t.warn_tint,
        t.stroke(width::FRAME, t.warn),
        StrokeKind::Inside,
    );
    ui.painter().set(ground, shape);
    Shape::Close.paint(ui.painter(), frame.left_top() + vec2(19.0, 18.0), 15.0, t);
    let rest = (bottom - ui.cursor().top()).max(0.0);
    row(ui, rest + 6.0);
    done
}

fn carry_out(
    done: Option<(Way, String)>,
    (reading, value): (usize, usize),
    prefilled: &str,
    view: &mut ReadingsView,
    out: &mut Vec<Command>,
) {
    let Some((way, reason)) = done else { return };
    let reason = reason.trim().to_owned();
    let edit = match way {
        Way::Strike => {
            let reason = if reason.is_empty() { prefilled.to_owned() } else { reason };
            Some(Edit::StrikeValue { reading, value, reason: Some(reason) })
        }
        Way::Keep => {
            let said = !reason.is_empty() && reason != prefilled;
            let reason = if said { reason } else { LOOKED_AT.to_owned() };
            Some(Edit::KeepValue { reading, value, reason: Some(reason) })
        }
        Way::Again => {
            view.read_again = Some(reading);
            None
        }
        Way::Leave => None,
    };
    if way != Way::Again {
        view.reasons.remove(&(reading, value));
        if view.striking == Some((reading, value)) {
            view.striking = None;
        }
    }
    if let Some(edit) = edit {
        out.push(Command::Edit(edit, None));
    }
}

/// A value that is about to be struck out, and what was struck or kept.
pub(super) fn decided_ui(
    ui: &mut Ui,
    of: &Subject,
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let label = shown.cylinder_label();
    let own = shown.project().readings.iter().enumerate().filter(|(_, r)| r.cylinder == label && r.of == *of);
    for (reading, r) in own {
        for (value, v) in r.values.iter().enumerate() {
            if view.striking == Some((reading, value)) && v.struck.is_none() {
                let title = format!("Strike {} out?", v.value);
                let choices = "It stays in the record with its reason, and counts no more.";
                let ways = [("Strike it out", Way::Strike), ("Let it count", Way::Leave)];
                let reason = "written wrongly";
                let at = (reading, value);
                let first = !view.reasons.contains_key(&at);
                let done = box_ui(ui, at, (&title, choices), reason, &ways, shown, view);
                if first {
                    ui.memory_mut(|m| m.request_focus(Id::unique(("reason", at))));
                }
                carry_out(done, at, reason, view, out);
            }
            let (words, button, edit) = match (&v.struck, &v.kept) {
                (Some(reason), _) => (
                    format!("{} struck out: {reason}", v.value),
                    "Count it again",
                    Edit::StrikeValue { reading, value, reason: None },
                ),
                (None, Some(reason)) => (
                    format!("{} kept in: {reason}", v.value),
                    "Flag it again",
                    Edit::KeepValue { reading, value, reason: None },
                ),
                (None, None) => continue,
            };
            let line = row(ui, 30.0);
            let plain = Button::plain(Id::unique(("take back", reading, value)), button);
            let size = plain.size(ui.painter(), t);
            let rect = egui::Rect::from_min_size(pos2(line.right() - size.x, line.top() + 1.0), size);
            let room = rect.left() - line.left() - 8.0;
            let galley = paint::fitted(ui.painter(), &words, regular(text::CAPTION), t.ink2, room);
            let baseline = paint::baseline_for_middle(line.center().y, text::CAPTION);
            paint::place(ui.painter(), pos2(line.left(), baseline), Align::Min, galley, t.ink2);
            let spoken =
                ui.interact(line, ui.scope_id().with(("decided", reading, value)), egui::Sense::hover());
            spoken.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &words));
            if plain.show(ui, rect, t).clicked() {
                out.push(Command::Edit(edit, None));
            }
        }
    }
}
