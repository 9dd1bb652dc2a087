//! Every text that the window paints, against what really lies under it.
//!
//! The shapes of a frame are laid on each other in their order, as the screen
//! does; under the middle of each text the colour is taken, and the contrast
//! must be what WCAG 2.2 asks of text (success criterion 1.4.3): 4.5 to 1.
//! Controls that can't be used now are left out there too.

use super::system::leave_field;
use super::*;
use crowndeck::app::command::Action;
use crowndeck::app::theme::{Theme, contrast};
use crowndeck::app::views::panel::PANELS;
use egui::{Color32, Pos2, Shape, pos2};

const TEXT: f64 = 4.5;

/// The colour of a shape at a point, if it covers it.
fn cover(shape: &Shape, at: Pos2, out: &mut Vec<Color32>) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| cover(shape, at, out)),
        Shape::Rect(rect) if rect.rect.contains(at) => out.push(rect.fill),
        Shape::Circle(circle) if circle.center.distance(at) < circle.radius => out.push(circle.fill),
        Shape::Path(path) if path.closed && is_inside(&path.points, at) => out.push(path.fill),
        Shape::Mesh(mesh) => {
            for corners in mesh.indices.chunks_exact(3) {
                let corner = |i: usize| mesh.vertices[corners[i] as usize];
                if is_inside(&[corner(0).pos, corner(1).pos, corner(2).pos], at) {
                    out.push(corner(0).color);
                }
            }
        }
        _ => {}
    }
}

/// Even-odd.
fn is_inside(polygon: &[Pos2], at: Pos2) -> bool {
    let mut inside = false;
    for (i, a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        if (a.y > at.y) != (b.y > at.y) && at.x < (b.x - a.x) * (at.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
    }
    inside
}

/// A text, its colour and where its middle is.
fn texts(shape: &Shape, out: &mut Vec<(String, Color32, Pos2)>) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| texts(shape, out)),
        Shape::Text(text) if !text.galley.text().trim().is_empty() && text.angle == 0.0 => {
            for section in &text.galley.job.sections {
                let own = section.format.color;
                let own = if own == Color32::PLACEHOLDER { text.fallback_color } else { own };
                let color = text.override_text_color.unwrap_or(own).gamma_multiply(text.opacity_factor);
                let rect = text.galley.rect.translate(text.pos.to_vec2());
                // The middle of the first line: text of more lines stands on one ground.
                let line = text.galley.rows.first().map_or(rect.height(), |row| row.height());
                let at = pos2(rect.center().x, rect.top() + line / 2.0);
                out.push((text.galley.text().to_owned(), color, at));
            }
        }
        _ => {}
    }
}

/// What can't be read well enough in the frame that is shown.
fn faint(h: &Tested, least: f64) -> Vec<String> {
    let shapes = &h.output().shapes;
    let off: Vec<egui::Rect> = h
        .query_all(egui_kittest::kittest::by().predicate(|_| true))
        .filter(|node| node.accesskit_node().is_disabled())
        .map(|node| node.rect())
        .collect();
    let mut faint = Vec::new();
    let mut seen = 0;
    for (i, clipped) in shapes.iter().enumerate() {
        let mut found = Vec::new();
        texts(&clipped.shape, &mut found);
        for (words, color, at) in found {
            if !clipped.clip_rect.contains(at) || off.iter().any(|rect| rect.contains(at)) {
                continue;
            }
            let mut over = vec![];
            for above in shapes.iter().skip(i + 1).filter(|above| above.clip_rect.contains(at)) {
                cover(&above.shape, at, &mut over);
            }
            if over.iter().any(|color| *color != Color32::TRANSPARENT) {
                continue; // Something lies over it for now.
            }
            seen += 1;
            let mut under = vec![];
            for below in shapes.iter().take(i).filter(|below| below.clip_rect.contains(at)) {
                cover(&below.shape, at, &mut under);
            }
            let ground = under.iter().fold(Color32::BLACK, |ground, over| ground.blend(*over));
            let color = ground.blend(color);
            let ratio = contrast::ratio(color, ground);
            if ratio < least {
                faint.push(format!("{ratio:.2}: {color:?} on {ground:?}: {words}"));
            }
        }
    }
    assert!(seen > 2, "only {seen} texts");
    faint
}

fn window_in(theme: Theme) -> Tested {
    let mut h = window_of(vec2(1280.0, 720.0));
    while h.state().theme_shown() != Some(theme) {
        let name = h.state().theme_shown().map_or("Slate", |theme| theme.next().name());
        activate(&mut h, name);
    }
    h
}

#[test]
fn every_text_can_be_read_in_every_theme_and_drawer() {
    let mut short = Vec::new();
    for theme in Theme::ALL {
        let mut h = window_in(theme);
        for row in PANELS {
            let key = Action::Panel(row.panel).row().and_then(|row| row.key).unwrap().logical_key;
            h.key_press(key);
            h.run();
            short
                .extend(faint(&h, TEXT).into_iter().map(|words| format!("{theme:?}, {}: {words}", row.name)));
        }
    }
    short.dedup();
    assert!(short.is_empty(), "{}", short.join("\n"));
}

/// What lies over the window, what was refused, what is asked about.
#[test]
fn every_question_and_refusal_can_be_read_in_every_theme() {
    let mut short = Vec::new();
    for theme in Theme::ALL {
        let mut h = window_in(theme);
        let mut look = |h: &Tested, place: &str| {
            short.extend(faint(h, TEXT).into_iter().map(|words| format!("{theme:?}, {place}: {words}")));
        };
        write(&mut h, "Bore", "-3");
        look(&h, "refused");
        write(&mut h, "Base shim", "0.014");
        look(&h, "asked about");
        leave_field(&mut h);
        for (key, place) in [(Key::Slash, "search"), (Key::Questionmark, "keys"), (Key::F11, "large view")] {
            h.key_press(key);
            h.run();
            look(&h, place);
            h.key_press(Key::Escape);
            h.run();
        }
        for (key, place) in [(Key::O, "a path"), (Key::N, "a new engine")] {
            h.key_press_modifiers(Modifiers::COMMAND, key);
            h.run();
            look(&h, place);
            h.key_press(Key::Escape);
            h.run();
        }
    }
    short.dedup();
    assert!(short.is_empty(), "{}", short.join("\n"));
}

/// The measure itself: with a bar that nothing clears, everything is faint.
#[test]
fn the_measure_finds_what_is_below_it() {
    assert!(faint(&window(), 21.5).len() > 60);
}
