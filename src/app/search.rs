//! Searches beside the window, which never waits for them: for shims, and for
//! the pairing of parts. Each is one at a time; it says how much it has
//! looked at and stops when asked, with the best that it has found.

use crate::advise::matching::{Locks, Pairing, Swap, pair, swap};
use crate::advise::shims::{Budget, MAX_NODES, ShimAnswer, ShimQuestion, answer, judged};
use crate::project::Project;
use crate::study::verdict::Judgement;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

/// Something to look for.
pub(super) trait Search: Clone + Send + 'static {
    /// What is found.
    type Output: Send + Sync + 'static;
    /// The most looks: some seconds of work on a plain laptop.
    const MAX_NODES: u64;

    /// Whether this is the same wish; cheap, asked in every frame.
    fn is_same(&self, other: &Self) -> bool;

    /// Whether what was found for another document answers this as well.
    fn is_answered_by(&self, told: &Self::Output) -> bool;

    /// Looks for it.
    fn answer(&self, budget: &mut Budget<'_>) -> Self::Output;
}

/// The shims under every barrel of a document.
#[derive(Clone)]
pub(super) struct ShimSearch {
    /// The document; every change makes another.
    pub project: Arc<Project>,
}

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

    fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.project, &other.project)
    }

    fn is_answered_by(&self, told: &ShimSearchOutput) -> bool {
        told.ask == self.project.shims_as_chosen()
    }

    fn answer(&self, budget: &mut Budget<'_>) -> ShimSearchOutput {
        let ask = self.project.shims_as_chosen();
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
#[derive(Clone)]
pub(super) struct Places {
    /// The document.
    pub project: Arc<Project>,
    /// What stays where it is.
    pub locks: Locks,
}

/// Where the parts go; a sentence where that can't be told.
pub(super) struct Placed {
    /// Rods, pistons and barrels.
    pub pairing: Result<Pairing, String>,
    /// Heads.
    pub swap: Result<Swap, String>,
}

impl Search for Places {
    type Output = Placed;
    const MAX_NODES: u64 = 5_000_000;

    fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.project, &other.project) && self.locks == other.locks
    }

    fn is_answered_by(&self, _: &Placed) -> bool {
        false
    }

    fn answer(&self, budget: &mut Budget<'_>) -> Placed {
        let question = self.project.question();
        // Heads are few: they come first, so that a long pairing takes
        // nothing from them.
        let swap = swap(&question, budget);
        Placed { pairing: pair(&question, &self.locks, budget), swap }
    }
}

struct Job<W> {
    of: W,
    stop: Arc<AtomicBool>,
    nodes: Arc<AtomicU64>,
}

/// A search and what it has found.
pub(super) struct SearchRunner<W: Search> {
    sender: Sender<W::Output>,
    receiver: Receiver<W::Output>,
    job: Option<Job<W>>,
    told: Option<(W, Arc<W::Output>)>,
    nodes: u64,
}

impl<W: Search> Default for SearchRunner<W> {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, job: None, told: None, nodes: W::MAX_NODES }
    }
}

impl<W: Search> SearchRunner<W> {
    /// Takes in what has ended, and begins a search where what was found is
    /// not about what is wanted now.
    pub(super) fn refresh(&mut self, wanted: &W, ctx: &egui::Context) {
        if let Ok(told) = self.receiver.try_recv()
            && let Some(job) = self.job.take()
        {
            self.told = Some((job.of, Arc::new(told)));
        }
        match &self.job {
            // Nobody waits for it any more.
            Some(job) if !job.of.is_same(wanted) => job.stop.store(true, Ordering::Relaxed),
            Some(_) => {}
            None if self.told.as_ref().is_some_and(|(of, _)| of.is_same(wanted)) => {}
            None => match &mut self.told {
                // The change of the document does not touch what was asked.
                Some((of, told)) if wanted.is_answered_by(told) => of.clone_from(wanted),
                _ => self.begin(wanted.clone(), ctx),
            },
        }
    }

