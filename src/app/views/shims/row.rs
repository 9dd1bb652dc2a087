//! One choice as a row: the leaves under each barrel, the tops on the band of
//! the tolerance, the tightest squish, the ratios, and how it stands.

use crate::advise::shims::{ShimChoice, ShimFormatter, worst};
use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::views::cabinet::shape;
use crate::app::widgets::paint;
use crate::app::widgets::verdict::Verdict as Shape;
use crate::quantity::{Kind, write};
use crate::schema::limit::LimitId;
use crate::study::level::Level;
use crate::study::verdict::written;
use crate::study::verdict::{Judgement, Verdict};
use crate::study::words::plain;
use egui::accesskit::Role;
use egui::{Align, Id, Painter, Rect, Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

const HEIGHT: f32 = 50.0;
/// Width of the choice's number.
const NUMBER: f32 = 28.0;
/// Room for all barrels.
const BARRELS: f32 = 168.0;
const BAND: f32 = 66.0;
const SQUISH: f32 = 54.0;
const RATIO: f32 = 78.0;
/// Points for a millimetre of shim, where that fits.
const LEAVES_PER_MM: f32 = 46.0;
/// Points for a millimetre of height on the band, where that fits.
const BAND_PER_MM: f32 = 300.0;

/// Where a row stands and whether it is in hand.
pub(super) struct RowPlace {
    /// Identity, the same in every frame.
    pub id: Id,
    /// It is the choice in hand.
    pub chosen: bool,
}

/// What stands in a row.
pub(super) struct RowContent {
    number: String,
    /// For each barrel the thickness of each leaf, mm, and what is written
    /// over them, with and without the single leaves.
    barrels: Vec<(Vec<f64>, String, String)>,
    /// For each barrel its top above the median of the head, mm.
    offsets: Vec<f64>,
    tolerance_mm: Option<f64>,
    level: Option<String>,
    level_broken: bool,
    squish: String,
    ratio: String,
    off: String,
    verdict: Option<Shape>,
    word: String,
    under: String,
    spoken: String,
}

impl RowContent {
    /// A choice that holds every limit. `best` is the first one, where this
    /// is another.
    pub(super) fn of_choice(
        telling: &ShimFormatter<'_>,
        head: usize,
        choice: &ShimChoice,
        place: usize,
        best: Option<&ShimChoice>,
        judged: &[Judgement],
        fitted: bool,
    ) -> Self {
        let mut says = Self::of(telling, head, choice);
        says.number = (place + 1).to_string();
        let worst = worst(judged);
        says.verdict = worst.map(|judged| shape(&judged.verdict));
        says.word = match worst {
            Some(Judgement { what, verdict: Verdict::TooNear, .. }) => {
                format!("{} too near", what.name().to_lowercase())
            }
            Some(Judgement { verdict: Verdict::Unknown { .. }, .. }) => "not all measured".into(),
            Some(judged) if judged.verdict.warns() => {
                format!("{} {}", judged.what.name().to_lowercase(), judged.verdict_text(telling.units))
            }
            _ => "holds".into(),
        };
        says.under = match (fitted, best) {
            (true, _) => "fitted now".into(),
            (false, None) => "the best there is".into(),
            (false, Some(best)) => telling.gives_up(choice, best),
        };
        let sure = worst.map(|judged| judged.sentence(telling.units));
        says.spoken = format!(
            "Choice {}: {}. {}. With its uncertainty: {}",
            says.number,
            telling.outcome(choice),
            says.under,
            sure.unwrap_or_else(|| "nothing to judge".into())
        );
        says
    }

    /// A choice that breaks a limit.
    pub(super) fn of_miss(telling: &ShimFormatter<'_>, head: usize, miss: &ShimChoice, fitted: bool) -> Self {
        let mut says = Self::of(telling, head, miss);
        says.verdict = Some(Shape::Over);
        let breaks: Vec<String> = miss.breaks.iter().map(|broken| telling.broken(broken)).collect();
        if let Some(broken) = miss.breaks.first() {
            let side = if broken.rule.is_least() { "under" } else { "over" };
            let by = written(broken.rule.measure(), broken.by, telling.units, false);
            says.word = format!("{} {by} {side}", broken.rule.judged().short);
        }
        says.under = if fitted { "fitted now".into() } else { "best without that limit".into() };
        says.spoken = format!("Not chosen: {}. {}", telling.outcome(miss), breaks.join("; "));
        says
    }

    fn of(telling: &ShimFormatter<'_>, head: usize, choice: &ShimChoice) -> Self {
        let units = telling.units;
        let number = |mm: f64| write(Kind::Length, mm, None, units).number;
        let barrels = choice.fits.iter().map(|fit| {
            let pieces: Vec<String> = fit.stack_mm.iter().map(|mm| number(*mm)).collect();
            (fit.stack_mm.clone(), pieces.join("+"), number(fit.height_mm))
        });
        let offsets = Level::of(choice.fits.iter().map(|fit| fit.top_mm).collect())
            .map_or_else(Vec::new, |level| level.offsets().collect());
        let ratio = match choice.ratios() {
            Some((low, high)) if plain(low, 2) == plain(high, 2) => plain(low, 2),
            Some((low, high)) => format!("{}–{}", plain(low, 2), plain(high, 2)),
            None => "–".into(),
        };
        Self {
            number: String::new(),
            barrels: barrels.collect(),
            offsets,
            tolerance_mm: telling.ask.limit(LimitId::Level, head),
            level: (choice.fits.len() > 1).then(|| number(choice.level_spread_mm)),
            level_broken: choice.breaks.iter().any(|broken| broken.rule == LimitId::Level),
            squish: choice.tightest().map_or_else(|| "–".into(), |(squish, _)| number(squish)),
            ratio,
            off: choice.worst_ratio_error.map_or_else(String::new, |off| format!("{} off", plain(off, 3))),
            verdict: None,
            word: String::new(),
            under: String::new(),
            spoken: String::new(),
        }
    }
}

/// Left end and width of each column.
struct Columns {
    barrels: Vec<(f32, f32)>,
    band: f32,
    squish: f32,
    ratio: f32,
    right: f32,
}

impl Columns {
    fn of(rect: Rect, barrels: usize) -> Self {
        let left = rect.left() + NUMBER;
        let pitch = (BARRELS / barrels.max(1) as f32).min(66.0);
        let end = left + pitch * barrels as f32;
        let band = end + 8.0;
        let squish = band + if barrels > 1 { BAND + 8.0 } else { 0.0 };
        Self {
            barrels: (0..barrels).map(|i| (left + pitch * i as f32, pitch)).collect(),
            band,
            squish,
            ratio: squish + SQUISH,
            right: rect.right() - 6.0,
        }
    }
}

/// What stands over the columns.
pub(super) fn heads_ui(ui: &mut Ui, choice: &ShimChoice, telling: &ShimFormatter<'_>, t: &Tokens) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 20.0), Sense::hover());
    ui.painter().rect_filled(rect, 0.0, t.row);
    let columns = Columns::of(rect, choice.fits.len());
    let y = rect.center().y;
    let font = || regular(text::CAPTION);
    let word = |x: f32, align: Align, words: &str| {
        paint::text_mid(ui.painter(), pos2(x, y), align, words, font(), t.ink2);
    };
    for (place, (fit, (left, pitch))) in choice.fits.iter().zip(&columns.barrels).enumerate() {
        let label = telling.ask.question.cylinders.get(fit.cylinder).map_or("", |c| c.label.as_str());
        let words = if place == 0 && *pitch > 50.0 { format!("barrel {label}") } else { label.to_owned() };
        word(left + pitch / 2.0, Align::Center, &words);
    }
    if choice.fits.len() > 1 {
        word(columns.band + BAND / 2.0, Align::Center, "level");
    }
    word(columns.squish + SQUISH / 2.0, Align::Center, "squish");
    word(columns.ratio + RATIO / 2.0, Align::Center, "ratio");
    word(columns.right, Align::Max, "verdict");
}

/// Shows a row; a click takes it in hand.
pub(super) fn row_ui(ui: &mut Ui, place: &RowPlace, says: &RowContent, t: &Tokens) -> Response {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let is_choice = !says.number.is_empty();
    let sense = if is_choice { Sense::click() } else { Sense::hover() };
    let response = ui.interact(rect, place.id, sense);
    let painter = ui.painter();
    if place.chosen {
        let stroke = t.stroke(width::HEAVY, t.accent);
        painter.rect(rect, radius::BUTTON, t.accent_tint, stroke, StrokeKind::Inside);
    } else if is_choice && response.hovered() {
        painter.rect_stroke(rect, radius::BUTTON, t.stroke(width::REST, t.ink2), StrokeKind::Inside);
    } else {
        paint::hline(painter, rect.left(), rect.right(), rect.bottom(), t.stroke(width::REST, t.line));
    }
    let columns = Columns::of(rect, says.barrels.len());
    let (first, second) = (rect.top() + 16.0, rect.top() + 36.0);
    let number = pos2(rect.left() + 14.0, rect.center().y);
    paint::text_mid(painter, number, Align::Center, &says.number, semibold(18.0), t.ink);
    leaves_ui(painter, rect, says, &columns, t);
    if let Some(level) = &says.level {
        band_ui(painter, rect, says, columns.band, t);
        let color = if says.level_broken { t.warn } else { t.ink };
        let at = pos2(columns.band + BAND / 2.0, second + 2.0);
        paint::text_mid(painter, at, Align::Center, level, semibold(text::DIMENSION), color);
    }
    let middle = columns.squish + SQUISH / 2.0;
    paint::text_mid(painter, pos2(middle, first), Align::Center, &says.squish, semibold(14.0), t.ink);
    paint::text_mid(painter, pos2(middle, second), Align::Center, "tightest", regular(text::CAPTION), t.ink2);
    let middle = columns.ratio + RATIO / 2.0;
    paint::text_mid(painter, pos2(middle, first), Align::Center, &says.ratio, semibold(14.0), t.ink);
    paint::text_mid(painter, pos2(middle, second), Align::Center, &says.off, regular(text::CAPTION), t.ink2);
    verdict_ui(painter, says, &columns, first, second, t);
    if response.has_focus() {
        paint::focus_ring(painter, rect, radius::BUTTON, t);
    }
    response.widget_info(|| {
        if is_choice {
            WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), place.chosen, &says.spoken)
        } else {
            WidgetInfo::labeled(Role::Label, ui.is_enabled(), &says.spoken)
        }
    });
    response.on_hover_text(&says.spoken)
}

