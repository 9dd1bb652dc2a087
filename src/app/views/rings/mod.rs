//! The drawer of rings: every ring of the piston in hand with its gap wanted
//! and read, what to file and where to stop; where the gaps stand; what heat
//! leaves of them.

mod heat;
mod line;
mod pictures;

use super::Shown;
use super::right::RightView;
use crate::app::command::Command;
use crate::app::theme::{Tokens, regular, semibold, text};
use crate::app::widgets::paint;
use crate::drawing::rings::plan::Dial;
use crate::study::rings::{Role, SCHOOLS, WHICH_IS_WHICH, back_sentence, side_sentence, way_up};
use egui::accesskit::Role as Spoken;
use egui::{RichText, ScrollArea, Sense, Ui, WidgetInfo, vec2};

/// What the drawer remembers.
#[derive(Default)]
pub struct RingsView {
    dial: Dial,
    /// The gap in hand on the plan.
    marked: Option<Role>,
    /// The ring whose groove is shown, from 0.
    ring: usize,
    /// What was wrong with the last thing typed.
    fault: Option<String>,
}

/// Shows the drawer.
pub fn rings_ui(ui: &mut Ui, shown: &Shown<'_>, right: &mut RightView, out: &mut Vec<Command>) {
    let t = shown.t;
    let view = &mut right.rings;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 5.0);
        ui.set_max_width(ui.available_width() - 10.0);
        ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Wrap);
        let study = shown.session.rings();
        for fault in &study.faults {
            warn(ui, &fault.sentence(shown.units()), t);
        }
        if shown.project().rings.is_empty() {
            say(
                ui,
                "No ring is entered: begin a new engine, or name the rings of one piston in the file.",
                t,
            );
        }
        if let Some(fault) = &view.fault {
            warn(ui, fault, t);
        }
        title(ui, &format!("Cylinder {}, each ring in its own bore", shown.cylinder_label()), t);
        for ring in 0..shown.project().rings.len() {
            line::line_ui(ui, shown, view, ring, out);
        }
        pictures::plan_ui(ui, shown, view, out);
        groove_words_ui(ui, shown, view);
        heat::heat_ui(ui, shown, view, out);
        if shown.project().rings.len() > 1 {
            title(ui, "The second ring: two schools", t);
            for school in &SCHOOLS {
                say(ui, &format!("{} ({}): {}", school.name, school.source, school.why), t);
            }
        }
        title(ui, "Before you file", t);
        for caution in &study.cautions {
            bullet(ui, caution.text, t);
        }
    });
}

/// What is left to do, for the closed drawer.
#[must_use]
pub fn rings_status(shown: &Shown<'_>) -> String {
    let left = shown.session.rings().left_to_do();
    match (left.rings, left.to_file, left.unmeasured) {
        (0, ..) => "none entered".into(),
        (_, 0, 0) => "none to file".into(),
        (_, 0, 1) => "1 not measured".into(),
        (_, 0, unmeasured) => format!("{unmeasured} not measured"),
        (_, 1, _) => "1 gap to file".into(),
        (_, to_file, _) => format!("{to_file} gaps to file"),
    }
}

/// A line in small letters.
fn say(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(regular(text::CAPTION)).color(t.ink2));
}

/// A line that nobody should miss.
fn warn(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(semibold(text::DIMENSION)).color(t.warn));
}

/// A line that stands over what follows.
fn title(ui: &mut Ui, words: &str, t: &Tokens) {
    ui.label(RichText::new(words).font(semibold(text::BODY)).color(t.ink));
}

fn bullet(ui: &mut Ui, words: &str, t: &Tokens) {
    let room = ui.available_width() - 12.0;
    let galley = paint::wrapped(ui.painter(), words, regular(text::CAPTION), t.ink2, room);
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), galley.size().y), Sense::hover());
    ui.painter().circle_filled(rect.left_top() + vec2(3.0, 8.0), 2.0, t.ink2);
    ui.painter().galley(rect.left_top() + vec2(12.0, 0.0), galley, t.ink2);
    response.widget_info(|| WidgetInfo::labeled(Spoken::Label, true, words));
}

/// The ring in hand in words: which it is, which way up, its clearances.
fn groove_words_ui(ui: &mut Ui, shown: &Shown<'_>, view: &RingsView) {
    let t = shown.t;
    let study = shown.session.rings();
    let Some(ring) = shown.project().rings.get(view.ring) else { return };
    title(ui, &format!("{} in its groove", ring.title()), t);
    ui.horizontal_top(|ui| {
        pictures::groove_ui(ui, shown, view.ring);
        ui.vertical(|ui| {
            ui.set_max_width(ui.available_width());
            match &ring.side_clearance {
                Some(side) => {
                    if let Some((row, _)) = study.asked.side(view.ring, side.base(), study.diesel) {
                        say(ui, &side_sentence(side.base(), row, shown.units()), t);
                    }
                }
                None => {
                    say(ui, "Side clearance not measured: a feeler between ring and flank, all round.", t)
                }
            }
            match &ring.back_clearance {
                Some(back) => say(ui, &back_sentence(back.base(), shown.units()), t),
                None => say(ui, "Back clearance not measured.", t),
            }
            if let Some(which) = study.asked.which.get(view.ring) {
                for words in way_up(*which, &format!("{} {}", ring.name, ring.material)) {
                    say(ui, words, t);
                }
            }
            say(ui, WHICH_IS_WHICH, t);
        });
    });
}
