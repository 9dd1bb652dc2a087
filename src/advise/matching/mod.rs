//! Which part goes where before any shim is chosen: rods, pistons and barrels
//! among the holes, chambers among the barrels; and how much each chamber is
//! opened to match.

mod chambers;
mod even;
mod parts;
#[cfg(test)]
mod tests;

pub use chambers::{Goal, Opening, Swap, open, swap};
pub use parts::{Evenness, Locks, Pairing, Part, Seat, pair};
