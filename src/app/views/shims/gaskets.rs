//! Which head gasket: every one that is listed, tried under the head in hand,
//! by limits and ratio, and where they are graded by the piston that stands
//! highest.

use super::{ShimsView, gap, title};
use crate::advise::gaskets::{HeadChoice, Offered, Tried, choose};
use crate::app::command::Command;
use crate::app::entry;
use crate::app::theme::{regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, row, say};
use crate::app::widgets::button::Button;
use crate::app::widgets::text_field::TextField;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::app::widgets::{paint, panel};
use crate::project::Edit;
use crate::quantity::{Kind, Quantity, write};
use crate::report::gaskets::by_class;
use crate::schema::{HeadGasket, StandClass};
use crate::study::words::plain;
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// What the section remembers.
#[derive(Default)]
pub(super) struct GasketsView {
    open: bool,
    fault: Option<String>,
}

/// Width of the button of a gasket.
const BUTTON: f32 = 96.0;

/// How many are listed.
pub(super) fn status(shown: &ViewContext<'_>) -> String {
    match shown.project().gaskets.len() {
        0 => "no head gasket listed".into(),
        1 => "1 head gasket".into(),
        all => format!("{all} head gaskets"),
    }
}

/// Shows all of it.
pub(super) fn gaskets_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, out: &mut Vec<Command>) {
    let t = shown.t;
    ui.spacing_mut().item_spacing.y = 1.0;
    let question = shown.question();
    let offered: Vec<Offered> = shown.project().gaskets.iter().map(Offered::from).collect();
    let head = question.cylinders.get(shown.cylinder).map(|c| c.head);
    if let Some(choice) = choose(question, &offered).iter().find(|choice| Some(choice.head) == head) {
        for words in &choice.missing {
            caption(ui, &format!("{words}."), t);
        }
        for tried in &choice.tried {
            tried_ui(ui, shown, choice, tried, out);
        }
    }
    match by_class(question, &offered, shown.units()) {
        Ok(Some(words)) => {
            say(ui, &format!("{words}."), semibold(text::CAPTION), t.ink);
        }
        Ok(None) if !offered.is_empty() => {
            caption(
                ui,
                "None of them has a class: where the maker grades gaskets, give the piston stand that each is for.",
                t,
            );
        }
        Ok(None) => {}
        Err(words) => {
            caption(ui, &format!("{words}."), t);
        }
    }
    caption(
        ui,
        "The crushed thickness counts, and the hole of the gasket itself. A thicker gasket lowers the ratio and widens the \
         squish: on a head with a flat band that can bring knock instead of curing it. Piston stand is read at two points \
         over the pin and averaged; the highest decides. Check valve to piston again after any other gasket.",
        t,
    );
    let words = if view.gaskets.open { "Close the list of gaskets" } else { "Change the list of gaskets…" };
    if Button::plain(Id::unique("change gaskets"), words).add(ui, t).clicked() {
        view.gaskets.open = !view.gaskets.open;
        view.gaskets.fault = None;
    }
    if view.gaskets.open {
        list_ui(ui, shown, &mut view.gaskets, out);
    }
    gap(ui);
}

