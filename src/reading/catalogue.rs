//! The instruments of a home shop, with an honest ± each.

use super::record::Instrument;
use crate::engine::Key;
use crate::quantity::Quantity;

/// An instrument to choose from.
#[derive(Clone, Copy, Debug)]
pub struct Tool {
    /// A short name by which readings refer to it.
    pub id: &'static str,
    /// What it is.
    pub name: &'static str,
    /// The smallest step that it shows, as text with unit.
    pub step: &'static str,
    /// How far repeated readings by one careful hand stand from their middle,
    /// as text with unit (common practice, from memory).
    pub repeatability: &'static str,
    /// The dimensions that it measures well. The deck of a trial assembly is
    /// the dimension `mockup_deck`.
    pub suits: &'static [Key],
    /// What goes wrong with it.
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

/// All of them, in the order in which they are offered.
#[must_use]
pub fn tools() -> &'static [Tool] {
    &TOOLS
}

impl Tool {
    /// The tools that measure this dimension well.
    pub fn suited(key: Key) -> impl Iterator<Item = &'static Self> {
        TOOLS.iter().filter(move |tool| tool.suits.contains(&key))
    }

    /// As an instrument of a project.
    #[must_use]
    pub fn instrument(&self) -> Option<Instrument> {
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
    fn every_dimension_can_be_measured() {
        for key in Key::all() {
            assert!(Tool::suited(key).next().is_some(), "nothing measures {key}");
        }
    }
}
