//! Piston rings: the end gap of each in its own bore, how to file up to it,
//! where the gaps stand around the bore, and what becomes of them hot.
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

pub use answer::{Bore, GapAnswer, Heat, Hot, RingAnswer, RingFault, RingInput, Stage, Stages, answers};
pub use clearance::{
    BACK_LEAST_MM, Clearance, ClearanceVerdict, SIDE, back_sentence, side_clearance, side_sentence,
};
pub use filing::{REACHED_MM, Step, Verdict, judge, plan, widest_used};
pub use gap::{FACTORS, Factor, GapRule, LeastOil, MIN_OIL, WhichRing, gap_after, gap_in_bore};
pub use heat::{Growth, cold_gap_that_closes, hot_gap};
pub use material::{MATERIALS, Material};
pub use question::{RingQuestion, ask};
pub use schools::{SCHOOLS, School, second_gap, second_sentence};
pub use stagger::{
    GapPlace, IN_LINE_DEG, Layout, Oil, Role, Warning, Zone, ZoneKind, clock, start_layout, warnings,
};
pub use study::{LeftToDo, RingStudy};
pub use way_up::{WHICH_IS_WHICH, way_up, way_up_in_short};
pub use words::{Recommendation, wear_sentence};
