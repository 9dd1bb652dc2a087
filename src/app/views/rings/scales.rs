//! The gap of each ring on one scale: where it is, where it is wanted, and how
//! far a ring is used that came too wide.

use super::RingsView;
use crate::advise::rings::{GapAnswer, Verdict};
use crate::app::theme::{Tokens, radius, regular, semibold, text, width};
use crate::app::views::ViewContext;
use crate::app::widgets::paint;
use crate::quantity::{Kind, UnitChoice, write};
use egui::accesskit::Role;
use egui::{Align, Id, Painter, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Height of one ring.
pub(super) const HEIGHT: f32 = 70.0;
const BALLOON: f32 = 8.5;
/// From the top: title, scale, verdict.
const TITLE_Y: f32 = 10.0;
const SCALE_Y: f32 = 29.0;
const VERDICT_Y: f32 = 56.0;

/// Steps from figure to figure in the unit that is read: inches, thou or
/// millimetres.
const STEPS: [f64; 14] = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0];

/// The scale that the rings of one piston share, mm.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    /// From one figure to the next.
    step: f64,
    /// Steps in all.
    steps: u8,
}

impl Scale {
    /// A scale on which all of these have their place.
    pub(super) fn over<'a>(gaps: impl Iterator<Item = &'a GapAnswer>, units: &UnitChoice) -> Self {
        let most = gaps.map(|gap| gap.now.map_or(0.0, |(_, mm)| mm).max(1.3 * gap.wanted_mm));
        let most = most.fold(0.0, f64::max).max(1e-6);
        let unit = units.unit(Kind::Length);
        let shown = unit.from_base(most) / 4.0;
        let step = STEPS.into_iter().find(|step| *step >= shown).map_or(most, |step| unit.to_base(step));
        let steps = (1..=8_u8).find(|n| f64::from(*n) * step >= most).unwrap_or(8);
        Self { step, steps }
    }

    /// A gap as a part of the scale, 0 to 1; what lies beyond stands at its
    /// end.
    #[expect(clippy::cast_possible_truncation, reason = "a part of a line on the screen")]
    fn part(self, mm: f64) -> f32 {
        (mm / (self.step * f64::from(self.steps))).clamp(0.0, 1.0) as f32
    }
}

/// Shows one ring; pressed, it comes in hand.
pub(super) fn ring_ui(
    ui: &mut Ui,
    shown: &ViewContext<'_>,
    view: &mut RingsView,
    index: usize,
    scale: Scale,
) {
    let t = shown.t;
    let units = shown.units();
    let study = shown.session.rings();
    let (Some(ring), Some(gap)) =
        (shown.project().rings.get(index), study.gap(index, shown.cylinder_label()))
    else {
        return;
    };
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let response = ui.interact(rect, Id::unique(("ring scale", index)), Sense::click());
    if response.clicked() {
        view.ring = index;
    }
    let painter = ui.painter();
    if view.ring == index {
        painter.rect_filled(rect.expand2(vec2(4.0, 0.0)), radius::BUTTON, t.accent_tint);
    } else if response.hovered() {
        painter.rect_stroke(
            rect.expand2(vec2(4.0, 0.0)),
            radius::BUTTON,
            t.stroke(width::REST, t.line2),
            StrokeKind::Inside,
        );
    }
    let left = rect.left() + 2.0;
    let middle = pos2(left + BALLOON, rect.top() + TITLE_Y);
    painter.circle(middle, BALLOON, t.field, t.stroke(1.4, t.accent));
    let number = (index + 1).to_string();
    paint::text_mid(painter, middle, Align::Center, &number, semibold(text::UNIT), t.accent);
    let material = if ring.material.is_empty() { String::new() } else { format!(", {}", ring.material) };
    let name = format!("{}{material}", ring.title());
    let at = pos2(middle.x + BALLOON + 6.0, middle.y);
    let galley = paint::fitted(painter, &name, semibold(text::DIMENSION), t.ink, rect.right() - at.x);
    paint::place(
        painter,
        pos2(at.x, paint::baseline_for_middle(at.y, text::DIMENSION)),
        Align::Min,
        galley,
        t.ink,
    );

    let line = Rect::from_min_max(
        pos2(left + 2.0, rect.top() + SCALE_Y),
        pos2(rect.right() - 14.0, rect.top() + SCALE_Y),
    );
    ruler(painter, line, scale, units, t);
    state(painter, line, scale, gap, t);

    let told = gap.told(units);
    let warns = matches!(gap.verdict, Verdict::TooTight { .. } | Verdict::TooWide { .. });
    let ink = if warns { t.warn } else { t.ink };
    let base = rect.top() + VERDICT_Y + 5.0;
    let mut x = left;
    let word = if told.amount.is_empty() { semibold(text::PANEL) } else { regular(text::BODY) };
    for (words, font, ink) in [
        (told.word, word, ink),
        (told.amount.as_str(), semibold(20.0), ink),
        (told.rest.as_str(), regular(text::CAPTION), t.ink2),
    ] {
        if !words.is_empty() {
            let galley = paint::fitted(painter, words, font, ink, (rect.right() - x).max(0.0));
            x = paint::place(painter, pos2(x, base), Align::Min, galley, ink).right() + 6.0;
        }
    }
    let rule = study.asked.rings.get(index).map_or_else(String::new, |ring| ring.wanted.rule(units));
    let spoken = format!("{name}: {} {} {}. Wanted: {rule}", told.word, told.amount, told.rest);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    if response.has_focus() {
        paint::focus_ring(ui.painter(), rect, radius::BUTTON, t);
    }
    let doubt = gap.stages.doubt_mm.map(|mm| write(Kind::Length, mm, None, units));
    let doubt = doubt.map_or_else(|| "no instrument is named".to_owned(), |mm| format!("read to ±{mm}"));
    response.on_hover_text(format!("Wanted: {rule} ({}); {doubt}", ring.source));
}

