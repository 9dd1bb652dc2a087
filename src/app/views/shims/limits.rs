//! What a choice must hold and what makes one better: limits, the thread of
//! the clamp, barrels in one casting, the aim.

use super::ShimsView;
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, row, say, text_line};
use crate::app::views::readings::typed::{check_amount, quantity};
use crate::app::widgets::button::{Button, Kind as ButtonKind};
use crate::app::widgets::field::{self, Check, Note, QuantityField};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::paint;
use crate::project::{Assembly, ClampThread, Edit};
use crate::quantity::{Kind, Quantity, Unit};
use crate::schema::Choosing;
use crate::schema::limit::{LimitId, LimitText, Measure};
use crate::schema::{Aim, Margin};
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// Where the fields begin, and what stands right of them.
const FIELD_X: f32 = 250.0;
const SOURCE_X: f32 = 350.0;
/// Who says so, where a limit was typed here.
const BUILDER: &str = "the builder";

/// The limits of this choice, in the order in which they are asked; the ratio
/// that is wanted stands before how far from it one may be.
fn limits() -> impl Iterator<Item = LimitId> {
    LimitId::bound().filter(|id| id.row().key.is_some()).flat_map(|id| {
        let wanted = (id == LimitId::RatioTolerance).then_some(LimitId::TargetRatio);
        wanted.into_iter().chain([id])
    })
}

/// By what is chosen, in a few words.
pub(super) fn status(shown: &ViewContext<'_>) -> String {
    let Choosing { aim, margin } = shown.project().choosing;
    format!("{}, {}", aim.name().to_lowercase(), margin.name().to_lowercase())
}

/// Shows all of it.
pub(super) fn limits_ui(ui: &mut Ui, shown: &ViewContext<'_>, _: &mut ShimsView, out: &mut Vec<Command>) {
    row(ui, 4.0);
    choosing_ui(ui, shown, out);
    for id in limits() {
        limit_ui(ui, shown, id, out);
    }
    for head in &shown.project().engine.heads {
        if let Some(tolerance) = &head.tolerance {
            let words =
                format!("Head {} has a level tolerance of its own, which rules: {tolerance}.", head.label);
            caption(ui, &words, shown.t);
        }
    }
    caption(
        ui,
        "An emptied field takes a limit away. They warn and never forbid: they are yours to edit.",
        shown.t,
    );
    if shown.project().engine.construction.has_barrels() {
        clamp_ui(ui, shown, out);
        castings_ui(ui, shown, out);
    }
}

/// One limit. What is typed here is the builder's from then on.
fn limit_ui(ui: &mut Ui, shown: &ViewContext<'_>, id: LimitId, out: &mut Vec<Command>) {
    let limits = &shown.project().limits;
    let given = limits.text(id);
    // A length shows its number, its unit stands behind it.
    let length = match id.measure() {
        Measure::Of(kind) => given.as_ref().and_then(|given| Quantity::parse(kind, &given.value).ok()),
        _ => None,
    };
    let unit = match id.measure() {
        Measure::Of(kind) => Some(length.as_ref().map_or_else(|| shown.units().unit(kind), Quantity::unit)),
        _ => None,
    };
    let meant = |typed: &str| match unit {
        Some(unit) if Quantity::parse_with_unit(typed).is_err() => format!("{typed} {}", unit.ascii()),
        _ => typed.to_owned(),
    };
    let text = |typed: &str| LimitText { value: meant(typed), source: BUILDER.into() };
    let check = |typed: &str| match limits.clone().give(id, Some(&text(typed))) {
        Ok(()) => Check::Fine,
        Err(error) => Check::Refused(format!("Not taken: {error}; {}", error.hint())),
    };
    let value = given.as_ref().map_or("", |given| given.value.as_str());
    let line = LimitLine {
        name: id.row().name,
        value: length.as_ref().map_or_else(|| value.to_owned(), number_of),
        unit: unit.map_or("", Unit::symbol),
        known: if given.is_some() { ProvenanceMark::Measured } else { ProvenanceMark::Assumed },
        source: given.as_ref().map_or_else(|| "off".to_owned(), |given| given.source.clone()),
        check: &check,
    };
    if let Some(typed) = line.show(ui, shown) {
        let to = (!typed.trim().is_empty()).then(|| text(&typed));
        out.push(Command::Edit(Edit::SetLimit { id, to }, None));
    }
}

