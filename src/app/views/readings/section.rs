//! All readings of one thing in the chosen cylinder: how they were taken,
//! what was read place by place, and what that gives.

use super::conditions::conditions_ui;
use super::line::{Entered, lines_ui};
use super::parts::{caption, divide, row, say};
use super::{ReadingsView, ViewContext, decide, plot, result, sweep};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::clock;
use crate::engine::Key;
use crate::project::Edit;
use crate::quantity::Unit;
use crate::reading::sets::{self, How, Set};
use crate::reading::{Instrument, Reading, Subject};
use egui::{Align, Id, Rect, Ui, pos2};

/// A set of readings as it is shown: one that exists, or one that is begun
/// with its first value.
pub(super) struct Shows<'a> {
    /// Which thing.
    pub of: &'a Subject,
    /// Its place among the sets of this thing; identity of its fields.
    pub ordinal: usize,
    /// How it was or will be taken.
    pub how: How,
    /// The instrument of that.
    pub instrument: Option<Instrument>,
    /// The readings with their places in the list of all; none of a new set.
    pub lines: Vec<(usize, &'a Reading)>,
    /// The note on it.
    pub note: String,
    /// The unit in which its numbers stand alone.
    pub unit: Unit,
}

impl Shows<'_> {
    /// Identity of something in this set.
    pub(super) fn id(&self, shown: &ViewContext<'_>, what: &str, number: usize) -> Id {
        let of = (shown.cylinder_label(), self.of.name(), self.ordinal);
        Id::unique(("reading", of, what, number))
    }

    /// The places of its readings in the list of all.
    pub(super) fn indices(&self) -> Vec<usize> {
        self.lines.iter().map(|(index, _)| *index).collect()
    }
}

/// A set that was begun and has no value yet.
#[derive(Clone, Debug)]
pub(super) struct Begun {
    /// The label of the cylinder.
    pub cylinder: String,
    /// Which thing.
    pub of: Subject,
    /// How it will be taken.
    pub how: How,
    /// With which instrument.
    pub instrument: Option<Instrument>,
    /// The note.
    pub note: String,
}

/// "Deck at the top, cylinder 2".
pub(super) fn title(of: &Subject) -> String {
    match of {
        Subject::Deck => "Deck at the top".into(),
        Subject::Squish => "Squish, by squeezed solder".into(),
        Subject::WholeFill => "Whole fill through the plug hole".into(),
        Subject::PistonToValve(valve) => format!("Piston to {} valve", valve.name()),
        Subject::RingGap(ring) => format!("End gap, {ring} ring"),
        Subject::Dimension(Key::ChamberVolume) => "Chamber, filled to the plate".into(),
        Subject::Dimension(key) => key.name().into(),
    }
}

/// Shows the section.
pub(super) fn section_ui(
    ui: &mut Ui,
    of: &Subject,
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let project = shown.project();
    let label = shown.cylinder_label();
    let head = row(ui, 26.0);
    let words = format!("{}, cylinder {label}", title(of));
    paint::text_mid(ui.painter(), head.left_center(), Align::Min, &words, semibold(text::BODY), t.ink);
    let all = sets_of(of, shown, view);
    let unit = all.first().map_or_else(|| shown.units().unit(of.kind()), |set| set.unit);
    if of.kind() != crate::quantity::Kind::Angle {
        let words = format!("in {}", unit.symbol());
        paint::text_mid(
            ui.painter(),
            head.right_center(),
            Align::Max,
            &words,
            regular(text::CAPTION),
            t.ink3,
        );
    }
    let top = ui.cursor().top();
    let room = plot::room(ui.available_width());
    // The band lies under everything that is written over it.
    let ground = ui.painter().add(egui::Shape::Noop);
    let mut marks = Vec::new();
    let mut notes = Vec::new();
    for set in &all {
        conditions_ui(ui, set, shown, view, out);
        let entered = lines_ui(ui, set, room, shown, view, &mut notes, &mut marks);
        for done in entered {
            take(done, set, shown, view, out);
        }
    }
    let evaluation =
        shown.question().cylinders.get(shown.cylinder).and_then(|cylinder| cylinder.measured.evaluation(of));
    if !marks.is_empty() {
        row(ui, plot::AXIS);
        let lines = Rect::from_min_max(
            pos2(ui.max_rect().right() - room, top),
            pos2(ui.max_rect().right(), ui.cursor().top()),
        );
        plot::plot_ui(ui, lines, ground, &marks, evaluation, unit, shown);
    }
    for (words, warns) in &notes {
        let (font, colour) =
            if *warns { (semibold(text::CAPTION), t.warn) } else { (regular(text::CAPTION), t.ink2) };
        say(ui, words, font, colour);
    }
    if let Subject::PistonToValve(valve) = of {
        sweep::sweep_ui(ui, *valve, shown, view);
    }
    if let Some(evaluation) = evaluation {
        for odd in evaluation.odd.iter().filter(|odd| odd.kept.is_none()) {
            decide::odd_ui(ui, evaluation, odd, shown, view, out);
        }
        result::result_ui(ui, evaluation, shown, out);
    } else {
        caption(ui, &how_to(of), t);
    }
    decide::decided_ui(ui, of, shown, view, out);
    let began = view.begun.iter().any(|b| b.cylinder == label && b.of == *of);
    if project.readings.iter().any(|r| r.cylinder == label && r.of == *of) && !began {
        let id = Id::unique(("another set", label, of.name()));
        let another = Button::plain(id, "Read it in another way")
            .tooltip("With another instrument or shim, held in another way, or on another day");
        let spoken = format!("Read it in another way: {}", title(of));
        if another.add(ui, t).accessible_name(&spoken).clicked() {
            let (how, instrument) = project.next_reading(label, of, &clock::today());
            let cylinder = label.to_owned();
            view.begun.push(Begun { cylinder, of: of.clone(), how, instrument, note: String::new() });
        }
    }
    divide(ui, 18.0, t);
}

