//! The number of the file format.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// The file format that this program writes. A file with a lower number is
/// brought up to it when it is read; one with a higher number is refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Format;

impl Format {
    /// The number in the file.
    pub const NEWEST: u32 = 1;
}

impl Serialize for Format {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u32(Self::NEWEST)
    }
}

impl<'de> Deserialize<'de> for Format {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match u32::deserialize(deserializer)? {
            Self::NEWEST => Ok(Self),
            other => Err(serde::de::Error::custom(format!("format {other} where {} belongs", Self::NEWEST))),
        }
    }
}
