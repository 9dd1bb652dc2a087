//! The title block of the sheet, which is the display: deck clearance in
//! words, squish and ratio, the other figures, and what the sheet shows.

use super::ViewContext;
use crate::app::explain::about;
use crate::app::layout::Class;
use crate::app::theme::{AnswerSizes, regular, semibold, text, width};
use crate::app::widgets::paint;
use crate::engine::Figures;
use crate::quantity::{Kind, write};
use crate::study::question::ExpandedUncertainty;
use crate::study::words;
use egui::{Align, Painter, Pos2, Rect, Ui, UiBuilder, pos2, vec2};

/// Between the edge of a cell and what stands in it.
const PAD: f32 = 10.0;

/// What the block says of one cylinder, ready to be painted or read out.
struct SpokenAnswers {
    deck: (String, String),
    squish: (String, &'static str),
    ratio: String,
    small: [(&'static str, String, &'static str); 4],
    doubt: [Option<String>; 3],
    kept: Option<Kept>,
}

/// What the state of comparison says, and which way the present one moved.
struct Kept {
    deck: String,
    deck_change: (String, f64),
    squish: String,
    squish_change: (String, f64),
    ratio: String,
    ratio_change: (String, f64),
}

/// Shows the block in `rect`.
pub(crate) fn title_block_ui(ui: &mut Ui, rect: Rect, shown: &ViewContext<'_>) {
    let said = said(shown);
    let spoken = spoken(shown, &said);
    ui.scope_builder(UiBuilder::new().max_rect(rect).accessibility_label(spoken), |ui| {
        paint_block(ui, rect, shown, &said);
    });
}

/// The block as a sentence for screen readers.
fn spoken(shown: &ViewContext<'_>, said: &SpokenAnswers) -> String {
    let small: Vec<String> = said
        .small
        .iter()
        .map(|(name, number, unit)| {
            let words = format!("{} {number} {unit}", name.to_lowercase());
            words.trim_end().to_owned()
        })
        .collect();
    format!(
        "Cylinder {}: deck clearance {} {}, squish {} {}, static ratio {}, {}",
        shown.cylinder_label(),
        said.deck.0,
        said.deck.1,
        said.squish.0,
        said.squish.1,
        said.ratio,
        small.join(", ")
    )
}

fn said(shown: &ViewContext<'_>) -> SpokenAnswers {
    let dash = || "–".to_owned();
    let Some(solved) = shown.solved() else {
        return SpokenAnswers {
            deck: (dash(), String::new()),
            squish: (dash(), ""),
            ratio: dash(),
            small: [
                ("Swept", dash(), ""),
                ("Clearance", dash(), ""),
                ("Effective", dash(), ""),
                ("Rod ratio", dash(), ""),
            ],
            doubt: [None, None, None],
            kept: None,
        };
    };
    let f = solved.engine.figures();
    let units = shown.units();
    let doubt = shown.question().cylinders.get(shown.cylinder).map(|c| c.doubt).unwrap_or_default();
    let gap = words::gap(f.deck_clearance, None, units);
    let deck =
        gap.split_once(' ').map_or((gap.clone(), String::new()), |(n, w)| (n.to_owned(), w.to_owned()));
    let squish = shown.written(Kind::Length, f.squish_clearance);
    // Four cells stand side by side: a litre is told without tenths.
    let volume = |cc: f64| write(Kind::Volume, cc, (cc >= 1000.0).then_some(0), units);
    let swept = volume(f.swept);
    let clearance = volume(f.clearance_volume);
    let effective = if f.effective_ratio.is_some() && shown.value(crate::engine::Key::PortClosing).is_some() {
        "Trapped"
    } else {
        "Effective"
    };
    SpokenAnswers {
        deck,
        squish: (squish.number, squish.unit),
        ratio: words::plain(f.static_ratio, 2),
        small: [
            ("Swept", swept.number, swept.unit),
            ("Clearance", clearance.number, clearance.unit),
            (effective, f.effective_ratio.map_or_else(dash, |r| words::plain(r, 2)), ""),
            ("Rod ratio", words::plain(f.rod_ratio, 2), ""),
        ],
        doubt: doubts(shown, &doubt),
        kept: kept(shown, f),
    }
}

fn doubts(shown: &ViewContext<'_>, doubt: &ExpandedUncertainty) -> [Option<String>; 3] {
    let length = |d: Option<f64>| {
        d.map(|d| {
            let unit = shown.units().unit(Kind::Length);
            words::plus_minus(unit.from_base(d), crate::quantity::default_decimals(unit))
        })
    };
    [
        length(doubt.deck_clearance),
        length(doubt.squish_clearance),
        doubt.static_ratio.map(|d| words::plus_minus(d, 2)),
    ]
}

fn kept(shown: &ViewContext<'_>, now: &Figures) -> Option<Kept> {
    let before = *shown.reference_solved()?.engine.figures();
    if before == *now {
        return None;
    }
    let units = shown.units();
    let unit = units.unit(Kind::Length).symbol();
    // The unit stands on the line above: only number and word here.
    let bare = |text: String| text.replace(&format!(" {unit}"), "");
    let deck_moved = now.deck_clearance - before.deck_clearance;
    let squish_moved = now.squish_clearance - before.squish_clearance;
    let ratio_moved = now.static_ratio - before.static_ratio;
    let signed_length = |mm: f64| {
        let written = shown.written(Kind::Length, mm);
        if mm > 0.0 { format!("+{}", written.number) } else { written.number }
    };
    Some(Kept {
        deck: bare(words::gap(before.deck_clearance, None, units)),
        deck_change: (words::gap_change(deck_moved, None, units), deck_moved),
        squish: shown.written(Kind::Length, before.squish_clearance).number,
        squish_change: (signed_length(squish_moved), squish_moved),
        ratio: words::plain(before.static_ratio, 2),
        ratio_change: (words::change(ratio_moved, 2), ratio_moved),
    })
}

/// Heights of the four rows, from the top.
fn rows(rect: Rect) -> [f32; 4] {
    let shares = if rect.height() < 215.0 { [74.0, 66.0, 40.0, 22.0] } else { [88.0, 74.0, 44.0, 22.0] };
    let sum: f32 = shares.iter().sum();
    shares.map(|share| share / sum * rect.height())
}

fn paint_block(ui: &Ui, rect: Rect, shown: &ViewContext<'_>, said: &SpokenAnswers) {
    let t = shown.t;
    let painter = ui.painter();
    let sizes = shown.layout.answers;
    let frame = t.stroke(width::FRAME, t.ink2);
    let thin = t.stroke(1.0, t.line2);
    painter.rect_filled(rect, 0.0, t.sheet);
    let [deck_h, second_h, small_h, _] = rows(rect);
    let (y1, y2, y3) =
        (rect.top() + deck_h, rect.top() + deck_h + second_h, rect.top() + deck_h + second_h + small_h);
    for y in [y1, y2, y3] {
        paint::hline(painter, rect.left(), rect.right(), y, thin);
    }
    let middle = rect.center().x;
    paint::vline(painter, middle, y1, y2, thin);
    let narrow = rect.width() < 260.0;
    let cells: usize = if narrow { 3 } else { 4 };
    let cell_width = rect.width() / f32::from(u8::try_from(cells).unwrap_or(4));
    for (i, (name, number, unit)) in (0_u8..).zip(said.small.iter().take(cells)) {
        let left = rect.left() + cell_width * f32::from(i);
        if i > 0 {
            paint::vline(painter, left, y2, y3, thin);
        }
        let cell = Rect::from_min_max(pos2(left, y2), pos2(left + cell_width, y3));
        small_cell(painter, cell, name, number, unit, shown);
        about(ui, cell, word(name));
    }
    painter.rect_stroke(rect, 0.0, frame, egui::StrokeKind::Middle);

    let deck_cell = Rect::from_min_max(rect.min, pos2(rect.right(), y1));
    deck_cell_paint(painter, deck_cell, said, &sizes, shown);
    about(ui, deck_cell, "deck_clearance");
    let squish_cell = Rect::from_min_max(pos2(rect.left(), y1), pos2(middle, y2));
    let kept = said.kept.as_ref();
    second_cell(
        painter,
        squish_cell,
        &Second {
            name: "Squish",
            number: &said.squish.0,
            unit: said.squish.1,
            doubt: said.doubt.get(1).and_then(Option::as_deref),
            kept: kept.map(|k| (k.squish.as_str(), &k.squish_change)),
        },
        shown,
    );
    about(ui, squish_cell, "squish");
    let ratio_cell = Rect::from_min_max(pos2(middle, y1), pos2(rect.right(), y2));
    second_cell(
        painter,
        ratio_cell,
        &Second {
            name: "Static ratio",
            number: &said.ratio,
            unit: ": 1",
            doubt: said.doubt.get(2).and_then(Option::as_deref),
            kept: kept.map(|k| (k.ratio.as_str(), &k.ratio_change)),
        },
        shown,
    );

    about(ui, ratio_cell, "static_ratio");

    let base = rect.bottom() - 7.0;
    let right = paint::text(
        painter,
        pos2(rect.right() - PAD, base),
        Align::Max,
        "drawn to scale",
        regular(text::CAPTION),
        t.ink2,
    );
    let title =
        paint::fitted(painter, &shown.project().title, semibold(text::DIMENSION), t.ink, rect.width() * 0.5);
    let title_rect = paint::place(painter, pos2(rect.left() + PAD, base), Align::Min, title, t.ink);
    let cylinder = format!("cylinder {}", shown.cylinder_label());
    if title_rect.right() + 90.0 < right.left() {
        paint::text(
            painter,
            pos2(title_rect.right() + 10.0, base),
            Align::Min,
            &cylinder,
            regular(text::CAPTION),
            t.ink2,
        );
    }
}

/// The word of the trade that a small cell speaks of.
fn word(cell: &str) -> &'static str {
    match cell {
        "Swept" => "swept_volume",
        "Clearance" => "clearance_volume",
        "Trapped" => "trapped_ratio",
        "Effective" => "effective_ratio",
        _ => "rod_ratio",
    }
}

