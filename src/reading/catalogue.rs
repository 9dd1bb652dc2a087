//! The instruments of a home shop, with an honest ± each.

use super::record::{Instrument, Subject};
use crate::engine::Key;
use crate::quantity::Quantity;

/// An instrument of the catalogue.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tool {
    /// A short name by which readings refer to it.
    pub id: &'static str,
    /// Its name.
    pub name: &'static str,
    /// The smallest step that it shows, as text with unit.
    pub step: &'static str,
    /// Distance of repeated readings by one careful hand from their middle, as
    /// text with unit (common practice, from memory).
    pub repeatability: &'static str,
    /// The dimensions that it measures well. The deck of a trial assembly is
    /// the dimension `mockup_deck`.
    pub suits: &'static [Key],
    /// Common misuse.
    pub misuse: &'static str,
}

static TOOLS: [Tool; 11] = [
    Tool {
        id: "indicator",
        name: "Dial indicator on a bridge",
        step: "0.01 mm",
        repeatability: "0.01 mm",
        suits: &[Key::MockupDeck, Key::Stroke],
        misuse: "Stem not square, ball foot in a valve pocket, zero lost",
    },
    Tool {
        id: "depth mic",
        name: "Depth micrometer",
        step: "0.01 mm",
        repeatability: "0.01 mm",
        suits: &[Key::MockupDeck, Key::BarrelLength, Key::HeadStep],
        misuse: "Base that rocks, scale read backwards",
    },
    Tool {
        id: "feeler",
        name: "Straightedge and feeler gauges",
        step: "0.05 mm",
        repeatability: "0.03 mm",
        suits: &[Key::MockupDeck],
        misuse: "Bent straightedge, carbon ridge under it, dirty leaves in a stack, wrong feel",
    },
    Tool {
        id: "height gauge",
        name: "Height gauge on a surface plate, with mandrels",
        step: "0.01 mm",
        repeatability: "0.02 mm",
        suits: &[Key::RodLength, Key::CompressionHeight, Key::CaseHeight, Key::BarrelLength],
        misuse: "Mandrel loose in its bore, half of it forgotten",
    },
    Tool {
        id: "outside mic",
        name: "Outside micrometer",
        step: "0.01 mm",
        repeatability: "0.004 mm",
        suits: &[Key::BaseShim, Key::MockupShim, Key::BaseGasket, Key::GasketThickness, Key::TopLandDiameter],
        misuse: "Not zeroed to a standard",
    },
    Tool {
        id: "caliper",
        name: "Caliper",
        step: "0.02 mm",
        repeatability: "0.04 mm",
        suits: &[Key::GasketBore, Key::TopLandHeight, Key::PinOffset],
        misuse: "Trusted for the deck: it is too coarse for that",
    },
    Tool {
        id: "telescoping gauge",
        name: "Telescoping gauge and micrometer",
        step: "0.01 mm",
        repeatability: "0.015 mm",
        suits: &[Key::Bore],
        misuse: "Not rocked through, dragged",
    },
    Tool {
        id: "bore gauge",
        name: "Dial bore gauge",
        step: "0.005 mm",
        repeatability: "0.005 mm",
        suits: &[Key::Bore],
        misuse: "Set with a ring or a micrometer that nobody checked",
    },
    Tool {
        id: "burette",
        name: "Burette and flat plate",
        step: "0.1 cc",
        repeatability: "0.25 cc",
        suits: &[Key::ChamberVolume, Key::CrownVolume, Key::PocketVolume],
        misuse: "Bubble, meniscus, bowed plate, grease in the chamber, leaking valve",
    },
    Tool {
        id: "degree wheel",
        name: "Degree wheel and positive stop",
        step: "0.5 deg",
        repeatability: "0.4 deg",
        suits: &[Key::IntakeClosing, Key::PortClosing],
        misuse: "Loose pointer, backing up across slack",
    },
    Tool {
        id: "solder",
        name: "Solder, flattened and read with a micrometer",
        step: "0.01 mm",
        repeatability: "0.04 mm",
        suits: &[],
        misuse: "A single strand cocks the piston; springs back by 0.01 to 0.03 mm",
    },
];

