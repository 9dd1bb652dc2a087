//! The bench log panel: the checklist of the job, ticked with initials and
//! time, what was read, torques in stages of the builder's own figure; and
//! what is written down beside it.

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use crate::app::command::Command;
use crate::app::theme::{Tokens, regular, semibold, space, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::clock::now;
use crate::project::{Edit, LogEntry};
use crate::schema::{BenchStep, Torque};
use crate::study::bench::{checklist, ticked};
use crate::study::cautions::{self, Decision};
use egui::{
    Align, Id, Layout, Margin, Rect, RichText, ScrollArea, Sense, TextEdit, Ui, UiBuilder, pos2, vec2,
};

/// Width of the field for a reading.
const READING: f32 = 108.0;
/// Width of the words "by … at …".
const BY: f32 = 124.0;

/// Width of the button that opens a step.
const EDIT: f32 = 46.0;

/// What the panel remembers.
#[derive(Default)]
pub(crate) struct BenchView {
    /// Who is at the bench.
    initials: String,
    /// The step that is being changed, from 0.
    open: Option<usize>,
    /// What was wrong with the last thing typed.
    fault: Option<String>,
}

/// A change of the checklist, with its name for undo.
struct Change {
    what: String,
    steps: Vec<BenchStep>,
}

impl Change {
    fn of(what: impl Into<String>, steps: Vec<BenchStep>) -> Option<Self> {
        Some(Self { what: what.into(), steps })
    }
}

impl PanelView for BenchView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        bench_ui(ui, cx, self, out);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        (bench_status(cx), None)
    }
}

fn bench_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut BenchView, out: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing = vec2(8.0, 5.0);
    ui.spacing_mut().interact_size.y = 22.0;
    let steps = &shown.project().bench;
    if steps.is_empty() {
        empty_ui(ui, shown, out);
    } else {
        head_ui(ui, shown, view, steps);
    }
    let mut change = None;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 5.0);
        for (index, step) in steps.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|before| steps.get(before));
            if before.is_none_or(|before| before.chapter != step.chapter) && !step.chapter.is_empty() {
                ui.add_space(space::TIGHT);
                ui.label(RichText::new(&step.chapter).font(semibold(text::BODY)).color(shown.t.ink));
            }
            ui.push_id(("step", index), |ui| {
                change = change.take().or(step_ui(ui, shown, view, steps, index));
                if view.open == Some(index) {
                    change = change.take().or(editor_ui(ui, shown.t, view, steps, index));
                }
            });
        }
        log_ui(ui, shown, view, out);
        cautions_ui(ui, shown);
    });
    if let Some(Change { what, steps }) = change {
        out.push(Command::Edit(Edit::SetBench { what, steps }, None));
    }
}

/// How much of the list is done, for the closed panel.
fn bench_status(shown: &ViewContext<'_>) -> String {
    let steps = &shown.project().bench;
    let done = steps.iter().filter(|step| step.done).count();
    match steps.len() {
        0 => "no checklist begun".to_owned(),
        all => format!("{done} of {all} steps done"),
    }
}

fn say(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
}

fn empty_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let words = "A checklist of the whole job, in the order of a careful builder, made from how this engine is built. \
                 Every step can be changed. It holds no value: readings and torques are yours, from the maker.";
    say(ui, words, shown.t);
    if Button::primary(Id::unique("begin checklist"), "Begin the checklist").add(ui, shown.t).clicked() {
        let edit = Edit::SetBench { what: "Begin the checklist".into(), steps: checklist(shown.question()) };
        out.push(Command::Edit(edit, None));
    }
}

fn head_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut BenchView, steps: &[BenchStep]) {
    let t = shown.t;
    ui.horizontal(|ui| {
        let done = steps.iter().filter(|step| step.done).count();
        let words = format!("{done} of {} steps done", steps.len());
        ui.label(RichText::new(words).font(semibold(text::BODY)).color(t.ink));
        let label = ui.label(RichText::new("Initials").font(regular(text::CAPTION)).color(t.ink2));
        let field = TextEdit::singleline(&mut view.initials).id(Id::unique("initials"));
        let field = field.desired_width(60.0).margin(Margin::symmetric(6, 2));
        ui.add(field).labelled_by(label.id);
    });
    if let Some(fault) = &view.fault {
        ui.label(RichText::new(fault).font(semibold(text::DIMENSION)).color(t.warn));
    }
}

