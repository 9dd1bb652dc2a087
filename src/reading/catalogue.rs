//! The instruments of a home shop, with an honest ± each.

use super::record::{Instrument, Subject};
use crate::engine::{Gauge, Key};
use crate::quantity::Quantity;

/// An instrument of the catalogue.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tool {
    /// What it is to the list of dimensions, which says what it measures well.
    pub gauge: Gauge,
    /// A short name by which readings refer to it.
    pub id: &'static str,
    /// Its name.
    pub name: &'static str,
    /// The smallest step that it shows, as text with unit.
    pub step: &'static str,
    /// Distance of repeated readings by one careful hand from their middle, as
    /// text with unit (common practice, from memory).
    pub repeatability: &'static str,
    /// Common misuse.
    pub misuse: &'static str,
}

static TOOLS: [Tool; Gauge::ALL.len()] = [
    Tool {
        gauge: Gauge::Indicator,
        id: "indicator",
        name: "Dial indicator on a bridge",
        step: "0.01 mm",
        repeatability: "0.01 mm",
        misuse: "Stem not square, ball foot in a valve pocket, zero lost",
    },
    Tool {
        gauge: Gauge::DepthMicrometer,
        id: "depth mic",
        name: "Depth micrometer",
        step: "0.01 mm",
        repeatability: "0.01 mm",
        misuse: "Base that rocks, scale read backwards",
    },
    Tool {
        gauge: Gauge::Feeler,
        id: "feeler",
        name: "Straightedge and feeler gauges",
        step: "0.05 mm",
        repeatability: "0.03 mm",
        misuse: "Bent straightedge, carbon ridge under it, dirty leaves in a stack, wrong feel",
    },
    Tool {
        gauge: Gauge::Height,
        id: "height gauge",
        name: "Height gauge on a surface plate, with mandrels",
        step: "0.01 mm",
        repeatability: "0.02 mm",
        misuse: "Mandrel loose in its bore, half of it forgotten",
    },
    Tool {
        gauge: Gauge::OutsideMicrometer,
        id: "outside mic",
        name: "Outside micrometer",
        step: "0.01 mm",
        repeatability: "0.004 mm",
        misuse: "Not zeroed to a standard",
    },
    Tool {
        gauge: Gauge::Caliper,
        id: "caliper",
        name: "Caliper",
        step: "0.02 mm",
        repeatability: "0.04 mm",
        misuse: "Trusted for the deck: it is too coarse for that",
    },
    Tool {
        gauge: Gauge::Telescoping,
        id: "telescoping gauge",
        name: "Telescoping gauge and micrometer",
        step: "0.01 mm",
        repeatability: "0.015 mm",
        misuse: "Not rocked through, dragged",
    },
    Tool {
        gauge: Gauge::Bore,
        id: "bore gauge",
        name: "Dial bore gauge",
        step: "0.005 mm",
        repeatability: "0.005 mm",
        misuse: "Set with a ring or a micrometer that nobody checked",
    },
    Tool {
        gauge: Gauge::Burette,
        id: "burette",
        name: "Burette and flat plate",
        step: "0.1 cc",
        repeatability: "0.25 cc",
        misuse: "Bubble, meniscus, bowed plate, grease in the chamber, leaking valve",
    },
    Tool {
        gauge: Gauge::DegreeWheel,
        id: "degree wheel",
        name: "Degree wheel and positive stop",
        step: "0.5 deg",
        repeatability: "0.4 deg",
        misuse: "Loose pointer, backing up across slack",
    },
    Tool {
        gauge: Gauge::Solder,
        id: "solder",
        name: "Solder, flattened and read with a micrometer",
        step: "0.01 mm",
        repeatability: "0.04 mm",
        misuse: "A single strand cocks the piston; springs back by 0.01 to 0.03 mm",
    },
    Tool {
        gauge: Gauge::Clay,
        id: "clay",
        name: "Modelling clay, cut where it is thinnest",
        step: "0.05 mm",
        repeatability: "0.1 mm",
        misuse: "Springs back by 0.02 to 0.05 mm and holds the valve off its seat; not oiled, it sticks",
    },
];

rows_in_order!(TOOLS, gauge);

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
            Subject::Dimension(key) => self.measures(*key),
            Subject::Deck => self.measures(Key::MockupDeck),
            Subject::Squish => self.gauge == Gauge::Solder,
            Subject::RingGap(_) => self.gauge == Gauge::Feeler,
            Subject::WholeFill => self.measures(Key::ChamberVolume),
            Subject::PistonToValve(_) => matches!(self.gauge, Gauge::Indicator | Gauge::Clay),
        }
    }

    /// Returns whether it measures this dimension well.
    fn measures(&self, key: Key) -> bool {
        key.row().gauges.contains(&self.gauge)
    }

    /// Returns the tools that measure this dimension well.
    pub(crate) fn suited(key: Key) -> impl Iterator<Item = &'static Self> {
        TOOLS.iter().filter(move |tool| tool.measures(key))
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
            assert!(
                Key::all().all(|key| !tool.measures(key) || key.kind() == instrument.step.kind()),
                "{}",
                tool.id
            );
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
