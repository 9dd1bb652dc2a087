//! What only a sweep over crank angles has: an angle that is not among the
//! usual ones, where the least was found, and the cautions beside it.

use super::parts::{ROW, caption, row, say};
use super::section::Shows;
use super::{ReadingsView, ViewContext, typed};
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::paint;
use crate::quantity::{Kind, Unit};
use crate::reading::{CrankAngle, Evaluation, Subject, Valve};
use crate::schema::limit::Judged;
use crate::study::cautions::{Decision, cautions_for};
use egui::{Align, Id, Ui, vec2};

impl ReadingsView {
    /// Returns the crank angles that were asked for in this set and have no
    /// value yet.
    pub(super) fn angles_of(&self, cylinder: &str, set: &Shows<'_>) -> Vec<CrankAngle> {
        let own = self.angles.iter().filter(|(label, of, _)| label == cylinder && of == set.of);
        own.map(|(.., angle)| angle.clone()).collect()
    }
}

/// Shows the field for another crank angle, and what to heed.
pub(super) fn sweep_ui(ui: &mut Ui, valve: Valve, shown: &ViewContext<'_>, view: &mut ReadingsView) {
    let t = shown.t;
    let of = Subject::PistonToValve(valve);
    let label = shown.cylinder_label();
    let line = row(ui, ROW + 2.0).shrink2(vec2(0.0, 3.0));
    let words = "Another crank angle";
    let end = paint::text_mid(
        ui.painter(),
        line.left_center(),
        Align::Min,
        words,
        regular(text::DIMENSION),
        t.ink2,
    );
    let rect =
        egui::Rect::from_min_size(egui::pos2(end.right() + 8.0, line.top()), vec2(150.0, line.height()));
    let name = format!("Another crank angle, {} valve", valve.name());
    let id = Id::unique(("crank angle", label, valve.name()));
    if let Some(typed) = super::parts::text_line(ui, rect, (id, &name, "8: after; \u{2212}8: before"), "", t)
    {
        view.angle_fault = None;
        match angle(&typed) {
            Ok(angle) => view.angles.push((label.to_owned(), of.clone(), angle)),
            Err(why) => view.angle_fault = Some((of.clone(), why)),
        }
    }
    if let Some((_, why)) = view.angle_fault.as_ref().filter(|(fault_of, _)| *fault_of == of) {
        say(ui, why, semibold(text::CAPTION), t.warn);
    }
    let where_least = "On overlap, not at full lift. Advancing the cam takes from the intake, retarding it from the exhaust.";
    caption(ui, where_least, t);
    let beside = cautions_for(Decision::Valve, &shown.question().build, None);
    for caution in beside.iter().filter(|c| matches!(c.id, "valve_not_computed" | "valve_diesel")) {
        caption(ui, caution.text, t);
    }
}

/// A crank angle as typed, or the sentence that says why it is none.
fn angle(typed: &str) -> Result<CrankAngle, String> {
    let angle = CrankAngle(typed::quantity(Kind::Angle, &typed.replace('\u{2212}', "-"), Unit::Degree)?);
    if angle.degrees().abs() <= 180.0 {
        Ok(angle)
    } else {
        Err(format!("The crank angle is {}: it is at most 180° before or after overlap.", angle.words()))
    }
}

/// Shows where the least was found, and the verdict on it.
pub(super) fn least_ui(ui: &mut Ui, evaluation: &Evaluation, valve: Valve, shown: &ViewContext<'_>) {
    let place = match &evaluation.least_at {
        Some(angle) => format!("The least of the sweep: {} on overlap. ", angle.words()),
        None => String::new(),
    };
    let what = match valve {
        Valve::Intake => Judged::ValveIntake,
        Valve::Exhaust => Judged::ValveExhaust,
    };
    let judged = shown.solved().and_then(|solved| solved.judged.iter().find(|j| j.what == what));
    let verdict = judged.map_or_else(
        || "No limit is set for it: the maker's sheet has one.".to_owned(),
        |judged| format!("{}.", judged.sentence(shown.units())),
    );
    caption(ui, &format!("{place}{verdict}"), shown.t);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_angle_is_typed_as_after_or_before() {
        assert_eq!(angle("8").map(|a| a.words()), Ok("8° after".to_owned()));
        assert_eq!(angle("\u{2212}7,5°").map(|a| a.words()), Ok("7.5° before".to_owned()));
        assert!(angle("200").is_err_and(|why| why.contains("at most 180°")));
        assert!(angle("1 mm").is_err() && angle("late").is_err());
    }
}
