//! Invented engines for the tests of the drawing: the demo engines' first
//! cylinders.

use super::parts::{Construction, PartsInput};
use crate::engine::solid::{Chamber, ChamberKind, Crown, CrownKind};
use crate::engine::{Dims, Engine, Key};

/// The names of all fixtures.
pub(super) const ALL: [&str; 5] = ["tarnbeck", "oldermoor", "brackwell", "zunnar", "sorrendel"];

pub(super) fn engine(name: &str) -> PartsInput {
    changed(name, &[])
}

/// Returns a fixture with some dimensions changed.
pub(super) fn changed(name: &str, changes: &[(Key, f64)]) -> PartsInput {
    use Key::*;
    let (construction, values): (Construction, &[(Key, f64)]) = match name {
        "tarnbeck" => (
            Construction::FinnedBarrel,
            &[
                (Bore, 80.01),
                (Stroke, 62.0),
                (RodLength, 118.0),
                (CompressionHeight, 36.0),
                (CaseHeight, 97.1),
                (BaseShim, 0.5),
                (BarrelLength, 88.6),
                (ChamberVolume, 33.4),
                (GasketThickness, 0.8),
                (GasketBore, 82.0),
                (TopLandHeight, 6.0),
                (TopLandDiameter, 79.5),
            ],
        ),
        "oldermoor" => (
            Construction::Block,
            &[
                (Bore, 92.01),
                (Stroke, 110.0),
                (RodLength, 195.0),
                (CompressionHeight, 58.0),
                (CaseHeight, 308.28),
                (ChamberVolume, 86.3),
                (CrownVolume, 22.0),
                (GasketThickness, 1.5),
                (GasketBore, 94.0),
                (TopLandHeight, 9.0),
                (TopLandDiameter, 91.3),
            ],
        ),
        "brackwell" => (
            Construction::Block,
            &[
                (Bore, 114.35),
                (Stroke, 139.7),
                (RodLength, 279.4),
                (CompressionHeight, 76.2),
                (CaseHeight, 437.5),
                (ChamberVolume, 238.5),
                (GasketThickness, 1.4),
                (GasketBore, 117.0),
                (TopLandHeight, 15.0),
                (TopLandDiameter, 113.4),
            ],
        ),
        "zunnar" => (
            Construction::TwoStroke,
            &[
                (Bore, 52.01),
                (Stroke, 58.0),
                (RodLength, 112.0),
                (CompressionHeight, 27.0),
                (CaseHeight, 86.0),
                (BaseShim, 0.6),
                (BarrelLength, 82.2),
                (ChamberVolume, 11.9),
                (CrownVolume, -2.663),
                (HeadStep, 0.35),
                (TopLandHeight, 3.0),
                (TopLandDiameter, 51.7),
                (PortClosing, 84.0),
            ],
        ),
        "sorrendel" => (
            Construction::FinnedBarrel,
            &[
                (Bore, 86.01),
                (Stroke, 74.0),
                (RodLength, 130.0),
                (PinOffset, 0.6),
                (CompressionHeight, 34.5),
                (CaseHeight, 104.62),
                (BaseShim, 0.25),
                (BarrelLength, 97.85),
                (ChamberVolume, 58.9),
                (CrownVolume, -18.0),
                (PocketVolume, 4.0),
                (TopLandHeight, 5.5),
                (TopLandDiameter, 85.4),
                (IntakeClosing, 55.0),
            ],
        ),
        other => panic!("no fixture {other}"),
    };
    let dims = values.iter().chain(changes).fold(Dims::new(), |dims, &(key, value)| dims.with(key, value));
    let get = |key| dims.filled(key).unwrap();
    let (bore, crown) = (get(Bore), get(CrownVolume));
    let chamber = Chamber::nearest(&ChamberKind::default(), bore, get(HeadStep), get(ChamberVolume));
    let crown = Crown::nearest(&CrownKind::for_volume(bore, crown), bore, crown, get(PocketVolume));
    PartsInput {
        engine: Engine::new(dims).unwrap(),
        construction,
        chamber: chamber.unwrap().solid,
        crown: crown.unwrap().solid,
        shim_foils: Vec::new(),
    }
}
