//! What is drawn on the sheet, kept as long as nothing changes that it
//! depends on.

use super::{SheetView, colour, e_rect};
use crate::app::memo::Revision;
use crate::app::theme::Tokens;
use crate::app::views::ViewContext;
use crate::drawing::parts::PartsInput;
use crate::drawing::pens::Pens;
use crate::drawing::section::{Section, section};
use crate::drawing::towers::{Towers, towers};
use crate::drawing::view::Turn;
use crate::drawing::{Frame, Keys, SectionInput, Spot};
use crate::engine::{Engine, Key};
use crate::project::Assembly;
use crate::render::screen;
use crate::scene::cylinder::{measured, parts_input, stepped, turn};
use egui::epaint::{ClippedShape, Primitive};
use egui::{Painter, Pos2, Rect, Shape, Ui};
use std::sync::Arc;

/// How much of the last possible picture is left while the engine can't exist.
const FADED: f32 = 0.34;

/// Everything that the drawing depends on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cause {
    document: Revision,
    reference: Revision,
    engine: Engine,
    present: bool,
    cylinder: usize,
    crank_deg: f64,
    frame: Frame,
    turn: Turn,
    towers: bool,
    lit: Option<Key>,
    in_hand: Option<Key>,
    theme: Tokens,
    pixels_per_point: f32,
}

/// One of the two views of the sheet.
#[derive(Clone, Debug)]
pub(super) enum Picture {
    /// The section of one cylinder.
    Section(Box<Section>),
    /// The two towers.
    Towers(Box<Towers>),
}

impl Picture {
    /// Where each dimension shows.
    #[must_use]
    pub(super) fn spots(&self) -> &[Spot] {
        match self {
            Self::Section(section) => &section.spots,
            Self::Towers(towers) => &towers.spots,
        }
    }

    fn list(&self) -> &crate::drawing::list::DisplayList {
        match self {
            Self::Section(section) => &section.list,
            Self::Towers(towers) => &towers.list,
        }
    }
}

/// A picture with what is painted for it.
#[derive(Clone, Debug)]
pub(super) struct Drawn {
    /// What it shows.
    pub picture: Arc<Picture>,
    /// Areas and lines as triangles.
    mesh: Vec<Shape>,
}

/// The picture of what is shown, or why there is none; drawn anew only when
/// something changed.
pub(super) fn drawn(
    ui: &Ui,
    frame: Frame,
    shown: &ViewContext<'_>,
    view: &mut SheetView,
) -> Option<Result<Arc<Picture>, String>> {
    let (engine, present) = shown.engine()?;
    let assembly = if present { &shown.project().engine } else { &shown.reference().engine };
    let cause = Cause {
        document: shown.session.revision(),
        reference: shown.reference().revision,
        engine: *engine,
        present,
        cylinder: shown.cylinder,
        crank_deg: shown.crank_deg,
        frame,
        turn: if view.upright { Turn::UPRIGHT } else { turn(assembly, shown.cylinder) },
        towers: view.towers,
        lit: shown.lit,
        in_hand: shown.in_hand,
        theme: *shown.t,
        pixels_per_point: ui.ctx().pixels_per_point(),
    };
    let drawn = view.drawn.try_get(cause, |cause| {
        let (parts, _) =
            parts_input(assembly, engine).map_err(|fault| format!("This can't be drawn: {fault}"))?;
        let picture = Arc::new(draw(cause, &parts, assembly, shown));
        let mesh = mesh(ui, &picture, cause, shown);
        Ok(Drawn { picture, mesh })
    });
    Some(drawn.map(|drawn| Arc::clone(&drawn.picture)))
}

fn draw(cause: &Cause, parts: &PartsInput, assembly: &Assembly, shown: &ViewContext<'_>) -> Picture {
    let moved = Key::all().filter(|&key| shown.moved(key) || cause.lit == Some(key));
    let ghost = ghost(shown).filter(|_| cause.present);
    let step = cause.in_hand.filter(|_| cause.present).and_then(|key| {
        let step = shown.solved()?.effects.iter().find(|effect| effect.key == key)?.step;
        stepped(assembly, &cause.engine, key, step)
    });
    let input = SectionInput {
        parts,
        angle_deg: cause.crank_deg,
        turn: cause.turn,
        measured: measured(&shown.project().engine, cause.cylinder),
        marked: if cause.present { moved.collect() } else { Keys::NONE },
        ghost: ghost.as_ref(),
        step: step.as_ref(),
        doubt_mm: shown.question().cylinders.get(cause.cylinder).and_then(|c| c.doubt.deck_clearance),
        units: *shown.units(),
        tints: true,
    };
    if cause.towers {
        Picture::Towers(Box::new(towers(&input, &cause.frame, &Pens::SCREEN)))
    } else {
        Picture::Section(Box::new(section(&input, &cause.frame, &Pens::SCREEN)))
    }
}

/// The state of comparison, where it differs and can be drawn.
fn ghost(shown: &ViewContext<'_>) -> Option<PartsInput> {
    let before = shown.reference_solved()?;
    let now = shown.solved()?;
    if before.engine == now.engine {
        return None;
    }
    parts_input(&shown.reference().engine, &before.engine).ok().map(|(parts, _)| parts)
}

fn fade(cause: &Cause) -> f32 {
    if cause.present { 1.0 } else { FADED }
}

/// Areas and lines cut into triangles once. Texts are left out: the toolkit
/// keeps their letters in a texture of its own, which it may lay out anew.
fn mesh(ui: &Ui, picture: &Picture, cause: &Cause, shown: &ViewContext<'_>) -> Vec<Shape> {
    let (t, density) = (shown.t, cause.pixels_per_point);
    let palette = |ink| colour(t, ink).gamma_multiply(fade(cause));
    let shapes = screen::outlines(picture.list(), palette, Pos2::ZERO, density).shapes;
    let clipped = ClippedShape::new(e_rect(cause.frame.area), Shape::Vec(shapes));
    let primitives = ui.ctx().tessellate(vec![clipped], density);
    let meshes = primitives.into_iter().filter_map(|clipped| match clipped.primitive {
        Primitive::Mesh(mesh) => Some(Shape::mesh(mesh)),
        Primitive::Callback(_) => None,
    });
    meshes.collect()
}

/// Paints what was drawn last.
pub(super) fn paint(ui: &Ui, painter: &Painter, shown: &ViewContext<'_>, view: &SheetView) {
    let Some((cause, drawn)) = view.drawn.last() else { return };
    painter.extend(drawn.mesh.iter().cloned());
    let palette = |ink| colour(shown.t, ink).gamma_multiply(fade(cause));
    let list = drawn.picture.list();
    let texts = ui.ctx().fonts_mut(|fonts| screen::texts(list, palette, Pos2::ZERO, fonts));
    painter.extend(texts.shapes);
}

/// Pointing at a value or an edge lights its row.
pub(super) fn spots_ui(ui: &Ui, frame: Rect, covers: &[Rect], picture: &Picture, view: &mut SheetView) {
    let Some(pointer) = ui.input(|i| i.pointer.hover_pos()).filter(|&p| frame.contains(p)) else { return };
    if covers.iter().any(|cover| cover.contains(pointer)) {
        return;
    }
    let at = super::k_point(pointer);
    let spot = picture.spots().iter().find(|spot| spot.area.inflate(3.0, 3.0).contains(at));
    view.hovered = spot.map(|spot| spot.key);
}
