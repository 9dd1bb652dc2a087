//! The decision on shims: what goes under each barrel and why, what the next
//! best give up, or why nothing holds and what would.

use super::capital;
use crate::advise::shims::{
    Budget, HeadAnswer, ShimAnswer, ShimChoice, ShimFormatter, ShimQuestion, answer, judged, stack_text,
    worst,
};
use crate::drawing::pens::Pens;
use crate::quantity::{Kind, write};
use crate::scene::shim_bank::shim_bank;
use crate::sheet::binder::Context;
use crate::sheet::flow::{Drawn, Figure, Item, Sheet};
use crate::sheet::table::{Cell, Column, Table, Words};
use crate::sheet::wording::{gap, joined};
use crate::study::cautions::Decision;
use crate::study::verdict::{Judgement, Verdict};
use crate::study::words::plain;
use kurbo::{Rect, Size};
use std::rc::Rc;

/// Looks of the search: a hundred times what common engines need. Beyond that
/// the sheet says that nothing is proved.
const MAX_NODES: u64 = 100_000_000;
/// Height of the picture, mm.
const PICTURE: f64 = 44.0;
const LEAST: f64 = 33.0;
/// The same for a barrel alone, which has no level line.
const ALONE: f64 = 34.0;

pub(crate) fn sheet<'a>(c: &Context<'a>) -> Sheet<'a> {
    let ask = Rc::new(c.project.shims_as_chosen());
    let answer = answer(&ask, &mut Budget::new(MAX_NODES, &|| false));
    let telling = ShimFormatter { ask: &ask, units: &c.units };
    let mut items: Vec<Item<'a>> = telling.remarks().into_iter().map(Item::Text).collect();
    if let Some(stock) = stock(c) {
        items.push(Item::Text(stock));
    }
    for head in &answer.heads {
        items.extend(under(c, &ask, &answer, head));
    }
    items.push(Item::Text(telling.proof(&answer)));
    items.push(Item::Heading("Before you fit or turn".to_owned()));
    items.push(Item::Cautions(c.beside(&[Decision::Shim, Decision::Squish, Decision::Valve])));
    items
        .push(Item::Signatures(vec!["Chosen by".to_owned(), "Fitted, clamped and read again by".to_owned()]));
    Sheet {
        title: "Shims".to_owned(),
        heading: "Shims: the choice and why".to_owned(),
        lead: format!(
            "Every set of stacks in the drawer was looked at, for all heads at once. A choice holds every limit, {}; \
             of those the best is {}, then the most level, then that of fewest pieces, then the thinnest. The figures \
             are computed: fit, clamp as it will run, and read the deck again before anything is closed.",
            lower(ask.margin.name()),
            lower(ask.aim.name())
        ),
        kind: "Decision",
        scale: String::new(),
        items,
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// What there is to choose from.
fn stock(c: &Context<'_>) -> Option<String> {
    let shim = |shim: &crate::schema::Shim| {
        let soft = if shim.soft { " soft" } else { "" };
        format!("{} × {}{soft}", shim.count, shim.thickness)
    };
    let all: Vec<String> = c.project.shims.iter().map(shim).collect();
    (!all.is_empty()).then(|| format!("In the drawer: {}.", all.join(", ")))
}

/// What is decided for the barrels under one head.
fn under<'a>(
    c: &Context<'a>,
    ask: &Rc<ShimQuestion>,
    answer: &ShimAnswer,
    head: &HeadAnswer,
) -> Vec<Item<'a>> {
    let telling = ShimFormatter { ask, units: &c.units };
    let name = c.head_label(head.head);
    let mut items = Vec::new();
    let decided = head.choices.iter().position(|choice| choice.is_under(c.question)).unwrap_or(0);
    if let Some(choice) = head.choices.get(decided) {
        let now = if choice.is_under(c.question) { "these lie there now" } else { "not fitted yet" };
        let what = format!("Head {name}: choice {}, {now}", decided + 1);
        items.push(Item::Table(barrels(c, telling, choice, what)));
        items.push(Item::Text(verdict(c, ask, head, choice)));
        let (ask, choice, units) = (Rc::clone(ask), choice.clone(), c.units);
        let (head, name) = (head.head, name.to_owned());
        let alone = choice.fits.len() < 2;
        let (least, most) = if alone { (ALONE, ALONE) } else { (LEAST, PICTURE) };
        let draw = Box::new(move |room: Size| {
            let bank = shim_bank(&ask, head, &choice.fits, &units);
            let height = most.min(room.height);
            let width = room.width.min(150.0);
            let drawn = bank.draw(Rect::new(0.0, 0.0, width, height), &Pens::PAPER);
            Drawn {
                alt: format!("Level line and shims under head {name}: {}", bank.words()),
                list: drawn.list,
                height,
                scale: String::new(),
            }
        });
        items.push(Item::Figure(Figure { least, most, draw }));
    }
    let none = telling.why_none(answer, head);
    if !none.is_empty() {
        items.push(Item::Heading(format!("Head {name}: no choice holds every limit")));
        items.extend(none.into_iter().map(Item::Text));
    }
    if head.choices.len() + head.misses.len() > 1 || !head.misses.is_empty() {
        items.push(Item::Table(others(c, ask, head)));
    }
    items
}

