//! The shims in the drawer: as chips of true relative thickness, and as a
//! list that can be changed.

use super::{say, title};
use crate::app::command::Command;
use crate::app::entry::quantity;
use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::text_field::TextField;
use crate::project::Edit;
use crate::quantity::{Kind, Quantity};
use crate::schema::Shim;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// What the list remembers.
#[derive(Default)]
pub(super) struct StockView {
    open: bool,
    /// What was wrong with the last thing typed.
    fault: Option<String>,
}

/// Shows the chips, and below them the list where it is open.
pub(super) fn stock_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut StockView, out: &mut Vec<Command>) {
    let t = shown.t;
    let shims = &shown.project().shims;
    ui.horizontal_wrapped(|ui| {
        say(ui, "In the drawer", t);
        for shim in shims {
            chip_ui(ui, shown, shim, t);
        }
        let words = if view.open { "Close the list" } else { "Change…" };
        if Button::plain(Id::unique("change stock"), words).add(ui, t).clicked() {
            view.open = !view.open;
            view.fault = None;
        }
    });
    if view.open {
        list_ui(ui, shown, view, out);
    }
}

/// One thickness: a leaf as thick as it is against the others, and how many.
fn chip_ui(ui: &mut Ui, shown: &ViewContext<'_>, shim: &Shim, t: &Tokens) {
    let typed = shim.thickness.text();
    // The unit that everything is shown in need not be said each time.
    let unit = shown.units().unit(Kind::Length).symbol();
    let number = typed.strip_suffix(unit).map_or(typed, str::trim_end);
    let count = format!("×{}{}", shim.count, if shim.soft { " soft" } else { "" });
    let color = if shim.count == 0 { t.ink3 } else { t.ink };
    let words = paint::line(ui.painter(), number, semibold(text::DIMENSION), color);
    let times = paint::line(ui.painter(), &count, regular(text::CAPTION), t.ink2);
    let size = vec2(34.0 + words.size().x + times.size().x, 24.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let painter = ui.painter();
    painter.rect(rect, radius::FIELD, t.field, t.stroke(width::REST, t.line2), StrokeKind::Inside);
    let thickest = shown.project().shims.iter().map(|shim| shim.thickness.base()).fold(0.01, f64::max);
    let high = ((shim.thickness.base() / thickest) as f32 * 14.0).max(1.5);
    let y = rect.center().y;
    let foil = Rect::from_center_size(pos2(rect.left() + 14.0, y), vec2(14.0, high));
    painter.rect_filled(foil, 0.0, t.solid);
    let left = rect.left() + 26.0;
    let baseline = paint::baseline_for_middle(y, text::DIMENSION);
    let placed = paint::place(painter, pos2(left, baseline), Align::Min, words, color);
    let baseline = paint::baseline_for_middle(y, text::CAPTION);
    paint::place(painter, pos2(placed.right() + 3.0, baseline), Align::Min, times, t.ink2);
    let soft = if shim.soft { ", soft" } else { "" };
    let says = format!("{typed}, {} in the drawer{soft} {}", shim.count, shim.material);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, says.trim()));
    response.on_hover_text(says.trim());
}

/// A thickness as it was typed; a bare number is in the unit that is shown.
fn thickness(shown: &ViewContext<'_>, text: &str) -> Result<Quantity, String> {
    let unit = shown.units().unit(Kind::Length).symbol();
    let value = quantity(Kind::Length, text, unit).map_err(|error| {
        let error = error.to_string();
        format!("The thickness was not taken: {error}")
    })?;
    if value.base() > 0.0 {
        Ok(value)
    } else {
        Err(format!("A shim of {value} can't be fitted: give a thickness above 0"))
    }
}

/// How many, as it was typed.
fn count(text: &str) -> Result<u32, String> {
    text.trim().parse().map_err(|_| format!("‘{text}’ is no count: type a whole number, 0 or more"))
}

/// The shims with one changed.
fn with(old: &[Shim], index: usize, change: impl FnOnce(&mut Shim)) -> Option<Vec<Shim>> {
    let mut new = old.to_vec();
    change(new.get_mut(index)?);
    Some(new)
}

/// The list, a line a thickness.
fn list_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut StockView, out: &mut Vec<Command>) {
    let t = shown.t;
    let old = &shown.project().shims;
    let mut changed: Option<Vec<Shim>> = None;
    let mut fault = None;
    egui::Frame::new().fill(t.row).inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 5.0);
        title(ui, "Shims in the drawer, each as it is marked or measured", t);
        for (index, shim) in old.iter().enumerate() {
            let which = index + 1;
            ui.horizontal(|ui| {
                let id = |part: &str| Id::unique(("shim", index, part));
                let name = format!("Thickness of shim {which}");
                let field = TextField::line(id("thickness"), &name, shim.thickness.text()).width(84.0);
                if let Some(typed) = field.show(ui, t).committed {
                    match thickness(shown, &typed) {
                        Ok(value) => changed = with(old, index, |shim| shim.thickness = value),
                        Err(why) => fault = Some(why),
                    }
                }
                say(ui, "×", t);
                let (name, value) = (format!("Count of shim {which}"), shim.count.to_string());
                let field = TextField::line(id("count"), &name, &value).width(36.0);
                if let Some(typed) = field.show(ui, t).committed {
                    match count(&typed) {
                        Ok(value) => changed = with(old, index, |shim| shim.count = value),
                        Err(why) => fault = Some(why),
                    }
                }
                let name = format!("Material of shim {which}");
                let field = TextField::line(id("material"), &name, &shim.material);
                if let Some(typed) = field.hint("material").width(120.0).show(ui, t).committed {
                    changed = with(old, index, |shim| shim.material = typed);
                }
                let mut soft = shim.soft;
                let tooltip =
                    "Gives under load, as paper or soft copper does; its thickness is the crushed one";
                if ui.checkbox(&mut soft, "soft").on_hover_text(tooltip).changed() {
                    changed = with(old, index, |shim| shim.soft = soft);
                }
                let label = format!("Remove shim {which}");
                let remove = Button { tooltip: &label, ..Button::plain(id("remove"), "Remove") };
                if remove.add(ui, t).accessible_name(label.as_str()).clicked() {
                    let mut fewer = old.clone();
                    fewer.remove(index);
                    changed = Some(fewer);
                }
            });
        }
        ui.horizontal(|ui| {
            let field = TextField::line(Id::unique("new shim"), "Thickness of another shim", "");
            if let Some(typed) = field.hint("another, such as 0.30 mm").width(180.0).show(ui, t).committed {
                match thickness(shown, &typed) {
                    Ok(thickness) => {
                        let mut more = old.clone();
                        more.push(Shim { thickness, count: 1, material: String::new(), soft: false });
                        changed = Some(more);
                    }
                    Err(why) => fault = Some(why),
                }
            }
            say(ui, "of soft ones, the crushed thickness", t);
        });
        if let Some(fault) = &view.fault {
            ui.label(egui::RichText::new(fault).font(semibold(text::DIMENSION)).color(t.warn));
        }
    });
    if fault.is_some() || changed.is_some() {
        view.fault = fault;
    }
    if let Some(shims) = changed {
        out.push(Command::Edit(Edit::SetShims(shims), None));
    }
}
