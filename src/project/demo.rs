//! Demo projects that come with the program. All engines are invented.

use super::dimensions::{Dimensions, Entry};
use super::{Assembly, Construction, Project, text};
use crate::engine::{Key, Provenance};
use crate::quantity::Quantity;

/// A demo project of the folder `demo-projects`.
#[derive(Clone, Copy, Debug)]
pub struct Demo {
    /// The name of its file without ending.
    pub id: &'static str,
    /// A description, in a few words.
    pub what: &'static str,
    /// The text of its file.
    pub text: &'static str,
}

static DEMOS: [Demo; 5] = [
    Demo {
        id: "tarnbeck-ft62",
        what: "Air-cooled flat twin with a head on each barrel",
        text: include_str!("../../demo-projects/tarnbeck-ft62.ron"),
    },
    Demo {
        id: "oldermoor-t4",
        what: "Water-cooled tractor four under one head",
        text: include_str!("../../demo-projects/oldermoor-t4.ron"),
    },
    Demo {
        id: "brackwell-s7",
        what: "Slow stationary engine, built in inches",
        text: include_str!("../../demo-projects/brackwell-s7.ron"),
    },
    Demo {
        id: "zunnar-k123",
        what: "Two-stroke kart single with a squish band",
        text: include_str!("../../demo-projects/zunnar-k123.ron"),
    },
    Demo {
        id: "sorrendel-f6",
        what: "Air-cooled flat six, three barrels under a head",
        text: include_str!("../../demo-projects/sorrendel-f6.ron"),
    },
];

/// Returns all demo projects, the one shown first in front.
#[must_use]
pub fn demos() -> &'static [Demo] {
    &DEMOS
}

impl Demo {
    /// Reads the project.
    ///
    /// # Errors
    /// Does not happen for the demos of this program; a test reads them all.
    pub fn project(&self) -> Result<Project, text::LoadError> {
        text::from_text(self.text)
    }
}

/// Returns the project of a program that starts without a file: the flat twin.
#[must_use]
pub fn demo() -> Project {
    // The text is part of the program and read by a test; the example takes its
    // place rather than a failure.
    DEMOS[0].project().unwrap_or_else(|_| example())
}