/// Returns all instruments, in the order in which they are offered.
#[must_use]
pub(crate) fn tools() -> &'static [Tool] {
    &TOOLS
}

/// Returns the instruments that may read this: those of the list first, then
/// tools that suit it, then others that measure the same kind of quantity.
#[must_use]
pub(crate) fn offered(of: &Subject, own: &[Instrument]) -> Vec<Instrument> {
    let mut offered: Vec<Instrument> = own.iter().filter(|i| i.step.kind() == of.kind()).cloned().collect();
    let (suited, other): (Vec<&Tool>, Vec<&Tool>) = TOOLS.iter().partition(|tool| tool.reads(of));
    for tool in suited.into_iter().chain(other) {
        let known = own.iter().any(|i| i.id == tool.id);
        if let Some(instrument) = tool.instrument().filter(|i| !known && i.step.kind() == of.kind()) {
            offered.push(instrument);
        }
    }
    offered
}

impl Tool {
    #[must_use]
    pub(crate) fn with_id(id: &str) -> Option<&'static Self> {
        TOOLS.iter().find(|tool| tool.id == id)
    }

    /// Returns whether it reads this well.
    #[must_use]
    pub(crate) fn reads(&self, of: &Subject) -> bool {
        match of {
            Subject::Dimension(key) => self.suits.contains(key),
            Subject::Deck => self.suits.contains(&Key::MockupDeck),
            Subject::Squish => self.id == "solder",
            Subject::RingGap(_) => self.id == "feeler",
            Subject::WholeFill => self.suits.contains(&Key::ChamberVolume),
        }
    }

    /// Returns the tools that measure this dimension well.
    pub(crate) fn suited(key: Key) -> impl Iterator<Item = &'static Self> {
        TOOLS.iter().filter(move |tool| tool.suits.contains(&key))
    }

    /// Returns the tool as an instrument of a project.
    #[must_use]
    pub(crate) fn instrument(&self) -> Option<Instrument> {
        Some(Instrument {
            id: self.id.to_owned(),
            name: self.name.to_owned(),
            step: Quantity::parse_with_unit(self.step).ok()?,
            repeatability: Some(Quantity::parse_with_unit(self.repeatability).ok()?),
            note: String::new(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_tool_is_an_instrument_of_the_kind_that_it_suits() {
        for (i, tool) in tools().iter().enumerate() {
            let instrument = tool.instrument().unwrap();
            assert!(instrument.step.base() > 0.0 && instrument.repeatability.is_some());
            assert!(tool.suits.iter().all(|key| key.kind() == instrument.step.kind()), "{}", tool.id);
            assert!(tools()[..i].iter().all(|before| before.id != tool.id), "{}", tool.id);
        }
    }

    #[test]
    fn what_is_at_hand_is_offered_first_and_nothing_of_another_kind() {
        let own = [Instrument {
            id: "burette".into(),
            name: "Burette, 50 ml".into(),
            ..tools()[8].instrument().unwrap()
        }];
        let fill = offered(&Subject::WholeFill, &own);
        assert_eq!((fill.len(), fill[0].name.as_str()), (1, "Burette, 50 ml"));
        let squish = offered(&Subject::Squish, &own);
        assert_eq!(squish[0].id, "solder");
        assert!(squish.iter().all(|i| i.step.kind() == crate::quantity::Kind::Length));
        assert_eq!(offered(&Subject::Deck, &own)[0].id, "indicator");
        assert_eq!(Tool::with_id("burette").map(|tool| tool.name), Some("Burette and flat plate"));
    }

    #[test]
    fn every_dimension_can_be_measured() {
        for key in Key::all() {
            assert!(Tool::suited(key).next().is_some(), "nothing measures {key}");
        }
    }
}
