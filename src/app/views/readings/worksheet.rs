//! Two sheets of arithmetic at the bench: top dead centre from a positive
//! stop, and volumes from a burette. What is typed stays until it is taken
//! into the record.

use super::parts::{ROW, caption, divide, row, say, text_edit};
use super::{ViewContext, typed};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::clock;
use crate::engine::Key;
use crate::project::{Edit, LogEntry};
use crate::quantity::{Kind, Quantity, Unit, write};
use crate::reading::burette::{Burette, Fill, fill};
use crate::reading::stop::{StopReadings, top_dead_centre};
use crate::reading::{Instrument, Subject, Value, catalogue};
use crate::study::words;
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// What both sheets remember.
#[derive(Default)]
pub(super) struct Sheets {
    rising: List,
    falling: List,
    fills: List,
    plate_hole: String,
    grease: String,
    meniscus: String,
}

/// Lines of numbers, and the one being typed.
#[derive(Default)]
struct List {
    lines: Vec<Vec<f64>>,
    typing: String,
    fault: Option<String>,
}

impl List {
    /// Shows what was entered and a field for the next; Enter takes it.
    fn show(&mut self, ui: &mut Ui, (id, name, hint): (Id, &str, &str), shown: &ViewContext<'_>, many: bool) {
        let t = shown.t;
        let line = row(ui, ROW + 4.0).shrink2(vec2(0.0, 3.0));
        let at = pos2(line.left(), line.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, name, regular(text::DIMENSION), t.ink);
        let field = Rect::from_min_size(pos2(line.left() + 220.0, line.top()), vec2(130.0, line.height()));
        let edit = text_edit(ui, field, (id, name, hint), &mut self.typing, t);
        if edit.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter)) {
            self.take(many);
            edit.request_focus();
        }
        let all: Vec<String> = self.lines.iter().map(|numbers| told(numbers)).collect();
        if !all.is_empty() {
            let drop_id = id.with("drop");
            let label = format!("Take the last of {name} away");
            let button =
                Button { label: "Undo last", tooltip: &label, ..Button::plain(drop_id, "Undo last") };
            let size = button.size(ui.painter(), t);
            let rect = Rect::from_min_size(pos2(line.right() - size.x, line.top() - 1.0), size);
            if button.show(ui, rect, t).accessible_name(&label).clicked() {
                self.lines.pop();
            }
            caption(ui, &all.join(" · "), t);
        }
        if let Some(fault) = &self.fault {
            say(ui, fault, semibold(text::CAPTION), t.warn);
        }
    }

    fn take(&mut self, many: bool) {
        match typed::numbers(&self.typing) {
            Ok(numbers) if many && !numbers.len().is_multiple_of(2) => {
                self.fault = Some("Give start and end of each draught: 0 33.8, or 0 50 0 10.2.".to_owned());
            }
            Ok(numbers) => {
                if many {
                    self.lines.push(numbers);
                } else {
                    self.lines.extend(numbers.into_iter().map(|number| vec![number]));
                }
                self.typing.clear();
                self.fault = None;
            }
            Err(why) => self.fault = Some(why),
        }
    }

    fn single(&self) -> Vec<f64> {
        self.lines.iter().flatten().copied().collect()
    }
}

fn told(numbers: &[f64]) -> String {
    let plain: Vec<String> = numbers.iter().map(f64::to_string).collect();
    let pairs: Vec<String> = plain.chunks(2).map(|pair| pair.join(" to ")).collect();
    pairs.join(" and ")
}

/// The instrument of this kind: one of the project's, else the catalogue's.
fn instrument(shown: &ViewContext<'_>, id: &str) -> Option<Instrument> {
    let own = shown.project().instrument(id).cloned();
    own.or_else(|| catalogue::Tool::with_id(id).and_then(catalogue::Tool::instrument))
}

