//! How a set of readings was taken: told in one line, changed below it.

use super::parts::{DropDown, ROW, left_of, row, text_line};
use super::section::{Begun, Shows};
use super::{ReadingsView, ViewContext, typed};
use crate::app::command::Command;
use crate::app::icons::Icon;
use crate::app::theme::{radius, regular, text};
use crate::app::widgets::field::{Note, QuantityField};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::paint;
use crate::project::{Edit, ReadingDetail};
use crate::quantity::Kind;
use crate::reading::{Instrument, State, Subject, catalogue};
use egui::accesskit::Role;
use egui::{Align, Sense, Ui, WidgetInfo, pos2, vec2};

/// "Dial indicator on a bridge, step 0.01 mm, good to ±0.01 mm".
pub(super) fn instrument_words(instrument: &Instrument) -> String {
    let good = match &instrument.repeatability {
        Some(half) => format!(", good to ±{half}"),
        None => ", no ± stated".into(),
    };
    format!("{}, step {}{good}", instrument.name, instrument.step)
}

/// The line that tells how a set was taken.
fn summary(set: &Shows<'_>) -> String {
    let mut parts = vec![match (&set.instrument, &set.how.instrument) {
        (Some(instrument), _) => instrument_words(instrument),
        (None, Some(id)) => format!("‘{id}’, not in the list of instruments"),
        (None, None) => "no instrument named".to_owned(),
    }];
    parts.extend(set.how.state.map(|state| state.name().to_owned()));
    parts.extend(set.how.shim.as_ref().map(|shim| format!("shim {shim}")));
    if !set.lines.is_empty() && !set.how.date.is_empty() {
        parts.push(set.how.date.clone());
    }
    if !set.note.is_empty() {
        parts.push(format!("“{}”", set.note));
    }
    parts.join(" · ")
}

/// Shows the line, and what can be changed where it was asked for.
pub(super) fn conditions_ui(
    ui: &mut Ui,
    set: &Shows<'_>,
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let id = set.id(shown, "how", 0);
    let line = row(ui, 21.0);
    let response = ui.interact(line, id, Sense::click());
    let open = view.unfolded == Some(id);
    let icon = if open { Icon::Fold } else { Icon::Unfold };
    icon.paint(ui.painter(), pos2(line.left() + 6.0, line.center().y), 12.0, t.ink2);
    let words = summary(set);
    let colour = if response.hovered() { t.ink } else { t.ink2 };
    let galley = paint::fitted(ui.painter(), &words, regular(text::CAPTION), colour, line.width() - 18.0);
    let baseline = paint::baseline_for_middle(line.center().y, text::CAPTION);
    paint::place(ui.painter(), pos2(line.left() + 17.0, baseline), Align::Min, galley, colour);
    if response.has_focus() {
        paint::focus_ring(ui.painter(), line.shrink2(vec2(0.0, 1.0)), radius::FIELD, t);
    }
    let spoken = format!("How the readings were taken: {words}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    if response.clicked() {
        view.unfolded = (!open).then_some(id);
    }
    response.on_hover_text(format!("{words}\nPress to change it"));
    if !open {
        return;
    }
    for detail in details_ui(ui, set, shown) {
        if set.lines.is_empty() {
            begin(set, detail, shown, view);
        } else {
            let edit = Edit::DescribeReadings { readings: set.indices(), detail: Box::new(detail) };
            out.push(Command::Edit(edit, None));
        }
    }
}

/// Keeps what was said of a set that has no value yet.
fn begin(set: &Shows<'_>, detail: ReadingDetail, shown: &ViewContext<'_>, view: &mut ReadingsView) {
    let label = shown.cylinder_label();
    let at = view.begun.iter().position(|b| b.cylinder == label && b.of == *set.of);
    let begun = match at.and_then(|at| view.begun.get_mut(at)) {
        Some(begun) => begun,
        None => {
            view.begun.push(Begun {
                cylinder: label.to_owned(),
                of: set.of.clone(),
                how: set.how.clone(),
                instrument: set.instrument.clone(),
                note: set.note.clone(),
            });
            let Some(begun) = view.begun.last_mut() else { return };
            begun
        }
    };
    match detail {
        ReadingDetail::Instrument(instrument) => {
            begun.how.instrument = instrument.as_ref().map(|i| i.id.clone());
            begun.instrument = instrument;
        }
        ReadingDetail::State(state) => begun.how.state = state,
        ReadingDetail::Shim(shim) => begun.how.shim = shim,
        ReadingDetail::Note(note) => begun.note = note,
    }
}

