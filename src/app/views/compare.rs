//! The panel of kept states: any two side by side in figures and in the
//! dimensions that differ; which one stands behind the drawing; another name,
//! back to one, and away with one.

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use crate::app::command::Command;
use crate::app::memo::{Memo, Revision};
use crate::app::session::{Reference, Session, StateName};
use crate::app::theme::{regular, semibold, space, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::choice::SegmentedChoice;
use crate::app::widgets::text_field::TextField;
use crate::app::widgets::{paint, panel};
use crate::engine::Key;
use crate::project::Edit;
use crate::quantity::Kind;
use crate::study::answers::Solved;
use crate::study::words;
use egui::{Align, Id, Rect, RichText, ScrollArea, Sense, Ui, pos2, vec2};

/// Height of a line of the table.
const ROW: f32 = 24.0;
/// Width of a choice of a state.
const CHOICE: f32 = 200.0;

/// What the panel remembers.
#[derive(Default)]
pub(crate) struct CompareView {
    left: StateName,
    right: Option<StateName>,
    /// States with their answers.
    known: Memo<Revision, Vec<(StateName, Reference)>>,
}

impl CompareView {
    /// Returns a state with its answers, computed once per change of the
    /// document; `None` for a kept state that is gone.
    fn state(&mut self, name: &StateName, session: &Session) -> Option<Reference> {
        let known = self.known.get(session.revision(), |_| Vec::new());
        if let Some((_, state)) = known.iter().find(|(known, _)| known == name) {
            return Some(state.clone());
        }
        let state = session.state(name)?;
        known.push((name.clone(), state.clone()));
        Some(state)
    }
}

impl PanelView for CompareView {
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>) {
        compare_ui(ui, cx, self, out);
    }

    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus {
        (compare_status(cx), None)
    }
}

fn compare_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut CompareView, out: &mut Vec<Command>) {
    let mut names = vec![StateName::Now];
    names.extend(shown.session.states());
    if !names.contains(&view.left) {
        view.left = StateName::Opened;
    }
    let chosen = view.right.clone().filter(|name| names.contains(name)).unwrap_or(StateName::Now);
    ui.spacing_mut().item_spacing = vec2(space::NEAR, 5.0);
    let words: Vec<String> = names.iter().map(|name| name.words().to_owned()).collect();
    ui.horizontal(|ui| {
        let choose = |ui: &mut Ui, label: &str, now: &StateName| {
            let choice = SegmentedChoice {
                id: Id::unique(("compare", label)),
                name: label,
                options: &words,
                chosen: names.iter().position(|name| name == now),
            };
            choice.show(ui, CHOICE, shown.t).and_then(|i| names.get(i)).cloned()
        };
        if let Some(name) = choose(ui, "First state", &view.left) {
            view.left = name;
        }
        ui.label(RichText::new("beside").font(regular(text::CAPTION)).color(shown.t.ink2));
        if let Some(name) = choose(ui, "Second state", &chosen) {
            view.right = Some(name);
        }
    });
    let left = view.left.clone();
    if let (Some(a), Some(b)) = (view.state(&left, shown.session), view.state(&chosen, shown.session)) {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 12.0);
            table_ui(ui, shown, &a, &b);
            kept_ui(ui, shown, out);
        });
    }
}

/// How many states are kept, for the closed panel.
fn compare_status(shown: &ViewContext<'_>) -> String {
    match shown.project().kept.len() {
        0 => "none kept yet".into(),
        1 => "1 kept".into(),
        count => format!("{count} kept"),
    }
}

/// One line: its name, both values, and what changed.
struct Line {
    name: String,
    left: String,
    right: String,
    change: String,
}

