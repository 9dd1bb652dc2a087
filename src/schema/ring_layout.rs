//! Where the gaps of one piston start, what they keep off, and how hot ring
//! and bore are taken to be.

use crate::quantity::Quantity;
use serde::{Deserialize, Serialize};

/// What a gap belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// A compression ring, counted from the top, from 1.
    Compression(u8),
    /// The upper rail of a three-piece oil ring.
    UpperRail,
    /// The expander between the rails: where its ends meet.
    Expander,
    /// The lower rail.
    LowerRail,
    /// A one-piece oil ring.
    OilRing,
}

impl Role {
    /// Its name.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Compression(1) => "top ring".to_owned(),
            Self::Compression(2) => "second ring".to_owned(),
            Self::Compression(3) => "third ring".to_owned(),
            Self::Compression(n) => format!("ring {n}"),
            Self::UpperRail => "upper rail".to_owned(),
            Self::Expander => "expander".to_owned(),
            Self::LowerRail => "lower rail".to_owned(),
            Self::OilRing => "oil ring".to_owned(),
        }
    }
}

/// What a person says about the gaps of one piston; the same for all pistons.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RingLayout {
    /// Gaps that were turned by hand; all others stand by the rule.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gaps: Vec<GapAt>,
    /// Ports in the bore.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ports: Vec<Port>,
    /// How hot ring and bore are taken to be; an assumption, never a reading.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heat: Option<Temperatures>,
}

/// A gap that was turned by hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GapAt {
    /// Whose gap.
    pub gap: Role,
    /// An angle: from the front end of the piston pin, clockwise as the piston
    /// is seen from above.
    pub at: Quantity,
}

/// A port in the bore, as wide as its window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Port {
    /// What it is called: "exhaust port".
    pub name: String,
    /// The angle of its middle, counted as that of a gap.
    pub at: Quantity,
    /// How much of the circumference it takes, an angle.
    pub width: Quantity,
}

/// Temperatures that a person assumes, °C.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Temperatures {
    /// Of the ring at work.
    pub ring: f64,
    /// Of the bore at work.
    pub bore: f64,
    /// At which the gaps were measured.
    #[serde(default = "bench")]
    pub measured_at: f64,
}

/// The reference temperature of lengths, °C (ISO 1).
fn bench() -> f64 {
    20.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layout_is_written_as_it_was_read() {
        let text = "(gaps:[(gap:compression(1),at:\"65 deg\"),(gap:upper_rail,at:\"300 deg\")],\
                    ports:[(name:\"exhaust port\",at:\"90 deg\",width:\"60 deg\")],\
                    heat:Some((ring:200.0,bore:115.0,measured_at:20.0)))";
        let layout: RingLayout = ron::from_str(text).unwrap();
        assert_eq!(ron::to_string(&layout).unwrap(), text);
        assert_eq!(layout.gaps[0].gap.name(), "top ring");
        let cold: Temperatures = ron::from_str("(ring: 200.0, bore: 100.0)").unwrap();
        assert_eq!(cold.measured_at, 20.0);
        assert_eq!(ron::to_string(&RingLayout::default()).unwrap(), "()");
    }
}
