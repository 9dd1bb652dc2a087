//! The sheet: the section to scale with its details, the handles on it, the
//! title block, and one line about what the last change did.

use super::Shown;
use super::title_block::title_block_ui;
use crate::app::command::Command;
use crate::app::entry;
use crate::app::theme::{Tokens, radius, regular, semibold, space, text, width};
use crate::app::widgets::grip::Handle as Grip;
use crate::app::widgets::paint;
use crate::drawing::list::{Ink, Part, Term};
use crate::drawing::parts::PartsInput;
use crate::drawing::pens::Pens;
use crate::drawing::section::{Section, section};
use crate::drawing::view::Turn;
use crate::drawing::{Frame, Handle, HandleKind, Keys, SectionInput};
use crate::engine::{Key, words};
use crate::project::{Assembly, Edit, Gesture};
use crate::render::screen;
use crate::sheet::{measured, parts_input};
use crate::study::Outputs;
use egui::{Align, Color32, Id, Pos2, Rect, Sense, Ui, UiBuilder, pos2, vec2};

/// Between the sheet's edge and its frame.
const FRAME_IN: f32 = 9.0;

/// What the sheet remembers.
#[derive(Default)]
pub struct SheetView {
    /// The dimension whose handle is held or has the keyboard.
    pub in_hand: Option<Key>,
    /// The dimension under the pointer.
    pub hovered: Option<Key>,
    /// The value of the held handle when it was pressed.
    start: Option<(HandleKind, f64)>,
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
        },
    }
}

