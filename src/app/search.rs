//! Searches beside the window, which never waits for them: for shims, and for
//! the pairing of parts. Each is one at a time; it says how much it has
//! looked at and stops when asked, with the best that it has found.

use super::job::{LatestJob, Monitor};
use super::memo::Revision;
use super::session::Session;
use crate::advise::matching::{Locks, Pairing, Swap, pair, swap};
use crate::advise::shims::{Budget, MAX_NODES, ShimAnswer, ShimQuestion, answer, judged};
use crate::project::Project;
use crate::study::verdict::Judgement;
use std::sync::Arc;

/// Something to look for.
pub(super) trait Search: Clone + PartialEq + Send + 'static {
    /// What is found.
    type Output: Send + Sync + 'static;
    /// The most looks: some seconds of work on a plain laptop.
    const MAX_NODES: u64;

    /// Whether what was found for another document answers this as well.
    fn is_answered_by(&self, found: &Self::Output) -> bool;

    /// Looks for it.
    fn answer(&self, budget: &mut Budget<'_>) -> Self::Output;
}

/// A document that is searched, told apart from others by its revision.
#[derive(Clone)]
pub(super) struct Searched {
    /// The document.
    pub project: Arc<Project>,
    /// Its revision.
    pub revision: Revision,
}

impl Searched {
    /// The document of this session as it stands.
    #[must_use]
    pub(super) fn of(session: &Session) -> Self {
        Self { project: Arc::clone(session.project()), revision: session.revision() }
    }
}

impl PartialEq for Searched {
    fn eq(&self, other: &Self) -> bool {
        self.revision == other.revision
    }
}

/// The shims under every barrel of a document.
#[derive(Clone, PartialEq)]
pub(super) struct ShimSearch(pub Searched);

/// What was found.
pub(super) struct ShimSearchOutput {
    /// What was asked.
    pub ask: ShimQuestion,
    /// The answer.
    pub answer: ShimAnswer,
    /// For each head of the answer and each of its choices the limits judged
    /// with these shims, at their uncertainty.
    pub judged: Vec<Vec<Vec<Judgement>>>,
}

impl Search for ShimSearch {
    type Output = ShimSearchOutput;
    const MAX_NODES: u64 = MAX_NODES;

    fn is_answered_by(&self, found: &ShimSearchOutput) -> bool {
        found.ask == self.0.project.shims_as_chosen()
    }

    fn answer(&self, budget: &mut Budget<'_>) -> ShimSearchOutput {
        let ask = self.0.project.shims_as_chosen();
        let answer = answer(&ask, budget);
        let judged = answer
            .heads
            .iter()
            .map(|head| head.choices.iter().map(|c| judged(&ask.question, head.head, &c.fits)).collect())
            .collect();
        ShimSearchOutput { ask, answer, judged }
    }
}

/// The best places for the parts of a document.
#[derive(Clone, PartialEq)]
pub(super) struct PlaceSearch {
    /// The document.
    pub of: Searched,
    /// What stays where it is.
    pub locks: Locks,
}

/// Where the parts go; a sentence where that can't be told.
pub(super) struct PlaceSearchOutput {
    /// Rods, pistons and barrels.
    pub pairing: Result<Pairing, String>,
    /// Heads.
    pub swap: Result<Swap, String>,
}

impl Search for PlaceSearch {
    type Output = PlaceSearchOutput;
    const MAX_NODES: u64 = 5_000_000;

    fn is_answered_by(&self, _: &PlaceSearchOutput) -> bool {
        false
    }

    fn answer(&self, budget: &mut Budget<'_>) -> PlaceSearchOutput {
        let question = self.of.project.question();
        // Heads are few: they come first, so that a long pairing takes
        // nothing from them.
        let swap = swap(&question, budget);
        PlaceSearchOutput { pairing: pair(&question, &self.locks, budget), swap }
    }
}

/// A search and what it has found.
pub(super) struct SearchRunner<S: Search> {
    job: LatestJob<S, S::Output>,
    nodes: u64,
}

impl<S: Search> Default for SearchRunner<S> {
    fn default() -> Self {
        Self { job: LatestJob::named("search"), nodes: S::MAX_NODES }
    }
}

impl<S: Search> SearchRunner<S> {
    /// Takes in what has ended, and begins a search where what was found is
    /// not about what is wanted now.
    pub(super) fn refresh(&mut self, wanted: &S, ctx: &egui::Context) {
        // The change of the document may not touch what was asked.
        self.job.adopt(wanted, |found| wanted.is_answered_by(found));
        let nodes = self.nodes;
        self.job.ask(wanted, ctx, || {
            let search = wanted.clone();
            move |monitor: &Monitor| {
                let stop = || {
                    monitor.step();
                    monitor.is_stopped()
                };
                search.answer(&mut Budget::new(nodes, &stop))
            }
        });
    }

    /// Asks the search to stop with the best that it has found.
    pub(super) fn stop(&self) {
        self.job.stop();
    }

