//! The readings panel: what was read of the chosen cylinder, what that
//! gives, whether two routes agree, where the doubt comes from, and the
//! instruments.

mod conditions;
mod decide;
mod doubt;
mod instruments;
mod line;
pub(super) mod parts;
mod plot;
mod result;
mod routes;
mod section;
mod sweep;
mod trials;
pub(super) mod typed;
mod worksheet;

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use crate::app::command::Command;
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::verdict::Verdict as Shape;
use crate::engine::{Group, Key};
use crate::project::Construction;
use crate::reading::{CrankAngle, Subject, Valve, sets};
use crate::study::routes::Finding;
use egui::{Id, Rect, ScrollArea, Ui, pos2, vec2};
use parts::{DropDown, ROW, row};
use std::collections::BTreeMap;

/// A page of the panel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    /// What was read.
    #[default]
    Readings,
    /// Two ways to the same thing.
    Routes,
    /// Where the doubt comes from.
    Doubt,
    /// The list of instruments.
    Instruments,
    /// Top dead centre from a positive stop.
    Stop,
    /// Volumes from a burette.
    Burette,
}

impl Page {
    const ALL: [(Self, &'static str); 6] = [
        (Self::Readings, "Readings"),
        (Self::Routes, "Two routes"),
        (Self::Doubt, "Doubt"),
        (Self::Instruments, "Instruments"),
        (Self::Stop, "Top finder"),
        (Self::Burette, "Burette"),
    ];
}

/// What the panel remembers.
#[derive(Default)]
pub(crate) struct ReadingsView {
    page: Page,
    /// Sets that were begun and have no value yet.
    begun: Vec<section::Begun>,
    /// Things that were asked for and have no reading yet, by cylinder.
    asked: Vec<(String, Subject)>,
    /// Crank angles that were asked for and have no value yet, by cylinder.
    angles: Vec<(String, Subject, CrankAngle)>,
    /// What was wrong with the last crank angle.
    angle_fault: Option<(Subject, String)>,
    /// The set whose conditions are open.
    unfolded: Option<Id>,
    /// The value that is about to be struck out: reading and value, from 0.
    striking: Option<(usize, usize)>,
    /// Reasons being typed, by reading and value.
    reasons: BTreeMap<(usize, usize), String>,
    /// The reading whose next value is asked for.
    read_again: Option<usize>,
    /// The thing whose first field is to have the keyboard.
    first: Option<Subject>,
    /// Where the next value was being asked for: cylinder, thing and field.
    at: Option<(String, Subject, Id)>,
    /// The figures by trials.
    trials: trials::TrialsRun,
    /// What was wrong with the last thing typed about an instrument.
    fault: Option<String>,
    /// The sheets of arithmetic.
    sheets: worksheet::Sheets,
}

impl ReadingsView {
    /// Makes a place for readings of something, and puts the keyboard there.
    fn ask(&mut self, cylinder: &str, of: Subject) {
        self.asked.push((cylinder.to_owned(), of.clone()));
        self.first = Some(of);
    }
}

impl PanelView for ReadingsView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        readings_ui(ui, cx, self, out);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        readings_status(cx)
    }

    /// Puts the keyboard where the next deck is typed.
    fn take_keyboard(&mut self, _: &egui::Context) {
        self.page = Page::Readings;
        self.first = Some(Subject::Deck);
    }
}

fn readings_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ReadingsView, out: &mut Vec<Command>) {
    pages_ui(ui, shown, view);
    ScrollArea::vertical().id_salt(("readings", view.page as u8)).auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        // The bar of the scroll area stands beside what is written.
        let width = ui.available_width() - 12.0;
        ui.set_max_width(width);
        match view.page {
            Page::Readings => list_ui(ui, shown, view, out),
            Page::Routes => routes::routes_ui(ui, shown, view),
            Page::Doubt => doubt::doubt_ui(ui, shown, view),
            Page::Instruments => instruments::instruments_ui(ui, shown, &mut view.fault, out),
            Page::Stop => worksheet::stop_ui(ui, shown, &mut view.sheets, out),
            Page::Burette => worksheet::burette_ui(ui, shown, &mut view.sheets, out),
        }
    });
}