fn small_cell(painter: &Painter, cell: Rect, name: &str, number: &str, unit: &str, shown: &ViewContext<'_>) {
    let t = shown.t;
    let left = cell.left() + PAD;
    paint::text(painter, pos2(left, cell.top() + 15.0), Align::Min, name, regular(text::CAPTION), t.ink2);
    let base = cell.bottom() - 8.0;
    let size = if shown.layout.class == Class::Large { 19.0 } else { 16.0 };
    let number = paint::text(painter, pos2(left, base), Align::Min, number, semibold(size), t.ink);
    paint::text(painter, pos2(number.right() + 4.0, base), Align::Min, unit, regular(text::CAPTION), t.ink2);
}

fn deck_cell_paint(
    painter: &Painter,
    cell: Rect,
    said: &SpokenAnswers,
    sizes: &AnswerSizes,
    shown: &ViewContext<'_>,
) {
    let t = shown.t;
    let left = cell.left() + PAD;
    let right = cell.right() - PAD;
    paint::text(
        painter,
        pos2(left, cell.top() + 17.0),
        Align::Min,
        "Deck clearance",
        regular(text::BODY),
        t.ink2,
    );
    let base = cell.bottom() - 27.0;
    let (number, word) = &said.deck;
    let number = paint::text(painter, pos2(left, base), Align::Min, number, semibold(sizes.deck), t.ink);
    paint::text(
        painter,
        pos2(number.right() + 6.0, base),
        Align::Min,
        word,
        semibold(sizes.deck * 0.55),
        t.ink,
    );
    let small = cell.height() < 80.0;
    if let Some(doubt) = said.doubt.first().and_then(Option::as_deref) {
        let y = if small { cell.top() + 17.0 } else { base };
        paint::text(painter, pos2(right, y), Align::Max, doubt, regular(text::VALUE), t.ink2);
    }
    if let Some(kept) = &said.kept {
        let base = cell.bottom() - 8.0;
        kept_line(painter, pos2(left, base), &format!("kept: {}", kept.deck), shown);
        changed(painter, pos2(right, base), &kept.deck_change, shown);
    }
}

