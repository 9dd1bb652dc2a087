//! Makes the inputs of a cylinder's drawing from a document: the shapes of
//! chamber and crown solved from their volumes, and the provenance of each
//! dimension.

use crate::drawing::Keys;
use crate::drawing::parts::{Construction as Drawn, PartsInput};
use crate::drawing::view::Turn;
use crate::engine::solid::{Chamber, Crown, SolidFault};
use crate::engine::{Engine, Key, Provenance};
use crate::project::{Assembly, Construction};

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
    let bore = value(Key::Bore);
    let chamber = Chamber::nearest(&assembly.chamber, bore, value(Key::HeadStep), value(Key::ChamberVolume))?;
    let crown = Crown::nearest(&assembly.crown, bore, value(Key::CrownVolume), value(Key::PocketVolume))?;
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