/// One gasket tried: what it gives, why it stands where it does, and the
/// button that fits it.
fn tried_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    choice: &HeadChoice,
    tried: &Tried,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let Some(gasket) = shown.project().gaskets.get(tried.offer) else { return };
    let units = shown.units();
    let number = |mm: f64| write(Kind::Length, mm, None, units).number;
    let unit = units.unit(Kind::Length).symbol();
    let span = |low: String, high: String| if low == high { low } else { format!("{low}–{high}") };
    let squish = tried
        .squish
        .map_or_else(|| "–".to_owned(), |(low, high)| span(number(low), number(high)) + " " + unit);
    let ratio = tried.ratio.map_or_else(|| "–".to_owned(), |(low, high)| span(plain(low, 2), plain(high, 2)));
    let why = tried.why(shown.question(), units);
    let best = choice.best().is_some_and(|best| best.offer == tried.offer);
    let shape = match (tried.holds(), tried.too_near.is_empty(), tried.unmeasured) {
        (false, ..) => Shape::Over,
        (true, false, _) => Shape::Close,
        (true, true, true) => Shape::Unknown,
        (true, true, false) => Shape::Inside,
    };
    let rect = row(ui, 48.0);
    let (first, second) = (rect.top() + 15.0, rect.top() + 35.0);
    let words = if tried.fitted { "Fitted now" } else { "Fit it" };
    let id = Id::unique(("fit gasket", choice.head, tried.offer));
    let button = Button { enabled: !tried.fitted, ..Button::plain(id, words) };
    let size = vec2(BUTTON, button.size(ui.painter(), t).y);
    let at = Rect::from_min_size(pos2(rect.right() - size.x, rect.top() + 9.0), size);
    let name = format!("{words}: {}", gasket.name);
    if button.show(ui, at, t).accessible_name(name.as_str()).clicked() {
        out.push(Command::Edit(shown.project().fit_gasket(&choice.cylinders, gasket), None));
    }
    let painter = ui.painter();
    let room = at.left() - rect.left() - 8.0;
    shape.paint(painter, pos2(rect.left() + 12.0, first), 13.0, t);
    let font = if best { semibold(text::BODY) } else { regular(text::BODY) };
    let titled = if best { format!("{}, best", gasket.name) } else { gasket.name.clone() };
    let galley = paint::fitted(painter, &titled, font, t.ink, room * 0.4);
    let baseline = paint::baseline_for_middle(first, text::BODY);
    paint::place(painter, pos2(rect.left() + 26.0, baseline), Align::Min, galley, t.ink);
    let at_x = |share: f32| rect.left() + 26.0 + room * share;
    let says = format!("squish {squish}");
    paint::text_mid(painter, pos2(at_x(0.42), first), Align::Min, &says, regular(text::DIMENSION), t.ink);
    let says = format!("ratio {ratio}");
    paint::text_mid(painter, pos2(at_x(0.74), first), Align::Min, &says, semibold(text::DIMENSION), t.ink);
    let ink = if tried.holds() { t.ink2 } else { t.warn };
    let galley = paint::fitted(painter, &super::capital(&why), regular(text::CAPTION), ink, room - 26.0);
    let baseline = paint::baseline_for_middle(second, text::CAPTION);
    paint::place(painter, pos2(rect.left() + 26.0, baseline), Align::Min, galley, ink);
    panel::divider(painter, rect, rect.bottom() - 1.0, t);
    let spoken = format!("{titled}: squish {squish}, ratio {ratio}. {why}");
    let said = Rect::from_min_max(rect.min, pos2(at.left() - 4.0, rect.bottom()));
    let response = ui.interact(said, Id::unique(("gasket tried", choice.head, tried.offer)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    response.on_hover_text(&spoken);
}

/// A length as typed; a bare number is in the unit that is shown.
fn length(shown: &ViewContext<'_>, text: &str, above_zero: bool) -> Result<Quantity, String> {
    let unit = shown.units().unit(Kind::Length).symbol();
    let value = entry::quantity(Kind::Length, text, unit).map_err(|error| format!("Not taken: {error}"))?;
    if above_zero && value.base() <= 0.0 {
        return Err(format!("A gasket of {value} can't be fitted: give a length above 0"));
    }
    Ok(value)
}

/// "0.10 to 0.25 mm" as a class; nothing for an empty text.
fn class(shown: &ViewContext<'_>, text: &str) -> Result<Option<StandClass>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let Some((from, to)) = text.split_once(" to ").or_else(|| text.split_once('–')) else {
        return Err(format!("‘{text}’ is no class: write from and to, such as 0.10 to 0.25"));
    };
    let class = StandClass { from: length(shown, from, false)?, to: length(shown, to, false)? };
    if class.from.base() > class.to.base() {
        return Err(format!(
            "A class from {} to {} holds nothing: the lower stand comes first",
            class.from, class.to
        ));
    }
    Ok(Some(class))
}

/// The list, a line a gasket.
fn list_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut GasketsView, out: &mut Vec<Command>) {
    let t = shown.t;
    let old = &shown.project().gaskets;
    let mut next = old.clone();
    let mut fault = None;
    let mut take = |result: Result<(), String>| fault = result.err().or(fault.take());
    egui::Frame::new().fill(t.row).inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 5.0);
        title(ui, "Head gaskets that are to be had", t);
        let mut gone = None;
        for (index, gasket) in old.iter().enumerate() {
            let which = index + 1;
            let Some(new) = next.get_mut(index) else { continue };
            ui.horizontal_wrapped(|ui| {
                let id = |part: &str| Id::unique(("gasket", index, part));
                let text = |ui: &mut Ui, part: &str, name: &str, value: &str, hint: &str, width: f32| {
                    let name = format!("{name} of gasket {which}");
                    TextField::line(id(part), &name, value).hint(hint).width(width).show(ui, t).committed
                };
                if let Some(typed) = text(ui, "name", "Name", &gasket.name, "name", 120.0) {
                    new.name = typed;
                }
                let crushed = gasket.crushed.text();
                if let Some(typed) = text(ui, "crushed", "Crushed thickness", crushed, "crushed", 70.0) {
                    take(length(shown, &typed, true).map(|value| new.crushed = value));
                }
                let bore = gasket.bore.as_ref().map_or("", Quantity::text);
                if let Some(typed) = text(ui, "bore", "Hole", bore, "hole Ø", 70.0) {
                    let value =
                        if typed.is_empty() { Ok(None) } else { length(shown, &typed, true).map(Some) };
                    take(value.map(|value| new.bore = value));
                }
                let stand =
                    gasket.for_stand.as_ref().map_or_else(String::new, |c| format!("{} to {}", c.from, c.to));
                if let Some(typed) =
                    text(ui, "class", "Piston stand", &stand, "for stand 0.10 to 0.25", 150.0)
                {
                    take(class(shown, &typed).map(|value| new.for_stand = value));
                }
                let label = format!("Remove gasket {which}");
                if Button::plain(id("remove"), "Remove").add(ui, t).accessible_name(label.as_str()).clicked()
                {
                    gone = Some(index);
                }
            });
        }
        if let Some(index) = gone {
            next.remove(index);
        }
        let field = TextField::line(Id::unique("new gasket"), "Crushed thickness of another gasket", "");
        if let Some(typed) = field.hint("another, such as 1.20 mm crushed").width(230.0).show(ui, t).committed
        {
            let typed = typed.trim_end_matches("crushed").trim();
            take(length(shown, typed, true).map(|crushed| {
                let name = format!("{crushed} crushed");
                next.push(HeadGasket { name, crushed, free: None, bore: None, for_stand: None });
            }));
        }
        if let Some(fault) = &view.fault {
            say(ui, fault, semibold(text::CAPTION), t.warn);
        }
    });
    if fault.is_some() || next != *old {
        view.fault = fault;
    }
    if next != *old {
        out.push(Command::Edit(Edit::SetGaskets(next), None));
    }
}