/// What makes a choice better, and where limits are held.
fn choosing_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let now = shown.project().choosing;
    let mut next = now;
    let group = |ui: &mut Ui, heading: &str, names: Vec<(&'static str, bool)>| -> Option<usize> {
        say(ui, heading, regular(text::CAPTION), shown.t.ink2);
        let line = row(ui, 32.0);
        let mut left = line.left();
        let mut pressed = None;
        for (place, (name, chosen)) in names.into_iter().enumerate() {
            let kind = if chosen { ButtonKind::Chosen } else { ButtonKind::Plain };
            let button = Button { kind, ..Button::plain(Id::unique(("shims by", name)), name) };
            let rect = Rect::from_min_size(pos2(left, line.top()), button.size(ui.painter(), shown.t));
            left = rect.right() + 6.0;
            if button.show(ui, rect, shown.t).clicked() {
                pressed = Some(place);
            }
        }
        pressed
    };
    let names = Aim::ALL.iter().map(|aim| (aim.name(), *aim == now.aim)).collect();
    if let Some(aim) = group(ui, "After every limit is held, best is", names).and_then(|i| Aim::ALL.get(i)) {
        next.aim = *aim;
    }
    let names = Margin::ALL.iter().map(|margin| (margin.name(), *margin == now.margin)).collect();
    if let Some(margin) = group(ui, "Limits are held", names).and_then(|i| Margin::ALL.get(i)) {
        next.margin = *margin;
    }
    if next != now {
        out.push(Command::Edit(Edit::SetChoosing(next), None));
    }
}

/// One limit with its field.
struct LimitLine<'a> {
    name: &'static str,
    value: String,
    unit: &'static str,
    known: ProvenanceMark,
    source: String,
    check: &'a dyn Fn(&str) -> Check,
}

impl LimitLine<'_> {
    /// Shows it; what was typed, once. An empty text takes the limit away.
    fn show(&self, ui: &mut Ui, shown: &ViewContext<'_>) -> Option<String> {
        let t = shown.t;
        let line = row(ui, 28.0);
        let at = pos2(line.left() + 2.0, line.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, self.name, regular(text::DIMENSION), t.ink);
        let at = pos2(line.left() + SOURCE_X, line.center().y);
        let room = line.width() - SOURCE_X;
        let source = paint::fitted(ui.painter(), &self.source, regular(text::CAPTION), t.ink3, room);
        let baseline = paint::baseline_for_middle(at.y, text::CAPTION);
        paint::place(ui.painter(), pos2(at.x, baseline), Align::Min, source, t.ink3);
        let check = |typed: &str| if typed.trim().is_empty() { Check::Fine } else { (self.check)(typed) };
        let name = format!("{}, limit for shims", self.name);
        let entry = QuantityField {
            id: Id::unique(("shim limit", self.name)),
            name: &name,
            value: &self.value,
            unit: self.unit,
            known: self.known,
            moved: false,
            struck: false,
            check: &check,
            meaning: &|_| None,
        };
        let rect =
            Rect::from_min_size(pos2(line.left() + FIELD_X, line.top() + 3.0), vec2(90.0, field::SIZE.y));
        let done = entry.show(ui, rect, t);
        let notes: Vec<Note> = done.note.into_iter().collect();
        notes_ui(ui, &notes, shown);
        done.committed
    }
}

/// The number of a quantity as it was typed, without its unit.
fn number_of(value: &Quantity) -> String {
    let text = value.text();
    let end = text.rfind(|c: char| c.is_ascii_digit()).map_or(0, |i| i + 1);
    text.get(..end).unwrap_or(text).to_owned()
}

/// What a field has to say, below its line.
pub(super) fn notes_ui(ui: &mut Ui, notes: &[Note], shown: &ViewContext<'_>) {
    let t = shown.t;
    for note in notes {
        match note {
            Note::Meaning(words) => {
                caption(ui, words, t);
            }
            Note::Refused(why) => {
                say(ui, why, semibold(text::CAPTION), t.warn);
            }
            Note::Question(ask, choices) => {
                say(ui, ask, semibold(text::CAPTION), t.warn);
                caption(ui, choices, t);
            }
        }
    }
}

/// An edit of the engine that is no dimension.
fn engine_edit(shown: &ViewContext<'_>, what: String, change: impl FnOnce(&mut Assembly)) -> Command {
    let mut engine = shown.project().engine.clone();
    change(&mut engine);
    Command::Edit(Edit::SetEngine { what, engine: Box::new(engine) }, None)
}

