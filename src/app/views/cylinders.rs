//! All cylinders side by side, heads and barrels worst first.

use super::ViewContext;
use super::cabinet::shape;
use crate::app::command::Command;
use crate::app::explain::about;
use crate::app::theme::semibold;
use crate::app::widgets::level_bank::{Barrel, Head, LevelBank};
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::quantity::Kind;
use crate::study::answers::HeadAnswer;
use crate::study::words;
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// One barrel as it is written.
struct Written {
    label: String,
    offset_mm: f64,
    outside: bool,
    squish: String,
    ratio: String,
}

/// One head as it is written.
struct WrittenHead {
    name: String,
    level: String,
    verdict: Option<Shape>,
    tolerance_mm: Option<f64>,
    barrels: Vec<Written>,
}

/// Shows the panel; a click shows that cylinder.
pub(crate) fn cylinders_ui(ui: &mut Ui, rect: Rect, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let title =
        if shown.question().cylinders.len() == 1 { "One cylinder" } else { "All cylinders, worst first" };
    paint::text_mid(ui.painter(), rect.min + vec2(14.0, 17.0), Align::Min, title, semibold(15.0), t.ink);
    let heads: Vec<WrittenHead> = shown
        .answers()
        .worst_first
        .iter()
        .filter_map(|&head| Some(written(shown, head, shown.answers().heads.get(head)?)))
        .collect();
    let barrels: Vec<Vec<Barrel<'_>>> = heads
        .iter()
        .map(|head| {
            head.barrels
                .iter()
                .map(|b| Barrel {
                    label: &b.label,
                    offset_mm: b.offset_mm,
                    outside: b.outside,
                    squish: &b.squish,
                    ratio: &b.ratio,
                })
                .collect()
        })
        .collect();
    let shown_heads: Vec<Head<'_>> = heads
        .iter()
        .zip(&barrels)
        .map(|(head, barrels)| Head {
            name: &head.name,
            level: &head.level,
            verdict: head.verdict,
            tolerance_mm: head.tolerance_mm,
            barrels,
        })
        .collect();
    let area = Rect::from_min_max(pos2(rect.left() + 14.0, rect.top() + 26.0), rect.max - vec2(14.0, 6.0));
    let bank = LevelBank { id: Id::unique("cylinders"), heads: &shown_heads, chosen: shown.cylinder_label() };
    about(ui, area, "level");
    if let Some(label) = bank.show(ui, area, t)
        && let Some(index) = shown.project().cylinder_index(&label)
    {
        out.push(Command::ShowCylinder(index));
    }
}

fn written(shown: &ViewContext<'_>, head: usize, answer: &HeadAnswer) -> WrittenHead {
    let input = shown.question().heads.get(head);
    let name = input.map_or_else(String::new, |head| head_name(&head.label));
    let level = match (&answer.level, input.is_some_and(|h| h.level) && answer.cylinders.len() > 1) {
        (Some(level), true) => format!("level {}", shown.written(Kind::Length, level.spread).number),
        (None, true) => "heights not known".into(),
        (_, false) => "no level to keep".into(),
    };
    let tolerance_mm = answer.judged.as_ref().and_then(|judged| judged.high);
    let barrels = answer
        .cylinders
        .iter()
        .filter_map(|&cylinder| {
            let label = shown.question().cylinders.get(cylinder)?.label.clone();
            let offset_mm = offset(shown, head, answer, cylinder).unwrap_or(0.0);
            let solved = shown.answers().cylinders.get(cylinder)?.solved();
            let dash = || "–".to_owned();
            let squish =
                solved.map(|s| shown.written(Kind::Length, s.engine.figures().squish_clearance).number);
            let ratio = solved.map(|s| words::plain(s.engine.figures().static_ratio, 2));
            Some(Written {
                label,
                offset_mm,
                outside: tolerance_mm.is_some_and(|most| offset_mm.abs() > most / 2.0),
                squish: squish.unwrap_or_else(dash),
                ratio: ratio.unwrap_or_else(dash),
            })
        })
        .collect();
    let verdict = answer.judged.as_ref().map(|judged| shape(&judged.verdict));
    WrittenHead { name, level, verdict, tolerance_mm, barrels }
}

/// How far the top of a cylinder stands above the median under its head, mm.
fn offset(shown: &ViewContext<'_>, head: usize, answer: &HeadAnswer, cylinder: usize) -> Option<f64> {
    // Heights are told in the order of the engine.
    let place = shown.question().cylinders.iter().take(cylinder).filter(|c| c.head == head).count();
    answer.level.as_ref()?.offsets().nth(place)
}

/// A head's label as a name: "Head L".
fn head_name(label: &str) -> String {
    if label.chars().count() <= 2 { format!("Head {label}") } else { label.to_owned() }
}
