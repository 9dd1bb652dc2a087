//! Every widget in every state, as small pictures and as behaviour.

use crate::app::icons::Icon;
use crate::app::layout::{Rows, layout};
use crate::app::theme::{self, Theme, Tokens};
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::clearance_bar::{self, ClearanceBar, Term};
use crate::app::widgets::effect_bar::Effect;
use crate::app::widgets::field::{Check, QuantityField};
use crate::app::widgets::front::{self, Front};
use crate::app::widgets::grip::Handle;
use crate::app::widgets::level_bank::{self, Barrel, Head, LevelBank};
use crate::app::widgets::limit_row::{self, LimitRow, Span};
use crate::app::widgets::mark::Known;
use crate::app::widgets::row::{self, DimensionRow, RowEvent};
use crate::app::widgets::rule::Rule;
use crate::app::widgets::verdict::{self, Verdict};
use crate::app::widgets::{paint, panel, plot_cursor};
use egui::accesskit::Role;
use egui::{Align, Event, Id, Rect, Ui, Vec2, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

/// A harness in `theme` whose ground is the panel colour.
pub fn harness<'a, S: 'a>(
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
pub struct Row {
    key: &'static str,
    value: f64,
    text: String,
    unit: &'static str,
    known: Known,
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
        known: Known,
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

pub fn check(text: &str) -> Check {
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

pub fn meaning(text: &str) -> Option<String> {
    text.ends_with("thou").then(|| format!("{text} is 0.254 mm"))
}

fn show_row(ui: &mut Ui, t: &Tokens, r: &mut Row, rows: Rows, in_hand: bool) -> Option<RowEvent> {
    let words = format!("{} {}", r.text, r.unit);
    let out = DimensionRow {
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
        known_how: "inside micrometer, six readings, ±0.01",
        help: "What it is, in one sentence",
        effect: (!r.effect.0.is_empty()).then_some(Effect {
            text: r.effect.0,
            share: r.effect.1,
            sentence: "0.1 mm more moves the ratio",
        }),
        rule: (r.range.1 > r.range.0).then(|| Rule {
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
    let base = Row::new("Base shim", 0.25, Known::Measured, ("−0.09", -0.6), (0.0, 1.0));
    vec![
        Row::new("Rod length", 130.0, Known::Measured, ("+0.09", 0.6), (129.2, 131.2)),
        Row { key: "Base gasket", ..base.clone() },
        Row { kept: Some(0.5), ..base.clone() },
        Row::new("Stroke", 74.0, Known::Assumed, ("+0.06", 0.4), (73.2, 75.2)),
        Row {
            text: String::new(),
            unit: "cc",
            standing: Some("No ratio without it. Fill the chamber, or type a guess."),
            ..Row::new("Chamber volume", 0.0, Known::Missing, ("", 0.0), (0.0, 0.0))
        },
        Row { key: "Shim, slip", ..base },
        Row::new("Bore", 86.01, Known::Measured, ("0", 0.0), (85.0, 87.0)),
        Row {
            value: 9.0,
            text: "9.00".into(),
            ..Row::new("Deep bowl", 9.0, Known::Measured, ("+0.01", 0.01), (0.0, 8.0))
        },
    ]
}

fn save(name: &str, harness: &mut Harness<'_, impl Sized>) {
    if let Ok(folder) = std::env::var("CROWNDECK_PICTURES") {
        let image = harness.render().unwrap();
        image.save(std::path::Path::new(&folder).join(format!("{name}.png"))).unwrap();
    }
}

#[test]
fn picture_of_rows() {
    for (theme, name) in
        [(Theme::Paper, "rows_paper"), (Theme::Slate, "rows_slate"), (Theme::ContrastDark, "rows_contrast")]
    {
        let mut h = harness(theme, vec2(312.0, 420.0), rows(), |ui, t, rows: &mut Vec<Row>| {
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
        save(name, &mut h);
    }
}

#[test]
fn picture_of_typing() {
    let mut h = harness(Theme::Paper, vec2(312.0, 60.0), rows(), |ui, t, rows: &mut Vec<Row>| {
        ui.add_space(8.0);
        show_row(ui, t, &mut rows[1], Rows::Full, false);
    });
    h.get_by_role_and_label(Role::TextInput, "Base gasket").focus();
    h.run();
    h.event(Event::Text("10 thou".into()));
    h.run();
    save("typing", &mut h);
}

#[test]
fn picture_of_compact_rows() {
    let mut h = harness(Theme::Paper, vec2(272.0, 260.0), rows(), |ui, t, rows: &mut Vec<Row>| {
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
    save("compact", &mut h);
}

/// The right column with figures, as it stands in the usual window.
fn right_column_ui(ui: &mut Ui, t: &Tokens, size: Vec2) {
    let l = layout(size, false);
    let origin = l.right.min.to_vec2();
    let at = |r: Rect| r.translate(-origin + vec2(8.0, 8.0));
    ui.painter().rect_filled(ui.max_rect(), 0.0, t.board);
    panel::paint_panel(ui.painter(), at(l.cylinders), t);
    let inside = panel::inside(at(l.cylinders));
    let title = pos2(inside.left(), inside.top() + 2.5);
    paint::text_mid(
        ui.painter(),
        title,
        Align::Min,
        "All cylinders, worst first",
        theme::semibold(theme::text::PANEL),
        t.ink,
    );
    let barrel = |label, offset_mm, squish, ratio| Barrel {
        label,
        offset_mm,
        outside: offset_mm < -0.03,
        squish,
        ratio,
    };
    let right = [
        barrel("5", -0.05, "0.98", "9.17"),
        barrel("4", 0.007, "1.06", "9.16"),
        barrel("6", 0.017, "1.08", "9.16"),
    ];
    let left = [
        barrel("1", 0.007, "1.10", "9.14"),
        barrel("3", 0.007, "1.10", "9.08"),
        barrel("2", 0.017, "1.11", "9.16"),
    ];
    let heads = [
        Head {
            name: "Right bank",
            level: "level 0.07",
            verdict: Verdict::Over,
            tolerance_mm: Some(0.03),
            barrels: &right,
        },
        Head {
            name: "Left bank",
            level: "level 0.01",
            verdict: Verdict::Inside,
            tolerance_mm: Some(0.03),
            barrels: &left,
        },
    ];
    let bank = Rect::from_min_size(inside.min + vec2(0.0, 16.0), vec2(inside.width(), level_bank::HEIGHT));
    LevelBank { id: Id::unique("bank"), heads: &heads, chosen: "1" }.show(ui, bank, t);

    let drawer = at(l.drawer);
    panel::paint_panel(ui.painter(), drawer, t);
    let inside = panel::inside(drawer);
    let head = Rect::from_min_size(inside.min - vec2(0.0, 3.0), vec2(inside.width(), 15.0));
    front::drawer_head(ui, head, Id::unique("head"), Icon::Figures, "Figures", "F2", t);
    let rows = [
        (
            Verdict::Over,
            "Level, right bank",
            "0.07 mm",
            "0.04 over",
            "at most 0.03",
            Some((0.07, Span::AtMost(0.03))),
        ),
        (
            Verdict::Close,
            "Static ratio, wanted 9.30",
            "9.14 ±0.05",
            "too near to call",
            "9.15 to 9.45",
            Some((9.14, Span::Between(9.15, 9.45))),
        ),
        (
            Verdict::Inside,
            "Squish, tightest is 5",
            "0.98 mm",
            "0.08 to spare",
            "0.90 to 1.50",
            Some((0.98, Span::Between(0.9, 1.5))),
        ),
        (
            Verdict::Unknown,
            "Piston to valve",
            "not measured",
            "no verdict until it is measured",
            "1.50 in, 2.00 out",
            None,
        ),
    ];
    let mut y = inside.top() + 22.0;
    for (verdict, name, value, word, limit, scale) in rows {
        let rect = Rect::from_min_size(pos2(inside.left(), y), vec2(inside.width(), limit_row::HEIGHT));
        LimitRow {
            id: Id::unique(name),
            verdict,
            name,
            value,
            word,
            limit,
            scale,
            source: "common practice",
        }
        .show(ui, rect, t);
        y += limit_row::HEIGHT;
    }
    panel::divider(ui.painter(), inside, y + 5.0, t);
    panel::caption_and_number(
        ui.painter(),
        inside,
        y + 21.0,
        ("Clearance volume", "52.8", "cc"),
        theme::text::TITLE,
        t,
    );
    let v = t.volumes;
    let terms = [
        Term { label: "Chamber 60.0", cc: 60.0, tint: v.chamber },
        Term { label: "Deck 6.4", cc: 6.4, tint: v.deck },
        Term { label: "Pockets 4.0", cc: 4.0, tint: v.pockets },
        Term { label: "Top land 0.5", cc: 0.5, tint: v.top_land },
        Term { label: "Dome −18.0", cc: -18.0, tint: v.dome },
    ];
    let bar = Rect::from_min_size(pos2(inside.left(), y + 38.0), vec2(inside.width(), clearance_bar::HEIGHT));
    ClearanceBar { id: Id::unique("volume"), terms: &terms, left_over: "52.8 cc left" }.show(ui, bar, t);
    let share = Rect::from_min_size(pos2(inside.left(), y + 146.0), vec2(inside.width(), 15.0));
    clearance_bar::share_bar(ui, share, Id::unique("share"), &[(0.92, "chamber filling 92 %")], t);
    let fronts = [
        (Icon::Effects, "What moves what", "F3", "0.10 shim: ratio −0.09", None),
        (Icon::Readings, "Readings", "F4", "6 of 6 measured", None),
        (Icon::Shims, "Shims", "F5", "right bank not level", Some(Verdict::Over)),
        (Icon::Rings, "Rings", "F6", "12 gaps to file", Some(Verdict::Inside)),
        (
            Icon::Binder,
            "Binder",
            "F7",
            "a status far too long for the front of a drawer, broken",
            Some(Verdict::Close),
        ),
        (Icon::Log, "Bench log", "F8", "last entry 14:20", None),
        (Icon::Lessons, "Lessons", "F1", "2 of 9 done", None),
    ];
    for ((icon, name, key, status, verdict), rect) in fronts.into_iter().zip(l.fronts) {
        Front { id: Id::unique(name), icon, name, key, status, verdict }.show(ui, at(rect), t);
    }
}

#[test]
fn picture_of_the_right_column() {
    for (theme, size, name) in [
        (Theme::Paper, vec2(1440.0, 900.0), "right_paper"),
        (Theme::Slate, vec2(1440.0, 900.0), "right_slate"),
        (Theme::ContrastLight, vec2(1440.0, 900.0), "right_contrast"),
        (Theme::Paper, vec2(1280.0, 720.0), "right_small"),
    ] {
        let l = layout(size, false).right.size() + vec2(16.0, 16.0);
        let mut h = harness(theme, l, (), move |ui, t, ()| right_column_ui(ui, t, size));
        h.run();
        h.get_by_label("Binder: a status far too long for the front of a drawer, broken").focus();
        h.run();
        save(name, &mut h);
    }
}

fn curves_ui(ui: &mut Ui, t: &Tokens) {
    use crate::app::widgets::curve_plot::{Axis, CurvePlot};
    let bell = |width: f64, top: f64| -> Vec<[f64; 2]> {
        (-90..=90)
            .map(|i| f64::from(i) * 2.0)
            .map(|a| [a, 1.0 + top / (1.0 + (a / width) * (a / width))])
            .collect()
    };
    let (curve, kept) = (bell(28.0, 8.1), bell(28.0, 6.5));
    panel::paint_panel(ui.painter(), ui.max_rect().shrink(4.0), t);
    let plot = CurvePlot {
        id: Id::unique("ratio"),
        title: "Ratio so far",
        value: ("9.14", ""),
        cursor: (0.0, Some(9.1)),
        angles: -180.0..=180.0,
        angle_ticks: &[(-180.0, "−180"), (-90.0, "−90"), (0.0, "0°"), (90.0, "90"), (180.0, "180")],
        axis: Axis { foot: 0.0, top: 10.0, ticks: &[(1.0, "1"), (5.0, "5"), (9.0, "9")] },
        curve: &curve,
        kept: &kept,
        marks: &[(-125.0, "intake shuts")],
    };
    plot.show(ui, Rect::from_min_size(pos2(18.0, 10.0), vec2(222.0, 164.0)), t);
}

#[test]
fn picture_of_a_plot() {
    let mut h = harness(Theme::Paper, vec2(260.0, 184.0), (), |ui, t, ()| curves_ui(ui, t));
    h.run();
    save("plot", &mut h);
}

/// Buttons, verdicts, handles, icons and the cursor of the curves.
fn small_things_ui(ui: &mut Ui, t: &Tokens) {
    let id = |name: &str| Id::unique(("small", name));
    ui.add_space(10.0);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        ui.add_space(10.0);
        Button::primary(id("fit"), "Fit choice 1").add(ui, t);
        Button::plain(id("keep"), "Keep this state").with_icon(Icon::Keep).with_key("K").add(ui, t);
        Button::plain(id("next"), "Next").enabled(false).tooltip("first do your turn").add(ui, t);
        Button::plain(id("fill"), "Fill again").add(ui, t);
        Button::icon(id("undo"), Icon::Undo, "Undo").add(ui, t);
        Button { kind: Kind::Chosen, ..Button::plain(id("mm"), "mm") }.add(ui, t);
    });
    let p = ui.painter().clone();
    for (i, v) in [Verdict::Inside, Verdict::Close, Verdict::Over, Verdict::Unknown].into_iter().enumerate() {
        verdict::with_word(&p, pos2(14.0, 62.0 + 24.0 * i as f32), v, v.word(), 13.5, t);
        v.paint(&p, pos2(170.0, 62.0 + 24.0 * i as f32), 18.0, t);
    }
    for (i, icon) in Icon::ALL.into_iter().enumerate() {
        icon.paint_in(
            &p,
            Rect::from_min_size(
                pos2(10.0 + 36.0 * (i % 11) as f32, 150.0 + 32.0 * (i / 11) as f32),
                vec2(24.0, 24.0),
            ),
            t.ink,
        );
    }
    let mut flags = Vec::new();
    for (i, name) in ["rest", "focus", "drag"].into_iter().enumerate() {
        let handle = Handle {
            id: id(name),
            center: pos2(230.0 + 100.0 * i as f32, 120.0),
            upright: true,
            name,
            flag: "shim 0.25",
            flag_second: "drag or arrows",
            value_text: "0.25 mm",
        };
        let out = handle.show(ui, t);
        flags.push((handle, out.response));
    }
    for (handle, response) in &flags {
        handle.paint_flag(ui, response, ui.max_rect(), t);
    }
    let plot = Rect::from_min_size(pos2(10.0, 222.0), vec2(160.0, 80.0));
    p.rect_stroke(plot, 0.0, egui::Stroke::new(1.0, t.line), egui::StrokeKind::Inside);
    plot_cursor::paint_cursor(&p, plot, pos2(110.0, 250.0), t);
    plot_cursor::paint_marked_angle(&p, plot, 50.0, "intake shuts", t);
}

#[test]
fn picture_of_small_things() {
    for (theme, name) in [(Theme::Paper, "small_paper"), (Theme::Slate, "small_slate")] {
        let mut h = harness(theme, vec2(540.0, 310.0), (), |ui, t, ()| small_things_ui(ui, t));
        h.run();
        h.get_by_role_and_label(Role::Slider, "focus").focus();
        h.run();
        save(&format!("{name}_focus"), &mut h);
        let at = h.get_by_role_and_label(Role::Slider, "drag").rect().center();
        h.drag_at(at);
        h.run();
        save(name, &mut h);
    }
}
