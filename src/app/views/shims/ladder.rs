//! The base gaskets of a two-stroke as a ladder: each height with its squish
//! and its ports, and beside it the same squish had by the head, which leaves
//! the ports alone.

use super::ShimsView;
use super::table::{self, Column, left, right};
use crate::advise::gaskets::{Effect, Ladder, Rung, ladder};
use crate::app::theme::{semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, say};
use crate::app::widgets::verdict::Verdict as Shape;
use crate::project::{Construction, Project};
use crate::quantity::{Kind, write};
use crate::study::words::plain;
use egui::{Id, Ui, pos2};
use std::sync::Arc;

/// Rungs shown on each side of the one that matters most.
const AROUND: usize = 6;

/// What was computed last, and for which cylinder of which document.
#[derive(Default)]
pub(super) struct LadderView {
    told: Option<(Arc<Project>, usize, Ladder)>,
}

const COLUMNS: [Column; 7] = [
    left("Base", 0.035),
    right("Squish", 0.37).strong(),
    right("Ratio / trapped", 0.55),
    right("Opens", 0.65),
    right("closes", 0.74),
    right("open", 0.83),
    right("By head: ratio", 1.0),
];

pub(super) fn applies(shown: &ViewContext<'_>) -> bool {
    shown.project().engine.construction == Construction::TwoStroke
}

/// Shows all of it.
pub(super) fn ladder_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView) {
    let t = shown.t;
    ui.spacing_mut().item_spacing.y = 1.0;
    let project = shown.session.project();
    let is_now = |(of, cylinder, _): &&(Arc<Project>, usize, Ladder)| {
        Arc::ptr_eq(of, project) && *cylinder == shown.cylinder
    };
    if view.ladder.told.as_ref().filter(is_now).is_none() {
        let pieces: Vec<(f64, u32, bool)> =
            project.shims.iter().map(|shim| (shim.thickness.base(), shim.count, shim.soft)).collect();
        let told = ladder(shown.question(), shown.cylinder, &pieces);
        view.ladder.told = Some((Arc::clone(project), shown.cylinder, told));
    }
    let Some((.., ladder)) = &view.ladder.told else { return };
    for words in &ladder.missing {
        say(ui, &format!("{words}."), semibold(text::CAPTION), t.ink2);
    }
    let fitted = ladder.rungs.iter().position(|rung| rung.lift_mm.abs() < 1e-9);
    let middle = ladder.best.or(fitted).unwrap_or(0);
    let from = middle.saturating_sub(AROUND).min(fitted.unwrap_or(middle));
    let shows =
        ladder.rungs.iter().enumerate().skip(from).take((2 * AROUND + 1).max(fitted.unwrap_or(0) + 1 - from));
    table::head_ui(ui, &COLUMNS, t);
    for (place, rung) in shows {
        rung_ui(ui, shown, rung, (place, Some(place) == ladder.best, Some(place) == fitted));
    }
    let hidden = ladder.rungs.len().saturating_sub(2 * AROUND + 1);
    if hidden > 0 {
        caption(ui, &format!("{hidden} further heights are not shown."), t);
    }
    caption(
        ui,
        "A base gasket moves ports and squish together: a thicker one opens the exhaust earlier and closes it later. A head \
         gasket or a cut at the head moves squish and volume alone. Angles are degrees after and before top dead centre; \
         crushed thickness counts. After a change read the port on the wheel again, and look at transfer ports and skirt.",
        t,
    );
    super::gap(ui);
}

/// One height.
fn rung_ui(ui: &mut Ui, shown: &ViewContext<'_>, rung: &Rung, (place, best, fitted): (usize, bool, bool)) {
    let t = shown.t;
    let units = shown.units();
    let base_height = write(Kind::Length, rung.height_mm, None, units);
    let mark = match (best, fitted) {
        (true, true) => ", best, fitted",
        (true, false) => ", best",
        (false, true) => ", fitted",
        (false, false) => "",
    };
    let pieces = match rung.pieces.len() {
        0 => String::new(),
        count => format!(" in {count}"),
    };
    let squish = |effect: &Effect| {
        write(Kind::Length, effect.engine.figures().squish_clearance, None, units).to_string()
    };
    let ratio = |effect: &Effect| {
        let f = effect.engine.figures();
        let trapped = f.effective_ratio.map_or_else(String::new, |ratio| format!(" / {}", plain(ratio, 2)));
        plain(f.static_ratio, 2) + &trapped
    };
    let none = || "–".to_owned();
    let base = rung.by_base.as_ref();
    let port = base.and_then(|effect| effect.port);
    let angle = |of: Option<f64>| of.map_or_else(none, |deg| format!("{}°", plain(deg, 1)));
    let words = [
        format!("{base_height}{pieces}{mark}"),
        base.map_or_else(|| "meets".to_owned(), squish),
        base.map_or_else(none, ratio),
        angle(port.map(|port| port.opens_deg)),
        angle(port.map(|port| port.closes_deg)),
        angle(port.map(|port| port.open_for_deg())),
        rung.by_head.as_ref().map_or_else(none, ratio),
    ];
    let broken: Vec<String> = base
        .map_or_else(Vec::new, |effect| effect.broken.iter().map(|judged| judged.sentence(units)).collect());
    let spoken = format!(
        "{}: squish {}, ratio {}, port opens {} after and closes {} before top dead centre, open for {}; the same squish \
         by the head: ratio {}. {}",
        words[0],
        words[1],
        words[2],
        words[3],
        words[4],
        words[5],
        words[6],
        broken.join(". ")
    );
    let texts: Vec<&str> = words.iter().map(String::as_str).collect();
    let id = Id::unique(("rung", place));
    let rect = table::line_ui(ui, &COLUMNS, &texts, id, &spoken, t);
    let shape = match base {
        Some(effect) if !effect.broken.is_empty() => Shape::Over,
        None => Shape::Over,
        Some(effect) if effect.unmeasured => Shape::Unknown,
        Some(_) => Shape::Inside,
    };
    shape.paint(ui.painter(), pos2(rect.left() + 9.0, rect.center().y), 12.0, t);
}
