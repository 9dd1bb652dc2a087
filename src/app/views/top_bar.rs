//! The bar on the board: the project and its menu, undo and redo, the kept
//! state, units and theme.

use super::ViewContext;
use crate::app::command::{Action, COMMANDS, Command, key_words};
use crate::app::icons::Icon;
use crate::app::layout::Class;
use crate::app::theme::{Theme, radius, regular, semibold, space, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::project::demos;
use crate::quantity::LengthUnit;
use egui::{Align, Color32, Id, Popup, Rect, Sense, Ui, pos2, vec2};
use std::path::PathBuf;

/// What the bar shows beside the document.
pub(crate) struct TopBar<'a> {
    /// The theme in use.
    pub theme: Theme,
    /// A sentence about what was just done, or went wrong.
    pub status: Option<&'a Status>,
    /// Files opened before, newest first.
    pub recent: &'a [PathBuf],
}

/// A sentence about what was just done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Status {
    /// The sentence.
    pub text: String,
    /// It went wrong.
    pub warns: bool,
}

const HEIGHT: f32 = 28.0;

/// Shows the bar.
pub(crate) fn top_bar_ui(
    ui: &mut Ui,
    rect: Rect,
    shown: &ViewContext<'_>,
    bar: &TopBar<'_>,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let mid = rect.center().y;
    let margin = shown.layout.left.left();
    let icon = Rect::from_min_size(pos2(margin + 2.0, mid - 14.0), vec2(28.0, 28.0));
    program_icon(ui, icon, shown);
    let left = title_ui(ui, pos2(icon.right() + 10.0, mid), shown, bar, out);

    let right = cabinet_ui(ui, rect, shown, bar, out);
    let history = shown.session.history();
    let mut x = left + space::WIDE;
    let undo = Rect::from_min_size(pos2(x, mid - HEIGHT / 2.0), vec2(30.0, HEIGHT));
    let undo_name = history.undo_label().map_or("Undo".to_owned(), |label| format!("Undo: {label}"));
    if Button::icon(Id::unique("undo"), Icon::Undo, &undo_name)
        .enabled(history.undo_label().is_some())
        .show(ui, undo, t)
        .clicked()
    {
        out.push(Command::Action(Action::Undo));
    }
    let redo = undo.translate(vec2(34.0, 0.0));
    let redo_name = history.redo_label().map_or("Redo".to_owned(), |label| format!("Redo: {label}"));
    if Button::icon(Id::unique("redo"), Icon::Redo, &redo_name)
        .enabled(history.redo_label().is_some())
        .show(ui, redo, t)
        .clicked()
    {
        out.push(Command::Action(Action::Redo));
    }
    x = redo.right() + space::GAP;
    let wide = !matches!(shown.layout.class, Class::Least | Class::Small);
    if wide && history.undo_label().is_some() && bar.status.is_none() {
        let galley = paint::fitted(ui.painter(), &undo_name, regular(text::DIMENSION), t.ink2, 270.0);
        let placed = paint::place(ui.painter(), pos2(x, mid + 4.5), Align::Min, galley, t.ink2);
        x = placed.right() + space::GROUP;
    }
    let keep = Rect::from_min_size(pos2(x, mid - HEIGHT / 2.0), vec2(160.0, HEIGHT));
    if keep.right() < right
        && Button::plain(Id::unique("keep"), "Keep this state")
            .with_icon(Icon::Keep)
            .with_key("K")
            .show(ui, keep, t)
            .clicked()
    {
        out.push(Command::Action(Action::KeepState));
    }
    x = keep.right() + space::GAP;
    let (words, colour) = match bar.status {
        Some(status) => (status.text.clone(), if status.warns { t.warn } else { t.ink2 }),
        None => (format!("kept: {}", shown.reference().name), t.ink2),
    };
    if bar.status.is_none() {
        for dash in [0.0, 8.0] {
            ui.painter()
                .line_segment([pos2(x + dash, mid), pos2(x + dash + 6.0, mid)], t.stroke(1.4, t.ghost));
        }
        x += 22.0;
    }
    let room = right - x - space::GAP;
    if room > 60.0 {
        let galley = paint::fitted(ui.painter(), &words, regular(text::DIMENSION), colour, room);
        let elided = galley.elided;
        let placed = paint::place(ui.painter(), pos2(x, mid + 4.5), Align::Min, galley, colour);
        let response = ui.interact(placed, Id::unique("status"), Sense::hover());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Status, true, &words));
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_live(egui::accesskit::Live::Polite));
        if elided {
            response.on_hover_text(&words);
        }
    }
}

/// The name of the project, which opens the menu; gives its right end.
fn title_ui(
    ui: &mut Ui,
    at: egui::Pos2,
    shown: &ViewContext<'_>,
    bar: &TopBar<'_>,
    out: &mut Vec<Command>,
) -> f32 {
    let t = shown.t;
    let changed = match shown.lesson {
        Some(_) => ", a copy for the lesson",
        None if shown.session.history().is_changed() => " •",
        None => "",
    };
    let title = format!("{}{changed}", shown.project().title);
    let galley = paint::fitted(ui.painter(), &title, semibold(17.0), t.ink, 220.0);
    let size = galley.size();
    let rect = Rect::from_min_size(pos2(at.x, at.y - HEIGHT / 2.0), vec2(size.x + 26.0, HEIGHT));
    let response = ui.interact(rect, ui.scope_id().with("project menu"), Sense::click());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, format!("Project menu, {title}"))
    });
    if response.hovered()
        || response.has_focus()
        || Popup::is_id_open(ui.ctx(), Popup::default_response_id(&response))
    {
        ui.painter().rect_filled(rect.expand2(vec2(6.0, 0.0)), radius::BUTTON, t.panel);
    }
    if response.has_focus() {
        paint::focus_ring(ui.painter(), rect.expand2(vec2(6.0, 0.0)), radius::BUTTON, t);
    }
    ui.painter().galley(pos2(rect.left(), at.y - size.y / 2.0), galley, t.ink);
    Icon::Fold.paint(ui.painter(), pos2(rect.right() - 9.0, at.y + 1.0), 13.0, t.ink2);
    Popup::menu(&response).show(|ui| menu_ui(ui, bar, out));
    rect.right() + 6.0
}

