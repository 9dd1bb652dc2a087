//! What heat leaves of the gaps, at temperatures that the person assumes.

use super::{RingsView, say, title};
use crate::app::command::Command;
use crate::app::theme::Tokens;
use crate::app::views::Shown;
use crate::app::widgets::button::Button;
use crate::app::widgets::text_field::TextField;
use crate::project::Edit;
use crate::quantity::{Kind, write};
use crate::study::given::{RingLayout, Temperatures};
use egui::{Id, Ui};

/// Where a person begins: nothing is warmer than the bench.
const BEGIN: Temperatures = Temperatures { ring: 20.0, bore: 20.0, measured_at: 20.0 };

/// Shows the assumed temperatures and what follows for the rings in hand.
pub fn heat_ui(ui: &mut Ui, shown: &Shown<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    title(ui, "Hot", t);
    let layout = &shown.project().ring_layout;
    let Some(heat) = layout.heat else {
        ui.horizontal(|ui| {
            say(ui, "How much of a gap heat leaves, at temperatures that you assume.", t);
            if Button::plain(Id::unique("assume heat"), "Assume temperatures").add(ui, t).clicked() {
                out.push(set(layout, "Assume temperatures of ring and bore", Some(BEGIN)));
            }
        });
        return;
    };
    ui.horizontal(|ui| {
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
    let length = |mm: f64| write(Kind::Length, mm, None, shown.units()).to_string();
    for ring in &shown.session.rings().rings {
        let Some(gap) = ring.gaps.iter().find(|gap| gap.cylinder == shown.cylinder_label()) else { continue };
        let says = match gap.hot {
            Some(hot) => {
                let (whose, left) =
                    hot.gap_mm.map_or(("the wanted gap", hot.wanted_mm), |mm| ("the present gap", mm));
                let left = if left > 0.0 {
                    format!("{whose} is {} hot", length(left))
                } else {
                    format!("the ends of {whose} meet hot and press")
                };
                if hot.closes_at_mm > 0.0 {
                    format!("{left}; a cold gap of {} would just close", length(hot.closes_at_mm))
                } else {
                    format!("{left}; no gap closes at these temperatures")
                }
            }
            None => {
                "name the metals of ring and barrel in words that a handbook knows, such as grey cast iron"
                    .into()
            }
        };
        say(ui, &format!("{}: {says}.", ring.name), t);
    }
    say(ui, "Nobody measured these temperatures: what follows from them is an assumption too.", t);
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