/// The choices and fields; what was said in them.
fn details_ui(ui: &mut Ui, set: &Shows<'_>, shown: &ViewContext<'_>) -> Vec<ReadingDetail> {
    let t = shown.t;
    let mut said = Vec::new();
    let first = row(ui, ROW).shrink2(vec2(0.0, 2.0));
    let offered = catalogue::offered(set.of, &shown.project().instruments);
    let names: Vec<String> =
        offered.iter().map(instrument_words).chain(["No instrument named".to_owned()]).collect();
    let chosen = offered.iter().position(|i| Some(&i.id) == set.how.instrument.as_ref());
    let tool = set.how.instrument.as_deref().and_then(catalogue::Tool::with_id);
    let misuse = tool.map_or(String::new(), |tool| format!("What goes wrong with it: {}", tool.misuse));
    let now = chosen.and_then(|i| names.get(i)).map_or("No instrument named", String::as_str);
    let choice = DropDown {
        id: set.id(shown, "instrument", 0),
        name: "Instrument",
        shown: now,
        options: &names,
        chosen: Some(chosen.unwrap_or(offered.len())),
        tooltip: &misuse,
    };
    let half = (first.width() * 0.58).floor();
    if let Some(taken) = choice.show(ui, left_of(first, half), t) {
        said.push(ReadingDetail::Instrument(offered.get(taken).cloned()));
    }
    let states: Vec<String> = std::iter::once("not said how it was held".to_owned())
        .chain(State::ALL.map(|state| state.name().to_owned()))
        .collect();
    let chosen =
        set.how.state.and_then(|state| State::ALL.iter().position(|s| *s == state)).map_or(0, |i| i + 1);
    let choice = DropDown {
        id: set.id(shown, "state", 0),
        name: "How it was held",
        shown: states.get(chosen).map_or("", String::as_str),
        options: &states,
        chosen: Some(chosen),
        tooltip: "A barrel that is not held down floats on its seal and reads a false deck",
    };
    let rest = egui::Rect::from_min_max(pos2(first.left() + half + 8.0, first.top()), first.max);
    if let Some(taken) = choice.show(ui, rest, t) {
        said.push(ReadingDetail::State(taken.checked_sub(1).and_then(|i| State::ALL.get(i).copied())));
    }
    let second = row(ui, ROW + 4.0).shrink2(vec2(0.0, 3.0));
    let mut left = second.left();
    let shims =
        matches!(set.of, Subject::Deck | Subject::Squish | Subject::WholeFill | Subject::PistonToValve(_));
    if shims {
        let label = pos2(left, second.center().y);
        let words = paint::text_mid(
            ui.painter(),
            label,
            Align::Min,
            "Shims fitted",
            regular(text::DIMENSION),
            t.ink2,
        );
        let rect =
            egui::Rect::from_min_size(pos2(words.right() + 8.0, second.top()), vec2(92.0, second.height()));
        left = rect.right() + 12.0;
        said.extend(shim_ui(ui, rect, set, shown));
    }
    let label = pos2(left, second.center().y);
    let words = paint::text_mid(ui.painter(), label, Align::Min, "Note", regular(text::DIMENSION), t.ink2);
    let rect = egui::Rect::from_min_max(pos2(words.right() + 8.0, second.top()), second.max);
    let id = set.id(shown, "note", 0);
    let hint = "second person, engine cold, burr taken off …";
    if let Some(note) = text_line(ui, rect, (id, "Note on these readings", hint), &set.note, t) {
        said.push(ReadingDetail::Note(note));
    }
    row(ui, 4.0);
    said
}

fn shim_ui(ui: &mut Ui, rect: egui::Rect, set: &Shows<'_>, shown: &ViewContext<'_>) -> Option<ReadingDetail> {
    let unit = set.how.shim.as_ref().map_or_else(|| shown.units().unit(Kind::Length), |q| q.unit());
    let number = set.how.shim.as_ref().map(|q| typed::shown(q, unit, shown.units()).0).unwrap_or_default();
    let check = |text: &str| {
        if text.is_empty() {
            crate::app::widgets::field::Check::Fine
        } else {
            typed::check_amount(Kind::Length, text, unit)
        }
    };
    let output = QuantityField {
        id: set.id(shown, "shim", 0),
        name: "Shims fitted at these readings",
        value: &number,
        unit: unit.symbol(),
        known: ProvenanceMark::Measured,
        moved: false,
        struck: false,
        check: &check,
        meaning: &|_| None,
    }
    .show(ui, rect, shown.t);
    if let Some(Note::Refused(why)) = &output.note {
        output.response.clone().on_hover_text(why);
    }
    let text = output.committed?;
    Some(ReadingDetail::Shim(typed::quantity(Kind::Length, &text, unit).ok()))
}
