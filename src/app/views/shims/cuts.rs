//! How much to cut instead: off barrel tops, the case, a head or the deck of
//! a block, and what comes of it, as a trial in the engine.

use super::ShimsView;
use crate::advise::cuts::{Cut, Goal, Where, both_units, broken, cuts, plan};
use crate::app::command::Command;
use crate::app::theme::{regular, semibold, text};
use crate::app::views::ViewContext;
use crate::app::views::readings::parts::{caption, row, say};
use crate::app::views::readings::typed::{check_amount, quantity};
use crate::app::widgets::button::{Button, Kind as ButtonKind};
use crate::app::widgets::field::{Check, Note, QuantityField};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::paint;
use crate::engine::words::gap;
use crate::project::Construction;
use crate::quantity::{Kind, write};
use crate::schema::limit::LimitId;
use crate::study::words::plain;
use egui::{Align, Id, Rect, Ui, pos2, vec2};

/// To what the cut leads, without its amount.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Aim {
    #[default]
    Ratio,
    Squish,
    Deck,
    Level,
}

impl Aim {
    fn name(self) -> &'static str {
        match self {
            Self::Ratio => "A ratio",
            Self::Squish => "A squish",
            Self::Deck => "A deck",
            Self::Level => "Level tops",
        }
    }
}

/// What the section remembers.
#[derive(Default)]
pub(super) struct CutsView {
    of: Option<Where>,
    aim: Aim,
    /// What was typed for this head and aim, if anything.
    amount: Option<(usize, Aim, f64)>,
}

/// Where this engine can be cut, and to what end there.
fn places(shown: &ViewContext<'_>) -> &'static [Where] {
    match shown.project().engine.construction {
        Construction::Block | Construction::WetLiners => &[Where::BlockDeck, Where::HeadFace],
        Construction::SeparateBarrels | Construction::TwoStroke => {
            &[Where::BarrelTop, Where::CaseFace, Where::HeadFace]
        }
    }
}

fn aims(of: Where, several: bool) -> &'static [Aim] {
    match of {
        Where::HeadFace => &[Aim::Ratio, Aim::Squish],
        Where::BarrelTop if several => &[Aim::Ratio, Aim::Squish, Aim::Deck, Aim::Level],
        _ => &[Aim::Ratio, Aim::Squish, Aim::Deck],
    }
}

/// One of several, as buttons side by side.
fn one_of<T: Copy + PartialEq>(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    (heading, all): (&str, &[(T, &str)]),
    now: T,
) -> Option<T> {
    let line = row(ui, 32.0);
    let at = pos2(line.left(), line.center().y);
    let words = paint::text_mid(ui.painter(), at, Align::Min, heading, regular(text::CAPTION), shown.t.ink2);
    let mut left = words.right().max(line.left() + 40.0) + 8.0;
    let mut picked = None;
    for (value, name) in all {
        let kind = if *value == now { ButtonKind::Chosen } else { ButtonKind::Plain };
        let button = Button { kind, ..Button::plain(Id::unique(("cut", heading, *name)), name) };
        let rect = Rect::from_min_size(pos2(left, line.top() + 2.0), button.size(ui.painter(), shown.t));
        left = rect.right() + 6.0;
        if button.show(ui, rect, shown.t).clicked() {
            picked = Some(*value);
        }
    }
    picked
}

/// Shows all of it.
pub(super) fn cuts_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, out: &mut Vec<Command>) {
    let t = shown.t;
    ui.spacing_mut().item_spacing.y = 1.0;
    let question = shown.question();
    let Some(head) = question.cylinders.get(shown.cylinder).map(|c| c.head) else { return };
    // A block is cut at once, under all its heads.
    let block = shown.project().engine.construction.is_block();
    let all = question.cylinders.iter().enumerate();
    let under: Vec<usize> = all.clone().filter(|(_, c)| c.head == head).map(|(i, _)| i).collect();
    let places: Vec<(Where, &str)> = places(shown).iter().map(|of| (*of, of.name())).collect();
    let of = view.cuts.of.filter(|of| places.iter().any(|(place, _)| place == of));
    // Tops that stand level are not cut apart: the case comes first there.
    let level = question.heads.get(head).is_some_and(|head| head.level) && under.len() > 1;
    let proposed = if level && !block { Some(Where::CaseFace) } else { places.first().map(|(of, _)| *of) };
    let of = of.or(proposed).unwrap_or(Where::HeadFace);
    if let Some(of) = one_of(ui, shown, ("Cut", &places), of) {
        view.cuts.of = Some(of);
    }
    let aims: Vec<(Aim, &str)> = aims(of, under.len() > 1).iter().map(|aim| (*aim, aim.name())).collect();
    let aim = if aims.iter().any(|(aim, _)| *aim == view.cuts.aim) { view.cuts.aim } else { Aim::Ratio };
    if let Some(aim) = one_of(ui, shown, ("For", &aims), aim) {
        view.cuts.aim = aim;
    }
    let Some(goal) = goal_ui(ui, shown, view, (head, aim)) else { return };
    let members: Vec<usize> =
        if block && of == Where::BlockDeck { all.map(|(i, _)| i).collect() } else { under };
    match cuts(question, &members, of, goal, &shown.project().engine.chamber) {
        Err(why) => {
            say(ui, &format!("{why}."), semibold(text::CAPTION), t.warn);
        }
        Ok(found) if found.iter().all(|cut| cut.remove_mm < 5e-4) => {
            caption(ui, "Nothing has to be cut for that.", t);
        }
        Ok(found) => {
            for cut in &found {
                cut_ui(ui, shown, cut);
            }
            for why in broken(question, &found, &shown.project().engine.chamber, shown.units()) {
                say(ui, &why, semibold(text::CAPTION), t.warn);
            }
            caption(
                ui,
                "The machinist has the last word on what a part can lose: the least thickness that must remain is the \
                 maker's figure. Level comes first: barrels under one head are cut alike, or only to bring them level. \
                 After a cut check valve to piston, pushrods and timing, and fill the chambers again.",
                t,
            );
            let words = "Put it into the engine as a trial";
            if Button::plain(Id::unique("try cuts"), words).add(ui, t).clicked() {
                match shown.project().try_cuts(format!("Try a cut: {}", of.name()), &found) {
                    Ok(edit) => out.push(Command::Edit(edit, None)),
                    Err(why) => view.fault = Some(why.to_string()),
                }
            }
            super::gap(ui);
        }
    }
}

