//! The binder panel: which sheets, on which paper; the page itself as it
//! will lie on the bench; and where it goes.

use super::ViewContext;
use super::panel::{PanelStatus, PanelView};
use crate::app::binder_settings::{BinderSettings, DENSITIES};
use crate::app::command::{Action, Command};
use crate::app::export_job::BinderRequest;
use crate::app::job::{LatestJob, Monitor};
use crate::app::memo::Revision;
use crate::app::theme::{Tokens, regular, semibold, space, text};
use crate::app::widgets::button::{Button, Kind};
use crate::clock::stamp;
use crate::drawing::page::{Document, Page};
use crate::render::{print_colour, screen};
use crate::sheet::{Choices, Paper, SheetKind};
use egui::{Color32, Id, Popup, Rect, ScrollArea, Sense, Ui, UiBuilder, Vec2, pos2, vec2};
use std::sync::Arc;

/// Width of the column with the sheets.
const SHEETS: f32 = 196.0;
/// Height of what stands below the column.
const FOOT: f32 = 94.0;
/// The page enlarged against the whole page: its least letters are read then.
const LARGER: f32 = 2.2;
/// What the panel remembers.
pub(crate) struct BinderView {
    /// The page is shown enlarged.
    wide: bool,
    preview: LatestJob<PreviewKey, Result<Document, String>>,
    /// The machine shows no date, which every page bears.
    has_no_date: bool,
}

impl Default for BinderView {
    fn default() -> Self {
        Self { wide: false, preview: LatestJob::following("preview"), has_no_date: false }
    }
}

impl PanelView for BinderView {
    fn ui(&mut self, ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
        let mut settings = shown.binder.clone();
        binder_ui(ui, shown, self, &mut settings, out);
        if settings != *shown.binder {
            out.push(Command::SetBinder(settings));
        }
    }

    fn status(&self, shown: &ViewContext<'_>) -> PanelStatus {
        (format!("{} sheets", SheetKind::fitting(shown.project()).len()), None)
    }
}

/// What pages were made of.
type PreviewKey = (Revision, Choices);

impl BinderView {
    /// Makes the pages anew where they are not those of the document.
    fn refresh(&mut self, shown: &ViewContext<'_>, ctx: &egui::Context) {
        let session = shown.session;
        let choices = shown.binder.choices(session.project(), shown.cylinder, shown.crank_deg);
        let stamp = stamp(session.project());
        self.has_no_date = stamp.is_err();
        let Ok(stamp) = stamp else { return };
        let key = (session.revision(), choices);
        self.preview.ask(&key, ctx, || {
            let request = BinderRequest {
                project: Arc::clone(session.project()),
                question: Arc::clone(session.question()),
                answers: Arc::clone(session.answers()),
                choices: key.1.clone(),
                stamp,
            };
            move |monitor: &Monitor| request.pages(monitor)
        });
    }
}

fn binder_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut BinderView,
    settings: &mut BinderSettings,
    out: &mut Vec<Command>,
) {
    view.refresh(shown, ui.ctx());
    let room = ui.available_rect_before_wrap();
    let column = Rect::from_min_size(room.min, vec2(SHEETS.min(room.width() * 0.42), room.height()));
    let rest = Rect::from_min_max(pos2(column.right() + space::GAP, room.top()), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(column).id_salt("what"), |ui| {
        what_ui(ui, shown, settings, out);
    });
    ui.scope_builder(UiBuilder::new().max_rect(rest).id_salt("page"), |ui| {
        preview_ui(ui, shown, view, &mut settings.page)
    });
    ui.advance_cursor_after_rect(room);
}

