//! The lines of a set: where it was read, and a field for each value. Type,
//! Enter, next; Enter on an empty field goes to the next place.

use super::parts::plan;
use super::plot::Mark;
use super::section::Shows;
use super::{ReadingsView, ViewContext, typed};
use crate::app::theme::{regular, text};
use crate::app::widgets::field::{FieldOutput, Note, QuantityField};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::paint;
use crate::quantity::{Quantity, Unit};
use crate::reading::sets::{beside_the_mean, next_unit, usual_places};
use crate::reading::{CrankAngle, DeckPlace, Evaluation, Reading, Subject};
use egui::{Align, Rect, Sense, Ui, Vec2, pos2, vec2};

/// Size of a field whose number stands alone, and of one with its own unit.
const FIELD: Vec2 = vec2(58.0, 24.0);
const FIELD_WITH_UNIT: Vec2 = vec2(88.0, 24.0);
const GAP: f32 = 4.0;
/// The names of the places, and the plan beside them.
const NAME: f32 = 88.0;
const PLAN: f32 = 28.0;
/// Height of a line with one row of fields, and what each further row adds.
const LINE: f32 = 33.0;
const MORE: f32 = 28.0;
/// Values of a line that are shown; of more, those read last.
const MOST: usize = 16;

/// What was done in a line.
#[derive(Clone, Debug)]
pub(super) enum Entered {
    /// One more value of a reading.
    More { reading: usize, value: Quantity },
    /// The first value at a place.
    First { place: Option<DeckPlace>, value: Quantity },
    /// Another value in place of one that was written wrongly.
    Corrected { reading: usize, value: usize, to: Quantity },
    /// The field of a value was emptied: it is to be struck out.
    Emptied { reading: usize, value: usize },
}

/// One line: a place, and its reading if there is one.
struct Line<'a> {
    place: Option<DeckPlace>,
    reading: Option<(usize, &'a Reading)>,
}

/// The usual places in their order, then all others that were read.
fn lines<'a>(set: &Shows<'a>, asked: &[CrankAngle]) -> Vec<Line<'a>> {
    let usual = usual_places(set.of);
    let placed = |place: &Option<DeckPlace>| set.lines.iter().find(|(_, r)| r.place == *place).copied();
    let nowhere = placed(&None).is_some();
    let mut lines: Vec<Line<'a>> = Vec::new();
    // A thing read without a place is not asked for places.
    if usual.len() > 1 || !set.lines.iter().any(|(_, r)| r.place.is_some()) {
        let offered = usual
            .iter()
            .filter(|_| !(nowhere && usual.len() > 1 && set.lines.len() == 1 && !usual.contains(&None)));
        lines.extend(offered.map(|place| Line { place: place.clone(), reading: placed(place) }));
    }
    for &(index, reading) in &set.lines {
        if !lines.iter().any(|line| line.reading.is_some_and(|(known, _)| known == index)) {
            lines.push(Line { place: reading.place.clone(), reading: Some((index, reading)) });
        }
    }
    for angle in asked {
        let place = Some(DeckPlace::Crank(angle.clone()));
        if !lines.iter().any(|line| line.place == place) {
            lines.push(Line { place, reading: None });
        }
    }
    if matches!(set.of, Subject::PistonToValve(_)) {
        lines.sort_by(|a, b| sweep_order(a.place.as_ref()).total_cmp(&sweep_order(b.place.as_ref())));
    }
    lines
}

/// A sweep goes from before the top to after it; what has no angle is first.
fn sweep_order(place: Option<&DeckPlace>) -> f64 {
    match place {
        Some(DeckPlace::Crank(angle)) => angle.degrees(),
        _ => f64::NEG_INFINITY,
    }
}

/// Shows the lines, leaving `room` free at the right; what was done in them,
/// notes to stand below, and the marks of all values for the plot.
pub(super) fn lines_ui(
    ui: &mut Ui,
    set: &Shows<'_>,
    room: f32,
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
    notes: &mut Vec<(String, bool)>,
    marks: &mut Vec<Mark>,
) -> Vec<Entered> {
    let mut done = Vec::new();
    let lines = lines(set, &view.angles_of(shown.cylinder_label(), set));
    let named = lines.iter().any(|line| line.place.is_some());
    let count = lines.len();
    for (number, line) in lines.iter().enumerate() {
        let after = LineUi { set, line, number, count, named, room, shown }.show(ui, view, notes, marks);
        done.extend(after);
    }
    done
}

/// What one line needs to be shown.
struct LineUi<'a, 'b> {
    set: &'a Shows<'b>,
    line: &'a Line<'b>,
    number: usize,
    count: usize,
    named: bool,
    room: f32,
    shown: &'a ViewContext<'b>,
}

