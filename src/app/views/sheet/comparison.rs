//! Beside the towers: the same gap by the parts and by the indicator, and
//! whether both agree.

use crate::app::theme::{Tokens, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict;
use crate::drawing::towers::Towers;
use crate::engine::{Key, words};
use crate::quantity::Kind;
use crate::study::routes::Finding;
use crate::study::{Crosscheck, Route};
use egui::{Align, Painter, Rect, Ui, UiBuilder, pos2, vec2};

const PAD: f32 = 12.0;

/// What is said of the gap.
struct SpokenCheck {
    /// By the parts: the gap in words, and the sum.
    parts: (String, String),
    /// By the indicator: the gap in words, and how it was read.
    read: Option<(String, &'static str)>,
    /// What both say together, and its shape.
    verdict: (String, Verdict),
}

fn said(shown: &ViewContext<'_>, towers: &Towers) -> Option<SpokenCheck> {
    let solved = shown.solved()?;
    let units = shown.units();
    let figures = solved.engine.figures();
    let number = |mm: f64| shown.written(Kind::Length, mm).number;
    let sum = format!("tower {} less reach {}", number(towers.tower_mm), number(towers.reach_mm));
    let check = solved.routes.iter().find(|check| check.route == Route::Deck);
    let read = match check {
        Some(check) => Some((words::gap(check.read, None, units), "mean of what was read at the top")),
        None => shown
            .value(Key::MockupDeck)
            .filter(|_| shown.entry(Key::MockupDeck).is_some())
            .map(|_| (words::gap(figures.deck_clearance, None, units), "as read on the trial assembly")),
    };
    let verdict = match (check, &read) {
        (Some(check), _) => verdict(check, shown),
        (None, Some(_)) => {
            let apart = shown.written(Kind::Length, (figures.deck_clearance - figures.chain_deck).abs());
            (format!("They differ by {apart}; no doubt is known"), Verdict::Unknown)
        }
        (None, None) => ("Not read yet: one way is no proof".to_owned(), Verdict::Unknown),
    };
    Some(SpokenCheck { parts: (words::gap(figures.chain_deck, None, units), sum), read, verdict })
}

fn verdict(check: &Crosscheck, shown: &ViewContext<'_>) -> (String, Verdict) {
    let apart = shown.written(Kind::Length, check.comparison.difference.abs());
    match check.finding {
        Finding::Agree => ("They agree, within what was measured".to_owned(), Verdict::Inside),
        Finding::AgreeByPractice => {
            (format!("{apart} apart: common, but not all doubts are known"), Verdict::Close)
        }
        Finding::Part => (format!("{apart} apart: a part is mis-measured"), Verdict::Over),
    }
}

/// Shows the block in the place of the title block.
pub(super) fn two_ways_ui(ui: &mut Ui, rect: Rect, shown: &ViewContext<'_>, towers: &Towers) {
    let t = shown.t;
    let Some(said) = said(shown, towers) else { return };
    let spoken = spoken(&said);
    ui.scope_builder(UiBuilder::new().max_rect(rect).accessibility_label(spoken), |ui| {
        let painter = ui.painter().clone();
        painter.rect_filled(rect, 0.0, t.sheet);
        // Title, two ways, a scale, the verdict.
        let shares = [36.0, 54.0, 54.0, 54.0, 30.0];
        let scale = rect.height() / shares.iter().sum::<f32>();
        let mut y = rect.top();
        let mut rows = shares.map(|share| {
            let row = Rect::from_min_max(pos2(rect.left(), y), pos2(rect.right(), y + share * scale));
            y = row.bottom();
            row
        });
        if said.read.is_none() {
            rows[2] = Rect::from_min_max(rows[2].min, rows[3].max);
        }
        for row in rows.iter().take(3) {
            paint::hline(&painter, rect.left(), rect.right(), row.bottom(), t.stroke(1.0, t.line2));
        }
        painter.rect_stroke(rect, 0.0, t.stroke(width::FRAME, t.ink2), egui::StrokeKind::Middle);
        let [title, parts, read, scale_row, foot] = rows;
        let base = title.bottom() - title.height() * 0.33;
        let heading = semibold(text::PANEL);
        paint::text(
            &painter,
            pos2(title.left() + PAD, base),
            Align::Min,
            "Two ways to the same gap",
            heading,
            t.ink,
        );
        way(&painter, parts, "by the parts", &said.parts.0, &said.parts.1, t);
        match &said.read {
            Some((gap, how)) => way(&painter, read, "by the indicator", gap, how, t),
            None => way(&painter, read, "by the indicator", "–", "no reading of the deck yet", t),
        }
        if let Some(check) = check(shown) {
            strip(&painter, scale_row, check, shown);
        }
        let middle = foot.center().y - 1.0;
        said.verdict.1.paint(&painter, pos2(foot.left() + PAD + 7.0, middle), 14.0, t);
        let words = paint::fitted(
            &painter,
            &said.verdict.0,
            semibold(text::BODY),
            said.verdict.1.word_color(t),
            foot.width() - 40.0,
        );
        let base = paint::baseline_for_middle(middle, text::BODY);
        paint::place(&painter, pos2(foot.left() + PAD + 20.0, base), Align::Min, words, t.ink);
    });
}

fn check<'a>(shown: &ViewContext<'a>) -> Option<&'a Crosscheck> {
    shown.solved()?.routes.iter().find(|check| check.route == Route::Deck)
}

