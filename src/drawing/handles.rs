//! Handles: positions where the drawing can be dragged.

use super::input::SectionInput;
use super::parts::Datums;
use super::view::View;
use crate::engine::Key;
use kurbo::{Point, Vec2};

/// The quantity that a handle moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HandleKind {
    /// A dimension.
    Dimension(Key),
    /// The crank: the angle of the whole picture.
    Crank,
}

/// A position where the drawing can be dragged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handle {
    /// The quantity that it moves.
    pub what: HandleKind,
    /// Position, in output units.
    pub at: Point,
    /// Direction of its movement for a larger value, length 1. For the crank
    /// the direction in which the crankpin turns.
    pub way: Vec2,
    /// Output units for one mm of the value; for the crank for one degree.
    pub out_per_unit: f64,
}

/// Returns the handles, from the bottom to the top of the engine: crank, throw
/// and top of the cylinder always, the shim wherever a barrel can rest on one,
/// the dimensions between only where they were measured.
pub(super) fn handles(input: &SectionInput<'_>, d: &Datums, view: &View) -> Vec<Handle> {
    let at = |x: f64, y: f64| view.out_from_model(Point::new(x, y));
    let up = view.up();
    let crank = input.parts.engine.figures().crank;
    // A larger angle turns the crankpin from +y toward +x.
    let round = view.out_from_model_vec(Vec2::new(d.crankpin.y, -d.crankpin.x));
    let mut handles = vec![Handle {
        what: HandleKind::Crank,
        at: view.out_from_model(d.crankpin),
        way: round / round.hypot(),
        out_per_unit: crank.throw() * view.scale() * 1.0_f64.to_radians(),
    }];
    // Across from the crankpin, so that the two never meet. The throw is half
    // of the stroke.
    let across = -d.crankpin.to_vec2();
    let outward = view.out_from_model_vec(across);
    handles.push(Handle {
        what: HandleKind::Dimension(Key::Stroke),
        at: at(across.x, across.y),
        way: outward / outward.hypot(),
        out_per_unit: view.scale() / 2.0,
    });
    let mut add = |key: Key, at: Point, way: Vec2| {
        handles.push(Handle { what: HandleKind::Dimension(key), at, way, out_per_unit: view.scale() });
    };
    if !input.parts.construction.is_block() {
        add(Key::BaseShim, at(-(d.bore_x + d.foot_x) / 2.0, d.foot_y), up);
    }
    let measured = |key: Key| input.measured.has(key);
    if measured(Key::RodLength) {
        add(Key::RodLength, view.out_from_model(d.pin), up);
    }
    if measured(Key::CompressionHeight) {
        add(Key::CompressionHeight, at(-0.8 * d.bore_x, d.rim_y), up);
    }
    let barrel = input.value(Key::BarrelLength) > 0.0;
    add(if barrel { Key::BarrelLength } else { Key::CaseHeight }, at(-d.foot_x, d.top_y), up);
    if measured(Key::ChamberVolume) {
        // A volume has no mm: the roof rises by 1 mm for the area of the mouth, so its
        // kind tells it apart.
        let chamber = &input.parts.chamber;
        let area_mm2 = std::f64::consts::PI / 4.0 * chamber.opening_mm() * chamber.opening_mm();
        if area_mm2 > 0.0 {
            handles.push(Handle {
                what: HandleKind::Dimension(Key::ChamberVolume),
                at: at(0.0, d.joint_y + chamber.height_mm()),
                way: up,
                out_per_unit: 1000.0 / area_mm2 * view.scale(),
            });
        }
    }
    handles
}
