//! Every widget in every state, as small pictures and as behaviour.

use crate::app::layout::Rows;
use crate::app::theme::{self, Theme, Tokens};
use crate::app::widgets::effect_bar::Effect;
use crate::app::widgets::field::{Check, QuantityField};
use crate::app::widgets::mark::ProvenanceMark;
use crate::app::widgets::row::{self, DimensionEntry, RowEvent};
use crate::app::widgets::slider::Slider;
use egui::accesskit::Role;
use egui::{Event, Id, Ui, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotResults};

/// A harness in `theme` whose ground is the panel colour.
pub(super) fn harness<'a, S: 'a>(
    theme: Theme,
    size: Vec2,
    state: S,
    mut show: impl FnMut(&mut Ui, &Tokens, &mut S) + 'a,
) -> Harness<'a, S> {
    Harness::builder()
        .with_size(size)
        .with_theme(if theme.tokens().dark { egui::Theme::Dark } else { egui::Theme::Light })
        .with_step_dt(0.02)
        .with_render_cursor(false)
        .with_context_setup(move |ctx| theme::apply(ctx, theme))
        .build_ui_state(
            move |ui, state| {
                let t = theme.tokens();
                let ground = ui.ctx().content_rect();
                ui.painter().rect_filled(ground, 0.0, t.panel);
                let mut area = ui.new_child(egui::UiBuilder::new().id_salt("gallery").max_rect(ground));
                area.spacing_mut().item_spacing = Vec2::ZERO;
                show(&mut area, t, state);
            },
            state,
        )
}