impl LineUi<'_, '_> {
    fn show(
        &self,
        ui: &mut Ui,
        view: &mut ReadingsView,
        notes: &mut Vec<(String, bool)>,
        marks: &mut Vec<Mark>,
    ) -> Vec<Entered> {
        let t = self.shown.t;
        let left = if self.named { NAME + PLAN } else { 0.0 };
        let width = (ui.available_width() - self.room - left - 12.0).max(FIELD.x);
        let values = self.line.reading.map_or(&[][..], |(_, reading)| reading.values.as_slice());
        let hidden = values.len().saturating_sub(MOST);
        let places = flow(width, values.iter().skip(hidden).map(|v| self.size_of(&v.value)));
        let rows = places.last().map_or(0, |(_, row)| *row);
        #[expect(clippy::cast_precision_loss, reason = "a handful of rows")]
        let height = LINE + MORE * rows as f32 + if hidden > 0 { 16.0 } else { 0.0 };
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        self.name_ui(ui, rect);
        let origin = pos2(rect.left() + left, rect.top() + 4.0);
        let mut done = Vec::new();
        for ((index, value), (place, _)) in values.iter().enumerate().skip(hidden).zip(&places) {
            let field = place.translate(origin.to_vec2());
            done.extend(self.value_ui(ui, field, index, &value.value, value.struck.is_some(), notes));
        }
        if let Some((place, _)) = places.last() {
            done.extend(self.entry_ui(ui, place.translate(origin.to_vec2()), view, notes));
        }
        if hidden > 0 {
            let words = format!("{hidden} more before these; all of them count");
            let at = pos2(origin.x, rect.bottom() - 4.0);
            paint::text(ui.painter(), at, Align::Min, &words, regular(text::LEAST), t.ink3);
        }
        self.marks(rect.top() + LINE / 2.0, marks);
        done
    }

    fn size_of(&self, value: &Quantity) -> Vec2 {
        if value.unit() == self.set.unit { FIELD } else { FIELD_WITH_UNIT }
    }

    fn place_words(&self) -> String {
        match (self.set.of, &self.line.place) {
            (Subject::PistonToValve(valve), Some(place)) => {
                format!("Piston to {} valve, {}", valve.name(), place.name())
            }
            (_, Some(place)) => place.name().into_owned(),
            (_, None) => super::section::title(self.set.of),
        }
    }

    fn name_ui(&self, ui: &Ui, rect: Rect) {
        let t = self.shown.t;
        if !self.named {
            return;
        }
        let painter = ui.painter();
        let (name, meaning) = match &self.line.place {
            Some(place) => (place.name(), place.meaning()),
            None if matches!(self.set.of, Subject::PistonToValve(_)) => {
                ("Least found".into(), "angle not noted")
            }
            None => ("Anywhere".into(), "place not noted"),
        };
        let at = pos2(rect.left(), rect.top() + 14.0);
        let galley = paint::fitted(painter, &name, regular(text::BODY), t.ink, NAME - 4.0);
        paint::place(painter, at, Align::Min, galley, t.ink);
        let below = pos2(rect.left(), rect.top() + 27.0);
        paint::text(painter, below, Align::Min, meaning, regular(text::LEAST), t.ink3);
        if let Some(place) = &self.line.place
            && !matches!(
                place,
                DeckPlace::Top
                    | DeckPlace::Middle
                    | DeckPlace::Bottom
                    | DeckPlace::Crank(_)
                    | DeckPlace::Other(_)
            )
        {
            plan(painter, pos2(rect.left() + NAME + 11.0, rect.top() + 16.0), place, t);
        }
    }

    fn value_ui(
        &self,
        ui: &mut Ui,
        rect: Rect,
        index: usize,
        value: &Quantity,
        struck: bool,
        notes: &mut Vec<(String, bool)>,
    ) -> Option<Entered> {
        let (reading, _) = self.line.reading?;
        let (of, unit) = (self.set.of, value.unit());
        let (number, shown_unit) = typed::shown(value, self.set.unit, self.shown.units());
        let struck_words = if struck { ", struck out" } else { "" };
        let name = format!("{}, value {}{struck_words}", self.place_words(), index + 1);
        let check = |text: &str| {
            if text.is_empty() {
                crate::app::widgets::field::Check::Fine
            } else {
                typed::check(of, text, unit)
            }
        };
        let output = QuantityField {
            id: self.set.id(self.shown, "value", reading * 4096 + index),
            name: &name,
            value: &number,
            unit: shown_unit,
            known: ProvenanceMark::Measured,
            moved: false,
            struck,
            check: &check,
            meaning: &|_| None,
        }
        .show(ui, rect, self.shown.t);
        tell_unit(ui, &output, unit);
        note(output.note.as_ref(), notes);
        if output.response.gained_focus() {
            output.response.scroll_to_me(None);
        }
        let text = output.committed?;
        if text.trim().is_empty() {
            return Some(Entered::Emptied { reading, value: index });
        }
        let to = typed::taken(of, &text, unit)?;
        Some(Entered::Corrected { reading, value: index, to })
    }

