//! What the readings of one thing give: the mean with its ±, the rock, what
//! to know, and whether the engine uses it.

use super::ViewContext;
use super::parts::{caption, row};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::project::Edit;
use crate::quantity::{Kind, Quantity, write};
use crate::reading::{Evaluation, Origin, Subject};
use crate::study::{adopt, words};
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// Shows the result of one thing.
pub(super) fn result_ui(
    ui: &mut Ui,
    evaluation: &Evaluation,
    shown: &ViewContext<'_>,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    if let Some(estimate) = &evaluation.estimate {
        let uncertainty = estimate.uncertainty();
        let kind = evaluation.of.kind();
        let unit = shown.units().unit(kind);
        let expanded = unit.from_base(uncertainty.expanded());
        let most = crate::quantity::default_decimals(unit) + 1;
        let decimals = words::decimals_for(expanded, most);
        let (number, unit_words) = match evaluation.of {
            Subject::Deck => {
                let gap = words::gap(estimate.value, Some(decimals), shown.units());
                gap.split_once(' ')
                    .map_or((gap.clone(), String::new()), |(n, w)| (n.to_owned(), w.to_owned()))
            }
            _ => {
                let written = write(kind, estimate.value, Some(decimals), shown.units());
                (written.number, written.unit.to_owned())
            }
        };
        let line = row(ui, 34.0);
        let base = line.bottom() - 9.0;
        let painter = ui.painter();
        let number =
            paint::text(painter, pos2(line.left(), base), Align::Min, &number, semibold(text::NUMBER), t.ink);
        let at = pos2(number.right() + 5.0, base);
        let unit_rect = paint::text(painter, at, Align::Min, &unit_words, semibold(text::PANEL), t.ink);
        let plus_minus =
            if expanded > 0.0 { words::plus_minus(expanded, decimals) } else { "± not known".to_owned() };
        let counted = format!("{plus_minus}, {}", values_words(counted(evaluation)));
        let at = pos2(unit_rect.right() + 10.0, base);
        let end = paint::text(painter, at, Align::Min, &counted, regular(text::BODY), t.ink2).right();
        let spoken =
            format!("{}: {} {unit_words} {counted}", evaluation.of.name(), number_words(evaluation, shown));
        ui.interact(line, ui.scope_id().with(("result", evaluation.of.name())), egui::Sense::hover())
            .widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, &spoken));
        let dof = uncertainty.degrees_of_freedom;
        let known = if dof < 1000.0 {
            format!(
                "k = {} from {} degrees of freedom",
                words::plain(uncertainty.coverage_factor, 2),
                words::plain(dof, 0)
            )
        } else {
            format!("k = {}", words::plain(uncertainty.coverage_factor, 2))
        };
        if expanded > 0.0 {
            let galley = paint::line(ui.painter(), &known, regular(text::CAPTION), t.ink3);
            if end + galley.size().x + 12.0 < line.right() {
                paint::place(ui.painter(), pos2(line.right(), base), Align::Max, galley, t.ink3);
            }
        }
        doubts_ui(ui, evaluation, shown);
        if let Subject::PistonToValve(valve) = evaluation.of {
            super::sweep::least_ui(ui, evaluation, valve, shown);
        }
        use_ui(ui, evaluation, shown, out);
    }
    if let Some(rock) = evaluation.rock {
        let edge_to_edge = write(Kind::Length, 2.0 * rock.half.abs(), None, shown.units());
        let edges = write(Kind::Length, rock.edges, None, shown.units());
        caption(
            ui,
            &format!(
                "Rock {edge_to_edge} edge to edge, left out of the mean; the middle of both edges stands at {edges}"
            ),
            t,
        );
    }
    for remark in &evaluation.remarks {
        caption(ui, &format!("{}.", remark.sentence(&evaluation.of, shown.units())), t);
    }
}

/// Where the ± comes from: what the readings themselves show (type A) and
/// what the instrument and the handling add (type B), as standard
/// uncertainties.
fn doubts_ui(ui: &mut Ui, evaluation: &Evaluation, shown: &ViewContext<'_>) {
    let Some(estimate) = &evaluation.estimate else { return };
    let kind = evaluation.of.kind();
    let written = |origins: fn(Origin) -> bool| -> Vec<String> {
        let own = estimate.doubts.iter().filter(|doubt| origins(doubt.origin()) && doubt.u() > 0.0);
        own.map(|doubt| format!("{} {}", doubt.origin().name(), words::small(kind, doubt.u(), shown.units())))
            .collect()
    };
    let scatter = written(|origin| origin == Origin::Scatter);
    let other = written(|origin| origin != Origin::Scatter);
    let mut told = Vec::new();
    if !scatter.is_empty() {
        told.push(format!("Type A: {}", words::list(&scatter)));
    }
    if !other.is_empty() {
        told.push(format!("Type B: {}", words::list(&other)));
    }
    if !told.is_empty() {
        caption(ui, &format!("{} (each as a standard uncertainty)", told.join(" · ")), shown.t);
    }
}