fn say(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(egui::RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
}

/// What goes into the binder, and where the binder goes. Printing stands
/// below, where it is always in reach.
fn what_ui(ui: &mut Ui, shown: &ViewContext<'_>, settings: &mut BinderSettings, out: &mut Vec<Command>) {
    let t = shown.t;
    let room = ui.available_rect_before_wrap();
    let foot = Rect::from_min_max(pos2(room.left(), room.bottom() - FOOT), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(foot).id_salt("foot"), |ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
        match shown.exporting {
            Some((done, of)) => {
                say(ui, &format!("Making sheet {} of {of}", (done + 1).min(of.max(1))), t);
                if Button::plain(Id::unique("stop press"), "Stop").add(ui, t).clicked() {
                    out.push(Command::StopExport);
                }
            }
            None => {
                ui.checkbox(&mut settings.only_page, "Only the page shown");
                ways_ui(ui, shown, settings, out);
            }
        }
    });
    let rest = Rect::from_min_max(room.min, pos2(room.right(), foot.top() - space::TIGHT));
    ui.scope_builder(UiBuilder::new().max_rect(rest).id_salt("sheets"), |ui| {
        sheets_ui(ui, shown, settings);
    });
}

fn sheets_ui(ui: &mut Ui, shown: &ViewContext<'_>, settings: &mut BinderSettings) {
    let t = shown.t;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 5.0);
        ui.spacing_mut().interact_size.y = 19.0;
        for kind in SheetKind::fitting(shown.project()) {
            let mut wanted = !settings.left_out.contains(&kind);
            if ui.checkbox(&mut wanted, kind.name()).changed() {
                settings.left_out.retain(|&left_out| left_out != kind);
                if !wanted {
                    settings.left_out.push(kind);
                }
            }
        }
        ui.add_space(space::TIGHT);
        ui.horizontal_wrapped(|ui| {
            for paper in [Paper::A4, Paper::Letter] {
                let kind = if settings.paper == paper { Kind::Chosen } else { Kind::Plain };
                let button =
                    Button { kind, ..Button::plain(Id::unique(("paper", paper.name())), paper.name()) };
                if button.add(ui, t).clicked() {
                    settings.paper = paper;
                }
            }
        });
        if shown.project().engine.cylinders.len() > 1 {
            ui.checkbox(&mut settings.every_cylinder, "Drawings of every cylinder");
        }
        ui.checkbox(&mut settings.as_turned, "Section as the crank stands")
            .on_hover_text("At the crank angle of the drawing; else at the top of the stroke");
        ui.add_space(space::TIGHT);
        say(
            ui,
            "Print at 100 %, not fitted to the page, then lay a rule on the 50 mm bar of the section.",
            t,
        );
        say(ui, "Computed from what was typed. The maker's and the machinist's figures come first.", t);
    });
}

/// A way out of the window: the command, the words, what it does.
type Way = (Action, &'static str, &'static str);

/// The ways out that have a button.
const WAYS: [Way; 2] = [
    (
        Action::Print,
        "Print…",
        "With the desktop's print dialog; where there is none the pages open in the viewer",
    ),
    (Action::SavePdf, "Save as PDF…", "All chosen sheets, or only the page shown"),
];

/// The ways out in the menu beside them.
const OTHER_WAYS: [Way; 5] = [
    (Action::SaveSvg, "Page as SVG…", "The page shown"),
    (Action::SavePng, "Page as PNG…", "The page shown, at the density chosen below"),
    (Action::SaveCsv, "Tables as CSV…", "Every table of the chosen sheets, numbers with every digit"),
    (Action::SaveMarkdown, "Figures as Markdown…", "For a forum or an e-mail"),
    (Action::CopyFigures, "Copy the figures", "As plain text, to the clipboard"),
];

