//! The base gaskets of a two-stroke as a ladder: each height with its squish
//! and its ports, and beside it the same squish had by the head, which leaves
//! the ports alone.

use super::ShimsView;
use super::table::{self, Column, left, right};
use crate::advise::gaskets::{Ladder, ladder};
use crate::app::memo::{Memo, Revision};
use crate::app::theme::{semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, say};
use crate::app::widgets::verdict::Verdict as Shape;
use crate::project::Construction;
use crate::report::base_gaskets::{Step, ladder_table};
use egui::{Id, Ui, pos2};

/// Rungs shown on each side of the one that matters most.
const AROUND: usize = 6;

/// The ladder of the cylinder shown last.
pub(super) type KeptLadder = Memo<(Revision, usize), Ladder>;

const COLUMNS: [Column; 7] =
    [left(0.035), right(0.37).strong(), right(0.55), right(0.65), right(0.74), right(0.83), right(1.0)];

pub(super) fn applies(shown: &ViewContext<'_>) -> bool {
    shown.project().engine.construction == Construction::TwoStroke
}

/// Shows all of it.
pub(super) fn ladder_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView) {
    let t = shown.t;
    ui.spacing_mut().item_spacing.y = 1.0;
    let project = shown.session.project();
    let ladder = view.ladder.get((shown.session.revision(), shown.cylinder), |&(_, cylinder)| {
        let pieces: Vec<(f64, u32, bool)> =
            project.shims.iter().map(|shim| (shim.thickness.base(), shim.count, shim.soft)).collect();
        ladder(shown.question(), cylinder, &pieces)
    });
    for words in &ladder.missing {
        say(ui, &format!("{words}."), semibold(text::CAPTION), t.ink2);
    }
    let fitted = ladder.rungs.iter().position(|rung| rung.lift_mm.abs() < 1e-9);
    let middle = ladder.best.or(fitted).unwrap_or(0);
    let from = middle.saturating_sub(AROUND).min(fitted.unwrap_or(middle));
    let shows =
        ladder.rungs.iter().enumerate().skip(from).take((2 * AROUND + 1).max(fitted.unwrap_or(0) + 1 - from));
    let step = |(place, rung)| Step { rung, best: Some(place) == ladder.best, fitted: Some(place) == fitted };
    let shows: Vec<Step<'_>> = shows.map(step).collect();
    let table = ladder_table(shown.units(), shows.iter().copied());
    let id = |place: usize| Id::unique(("rung", from + place));
    let lines = table::table_ui(ui, &table, &COLUMNS, id, t);
    for (rect, step) in lines.into_iter().zip(shows) {
        let shape = match &step.rung.by_base {
            Some(effect) if !effect.broken.is_empty() => Shape::Over,
            None => Shape::Over,
            Some(effect) if effect.unmeasured => Shape::Unknown,
            Some(_) => Shape::Inside,
        };
        shape.paint(ui.painter(), pos2(rect.left() + 9.0, rect.center().y), 12.0, t);
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