/// The thread that holds the barrels down: a thicker shim takes from it.
fn clamp_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    row(ui, 4.0);
    say(ui, "Thread that clamps the barrels", semibold(text::DIMENSION), t.ink);
    let clamp = shown.project().engine.clamp.as_ref();
    let unit = shown.units().unit(Kind::Length);
    let check = |typed: &str| check_amount(Kind::Length, typed, unit);
    let mut line = |name: &'static str, value: Option<&Quantity>, source: &str| {
        let in_unit: Unit = value.map_or(unit, Quantity::unit);
        let line = LimitLine {
            name,
            value: value.map(number_of).unwrap_or_default(),
            unit: in_unit.symbol(),
            known: if value.is_some() { ProvenanceMark::Measured } else { ProvenanceMark::Assumed },
            source: source.to_owned(),
            check: &check,
        };
        let typed = line.show(ui, shown)?;
        Some(quantity(Kind::Length, &typed, in_unit).ok())
    };
    let engaged =
        line("Engagement", clamp.map(|clamp| &clamp.engagement), "as measured; empty: not looked at");
    if let Some(engagement) = engaged {
        let what =
            engagement.as_ref().map_or_else(|| "No clamp thread".into(), |e| format!("Clamp thread: {e}"));
        let next = engagement.and_then(|engagement| match clamp {
            Some(clamp) => Some(ClampThread { engagement, ..clamp.clone() }),
            // Nothing is wanted until somebody says how much.
            None => Some(ClampThread {
                engagement,
                with_shim: None,
                least: Quantity::parse(Kind::Length, "0 mm").ok()?,
            }),
        });
        out.push(engine_edit(shown, what, |engine| engine.clamp = next));
    }
    let Some(clamp) = clamp else { return };
    if let Some(with_shim) =
        line("With this shim", clamp.with_shim.as_ref(), "under the barrel when it was measured")
    {
        let next = Some(ClampThread { with_shim, ..clamp.clone() });
        out.push(engine_edit(shown, "Shim at the clamp thread".into(), |engine| engine.clamp = next));
    }
    let least =
        line("Least engagement", Some(&clamp.least), "the maker's; else 1 Ø in steel, 1.5 to 2 in alloy");
    if let Some(Some(least)) = least {
        let what = format!("Least clamp thread: {least}");
        let next = Some(ClampThread { least, ..clamp.clone() });
        out.push(engine_edit(shown, what, |engine| engine.clamp = next));
    }
}

/// Which barrels are one casting and so move together.
fn castings_ui(ui: &mut Ui, shown: &ViewContext<'_>, out: &mut Vec<Command>) {
    let t = shown.t;
    let cylinders = &shown.project().engine.cylinders;
    if cylinders.len() < 2 {
        return;
    }
    row(ui, 4.0);
    say(ui, "Barrels in one casting", semibold(text::DIMENSION), t.ink);
    caption(ui, "Barrels with the same name here stand on the same shims. Empty: a barrel of its own.", t);
    let each = 88.0;
    let fit = (ui.available_width() / each).floor().max(1.0);
    let mut line = row(ui, 28.0);
    let mut column = 0.0;
    for (place, cylinder) in cylinders.iter().enumerate() {
        if column >= fit {
            line = row(ui, 28.0);
            column = 0.0;
        }
        let left = line.left() + column * each;
        column += 1.0;
        let at = pos2(left + 2.0, line.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, &cylinder.label, regular(text::DIMENSION), t.ink);
        let rect = Rect::from_min_size(pos2(left + 24.0, line.top() + 3.0), vec2(54.0, field::SIZE.y));
        let name = format!("Casting of barrel {}", cylinder.label);
        let casting = cylinder.casting.as_deref().unwrap_or("");
        if let Some(typed) = text_line(ui, rect, (Id::unique(("casting", place)), &name, "own"), casting, t) {
            let what = format!("Casting of barrel {}", cylinder.label);
            let casting = Some(typed.trim().to_owned()).filter(|name| !name.is_empty());
            out.push(engine_edit(shown, what, |engine| {
                if let Some(cylinder) = engine.cylinders.get_mut(place) {
                    cylinder.casting = casting;
                }
            }));
        }
    }
}