    fn begin(&mut self, of: W, ctx: &egui::Context) {
        let (stop, nodes) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicU64::new(0)));
        let job = Job { of: of.clone(), stop: Arc::clone(&stop), nodes: Arc::clone(&nodes) };
        let (sender, ctx, most) = (self.sender.clone(), ctx.clone(), self.nodes);
        let work = move || {
            let asked = || {
                nodes.fetch_add(1, Ordering::Relaxed);
                stop.load(Ordering::Relaxed)
            };
            let told = of.answer(&mut Budget::new(most, &asked));
            // A window that is gone needs no answer.
            if sender.send(told).is_ok() {
                ctx.request_repaint();
            }
        };
        // Where the system gives no thread now, the next frame asks again.
        if std::thread::Builder::new().name("search".into()).spawn(work).is_ok() {
            self.job = Some(job);
        }
    }

    /// Asks the search to stop with the best that it has found.
    pub(super) fn stop(&self) {
        if let Some(job) = &self.job {
            job.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Forgets what was found, so that a search that was stopped begins again.
    pub(super) fn again(&mut self) {
        self.told = None;
    }

    /// What was found last, and whether it is about what is wanted now.
    #[must_use]
    pub(super) fn told(&self, wanted: &W) -> Option<(Arc<W::Output>, bool)> {
        self.told.as_ref().map(|(of, told)| (Arc::clone(told), of.is_same(wanted)))
    }

    /// Looks taken by the search that runs, in rounds of some ten thousand.
    #[must_use]
    pub(super) fn rounds(&self) -> Option<u64> {
        self.job.as_ref().map(|job| job.nodes.load(Ordering::Relaxed))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advise::shims::Proof;
    use crate::project::{demo, demos};
    use crate::schema::limit::LimitId;
    use std::time::{Duration, Instant};

    fn wanted(project: Project) -> ShimSearch {
        ShimSearch { project: Arc::new(project) }
    }

    fn wait<W: Search>(chooser: &mut SearchRunner<W>, wanted: &W) -> Arc<W::Output> {
        let (start, ctx) = (Instant::now(), egui::Context::default());
        loop {
            chooser.refresh(wanted, &ctx);
            if let Some((told, true)) = chooser.told(wanted) {
                return told;
            }
            assert!(start.elapsed() < Duration::from_secs(120), "the search never ends");
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn what_is_told_is_about_what_is_wanted_now() {
        let mut chooser = SearchRunner::default();
        let first = wanted(demo());
        let told = wait(&mut chooser, &first);
        assert_eq!(told.answer.proof, Proof::Proved);
        assert_eq!(told.judged.len(), told.answer.heads.len());
        let second = {
            let mut other = demo();
            other.limits.set(LimitId::SquishMin, None);
            wanted(other)
        };
        assert!(chooser.told(&second).is_some_and(|(_, now)| !now), "an old answer is known for old");
        assert!(wait(&mut chooser, &second).ask != told.ask);
        // What does not touch the question is not looked for again.
        let titled = wanted(Project { title: "Other".into(), ..(*second.project).clone() });
        chooser.refresh(&titled, &egui::Context::default());
        assert!(chooser.told(&titled).is_some_and(|(_, now)| now) && chooser.rounds().is_none());
    }

    #[test]
    fn a_search_that_is_cut_short_says_that_nothing_is_proved() {
        let project = demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap();
        let wanted = wanted(project);
        let mut chooser = SearchRunner { nodes: 40, ..SearchRunner::default() };
        let told = wait(&mut chooser, &wanted);
        assert!(matches!(told.answer.proof, Proof::Stopped { .. }), "{:?}", told.answer.proof);
        chooser.again();
        assert!(chooser.told(&wanted).is_none(), "and can begin again");
    }

    #[test]
    fn a_pairing_is_told_for_its_locks_and_can_be_stopped() {
        let project =
            Arc::new(demos().iter().find(|demo| demo.id == "sorrendel-f6").unwrap().project().unwrap());
        let mut chooser = SearchRunner { nodes: 20_000, ..SearchRunner::default() };
        let free = Places { project: Arc::clone(&project), locks: Locks::default() };
        let told = wait(&mut chooser, &free);
        assert!(told.pairing.as_ref().is_ok_and(|pairing| pairing.moves()));
        let all = vec![true; 6];
        let locks = Locks { rods: all.clone(), pistons: all.clone(), barrels: all, ..Locks::default() };
        let told = wait(&mut chooser, &Places { project, locks });
        assert!(told.pairing.as_ref().is_ok_and(|pairing| !pairing.moves() && pairing.proved));
    }
}