fn number_words(evaluation: &Evaluation, shown: &ViewContext<'_>) -> String {
    let estimate = evaluation.estimate.as_ref();
    estimate.map_or_else(String::new, |e| write(evaluation.of.kind(), e.value, None, shown.units()).number)
}

fn counted(evaluation: &Evaluation) -> usize {
    let above = matches!(evaluation.of, Subject::Deck | Subject::Squish);
    let on_pin = |p: &&crate::reading::PlaceMean| {
        use crate::reading::DeckPlace;
        !above || !matches!(p.place, Some(DeckPlace::Thrust | DeckPlace::Antithrust | DeckPlace::ThrustAxis))
    };
    let on_axis: usize = evaluation.places.iter().filter(on_pin).map(|p| p.count).sum();
    if on_axis > 0 { on_axis } else { evaluation.places.iter().map(|p| p.count).sum() }
}

/// "six values": a small count in a word.
fn values_words(count: usize) -> String {
    const NAMES: [&str; 7] = ["no", "one", "two", "three", "four", "five", "six"];
    let number = NAMES.get(count).map_or_else(|| count.to_string(), |name| (*name).to_owned());
    format!("{number} value{}", if count == 1 { "" } else { "s" })
}

/// What the engine uses now, and the button to use this instead.
fn use_ui(ui: &mut Ui, evaluation: &Evaluation, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let (Some(key), Some(estimate)) = (adopt::dimension_of(&evaluation.of), &evaluation.estimate) else {
        return;
    };
    let Ok(value) = adopt::as_value(&evaluation.of, estimate, shown.units()) else { return };
    let own = shown.entry(key).map(|(entry, _)| entry);
    let shim = (evaluation.of == Subject::Deck)
        .then(|| Quantity::rounded(Kind::Length, estimate.shim.unwrap_or(0.0), Some(3), shown.units()).ok())
        .flatten();
    let same = own.is_some_and(|entry| (entry.value.base() - value.base()).abs() < 1e-9);
    let now = match (&evaluation.of, own) {
        (Subject::Deck, None) => "The engine takes its deck from the chain of parts".to_owned(),
        (Subject::Deck, Some(entry)) => {
            format!("This reading rules: the engine uses {} as its deck", entry.value)
        }
        (_, None) => "The engine has no value for it yet".to_owned(),
        (_, Some(entry)) => format!("The engine uses {}, {}", entry.value, entry.known.word()),
    };
    let line = row(ui, 30.0);
    let words = pos2(line.left(), line.center().y);
    let clears = evaluation.of == Subject::Deck && own.is_some();
    let label = match &evaluation.of {
        Subject::Deck => format!("Let {value} rule"),
        _ => format!("Use {value}"),
    };
    let mut right = line.right();
    let cylinder = shown.cylinder_label().to_owned();
    if clears {
        let button = Button::plain(Id::unique(("back to chain", &cylinder)), "Back to the chain")
            .tooltip("The deck comes from the parts again; the readings stay");
        let size = button.size(ui.painter(), t);
        let rect = Rect::from_min_size(pos2(right - size.x, line.top() + 1.0), size);
        right = rect.left() - 8.0;
        if button.show(ui, rect, t).clicked() {
            let scope = shown.scope(key);
            out.push(Command::Edit(Edit::ClearDimension { scope, key }, None));
        }
    }
    if !same {
        let button = Button::plain(Id::unique(("use", &cylinder, evaluation.of.name())), &label)
            .tooltip("Puts this mean into the list of dimensions, for this cylinder");
        let size = button.size(ui.painter(), t);
        let rect = Rect::from_min_size(pos2(right - size.x, line.top() + 1.0), vec2(size.x, size.y));
        right = rect.left() - 8.0;
        if button.show(ui, rect, t).clicked() {
            out.push(Command::Edit(Edit::UseReading { cylinder, key, value, shim }, None));
        }
    }
    let galley =
        paint::fitted(ui.painter(), &now, regular(text::DIMENSION), t.ink2, right - line.left() - 8.0);
    let baseline = paint::baseline_for_middle(words.y, text::DIMENSION);
    paint::place(ui.painter(), pos2(words.x, baseline), Align::Min, galley, t.ink2);
}
