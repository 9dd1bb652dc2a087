//! How the engine is built: construction, cooling, and the shapes of chamber
//! and crown.

use super::{ViewContext, head, line};
use crate::app::command::Command;
use crate::app::widgets::choice::SegmentedChoice;
use crate::engine::solid::{ChamberKind, CrownKind};
use crate::project::{Construction, Cooling, Edit};
use egui::{Id, Ui};

pub(super) fn build_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let engine = &shown.project().engine;
    head(ui, "Construction", "", shown);
    let constructions = Construction::ALL.map(|c| c.name().to_owned());
    let chosen = Construction::ALL.iter().position(|&c| c == engine.construction);
    let picked = choose(ui, shown, "Built as", &constructions, chosen);
    if let Some(&construction) = picked.and_then(|i| Construction::ALL.get(i)) {
        out.push(Command::Edit(Edit::SetConstruction(construction), None));
    }
    let coolings = [Cooling::Air, Cooling::Water];
    let chosen = coolings.iter().position(|&c| c == engine.cooling);
    let picked = choose(ui, shown, "Cooled by", &["air".to_owned(), "water".to_owned()], chosen);
    if let Some(&cooling) = picked.and_then(|i| coolings.get(i)) {
        out.push(Command::Edit(Edit::SetCooling(cooling), None));
    }
    let chambers = ChamberKind::all();
    let names = chambers.each_ref().map(|kind| kind.name().to_owned());
    let chosen = names.iter().position(|name| name == engine.chamber.name());
    let picked = choose(ui, shown, "Chamber in the head", &names, chosen);
    if let Some(kind) = picked.and_then(|i| chambers.get(i)) {
        out.push(Command::Edit(Edit::SetChamber(kind.clone()), None));
    }
    let crowns = CrownKind::all();
    let names = crowns.each_ref().map(|kind| kind.name().to_owned());
    let chosen = names.iter().position(|name| name == engine.crown.name());
    let picked = choose(ui, shown, "Crown of the piston", &names, chosen);
    if let Some(kind) = picked.and_then(|i| crowns.get(i)) {
        out.push(Command::Edit(Edit::SetCrown(kind.clone()), None));
    }
    let unfit = shown.solved().is_some_and(|solved| solved.engine.figures().clearance.crown != 0.0)
        && engine.crown == CrownKind::Flat;
    if unfit {
        super::say(ui, "The crown has a volume, so it is not flat: choose its shape.", shown);
    }
}

fn choose(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    name: &str,
    options: &[String],
    chosen: Option<usize>,
) -> Option<usize> {
    line(ui, name, shown, |ui| {
        let id = Id::unique(("engine choice", name));
        SegmentedChoice { id, name, options, chosen }.show(ui, 220.0, shown.t)
    })
}
