//! The bore from above with the gaps, which can be taken hold of, and the
//! ring in hand in its groove.

use super::{RingsView, say, title, warn};
use crate::app::command::Command;
use crate::app::theme::width;
use crate::app::views::Shown;
use crate::app::views::picture::{self, paint_list};
use crate::app::widgets::button::Button;
use crate::drawing::pens::Pens;
use crate::drawing::rings::groove::groove;
use crate::drawing::rings::plan::{Dial, Plan, angle_at, plan};
use crate::engine::Key;
use crate::sheet::{groove_input, plan_input, plan_words};
use crate::study::rings::{Place, clock};
use egui::accesskit::Role;
use egui::{Id, Rect, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};
use kurbo::Point;

/// The side of the plan.
const PLAN: f32 = 268.0;
const GROOVE: Vec2 = vec2(250.0, 176.0);
/// Gaps turn by this many degrees, with Alt by one.
const STEP_DEG: f64 = 5.0;

/// Where the gaps stand.
pub fn plan_ui(ui: &mut Ui, shown: &Shown<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let study = shown.session.rings();
    let input = plan_input(shown.project(), study, shown.cylinder, view.marked, view.dial);
    let Some(input) = input.filter(|_| !study.places.is_empty()) else { return };
    title(ui, "Where the gaps start, seen from above; gaps drawn wide", t);
    ui.horizontal_top(|ui| {
        let (rect, response) = ui.allocate_exact_size(Vec2::splat(PLAN), Sense::hover());
        let plan = plan(&input, picture::area(rect), &Pens::SCREEN);
        paint_list(ui, rect, &plan.list, t);
        let words = plan_words(study);
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
        holds_ui(ui, shown, view, &plan, out);
        ui.vertical(|ui| {
            ui.set_max_width(ui.available_width());
            for place in &study.places {
                place_ui(ui, shown, view, place, out);
            }
            for warning in &study.warnings {
                warn(ui, &warning.sentence(), t);
            }
            let words = match view.dial {
                Dial::Clock => "Read in degrees",
                Dial::Degrees => "Read by the clock",
            };
            if Button::plain(Id::unique("dial"), words).add(ui, t).clicked() {
                view.dial = match view.dial {
                    Dial::Clock => Dial::Degrees,
                    Dial::Degrees => Dial::Clock,
                };
            }
            say(
                ui,
                "From the front end of the pin, clockwise. Drag a number, or arrows: 5° a step, with Alt 1°. \
                 Rings turn in service: this is how they start.",
                t,
            );
        });
    });
}

/// One gap in words; what was turned by hand can go back to the rule.
fn place_ui(ui: &mut Ui, shown: &Shown<'_>, view: &RingsView, place: &Place, out: &mut Vec<Command>) {
    let at = match view.dial {
        Dial::Clock => clock(place.angle_deg),
        Dial::Degrees => format!("{:.0}°", place.angle_deg),
    };
    let pegged = if place.pegged { ", pegged" } else { "" };
    ui.horizontal(|ui| {
        say(ui, &format!("{}: {at}{pegged}", place.role.name()), shown.t);
        if shown.project().ring_layout.gaps.iter().any(|gap| gap.gap == place.role) {
            let id = Id::unique(("by the rule", place.role.name()));
            if Button::plain(id, "By the rule").add(ui, shown.t).clicked() {
                let edit = shown.project().turn_gap_edit(place.role, None);
                out.extend(edit.map(|edit| Command::Edit(edit, None)));
            }
        }
    });
}

/// The numbers beside the bore: dragged, or turned with the arrow keys.
fn holds_ui(ui: &Ui, shown: &Shown<'_>, view: &mut RingsView, plan: &Plan, out: &mut Vec<Command>) {
    let study = shown.session.rings();
    view.marked = None;
    for hold in &plan.holds {
        let Some(place) = study.places.get(hold.gap) else { continue };
        let reach = Vec2::splat(2.0 * narrow(hold.radius) + 8.0);
        let rect = Rect::from_center_size(pos2(narrow(hold.at.x), narrow(hold.at.y)), reach);
        let id = Id::unique(("gap of", place.role.name()));
        let sense = if place.pegged { Sense::hover() } else { Sense::click_and_drag() };
        let response = ui.interact(rect, id, sense);
        let name = format!("Gap of the {}, {:.0}°", place.role.name(), place.angle_deg);
        response.widget_info(|| WidgetInfo::slider(!place.pegged, place.angle_deg, &name));
        if response.hovered() || response.has_focus() || response.dragged() {
            view.marked = Some(place.role);
        }
        if place.pegged {
            response.on_hover_text("Held by its peg");
            continue;
        }
        let fine = ui.input(|input| input.modifiers.alt);
        let step = if fine { 1.0 } else { STEP_DEG };
        let mut to = None;
        if response.dragged()
            && let Some(pointer) = response.interact_pointer_pos()
        {
            let at = Point::new(f64::from(pointer.x), f64::from(pointer.y));
            to = Some((angle_at(plan.centre, at) / step).round() * step);
        }
        if response.has_focus() {
            let filter = egui::EventFilter { horizontal_arrows: true, ..egui::EventFilter::default() };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
            let pressed = |key| ui.input(|input| input.key_pressed(key));
            if pressed(egui::Key::ArrowRight) {
                to = Some(place.angle_deg + step);
            } else if pressed(egui::Key::ArrowLeft) {
                to = Some(place.angle_deg - step);
            }
            crate::app::widgets::paint::focus_ring(ui.painter(), rect, width::HEAVY, shown.t);
        }
        if let Some(to) = to.map(|to| to.rem_euclid(360.0)).filter(|to| *to != place.angle_deg) {
            let edit = shown.project().turn_gap_edit(place.role, Some(to));
            out.extend(edit.map(|edit| Command::Edit(edit, Some(shown.gesture))));
        }
    }
}

/// A ring in its groove, magnified.
pub fn groove_ui(ui: &mut Ui, shown: &Shown<'_>, ring: usize) {
    let bore = shown.value(Key::Bore).unwrap_or(0.0);
    let (rect, response) = ui.allocate_exact_size(GROOVE, Sense::hover());
    let Some(input) = groove_input(shown.project(), ring, bore).filter(|_| bore > 0.0) else { return };
    paint_list(ui, rect, &groove(&input, picture::area(rect), &Pens::SCREEN).list, shown.t);
    let measure =
        |name: &str, text: &str| format!("{name} {}", if text.is_empty() { "not measured" } else { text });
    let words = format!(
        "A ring in its groove: {}, {}, {}, {}",
        measure("height", &input.height.text),
        measure("thickness", &input.thickness.text),
        measure("side clearance", &input.side.text),
        measure("back clearance", &input.back.text)
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen")]
fn narrow(points: f64) -> f32 {
    points as f32
}
