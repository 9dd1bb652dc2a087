//! `crowndeck rings`.

use super::args::RingsArgs;
use super::failure::Failure;
use super::input::{Reader, load};
use super::json;
use super::json_rings as j;
use super::output::print;
use crate::advise::rings::RingStudy;
use crate::project::Project;
use crate::report::rings::ring_by_ring;
use crate::report::text::terminal;
use crate::schema::{RingLayout, Temperatures};

/// A project with the answers about its rings.
pub(super) struct Rings {
    /// The document.
    pub project: Project,
    /// The answers.
    pub study: RingStudy,
}

/// Answers `rings`.
///
/// # Errors
/// Faults of the file, or of what it says about rings.
pub(super) fn run(args: &RingsArgs) -> Result<(), Failure> {
    let project = load(&args.project, Reader::of(args.json))?;
    let heat = match (args.ring_temperature, args.bore_temperature) {
        (Some(ring), Some(bore)) => Some(Temperatures { ring, bore, measured_at: args.measured_at }),
        _ => project.ring_layout.heat,
    };
    let rings = Rings::of(project, heat)?;
    let text = if args.json {
        json::text(&j::RingsObject::of(&rings))?
    } else {
        terminal(&ring_by_ring(&rings.project, &rings.study), &rings.project.units)
    };
    print(&text, Reader::of(args.json))
}

impl Rings {
    fn of(project: Project, heat: Option<Temperatures>) -> Result<Self, Failure> {
        let study = project.ring_study_with(&RingLayout { heat, ..project.ring_layout.clone() });
        if study.faults.is_empty() {
            Ok(Self { project, study })
        } else {
            let sentences = study.faults.iter().map(|fault| fault.sentence(&project.units));
            Err(Failure::Engine(sentences.collect()))
        }
    }
}
