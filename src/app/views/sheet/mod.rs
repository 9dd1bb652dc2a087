//! The sheet: the section to scale with its details, or the two towers; the
//! handles on it, the title block, and one line about what the last change
//! did.

mod comparison;
mod drag_handles;
mod drawing;
mod empty;
mod faults;
mod note;
mod ruler;
mod toolbar;
mod viewport;

pub(crate) use note::step_note;

use super::ViewContext;
use super::title_block::title_block_ui;
use crate::app::command::{Action, Command};
use crate::app::layout::{Layout, Rows};
use crate::app::memo::Memo;
use crate::app::theme::{Tokens, regular, space, text, width};
use crate::app::widgets::paint;
use crate::drawing::list::{Ink, Part, Term};
use crate::drawing::{Frame, HandleKind};
use crate::engine::{Key, words};
use crate::project::Gesture;
use drawing::{Cause, Drawn, Picture};
use egui::{Color32, Id, Pos2, Rect, Sense, Ui, UiBuilder, Vec2, pos2, vec2};
use ruler::Ruler;
use serde::{Deserialize, Serialize};
use toolbar::Chosen;
use viewport::Viewport;

/// Between the sheet's edge and its frame.
const FRAME_IN: f32 = 9.0;

/// What the sheet remembers.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct SheetView {
    /// The dimension whose handle is held or has the keyboard.
    #[serde(skip)]
    pub in_hand: Option<Key>,
    /// The dimension under the pointer.
    #[serde(skip)]
    pub hovered: Option<Key>,
    /// The two towers rather than the section.
    #[serde(skip)]
    towers: bool,
    /// The cylinder is drawn upright, however it stands in the engine.
    upright: bool,
    /// How long a millimetre is on this screen.
    ruler: Ruler,
    /// The bar that is matched to a ruler lies on the sheet.
    #[serde(skip)]
    matching: bool,
    /// Points per mm when the end of that bar was pressed.
    #[serde(skip)]
    matching_from: Option<f64>,
    /// What is looked at.
    #[serde(skip)]
    glass: Viewport,
    /// The value of the held handle when it was pressed.
    #[serde(skip)]
    start: Option<(HandleKind, f64)>,
    /// What was drawn last.
    #[serde(skip)]
    drawn: Memo<Cause, Drawn>,
}

impl SheetView {
    /// Whether the two towers are shown.
    #[must_use]
    pub fn shows_towers(&self) -> bool {
        self.towers
    }

    /// Shows the two towers, or the section.
    pub fn show_towers(&mut self, towers: bool) {
        self.towers = towers;
    }

    /// Shows the whole drawing.
    pub fn whole(&mut self) {
        self.glass.whole();
    }

    /// Points in one millimetre of the screen itself, at this many pixels per
    /// point, and whether somebody matched that to a ruler.
    #[must_use]
    pub fn screen(&self, pixels_per_point: f32) -> (f64, bool) {
        (self.ruler.points_per_mm(pixels_per_point), self.ruler.is_matched())
    }

    /// Points of the screen per mm of the engine, once something was drawn.
    #[must_use]
    pub fn points_per_mm(&self) -> Option<f64> {
        self.glass.scale().map(|(scale, _)| scale)
    }

    /// Carries out one of the commands that concern the sheet alone.
    pub fn take(&mut self, command: Action, pixels_per_point: f32) {
        match command {
            Action::Towers => self.towers = !self.towers,
            Action::Upright => {
                self.upright = !self.upright;
                self.glass.whole();
            }
            Action::ZoomIn | Action::ZoomOut => self.glass.step(command == Action::ZoomIn),
            Action::ZoomWhole => self.glass.whole(),
            Action::TrueSize => {
                self.glass.at_scale(self.ruler.points_per_mm(pixels_per_point));
                self.matching |= !self.ruler.is_matched();
            }
            Action::MatchRuler => self.matching = true,
            _ => {}
        }
    }

    /// Whether the engine is drawn as large as it is.
    fn is_true_size(&self, pixels_per_point: f32) -> bool {
        let wanted = self.ruler.points_per_mm(pixels_per_point);
        self.glass.lens.is_some_and(|lens| (lens.scale / wanted - 1.0).abs() < 1e-9)
    }
}