/// Returns the engine that the command line sets values on when no project is
/// named: one cylinder with a flat crown and no dimension that adds length or
/// volume beyond what an engine can't do without. The values are those of the
/// flat twin.
#[must_use]
pub(crate) fn example() -> Project {
    let values = [
        (Key::Bore, 80.0),
        (Key::Stroke, 62.0),
        (Key::RodLength, 118.0),
        (Key::CompressionHeight, 36.0),
        (Key::CaseHeight, 97.1),
        (Key::BarrelLength, 88.6),
        (Key::ChamberVolume, 33.5),
    ];
    let entry = |(key, base): (Key, f64)| {
        let value = Quantity::of(key.kind(), base).ok()?;
        Some((key, Entry { value, known: Provenance::Assumed, note: String::new() }))
    };
    let nominal: Dimensions = values.into_iter().filter_map(entry).collect();
    let engine = Assembly { nominal, ..Assembly::begun(Construction::SeparateBarrels, &[1]) };
    Project { title: "Built-in example".into(), engine, ..Project::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::figures::Clearance;
    use crate::engine::solid::{Chamber, Crown, closest_approach};
    use crate::engine::{Engine, Figures};
    use crate::quantity::{Kind, LengthUnit};
    use crate::reading::{DeckPlace, Subject};

    #[test]
    fn all_demos_are_sound_and_written_as_the_program_writes_them() {
        for demo in demos() {
            let project = demo.project().unwrap_or_else(|error| panic!("{}: {error}", demo.id));
            assert_eq!(project.check(), Vec::new(), "{}", demo.id);
            assert_eq!(text::to_text(&project).unwrap(), demo.text, "{}", demo.id);
            for cylinder in 0..project.engine.cylinders.len() {
                assert_eq!(project.engine.missing(cylinder).count(), 0, "{}", demo.id);
                // A deck that was read is a reading, not a dimension.
                assert_eq!(project.dims(cylinder).unwrap().get(Key::MockupDeck), None);
            }
        }
        assert_eq!(demo().title, "Tarnbeck FT-62");
    }

    fn project(id: &str) -> Project {
        demos().iter().find(|demo| demo.id == id).unwrap().project().unwrap()
    }

    /// The figures of each cylinder as a program in another language computed
    /// them by brute force and a second one confirmed (the scenarios of these
    /// engines, `per_cylinder_from_true_values`, all digits given: deck, gap
    /// between piston and head, swept and clearance volume, ratio, ratio
    /// without the crevice around the top land, ratio at closing).
    const REFERENCE: [(&str, &[[f64; 7]]); 5] = [
        (
            "tarnbeck-ft62",
            &[
                [1.2, 2.0, 311.7239, 44.0415, 8.078, 8.1401, 7.4435],
                [1.17, 1.97, 311.646, 44.2817, 8.0378, 8.098, 7.4069],
            ],
        ),
        (
            "oldermoor-t4",
            &[
                [0.28, 1.78, 731.3961, 121.4914, 7.0201, 7.0661, 6.3529],
                [0.28, 1.78, 731.5551, 122.1048, 6.9912, 7.0373, 6.3272],
                [0.52, 2.02, 731.3961, 122.8872, 6.9518, 6.9967, 6.2924],
                [0.35, 1.85, 731.5551, 122.4703, 6.9733, 7.0192, 6.3113],
            ],
        ),
        ("brackwell-s7", &[[12.05, 13.45, 1434.6918, 379.852, 4.777, 4.8025, 4.6423]]),
        ("zunnar-k123", &[[0.8, 1.15, 123.2229, 11.0124, 12.1895, 12.267, 7.1355]]),
        (
            "sorrendel-f6",
            &[
                [1.2211, 1.2211, 429.9565, 52.5463, 9.1824, 9.2534, 7.836],
                [1.2311, 1.2311, 429.8565, 52.2953, 9.2198, 9.2902, 7.8672],
                [1.2211, 1.2211, 429.9565, 52.7463, 9.1514, 9.2218, 7.8102],
                [1.1711, 1.1711, 429.9565, 52.1558, 9.2437, 9.3157, 7.8872],
                [1.0911, 1.0911, 430.0565, 52.0999, 9.2545, 9.3278, 7.8962],
                [1.2011, 1.2011, 429.9565, 52.2301, 9.232, 9.3038, 7.8774],
            ],
        ),
    ];

    #[test]
    fn demos_give_the_figures_of_the_reference() {
        for (id, cylinders) in REFERENCE {
            let project = project(id);
            assert_eq!(project.engine.cylinders.len(), cylinders.len(), "{id}");
            for (index, expected) in cylinders.iter().enumerate() {
                let engine = Engine::new(project.dims(index).unwrap()).unwrap();
                let Figures { deck_clearance, squish_clearance, swept, clearance, .. } = *engine.figures();
                let Figures { crank, static_ratio, effective_ratio, clearance_volume, .. } =
                    *engine.figures();
                let bare = Clearance { top_land: 0.0, ..clearance }.total();
                // The reference counts the closing from the piston's own
                // bottom, the program from the 180 mark of the wheel; they
                // are the same without a pin offset.
                let bottom = (crank.theta_bottom() - crank.theta_top()).to_degrees();
                let closing = engine.dims().get(Key::IntakeClosing);
                let at_closing = match closing {
                    Some(closing) => engine.space(bottom + closing).volume_cc / clearance_volume,
                    None => effective_ratio.unwrap(),
                };
                if crank.pin_path_x() == 0.0 {
                    assert!((at_closing - effective_ratio.unwrap()).abs() < 1e-12, "{id}");
                }
                let actual = [
                    deck_clearance,
                    squish_clearance,
                    swept,
                    clearance_volume,
                    static_ratio,
                    (swept + bare) / bare,
                    at_closing,
                ];
                for (figure, (actual, expected)) in actual.iter().zip(expected).enumerate() {
                    // Half of the last digit given, and the rounding of it.
                    assert!(
                        (actual - expected).abs() <= 0.500_01e-4,
                        "{id}, cylinder {}, figure {figure}: {actual} against {expected}",
                        index + 1
                    );
                }
            }
        }
    }

    #[test]
    fn chambers_and_crowns_hold_their_volume_in_the_shape_chosen() {
        for demo in demos() {
            let project = demo.project().unwrap();
            for index in 0..project.engine.cylinders.len() {
                let dims = project.dims(index).unwrap();
                let get = |key| dims.filled(key).unwrap();
                let bore = get(Key::Bore);
                let step = get(Key::HeadStep);
                let chamber =
                    Chamber::solve(&project.engine.chamber, bore, step, get(Key::ChamberVolume)).unwrap();
                let (cc, pockets) = (get(Key::CrownVolume), get(Key::PocketVolume));
                let crown = Crown::solve(&project.engine.crown, bore, cc, pockets).unwrap();
                let gap = Engine::new(dims).unwrap().figures().squish_clearance;
                assert!(!closest_approach(&crown, &chamber, gap).is_contact(), "{}", demo.id);
            }
        }
    }

    #[test]
    fn what_was_read_is_kept_as_it_was_written_down() {
        let twin = demo();
        let fills = twin
            .readings
            .iter()
            .find(|r| r.cylinder == "2" && r.of == Subject::Dimension(Key::ChamberVolume))
            .unwrap();
        let values: Vec<f64> = fills.values.iter().map(|value| value.value.base()).collect();
        assert_eq!(values, [33.8, 33.8, 32.9]);
        let four = project("oldermoor-t4");
        let rear = four
            .readings
            .iter()
            .find(|r| r.cylinder == "4" && r.place == Some(DeckPlace::PinAxisRear))
            .unwrap();
        assert_eq!(rear.values[1].value.text(), "0.014 mm");
        let single = project("brackwell-s7");
        assert_eq!(single.engine.nominal.get(Key::Bore).unwrap().value.text(), "4 1/2 in");
        assert_eq!(single.units.length, LengthUnit::InchDecimal);
        assert_eq!(project("zunnar-k123").engine.construction, Construction::TwoStroke);
    }

    #[test]
    fn the_example_has_nothing_beside_what_an_engine_needs() {
        let project = example();
        assert_eq!(project.check(), Vec::new());
        let dims = project.dims(0).unwrap();
        assert_eq!(project.engine.missing(0).count(), 0);
        for key in [Key::BaseShim, Key::GasketThickness, Key::CrownVolume, Key::TopLandHeight] {
            assert_eq!((dims.get(key), dims.filled(key)), (None, Some(0.0)));
        }
        assert_eq!(dims.filled(Key::GasketBore), Some(80.0));
        assert_eq!(project.engine.nominal.get(Key::Bore).unwrap().value.kind(), Kind::Length);
        assert!(Engine::new(dims).is_ok());
    }
}