/// One line: ticked or not, what it is, what was read, by whom and when.
fn step_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut BenchView,
    steps: &[BenchStep],
    index: usize,
) -> Option<Change> {
    let t = shown.t;
    let step = steps.get(index)?;
    let mut change = None;
    // The bar of the scroll area stands beside the rows.
    let width = ui.available_width() - 12.0;
    let words = (width - READING - BY - EDIT - 3.0 * space::NEAR).max(120.0);
    let color = if step.done { t.ink2 } else { t.ink };
    let font = regular(text::DIMENSION);
    let galley = paint::wrapped(ui.painter(), &step.what, font, color, words - 26.0);
    let torque = step.torque.as_ref().map(|torque| format!("{}{}", torque.stages_text(), source(torque)));
    let said =
        torque.map(|says| paint::wrapped(ui.painter(), &says, regular(text::LEAST), t.ink2, words - 26.0));
    let torque_height = said.as_ref().map_or(0.0, |galley| galley.size().y);
    let height = (galley.size().y + torque_height).max(24.0) + 4.0;
    let (row, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let part = |left: f32, width: f32| {
        let rect =
            Rect::from_min_size(pos2(row.left() + left, row.top()), vec2(width, height - torque_height));
        UiBuilder::new().max_rect(rect).layout(Layout::left_to_right(Align::Center))
    };
    let mut done = step.done;
    let ticked_now = ui.scope_builder(part(0.0, 26.0), |ui| {
        ui.add(egui::Checkbox::without_text(&mut done)).accessible_name(step.what.as_str()).changed()
    });
    let top = row.top() + (height - torque_height - galley.size().y) / 2.0;
    let at = Rect::from_min_size(pos2(row.left() + 26.0, top), galley.size());
    ui.painter().galley(at.min, galley, color);
    // The words tick as the box does; the box alone is heard.
    if ui.interact(at, ui.scope_id().with("words"), Sense::click()).clicked() || ticked_now.inner {
        let done = !step.done;
        let name = if done { "Tick" } else { "Untick" };
        let steps = ticked(steps, index, done, view.initials.trim(), &now());
        change = Change::of(format!("{name}: {}", step.what), steps);
    }
    if let Some(galley) = said {
        let response = ui.interact(row, ui.scope_id().with("torque said"), Sense::hover());
        let says = galley.text().to_owned();
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &says));
        ui.painter().galley(pos2(row.left() + 26.0, row.bottom() - torque_height - 2.0), galley, t.ink2);
    }
    ui.scope_builder(part(words + space::NEAR, READING), |ui| {
        let name = format!("Reading: {}", step.what);
        if let Some(reading) = text_field(ui, "reading", &name, &step.reading, READING - 14.0, "reading") {
            let what = format!("Reading of {}", step.what);
            change = changed(steps, index, what, |step| step.reading = reading);
        }
    });
    let by = [step.who.as_str(), step.when.as_str()];
    let by = by.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
    ui.scope_builder(part(words + READING + 2.0 * space::NEAR, BY), |ui| {
        ui.label(RichText::new(by).font(regular(text::LEAST)).color(t.ink2));
    });
    ui.scope_builder(part(width - EDIT, EDIT), |ui| {
        let open = view.open == Some(index);
        let words = if open { "Close" } else { "Edit" };
        let button = ui.small_button(words).accessible_name(format!("{words} step {}", index + 1));
        if button.clicked() {
            view.open = (!open).then_some(index);
            view.fault = None;
        }
    });
    change
}

fn source(torque: &Torque) -> String {
    if torque.source.is_empty() { ", source not named".to_owned() } else { format!(", {}", torque.source) }
}

/// The steps with one changed.
fn changed(
    steps: &[BenchStep],
    index: usize,
    what: impl Into<String>,
    change: impl FnOnce(&mut BenchStep),
) -> Option<Change> {
    let mut steps = steps.to_vec();
    change(steps.get_mut(index)?);
    Change::of(what, steps)
}

/// What of a step can be changed beside its tick and its reading.
fn editor_ui(
    ui: &mut Ui,
    t: &Tokens,
    view: &mut BenchView,
    steps: &[BenchStep],
    index: usize,
) -> Option<Change> {
    let step = steps.get(index)?;
    let mut change = None;
    egui::Frame::new().fill(t.row).inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 5.0);
        ui.horizontal(|ui| {
            say(ui, "Step", t);
            let wide = ui.available_width() - 4.0;
            if let Some(what) = text_field(ui, "what", "What is done", &step.what, wide, "what is done") {
                change = changed(steps, index, "Change a step", |step| step.what = what);
            }
        });
        change = change.take().or(torque_ui(ui, t, view, steps, index));
        ui.horizontal(|ui| {
            if ui.button("Move up").clicked() && index > 0 {
                let mut moved = steps.to_vec();
                moved.swap(index, index - 1);
                view.open = Some(index - 1);
                change = Change::of("Move a step", moved);
            }
            if ui.button("Move down").clicked() && index + 1 < steps.len() {
                let mut moved = steps.to_vec();
                moved.swap(index, index + 1);
                view.open = Some(index + 1);
                change = Change::of("Move a step", moved);
            }
            if ui.button("Add a step below").clicked() {
                let mut more = steps.to_vec();
                let new = BenchStep {
                    what: "New step".into(),
                    chapter: step.chapter.clone(),
                    ..BenchStep::default()
                };
                more.insert(index + 1, new);
                view.open = Some(index + 1);
                change = Change::of("Add a step", more);
            }
            if ui.button("Remove").clicked() {
                let mut fewer = steps.to_vec();
                fewer.remove(index);
                view.open = None;
                change = Change::of(format!("Remove: {}", step.what), fewer);
            }
        });
    });
    change
}

