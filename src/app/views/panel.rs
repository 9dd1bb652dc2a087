//! The drawers of the cabinet on the right: one table for fronts, keys and
//! bodies.

use super::cabinet::{Cabinet, shape};
use super::{
    ViewContext, bench, binder, compare, effects, engine, figures, lessons, readings, rings, sheet, shims,
};
use crate::app::command::Command;
use crate::app::icons::Icon;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::sheet::SheetKind;
use crate::study::verdict::Verdict;
use egui::Ui;

/// A drawer of the cabinet on the right.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub enum Panel {
    /// Short lessons on an engine of their own.
    Lessons,
    /// The figures against their limits.
    #[default]
    Figures,
    /// How each dimension moves the figures.
    Effects,
    /// What was read at the bench, and how far to trust it.
    Readings,
    /// Which shims go under the barrels.
    Shims,
    /// What to file off the rings, and where their gaps stand.
    Rings,
    /// The page for the binder.
    Binder,
    /// The checklist of the bench.
    Bench,
    /// How the engine is built, and its limits.
    Engine,
    /// Kept states, two of them side by side.
    Compare,
}

/// What a closed drawer says, and the shape of the worst verdict in it.
pub type PanelStatus = (String, Option<Shape>);

/// One drawer.
#[derive(Clone, Copy, Debug)]
pub struct PanelRow {
    /// Which one.
    pub panel: Panel,
    /// The name on the front.
    pub name: &'static str,
    /// The key that opens it, as it is written on the front.
    pub key: &'static str,
    /// The picture on the front.
    pub icon: Icon,
    /// Whether it needs the wide column.
    pub wide: bool,
    /// What it shows when it is open.
    pub body: fn(&mut Ui, &ViewContext<'_>, &mut Cabinet, &mut Vec<Command>),
    /// What it says when it is closed.
    pub status: fn(&ViewContext<'_>) -> PanelStatus,
}

/// All drawers, in the order of their keys.
pub static DRAWERS: &[PanelRow] = &[
    PanelRow {
        panel: Panel::Lessons,
        name: "Lessons",
        key: "F1",
        icon: Icon::Lessons,
        wide: false,
        body: lessons::lessons_ui,
        status: lessons::status,
    },
    PanelRow {
        panel: Panel::Figures,
        name: "Figures",
        key: "F2",
        icon: Icon::Figures,
        wide: false,
        body: |ui, shown, _, _| figures::figures_ui(ui, shown),
        status: figures_status,
    },
    PanelRow {
        panel: Panel::Effects,
        name: "What moves what",
        key: "F3",
        icon: Icon::Effects,
        wide: false,
        body: |ui, shown, _, _| effects::effects_ui(ui, shown),
        status: |shown| (sheet::step_note(shown).unwrap_or_default(), None),
    },
    PanelRow {
        panel: Panel::Readings,
        name: "Readings",
        key: "F4",
        icon: Icon::Readings,
        wide: true,
        body: readings::readings_ui,
        status: readings::readings_status,
    },
    PanelRow {
        panel: Panel::Shims,
        name: "Shims",
        key: "F5",
        icon: Icon::Shims,
        wide: true,
        body: shims::shims_ui,
        status: |shown| (shims::shims_status(shown), None),
    },
    PanelRow {
        panel: Panel::Rings,
        name: "Rings",
        key: "F6",
        icon: Icon::Rings,
        wide: true,
        body: rings::rings_ui,
        status: |shown| (rings::rings_status(shown), None),
    },
    PanelRow {
        panel: Panel::Binder,
        name: "Binder",
        key: "F7",
        icon: Icon::Binder,
        wide: true,
        body: binder::binder_ui,
        status: |shown| (format!("{} sheets", SheetKind::fitting(shown.project()).len()), None),
    },
    PanelRow {
        panel: Panel::Bench,
        name: "Bench log",
        key: "F8",
        icon: Icon::Log,
        wide: true,
        body: bench::bench_ui,
        status: |shown| (bench::bench_status(shown), None),
    },
    PanelRow {
        panel: Panel::Engine,
        name: "Engine and limits",
        key: "F9",
        icon: Icon::Engine,
        wide: true,
        body: engine::engine_ui,
        status: |shown| (engine::engine_status(shown), None),
    },
    PanelRow {
        panel: Panel::Compare,
        name: "Kept states",
        key: "F10",
        icon: Icon::Keep,
        wide: true,
        body: compare::compare_ui,
        status: |shown| (compare::compare_status(shown), None),
    },
];

impl Panel {
    /// The row of this drawer.
    #[must_use]
    pub fn row(self) -> &'static PanelRow {
        // Every variant has its row (test); the first stands in for none.
        DRAWERS.iter().find(|row| row.panel == self).unwrap_or(&DRAWERS[0])
    }
}

/// The shape of the worst verdict among the limits of all cylinders, and how
/// many are broken or near.
fn figures_status(shown: &ViewContext<'_>) -> PanelStatus {
    let count =
        |wanted: fn(&Verdict) -> bool| shown.answers().judged().filter(|j| wanted(&j.verdict)).count();
    let over = count(|verdict| shape(verdict) == Shape::Over);
    let close = count(|verdict| shape(verdict) == Shape::Close);
    match (over, close) {
        (0, 0) => ("no limit broken".into(), None),
        (0, close) => (format!("{close} too near to call"), Some(Shape::Close)),
        (over, 0) => (limits_broken(over), Some(Shape::Over)),
        (over, close) => (format!("{}, {close} close", limits_broken(over)), Some(Shape::Over)),
    }
}

fn limits_broken(count: usize) -> String {
    if count == 1 { "1 limit broken".into() } else { format!("{count} limits broken") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_drawer_has_its_row_and_no_key_opens_two() {
        for (i, row) in DRAWERS.iter().enumerate() {
            assert_eq!(row.panel.row().name, row.name);
            assert!(DRAWERS[i + 1..].iter().all(|other| other.key != row.key), "{}", row.key);
        }
        assert_eq!(Panel::default(), Panel::Figures);
    }
}