fn menu_ui(ui: &mut Ui, bar: &TopBar<'_>, out: &mut Vec<Command>) {
    ui.set_min_width(230.0);
    let named = |ui: &mut Ui, command: Action, out: &mut Vec<Command>| {
        let Some(row) = COMMANDS.iter().find(|row| row.command == command) else { return };
        let mut item = egui::Button::new(row.name);
        if let Some(key) = &row.key {
            item = item.shortcut_text(key_words(ui.ctx(), key));
        }
        if ui.add(item).on_hover_text(row.help).clicked() {
            out.push(Command::Action(command));
            ui.close();
        }
    };
    named(ui, Action::New, out);
    named(ui, Action::Open, out);
    ui.menu_button("Open an example", |ui| {
        for (i, demo) in demos().iter().enumerate() {
            if ui.button(demo.what).clicked() {
                out.push(Command::OpenDemo(i));
                ui.close();
            }
        }
    });
    if !bar.recent.is_empty() {
        ui.menu_button("Open recent", |ui| {
            for path in bar.recent {
                let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
                if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                    out.push(Command::OpenFile(path.clone()));
                    ui.close();
                }
            }
        });
    }
    ui.separator();
    for command in [Action::Save, Action::SaveAs, Action::Revert] {
        named(ui, command, out);
    }
    ui.separator();
    for command in [Action::Print, Action::SavePdf, Action::SaveSvg] {
        named(ui, command, out);
    }
    ui.separator();
    named(ui, Action::Keys, out);
    named(ui, Action::About, out);
    named(ui, Action::Quit, out);
}

/// Search, units and theme; gives their left end.
fn cabinet_ui(
    ui: &mut Ui,
    rect: Rect,
    shown: &ViewContext<'_>,
    bar: &TopBar<'_>,
    out: &mut Vec<Command>,
) -> f32 {
    let t = shown.t;
    let mid = rect.center().y;
    let edge = shown.layout.right.right().max(shown.layout.sheet.right());
    let theme_name = bar.theme.next().name();
    let theme_width = paint::line(ui.painter(), theme_name, regular(text::BODY), t.ink).size().x + 22.0;
    let theme = Rect::from_min_size(pos2(edge - theme_width, mid - HEIGHT / 2.0), vec2(theme_width, HEIGHT));
    if Button::plain(Id::unique("theme"), theme_name).tooltip("Change the theme").show(ui, theme, t).clicked()
    {
        out.push(Command::Action(Action::NextTheme));
    }
    let unit = match shown.units().length {
        LengthUnit::Mm => "mm",
        LengthUnit::InchDecimal => "inch",
        LengthUnit::Thou => "thou",
        LengthUnit::InchFraction => "inch 1/64",
    };
    let unit_width = paint::line(ui.painter(), unit, regular(text::BODY), t.ink).size().x + 22.0;
    let units = Rect::from_min_size(
        pos2(theme.left() - space::NEAR - unit_width, theme.top()),
        vec2(unit_width, HEIGHT),
    );
    let help = "Units to read in; what was typed stays as it was typed";
    if Button::plain(Id::unique("units"), unit).tooltip(help).show(ui, units, t).clicked() {
        out.push(Command::Action(Action::NextUnits));
    }
    let short = matches!(shown.layout.class, Class::Least | Class::Small);
    let words = if short { "Go to" } else { "Go to anything" };
    let width = if short { 120.0 } else { 168.0 };
    let go = Rect::from_min_size(pos2(units.left() - space::NEAR - width, theme.top()), vec2(width, HEIGHT));
    if Button::plain(Id::unique("go to"), words).with_icon(Icon::Find).with_key("/").show(ui, go, t).clicked()
    {
        out.push(Command::Action(Action::GoTo));
    }
    if !shown.layout.right_over_sheet {
        return go.left();
    }
    // In the least window the right column is called by its key or here.
    let panels = Button::plain(Id::unique("call drawers"), "Drawers")
        .tooltip("Cylinders and drawers, over the sheet; again puts them away");
    let size = panels.size(ui.painter(), t);
    let place = Rect::from_min_size(pos2(go.left() - space::NEAR - size.x, go.top()), vec2(size.x, HEIGHT));
    if panels.show(ui, place, t).clicked() {
        out.push(Command::Show(shown.panel));
    }
    place.left()
}

/// Our mark: a rim under a head, a gap, a wall.
fn program_icon(ui: &Ui, rect: Rect, shown: &ViewContext<'_>) {
    let t = shown.t;
    let painter = ui.painter();
    let k = rect.width() / 256.0;
    let part = |x: f32, y: f32, w: f32, h: f32, colour: Color32| {
        let area = Rect::from_min_size(rect.min + vec2(x, y) * k, vec2(w, h) * k);
        painter.rect_filled(area, 0.0, colour);
    };
    painter.rect_filled(rect, 52.0 * k, t.accent);
    let metal = t.sheet;
    part(32.0, 40.0, 192.0, 36.0, metal);
    part(32.0, 76.0, 152.0, 48.0, t.volumes.deck);
    part(184.0, 76.0, 40.0, 144.0, metal);
    part(32.0, 124.0, 140.0, 96.0, metal);
}