/// Shows the sheet.
pub fn sheet_ui(
    ui: &mut Ui,
    rect: Rect,
    shown: &Shown<'_>,
    view: &mut SheetView,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let painter = ui.painter().clone();
    painter.rect_filled(rect, 1.0, t.sheet);
    let frame = rect.shrink(FRAME_IN);
    paint_frame(ui, frame, t);
    let block = Rect::from_min_size(frame.max - shown.layout.title_block, shown.layout.title_block);
    view.hovered = None;
    view.in_hand = None;
    // Before the drawing, so that the flag of a handle lies over it.
    title_block_ui(ui, block, shown);
    match shown.engine() {
        Some((engine, present)) => {
            let assembly = if present { &shown.project().engine } else { &shown.reference().engine };
            match parts_input(assembly, engine) {
                Ok((picture, _)) => {
                    let ghost = ghost(shown).filter(|_| present);
                    drawing_ui(
                        ui,
                        frame,
                        block,
                        shown,
                        view,
                        &picture,
                        ghost.as_ref(),
                        present,
                        gesture,
                        out,
                    );
                }
                Err(fault) => message(ui, frame, &format!("This can't be drawn: {fault}"), t),
            }
        }
        None => message(ui, frame, &nothing_yet(shown), t),
    }
    match shown.answers().cylinders.get(shown.cylinder).map(|c| &c.result) {
        Some(Err(faults)) => faults_ui(ui, frame, block, faults, shown),
        _ => note_line(ui, block, shown),
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

fn message(ui: &Ui, frame: Rect, words: &str, t: &Tokens) {
    let galley = paint::wrapped(ui.painter(), words, regular(text::BODY), t.ink2, frame.width() * 0.6);
    let at = frame.left_top() + vec2(space::GROUP, space::WIDE * 2.0);
    let rect = Rect::from_min_size(at, galley.size());
    ui.painter().galley(at, galley, t.ink2);
    let response = ui.interact(rect, Id::unique("sheet message"), Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, words));
}

/// What is missing before there is anything to draw.
fn nothing_yet(shown: &Shown<'_>) -> String {
    let missing: Vec<&str> = shown.project().engine.missing(shown.cylinder).map(Key::name).collect();
    format!("There is nothing to draw yet. Still missing: {}.", missing.join(", "))
}

/// The state of comparison, where it differs and can be drawn.
fn ghost(shown: &Shown<'_>) -> Option<PartsInput> {
    let before = shown.reference_solved()?;
    let now = shown.solved()?;
    if before.engine == now.engine {
        return None;
    }
    let assembly: &Assembly = &shown.reference().engine;
    parts_input(assembly, &before.engine).ok().map(|(parts, _)| parts)
}

fn k_point(p: Pos2) -> kurbo::Point {
    kurbo::Point::new(f64::from(p.x), f64::from(p.y))
}

fn k_rect(r: Rect) -> kurbo::Rect {
    kurbo::Rect::from_points(k_point(r.min), k_point(r.max))
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen need no more than f32")]
fn e_pos(p: kurbo::Point) -> Pos2 {
    pos2(p.x as f32, p.y as f32)
}

#[expect(clippy::too_many_arguments, reason = "one frame of one view")]
fn drawing_ui(
    ui: &mut Ui,
    frame: Rect,
    block: Rect,
    shown: &Shown<'_>,
    view: &mut SheetView,
    picture: &PartsInput,
    ghost: Option<&PartsInput>,
    present: bool,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    let t = shown.t;
    let lit = shown.lit;
    let moved = Key::all().filter(|&key| shown.moved(key) || lit == Some(key));
    let input = SectionInput {
        parts: picture,
        angle_deg: shown.crank_deg,
        turn: Turn::UPRIGHT,
        measured: measured(&shown.project().engine, shown.cylinder),
        marked: if present { moved.collect() } else { Keys::NONE },
        ghost,
        units: *shown.units(),
        tints: shown.crank_deg == 0.0,
    };
    let note = Rect::from_min_max(pos2(block.left(), block.top() - 28.0), block.max);
    let place = Frame {
        area: k_rect(frame),
        keep_clear: vec![k_rect(note)],
        circle: Some(f64::from(shown.layout.detail_radius)),
        tower: shown.layout.rows != crate::app::layout::Rows::Plain,
    };
    let drawn: Section = section(&input, &place, &Pens::SCREEN);
    let spoken = spoken(shown);
    let clip = ui.painter().with_clip_rect(frame);
    ui.scope_builder(UiBuilder::new().max_rect(frame).accessibility_label(spoken), |ui| {
        let fade = if present { 1.0 } else { 0.34 };
        let density = ui.ctx().pixels_per_point();
        let shapes = ui.ctx().fonts_mut(|fonts| {
            screen::shapes(&drawn.list, |ink| colour(t, ink).gamma_multiply(fade), Pos2::ZERO, density, fonts)
        });
        clip.extend(shapes.shapes);
        if present {
            spots_ui(ui, &drawn, view);
            handles_ui(ui, frame, &drawn.handles, shown, view, gesture, out);
        }
    });
}

/// Pointing at a value or an edge lights its row.
fn spots_ui(ui: &Ui, drawn: &Section, view: &mut SheetView) {
    let Some(pointer) = ui.input(|i| i.pointer.hover_pos()) else { return };
    let at = k_point(pointer);
    view.hovered =
        drawn.spots.iter().find(|spot| spot.area.inflate(3.0, 3.0).contains(at)).map(|spot| spot.key);
}

fn handles_ui(
    ui: &mut Ui,
    frame: Rect,
    handles: &[Handle],
    shown: &Shown<'_>,
    view: &mut SheetView,
    gesture: Gesture,
    out: &mut Vec<Command>,
) {
    let mut flags = Vec::new();
    for handle in handles {
        let (name, value, value_text) = match handle.what {
            HandleKind::Crank => ("Crank angle", shown.crank_deg, super::curves::degrees(shown.crank_deg)),
            HandleKind::Dimension(key) => {
                let value = shown.value(key).unwrap_or(0.0);
                (key.name(), value, shown.written(key.kind(), value).to_string())
            }
        };
        let short = match handle.what {
            HandleKind::Crank => "crank".to_owned(),
            HandleKind::Dimension(Key::BaseShim) => "shim".to_owned(),
            HandleKind::Dimension(key) => key.row().short.to_lowercase(),
        };
        let flag = format!("{short} {value_text}");
        let name = format!("{name}, on the drawing");
        let start = view.start.filter(|(what, _)| *what == handle.what).map(|(_, start)| start);
        let second = match start {
            Some(start) if start != value => match handle.what {
                HandleKind::Crank => crate::study::words::change(value - start, 1),
                HandleKind::Dimension(_) => crate::study::words::change(value - start, 2),
            },
            _ => "drag or arrows".to_owned(),
        };
        let center = e_pos(handle.at);
        if !frame.contains(center) {
            continue;
        }
        let id = match handle.what {
            HandleKind::Crank => Id::unique("handle crank"),
            HandleKind::Dimension(key) => Id::unique(("handle", key.index())),
        };
        let upright = handle.way.y.abs() >= handle.way.x.abs() || handle.what != HandleKind::Crank;
        let grip = Grip {
            id,
            center,
            upright,
            name: &name,
            flag: &flag,
            flag_second: &second,
            value_text: &value_text,
        };
        let output = grip.show(ui, shown.t);
        let held = output.response.dragged();
        if output.response.drag_started() {
            view.start = Some((handle.what, value));
        }
        if let HandleKind::Dimension(key) = handle.what {
            if held || output.response.has_focus() {
                view.in_hand = Some(key);
            }
            if output.response.hovered() {
                view.hovered = Some(key);
            }
        }
        let asked = asked(ui, handle, &output, start.unwrap_or(value), value, shown);
        if let Some(asked) = asked {
            push(handle.what, asked, shown, gesture, out);
        }
        if !held && start.is_some() {
            view.start = None;
        }
        flags.push((grip.id, output.response.clone()));
        grip.paint_flag(ui, &output.response, frame, shown.t);
    }
}

/// The value that a handle asks for, snapped to sensible steps unless Alt is
/// held.
fn asked(
    ui: &Ui,
    handle: &Handle,
    output: &crate::app::widgets::grip::HandleOutput,
    start: f64,
    now: f64,
    shown: &Shown<'_>,
) -> Option<f64> {
    let free = ui.input(|i| i.modifiers.alt);
    match handle.what {
        HandleKind::Crank => {
            if output.put_back {
                return Some(start);
            }
            if output.steps != 0.0 {
                return Some(now + output.steps);
            }
            let pointer = output.response.interact_pointer_pos()?;
            if !output.response.dragged() || output.dragged.is_none() {
                return None;
            }
            // The pointer is followed round the crank centre, which lies on
            // the handle's own circle.
            let (engine, _) = shown.engine()?;
            let crank = engine.figures().crank;
            let radius = handle.out_per_unit / 1.0_f64.to_radians();
            let pin = crank.crankpin(now);
            let scale = radius / crank.throw();
            let centre = (handle.at.x - pin.0 * scale, handle.at.y + pin.1 * scale);
            let (x, y) = (f64::from(pointer.x) - centre.0, centre.1 - f64::from(pointer.y));
            let angle = crank.angle_toward(x, y);
            Some(if free { angle } else { angle.round() })
        }
        HandleKind::Dimension(key) => {
            if output.put_back {
                return Some(start);
            }
            let step = entry::rule_step(key, shown.units());
            if output.steps != 0.0 {
                return Some(now + output.steps * step);
            }
            let dragged = f64::from(output.dragged?) / handle.out_per_unit;
            // A shim is a hairline on the section: the hand moves the detail,
            // not the mechanism, so that a tenth is an inch of travel.
            let fine = if key == Key::BaseShim { 0.05 } else { 0.2 };
            let value = start + dragged * fine;
            Some(if free { value } else { crate::app::widgets::rule::snapped(value, step) })
        }
    }
}

fn push(what: HandleKind, asked: f64, shown: &Shown<'_>, gesture: Gesture, out: &mut Vec<Command>) {
    match what {
        HandleKind::Crank => out.push(Command::SetCrank(asked)),
        HandleKind::Dimension(key) => {
            if let Some(value) = entry::stepped(key, asked, 0.0, shown.units())
                && shown.value(key) != Some(value.base())
            {
                let edit =
                    Edit::SetDimension { scope: shown.scope(key), key, value, known: shown.known(key) };
                out.push(Command::Edit(edit, Some(gesture)));
            }
        }
    }
}

/// The section in words, for screen readers.
fn spoken(shown: &Shown<'_>) -> String {
    let Some(solved) = shown.solved() else { return "Section: this engine can't exist as it stands".into() };
    let f = solved.engine.figures();
    format!(
        "Section of cylinder {} at {}: the piston's rim stands {} at the top, squish {}, static ratio {:.2}",
        shown.cylinder_label(),
        super::curves::degrees(shown.crank_deg),
        words::gap(f.deck_clearance, None, shown.units()),
        shown.written(crate::quantity::Kind::Length, f.squish_clearance),
        f.static_ratio
    )
}

/// What the last change did, or what a step of the dimension in hand would do.
fn note_line(ui: &Ui, block: Rect, shown: &Shown<'_>) {
    let t = shown.t;
    let Some((bold, plain)) = note(shown) else { return };
    let base = block.top() - 10.0;
    let painter = ui.painter();
    painter.circle_filled(pos2(block.left() + 9.0, base - 4.0), 3.0, t.accent);
    let cause =
        paint::text(painter, pos2(block.left() + 18.0, base), Align::Min, &bold, semibold(text::BODY), t.ink);
    let room = block.right() - cause.right() - 6.0;
    let effect = paint::fitted(painter, &plain, regular(text::BODY), t.ink, room);
    paint::place(painter, pos2(cause.right() + 5.0, base), Align::Min, effect, t.ink);
}

fn note(shown: &Shown<'_>) -> Option<(String, String)> {
    let solved = shown.solved()?;
    let now = Outputs::of_engine(&solved.engine);
    let moved: Vec<Key> = Key::all().filter(|&key| shown.moved(key)).collect();
    let signed = |kind, base: f64| {
        let written = shown.written(kind, base);
        if base > 0.0 { format!("+{}", written.number) } else { written.number }
    };
    if let ([key], Some(before)) = (moved.as_slice(), shown.reference_solved())
        && let (Some(from), Some(to)) = (shown.reference_value(*key), shown.value(*key))
        && shown.in_hand != Some(*key)
    {
        let old = Outputs::of_engine(&before.engine);
        let (from, to) = (shown.written(key.kind(), from), shown.written(key.kind(), to));
        return Some((
            format!("{} {} to {}:", short_name(*key), from.number, to.number),
            format!(
                "gap {}, ratio {}",
                signed(crate::quantity::Kind::Length, now.deck_clearance_mm - old.deck_clearance_mm),
                crate::study::words::change(now.static_ratio - old.static_ratio, 2)
            ),
        ));
    }
    step_parts(shown, shown.in_hand)
}

/// The name of a dimension in one word where there is one.
fn short_name(key: Key) -> &'static str {
    if key == Key::BaseShim { "Shim" } else { key.row().short }
}

/// What one step of the shim (of the gasket in a block) does, in one line.
#[must_use]
pub fn step_note(shown: &Shown<'_>) -> Option<String> {
    step_parts(shown, None)
        .map(|(cause, effect)| format!("{cause} {}", effect.split(", ").nth(1).unwrap_or(&effect)))
}

fn step_parts(shown: &Shown<'_>, key: Option<Key>) -> Option<(String, String)> {
    let solved = shown.solved()?;
    let now = Outputs::of_engine(&solved.engine);
    let signed = |base: f64| {
        let written = shown.written(crate::quantity::Kind::Length, base);
        if base > 0.0 { format!("+{}", written.number) } else { written.number }
    };
    let fallback =
        if shown.project().engine.construction.has_barrels() { Key::BaseShim } else { Key::GasketThickness };
    let key = key.unwrap_or(fallback);
    let effect = solved.effects.iter().find(|effect| effect.key == key)?;
    let after = effect.after_step.as_ref()?;
    let gap = after.squish_clearance_mm - now.squish_clearance_mm;
    Some((
        format!("{} of {}:", shown.written(key.kind(), effect.step), short_name(key).to_lowercase()),
        format!(
            "gap {}, ratio {}",
            if gap.abs() < 5e-7 { "0".to_owned() } else { signed(gap) },
            crate::study::words::change(after.static_ratio - now.static_ratio, 2)
        ),
    ))
}

/// What is impossible, which dimension, and what would be accepted.
fn faults_ui(ui: &mut Ui, frame: Rect, block: Rect, faults: &[crate::engine::Fault], shown: &Shown<'_>) {
    let t = shown.t;
    let width = (frame.width() * 0.56).max(block.width()).min(frame.width() - 24.0);
    let lines: Vec<String> = faults
        .iter()
        .map(|fault| {
            format!(
                "{} {}: {}. Possible: {}.",
                fault.key.name(),
                fault.value_text(),
                fault.why,
                fault.accepted
            )
        })
        .collect();
    let painter = ui.painter().clone();
    let galley = paint::wrapped(&painter, &lines.join("\n"), regular(text::BODY), t.ink, width - 28.0);
    let height = galley.size().y + 46.0;
    let rect = Rect::from_min_size(
        pos2(frame.right() - width - 12.0, block.top() - height - 12.0),
        vec2(width, height),
    );
    painter.rect_filled(rect, radius::BUTTON, t.warn_tint);
    painter.rect_stroke(rect, radius::BUTTON, t.stroke(1.4, t.warn), egui::StrokeKind::Inside);
    let title = "This engine can't exist as it stands";
    paint::text(&painter, rect.min + vec2(14.0, 24.0), Align::Min, title, semibold(15.0), t.ink);
    painter.galley(rect.min + vec2(14.0, 34.0), galley, t.ink);
    let response = ui.interact(rect, Id::unique("faults"), Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Alert, true, format!("{title}. {}", lines.join(" ")))
    });
}
