//! From the document to what the drawing reads: the shapes of chamber and
//! crown solved from their volumes, how each dimension is known, which way
//! the cylinder lies.

use crate::drawing::Keys;
use crate::drawing::parts::{Construction as Drawn, PartsInput};
use crate::engine::solid::{Chamber, Crown};
use crate::engine::{Engine, Key, Known};
use crate::project::{Assembly, Construction};

/// The parts of one cylinder, and what had to be drawn otherwise than wished.
#[derive(Clone, Debug)]
pub struct Pictured {
    /// What the drawing reads.
    pub parts: PartsInput,
    /// Sentences about shapes that could not be drawn as chosen.
    pub notes: Vec<String>,
}

/// The parts of a cylinder as they are drawn.
///
/// # Errors
/// A sentence, if no shape can hold the volumes.
pub fn pictured(assembly: &Assembly, engine: &Engine) -> Result<Pictured, String> {
    let value = |key: Key| engine.dims().filled(key).unwrap_or(0.0);
    let bore = value(Key::Bore);
    let chamber =
        Chamber::nearest(&assembly.chamber, bore, value(Key::HeadStep), value(Key::ChamberVolume))
            .map_err(|fault| format!("the chamber can't be drawn: {fault}"))?;
    let crown = Crown::nearest(&assembly.crown, bore, value(Key::CrownVolume), value(Key::PocketVolume))
        .map_err(|fault| format!("the crown can't be drawn: {fault}"))?;
    let notes = [
        chamber.fault.map(|fault| format!("Chamber drawn in another shape: {fault}")),
        crown.fault.map(|fault| format!("Crown drawn in another shape: {fault}")),
    ];
    let parts = PartsInput {
        engine: *engine,
        construction: match assembly.construction {
            Construction::SeparateBarrels => Drawn::FinnedBarrel,
            Construction::Block => Drawn::Block,
            Construction::TwoStroke => Drawn::TwoStroke,
        },
        chamber: chamber.solid,
        crown: crown.solid,
        shim_leaves: Vec::new(),
    };
    Ok(Pictured { parts, notes: notes.into_iter().flatten().collect() })
}

/// The dimensions of a cylinder that were measured: their edges are drawn
/// heavy.
#[must_use]
pub fn measured(assembly: &Assembly, cylinder: usize) -> Keys {
    let known = |key: &Key| {
        assembly.entry(cylinder, *key).is_some_and(|(entry, _)| entry.known == Known::Measured)
    };
    Key::all().filter(known).collect()
}
