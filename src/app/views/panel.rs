//! The panels on the right: one table for fronts, keys and contents, and what
//! the window knows of each.

use super::{ViewContext, bench, binder, compare, effects, engine, figures, lessons, readings, rings, shims};
use crate::app::command::Command;
use crate::app::icons::Icon;
use crate::app::widgets::verdict::Verdict as Shape;
use egui::{Context, Key, Ui};

/// A panel on the right.
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

/// What a closed panel says, and the shape of the worst verdict in it.
pub(crate) type PanelStatus = (String, Option<Shape>);

/// A panel with what it remembers. It reads the context, and asks for whatever
/// is to be done by commands; nothing else of the window knows what it holds.
pub(crate) trait PanelView {
    /// Shows the panel while it is open.
    fn ui(&mut self, ui: &mut Ui, cx: &ViewContext<'_>, out: &mut Vec<Command>);

    /// What it says while it is closed.
    fn status(&self, cx: &ViewContext<'_>) -> PanelStatus;

    /// Takes the keyboard along when a key opened the panel: Tab goes on from
    /// its head.
    fn take_keyboard(&mut self, ctx: &Context) {
        ctx.memory_mut(|memory| memory.request_focus(super::cabinet::head_id()));
    }

    /// How far the content reached beyond its room when it was last shown,
    /// points; a panel that scrolls is never too small.
    fn overflow(&self) -> f32 {
        0.0
    }
}

/// One panel.
#[derive(Clone, Copy, Debug)]
pub struct PanelRow {
    /// Which one.
    pub panel: Panel,
    /// The name on the front.
    pub name: &'static str,
    /// What it shows, in one sentence.
    pub help: &'static str,
    /// The key that opens it.
    pub key: Key,
    /// The picture on the front.
    pub icon: Icon,
    /// Whether it needs the wide column.
    pub wide: bool,
    /// Makes the panel as it is when the window opens.
    pub(crate) new: fn() -> Box<dyn PanelView>,
}

fn new<V: PanelView + Default + 'static>() -> Box<dyn PanelView> {
    Box::new(V::default())
}

/// All panels, in the order of their keys.
pub static PANELS: &[PanelRow] = &[
    PanelRow {
        panel: Panel::Lessons,
        name: "Lessons",
        help: "Short lessons on an engine of their own.",
        key: Key::F1,
        icon: Icon::Lessons,
        wide: false,
        new: new::<lessons::LessonsView>,
    },
    PanelRow {
        panel: Panel::Figures,
        name: "Figures",
        help: "The figures and their limits.",
        key: Key::F2,
        icon: Icon::Figures,
        wide: false,
        new: new::<figures::FiguresView>,
    },
    PanelRow {
        panel: Panel::Effects,
        name: "What moves what",
        help: "How each dimension moves the figures.",
        key: Key::F3,
        icon: Icon::Effects,
        wide: false,
        new: new::<effects::EffectsView>,
    },
    PanelRow {
        panel: Panel::Readings,
        name: "Readings",
        help: "What was read at the bench, and how far to trust it.",
        key: Key::F4,
        icon: Icon::Readings,
        wide: true,
        new: new::<readings::ReadingsView>,
    },
    PanelRow {
        panel: Panel::Shims,
        name: "Shims",
        help: "Which shims go under the barrels.",
        key: Key::F5,
        icon: Icon::Shims,
        wide: true,
        new: new::<shims::ShimsView>,
    },
    PanelRow {
        panel: Panel::Rings,
        name: "Rings",
        help: "What to file off the rings, and where their gaps stand.",
        key: Key::F6,
        icon: Icon::Rings,
        wide: true,
        new: new::<rings::RingsView>,
    },
    PanelRow {
        panel: Panel::Binder,
        name: "Binder",
        help: "The page for the binder.",
        key: Key::F7,
        icon: Icon::Binder,
        wide: true,
        new: new::<binder::BinderView>,
    },
    PanelRow {
        panel: Panel::Bench,
        name: "Bench log",
        help: "The checklist of the job at the bench.",
        key: Key::F8,
        icon: Icon::Log,
        wide: true,
        new: new::<bench::BenchView>,
    },
    PanelRow {
        panel: Panel::Engine,
        name: "Engine and limits",
        help: "Name, construction, cylinders and heads, limits, and what is missing.",
        key: Key::F9,
        icon: Icon::Engine,
        wide: true,
        new: new::<engine::EngineView>,
    },
    PanelRow {
        panel: Panel::Compare,
        name: "Kept states",
        help: "Two states side by side, another name, back to one.",
        key: Key::F10,
        icon: Icon::Keep,
        wide: true,
        new: new::<compare::CompareView>,
    },
];

impl Panel {
    /// The row of this panel.
    #[must_use]
    pub fn row(self) -> &'static PanelRow {
        // Every variant has its row (test); the first stands in for none.
        PANELS.iter().find(|row| row.panel == self).unwrap_or(&PANELS[0])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_panel_has_its_row_and_no_key_opens_two() {
        for (i, row) in PANELS.iter().enumerate() {
            assert_eq!(row.panel.row().name, row.name);
            assert!(PANELS[i + 1..].iter().all(|other| other.key != row.key), "{:?}", row.key);
        }
        assert_eq!(Panel::default(), Panel::Figures);
    }
}