/// Shows the sheet for top dead centre.
pub(super) fn stop_ui(ui: &mut Ui, shown: &ViewContext<'_>, sheets: &mut Sheets, out: &mut Vec<Command>) {
    let t = shown.t;
    say(ui, "Top dead centre from a positive stop", semibold(text::BODY), t.ink);
    caption(
        ui,
        "Plug out, stop in the plug hole. Turn by hand, slowly: forward onto the stop and read the wheel, then \
         backward onto it and read. Never against the stop with a starter or a bar. Its depth doesn't matter.",
        t,
    );
    let ids = (Id::unique("stop rising"), Id::unique("stop falling"));
    sheets.rising.show(ui, (ids.0, "Turned forward onto the stop, °", "such as 331.5"), shown, false);
    sheets.falling.show(ui, (ids.1, "Turned backward onto the stop, °", "such as 28"), shown, false);
    let (rising, falling) = (sheets.rising.single(), sheets.falling.single());
    let Some((engine, _)) = shown.engine() else { return };
    if rising.is_empty() && falling.is_empty() {
        return;
    }
    let wheel = instrument(shown, "degree wheel");
    let readings = StopReadings {
        rising,
        falling,
        step: wheel.as_ref().map_or(0.0, |wheel| wheel.step.base()),
        repeatability: wheel.as_ref().and_then(|w| w.repeatability.as_ref()).map(Quantity::base),
    };
    let found = match top_dead_centre(&readings, &engine.figures().crank) {
        Ok(found) => found,
        Err(error) => {
            say(
                ui,
                &format!("{}: {}.", capital(&error.to_string()), error.hint()),
                regular(text::CAPTION),
                t.ink2,
            );
            return;
        }
    };
    divide(ui, 10.0, t);
    let at = found.wheel.value;
    let doubt = found.wheel.uncertainty().expanded();
    let number = words::plain(at.abs(), 2);
    let plus_minus = words::plain(doubt, 2);
    let turn = if at.abs() < 0.005 {
        format!("The wheel stands right, ±{plus_minus}°")
    } else if at > 0.0 {
        format!("At top dead centre the wheel shows {number}° after its 0, ±{plus_minus}°")
    } else {
        format!("At top dead centre the wheel shows {number}° before its 0, ±{plus_minus}°")
    };
    say(ui, &turn, semibold(text::PANEL), t.ink);
    let depth = write(Kind::Length, found.stop_depth_mm, None, shown.units());
    let offset = if found.middle_off_deg == 0.0 {
        String::new()
    } else {
        let off = words::plain(found.middle_off_deg.abs(), 2);
        let side = if found.middle_off_deg > 0.0 { "after" } else { "before" };
        format!(
            " With the pin offset of this engine it does not lie in the middle: that is {off}° {side} it."
        )
    };
    let span = words::plain(found.span_deg, 1);
    caption(
        ui,
        &format!("The stops lie {span}° apart; the stop holds the piston {depth} below its top.{offset}"),
        t,
    );
    let log = Button::plain(Id::unique("log top"), "Write it into the bench log");
    if log.add(ui, t).clicked() {
        let label = shown.cylinder_label();
        let words = format!(
            "Cylinder {label}, positive stop: forward {}, backward {}. {turn}",
            told_list(&readings.rising),
            told_list(&readings.falling)
        );
        let entry = LogEntry { date: clock::now(), who: String::new(), text: words };
        out.push(Command::Edit(Edit::AddLog(entry), None));
    }
}

fn told_list(numbers: &[f64]) -> String {
    numbers.iter().map(|n| format!("{n}°")).collect::<Vec<_>>().join(", ")
}