/// The torque of a step: figure, stages, and who says so.
fn torque_ui(
    ui: &mut Ui,
    t: &Tokens,
    view: &mut BenchView,
    steps: &[BenchStep],
    index: usize,
) -> Option<Change> {
    let step = steps.get(index)?;
    let torque = step.torque.as_ref();
    let figure = torque.map(|t| format!("{} {}", t.figure, t.unit.symbol())).unwrap_or_default();
    let stages = torque.map(|t| t.percents.iter().map(u32::to_string).collect::<Vec<_>>().join(", "));
    let mut change = None;
    let mut fault = None;
    ui.horizontal(|ui| {
        say(ui, "Torque", t);
        if let Some(typed) = text_field(ui, "torque", "Torque, the maker's figure", &figure, 90.0, "maker's")
        {
            if typed.trim().is_empty() {
                change = changed(steps, index, "Clear a torque", |step| step.torque = None);
            } else {
                match Torque::parse(&typed) {
                    Ok((figure, unit)) => {
                        let old = torque.cloned().unwrap_or_else(|| Torque::in_two_stages(figure, unit));
                        let new = Torque { figure, unit, ..old };
                        let what = format!("Torque of {}", step.what);
                        change = changed(steps, index, what, |step| step.torque = Some(new));
                    }
                    Err(why) => fault = Some(why),
                }
            }
        }
        let Some(torque) = torque else {
            say(ui, "in two stages, about 60 % first (common practice), unless you state others", t);
            return;
        };
        say(ui, "stages, %", t);
        if let Some(typed) =
            text_field(ui, "stages", "Stages in percent", &stages.unwrap_or_default(), 84.0, "")
        {
            match Torque::parse_percents(&typed) {
                Ok(percents) => {
                    let new = Torque { percents, ..torque.clone() };
                    change = changed(steps, index, "Stages of a torque", |step| step.torque = Some(new));
                }
                Err(why) => fault = Some(why),
            }
        }
        say(ui, "says", t);
        let wide = (ui.available_width() - 4.0).max(60.0);
        if let Some(source) =
            text_field(ui, "source", "Who states the torque", &torque.source, wide, "maker's manual")
        {
            let new = Torque { source, ..torque.clone() };
            change = changed(steps, index, "Source of a torque", |step| step.torque = Some(new));
        }
    });
    if fault.is_some() || change.is_some() {
        view.fault = fault;
    }
    change
}

/// What was written down, and a line for more.
fn log_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &BenchView, out: &mut Vec<Command>) {
    let t = shown.t;
    ui.add_space(space::NEAR);
    ui.label(RichText::new("Written down").font(semibold(text::BODY)).color(t.ink));
    for entry in &shown.project().log {
        let by = [entry.date.as_str(), entry.who.as_str()];
        let by = by.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
        say(ui, &if by.is_empty() { entry.text.clone() } else { format!("{by}: {}", entry.text) }, t);
    }
    let wide = ui.available_width() - 4.0;
    let hint = "what was done or decided, and why";
    if let Some(words) = text_field(ui, "log", "New line in the log", "", wide, hint)
        && !words.trim().is_empty()
    {
        let entry =
            LogEntry { date: now(), who: view.initials.trim().to_owned(), text: words.trim().to_owned() };
        out.push(Command::Edit(Edit::AddLog(entry), None));
    }
}

fn cautions_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let t = shown.t;
    ui.add_space(space::NEAR);
    ui.label(RichText::new("Cautions").font(semibold(text::BODY)).color(t.ink));
    let build = &shown.question().build;
    for decision in [Decision::Torque, Decision::TurningOver] {
        for caution in cautions::cautions_for(decision, build, None) {
            say(ui, caution.text, t);
        }
    }
}

/// A field for words. What was typed comes back once, when the field is left
/// or Enter is pressed; Escape puts the old words back.
fn text_field(ui: &mut Ui, salt: &str, name: &str, words: &str, width: f32, hint: &str) -> Option<String> {
    let id = ui.make_persistent_id(salt);
    let typing = ui.memory(|memory| memory.has_focus(id));
    let draft = if typing { ui.data(|data| data.get_temp::<String>(id)) } else { None };
    let mut draft_now = draft.unwrap_or_else(|| words.to_owned());
    let field = TextEdit::singleline(&mut draft_now)
        .id(id)
        .desired_width(width)
        .hint_text(hint)
        .margin(Margin::symmetric(6, 2));
    let response = ui.add(field).accessible_name(name);
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(id, draft_now));
        return None;
    }
    let escaped = ui.input(|input| input.key_pressed(egui::Key::Escape));
    let left = typing.then(|| ui.data_mut(|data| data.remove_temp::<String>(id)))?;
    (left.is_some() && !escaped && draft_now != words).then_some(draft_now)
}
