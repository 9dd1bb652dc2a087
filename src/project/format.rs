//! The number of the file format, and the steps that bring an older file up to
//! it.

use super::Project;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// The file format that this program writes. A file with a lower number is
/// brought up to it when it is read; one with a higher number is refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Format;

impl Format {
    /// The number in the file.
    pub const NEWEST: u32 = 2;

    /// Whether this program reads a file with this number.
    #[must_use]
    pub(super) fn reads(number: u32) -> bool {
        (1..=Self::NEWEST).contains(&number)
    }
}

/// The step from each older format to the next, that from format 1 first.
const STEPS: [fn(Project) -> Project; Format::NEWEST as usize - 1] = [from_1_to_2];

/// Brings what was read from a file of format `found` up to the newest.
#[must_use]
pub(super) fn brought_up(project: Project, found: u32) -> Project {
    let done = found.saturating_sub(1) as usize;
    STEPS.iter().skip(done).fold(project, |project, step| step(project))
}

/// Format 2 has the use of the engine, and readings of piston to valve with
/// their crank angle. All other keys mean what they meant, so that nothing is
/// said of either and no value moves.
fn from_1_to_2(project: Project) -> Project {
    project
}

impl Serialize for Format {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u32(Self::NEWEST)
    }
}

impl<'de> Deserialize<'de> for Format {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match u32::deserialize(deserializer)? {
            number if Self::reads(number) => Ok(Self),
            other => Err(serde::de::Error::custom(format!("format {other} where {} belongs", Self::NEWEST))),
        }
    }
}