/// Shows the sheet for the burette.
pub(super) fn burette_ui(ui: &mut Ui, shown: &ViewContext<'_>, sheets: &mut Sheets, out: &mut Vec<Command>) {
    let t = shown.t;
    let label = shown.cylinder_label();
    say(ui, &format!("Burette, chamber of cylinder {label}"), semibold(text::BODY), t.ink);
    caption(
        ui,
        "Start and end as they stand on the glass: 0 33.8. A chamber larger than the burette takes several draughts \
         in one line: 0 50 0 10.2. Read the bottom of the curve, at eye height, each time alike.",
        t,
    );
    sheets.fills.show(
        ui,
        (Id::unique("fills"), "Start and end of a fill, cc", "such as 0 33.8"),
        shown,
        true,
    );
    let amounts = [
        ("Hole in the plate, cc", &mut sheets.plate_hole, "ran out, but is not in the chamber"),
        ("Grease squeezed in, cc", &mut sheets.grease, "takes the place of fluid"),
        ("Meniscus, ± cc", &mut sheets.meniscus, "only where start and end are not read alike"),
    ];
    let mut read = [0.0; 3];
    let mut fault = None;
    for ((name, draft, why), amount) in amounts.into_iter().zip(&mut read) {
        let line = row(ui, ROW + 4.0).shrink2(vec2(0.0, 3.0));
        let at = pos2(line.left(), line.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, name, regular(text::DIMENSION), t.ink);
        let field = Rect::from_min_size(pos2(line.left() + 220.0, line.top()), vec2(90.0, line.height()));
        text_edit(ui, field, (Id::unique(("burette", name)), name, "0"), draft, t);
        let room = line.right() - field.right() - 10.0;
        let galley = paint::fitted(ui.painter(), why, regular(text::CAPTION), t.ink3, room);
        let baseline = paint::baseline_for_middle(line.center().y, text::CAPTION);
        paint::place(ui.painter(), pos2(field.right() + 10.0, baseline), Align::Min, galley, t.ink3);
        match typed::numbers(draft) {
            Ok(numbers) => *amount = numbers.first().copied().unwrap_or(0.0),
            Err(_) if draft.trim().is_empty() => {}
            Err(why) => fault = Some(format!("{name}: {why}")),
        }
    }
    if let Some(fault) = fault {
        say(ui, &fault, semibold(text::CAPTION), t.warn);
        return;
    }
    if sheets.fills.lines.is_empty() {
        return;
    }
    let tool = instrument(shown, "burette");
    let [plate_hole, grease, meniscus] = read;
    let burette = Burette {
        step: tool.as_ref().map_or(0.0, |tool| tool.step.base()),
        repeatability: tool.as_ref().and_then(|tool| tool.repeatability.as_ref()).map(Quantity::base),
        plate_hole,
        grease,
        meniscus,
    };
    let lines = &sheets.fills.lines;
    let pairs = |line: &Vec<f64>| Fill {
        draughts: line.chunks_exact(2).filter_map(|p| Some((*p.first()?, *p.get(1)?))).collect(),
    };
    let found = match fill(&lines.iter().map(pairs).collect::<Vec<_>>(), &burette) {
        Ok(found) => found,
        Err(error) => {
            say(ui, &format!("{}.", capital(&error.to_string())), semibold(text::CAPTION), t.warn);
            return;
        }
    };
    divide(ui, 10.0, t);
    let value = found.volume.value;
    let doubt = found.volume.uncertainty().expanded();
    let result = words::with_doubt(Kind::Volume, value, Some(doubt).filter(|d| *d > 0.0), shown.units());
    say(ui, &result, semibold(text::PANEL), t.ink);
    let each: Vec<String> =
        found.fills.iter().map(|v| write(Kind::Volume, *v, None, shown.units()).to_string()).collect();
    caption(ui, &format!("Each fill, corrected: {}.", each.join(" · ")), t);
    if Button::primary(Id::unique("enter fills"), "Enter them as readings of the chamber")
        .add(ui, t)
        .clicked()
    {
        let of = Subject::Dimension(Key::ChamberVolume);
        let (mut how, _) = shown.project().next_reading(label, &of, &clock::today());
        how.instrument = tool.as_ref().map(|tool| tool.id.clone());
        let mut reading = how.reading(label, &of, None);
        let as_value = |v: &f64| {
            Quantity::parse(
                Kind::Volume,
                &format!("{} {}", words::plain(*v, 2), Unit::CubicCentimetre.ascii()),
            )
        };
        reading.values = found.fills.iter().filter_map(|v| as_value(v).ok()).map(Value::from).collect();
        let glass: Vec<String> = lines.iter().map(|line| told(line)).collect();
        reading.note = format!(
            "burette {}; plate hole {plate_hole} cc, grease {grease} cc, meniscus ±{meniscus} cc",
            glass.join("; ")
        );
        out.push(Command::Edit(
            Edit::AddReading { reading: Box::new(reading), instrument: tool.map(Box::new) },
            None,
        ));
        sheets.fills = List::default();
    }
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