/// The pages side by side, in as many rows as they need; the open one is
/// marked.
fn pages_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ReadingsView) {
    let mut line = row(ui, 34.0);
    let mut left = line.left();
    for (page, name) in Page::ALL {
        let plain = Button::plain(Id::unique(("readings page", name)), name);
        let button = if page == view.page { Button { kind: Kind::Chosen, ..plain } } else { plain };
        let size = button.size(ui.painter(), shown.t);
        if left + size.x > line.right() {
            line = row(ui, 34.0);
            left = line.left();
        }
        let rect = Rect::from_min_size(pos2(left, line.top()), size);
        left = rect.right() + 6.0;
        if button.show(ui, rect, shown.t).clicked() {
            view.page = page;
        }
    }
}

/// Everything that can be read, in the order in which it is offered.
fn all_subjects(shown: &ViewContext<'_>) -> Vec<Subject> {
    let above = [Subject::Deck, Subject::Dimension(Key::ChamberVolume), Subject::Squish, Subject::WholeFill];
    let has_valves = shown.project().engine.construction != Construction::TwoStroke;
    let valves = Valve::ALL.into_iter().filter(|_| has_valves).map(Subject::PistonToValve);
    let own = |key: &Key| *key != Key::ChamberVolume && key.row().group != Group::Mockup;
    let rings = shown.project().rings.iter().map(|ring| Subject::RingGap(ring.name.clone()));
    above
        .into_iter()
        .chain(valves)
        .chain(Key::all().filter(own).map(Subject::Dimension))
        .chain(rings)
        .collect()
}

/// All that was read of the chosen cylinder, and a list of what else can be.
fn list_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ReadingsView, out: &mut Vec<Command>) {
    let label = shown.cylinder_label();
    if label.is_empty() {
        parts::caption(ui, "No cylinder to read yet", shown.t);
        return;
    }
    if let Some((_, of, field)) = view.at.take_if(|(cylinder, ..)| cylinder != label)
        && ui.memory(|m| m.has_focus(field))
    {
        // The keyboard goes along to the next cylinder.
        view.first = Some(of);
    }
    let mut subjects = vec![Subject::Deck, Subject::Dimension(Key::ChamberVolume)];
    let asked = view.asked.iter().filter(|(cylinder, _)| cylinder == label).map(|(_, of)| of.clone());
    for of in sets::subjects(&shown.project().readings, label).into_iter().chain(asked) {
        if !subjects.contains(&of) {
            subjects.push(of);
        }
    }
    for of in &subjects {
        section::section_ui(ui, of, shown, view, out);
    }
    let others: Vec<Subject> = all_subjects(shown).into_iter().filter(|of| !subjects.contains(of)).collect();
    let names: Vec<String> = others.iter().map(section::title).collect();
    let line = row(ui, ROW + 6.0).shrink2(vec2(0.0, 2.0));
    let choice = DropDown {
        id: Id::unique("read another thing"),
        name: "Read another dimension",
        shown: "Read another dimension …",
        options: &names,
        chosen: None,
        tooltip: "A place for readings of anything else",
    };
    if let Some(of) = choice.show(ui, parts::left_of(line, 250.0), shown.t).and_then(|i| others.get(i)) {
        view.ask(label, of.clone());
    }
}

/// What the panel says when it is closed: values that wait for a decision,
/// else routes that part, else how much was read.
fn readings_status(shown: &ViewContext<'_>) -> PanelStatus {
    let answers = &shown.answers().cylinders;
    let odd: usize = answers.iter().map(|c| c.odd.iter().filter(|(_, odd)| odd.kept.is_none()).count()).sum();
    let part = answers.iter().filter_map(|c| c.solved()).flat_map(|s| &s.routes);
    let part = part.filter(|route| route.finding == Finding::Part).count();
    let values: usize = shown.project().readings.iter().map(|r| r.values.len()).sum();
    match (odd, part, values) {
        (1.., _, _) => (format!("{odd} stand{} out", if odd == 1 { "s" } else { "" }), Some(Shape::Close)),
        (_, 1, _) => ("two routes differ".into(), Some(Shape::Close)),
        (_, 2.., _) => (format!("routes differ in {part} places"), Some(Shape::Close)),
        (_, _, 0) => ("nothing read yet".into(), None),
        (_, _, 1) => ("1 value".into(), None),
        _ => (format!("{values} values"), None),
    }
}
