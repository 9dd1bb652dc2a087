//! Checks of an engine: rules on single values, on dimensions against each
//! other and on the space that is left above the piston.

use super::columns::{Absent, Allowed};
use super::dimension::Key;
use super::dims::Dims;
use super::fault::{Fault, FaultKind, about, enough, short};
use super::figures::Figures;

/// Returns the faults of single values.
pub(super) fn value_faults(dims: &Dims<f64>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for key in Key::all() {
        let row = key.row();
        let fault = |value, why: &str, accepted: &str, kind| Fault {
            key,
            value,
            why: why.to_owned(),
            accepted: accepted.to_owned(),
            kind,
        };
        let Some(value) = dims.get(key) else {
            if dims.filled(key).is_none() && row.absent == Absent::Required {
                faults.push(fault(
                    None,
                    "the engine can't be computed without it",
                    "a value",
                    FaultKind::Missing,
                ));
            }
            continue;
        };
        if !value.is_finite() {
            faults.push(fault(
                Some(value),
                "it is not a finite number",
                "a finite number",
                FaultKind::NotFinite,
            ));
        } else if row.allowed == Allowed::Positive && value <= 0.0 {
            faults.push(fault(Some(value), "it must be above 0", "a value above 0", FaultKind::OutOfRange));
        } else if row.allowed == Allowed::NotNegative && value < 0.0 {
            faults.push(fault(Some(value), "it can't be below 0", "0 or more", FaultKind::OutOfRange));
        }
    }
    faults
}

/// Returns the faults of dimensions against each other.
pub(super) fn shape_faults(dims: &Dims<f64>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let get = |key| dims.filled(key).unwrap_or(0.0);
    let (bore, land) = (get(Key::Bore), get(Key::TopLandDiameter));
    if land > bore {
        faults.push(Fault {
            key: Key::TopLandDiameter,
            value: Some(land),
            why: format!("the top land is wider than the bore of {} mm", short(bore)),
            accepted: format!("at most {} mm", short(bore)),
            kind: FaultKind::TopLandTooWide,
        });
    }
    let (throw, offset, rod) = (get(Key::Stroke) / 2.0, get(Key::PinOffset), get(Key::RodLength));
    let least = throw + offset.abs();
    if rod <= least {
        let with_offset = if offset == 0.0 {
            String::new()
        } else {
            format!(" and the pin offset of {} mm", short(offset))
        };
        faults.push(Fault {
            key: Key::RodLength,
            value: Some(rod),
            why: format!("the rod is too short to pass the crank throw of {} mm{with_offset}", short(throw)),
            accepted: format!("more than {} mm", short(least)),
            kind: FaultKind::RodTooShort,
        });
    }
    faults
}

/// Returns the faults of the space that is left above the piston.
pub(super) fn space_faults(dims: &Dims<f64>, figures: &Figures<f64>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let finite = [
        figures.deck_clearance,
        figures.squish_clearance,
        figures.swept,
        figures.clearance_volume,
        figures.static_ratio,
        figures.bore_area,
        figures.rod_ratio,
        figures.crank.true_stroke(),
        figures.effective_ratio.unwrap_or(1.0),
    ]
    .iter()
    .all(|v| v.is_finite());
    if figures.clearance_volume <= 0.0 {
        faults.push(no_clearance(dims, figures));
    } else if !finite {
        faults.push(Fault {
            key: Key::Bore,
            value: dims.get(Key::Bore),
            why: "with these dimensions a figure is too large to be computed".to_owned(),
            accepted: "dimensions of an engine".to_owned(),
            kind: FaultKind::NotFinite,
        });
    }
    if figures.squish_clearance < -rounding_of_chain(dims) {
        faults.push(contact(dims, figures));
    }
    faults
}

/// Returns the largest distance of a sum of these lengths from the true one
/// that comes only from numbers being binary: typed decimals that add up to a
/// rim exactly flush with the head are not a contact. Sixteen times the spacing
/// of numbers at the longest length bounds the roundings of the eight terms.
fn rounding_of_chain(dims: &Dims<f64>) -> f64 {
    let longest = Key::stack().filter_map(|key| dims.filled(key)).fold(0.0, f64::max);
    16.0 * f64::EPSILON * longest
}