/// What stands in the cell of squish or ratio.
struct Second<'a> {
    name: &'a str,
    number: &'a str,
    unit: &'a str,
    doubt: Option<&'a str>,
    kept: Option<(&'a str, &'a (String, f64))>,
}

fn second_cell(painter: &Painter, cell: Rect, second: &Second<'_>, shown: &ViewContext<'_>) {
    let t = shown.t;
    let left = cell.left() + PAD;
    let right = cell.right() - PAD;
    paint::text(
        painter,
        pos2(left, cell.top() + 16.0),
        Align::Min,
        second.name,
        regular(text::DIMENSION),
        t.ink2,
    );
    let base = cell.bottom() - 26.0;
    let number = paint::text(
        painter,
        pos2(left, base),
        Align::Min,
        second.number,
        semibold(shown.layout.answers.second),
        t.ink,
    );
    let unit = paint::text(
        painter,
        pos2(number.right() + 5.0, base),
        Align::Min,
        second.unit,
        semibold(text::VALUE),
        t.ink,
    );
    if let Some(doubt) = second.doubt {
        let galley = paint::line(painter, doubt, regular(text::DIMENSION), t.ink2);
        // Beside the name where the number leaves no room.
        let beside = right - galley.size().x > unit.right() + 6.0 && cell.height() >= 70.0;
        let y = if beside { base } else { cell.top() + 16.0 };
        paint::place(painter, pos2(right, y), Align::Max, galley, t.ink2);
    }
    if let Some((kept, change)) = second.kept {
        let base = cell.bottom() - 8.0;
        let word = if cell.width() < 155.0 { kept.to_owned() } else { format!("kept: {kept}") };
        kept_line(painter, pos2(left, base), &word, shown);
        changed(painter, pos2(right, base), change, shown);
    }
}

