//! The second step: the name, how many cylinders and heads, and how they
//! stand.

use super::{NewEngineWizard, caption, digit, pick, question_ui};
use crate::app::theme::{Tokens, radius, regular, semibold, space, text, width};
use crate::app::widgets::button::Button;
use crate::app::widgets::paint;
use crate::app::widgets::text_field::TextField;
use crate::project::{Assembly, Cooling, Layout, MAX_CYLINDERS};
use egui::accesskit::Role;
use egui::{Align, Id, RichText, Sense, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Width of the names before the answers.
const NAME: f32 = 92.0;
/// A cylinder in the plan.
const BORE: f32 = 26.0;

pub(super) fn cylinders_ui(ui: &mut Ui, begin: &mut NewEngineWizard, t: &Tokens) {
    let draft = &mut begin.draft;
    line(ui, "Name", t, |ui| {
        let field =
            TextField::line(Id::unique("begin name"), "Name of the engine", &draft.title).width(260.0);
        if let Some(typed) = field.show(ui, t).committed.filter(|typed| !typed.is_empty()) {
            draft.title = typed;
        }
    });
    if let Some(typed) = digit(ui) {
        draft.cylinders = typed;
    }
    draft.cylinders = count_ui(ui, "Cylinders", draft.cylinders, MAX_CYLINDERS, t);
    draft.heads = count_ui(ui, "Heads", draft.heads.min(draft.cylinders), draft.cylinders, t);
    caption(ui, "A digit gives the cylinders. More than one head: they are shared out from the first on.", t);
    question_ui(ui, "How do they stand, seen from the front?", t);
    let two = draft.heads > 1;
    if !two && matches!(draft.standing, Layout::Leaning(_)) {
        draft.standing = Layout::Upright;
    }
    ui.horizontal_wrapped(|ui| {
        let lying = if two { "Lying, to both sides" } else { "Lying" };
        for (standing, words) in [(Layout::Upright, "Upright"), (Layout::Lying, lying)] {
            if pick(ui, "stand", words, draft.standing == standing, t) {
                draft.standing = standing;
            }
        }
        if two {
            for between in [45, 60, 90] {
                let standing = Layout::Leaning(between);
                let words = format!("{between}° apart");
                if pick(ui, "stand", &words, draft.standing == standing, t) {
                    draft.standing = standing;
                }
            }
        }
    });
    question_ui(ui, "Cooled by", t);
    ui.horizontal(|ui| {
        for (cooling, words) in [(Cooling::Air, "Air"), (Cooling::Water, "Water")] {
            if pick(ui, "cooling", words, draft.cooling == cooling, t) {
                draft.cooling = cooling;
            }
        }
    });
    ui.add_space(space::NEAR);
    plan_ui(ui, &draft.project().engine, t);
}

fn line<R>(ui: &mut Ui, name: &str, t: &Tokens, answer: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(NAME, 28.0), Sense::hover());
        let at = pos2(rect.left(), rect.center().y);
        paint::text_mid(ui.painter(), at, Align::Min, name, regular(text::BODY), t.ink);
        answer(ui)
    })
    .inner
}

/// A number with a button on either side.
fn count_ui(ui: &mut Ui, name: &str, value: usize, most: usize, t: &Tokens) -> usize {
    let small = name.to_lowercase();
    line(ui, name, t, |ui| {
        let (fewer, more) = (format!("Fewer {small}"), format!("More {small}"));
        let step = |ui: &mut Ui, sign: &str, says: &str, enabled: bool| {
            let button =
                Button::plain(Id::unique(("begin count", says)), sign).enabled(enabled).tooltip(says);
            let response = button.add(ui, t);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, says));
            response.clicked()
        };
        let less = step(ui, "\u{2212}", &fewer, value > 1);
        let (rect, response) = ui.allocate_exact_size(vec2(34.0, 28.0), Sense::hover());
        let font = semibold(text::TITLE);
        paint::text_mid(ui.painter(), rect.center(), Align::Center, &value.to_string(), font, t.ink);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{name}: {value}")));
        let add = step(ui, "+", &more, value < most);
        match (less, add) {
            (true, _) => value.saturating_sub(1).max(1),
            (_, true) => (value + 1).min(most),
            _ => value,
        }
    })
}

/// The engine from above: each head over its cylinders, and how they stand.
fn plan_ui(ui: &mut Ui, engine: &Assembly, t: &Tokens) {
    ui.horizontal_wrapped(|ui| {
        for head in &engine.heads {
            let under: Vec<usize> = engine.under_head(&head.label).collect();
            let wide = under.len() as f32 * (BORE + 6.0) + 14.0;
            let (rect, response) = ui.allocate_exact_size(vec2(wide, BORE + 12.0), Sense::hover());
            let painter = ui.painter();
            painter.rect(
                rect,
                radius::BUTTON,
                t.parts.head,
                t.stroke(width::REST, t.ink2),
                StrokeKind::Inside,
            );
            let mut labels = Vec::new();
            for (place, &cylinder) in under.iter().enumerate() {
                let label = engine.cylinders.get(cylinder).map_or("", |c| c.label.as_str());
                let x = rect.left() + 10.0 + BORE / 2.0 + place as f32 * (BORE + 6.0);
                let centre = pos2(x, rect.center().y);
                painter.circle(centre, BORE / 2.0, t.sheet, t.stroke(width::REST, t.ink2));
                paint::text_mid(painter, centre, Align::Center, label, semibold(text::DIMENSION), t.ink);
                labels.push(label);
            }
            response.widget_info(|| {
                let says = format!("Head {} over cylinders {}", head.label, labels.join(", "));
                WidgetInfo::labeled(Role::Label, true, says)
            });
        }
    });
    let level = engine.heads.iter().any(|head| head.level);
    let stands = |label: &str| {
        let first = engine.under_head(label).next().unwrap_or_default();
        match engine.orientation(first).lean_deg() {
            lean if lean < 0.0 => "to the left",
            lean if lean > 0.0 => "to the right",
            _ => "upright",
        }
    };
    let heads: Vec<String> =
        engine.heads.iter().map(|head| format!("head {} {}", head.label, stands(&head.label))).collect();
    let mut says = heads.join(", ");
    if level {
        says.push_str("; barrels under one head must stand level");
    }
    let mut chars = says.chars();
    let says: String = chars.next().map(|c| c.to_ascii_uppercase()).into_iter().chain(chars).collect();
    ui.label(RichText::new(format!("{says}.")).font(regular(text::CAPTION)).color(t.ink2));
}