    fn entry_ui(
        &self,
        ui: &mut Ui,
        rect: Rect,
        view: &mut ReadingsView,
        notes: &mut Vec<(String, bool)>,
    ) -> Option<Entered> {
        let (set, shown) = (self.set, self.shown);
        let line = self.line.reading.map(|(_, reading)| reading);
        let unit = next_unit(set.of, line, set.instrument.as_ref(), shown.units());
        let name = format!("{}, next value", self.place_words());
        let check = |text: &str| typed::check(set.of, text, unit);
        let meaning = |text: &str| {
            let value = typed::quantity(set.of.kind(), text, unit).ok()?;
            let read = shown.units().unit(set.of.kind());
            (value.unit() != read).then(|| {
                format!(
                    "{value} is {}",
                    crate::quantity::write(value.kind(), value.base(), Some(3), shown.units())
                )
            })
        };
        let id = set.id(shown, "next", self.number);
        let output = QuantityField {
            id,
            name: &name,
            value: "",
            unit: if unit == set.unit { "" } else { unit.symbol() },
            known: ProvenanceMark::Measured,
            moved: false,
            struck: false,
            check: &check,
            meaning: &meaning,
        }
        .show(ui, rect, shown.t);
        tell_unit(ui, &output, unit);
        note(output.note.as_ref(), notes);
        let first = self.number == 0 && set.ordinal == 0 && view.first.as_ref() == Some(set.of);
        let asked = first || self.line.reading.is_some_and(|(index, _)| view.read_again == Some(index));
        if asked {
            view.first = None;
            view.read_again = None;
            output.response.request_focus();
            output.response.scroll_to_me(None);
        }
        if output.response.gained_focus() {
            output.response.scroll_to_me(None);
        }
        if output.response.has_focus() {
            view.at = Some((shown.cylinder_label().to_owned(), set.of.clone(), id));
        }
        if output.entered {
            let next = (self.number + 1) % self.count.max(1);
            ui.memory_mut(|m| m.request_focus(set.id(shown, "next", next)));
        }
        let value = typed::taken(set.of, &output.committed?, unit)?;
        Some(match self.line.reading {
            Some((reading, _)) => Entered::More { reading, value },
            None => Entered::First { place: self.line.place.clone(), value },
        })
    }

    fn marks(&self, y: f32, marks: &mut Vec<Mark>) {
        let Some((index, reading)) = self.line.reading else { return };
        let beside = beside_the_mean(reading, &self.shown.project().readings);
        let evaluation: Option<&Evaluation> = self
            .shown
            .question()
            .cylinders
            .get(self.shown.cylinder)
            .and_then(|cylinder| cylinder.measured.evaluation(self.set.of));
        let odd = |value| {
            let is_it = |odd: &crate::reading::Outlier| {
                (odd.reading, odd.value) == (index, value) && odd.kept.is_none()
            };
            evaluation.is_some_and(|e| e.odd.iter().any(is_it))
        };
        for (i, value) in
            reading.values.iter().enumerate().filter(|(_, v)| v.value.kind() == reading.of.kind())
        {
            let sort = match (value.struck.is_some(), odd(i), beside) {
                (true, ..) => super::plot::Sort::Struck,
                (_, true, _) => super::plot::Sort::Odd,
                (_, _, true) => super::plot::Sort::Beside,
                _ => super::plot::Sort::Counts,
            };
            marks.push(Mark { y, value: value.value.base(), sort });
        }
    }
}

/// The unit stands once over all lines of a set; a screen reader is told it
/// at each of them.
fn tell_unit(ui: &Ui, output: &FieldOutput, unit: Unit) {
    if output.note.is_none() {
        ui.ctx().accesskit_node_builder(output.response.id, |node| {
            node.set_description(format!("{}, measured", unit.symbol()));
        });
    }
}

fn note(note: Option<&Note>, notes: &mut Vec<(String, bool)>) {
    match note {
        None => {}
        Some(Note::Meaning(words)) => notes.push((words.clone(), false)),
        Some(Note::Refused(why)) => notes.push((why.clone(), true)),
        Some(Note::Question(ask, choices)) => notes.push((format!("{ask} {choices}"), true)),
    }
}

/// Where the fields of a line stand, and on which row, with one more for the
/// next value.
fn flow(width: f32, sizes: impl Iterator<Item = Vec2>) -> Vec<(Rect, usize)> {
    let mut places = Vec::new();
    let (mut x, mut row) = (0.0, 0);
    for size in sizes.chain([FIELD]) {
        if x > 0.0 && x + size.x > width {
            x = 0.0;
            row += 1;
        }
        #[expect(clippy::cast_precision_loss, reason = "a handful of rows")]
        let y = row as f32 * MORE;
        places.push((Rect::from_min_size(pos2(x, y), size), row));
        x += size.x + GAP;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_wrap_where_the_line_ends_and_one_is_left_for_the_next_value() {
        let places = flow(200.0, [FIELD, FIELD, FIELD_WITH_UNIT, FIELD].into_iter());
        let rows: Vec<usize> = places.iter().map(|(_, row)| *row).collect();
        assert_eq!(rows, [0, 0, 1, 1, 2]);
        assert!(places.iter().all(|(rect, _)| rect.right() <= 200.0));
        assert_eq!(flow(30.0, std::iter::empty()).len(), 1);
    }
}