/// What each barrel becomes, with room for what is read then.
fn barrels(c: &Context<'_>, telling: ShimFormatter<'_>, choice: &ShimChoice, what: String) -> Table {
    let mut table = Table::new(
        what,
        "The shims under each barrel and what comes of them",
        [
            Column::left("Barrel"),
            Column::left("Shims").growing(),
            Column::right("Deck then"),
            Column::number("Squish then", "mm"),
            Column::number("Ratio then", ""),
            Column::number("Off the wanted", ""),
            Column::pen("Deck read then", 24.0),
        ],
    );
    for fit in &choice.fits {
        let off = c.question.target.map(|target| (fit.ratio - target.get()).abs());
        table.row([
            Cell::strong(c.label(fit.cylinder)),
            Cell::strong(stack_text(&fit.stack_mm, telling.units)),
            Cell::text(joined(gap(fit.deck_mm, None, &c.units))).of(fit.deck_mm),
            Cell::text(write(Kind::Length, fit.squish_mm, None, &c.units).to_string()).of(fit.squish_mm),
            Cell::text(plain(fit.ratio, 2)).of(fit.ratio),
            off.map_or_else(|| Cell::text("–"), |off| Cell::text(plain(off, 3)).of(off)),
            Cell::text(""),
        ]);
    }
    table
}

/// Both verdicts in one paragraph.
fn verdict(c: &Context<'_>, ask: &ShimQuestion, head: &HeadAnswer, choice: &ShimChoice) -> String {
    let judged = judged(&ask.question, head.head, &choice.fits);
    let end = match worst(&judged) {
        Some(judged) => judged.sentence(&c.units),
        None => "no limit is set to judge by".to_owned(),
    };
    let level = if choice.fits.len() > 1 {
        format!(
            " The tops stand level within {}.",
            write(Kind::Length, choice.level_spread_mm, None, &c.units)
        )
    } else {
        String::new()
    };
    format!(
        "At the values as they stand every limit is held.{level} At the unfavourable end of their uncertainty: {end}."
    )
}

/// Every choice and the nearest that break a limit, in one table.
fn others(c: &Context<'_>, ask: &ShimQuestion, head: &HeadAnswer) -> Table {
    let telling = ShimFormatter { ask, units: &c.units };
    let several = head.choices.first().or(head.misses.first()).is_some_and(|choice| choice.fits.len() > 1);
    let mut columns = vec![Column::left("Choice"), Column::left("Shims by barrel")];
    if several {
        columns.push(Column::number("Level", "mm"));
    }
    columns.extend([
        Column::number("Tightest squish", "mm"),
        Column::right("Ratios"),
        Column::left("At the unfavourable end"),
        Column::left("What it gives up").growing(),
    ]);
    let mut table = Table::new(
        format!("Head {}: every choice with what it gives up", c.head_label(head.head)),
        "Every choice with what it gives up, and the nearest that break a limit",
        columns,
    );
    table.close = true;
    let best = head.choices.first();
    for (place, choice) in head.choices.iter().enumerate() {
        let judged = judged(&ask.question, head.head, &choice.fits);
        let gives = match best {
            Some(best) if place > 0 => telling.gives_up(choice, best),
            _ => "nothing: the best there is".to_owned(),
        };
        table.row(row(
            c,
            telling,
            choice,
            several,
            [&(place + 1).to_string(), &in_a_word(worst(&judged)), &gives],
        ));
    }
    for miss in &head.misses {
        let breaks: Vec<String> = miss.breaks.iter().map(|broken| telling.broken(broken)).collect();
        table.row(row(c, telling, miss, several, ["–", "broken as it stands", &capital(&breaks.join("; "))]));
    }
    table
}

/// The worst verdict as it stands in a row.
fn in_a_word(worst: Option<&Judgement>) -> String {
    match worst {
        None => "no limit is set".to_owned(),
        Some(judged) => match &judged.verdict {
            Verdict::TooNear => format!("{} too near to call", lower(judged.what.name())),
            Verdict::Unknown { .. } => "not all measured".to_owned(),
            Verdict::Over { .. } => format!("{} broken", lower(judged.what.name())),
            Verdict::Inside { .. } => "every limit held".to_owned(),
        },
    }
}

fn row(
    c: &Context<'_>,
    telling: ShimFormatter<'_>,
    choice: &ShimChoice,
    several: bool,
    [number, end, gives]: [&str; 3],
) -> Vec<Cell> {
    let mut stacks = Cell::default();
    for fit in &choice.fits {
        let text = format!("{}: {}", c.label(fit.cylinder), stack_text(&fit.stack_mm, telling.units));
        stacks = stacks.and(Words { text, ..Words::default() });
    }
    let length = |mm: f64| write(Kind::Length, mm, None, &c.units).to_string();
    let mut row = vec![Cell::text(number), stacks];
    if several {
        row.push(Cell::text(length(choice.level_spread_mm)).of(choice.level_spread_mm));
    }
    let squish = choice.tightest().map(|(mm, _)| mm);
    row.extend([
        squish.map_or_else(|| Cell::text("–"), |mm| Cell::text(length(mm)).of(mm)),
        Cell::text(match choice.ratios() {
            Some((low, high)) if plain(low, 2) == plain(high, 2) => plain(low, 2),
            Some((low, high)) => format!("{} to {}", plain(low, 2), plain(high, 2)),
            None => "–".to_owned(),
        }),
        Cell::text(end),
        Cell::text(gives),
    ]);
    row
}
