//! The picture of a word, kept as long as nothing changes that it shows.

use crate::app::memo::{Memo, Revision};
use crate::app::theme::{Tokens, radius};
use crate::app::views::ViewContext;
use crate::app::views::sheet::colour;
use crate::drawing::pens::Pens;
use crate::lesson::{Term, TermPicture};
use crate::quantity::UnitChoice;
use crate::render::screen;
use crate::sheet::{Context, Drawn, term_picture};
use egui::accesskit::Role;
use egui::{Pos2, Sense, Shape, Ui, Vec2, WidgetInfo, vec2};
use kurbo::Size;

/// Around the picture on its sheet.
const PAD: f32 = 8.0;
/// Smaller pens than those of the sheet, for a smaller picture; their letters
/// are still as large as the least of the window.
const PENS: f64 = 0.92;

/// What a picture was drawn for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cause {
    document: Revision,
    picture: TermPicture,
    cylinder: usize,
    units: UnitChoice,
    size: Vec2,
    theme: Tokens,
    pixels_per_point: f32,
}

/// A picture with its lines ready to be painted.
#[derive(Clone, Debug)]
pub(super) struct LaidOutPicture {
    drawn: Drawn,
    lines: Vec<Shape>,
}

/// The picture of the word shown last; none where the engine has none of it.
pub(super) type KeptPicture = Memo<Cause, Option<LaidOutPicture>>;

/// How tall a picture is for a panel of this width.
fn height(picture: &TermPicture, width: f32) -> f32 {
    let share = match picture {
        TermPicture::Section { .. } | TermPicture::Towers(_) => 1.0,
        TermPicture::Curve(_) => 0.56,
        _ => 0.7,
    };
    (share * width).min(330.0)
}

/// Shows the picture of a word, if the engine has one.
pub(super) fn picture_ui(ui: &mut Ui, shown: &ViewContext<'_>, term: &Term, kept: &mut KeptPicture) {
    if *term.picture() == TermPicture::Nothing {
        return;
    }
    let width = ui.available_width();
    let cause = Cause {
        document: shown.session.revision(),
        picture: term.picture().clone(),
        cylinder: shown.cylinder,
        units: *shown.units(),
        size: vec2(width, height(term.picture(), width)),
        theme: *shown.t,
        pixels_per_point: ui.ctx().pixels_per_point(),
    };
    let size = cause.size;
    let Some(LaidOutPicture { drawn, lines }) = kept.get(cause, |cause| laid_out(shown, cause)) else {
        return;
    };
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    ui.add_space(6.0);
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, radius::BUTTON, shown.t.sheet);
    let origin = rect.min + Vec2::splat(PAD);
    painter.extend(lines.iter().map(|shape| {
        let mut shape = shape.clone();
        shape.translate(origin.to_vec2());
        shape
    }));
    let palette = |ink| colour(shown.t, ink);
    let texts = ui.ctx().fonts_mut(|fonts| screen::texts(&drawn.list, palette, origin, fonts));
    painter.extend(texts.shapes);
    response
        .widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{}: {}", term.name(), drawn.alt)));
}

fn laid_out(shown: &ViewContext<'_>, cause: &Cause) -> Option<LaidOutPicture> {
    let context = Context {
        project: shown.project(),
        question: shown.question(),
        answers: shown.answers(),
        units: cause.units,
        cylinder: cause.cylinder,
        crank_deg: 0.0,
    };
    let inner = cause.size - Vec2::splat(2.0 * PAD);
    let room = Size::new(f64::from(inner.x), f64::from(inner.y));
    let drawn = term_picture(&context, &cause.picture, room, &Pens::SCREEN.times(PENS))?;
    let palette = |ink| colour(&cause.theme, ink);
    let lines = screen::outlines(&drawn.list, palette, Pos2::ZERO, cause.pixels_per_point).shapes;
    Some(LaidOutPicture { drawn, lines })
}