fn spoken(said: &SpokenCheck) -> String {
    let read = said.read.as_ref().map_or("not read", |(gap, _)| gap);
    format!(
        "Two ways to the same gap: by the parts {}, {}; by the indicator {read}. {}",
        said.parts.0, said.parts.1, said.verdict.0
    )
}

fn way(painter: &Painter, row: Rect, name: &str, gap: &str, how: &str, t: &Tokens) {
    let left = row.left() + PAD;
    let first = row.top() + row.height().min(58.0) * 0.42;
    paint::text(painter, pos2(left, first), Align::Min, name, regular(text::BODY), t.ink);
    let (number, rest) = gap.split_once(' ').unwrap_or((gap, ""));
    let right = row.right() - PAD;
    let rest = paint::text(painter, pos2(right, first), Align::Max, rest, semibold(text::PANEL), t.ink);
    let at = if rest.width() > 0.0 { rest.left() - 5.0 } else { right };
    paint::text(painter, pos2(at, first), Align::Max, number, semibold(21.0), t.ink);
    let second = first + 18.0;
    let how = paint::fitted(painter, how, regular(text::CAPTION), t.ink2, row.width() - 2.0 * PAD);
    paint::place(painter, pos2(left, second), Align::Min, how, t.ink2);
}

/// Both gaps on one scale, each with its doubt.
fn strip(painter: &Painter, row: Rect, check: &Crosscheck, shown: &ViewContext<'_>) {
    let t = shown.t;
    let doubt = check.comparison.expanded;
    let unit = shown.units().unit(Kind::Length);
    let (low, high) = (check.computed.min(check.read), check.computed.max(check.read));
    let span = (high - low + 2.0 * doubt).max(unit.to_base(0.01)) * 1.25;
    let (from, middle) = ((low + high) / 2.0 - span / 2.0, (low + high) / 2.0);
    let (x0, x1) = (row.left() + PAD + 8.0, row.right() - PAD - 74.0);
    #[expect(clippy::cast_possible_truncation, reason = "points on a screen need no more than f32")]
    let x = |mm: f64| x0 + (x1 - x0) * ((mm - from) / span) as f32;
    let axis = row.bottom() - row.height() * 0.32;
    paint::hline(painter, x0, x1, axis, t.stroke(1.0, t.line2));
    for mm in [from, middle, from + span] {
        paint::vline(painter, x(mm), axis, axis + 4.0, t.stroke(1.0, t.line2));
        let words = words::gap_at_line(mm, None, shown.units());
        paint::text(painter, pos2(x(mm), axis + 15.0), Align::Center, &words, regular(text::LEAST), t.ink3);
    }
    let (first, second) = (row.top() + row.height() * 0.22, row.top() + row.height() * 0.48);
    let stroke = t.stroke(1.4, t.ink);
    for (value, y, word) in [(check.computed, first, "parts"), (check.read, second, "indicator")] {
        let at = pos2(x(value), y);
        if word == "parts" {
            let (a, b) = (x(value - doubt), x(value + doubt));
            paint::hline(painter, a, b, y, stroke);
            for end in [a, b] {
                paint::vline(painter, end, y - 3.5, y + 3.5, stroke);
            }
            painter.circle(at, 3.5, t.sheet, stroke);
        } else {
            painter.rect_filled(Rect::from_center_size(at, vec2(7.0, 7.0)), 0.0, t.ink);
        }
        paint::text_mid(painter, pos2(x1 + 12.0, y), Align::Min, word, regular(text::CAPTION), t.ink2);
    }
}