/// The sets to show: those that exist, and one to begin with where there is
/// none or where one was asked for.
fn sets_of<'a>(of: &'a Subject, shown: &ViewContext<'a>, view: &ReadingsView) -> Vec<Shows<'a>> {
    let project = shown.project();
    let label = shown.cylinder_label();
    let existing: Vec<Set<'a>> = sets::sets(&project.readings, label, of);
    let begun = view.begun.iter().find(|b| b.cylinder == label && b.of == *of).cloned();
    let begun = begun.or_else(|| {
        existing.is_empty().then(|| {
            let (how, instrument) = project.next_reading(label, of, &clock::today());
            Begun { cylinder: label.to_owned(), of: of.clone(), how, instrument, note: String::new() }
        })
    });
    let mut all: Vec<Shows<'a>> = Vec::new();
    for set in existing {
        let instrument = set.how.instrument.as_deref().and_then(|id| project.instrument(id)).cloned();
        let note = set.note().to_owned();
        all.push(Shows {
            of,
            ordinal: 0,
            how: set.how,
            instrument,
            lines: set.lines,
            note,
            unit: Unit::Degree,
        });
    }
    if let Some(Begun { how, instrument, note, .. }) = begun {
        all.push(Shows { of, ordinal: 0, how, instrument, lines: Vec::new(), note, unit: Unit::Degree });
    }
    for (ordinal, set) in all.iter_mut().enumerate() {
        set.ordinal = ordinal;
        let line = set.lines.iter().map(|(_, reading)| *reading).find(|r| !r.values.is_empty());
        set.unit = first_unit(line)
            .unwrap_or_else(|| sets::next_unit(of, None, set.instrument.as_ref(), shown.units()));
    }
    all
}

/// The unit of the first value of the right kind.
fn first_unit(line: Option<&Reading>) -> Option<Unit> {
    let line = line?;
    line.values.iter().map(|v| v.value.unit()).find(|unit| unit.kind() == line.of.kind())
}

/// Makes of what was typed in a set an edit of the document.
fn take(
    done: Entered,
    set: &Shows<'_>,
    shown: &ViewContext<'_>,
    view: &mut ReadingsView,
    out: &mut Vec<Command>,
) {
    let label = shown.cylinder_label();
    let edit = match done {
        Entered::More { reading, value } => Edit::AddValue { reading, value },
        Entered::First { place, value } => {
            let mut reading = set.how.reading(label, set.of, place);
            reading.values.push(value.into());
            reading.note.clone_from(&set.note);
            view.begun.retain(|b| !(set.lines.is_empty() && b.cylinder == label && b.of == *set.of));
            let instrument = set.instrument.clone().map(Box::new);
            Edit::AddReading { reading: Box::new(reading), instrument }
        }
        Entered::Corrected { reading, value, to } => Edit::CorrectValue { reading, value, to },
        Entered::Emptied { reading, value } => {
            view.striking = Some((reading, value));
            return;
        }
    };
    out.push(Command::Edit(edit, None));
}

/// How it is read, while nothing was read yet.
fn how_to(of: &Subject) -> String {
    match of {
        Subject::Dimension(key) => key.row().measure.to_owned(),
        Subject::Deck => Key::MockupDeck.row().measure.to_owned(),
        Subject::Squish => {
            "Solder on the pin axis, both ends, head at its final torque, the engine turned over \
                            once by hand; the flat measured with a micrometer."
                .to_owned()
        }
        Subject::WholeFill => {
            "Piston at the top, rings greased, head on: what goes in through the plug hole up to \
                               the thread that the plug fills."
                .to_owned()
        }
        Subject::PistonToValve(_) => {
            "Turned by hand over overlap, with the gasket crushed and the lash as it will run: at each angle \
             the valve is pushed down until it meets the piston, and an indicator on it reads the way; or \
             oiled clay, cut where it is thinnest. The least counts; 0 is contact."
                .to_owned()
        }
        Subject::RingGap(_) => {
            "The ring pushed square into its own bore with a piston, feelers in its gap.".to_owned()
        }
    }
}
