//! Makes the inputs of a cylinder's drawing from a document: the shapes of
//! chamber and crown solved from their volumes, and the provenance of each
//! dimension.

use crate::drawing::Keys;
use crate::drawing::parts::{Construction as Drawn, PartsInput};
use crate::drawing::view::Turn;
use crate::engine::solid::{Chamber, Crown, SolidFault};
use crate::engine::{Engine, Key, Provenance};
use crate::project::{Assembly, Construction};
use crate::quantity::Kind;
use crate::schema::bounds::MAX_DRAWN_MM;

/// Returns the input of the drawing of a cylinder, and why chamber or crown are
/// not drawn as wanted.
///
/// # Errors
/// When chamber or crown can't be drawn at all.
pub fn parts_input(
    assembly: &Assembly,
    engine: &Engine,
) -> Result<(PartsInput, Vec<SolidFault>), SolidFault> {
    let value = |key| engine.dims().filled(key).unwrap_or(0.0);
    for key in Key::all().filter(|key| key.kind() == Kind::Length) {
        drawable(key.name(), value(key))?;
    }
    let bore = value(Key::Bore);
    let chamber = Chamber::nearest(&assembly.chamber, bore, value(Key::HeadStep), value(Key::ChamberVolume))?;
    let crown = Crown::nearest(&assembly.crown, bore, value(Key::CrownVolume), value(Key::PocketVolume))?;
    drawable("depth of the chamber", chamber.solid.height_mm())?;
    drawable("height of the crown", crown.solid.height_mm().abs().max(crown.solid.depth_mm().abs()))?;
    let faults = chamber.fault.into_iter().chain(crown.fault).collect();
    let input = PartsInput {
        engine: *engine,
        construction: match assembly.construction {
            Construction::SeparateBarrels => Drawn::FinnedBarrel,
            Construction::Block => Drawn::Block,
            Construction::WetLiners => Drawn::WetLiners,
            Construction::TwoStroke => Drawn::TwoStroke,
        },
        chamber: chamber.solid,
        crown: crown.solid,
        shim_foils: Vec::new(),
    };
    Ok((input, faults))
}

/// Refuses a length that is larger than anything that is drawn: the figures
/// of an engine of any size are right, and no paper holds it.
pub(super) fn drawable(what: &'static str, mm: f64) -> Result<(), SolidFault> {
    if mm.abs() <= MAX_DRAWN_MM {
        return Ok(());
    }
    Err(SolidFault::TooLarge { what, mm, most_mm: MAX_DRAWN_MM })
}

/// Returns the same cylinder with one dimension larger by a step; `None` where
/// such an engine can't exist.
#[must_use]
pub fn stepped(assembly: &Assembly, engine: &Engine, key: Key, step: f64) -> Option<PartsInput> {
    let value = engine.dims().filled(key)?;
    let next = Engine::new(engine.dims().with(key, value + step)).ok()?;
    parts_input(assembly, &next).ok().map(|(parts, _)| parts)
}

/// Returns the orientation of a cylinder on the drawing: that of its bank, seen
/// from the front of the engine.
#[must_use]
pub fn turn(assembly: &Assembly, cylinder: usize) -> Turn {
    // A bank leans to the right; a drawing is turned as angles are counted.
    Turn::from_deg(0.0 - assembly.orientation(cylinder).lean_deg())
}

/// Returns the dimensions of a cylinder that were measured: their edges are
/// drawn heavy.
#[must_use]
pub fn measured(assembly: &Assembly, cylinder: usize) -> Keys {
    let known = |key: &Key| {
        assembly.entry(cylinder, *key).is_some_and(|(entry, _)| entry.known == Provenance::Measured)
    };
    Key::all().filter(known).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::demo;

    #[test]
    fn an_engine_of_any_size_has_figures_and_is_drawn_up_to_ten_metres() {
        let project = demo();
        let dims = project.dims(0).unwrap();
        for (factor, drawn) in [(1e-6, true), (1.0, true), (20.0, true), (1e3, false), (1e6, false)] {
            let of = |key: Key| {
                let power = match key.kind() {
                    Kind::Length => factor,
                    Kind::Volume => factor * factor * factor,
                    Kind::Angle => 1.0,
                };
                dims.get(key).map(|value| value * power)
            };
            let mut scaled = dims;
            for key in Key::all() {
                scaled.set(key, of(key));
            }
            let engine = Engine::new(scaled).unwrap();
            let result = parts_input(&project.engine, &engine);
            assert_eq!(result.is_ok(), drawn, "{factor}");
            if let Err(fault) = result {
                assert!(
                    fault.to_string().contains("too large to draw: a drawing is made up to 10 m"),
                    "{fault}"
                );
            }
        }
    }
}
