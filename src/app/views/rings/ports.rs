//! The ports in the bore of a two-stroke, which ring ends keep off.

use super::{RingsView, say, title, typed, warn};
use crate::app::command::Command;
use crate::app::views::ViewContext;
use crate::app::widgets::button::Button;
use crate::app::widgets::text_field::TextField;
use crate::project::Construction;
use crate::quantity::{Kind, Quantity};
use crate::schema::Port;
use egui::{Id, Ui};

/// Where a new port begins, degrees: opposite to the front, narrow.
const BEGIN: (f64, f64) = (90.0, 30.0);

/// Shows the ports; for engines that have them.
pub(super) fn ports_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut RingsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let project = shown.project();
    let ports = &project.ring_layout.ports;
    if ports.is_empty() && project.engine.construction != Construction::TwoStroke {
        return;
    }
    title(ui, "Ports in the bore", t);
    for (index, port) in ports.iter().enumerate() {
        ui.horizontal_wrapped(|ui| port_ui(ui, shown, view, (index, port), out));
    }
    if Button::plain(Id::unique("add port"), "Add a port").add(ui, t).clicked()
        && let (Ok(at), Ok(width)) = (Quantity::of(Kind::Angle, BEGIN.0), Quantity::of(Kind::Angle, BEGIN.1))
    {
        let free =
            (1..).map(|n| format!("port {n}")).find(|name| !ports.iter().any(|port| port.name == *name));
        let name = free.unwrap_or_default();
        let what = format!("Port added: {name}");
        let ports = ports.iter().cloned().chain([Port { name, at, width }]).collect();
        view.take(Some(project.ports_edit(what, ports)), out);
    }
    say(
        ui,
        "The middle of each window and its width around the bore, degrees, counted as a peg. A ring end that runs over a \
         window springs out and catches.",
        t,
    );
    for warning in &shown.session.rings().warnings {
        warn(ui, &warning.sentence(), t);
    }
}

fn port_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    (index, port): (usize, &Port),
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let mut change = |view: &mut RingsView, what: String, port: Option<Port>| {
        let mut ports = shown.project().ring_layout.ports.clone();
        match (port, ports.get_mut(index)) {
            (Some(port), Some(place)) => *place = port,
            (None, Some(_)) => drop(ports.remove(index)),
            (_, None) => return,
        }
        view.take(Some(shown.project().ports_edit(what, ports)), out);
    };
    let label = format!("Port {}, its name", index + 1);
    let name = TextField::line(Id::unique(("port name", index)), &label, &port.name).width(150.0);
    if let Some(words) = name.show(ui, t).committed {
        if words.is_empty() {
            view.fault = Some("A port needs a name, such as exhaust port".into());
        } else {
            change(view, format!("Port {}: {words}", index + 1), Some(Port { name: words, ..port.clone() }));
        }
    }
    for (words, value) in [("middle at", &port.at), ("wide", &port.width)] {
        say(ui, words, t);
        let label = format!("{}, {words}", port.name);
        let field = TextField::line(Id::unique(("port", index, words)), &label, value.text()).width(78.0);
        let Some(text) = field.show(ui, t).committed else { continue };
        match typed::angle(&text) {
            Ok(Some(angle)) => {
                let what = format!("{}, {words} {angle}", port.name);
                let port = if words == "wide" {
                    Port { width: angle, ..port.clone() }
                } else {
                    Port { at: angle, ..port.clone() }
                };
                change(view, what, Some(port));
            }
            Ok(None) => view.fault = Some(format!("The {} needs an angle here", port.name)),
            Err(why) => view.fault = Some(why),
        }
    }
    let words = format!("Remove the {}", port.name);
    let button = Button::plain(Id::unique(("remove port", index)), "Remove").tooltip(&words);
    if button.add(ui, t).accessible_name(&words).clicked() {
        change(view, format!("Port removed: {}", port.name), None);
    }
}