/// The line with its ticks and figures.
fn ruler(painter: &Painter, line: Rect, scale: Scale, units: &UnitChoice, t: &Tokens) {
    let y = line.top();
    let x = |part: f32| line.left() + part * line.width();
    paint::hline(painter, x(0.0), x(1.0), y, t.stroke(width::REST, t.line2));
    for i in 0..=2 * scale.steps {
        let mm = f64::from(i) * scale.step / 2.0;
        let at = x(scale.part(mm));
        let figure = i % 2 == 0;
        paint::vline(painter, at, y, y + if figure { 5.0 } else { 3.0 }, t.stroke(width::REST, t.line2));
        if figure {
            let words = write(Kind::Length, mm, None, units).number;
            paint::text_mid(painter, pos2(at, y + 12.0), Align::Center, &words, regular(text::LEAST), t.ink3);
        }
    }
}

/// What is used as it is, what is wanted, what is there.
fn state(painter: &Painter, line: Rect, scale: Scale, gap: &GapAnswer, t: &Tokens) {
    let y = line.top();
    let x = |mm: f64| line.left() + scale.part(mm) * line.width();
    let (wanted, widest) = (x(gap.wanted_mm), x(gap.widest_mm));
    let span = Rect::from_min_max(pos2(wanted, y - 1.5), pos2(widest, y + 1.5));
    painter.rect_filled(span, 0.0, t.ink3);
    paint::vline(painter, wanted, y - 9.0, y + 2.0, t.stroke(width::HEAVY, t.ink));
    let Some((_, mm)) = gap.now else { return };
    let now = x(mm);
    if let Some(doubt) = gap.stages.doubt_mm {
        let (low, high) = (x(mm - doubt), x(mm + doubt));
        paint::hline(painter, low, high, y - 11.0, t.stroke(width::REST, t.ink2));
        for end in [low, high] {
            paint::vline(painter, end, y - 13.0, y - 9.0, t.stroke(width::REST, t.ink2));
        }
    }
    match gap.verdict {
        Verdict::File { .. } => {
            // An arrow as thick as a finger's line, from what is there to
            // what is wanted.
            let head = 8.0_f32.min(wanted - now);
            let shaft = Rect::from_min_max(pos2(now, y - 7.0), pos2(wanted - head, y - 2.0));
            painter.rect_filled(shaft, 0.0, t.accent);
            let corners =
                vec![pos2(wanted - head, y - 9.5), pos2(wanted, y - 4.5), pos2(wanted - head, y + 0.5)];
            painter.add(Shape::convex_polygon(corners, t.accent, Stroke::NONE));
            paint::vline(painter, now, y - 9.0, y + 2.0, t.stroke(width::HEAVY, t.accent));
        }
        Verdict::TooTight { .. } | Verdict::TooWide { .. } => {
            let corners = [(0.0, -12.0), (5.0, -7.0), (0.0, -2.0), (-5.0, -7.0)];
            let corners = corners.map(|(dx, dy)| pos2(now + dx, y + dy)).to_vec();
            painter.add(Shape::convex_polygon(corners, t.warn, Stroke::NONE));
        }
        Verdict::Leave { .. } | Verdict::Unmeasured => {
            painter.circle(pos2(now, y - 6.0), 3.5, t.field, t.stroke(width::HEAVY, t.ink));
        }
    }
}