/// What the cut is to reach, with a field for its amount; none while it has
/// none.
fn goal_ui(ui: &mut Ui, shown: &ViewContext<'_>, view: &mut ShimsView, of: (usize, Aim)) -> Option<Goal> {
    let (head, aim) = of;
    let limits = &shown.question().limits;
    let figures =
        shown.answers().cylinders.get(shown.cylinder).and_then(|a| a.solved()).map(|s| *s.engine.figures());
    let unit = shown.units().unit(Kind::Length);
    let proposed = match aim {
        Aim::Level => return Some(Goal::Level),
        Aim::Ratio => shown.question().target.map(|t| t.get()).or(figures.map(|f| f.static_ratio)),
        Aim::Squish => limits.value(LimitId::SquishMax).or(figures.map(|f| f.squish_clearance)),
        Aim::Deck => figures.map(|f| f.deck_clearance),
    };
    let typed = view.cuts.amount.filter(|(of, kind, _)| (*of, *kind) == (head, aim)).map(|(.., value)| value);
    let value = typed.or(proposed);
    let is_ratio = aim == Aim::Ratio;
    let shows = value.map_or_else(String::new, |value| {
        if is_ratio { plain(value, 2) } else { write(Kind::Length, value, None, shown.units()).number }
    });
    let check = |text: &str| {
        if !is_ratio {
            return check_amount(Kind::Length, text, unit);
        }
        match number(text) {
            Some(_) => Check::Fine,
            None => Check::Refused("A ratio is a number above 1.".into()),
        }
    };
    let line = row(ui, 30.0);
    let says = match aim {
        Aim::Ratio => "Static ratio then",
        Aim::Squish => "Squish then",
        Aim::Deck | Aim::Level => "Rim below the top then",
    };
    let at = pos2(line.left(), line.center().y);
    paint::text_mid(ui.painter(), at, Align::Min, says, regular(text::DIMENSION), shown.t.ink);
    let field = QuantityField {
        id: Id::unique(("cut to", says)),
        name: &format!("{says}, wanted of the cut"),
        value: &shows,
        unit: if is_ratio { "" } else { unit.symbol() },
        known: ProvenanceMark::Measured,
        moved: false,
        struck: false,
        check: &check,
        meaning: &|_| None,
    };
    let rect = Rect::from_min_size(pos2(line.left() + 190.0, line.top() + 4.0), vec2(90.0, 22.0));
    let done = field.show(ui, rect, shown.t);
    let notes: Vec<Note> = done.note.into_iter().collect();
    super::limits::notes_ui(ui, &notes, shown);
    if let Some(text) = done.committed {
        let value =
            if is_ratio { number(&text) } else { quantity(Kind::Length, &text, unit).ok().map(|q| q.base()) };
        view.cuts.amount = value.map(|value| (head, aim, value));
    }
    value.map(|value| match aim {
        Aim::Ratio => Goal::Ratio(value),
        Aim::Squish => Goal::Squish(value),
        Aim::Deck | Aim::Level => Goal::Deck(value),
    })
}

fn number(text: &str) -> Option<f64> {
    text.trim().replace(',', ".").parse().ok().filter(|ratio: &f64| ratio.is_finite() && *ratio > 1.0)
}

/// One cut: what to take off, what to leave, and what comes of it.
fn cut_ui(ui: &mut Ui, shown: &ViewContext<'_>, cut: &Cut) {
    let t = shown.t;
    let question = shown.question();
    let labels: Vec<&str> =
        cut.cylinders.iter().filter_map(|i| question.cylinders.get(*i)).map(|c| c.label.as_str()).collect();
    let what = format!("{}, {}: take off {}", cut.of.name(), labels.join(", "), both_units(cut.remove_mm));
    say(ui, &super::capital(&what), semibold(text::BODY), t.ink);
    caption(ui, &plan(question, cut, shown.units()), t);
    for (label, then) in labels.iter().zip(&cut.then) {
        let words = format!(
            "{label} then: deck {}, squish {}, ratio {}",
            gap(then.deck_clearance, None, shown.units()),
            write(Kind::Length, then.squish_clearance, None, shown.units()),
            plain(then.static_ratio, 2)
        );
        caption(ui, &words, t);
    }
}
