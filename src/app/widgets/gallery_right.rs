//! Pictures of all that stands right of the sheet, of the small things, and
//!

use crate::app::icons::Icon;
use crate::app::theme::{self, Theme, Tokens};
use crate::app::widgets::button::{Button, Kind};
use crate::app::widgets::clearance_bar::{self, ClearanceBar, Term};
use crate::app::widgets::gallery::{harness, keep};
use crate::app::widgets::grip::Handle;
use crate::app::widgets::level_bank::{self, Barrel, Head, LevelBank};
use crate::app::widgets::limit_gauge::{self, LimitGauge, Span};
use crate::app::widgets::panel_tab::{self, PanelTab};
use crate::app::widgets::verdict::{self, Verdict};
use crate::app::widgets::{paint, panel};
use egui::accesskit::Role;
use egui::{Align, Id, Rect, Ui, pos2, vec2};
use egui_kittest::SnapshotResults;
use egui_kittest::kittest::Queryable as _;

/// The cylinders, in the room of the usual or the small window.
fn cylinders_ui(ui: &mut Ui, t: &Tokens) {
    let panel = ui.max_rect();
    panel::paint_panel(ui.painter(), panel, t);
    let inside = panel::inside(panel);
    let title = pos2(inside.left(), inside.top() + 2.5);
    let font = theme::semibold(theme::text::PANEL);
    paint::text_mid(ui.painter(), title, Align::Min, "All cylinders, worst first", font, t.ink);
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
    let head =
        |name, level, verdict, barrels| Head { name, level, verdict, tolerance_mm: Some(0.03), barrels };
    let heads = [
        head("Right bank", "level 0.07", Some(Verdict::Over), &right[..]),
        head("Left bank", "level 0.01", Some(Verdict::Inside), &left[..]),
    ];
    let bank = Rect::from_min_size(inside.min + vec2(0.0, 16.0), vec2(inside.width(), level_bank::HEIGHT));
    LevelBank { id: Id::unique("bank"), heads: &heads, chosen: "1" }.show(ui, bank, t);
}