/// The colour of each ink in a theme.
#[must_use]
pub fn colour(t: &Tokens, ink: Ink) -> Color32 {
    match ink {
        Ink::Edge => t.ink,
        Ink::Second => t.ink2,
        Ink::Third => t.ink3,
        Ink::Assumed => t.assumed,
        Ink::Hatch => t.hatch,
        Ink::Solid => t.solid,
        Ink::Ghost => t.ghost,
        Ink::Accent => t.accent,
        Ink::Warn => t.warn,
        Ink::Sheet => t.sheet,
        Ink::Part(part) => match part {
            Part::Barrel => t.parts.barrel,
            Part::Piston => t.parts.piston,
            Part::Head => t.parts.head,
            Part::Case => t.parts.case,
            Part::Rod => t.parts.rod,
            Part::Web => t.parts.case,
            // Thick enough to be lined in a detail; thin ones come as Ink::Solid.
            Part::Pin | Part::Shim | Part::Gasket | Part::Ring => t.parts.rod,
        },
        Ink::Term(term) => match term {
            Term::Chamber => t.volumes.chamber,
            Term::Deck => t.volumes.deck,
            Term::Pockets => t.volumes.pockets,
            Term::Gasket => t.volumes.gasket,
            Term::TopLand => t.volumes.top_land,
            Term::Crown => t.volumes.dome,
            Term::Swept => t.volumes.swept,
        },
    }
}

/// Where things stand on a sheet.
struct Places {
    /// Inside the sheet's edge; the drawing stays within.
    frame: Rect,
    /// The title block.
    block: Rect,
    /// The title block with the line over it.
    note: Rect,
    /// The small controls.
    controls: Rect,
}

impl Places {
    fn of(rect: Rect, layout: &Layout) -> Self {
        let frame = rect.shrink(FRAME_IN);
        let block = Rect::from_min_size(frame.max - layout.title_block, layout.title_block);
        let note = Rect::from_min_max(pos2(block.left(), block.top() - note::HEIGHT), block.max);
        Self { frame, block, note, controls: toolbar::place(frame) }
    }

    /// What lies over the drawing.
    fn covers(&self) -> [Rect; 2] {
        [self.note, self.controls]
    }
}

/// The room that a layout of the window leaves to the drawing.
#[must_use]
pub fn room(layout: &Layout) -> Frame {
    let places = Places::of(layout.sheet, layout);
    Frame {
        area: k_rect(places.frame),
        keep_clear: places.covers().map(k_rect).to_vec(),
        circle: Some(f64::from(layout.detail_radius)),
        tower: layout.rows != Rows::Plain,
        lens: None,
    }
}

/// Shows the sheet.
pub(crate) fn sheet_ui(
    ui: &mut Ui,
    rect: Rect,
    shown: &ViewContext<'_>,
    view: &mut SheetView,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    ui.painter().rect_filled(rect, 1.0, t.sheet);
    let places = Places::of(rect, shown.layout);
    let covers = places.covers();
    let Places { frame, block, note, controls } = places;
    view.hovered = None;
    view.in_hand = None;
    let present = shown.engine().is_some_and(|(_, present)| present);
    if !view.towers {
        view.glass.take_hand(ui, frame);
    }
    match drawing::drawn(ui, Frame { lens: view.glass.lens, ..room(shown.layout) }, shown, view) {
        Some(Ok(picture)) => {
            let spoken = spoken(shown, &picture);
            ui.scope_builder(UiBuilder::new().max_rect(frame).accessibility_label(spoken), |ui| {
                drawing::paint(ui, &ui.painter().with_clip_rect(frame), shown, view);
            });
            paint_frame(ui, frame, t);
            if view.glass.lens.is_some() {
                ui.painter().rect_filled(note.intersect(frame), 0.0, t.sheet);
            }
            match &*picture {
                Picture::Towers(towers) if present => comparison::two_ways_ui(ui, block, shown, towers),
                _ => title_block_ui(ui, block, shown),
            }
            if present {
                drawing::spots_ui(ui, frame, &covers, &picture, view);
            }
            if let Picture::Section(section) = &*picture {
                view.glass.remember(section.view, section.whole_scale, k_rect(frame));
                if present {
                    super::lessons::flags::flags_ui(ui, frame, (block, &covers), section, shown);
                    drag_handles::handles_ui(ui, (frame, &covers), section, shown, view, gesture, out);
                }
            }
            let times = view.glass.lens.and_then(|_| view.glass.scale()).map(|(_, times)| times);
            let true_size = view.is_true_size(ui.ctx().pixels_per_point());
            toolbar::strip_ui(ui, controls, Chosen { towers: view.towers, times, true_size }, t, out);
        }
        Some(Err(fault)) => {
            paint_frame(ui, frame, t);
            title_block_ui(ui, block, shown);
            message(ui, frame, &fault, t);
        }
        None => {
            paint_frame(ui, frame, t);
            if empty::nothing_ui(ui, frame, shown, out) {
                return;
            }
            title_block_ui(ui, block, shown);
        }
    }
    match shown.answers().cylinders.get(shown.cylinder).map(|c| &c.result) {
        Some(Err(faults)) => {
            if shown.engine().is_some() {
                last_possible(ui, frame, t);
            }
            faults::faults_ui(ui, frame, block, faults, shown, out);
        }
        _ => note::note_line(ui, block, shown),
    }
    if view.matching {
        matching_ui(ui, frame, shown, view);
    }
}

