//! Where the doubt of each figure comes from, what to measure next, and the
//! same by trials where those say otherwise.

use super::parts::{caption, divide, row, say};
use super::{ReadingsView, ViewContext};
use crate::advise::measure_next::measure_next;
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::paint;
use crate::quantity::write;
use crate::reading::Sample;
use crate::study::uncertainty::{Contribution, Figure, Propagated, with_second_order};
use crate::study::words;
use egui::accesskit::Role;
use egui::{Align, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// Dimensions that are told one by one; the rest are told together.
const MOST: usize = 6;

/// Shows the page.
pub(super) fn doubt_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ReadingsView) {
    let t = shown.t;
    let label = shown.cylinder_label();
    let (Some(solved), Some(cylinder)) = (shown.solved(), shown.question().cylinders.get(shown.cylinder))
    else {
        caption(ui, &format!("Cylinder {label} can't exist as its dimensions stand."), t);
        return;
    };
    say(ui, "Measure this next", semibold(text::BODY), t.ink);
    let mut told: Vec<String> = Vec::new();
    for figure in [Figure::SquishClearance, Figure::StaticRatio] {
        let advice = measure_next(figure, &solved.engine, &cylinder.measured);
        for sentence in advice.into_iter().flat_map(|advice| advice.sentences(shown.units())) {
            if !told.contains(&sentence) {
                told.push(sentence);
            }
        }
    }
    if told.is_empty() {
        caption(ui, "No further reading would make squish or ratio noticeably better known.", t);
    }
    for sentence in &told {
        caption(ui, &format!("{}.", sentence.trim_end_matches('.')), t);
    }
    let trials = view.trials.ask(shown, ui.ctx());
    let (engine, doubts) = cylinder.measured.propagated(&solved.engine);
    for (i, figure) in Figure::FOUR.into_iter().enumerate() {
        let Some(propagated) = solved.uncertain.iter().find(|p| p.figure == figure) else { continue };
        divide(ui, 12.0, t);
        figure_ui(ui, propagated, shown);
        if propagated.uncertainty.standard > 0.0 {
            let second = with_second_order(&engine, &doubts, propagated);
            let sample = match &trials {
                Some(Ok(samples)) => samples.get(i).map(Ok),
                Some(Err(why)) => Some(Err(why.as_str())),
                None => None,
            };
            trials_ui(ui, propagated, second, sample, shown);
        }
    }
}

fn number(figure: Figure, value: f64, decimals: Option<u8>, shown: &ViewContext<'_>) -> String {
    match (figure, figure.kind()) {
        (Figure::DeckClearance, _) => words::gap(value, decimals, shown.units()),
        (_, Some(kind)) => write(kind, value, decimals, shown.units()).to_string(),
        (_, None) => words::plain(value, decimals.unwrap_or(2)),
    }
}

fn small(figure: Figure, value: f64, shown: &ViewContext<'_>) -> String {
    match figure.kind() {
        Some(kind) => words::small(kind, value, shown.units()),
        None => words::plain(value, words::two_digits(value)),
    }
}

/// "Squish 1.97 mm, ±0.02": then its shares as bars.
fn figure_ui(ui: &mut Ui, propagated: &Propagated, shown: &ViewContext<'_>) {
    let t = shown.t;
    let figure = propagated.figure;
    let uncertainty = propagated.uncertainty;
    let name = capital(figure.name());
    let title = if uncertainty.standard > 0.0 {
        let k = words::plain(uncertainty.coverage_factor, 2);
        let dof = uncertainty.degrees_of_freedom;
        let dof = if dof < 1000.0 {
            format!(", {} degrees of freedom", words::plain(dof, 0))
        } else {
            String::new()
        };
        let plus_minus = small(figure, uncertainty.expanded(), shown);
        format!("{name} {}, ±{plus_minus} (k = {k}{dof})", number(figure, propagated.value, None, shown))
    } else {
        format!("{name} {}, nothing known of its doubt", number(figure, propagated.value, None, shown))
    };
    say(ui, &title, semibold(text::BODY), t.ink);
    let mut shares: Vec<&Contribution> = propagated.contributions.iter().filter(|c| c.share != 0.0).collect();
    shares.sort_by(|a, b| b.share.abs().total_cmp(&a.share.abs()));
    for contribution in shares.iter().take(MOST) {
        share_ui(ui, figure, contribution, shown);
    }
    let rest: f64 = shares.iter().skip(MOST).map(|c| c.share).sum();
    if shares.len() > MOST {
        let percent = words::plain(100.0 * rest, 0);
        caption(ui, &format!("{} more together make {percent} %.", shares.len() - MOST), t);
    }
    if !propagated.uncounted.is_empty() {
        let names: Vec<String> = propagated.uncounted.iter().map(|key| key.name().to_lowercase()).collect();
        caption(ui, &format!("Not counted, because nobody measured it: {}.", words::list(&names)), t);
    }
}

