//! The decision on shims: what goes under each barrel and why, what the next
//! best give up, or why nothing holds and what would.

use super::context::capital;
use crate::advise::shims::{
    Budget, Fit, HeadAnswer, ShimAnswer, ShimChoice, ShimFormatter, ShimQuestion, answer, judged, stack_text,
    worst,
};
use crate::engine::words::gap;
use crate::project::Project;
use crate::quantity::{Kind, UnitChoice, write};
use crate::report::context::Context;
use crate::report::section::{Block, Note, Picture, Section};
use crate::report::table::{Cell, Column, Field, Table, Words};
use crate::study::cautions::{Caution, Decision};
use crate::study::verdict::{Judgement, Verdict};
use crate::study::words::plain;
use std::sync::Arc;

/// Looks of the search: a hundred times what common engines need. Beyond that
/// the sheet says that nothing is proved.
const MAX_NODES: u64 = 100_000_000;

pub(crate) fn section(c: &Context<'_>) -> Section {
    let ask = Arc::new(c.project.shims_as_chosen());
    let answer = answer(&ask, &mut Budget::new(MAX_NODES, &|| false));
    let telling = ShimFormatter { ask: &ask, units: &c.units };
    let mut blocks: Vec<Block> = telling.remarks().into_iter().map(Block::Paragraph).collect();
    if let Some(stock) = stock(c) {
        blocks.push(Block::Paragraph(stock));
    }
    for head in &answer.heads {
        blocks.extend(under(c, &ask, &answer, head));
    }
    blocks.push(Block::Paragraph(telling.proof(&answer)));
    blocks.push(Block::Heading("Before you fit or turn".to_owned()));
    blocks.push(Block::Notes(c.beside(&[Decision::Shim, Decision::Squish, Decision::Valve])));
    blocks.push(Block::Signatures(vec![
        "Chosen by".to_owned(),
        "Fitted, clamped and read again by".to_owned(),
    ]));
    Section {
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
        blocks,
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
fn under(c: &Context<'_>, ask: &Arc<ShimQuestion>, answer: &ShimAnswer, head: &HeadAnswer) -> Vec<Block> {
    let telling = ShimFormatter { ask, units: &c.units };
    let name = c.head_label(head.head);
    let mut blocks = Vec::new();
    let decided = head.choices.iter().position(|choice| choice.is_under(c.question)).unwrap_or(0);
    if let Some(choice) = head.choices.get(decided) {
        let now = if choice.is_under(c.question) { "these lie there now" } else { "not fitted yet" };
        let what = format!("Head {name}: choice {}, {now}", decided + 1);
        let fields = [&BARREL, &SHIMS, &DECK, &SQUISH, &RATIO, &OFF, &READ_THEN];
        blocks.push(Block::Table(barrels(telling, choice, &what, &fields)));
        blocks.push(Block::Paragraph(verdict(c, ask, head, choice)));
        let (ask, fits) = (Arc::clone(ask), choice.fits.clone());
        blocks.push(Block::Picture(Picture::Bank { ask, head: head.head, fits }));
    }
    let none = telling.why_none(answer, head);
    if !none.is_empty() {
        blocks.push(Block::Heading(format!("Head {name}: no choice holds every limit")));
        blocks.extend(none.into_iter().map(Block::Paragraph));
    }
    if head.choices.len() + head.misses.len() > 1 || !head.misses.is_empty() {
        blocks.push(Block::Table(others(c, ask, head)));
    }
    blocks
}

/// What a barrel becomes with a choice of shims.
struct Barrel {
    label: String,
    fit: Fit,
    target: Option<f64>,
    units: UnitChoice,
}

impl Barrel {
    /// How far its ratio is from the wanted one; `None` where none is wanted.
    fn off(&self) -> Option<f64> {
        self.target.map(|target| (self.fit.ratio - target).abs())
    }
}

// What is told of a barrel, each column once.

const BARREL: Field<Barrel> =
    Field { column: || Column::left("Barrel"), cell: |barrel| Cell::strong(barrel.label.as_str()) };
const SHIMS: Field<Barrel> = Field {
    column: || Column::left("Shims").growing(),
    cell: |barrel| Cell::strong(stack_text(&barrel.fit.stack_mm, &barrel.units)),
};
const DECK: Field<Barrel> = Field {
    column: || Column::right("Deck then"),
    cell: |barrel| Cell::text(gap(barrel.fit.deck_mm, None, &barrel.units)).of(barrel.fit.deck_mm),
};
const SQUISH: Field<Barrel> = Field {
    column: || Column::number("Squish then", "mm"),
    cell: |barrel| Cell::measure(Kind::Length, barrel.fit.squish_mm, &barrel.units),
};
const RATIO: Field<Barrel> = Field {
    column: || Column::number("Ratio then", ""),
    cell: |barrel| Cell::text(plain(barrel.fit.ratio, 2)).of(barrel.fit.ratio),
};
const OFF: Field<Barrel> = Field {
    column: || Column::number("Off the wanted", ""),
    cell: |barrel| barrel.off().map_or_else(|| Cell::text("–"), |off| Cell::text(plain(off, 3)).of(off)),
};
const READ_THEN: Field<Barrel> =
    Field { column: || Column::pen("Deck read then", 24.0), cell: |_| Cell::text("") };

/// Returns these fields of every barrel of a choice.
fn barrels(telling: ShimFormatter<'_>, choice: &ShimChoice, what: &str, fields: &[&Field<Barrel>]) -> Table {
    let question = &telling.ask.question;
    let barrel = |fit: &Fit| Barrel {
        label: question.cylinders.get(fit.cylinder).map_or_else(String::new, |c| c.label.clone()),
        fit: fit.clone(),
        target: question.target.map(|target| target.get()),
        units: *telling.units,
    };
    let summary = "The shims under each barrel and what comes of them";
    Table::of(what, summary, fields, choice.fits.iter().map(barrel))
}

/// Returns what each barrel of a choice becomes, a row a barrel with what is
/// heard of it.
pub(crate) fn choice_table(telling: ShimFormatter<'_>, choice: &ShimChoice) -> Table {
    let fields = [&BARREL, &SHIMS, &DECK, &SQUISH, &RATIO, &OFF];
    let table = barrels(telling, choice, "", &fields);
    table.heads(["Barrel", "Shims", "Deck after", "Squish", "Ratio", "Off"]).spoken(|cells| match cells {
        [label, shims, deck, squish, ratio, off] => {
            format!("Barrel {label}: {shims}, deck {deck}, squish {squish}, ratio {ratio}, {off} off")
        }
        _ => String::new(),
    })
}

/// Returns the choices for every head in full, with why others were not
/// chosen.
pub(crate) fn choices(
    project: &Project,
    ask: &ShimQuestion,
    answer: &ShimAnswer,
    cautions: &[&Caution],
) -> Section {
    let telling = ShimFormatter { ask, units: &project.units };
    let mut blocks = Vec::new();
    if let Some(target) = ask.question.target {
        blocks.push(Block::Paragraph(format!("Ratio wanted: {}", plain(target.get(), 2))));
    }
    blocks.extend(telling.remarks().into_iter().map(Block::Paragraph));
    for head in &answer.heads {
        let label = ask.question.heads.get(head.head).map_or("", |h| h.label.as_str());
        blocks.push(Block::Heading(format!("Head {label}")));
        blocks.push(Block::Inset(for_head(telling, answer, head)));
    }
    blocks.push(Block::Apart(telling.proof(answer)));
    blocks.push(Block::Heading("Cautions".to_owned()));
    blocks.push(Block::Notes(cautions.iter().map(|caution| Note::standing(caution.text)).collect()));
    Section { title: project.title.clone(), blocks, ..Section::default() }
}

/// Returns the choices under one head, and the nearest that break a limit.
fn for_head(telling: ShimFormatter<'_>, answer: &ShimAnswer, head: &HeadAnswer) -> Vec<Block> {
    let (ask, units) = (telling.ask, telling.units);
    let mut blocks: Vec<Block> = telling.why_none(answer, head).into_iter().map(Block::Paragraph).collect();
    for (place, choice) in head.choices.iter().enumerate() {
        let gives_up = match head.choices.first() {
            Some(best) if place > 0 => format!(": {}", telling.gives_up(choice, best)),
            _ => String::new(),
        };
        blocks.push(Block::Paragraph(format!("Choice {}{gives_up}", place + 1)));
        let mut told = Vec::new();
        if place == 0 {
            let fields = [&BARREL, &SHIMS, &DECK, &SQUISH, &RATIO];
            let heads = ["Cylinder", "Shims", "Deck clearance", "Squish", "Ratio"];
            told.push(Block::Table(barrels(telling, choice, "", &fields).heads(heads)));
            if choice.fits.len() > 1 {
                let spread = write(Kind::Length, choice.level_spread_mm, None, units);
                told.push(Block::Paragraph(format!("Level within {spread}")));
            }
            if let Some(judged) = worst(&judged(&ask.question, head.head, &choice.fits)) {
                told.push(Block::Paragraph(judged.sentence(units)));
            }
        } else {
            told.push(Block::Paragraph(telling.outcome(choice)));
        }
        blocks.push(Block::Inset(told));
    }
    if !head.misses.is_empty() {
        blocks.push(Block::Paragraph("Not chosen, and why".to_owned()));
        let missed = head.misses.iter().map(|miss| {
            let breaks: Vec<String> = miss.breaks.iter().map(|broken| telling.broken(broken)).collect();
            Block::Paragraph(format!("{}: {}", telling.outcome(miss), breaks.join("; ")))
        });
        blocks.push(Block::Inset(missed.collect()));
    }
    blocks
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