fn table_ui(ui: &mut Ui, shown: &ViewContext<'_>, a: &Reference, b: &Reference) {
    let head = format!("Cylinder {}", shown.cylinder_label());
    let line = Line { name: head, left: a.name.clone(), right: b.name.clone(), change: "change".into() };
    line_ui(ui, shown, &line, true);
    let solved = |of: &Reference| of.answers.cylinders.get(shown.cylinder)?.solved().cloned();
    match (solved(a), solved(b)) {
        (Some(a), Some(b)) => {
            for line in figures(shown, &a, &b) {
                line_ui(ui, shown, &line, false);
            }
        }
        _ => {
            ui.label("In one of the two this cylinder can't exist, so there are no figures to compare");
        }
    }
    let lines = dimensions(shown, a, b);
    let words = if lines.is_empty() { "No dimension differs" } else { "Dimensions that differ" };
    ui.add_space(space::NEAR);
    ui.label(RichText::new(words).font(semibold(text::BODY)).color(shown.t.ink));
    for line in &lines {
        line_ui(ui, shown, line, false);
    }
}

fn figures(shown: &ViewContext<'_>, a: &Solved, b: &Solved) -> Vec<Line> {
    let units = shown.units();
    let (a, b) = (a.engine.figures(), b.engine.figures());
    let deck = Line {
        name: "Deck clearance".into(),
        left: words::gap(a.deck_clearance, None, units),
        right: words::gap(b.deck_clearance, None, units),
        change: words::gap_change(b.deck_clearance - a.deck_clearance, None, units),
    };
    let of = |name: &str, kind: Kind, a: f64, b: f64| Line {
        name: name.into(),
        left: shown.written(kind, a).to_string(),
        right: shown.written(kind, b).to_string(),
        change: changed(shown, kind, a, b),
    };
    let ratio = |name: &str, a: f64, b: f64| Line {
        name: name.into(),
        left: words::plain(a, 2),
        right: words::plain(b, 2),
        change: words::change(b - a, 2),
    };
    let mut lines = vec![
        deck,
        of("Squish", Kind::Length, a.squish_clearance, b.squish_clearance),
        of("Swept volume", Kind::Volume, a.swept, b.swept),
        of("Clearance volume", Kind::Volume, a.clearance_volume, b.clearance_volume),
        ratio("Static ratio", a.static_ratio, b.static_ratio),
    ];
    if let (Some(a), Some(b)) = (a.effective_ratio, b.effective_ratio) {
        lines.push(ratio("Effective ratio", a, b));
    }
    lines
}

fn dimensions(shown: &ViewContext<'_>, a: &Reference, b: &Reference) -> Vec<Line> {
    let value = |of: &Reference, key: Key| of.engine.dims(shown.cylinder)?.filled(key);
    let written = |key: Key, value: Option<f64>| {
        value.map_or_else(|| "not given".to_owned(), |value| shown.written(key.kind(), value).to_string())
    };
    Key::all()
        .filter_map(|key| {
            let (a, b) = (value(a, key), value(b, key));
            (a != b).then(|| Line {
                name: key.name().into(),
                left: written(key, a),
                right: written(key, b),
                change: a.zip(b).map_or_else(String::new, |(a, b)| changed(shown, key.kind(), a, b)),
            })
        })
        .collect()
}

/// "+0.25 mm", "−1.2 cc"; "0" where nothing changed that shows.
fn changed(shown: &ViewContext<'_>, kind: Kind, a: f64, b: f64) -> String {
    let size = shown.written(kind, (b - a).abs());
    if !size.number.bytes().any(|digit| matches!(digit, b'1'..=b'9')) {
        return "0".into();
    }
    format!("{}{size}", if b > a { '+' } else { '\u{2212}' })
}

