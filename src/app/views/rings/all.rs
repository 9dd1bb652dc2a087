//! The rings of all cylinders at a glance: what is to be filed where. A bore
//! that is pressed comes in hand.

use super::{RingsView, say};
use crate::app::command::Command;
use crate::app::theme::{radius, regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::row;
use crate::app::widgets::{paint, panel};
use crate::quantity::Kind;
use crate::report::rings::to_file_in_short;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

const LINE: f32 = 22.0;
/// Room for the name of the ring.
const NAME: f32 = 104.0;
/// Cylinders beside one another; more stand in further blocks.
const BESIDE: usize = 8;

/// Shows the table.
pub(super) fn all_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let study = shown.session.rings();
    let bores = study.rings.first().map_or(0, |ring| ring.gaps.len());
    if bores < 2 {
        return;
    }
    ui.add_space(4.0);
    for first in (0..bores).step_by(BESIDE) {
        block_ui(ui, shown, view, (first, (first + BESIDE).min(bores)), out);
    }
    let unit = shown.units().unit(Kind::Length).symbol();
    say(ui, &format!("To file in all, {unit}. A bore pressed comes in hand."), shown.t);
}

fn block_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    (first, end): (usize, usize),
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let study = shown.session.rings();
    ui.spacing_mut().item_spacing.y = 0.0;
    let head = row(ui, LINE);
    let cells = |line: Rect| {
        let width = (line.width() - NAME) / (end - first).clamp(1, BESIDE) as f32;
        (first..end).enumerate().map(move |(i, bore)| {
            let left = line.left() + NAME + i as f32 * width;
            (bore, Rect::from_min_size(pos2(left, line.top()), vec2(width, line.height())))
        })
    };
    ui.painter().rect_filled(head, radius::FIELD, t.row);
    let at = |rect: Rect| pos2(rect.left() + 6.0, rect.center().y);
    paint::text_mid(ui.painter(), at(head), Align::Min, "To file, all bores", semibold(text::CAPTION), t.ink);
    for (bore, cell) in cells(head) {
        let Some(label) = study.rings.first().and_then(|ring| ring.gaps.get(bore)).map(|gap| &gap.cylinder)
        else {
            continue;
        };
        paint::text_mid(ui.painter(), cell.center(), Align::Center, label, semibold(text::CAPTION), t.ink);
    }
    for (index, answer) in study.rings.iter().enumerate() {
        let line = row(ui, LINE);
        let name = shown.project().rings.get(index).map_or_else(String::new, |ring| ring.title());
        paint::text_mid(ui.painter(), at(line), Align::Min, &name, regular(text::CAPTION), t.ink2);
        for (bore, cell) in cells(line) {
            let Some(gap) = answer.gaps.get(bore) else { continue };
            let response = ui.interact(cell, Id::unique(("ring of bore", index, bore)), Sense::click());
            if response.clicked() {
                view.ring = index;
                out.push(Command::ShowCylinder(bore));
            }
            let in_hand = bore == shown.cylinder && index == view.ring;
            if in_hand {
                ui.painter().rect_filled(cell.shrink(1.0), radius::FIELD, t.accent_tint);
            }
            let (words, warns) = to_file_in_short(gap, shown.units());
            let font = if in_hand || warns { semibold(text::CAPTION) } else { regular(text::CAPTION) };
            let ink = if warns { t.warn } else { t.ink };
            paint::text_mid(ui.painter(), cell.center(), Align::Center, &words, font, ink);
            if response.has_focus() {
                paint::focus_ring(ui.painter(), cell.shrink(1.0), radius::FIELD, t);
            }
            let told = gap.told(shown.units());
            let spoken =
                format!("{name}, cylinder {}: {} {} {}", gap.cylinder, told.word, told.amount, told.rest);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
            if warns {
                response.on_hover_text(&spoken);
            }
        }
        panel::divider(ui.painter(), line, line.bottom() - 0.5, t);
    }
    ui.spacing_mut().item_spacing.y = 5.0;
}
