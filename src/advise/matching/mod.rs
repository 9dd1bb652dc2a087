//! Matching of parts before any shim is chosen: rods, pistons and barrels among
//! the holes, chambers among the barrels; and the opening of chambers to match.

mod chambers;
mod even;
mod parts;
#[cfg(test)]
mod tests;

pub(crate) use chambers::{Goal, Opening, Swap, open, swap};
pub(crate) use parts::{Locks, Pairing, Part, pair};