fn share_ui(ui: &mut Ui, figure: Figure, contribution: &Contribution, shown: &ViewContext<'_>) {
    let t = shown.t;
    let line = row(ui, 21.0);
    let painter = ui.painter();
    let name = contribution.key.name();
    let y = line.center().y;
    paint::text_mid(painter, pos2(line.left(), y), Align::Min, name, regular(text::DIMENSION), t.ink);
    let bar =
        Rect::from_min_size(pos2(line.left() + 158.0, y - 5.0), vec2((line.width() - 340.0).max(60.0), 10.0));
    painter.rect_filled(bar, 0.0, t.field);
    #[expect(clippy::cast_possible_truncation, reason = "the length of a bar on a screen")]
    let share = contribution.share.clamp(0.0, 1.0) as f32;
    painter.rect_filled(Rect::from_min_size(bar.min, vec2(bar.width() * share, 10.0)), 0.0, t.ink2);
    painter.rect_stroke(bar, 0.0, t.stroke(1.0, t.line2), egui::StrokeKind::Inside);
    let percent = format!("{} %", words::plain(100.0 * contribution.share, 0));
    let part = contribution.sensitivity.abs() * contribution.standard;
    let moves = format!("u = {}", small(figure, part, shown));
    paint::text_mid(
        painter,
        pos2(bar.right() + 50.0, y),
        Align::Max,
        &percent,
        semibold(text::DIMENSION),
        t.ink,
    );
    paint::text_mid(painter, pos2(line.right(), y), Align::Max, &moves, regular(text::CAPTION), t.ink3);
    let spoken = format!("{name} makes {percent} of the doubt of the {}, {moves}", figure.name());
    ui.interact(line, ui.scope_id().with(("share", figure.id(), name)), Sense::hover())
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
}

/// The same by trials: always told in a line, and told apart where it says
/// something else.
fn trials_ui(
    ui: &mut Ui,
    first: &Propagated,
    second: Option<f64>,
    trials: Option<Result<&Sample, &str>>,
    shown: &ViewContext<'_>,
) {
    let t = shown.t;
    let sample = match trials {
        Some(Ok(sample)) => Some(sample),
        Some(Err(why)) => {
            caption(ui, &format!("{}.", capital(why)), t);
            None
        }
        None => {
            caption(ui, "Trials are being made …", t);
            None
        }
    };
    let Some(sample) = sample else { return };
    caption(ui, &sample_words(first.figure, sample, shown), t);
    if sample.parts_from(first.value, first.uncertainty.expanded()) {
        let words = "Trials and first order part here: the result bends over its doubts, or their shape is no bell. \
                     Go by the interval of the trials.";
        say(ui, words, semibold(text::CAPTION), t.warn);
    }
    if let Some(second) = second.filter(|s| *s > 1.05 * first.uncertainty.standard) {
        let now = small(first.figure, second, shown);
        let before = small(first.figure, first.uncertainty.standard, shown);
        caption(
            ui,
            &format!("With the second-order term its standard uncertainty is {now}, not {before}."),
            t,
        );
    }
}

fn sample_words(figure: Figure, sample: &Sample, shown: &ViewContext<'_>) -> String {
    let kind_decimals = |u: f64| match figure.kind() {
        Some(kind) => words::two_digits(shown.units().unit(kind).from_base(u)),
        None => words::two_digits(u),
    };
    let decimals = Some(kind_decimals(sample.standard_deviation));
    let n = |v: f64| number(figure, v, decimals, shown);
    let settled =
        if sample.settled { "" } else { "; two digits had not settled, so the last one is not sure" };
    let left_out = match sample.left_out {
        0 => String::new(),
        some => format!("; {some} trials can't exist and are left out"),
    };
    format!(
        "{} trials: mean {}, standard deviation {}, 95 % from {} to {}, at the shortest from {} to {}{settled}{left_out}.",
        sample.trials,
        n(sample.mean),
        small(figure, sample.standard_deviation, shown),
        n(sample.low_95),
        n(sample.high_95),
        n(sample.shortest_95.0),
        n(sample.shortest_95.1),
    )
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
