//! The trials of the cylinder shown, made beside the window.

use super::ViewContext;
use crate::app::job::{LatestJob, Monitor};
use crate::app::memo::Revision;
use crate::reading::{Sample, Trials};
use crate::study::uncertainty::by_trials_until;
use std::sync::Arc;

/// The seed of the trials in the window: the same engine shows the same
/// digits.
const SEED: u64 = 1;

/// The four figures by trials, or why there are none.
type Found = Result<[Sample; 4], String>;

/// Trials for a cylinder of a state of the document.
pub(super) struct TrialsRun(LatestJob<(Revision, usize), Found>);

impl Default for TrialsRun {
    fn default() -> Self {
        Self(LatestJob::named("trials"))
    }
}

impl TrialsRun {
    /// Returns what the trials gave for the cylinder shown, or `None` while
    /// they are made; to be asked in each frame that shows them.
    pub(super) fn ask(&mut self, shown: &ViewContext<'_>, ctx: &egui::Context) -> Option<Found> {
        let engine = shown.solved()?.engine;
        let key = (shown.session.revision(), shown.cylinder);
        self.0.ask(&key, ctx, || {
            let (question, cylinder) = (Arc::clone(shown.session.question()), shown.cylinder);
            move |monitor: &Monitor| {
                let input = question.cylinders.get(cylinder).ok_or("there is no such cylinder")?;
                let (engine, doubts) = input.measured.propagated(&engine);
                let is_ended = || monitor.is_stopped();
                by_trials_until(&engine, &doubts, Trials::Adaptive, SEED, &is_ended)
                    .map_err(|error| error.to_string())
            }
        });
        match self.0.found(&key)? {
            Ok(found) => Some(Found::clone(found)),
            Err(failed) => Some(Err(format!("no trials: {failed}"))),
        }
    }
}
