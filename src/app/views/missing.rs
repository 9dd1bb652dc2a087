//! What nobody gave yet: the dimensions that the engine can't be drawn
//! without, and those that count as nothing until they are given. Each name
//! leads to its field.

use super::{ViewContext, dimensions};
use crate::app::command::Command;
use crate::app::widgets::button::Button;
use crate::engine::{Absent, Group, Key};
use egui::{Id, Ui};

/// The missing dimensions in the order of the list, each with the first
/// cylinder that lacks it.
#[must_use]
pub(crate) fn missing(shown: &ViewContext<'_>) -> Vec<(Key, usize)> {
    let engine = &shown.project().engine;
    let lacking = |key: Key| {
        let lacks = |cylinder: &usize| engine.wanted(*cylinder).any(|wanted| wanted == key);
        (0..engine.cylinders.len()).find(lacks).map(|cylinder| (key, cylinder))
    };
    listed().filter_map(lacking).collect()
}

/// The dimensions of this construction that were not given and that the
/// engine can be drawn without: they count as 0, as another one, or leave a
/// figure out. Those of a trial assembly are readings and not asked for.
#[must_use]
pub(crate) fn uncounted(shown: &ViewContext<'_>) -> Vec<Key> {
    let engine = &shown.project().engine;
    let open = |key: &Key| {
        let row = key.row();
        !engine.wanted(shown.cylinder).any(|wanted| wanted == *key)
            && row.absent != Absent::Required
            && row.group != Group::Mockup
            && shown.entry(*key).is_none()
            && dimensions::belongs(shown, *key)
    };
    listed().filter(open).collect()
}

/// All dimensions, in the order in which they stand on the left.
fn listed() -> impl Iterator<Item = Key> {
    Group::ALL.into_iter().flat_map(Key::of_group)
}

/// A button that leads to the field of a dimension. `place` tells two lists
/// apart that show the same one.
pub(crate) fn lead_ui(
    ui: &mut Ui,
    place: &str,
    key: Key,
    cylinder: usize,
    shown: &ViewContext<'_>,
    out: &mut Vec<Command>,
) {
    let row = key.row();
    let tip = format!("{}\n{}\nHow to measure: {}", row.meaning, row.matters, row.measure);
    let button = Button::plain(Id::unique(("missing", place, key.index())), key.name()).tooltip(&tip);
    let response = button.add(ui, shown.t);
    if place == "sheet" {
        let says = format!("{}: to its field", key.name());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &says));
    }
    if response.clicked() {
        out.push(Command::ShowCylinder(cylinder));
        out.push(Command::GoTo(key));
    }
}