/// The leaves under each barrel, each as thick as it is against the others.
fn leaves_ui(painter: &Painter, rect: Rect, says: &RowContent, columns: &Columns, t: &Tokens) {
    let tallest = says.barrels.iter().map(|(foils, ..)| foils.iter().sum::<f64>()).fold(0.0, f64::max);
    let scale = LEAVES_PER_MM.min(22.0 / (tallest as f32).max(0.01));
    let foot = paint::snap(painter, rect.bottom() - 7.0);
    for ((foils, pieces, sum), (left, pitch)) in says.barrels.iter().zip(&columns.barrels) {
        let (x0, x1) = (left + 5.0, left + pitch - 5.0);
        let middle = left + pitch / 2.0;
        let mut y = foot;
        for mm in foils {
            let top = (y - (*mm as f32 * scale)).min(y - 2.0);
            painter.rect_filled(Rect::from_min_max(pos2(x0 + 3.0, top), pos2(x1 - 3.0, y)), 0.0, t.solid);
            // A light gap between two leaves.
            y = top - 1.2;
        }
        paint::hline(painter, x0, x1, foot, Stroke::new(width::REST, t.ink2));
        let whole = paint::line(painter, pieces, semibold(text::CAPTION), t.ink);
        let words = match foils.as_slice() {
            [] => "none",
            _ if whole.size().x <= pitch - 2.0 => pieces,
            _ => sum,
        };
        let at = pos2(middle, (y - 8.0).max(rect.top() + 11.0));
        paint::text_mid(painter, at, Align::Center, words, semibold(text::CAPTION), t.ink);
    }
}