/// A dash of the ghost line, then what the kept state said.
fn kept_line(painter: &Painter, at: Pos2, words: &str, shown: &ViewContext<'_>) {
    let t = shown.t;
    let y = at.y - 4.0;
    for x in [0.0, 7.0] {
        painter.line_segment([pos2(at.x + x, y), pos2(at.x + x + 5.0, y)], t.stroke(1.4, t.ghost));
    }
    paint::text(painter, at + vec2(17.0, 0.0), Align::Min, words, regular(text::CAPTION), t.ink2);
}

/// A triangle that points the way it moved, then by how much.
fn changed(painter: &Painter, at: Pos2, (words, moved): &(String, f64), shown: &ViewContext<'_>) {
    let t = shown.t;
    let text = paint::text(painter, at, Align::Max, words, semibold(text::DIMENSION), t.accent);
    if *moved == 0.0 {
        return;
    }
    let centre = pos2(text.left() - 12.0, at.y - 4.5);
    let up = if *moved > 0.0 { -1.0 } else { 1.0 };
    let points =
        vec![centre + vec2(-4.5, -3.5 * up), centre + vec2(4.5, -3.5 * up), centre + vec2(0.0, 4.0 * up)];
    painter.add(egui::Shape::convex_polygon(points, t.accent, egui::Stroke::NONE));
}
