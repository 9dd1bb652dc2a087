//! What to do: searches and proposals over what `study` answers. Shims,
//! gaskets, pairing, chambers, cuts, rings, and what to measure next.

pub mod budget;
pub mod cuts;
pub mod gaskets;
pub mod matching;
pub mod measure_next;
pub mod rings;
pub mod shims;
pub mod what_if;