    /// Forgets what was found, so that a search that was stopped begins again.
    pub(super) fn again(&mut self) {
        self.job.forget();
    }

    /// What was found last, and whether it is about what is wanted now.
    #[must_use]
    pub(super) fn found(&self, wanted: &S) -> Option<(Arc<S::Output>, bool)> {
        let (of, found) = self.job.last()?;
        Some((Arc::clone(found.as_ref().ok()?), of == wanted))
    }

    /// Why a search for this ended without an answer.
    #[must_use]
    pub(super) fn failure(&self, wanted: &S) -> Option<String> {
        let failed = self.job.found(wanted)?.as_ref().err()?;
        Some(format!("Nothing was found: {failed}"))
    }

    /// Looks taken by the search that runs, in rounds of some ten thousand.
    #[must_use]
    pub(super) fn rounds(&self) -> Option<u64> {
        self.job.progress().map(|progress| progress.done)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advise::shims::Proof;
    use crate::app::job::tests::{assert_ends_soon, wait};
    use crate::project::{demo, demos};
    use crate::schema::limit::LimitId;
    use std::time::Instant;

    fn wanted(project: Project) -> ShimSearch {
        ShimSearch(Searched::of(&Session::new(project, None)))
    }

    fn found<S: Search>(runner: &mut SearchRunner<S>, wanted: &S) -> Arc<S::Output> {
        let ctx = egui::Context::default();
        wait(|| {
            runner.refresh(wanted, &ctx);
            runner.found(wanted).filter(|(_, now)| *now).map(|(found, _)| found)
        })
    }

    #[test]
    fn what_is_told_is_about_what_is_wanted_now() {
        let mut runner = SearchRunner::default();
        let first = wanted(demo());
        let told = found(&mut runner, &first);
        assert_eq!(told.answer.proof, Proof::Proved);
        assert_eq!(told.judged.len(), told.answer.heads.len());
        let second = {
            let mut other = demo();
            other.limits.set(LimitId::SquishMin, None);
            wanted(other)
        };
        assert!(runner.found(&second).is_some_and(|(_, now)| !now), "an old answer is known for old");
        assert!(found(&mut runner, &second).ask != told.ask);
        // What does not touch the question is not looked for again.
        let titled = wanted(Project { title: "Other".into(), ..(*second.0.project).clone() });
        runner.refresh(&titled, &egui::Context::default());
        assert!(runner.found(&titled).is_some_and(|(_, now)| now) && runner.rounds().is_none());
    }

    #[test]
    fn a_search_that_is_cut_short_says_that_nothing_is_proved() {
        let project = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap();
        let wanted = wanted(project);
        let mut runner = SearchRunner { nodes: 40, ..SearchRunner::default() };
        let told = found(&mut runner, &wanted);
        assert!(matches!(told.answer.proof, Proof::Stopped { .. }), "{:?}", told.answer.proof);
        runner.again();
        assert!(runner.found(&wanted).is_none(), "and can begin again");
    }

    #[test]
    fn a_pairing_is_told_for_its_locks_and_can_be_stopped() {
        let project = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap();
        let of = Searched::of(&Session::new(project, None));
        let mut runner = SearchRunner { nodes: 20_000, ..SearchRunner::default() };
        let free = PlaceSearch { of: of.clone(), locks: Locks::default() };
        let told = found(&mut runner, &free);
        assert!(told.pairing.as_ref().is_ok_and(|pairing| pairing.moves()));
        let all = vec![true; 6];
        let locks = Locks { rods: all.clone(), pistons: all.clone(), barrels: all, ..Locks::default() };
        let told = found(&mut runner, &PlaceSearch { of, locks });
        assert!(told.pairing.as_ref().is_ok_and(|pairing| !pairing.moves() && pairing.proved));
    }

    /// A search for shims that would take minutes hears the stop between two
    /// rounds, and is not taken for an answer to what is wanted next.
    #[test]
    fn a_search_that_runs_stops_within_a_tenth_of_a_second() {
        #[derive(Clone, PartialEq)]
        struct Long(u8);
        impl Search for Long {
            type Output = bool;
            const MAX_NODES: u64 = u64::MAX;
            fn is_answered_by(&self, _: &bool) -> bool {
                false
            }
            fn answer(&self, budget: &mut Budget<'_>) -> bool {
                let project =
                    demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap();
                while !budget.is_spent() {
                    let _ = answer(&project.shims_as_chosen(), budget);
                }
                true
            }
        }
        let (mut runner, ctx) = (SearchRunner::default(), egui::Context::default());
        assert_ends_soon(|| {
            runner.again();
            wait(|| {
                runner.refresh(&Long(1), &ctx);
                runner.rounds().filter(|rounds| *rounds > 0)
            });
            let start = Instant::now();
            runner.stop();
            assert!(*found(&mut runner, &Long(1)));
            start.elapsed()
        });
    }
}
