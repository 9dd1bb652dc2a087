//! Piston rings: the end gap of each in its own bore, how to file up to it, the
//! angles of the gaps around the bore, and the gaps when hot.
//!
//! A gap that is too small butts when it is hot and breaks the engine; one
//! that is too large leaks a little. When unsure, larger (common practice,
//! wide agreement). The ring maker's sheet rules over every factor here.

mod answer;
mod clearance;
mod filing;
mod gap;
mod heat;
mod material;
mod places;
mod question;
mod schools;
mod stagger;
mod study;
mod way_up;
mod words;

pub use answer::{GapAnswer, Stage};
pub(crate) use answer::{RingAnswer, answers};
pub(crate) use clearance::{BACK_LEAST_MM, back_sentence, side_sentence};
pub use clearance::{ClearanceVerdict, SIDE, side_clearance};
pub(crate) use filing::Step;
pub use filing::{Verdict, judge};
pub(crate) use gap::{FACTORS, MIN_OIL, gap_after};
pub use gap::{GapRule, WhichRing};
pub(crate) use heat::cold_gap_that_closes;
pub use heat::{Growth, hot_gap};
pub(crate) use material::MATERIALS;
pub use material::Material;
pub(crate) use question::ask;
pub(crate) use schools::second_sentence;
pub use schools::{SCHOOLS, second_gap};
pub use stagger::clock;
pub(crate) use stagger::{GapPlace, Role, Warning, Zone, ZoneKind};
pub(crate) use study::RingStudy;
pub(crate) use way_up::WHICH_IS_WHICH;
pub use way_up::{way_up, way_up_in_short};
pub(crate) use words::wear_sentence;