/// A made-up dimension.
#[derive(Clone)]
pub(super) struct Row {
    key: &'static str,
    value: f64,
    text: String,
    unit: &'static str,
    known: ProvenanceMark,
    kept: Option<f64>,
    effect: (&'static str, f32),
    range: (f64, f64),
    step: f64,
    standing: Option<&'static str>,
}

impl Row {
    fn new(
        key: &'static str,
        value: f64,
        known: ProvenanceMark,
        effect: (&'static str, f32),
        range: (f64, f64),
    ) -> Self {
        Self {
            key,
            value,
            text: format!("{value:.2}").replace('-', "−"),
            unit: "mm",
            known,
            kept: None,
            effect,
            range,
            step: (range.1 - range.0) / 20.0,
            standing: None,
        }
    }
}

pub(super) fn check(text: &str) -> Check {
    match text {
        "0.014" => Check::Question {
            ask: "Thinner than foil. Did you mean 0.014 in?".into(),
            choices: "Enter: 0.36 mm.   Escape: keep 0.25 mm.".into(),
            enter: "0.014 in".into(),
        },
        _ if text.starts_with('-') => {
            Check::Refused("A bore is above 0. The engine still uses 86.01 mm.".into())
        }
        _ if text.parse::<f64>().is_ok() || text.ends_with(" thou") => Check::Fine,
        _ => Check::Refused(format!("“{text}” is not a length. Write 86.01, 3 1/2 in or 43 thou.")),
    }
}

pub(super) fn meaning(text: &str) -> Option<String> {
    text.ends_with("thou").then(|| format!("{text} is 0.254 mm"))
}

fn show_row(ui: &mut Ui, t: &Tokens, r: &mut Row, rows: Rows, in_hand: bool) -> Option<RowEvent> {
    let words = format!("{} {}", r.text, r.unit);
    let out = DimensionEntry {
        field: QuantityField {
            id: Id::unique(("row", r.key)),
            name: r.key,
            value: &r.text,
            unit: r.unit,
            known: r.known,
            moved: r.kept.is_some_and(|k| k != r.value),
            struck: false,
            check: &check,
            meaning: &meaning,
        },
        label: r.key,
        known_how: "inside micrometer, six readings, ±0.01",
        help: "What it is, in one sentence",
        effect: (!r.effect.0.is_empty()).then_some(Effect {
            text: r.effect.0,
            share: r.effect.1,
            sentence: "0.1 mm more moves the ratio",
        }),
        rule: (r.range.1 > r.range.0).then(|| Slider {
            name: r.key,
            value_text: &words,
            value: r.value,
            range: r.range.0..=r.range.1,
            step: r.step,
            kept: r.kept,
        }),
        standing: r.standing,
        rows,
        in_hand,
    }
    .show(ui, t);
    out.event
}

/// The rows of the picture of states.
fn rows() -> Vec<Row> {
    let base = Row::new("Base shim", 0.25, ProvenanceMark::Measured, ("−0.09", -0.6), (0.0, 1.0));
    vec![
        Row::new("Rod length", 130.0, ProvenanceMark::Measured, ("+0.09", 0.6), (129.2, 131.2)),
        Row { key: "Base gasket", ..base.clone() },
        Row { kept: Some(0.5), ..base.clone() },
        Row::new("Stroke", 74.0, ProvenanceMark::Assumed, ("+0.06", 0.4), (73.2, 75.2)),
        Row {
            text: String::new(),
            unit: "cc",
            standing: Some("No ratio without it. Fill the chamber, or type a guess."),
            ..Row::new("Chamber volume", 0.0, ProvenanceMark::Missing, ("", 0.0), (0.0, 0.0))
        },
        Row { key: "Shim, slip", ..base },
        Row::new("Bore", 86.01, ProvenanceMark::Measured, ("0", 0.0), (85.0, 87.0)),
    ]
}

/// Holds the picture against the one in `tests/snapshots/widgets`.
pub(super) fn keep(name: &str, harness: &mut Harness<'_, impl Sized>, results: &mut SnapshotResults) {
    harness.snapshot(format!("widgets/{name}"));
    results.extend_harness(harness);
}

#[test]
fn picture_of_rows() {
    let mut results = SnapshotResults::new();
    for (theme, name) in
        [(Theme::Paper, "rows_paper"), (Theme::Slate, "rows_slate"), (Theme::ContrastDark, "rows_contrast")]
    {
        let mut h = harness(theme, vec2(312.0, 376.0), rows(), |ui, t, rows: &mut Vec<Row>| {
            row::group_head(ui, "Tower", "raises the barrel top", t);
            for r in rows.iter_mut() {
                ui.add_space(4.0);
                show_row(ui, t, r, Rows::Full, false);
            }
        });
        h.run();
        h.get_by_role_and_label(Role::TextInput, "Bore").set_text_value_accesskit("-86");
        h.get_by_role_and_label(Role::TextInput, "Shim, slip").set_text_value_accesskit("0.014");
        h.run();
        h.get_by_role_and_label(Role::TextInput, "Base gasket").focus();
        h.run();
        let at = h.get_by_role_and_label(Role::Slider, "Rod length").rect().center();
        h.hover_at(at);
        h.run();
        keep(name, &mut h, &mut results);
    }
}

#[test]
fn picture_of_typing() {
    let mut results = SnapshotResults::new();
    let mut h = harness(Theme::Paper, vec2(312.0, 60.0), rows(), |ui, t, rows: &mut Vec<Row>| {
        ui.add_space(8.0);
        show_row(ui, t, &mut rows[1], Rows::Full, false);
    });
    h.get_by_role_and_label(Role::TextInput, "Base gasket").focus();
    h.run();
    h.event(Event::Text("10 thou".into()));
    h.run();
    keep("typing", &mut h, &mut results);
}

#[test]
fn picture_of_compact_rows() {
    let mut results = SnapshotResults::new();
    let mut h = harness(Theme::Paper, vec2(272.0, 226.0), rows(), |ui, t, rows: &mut Vec<Row>| {
        row::group_head(ui, "Tower", "raises the barrel top", t);
        for (i, r) in rows.iter_mut().take(4).enumerate() {
            show_row(ui, t, r, Rows::Compact, i == 2);
        }
        row::group_head(ui, "Reach", "raises the piston", t);
        for r in rows.iter_mut().skip(5) {
            show_row(ui, t, r, Rows::Plain, false);
        }
    });
    h.step();
    keep("compact", &mut h, &mut results);
}
