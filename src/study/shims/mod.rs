//! Which shims go under each barrel, and why: the best of all choices that
//! the drawer allows, proved, or the proof that there is none.
//!
//! A choice holds every limit. Among those that do, the one whose worst
//! distance from the wanted ratio is the least is best; equal to a billionth,
//! the more level one, then the one of fewer pieces, then the thinner one.
//! The drawer is shared by all heads.
//!
//! The parts: [`Ask`] what is asked; a table of every stack and what each
//! cylinder would be with it; a problem as a search sees it; the search; the
//! best for all heads together, the best few under each head; why, and what
//! else could be done.

mod answer;
mod ask;
mod choice;
mod closing;
mod problem;
mod ranked;
mod reread;
mod search;
mod settle;
mod stock;
mod table;
mod ways;
mod why;
mod words;

pub use super::budget::{Budget, LOOKS, Stopped};
pub use answer::{Answer, HeadAnswer, MOST_CHOICES, Proof, answer};
pub use ask::{Aim, Ask, Clamp, Margin, PIECES_UNLIMITED, Rule};
pub use choice::{Break, Choice, Fit, fitted, judged, worst};
pub use closing::{Closing, closing};
pub use reread::Reread;
pub use stock::{Leaf, Stock, StockRemark};
pub use ways::{Way, Wish};
pub use why::{Relaxation, Why};
pub use words::{Telling, stack_text};
