//! The sheet before there is anything to draw: what is still missing, each
//! name a way to its field.

use crate::app::command::{Action, Command};
use crate::app::theme::{regular, semibold, space, text};
use crate::app::views::missing::{lead_ui, missing, uncounted};
use crate::app::views::{Panel, ViewContext};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::engine::{Group, Key};
use egui::{Align, Id, Rect, RichText, ScrollArea, Sense, Ui, UiBuilder, pos2, vec2};

/// Width of the names of the groups.
const GROUP: f32 = 104.0;

/// Shows the lists in `frame`, if anything is missing; whether it is.
pub(super) fn nothing_ui(ui: &mut Ui, frame: Rect, shown: &ViewContext<'_>, out: &mut Vec<Command>) -> bool {
    let t = shown.t;
    let room = frame.shrink(space::WIDE);
    let missing = missing(shown);
    if missing.is_empty() {
        return false;
    }
    let names: Vec<&str> = missing.iter().map(|(key, _)| key.name()).collect();
    let says = format!("There is nothing to draw yet. Still missing: {}.", names.join(", "));
    ui.scope_builder(UiBuilder::new().max_rect(room).accessibility_label(says), |ui| {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(space::NEAR, 6.0);
            ui.label(RichText::new("Still missing").font(semibold(text::LESSON)).color(t.ink));
            let words = "The engine is drawn once these are there. Press a name, or type into the list on the left: \
                         values as they stand on the parts, in any unit.";
            ui.label(RichText::new(words).font(regular(text::BODY)).color(t.ink2));
            for group in Group::ALL {
                let of_group: Vec<(Key, usize)> =
                    missing.iter().copied().filter(|(key, _)| key.row().group == group).collect();
                group_ui(ui, group.name(), &of_group, shown, out);
            }
            let rest: Vec<(Key, usize)> =
                uncounted(shown).into_iter().map(|key| (key, shown.cylinder)).collect();
            if !rest.is_empty() {
                ui.add_space(space::NEAR);
                let words = "Not needed for the drawing, and counted as nothing until they are given:";
                ui.label(RichText::new(words).font(regular(text::BODY)).color(t.ink2));
                ui.horizontal_wrapped(|ui| {
                    rest.iter().for_each(|&(key, cylinder)| lead_ui(ui, "sheet", key, cylinder, shown, out));
                });
            }
            ui.add_space(space::NEAR);
            ui.horizontal_wrapped(|ui| panels_ui(ui, shown, out));
        });
    });
    true
}

fn group_ui(ui: &mut Ui, name: &str, keys: &[(Key, usize)], shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    if keys.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(GROUP, 28.0), Sense::hover());
        let at = pos2(rect.left(), rect.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, name, semibold(text::BODY), shown.t.ink2);
        keys.iter().for_each(|&(key, cylinder)| lead_ui(ui, "sheet", key, cylinder, shown, out));
    });
}

/// What else there is to say about a new engine, and where.
fn panels_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let project = shown.project();
    let shims = project.engine.construction.has_barrels() && project.shims.is_empty();
    let asked = [
        (shims, Panel::Shims, "List your shims"),
        (project.instruments.is_empty(), Panel::Readings, "List your instruments"),
        (true, Panel::Engine, "Set your limits"),
    ];
    for (_, panel, words) in asked.into_iter().filter(|(asked, ..)| *asked) {
        let key = panel.row().key.name();
        if Button::plain(Id::unique(("sheet lead", words)), words).with_key(key).add(ui, shown.t).clicked()
            && shown.panel != panel
        {
            out.push(Command::Action(Action::Panel(panel)));
        }
    }
}