fn ways_ui(ui: &mut Ui, shown: &ViewContext<'_>, settings: &mut BinderSettings, out: &mut Vec<Command>) {
    let free = shown.exporting.is_none()
        && !settings.choices(shown.project(), shown.cylinder, 0.0).sheets.is_empty();
    ui.horizontal_wrapped(|ui| {
        for (named, words, tooltip) in WAYS {
            let kind = if named == Action::Print { Kind::Primary } else { Kind::Plain };
            let button = Button { kind, tooltip, ..Button::plain(Id::unique(words), words) };
            if button.enabled(free).add(ui, shown.t).clicked() {
                out.push(Command::Action(named));
            }
        }
        let tooltip = "SVG, PNG, CSV, Markdown, the clipboard";
        let others = Button { tooltip, ..Button::plain(Id::unique("other ways"), "Other files…") };
        Popup::menu(&others.enabled(free).add(ui, shown.t)).show(|ui| {
            ui.set_min_width(210.0);
            for (named, words, tooltip) in OTHER_WAYS {
                if ui.button(words).on_hover_text(tooltip).clicked() {
                    out.push(Command::Action(named));
                    ui.close();
                }
            }
            ui.separator();
            say(ui, "Density of a PNG", shown.t);
            ui.horizontal(|ui| {
                for dpi in DENSITIES {
                    if ui.selectable_label(settings.dpi == dpi, format!("{dpi} dpi")).clicked() {
                        settings.dpi = dpi;
                    }
                }
            });
        });
    });
}

/// The page that was chosen, as it will be printed.
fn preview_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut BinderView, number: &mut usize) {
    let t = shown.t;
    let Some(made) = view.preview.last().map(|(_, made)| made.clone()) else {
        let words = if view.has_no_date {
            "The clock of this machine shows no date; set it"
        } else {
            "The pages are being made"
        };
        say(ui, words, t);
        return;
    };
    let pages = match made.as_deref() {
        Ok(Ok(document)) => &document.pages,
        Ok(Err(why)) => return say(ui, why, t),
        Err(failed) => return say(ui, &format!("The binder was not made: {failed}"), t),
    };
    *number = (*number).min(pages.len().saturating_sub(1));
    let Some(page) = pages.get(*number) else { return };
    let pages = pages.len();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 0.0);
        let step = |ui: &mut Ui, id: &str, words: &str, enabled: bool| {
            Button::plain(Id::unique(id), words).enabled(enabled).add(ui, t).clicked()
        };
        if step(ui, "page before", "Page before", *number > 0) {
            *number -= 1;
        }
        if step(ui, "page after", "Page after", *number + 1 < pages) {
            *number += 1;
        }
        let words = if view.wide { "Whole page" } else { "Larger" };
        if step(ui, "page size", words, true) {
            view.wide = !view.wide;
        }
        let place = format!("{} of {pages}", *number + 1);
        ui.label(egui::RichText::new(place).font(semibold(text::DIMENSION)).color(t.ink));
    });
    ui.add_space(space::NEAR);
    let room = ui.available_size();
    let (width, height) = (narrow(page.width), narrow(page.height));
    let whole = (room.x / width).min(room.y / height);
    if view.wide {
        ScrollArea::both().auto_shrink(false).show(ui, |ui| {
            let scale = LARGER * whole;
            page_ui(ui, page, scale, vec2(width, height) * scale, *number + 1, pages);
        });
    } else {
        let size = vec2(width, height) * whole;
        ui.horizontal(|ui| {
            ui.add_space((room.x - size.x) / 2.0);
            page_ui(ui, page, whole, size, *number + 1, pages);
        });
    }
}

/// The page's own display list, in the colours of print.
fn page_ui(ui: &mut Ui, page: &Page, scale: f32, size: Vec2, number: usize, pages: usize) {
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let says = format!("Page {number} of {pages}. {}", page.description());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &says));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, Color32::WHITE);
    let list = page.at_scale(f64::from(scale));
    let density = ui.ctx().pixels_per_point();
    let colour = |ink| {
        let [r, g, b] = print_colour(ink);
        Color32::from_rgb(r, g, b)
    };
    painter.extend(screen::outlines(&list, colour, rect.min, density).shapes);
    let texts = ui.ctx().fonts_mut(|fonts| screen::texts(&list, colour, rect.min, fonts));
    painter.extend(texts.shapes);
}

#[expect(clippy::cast_possible_truncation, reason = "millimetres of paper on a screen")]
fn narrow(mm: f64) -> f32 {
    mm as f32
}
