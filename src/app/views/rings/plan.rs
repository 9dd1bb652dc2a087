//! The bore from above with the gaps, which can be taken hold of; beside it
//! each ring on its scale.

use super::{RingsView, capital, say, scales, title, warn};
use crate::advise::rings::{GapPlace, clock};
use crate::app::command::Command;
use crate::app::theme::radius;
use crate::app::views::ViewContext;
use crate::app::views::picture::{self, paint_list};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::drawing::pens::Pens;
use crate::drawing::rings::plan::{Dial, Plan, angle_at, plan};
use crate::scene::rings::{plan_input, plan_words};
use egui::accesskit::Role;
use egui::{Id, Rect, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};
use kurbo::Point;

/// The least and the greatest side of the plan.
const LEAST: f32 = 222.0;
const MOST: f32 = 420.0;
/// Gaps turn by this many degrees, with Alt by one.
const STEP_DEG: f64 = 5.0;

/// Where the gaps stand; `room` is the height that is seen at once.
pub(super) fn plan_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    room: f32,
    out: &mut Vec<Command>,
) {
    let study = shown.session.rings();
    let input = plan_input(shown.project(), study, shown.cylinder, view.marked, view.dial);
    let gaps = || (0..study.rings.len()).filter_map(|ring| study.gap(ring, shown.cylinder_label()));
    let scale = scales::Scale::over(gaps(), shown.units());
    let tall = scales::HEIGHT * gaps().map(|_| 1.0).sum::<f32>();
    let side = (room - 32.0 * gaps().map(|_| 1.0).sum::<f32>() - 62.0).max(tall);
    let side = side.clamp(LEAST, MOST).min(0.52 * ui.available_width());
    // The names of ports stand outside the wall, to either side.
    let ports = !shown.project().ring_layout.ports.is_empty();
    let wide = if ports { 0.62 * ui.available_width() } else { side };
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        match input.filter(|_| !study.places.is_empty()) {
            Some(input) => {
                let (rect, response) = ui.allocate_exact_size(vec2(wide, side), Sense::hover());
                let plan = plan(&input, picture::area(rect), &Pens::SCREEN);
                paint_list(ui, rect, &plan.list, shown.t);
                let words = plan_words(study);
                response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
                holds_ui(ui, shown, view, &plan, out);
            }
            None => {
                ui.vertical(|ui| {
                    ui.set_width(wide);
                    say(ui, "Where a peg stands that holds a ring is not said: see The set.", shown.t);
                });
            }
        }
        ui.vertical(|ui| {
            ui.set_max_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 2.0;
            for ring in 0..study.rings.len() {
                scales::ring_ui(ui, shown, view, ring, scale);
            }
        });
    });
    for warning in &study.warnings {
        warn(ui, &warning.sentence(), shown.t);
    }
    places_ui(ui, shown, view, out);
}

/// The gaps in words; what was turned by hand can go back to the rule.
fn places_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let study = shown.session.rings();
    if study.places.is_empty() {
        return;
    }
    title(ui, "Where the gaps start, seen from above; gaps drawn wide", shown.t);
    let place = |place: &GapPlace| {
        let pegged = if place.pegged { ", pegged" } else { "" };
        format!("{}: {}{pegged}", place.role.name(), at(place, view.dial))
    };
    let all: Vec<String> = study.places.iter().map(place).collect();
    say(ui, &all.join("   "), shown.t);
    ui.horizontal_wrapped(|ui| {
        let words = match view.dial {
            Dial::Clock => "Read in degrees",
            Dial::Degrees => "Read by the clock",
        };
        if Button::plain(Id::unique("dial"), words).add(ui, shown.t).clicked() {
            view.dial = match view.dial {
                Dial::Clock => Dial::Degrees,
                Dial::Degrees => Dial::Clock,
            };
        }
        let turned = &shown.project().ring_layout.gaps;
        for place in study.places.iter().filter(|place| turned.iter().any(|gap| gap.gap == place.role)) {
            let id = Id::unique(("by the rule", place.role.name()));
            let words = format!("{} by the rule", capital(&place.role.name()));
            if Button::plain(id, &words).add(ui, shown.t).clicked() {
                view.take(shown.project().turn_gap_edit(place.role, None), out);
            }
        }
    });
    say(
        ui,
        "From the front end of the pin, clockwise. Drag a number, or arrows: 5° a step, with Alt 1°. Keep gaps off the \
         thick arcs. Rings turn in service: this is how they start.",
        shown.t,
    );
}

fn at(place: &GapPlace, dial: Dial) -> String {
    match dial {
        Dial::Clock => clock(place.angle_deg),
        Dial::Degrees => format!("{:.0}°", place.angle_deg),
    }
}

/// The numbers beside the bore: dragged, or turned with the arrow keys.
fn holds_ui(ui: &Ui, shown: &ViewContext<'_>, view: &mut RingsView, plan: &Plan, out: &mut Vec<Command>) {
    let study = shown.session.rings();
    view.marked = None;
    for hold in &plan.holds {
        let Some(place) = study.places.get(hold.gap) else { continue };
        let reach = Vec2::splat(2.0 * narrow(hold.radius) + 8.0);
        let rect = Rect::from_center_size(pos2(narrow(hold.at.x), narrow(hold.at.y)), reach);
        let id = Id::unique(("gap of", place.role.name()));
        let sense = if place.pegged { Sense::focusable_noninteractive() } else { Sense::click_and_drag() };
        let response = ui.interact(rect, id, sense);
        let name = format!("Gap of the {}, {:.0}°", place.role.name(), place.angle_deg);
        response.widget_info(|| WidgetInfo::slider(!place.pegged, place.angle_deg, &name));
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_value(format!("{:.0}°", place.angle_deg));
        });
        if response.hovered() || response.has_focus() || response.dragged() {
            view.marked = Some(place.role);
        }
        // What was taken by the mouse is turned on with the arrows.
        if response.drag_started() || response.clicked() {
            response.request_focus();
        }
        if response.has_focus() {
            paint::focus_ring(ui.painter(), rect, radius::BUTTON, shown.t);
        }
        if place.pegged {
            response.on_hover_text("Held by its peg: The set says where the peg stands");
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
        }
        if let Some(to) = to.map(|to| to.rem_euclid(360.0)).filter(|to| *to != place.angle_deg) {
            let edit = shown.project().turn_gap_edit(place.role, Some(to));
            out.extend(edit.map(|edit| Command::Edit(edit, Some(shown.gesture))));
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen")]
fn narrow(points: f64) -> f32 {
    points as f32
}
