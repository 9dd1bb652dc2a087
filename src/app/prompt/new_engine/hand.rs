//! The last two steps: the units to read in, and what there is to measure
//! with.

use super::{NewEngineWizard, caption, pick, question_ui};
use crate::app::theme::{Tokens, regular, text};
use crate::quantity::{Kind, LengthUnit, UnitChoice, VolumeUnit, write};
use crate::reading::catalogue::{self, Tool};
use egui::{RichText, Ui};

pub(super) fn units_ui(ui: &mut Ui, begin: &mut NewEngineWizard, t: &Tokens) {
    let units = &mut begin.draft.units;
    caption(
        ui,
        "Figures are written in these. Fields take any unit at any time, and what you type stays as you typed it.",
        t,
    );
    question_ui(ui, "Lengths", t);
    ui.horizontal_wrapped(|ui| {
        for (length, words) in [
            (LengthUnit::Mm, "Millimetres"),
            (LengthUnit::InchDecimal, "Inches, decimals"),
            (LengthUnit::Thou, "Thou"),
            (LengthUnit::InchFraction, "Inches, fractions"),
        ] {
            if pick(ui, "length", words, units.length == length, t) {
                units.length = length;
            }
        }
    });
    question_ui(ui, "Volumes", t);
    ui.horizontal_wrapped(|ui| {
        for (volume, words) in [(VolumeUnit::Cc, "cc"), (VolumeUnit::CubicInch, "Cubic inches")] {
            if pick(ui, "volume", words, units.volume == volume, t) {
                units.volume = volume;
            }
        }
    });
    let sample = sample(units);
    ui.label(RichText::new(sample).font(regular(text::BODY)).color(t.ink));
}

/// What a bore, a gap and a chamber read like.
fn sample(units: &UnitChoice) -> String {
    // 3 1/2 in, 43 thou and 60 cc: each short in one of the units.
    let bore = write(Kind::Length, 88.9, None, units);
    let gap = write(Kind::Length, 1.0922, None, units);
    let chamber = write(Kind::Volume, 60.0, None, units);
    format!("A bore then reads {bore}, a gap {gap}, a chamber {chamber}.")
}

pub(super) fn hand_ui(ui: &mut Ui, begin: &mut NewEngineWizard, t: &Tokens) {
    question_ui(ui, "Instruments, each with an honest ± that you can change later", t);
    let half = catalogue::tools().len().div_ceil(2);
    ui.columns(2, |columns| {
        for (column, tools) in columns.iter_mut().zip(catalogue::tools().chunks(half)) {
            tools.iter().for_each(|tool| tool_ui(column, tool, &mut begin.tools));
        }
    });
    if !begin.tools.contains(&"burette") {
        caption(ui, "Without a burette the chamber can only be assumed, and with it the ratio.", t);
    }
    question_ui(ui, "Gaskets", t);
    ui.checkbox(&mut begin.draft.head_gasket, "A gasket lies under the head");
    if begin.draft.construction.has_barrels() {
        ui.checkbox(&mut begin.draft.base_gasket, "A gasket lies under each barrel, beside any shims");
    }
    caption(
        ui,
        "One that there is not counts as 0 and is not asked for. Shims are listed in the Shims drawer, F5.",
        t,
    );
}

fn tool_ui(ui: &mut Ui, tool: &'static Tool, chosen: &mut Vec<&'static str>) {
    let mut at_hand = chosen.contains(&tool.id);
    let tip = format!("Step {}, good to ± {}. {}", tool.step, tool.repeatability, tool.misuse);
    if ui.checkbox(&mut at_hand, tool.name).on_hover_text(tip).changed() {
        chosen.retain(|id| *id != tool.id);
        if at_hand {
            chosen.push(tool.id);
        }
    }
}
