//! Searches and proposals over the answers of `study`: shims, gaskets, pairing,
//! chambers, cuts, rings, and what to measure next.

pub(crate) mod budget;
pub(crate) mod cuts;
pub(crate) mod gaskets;
pub(crate) mod matching;
pub(crate) mod measure_next;
pub mod rings;
pub mod shims;
pub(crate) mod what_if;