fn line_ui(ui: &mut Ui, shown: &ViewContext<'_>, line: &Line, head: bool) {
    let t = shown.t;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let (font, ink) = if head { (semibold(text::CAPTION), t.ink2) } else { (regular(text::BODY), t.ink) };
    let painter = ui.painter();
    let column = rect.width() / 4.0;
    let mid = rect.center().y;
    let first = paint::fitted(painter, &line.name, font.clone(), ink, column + 20.0);
    let baseline = paint::baseline_for_middle(mid, font.size);
    paint::place(painter, pos2(rect.left(), baseline), Align::Min, first, ink);
    let moved = !head && !matches!(line.change.as_str(), "" | "0") && line.left != line.right;
    for (i, words) in [&line.left, &line.right, &line.change].into_iter().enumerate() {
        let font = if i == 2 && moved { semibold(text::BODY) } else { font.clone() };
        let right = rect.left() + column * (i as f32 + 2.0);
        let galley = paint::fitted(painter, words, font, ink, column - 16.0);
        paint::place(painter, pos2(right, baseline), Align::Max, galley, ink);
    }
    panel::divider(painter, Rect::from_min_max(rect.min, rect.max), rect.bottom(), t);
    let spoken = format!("{}: {}, {}, change {}", line.name, line.left, line.right, line.change);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &spoken));
}

fn kept_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    ui.add_space(space::GAP);
    ui.label(RichText::new("Kept states").font(semibold(text::BODY)).color(t.ink));
    if shown.project().kept.is_empty() {
        let words = "Keep this state (K) keeps the engine as it stands under a name, in the project.";
        ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
    }
    let ghost = &shown.reference().state;
    let behind = |ui: &mut Ui, name: &StateName, out: &mut Vec<Command>| {
        let is = ghost == name;
        let label = format!("Show {} behind the drawing", name.words());
        let id = Id::unique(("ghost", name.words()));
        let button = Button::plain(id, "Behind the drawing").enabled(!is).tooltip(if is {
            "It stands there now"
        } else {
            "Draw its outline behind the present one"
        });
        if named(button.add(ui, t), &label, !is).clicked() {
            out.push(Command::CompareWith(name.clone()));
        }
    };
    ui.horizontal(|ui| {
        name_ui(ui, shown, "as opened");
        behind(ui, &StateName::Opened, out);
    });
    for (index, kept) in shown.project().kept.iter().enumerate() {
        ui.horizontal(|ui| {
            let label = format!("Name of {}", kept.name);
            let field = TextField::line(Id::unique(("kept name", index)), &label, &kept.name);
            if let Some(to) = field.width(CHOICE - 60.0).show(ui, t).committed.filter(|to| !to.is_empty()) {
                out.push(Command::Edit(Edit::RenameState { from: kept.name.clone(), to }, None));
            }
            behind(ui, &StateName::Kept(kept.name.clone()), out);
            let back = Button::plain(Id::unique(("kept back", index)), "Back to it")
                .tooltip("The engine becomes as it was then; readings and limits stay. Undo takes it back");
            if named(back.add(ui, t), &format!("Back to {}", kept.name), true).clicked() {
                out.push(Command::Edit(Edit::RestoreState(kept.name.clone()), None));
            }
            let drop = Button::plain(Id::unique(("kept drop", index)), "Drop");
            if named(drop.add(ui, t), &format!("Drop {}", kept.name), true).clicked() {
                out.push(Command::Edit(Edit::DropState(kept.name.clone()), None));
            }
            ui.label(RichText::new(&kept.date).font(regular(text::CAPTION)).color(t.ink2));
        });
    }
}

fn name_ui(ui: &mut Ui, shown: &ViewContext<'_>, words: &str) {
    let (rect, _) = ui.allocate_exact_size(vec2(CHOICE - 60.0, 28.0), Sense::hover());
    let at = rect.left_center();
    paint::text_mid(ui.painter(), at, Align::Min, words, regular(text::BODY), shown.t.ink);
}

/// A button among others of the same words gets a name of its own.
fn named(response: egui::Response, label: &str, enabled: bool) -> egui::Response {
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, enabled, label));
    response
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demos;

    #[test]
    fn another_document_has_states_of_its_own() {
        let opened = |id: &str| {
            let demo = demos().iter().find(|demo| demo.id == id).unwrap();
            Session::new(demo.project().unwrap(), None)
        };
        let mut view = CompareView::default();
        for id in ["sorrendel-f6", "brackwell-s7"] {
            let session = opened(id);
            let state = view.state(&StateName::Opened, &session).unwrap();
            assert_eq!(state.engine, session.project().engine, "{id}");
        }
    }
}
