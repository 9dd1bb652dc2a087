//! One ring in the bore in hand: what is wanted, what was read at each stage,
//! and what to do next.

use super::{RingsView, say};
use crate::app::command::Command;
use crate::app::entry::quantity;
use crate::app::theme::{regular, semibold, text};
use crate::app::views::Shown;
use crate::app::widgets::button::{Button, Kind as Look};
use crate::app::widgets::text_field::TextField;
use crate::project::Edit;
use crate::quantity::{Kind, Quantity, write};
use crate::study::given::WantedGap;
use crate::study::rings::{Stage, Verdict};
use egui::{Id, Label, RichText, Ui};

/// A factor per bore above this is a length that lost its unit.
const MOST_FACTOR: f64 = 0.02;

const STAGES: [(Stage, &str); 3] =
    [(Stage::Delivered, "as delivered"), (Stage::Filed, "filed"), (Stage::Final, "final")];

/// The identity of a field; Enter leads to the next one.
fn field(ring: usize, stage: usize) -> Id {
    Id::unique(("ring gap", ring, stage))
}

/// Shows one ring.
pub fn line_ui(ui: &mut Ui, shown: &Shown<'_>, view: &mut RingsView, index: usize, out: &mut Vec<Command>) {
    let t = shown.t;
    let study = shown.session.rings();
    let (Some(ring), Some(asked)) = (shown.project().rings.get(index), study.asked.rings.get(index)) else {
        return;
    };
    let label = shown.cylinder_label();
    let title = ring.title();
    let gap = study.gap(index, label);
    ui.horizontal(|ui| {
        let look = if view.ring == index { Look::Chosen } else { Look::Plain };
        let tooltip = "Show this ring in its groove";
        let button = Button { kind: look, tooltip, ..Button::plain(Id::unique(("ring", index)), &title) };
        if button.add(ui, t).clicked() {
            view.ring = index;
        }
        say(ui, "wanted", t);
        let rule = asked.wanted.rule(shown.units());
        let name = format!("{title}, gap wanted");
        let wanted = TextField::line(Id::unique(("wanted gap", index)), &name, &rule).width(176.0);
        if let Some(typed) = wanted.show(ui, t).committed {
            match wanted_gap(shown, &typed) {
                Ok((gap, source)) => take(view, shown.project().wanted_gap_edit(index, gap, source), out),
                Err(why) => view.fault = Some(why),
            }
        }
        let here = gap.map(|gap| write(Kind::Length, gap.wanted_mm, None, shown.units()).to_string());
        let here = here.map_or_else(|| ring.source.clone(), |here| format!("= {here} ({})", ring.source));
        let words = RichText::new(&here).font(regular(text::CAPTION)).color(t.ink2);
        ui.add(Label::new(words).truncate()).on_hover_text(here);
    });
    ui.horizontal(|ui| {
        for (place, (stage, words)) in STAGES.into_iter().enumerate() {
            let fitted = ring.fitted.iter().find(|fitted| fitted.cylinder == label);
            let value = fitted.and_then(|fitted| match stage {
                Stage::Delivered => fitted.delivered.as_ref(),
                Stage::Filed => fitted.filed.as_ref(),
                Stage::Final => fitted.fitted.as_ref(),
            });
            say(ui, words, t);
            let name = format!("{title}, {words}");
            let value = value.map_or("", Quantity::text);
            let output = TextField::line(field(index, place), &name, value).width(82.0).show(ui, t);
            if let Some(typed) = output.committed {
                match read_gap(shown, &typed) {
                    Ok(gap) => {
                        take(view, shown.project().gap_edit(index, label, stage, gap), out);
                        // The same stage of the next ring: type, Enter, next.
                        let next = (index + 1) % shown.project().rings.len().max(1);
                        ui.memory_mut(|memory| memory.request_focus(field(next, place)));
                    }
                    Err(why) => view.fault = Some(why),
                }
            }
        }
        say(ui, "bore there", t);
        let fitted = ring.fitted.iter().find(|fitted| fitted.cylinder == label);
        let value = fitted.and_then(|fitted| fitted.read_where.as_ref()).map_or("", Quantity::text);
        let name = format!("{title}, width of the bore where it was read");
        let place = TextField::line(Id::unique(("read where", index)), &name, value).hint("as counts");
        if let Some(typed) = place.width(74.0).show(ui, t).committed {
            match read_gap(shown, &typed) {
                Ok(bore) => take(view, shown.project().read_where_edit(index, label, bore), out),
                Err(why) => view.fault = Some(why),
            }
        }
    });
    if let Some(gap) = gap {
        let (font, color) = match gap.verdict {
            Verdict::File { .. } => (semibold(text::BODY), t.ink),
            Verdict::TooTight { .. } | Verdict::TooWide { .. } => (semibold(text::DIMENSION), t.warn),
            Verdict::Unmeasured | Verdict::Leave { .. } => (regular(text::DIMENSION), t.ink2),
        };
        ui.label(RichText::new(gap.sentence(shown.units())).font(font).color(color));
    }
    ui.add_space(4.0);
}

fn take(view: &mut RingsView, edit: Option<Edit>, out: &mut Vec<Command>) {
    view.fault = None;
    out.extend(edit.map(|edit| Command::Edit(edit, None)));
}

/// A gap as it was typed; nothing takes it back.
fn read_gap(shown: &Shown<'_>, typed: &str) -> Result<Option<Quantity>, String> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    let unit = shown.units().unit(Kind::Length).symbol();
    let value = quantity(Kind::Length, typed, unit).map_err(|why| format!("Not taken: {why}"))?;
    if value.base() >= 0.0 {
        Ok(Some(value))
    } else {
        Err(format!("A gap of {value} can't be: type 0 or more"))
    }
}

/// The gap wanted as it was typed, with who says so: a bare small number is a
/// part of the bore, a length the maker's figure.
fn wanted_gap(shown: &Shown<'_>, typed: &str) -> Result<(WantedGap, &'static str), String> {
    let words = typed.trim().trim_start_matches("bore").trim_start_matches([' ', '×', 'x', '*']);
    if let Ok(factor) = words.replace(',', ".").parse::<f64>()
        && factor > 0.0
        && factor <= MOST_FACTOR
    {
        return Ok((WantedGap::PerBore(factor), "the builder"));
    }
    let least = words.strip_prefix("at least");
    let unit = shown.units().unit(Kind::Length).symbol();
    let words = least.unwrap_or(words).trim_end_matches(", the maker's figure").trim();
    match quantity(Kind::Length, words, unit) {
        Ok(gap) if gap.base() > 0.0 && least.is_some() => Ok((WantedGap::AtLeast(gap), "the builder")),
        Ok(gap) if gap.base() > 0.0 => Ok((WantedGap::Figure(gap), "the maker's figure")),
        _ => Err(format!(
            "‘{typed}’ is no gap: type a part of the bore such as 0.0045, a figure such as 0.40 mm, or at least 0.38 mm"
        )),
    }
}