fn no_clearance(dims: &Dims<f64>, figures: &Figures<f64>) -> Fault {
    let volume = figures.clearance_volume;
    // What takes the space is named: a dome where there is one, else the chamber.
    let (key, name) = if figures.clearance.crown < 0.0 {
        (Key::CrownVolume, "the dome")
    } else {
        (Key::ChamberVolume, "the piston")
    };
    let value = dims.filled(key).unwrap_or(0.0);
    Fault {
        key,
        value: Some(value),
        why: format!(
            "{name} leaves no space: the clearance volume comes to {} cc and must be above 0",
            about(volume)
        ),
        accepted: format!("more than {} cc with the other dimensions as they are", enough(value - volume)),
        kind: FaultKind::NoClearance,
    }
}

fn contact(dims: &Dims<f64>, figures: &Figures<f64>) -> Fault {
    // Named is the dimension that a builder would change: the gasket where
    // there is one and no shim, else the shim.
    let has = |key| dims.filled(key).is_some_and(|t| t > 0.0);
    let key =
        if has(Key::GasketThickness) && !has(Key::BaseShim) { Key::GasketThickness } else { Key::BaseShim };
    let value = dims.filled(key).unwrap_or(0.0);
    Fault {
        key,
        value: Some(value),
        why: format!(
            "the crown rim meets the head and would stand {} mm inside it, being {} mm {}; the squish clearance can't \
             be below 0",
            about(-figures.squish_clearance),
            about(figures.deck_clearance.abs()),
            if figures.deck_clearance < 0.0 { "proud of the barrel" } else { "below the top of the barrel" }
        ),
        accepted: format!(
            "at least {} mm with the other dimensions as they are",
            enough(value - figures.squish_clearance)
        ),
        kind: FaultKind::Contact,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Engine;

    fn sound() -> Dims {
        Dims::new()
            .with(Key::Bore, 80.0)
            .with(Key::Stroke, 62.0)
            .with(Key::RodLength, 118.0)
            .with(Key::CompressionHeight, 36.0)
            .with(Key::CaseHeight, 97.1)
            .with(Key::BarrelLength, 88.6)
            .with(Key::BaseShim, 0.5)
            .with(Key::ChamberVolume, 33.5)
    }

    fn first(dims: Dims) -> Fault {
        let faults = Engine::new(dims).expect_err("must be refused");
        assert_eq!(faults.len(), 1, "{faults:?}");
        faults.into_iter().next().expect("one")
    }

    #[test]
    fn each_rule_names_its_dimension_and_what_would_be_accepted() {
        let cases = [
            (Key::Bore, f64::NAN, Key::Bore, FaultKind::NotFinite),
            (Key::Bore, 0.0, Key::Bore, FaultKind::OutOfRange),
            (Key::Stroke, -62.0, Key::Stroke, FaultKind::OutOfRange),
            (Key::BaseShim, -0.1, Key::BaseShim, FaultKind::OutOfRange),
            (Key::ChamberVolume, -1.0, Key::ChamberVolume, FaultKind::OutOfRange),
            (Key::TopLandDiameter, 80.1, Key::TopLandDiameter, FaultKind::TopLandTooWide),
            (Key::RodLength, 31.0, Key::RodLength, FaultKind::RodTooShort),
            (Key::PinOffset, -87.0, Key::RodLength, FaultKind::RodTooShort),
            (Key::CrownVolume, -40.0, Key::CrownVolume, FaultKind::NoClearance),
            (Key::HeadStep, -1.3, Key::BaseShim, FaultKind::Contact),
        ];
        for (key, value, named, kind) in cases {
            let fault = first(sound().with(key, value));
            assert_eq!((fault.key, fault.kind), (named, kind), "{key} = {value}");
            let text = fault.to_string();
            assert!(text.contains(named.id()) && text.contains("accepted"), "{text}");
        }
        let mut missing = sound();
        missing.set(Key::RodLength, None);
        assert_eq!(first(missing).kind, FaultKind::Missing);
    }

    #[test]
    fn what_would_be_accepted_is_accepted() {
        let proud = sound().with(Key::BaseShim, 0.0).with(Key::CompressionHeight, 36.9);
        assert!(first(proud).accepted.starts_with("at least 0.2 mm"));
        assert!(
            Engine::new(proud.with(Key::BaseShim, 0.2)).is_ok_and(|e| e.figures().squish_clearance < 1e-9)
        );
    }

    #[test]
    fn all_faults_are_told_at_once() {
        let faults = Engine::new(sound().with(Key::Bore, -1.0).with(Key::Stroke, f64::INFINITY));
        assert_eq!(faults.map_err(|f| f.len()), Err(2));
    }
}
