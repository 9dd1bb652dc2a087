//! What heat leaves of the gaps, at temperatures that the person assumes and
//! with coefficients of handbooks.

use super::{RingsView, say, title, warn};
use crate::advise::rings::{MATERIALS, Material};
use crate::app::command::Command;
use crate::app::theme::Tokens;
use crate::app::views::ViewContext;
use crate::app::widgets::button::Button;
use crate::app::widgets::text_field::TextField;
use crate::project::Edit;
use crate::quantity::{Kind, write};
use crate::schema::{RingLayout, Temperatures};
use egui::{Id, Ui};

/// Where a person begins: nothing is warmer than the bench.
const BEGIN: Temperatures = Temperatures { ring: 20.0, bore: 20.0, measured_at: 20.0 };

/// Shows the page.
pub(super) fn heat_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    say(
        ui,
        "How much of a gap heat leaves, at temperatures that you assume. Nobody measured them: what follows from them is \
         an assumption too.",
        t,
    );
    let layout = &shown.project().ring_layout;
    if let Some(heat) = layout.heat {
        degrees_row_ui(ui, shown, view, heat, out);
        title(ui, &format!("Hot, cylinder {}", shown.cylinder_label()), t);
        left_ui(ui, shown);
    } else if Button::plain(Id::unique("assume heat"), "Assume temperatures").add(ui, t).clicked() {
        out.push(set(layout, "Assume temperatures of ring and bore", Some(BEGIN)));
    }
    title(ui, "Made of", t);
    metals_ui(ui, shown, view, out);
}

/// The assumed temperatures.
fn degrees_row_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    heat: Temperatures,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let layout = &shown.project().ring_layout;
    ui.horizontal_wrapped(|ui| {
        say(ui, "Assumed, °C:", t);
        let mut now = heat;
        let fields: [(&str, &mut f64); 3] = [
            ("ring at work", &mut now.ring),
            ("bore at work", &mut now.bore),
            ("when measured", &mut now.measured_at),
        ];
        let mut typed = None;
        for (name, value) in fields {
            say(ui, name, t);
            match degrees_ui(ui, name, *value, t) {
                Some(Ok(degrees)) => {
                    *value = degrees;
                    typed = Some(format!("Temperature assumed, {name}: {degrees} °C"));
                }
                Some(Err(why)) => view.fault = Some(why),
                None => {}
            }
        }
        if let Some(what) = typed {
            view.fault = None;
            out.push(set(layout, &what, Some(now)));
        }
        if Button::plain(Id::unique("no heat"), "Assume none").add(ui, t).clicked() {
            out.push(set(layout, "Assume no temperatures", None));
        }
    });
}

/// What is left of each gap.
fn left_ui(ui: &mut Ui, shown: &ViewContext<'_>) {
    let length = |mm: f64| write(Kind::Length, mm, None, shown.units()).to_string();
    for (index, ring) in shown.session.rings().rings.iter().enumerate() {
        let Some(gap) = ring.gaps.iter().find(|gap| gap.cylinder == shown.cylinder_label()) else { continue };
        let name = shown.project().rings.get(index).map_or_else(String::new, |ring| ring.title());
        let Some(hot) = gap.hot else {
            say(
                ui,
                &format!(
                    "{name}: name the metals of ring and barrel in words that a handbook knows, such as grey cast iron."
                ),
                shown.t,
            );
            continue;
        };
        let mut meets = false;
        let mut told = |whose: &str, cold: f64, left: f64| {
            if left > 0.0 {
                format!("the {whose} gap of {} is {} hot", length(cold), length(left))
            } else {
                meets = true;
                format!("the ends of the {whose} gap of {} meet hot and press", length(cold))
            }
        };
        let present = gap.now.zip(hot.gap_mm).map(|((_, cold), left)| told("present", cold, left));
        let wanted = told("wanted", gap.wanted_mm, hot.wanted_mm);
        let closes = if hot.closes_at_mm > 0.0 {
            format!("a cold gap of {} would just close", length(hot.closes_at_mm))
        } else {
            "no gap closes at these temperatures".to_owned()
        };
        let parts: Vec<String> = present.into_iter().chain([wanted, closes]).collect();
        let words = format!("{name}: {}.", parts.join("; "));
        if meets { warn(ui, &words, shown.t) } else { say(ui, &words, shown.t) }
    }
}

/// The metals, as the person names them and as the handbook has them.
fn metals_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let project = shown.project();
    for (index, ring) in project.rings.iter().enumerate() {
        if let Some(words) = metal_ui(ui, &ring.title(), &ring.material, ("hot ring metal", index), t) {
            view.take(project.ring_material_edit(index, &words), out);
        }
    }
    let barrel = &project.engine.materials.barrel;
    if let Some(words) = metal_ui(ui, "Barrel", barrel, ("hot barrel metal", 0), t) {
        view.take(Some(project.barrel_metal_edit(&words)), out);
    }
    let known: Vec<&str> = MATERIALS.iter().map(|material| material.name).collect();
    say(ui, &format!("Known: {}.", known.join("; ")), t);
}

/// One part with its metal; what was typed, once.
fn metal_ui(ui: &mut Ui, part: &str, words: &str, id: (&str, usize), t: &Tokens) -> Option<String> {
    let mut typed = None;
    ui.horizontal_top(|ui| {
        let name = format!("{part}, made of");
        let field = TextField::line(Id::unique(id), &name, words).hint("grey cast iron");
        typed = field.width(186.0).show(ui, t).committed;
        ui.vertical(|ui| {
            ui.set_max_width(ui.available_width());
            say(ui, &format!("{part}: {}", of_handbook(words)), t);
        });
    });
    typed
}

/// What the handbook says of a metal in a person's words.
fn of_handbook(words: &str) -> String {
    Material::in_words(words).map_or_else(
        || "no metal that the handbooks here know".to_owned(),
        |metal| {
            format!("{}, {:.1} millionths per kelvin ({})", metal.name, metal.per_kelvin * 1e6, metal.source)
        },
    )
}

fn set(layout: &RingLayout, what: &str, heat: Option<Temperatures>) -> Command {
    let layout = Box::new(RingLayout { heat, ..layout.clone() });
    Command::Edit(Edit::SetRingLayout { what: what.to_owned(), layout }, None)
}

/// A temperature, °C: what was typed, once.
fn degrees_ui(ui: &mut Ui, name: &str, value: f64, t: &Tokens) -> Option<Result<f64, String>> {
    let text = format!("{value}");
    let label = format!("Temperature, {name}, °C");
    let field = TextField::line(Id::unique(("temperature", name)), &label, &text).width(48.0);
    let typed = field.show(ui, t).committed?;
    let number = typed.trim().trim_end_matches("°C").trim().replace(',', ".").parse::<f64>();
    Some(match number {
        Ok(degrees) if degrees > -273.15 && degrees < 1000.0 => Ok(degrees),
        _ => Err(format!("‘{typed}’ is no temperature here: type degrees Celsius below 1000")),
    })
}