/// A limit of the gallery: how it stands, its words, and its scale.
type Limit = (Verdict, [&'static str; 4], Option<(f64, Span)>);

/// The drawer with the figures.
fn figures_ui(ui: &mut Ui, t: &Tokens) {
    let panel = ui.max_rect();
    panel::paint_panel(ui.painter(), panel, t);
    let inside = panel::inside(panel);
    let head = Rect::from_min_size(inside.min - vec2(0.0, 3.0), vec2(inside.width(), 15.0));
    panel_tab::panel_head(ui, head, Id::unique("head"), Icon::Figures, "Figures", "F2", t);
    let limits: [Limit; 4] = [
        (
            Verdict::Over,
            ["Level, right bank", "0.07 mm", "0.04 over", "at most 0.03"],
            Some((0.07, Span::AtMost(0.03))),
        ),
        (
            Verdict::Close,
            ["Static ratio, wanted 9.30", "9.14 ±0.05", "too near to call", "9.15 to 9.45"],
            Some((9.14, Span::Between(9.15, 9.45))),
        ),
        (
            Verdict::Inside,
            ["Squish, tightest is 5", "0.98 mm", "0.08 to spare", "0.90 to 1.50"],
            Some((0.98, Span::Between(0.9, 1.5))),
        ),
        (
            Verdict::Unknown,
            ["Piston to valve", "not measured", "no verdict until it is measured", "1.50 in, 2.00 out"],
            None,
        ),
    ];
    let mut y = inside.top() + 22.0;
    for (verdict, [name, value, word, limit], scale) in limits {
        let rect = Rect::from_min_size(pos2(inside.left(), y), vec2(inside.width(), limit_gauge::HEIGHT));
        let source = "common practice";
        LimitGauge { id: Id::unique(name), verdict, name, value, word, limit, scale, source }
            .show(ui, rect, t);
        y += limit_gauge::HEIGHT;
    }
    panel::divider(ui.painter(), inside, y + 5.0, t);
    let v = t.volumes;
    let term = |label, cc, tint| Term { label, cc, tint };
    let terms = [
        term("Chamber 60.0", 60.0, v.chamber),
        term("Deck 6.4", 6.4, v.deck),
        term("Pockets 4.0", 4.0, v.pockets),
        term("Top land 0.5", 0.5, v.top_land),
        term("Dome −18.0", -18.0, v.dome),
    ];
    let bar = Rect::from_min_size(pos2(inside.left(), y + 37.0), vec2(inside.width(), clearance_bar::HEIGHT));
    ClearanceBar { id: Id::unique("volume"), terms: &terms, left_over: "52.8 cc left" }.show(ui, bar, t);
}

/// Fronts with every kind of status.
fn fronts_ui(ui: &mut Ui, t: &Tokens) {
    let fronts = [
        (Icon::Effects, "What moves what", "F3", "0.10 shim: ratio −0.09", None),
        (Icon::Shims, "Shims", "F5", "right bank not level", Some(Verdict::Over)),
        (Icon::Rings, "Rings", "F6", "12 gaps to file", Some(Verdict::Inside)),
        (Icon::Binder, "Binder", "F7", "a status that is too long for its front", Some(Verdict::Close)),
        (Icon::Log, "Bench log", "F8", "last entry 14:20", None),
    ];
    ui.painter().rect_filled(ui.max_rect(), 0.0, t.board);
    let mut rect = Rect::from_min_size(pos2(8.0, 8.0), vec2(290.0, 28.0));
    for (icon, name, key, status, verdict) in fronts {
        PanelTab { id: Id::unique(name), icon, name, key, status, verdict }.show(ui, rect, t);
        rect = rect.translate(vec2(0.0, 32.0));
    }
}

#[test]
fn picture_of_the_cylinders() {
    let mut results = SnapshotResults::new();
    for (width, name) in [(380.0, "cylinders"), (312.0, "cylinders_small")] {
        let mut h = harness(Theme::Paper, vec2(width, 152.0), (), |ui, t, ()| cylinders_ui(ui, t));
        h.run();
        keep(name, &mut h, &mut results);
    }
}

#[test]
fn picture_of_the_figures() {
    let mut results = SnapshotResults::new();
    for (theme, width, name) in [
        (Theme::Paper, 380.0, "figures_paper"),
        (Theme::Slate, 380.0, "figures_slate"),
        (Theme::ContrastLight, 312.0, "figures_contrast_small"),
    ] {
        let mut h = harness(theme, vec2(width, 366.0), (), |ui, t, ()| figures_ui(ui, t));
        h.run();
        keep(name, &mut h, &mut results);
    }
}

#[test]
fn picture_of_the_fronts() {
    let mut results = SnapshotResults::new();
    let mut h = harness(Theme::Paper, vec2(306.0, 172.0), (), |ui, t, ()| fronts_ui(ui, t));
    h.run();
    h.get_by_label("Rings: 12 gaps to file").focus();
    h.run();
    keep("fronts", &mut h, &mut results);
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
            way: vec2(0.0, -1.0),
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
}

#[test]
fn picture_of_small_things() {
    let mut results = SnapshotResults::new();
    for (theme, name) in [(Theme::Paper, "small_paper"), (Theme::Slate, "small_slate")] {
        let mut h = harness(theme, vec2(540.0, 214.0), (), |ui, t, ()| small_things_ui(ui, t));
        h.run();
        // one handle is in the hand, another has the keyboard
        let at = h.get_by_role_and_label(Role::Slider, "drag").rect().center();
        h.drag_at(at);
        h.run();
        h.get_by_role_and_label(Role::Slider, "focus").focus();
        h.run();
        keep(name, &mut h, &mut results);
    }
}