/// The tops on the band of the tolerance.
fn band_ui(painter: &Painter, rect: Rect, says: &RowContent, left: f32, t: &Tokens) {
    let tolerance = says.tolerance_mm.unwrap_or(0.0);
    let farthest = says.offsets.iter().map(|o| o.abs()).fold(tolerance / 2.0, f64::max);
    let scale = BAND_PER_MM.min(11.0 / (farthest as f32).max(1e-6));
    let middle = rect.top() + 14.0;
    let half = tolerance as f32 * scale / 2.0;
    let right = left + BAND;
    let band = Rect::from_min_max(pos2(left, middle - half), pos2(right, middle + half));
    if t.line != t.ink {
        painter.rect_filled(band, 0.0, t.line);
    }
    let edge = Stroke::new(width::REST, t.line2);
    paint::hline(painter, left, right, paint::snap(painter, band.top()), edge);
    paint::hline(painter, left, right, paint::snap(painter, band.bottom()), edge);
    let pitch = BAND / says.offsets.len().max(1) as f32;
    for (place, offset) in says.offsets.iter().enumerate() {
        let x = left + pitch * place as f32;
        let y = middle - *offset as f32 * scale;
        let outside = says.tolerance_mm.is_some_and(|most| offset.abs() > most / 2.0) && says.level_broken;
        let color = if outside { t.warn } else { t.ink };
        let seat = Rect::from_min_max(pos2(x + 3.0, y - 1.8), pos2(x + pitch - 3.0, y + 1.8));
        painter.rect_filled(seat, 0.0, color);
    }
}

fn verdict_ui(painter: &Painter, says: &RowContent, columns: &Columns, first: f32, second: f32, t: &Tokens) {
    let alarms = says.verdict.is_some_and(Shape::alarms);
    let room = columns.right - columns.ratio - RATIO - 4.0;
    let (font, color) =
        if alarms { (semibold(text::DIMENSION), t.warn) } else { (regular(text::DIMENSION), t.ink) };
    let word = paint::fitted(painter, &says.word, font, color, room - 18.0);
    let baseline = paint::baseline_for_middle(first, text::DIMENSION);
    let placed = paint::place(painter, pos2(columns.right, baseline), Align::Max, word, color);
    if let Some(shape) = says.verdict {
        shape.paint(painter, pos2(placed.left() - 10.0, first), 13.0, t);
    }
    let under = paint::fitted(painter, &says.under, regular(text::CAPTION), t.ink2, room);
    let baseline = paint::baseline_for_middle(second, text::CAPTION);
    paint::place(painter, pos2(columns.right, baseline), Align::Max, under, t.ink2);
}