/// Over the grey picture of an engine that can't exist any more.
fn last_possible(ui: &Ui, frame: Rect, t: &Tokens) {
    let at = pos2(frame.left() + space::GAP, frame.top() + 40.0);
    let words = "Last possible picture, kept grey. Figures show a dash.";
    let galley = paint::line(ui.painter(), words, regular(text::CAPTION), t.ink2);
    let under = Rect::from_min_size(at, galley.size()).expand(2.0);
    ui.painter().rect_filled(under, 0.0, t.sheet);
    ui.painter().galley(at, galley, t.ink2);
}

/// The bar that is matched to a ruler, over everything else on the sheet.
fn matching_ui(ui: &mut Ui, frame: Rect, shown: &ViewContext<'_>, view: &mut SheetView) {
    let density = ui.ctx().pixels_per_point();
    let matched = ruler::ruler_ui(ui, frame, &view.ruler, &mut view.matching_from, shown);
    let was_true = view.is_true_size(density);
    if let Some(points_per_mm) = matched.points_per_mm {
        view.ruler.match_to(points_per_mm, density);
    }
    if matched.done {
        // What stands as usual was found to be right: that is a match too.
        view.ruler.match_to(view.ruler.points_per_mm(density), density);
        view.matching = false;
    }
    if was_true {
        view.glass.at_scale(view.ruler.points_per_mm(density));
    }
}

fn paint_frame(ui: &Ui, frame: Rect, t: &Tokens) {
    let painter = ui.painter();
    let stroke = t.stroke(width::FRAME, t.ink2);
    painter.rect_stroke(frame, 0.0, stroke, egui::StrokeKind::Middle);
    let c = frame.center();
    for y in [frame.top(), frame.bottom()] {
        painter.line_segment([pos2(c.x, y - 5.0), pos2(c.x, y + 5.0)], stroke);
    }
    for x in [frame.left(), frame.right()] {
        painter.line_segment([pos2(x - 5.0, c.y), pos2(x + 5.0, c.y)], stroke);
    }
}

/// What stands in the place of a picture.
fn message(ui: &Ui, frame: Rect, words: &str, t: &Tokens) {
    let galley = paint::wrapped(ui.painter(), words, regular(text::BODY), t.ink2, frame.width() * 0.6);
    let at = frame.left_top() + vec2(space::GROUP, space::WIDE * 2.0);
    let rect = Rect::from_min_size(at, galley.size());
    ui.painter().galley(at, galley, t.ink2);
    let response = ui.interact(rect, Id::unique("sheet message"), Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, words));
}

fn k_point(p: Pos2) -> kurbo::Point {
    kurbo::Point::new(f64::from(p.x), f64::from(p.y))
}

fn k_rect(r: Rect) -> kurbo::Rect {
    kurbo::Rect::from_points(k_point(r.min), k_point(r.max))
}

fn e_rect(r: kurbo::Rect) -> Rect {
    Rect::from_min_max(e_pos(r.origin()), e_pos(kurbo::Point::new(r.x1, r.y1)))
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen need no more than f32")]
fn e_pos(p: kurbo::Point) -> Pos2 {
    pos2(p.x as f32, p.y as f32)
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen need no more than f32")]
fn e_vec(v: kurbo::Vec2) -> Vec2 {
    vec2(v.x as f32, v.y as f32)
}

/// The section in words, for screen readers.
fn spoken(shown: &ViewContext<'_>, picture: &Picture) -> String {
    let Some(solved) = shown.solved() else { return "Section: this engine can't exist as it stands".into() };
    let f = solved.engine.figures();
    if let Picture::Towers(towers) = picture {
        let length = |mm| shown.written(crate::quantity::Kind::Length, mm).to_string();
        return format!(
            "Two towers of cylinder {}: the piston reaches {}, the cylinder stands {}, the rim {}",
            shown.cylinder_label(),
            length(towers.reach_mm),
            length(towers.tower_mm),
            words::gap(f.deck_clearance, None, shown.units())
        );
    }
    let now = crate::study::curves::at(&solved.engine, shown.crank_deg);
    format!(
        "Section of cylinder {} at {}: the piston {} below its top, {} above it; \
         the rim stands {} at the top, squish {}, static ratio {:.2}",
        shown.cylinder_label(),
        super::curves::degrees(shown.crank_deg),
        shown.written(crate::quantity::Kind::Length, now.position_mm),
        shown.written(crate::quantity::Kind::Volume, now.volume_cc),
        words::gap(f.deck_clearance, None, shown.units()),
        shown.written(crate::quantity::Kind::Length, f.squish_clearance),
        f.static_ratio
    )
}
