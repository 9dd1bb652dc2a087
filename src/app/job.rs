//! Work beside the window, which never waits for it.
//!
//! A job says how far it is, stops when asked, and gives one result. A job that
//! panics is told as one that failed, and the next one can begin.

use std::any::Any;
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// What window and worker share.
#[derive(Debug, Default)]
struct Shared {
    stop: AtomicBool,
    done: AtomicU64,
    total: AtomicU64,
}

/// What the work of a job says and hears.
#[derive(Clone)]
pub(crate) struct Monitor {
    shared: Arc<Shared>,
    ctx: egui::Context,
}

impl Monitor {
    /// Whether the work is to end now.
    #[must_use]
    pub(crate) fn is_stopped(&self) -> bool {
        self.shared.stop.load(Ordering::Relaxed)
    }

    /// Says how far the work is, in whatever it counts, and has it shown.
    pub(crate) fn report(&self, done: u64, total: u64) {
        self.shared.done.store(done, Ordering::Relaxed);
        self.shared.total.store(total, Ordering::Relaxed);
        self.ctx.request_repaint();
    }

    /// Counts one further step, seen when the window is next painted.
    pub(crate) fn step(&self) {
        self.shared.done.fetch_add(1, Ordering::Relaxed);
    }
}

/// How far a job is; the total is 0 where nobody knows it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Progress {
    pub done: u64,
    pub total: u64,
}

/// A job ended without a result: what its work said when it failed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct JobFailed(String);

impl fmt::Display for JobFailed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "an error in the program ended it ({})", self.0)
    }
}

impl JobFailed {
    fn of(panic: &(dyn Any + Send)) -> Self {
        let text = panic.downcast_ref::<String>().map(String::as_str);
        let text = text.or_else(|| panic.downcast_ref::<&str>().copied());
        Self(text.unwrap_or("no reason was given").to_owned())
    }
}

type Outcome<T> = Result<T, JobFailed>;

#[derive(Debug)]
struct Running<T> {
    shared: Arc<Shared>,
    outcome: Receiver<Outcome<T>>,
}

impl<T> Drop for Running<T> {
    /// Nobody waits for it any more.
    fn drop(&mut self) {
        self.shared.stop.store(true, Ordering::Relaxed);
    }
}

/// A job; one at a time.
#[derive(Debug)]
pub(crate) struct Job<T> {
    name: &'static str,
    running: Option<Running<T>>,
}

impl<T: Send + 'static> Job<T> {
    /// A job that runs on a thread of this name.
    #[must_use]
    pub(crate) fn named(name: &'static str) -> Self {
        Self { name, running: None }
    }

    /// Begins the work. Returns whether it could: nothing else runs, and the
    /// system gives a thread.
    pub(crate) fn start(
        &mut self,
        ctx: &egui::Context,
        work: impl FnOnce(&Monitor) -> T + Send + 'static,
    ) -> bool {
        if self.is_running() {
            return false;
        }
        let shared = Arc::new(Shared::default());
        let (sender, outcome) = channel();
        let monitor = Monitor { shared: Arc::clone(&shared), ctx: ctx.clone() };
        let run = move || {
            // What the work shares with the window are counters alone, which
            // no panic leaves half written.
            let ended = catch_unwind(AssertUnwindSafe(|| work(&monitor)));
            let ended = ended.map_err(|panic| JobFailed::of(panic.as_ref()));
            // A window that is gone needs no answer.
            if sender.send(ended).is_ok() {
                monitor.ctx.request_repaint();
            }
        };
        if std::thread::Builder::new().name(self.name.into()).spawn(run).is_ok() {
            self.running = Some(Running { shared, outcome });
        }
        self.is_running()
    }

    /// Asks the work to end.
    pub(crate) fn stop(&self) {
        if let Some(running) = &self.running {
            running.shared.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Returns the result once, after the work has ended.
    pub(crate) fn poll(&mut self) -> Option<Outcome<T>> {
        let ended = match self.running.as_ref()?.outcome.try_recv() {
            Ok(ended) => ended,
            Err(TryRecvError::Empty) => return None,
            Err(TryRecvError::Disconnected) => Err(JobFailed("its thread is gone".to_owned())),
        };
        self.running = None;
        Some(ended)
    }

    /// Whether the work has begun and its result was not fetched yet.
    #[must_use]
    pub(crate) fn is_running(&self) -> bool {
        self.running.is_some()
    }

    /// How far the work is; `None` while nothing runs.
    #[must_use]
    pub(crate) fn progress(&self) -> Option<Progress> {
        let shared = &self.running.as_ref()?.shared;
        let (done, total) = (shared.done.load(Ordering::Relaxed), shared.total.load(Ordering::Relaxed));
        Some(Progress { done, total })
    }
}

/// A job whose result is about a key. What is asked for last counts: work for
/// an older key is stopped, and what still comes of it is dropped.
#[derive(Debug)]
pub(crate) struct LatestJob<K, T> {
    job: Job<T>,
    /// Work for an older key runs to its end.
    finishes: bool,
    /// What the job that runs is about.
    asked: Option<K>,
    found: Option<(K, Outcome<Arc<T>>)>,
}

impl<K: Clone + PartialEq, T: Send + 'static> LatestJob<K, T> {
    /// A job that runs on a thread of this name.
    #[must_use]
    pub(crate) fn named(name: &'static str) -> Self {
        Self { job: Job::named(name), finishes: false, asked: None, found: None }
    }

    /// As [`Self::named`], but work for an older key runs to its end and its
    /// result is kept, so that what is shown follows a drag before the hand
    /// rests.
    #[must_use]
    pub(crate) fn following(name: &'static str) -> Self {
        Self { finishes: true, ..Self::named(name) }
    }

    /// Takes in what has ended, and begins the work for this key where it is
    /// neither done nor being done; called in each frame that shows it.
    pub(crate) fn ask<W>(&mut self, key: &K, ctx: &egui::Context, work: impl FnOnce() -> W)
    where
        W: FnOnce(&Monitor) -> T + Send + 'static,
    {
        if let Some(ended) = self.job.poll()
            && let Some(asked) = self.asked.take().filter(|asked| self.finishes || asked == key)
        {
            self.found = Some((asked, ended.map(Arc::new)));
        }
        let is_found = self.found(key).is_some();
        if !self.job.is_running() && !is_found {
            // Where the system gives no thread now, the next frame asks again.
            self.asked = self.job.start(ctx, work()).then(|| key.clone());
        } else if !self.finishes && (is_found || self.asked.as_ref() != Some(key)) {
            self.asked = None;
            self.job.stop();
        }
    }

    /// Lets what was found last count for this key, if it answers it as well.
    pub(crate) fn adopt(&mut self, key: &K, answers: impl FnOnce(&T) -> bool) {
        if let Some((of, Ok(found))) = &mut self.found
            && of != key
            && self.asked.as_ref() != Some(key)
            && answers(found)
        {
            of.clone_from(key);
        }
    }

    /// What was found for this key.
    #[must_use]
    pub(crate) fn found(&self, key: &K) -> Option<&Outcome<Arc<T>>> {
        self.last().filter(|(of, _)| *of == key).map(|(_, found)| found)
    }

    /// What was found last, and for which key.
    #[must_use]
    pub(crate) fn last(&self) -> Option<(&K, &Outcome<Arc<T>>)> {
        self.found.as_ref().map(|(of, found)| (of, found))
    }

    /// Forgets what was found, so that it is looked for again.
    pub(crate) fn forget(&mut self) {
        self.found = None;
    }

    /// Asks the work to end with what it has.
    pub(crate) fn stop(&self) {
        self.job.stop();
    }

    /// How far the work is; `None` while nothing runs.
    #[must_use]
    pub(crate) fn progress(&self) -> Option<Progress> {
        self.job.progress()
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use std::time::{Duration, Instant};

    /// Waits until `ended` gives something.
    pub(crate) fn wait<T>(mut ended: impl FnMut() -> Option<T>) -> T {
        let start = Instant::now();
        loop {
            if let Some(ended) = ended() {
                return ended;
            }
            assert!(start.elapsed() < Duration::from_secs(120), "the job never ends");
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    /// Asserts that this, which stops a job, sees it end within a tenth of a
    /// second; on a machine that is busy with other things one of five is
    /// enough.
    pub(crate) fn assert_ends_soon(stopped: impl FnMut() -> Duration) {
        let mut tries = std::iter::repeat_with(stopped).take(5);
        assert!(tries.any(|took| took < Duration::from_millis(100)), "it never stops within 100 ms");
    }

    /// Works until it is stopped.
    fn until_stopped(monitor: &Monitor) {
        while !monitor.is_stopped() {
            monitor.step();
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn a_job_tells_how_far_it_is_and_ends_within_a_tenth_of_a_second_when_stopped() {
        let (mut job, ctx) = (Job::named("test"), egui::Context::default());
        assert_ends_soon(|| {
            assert!(job.start(&ctx, |monitor| {
                monitor.report(3, 7);
                until_stopped(monitor);
                "stopped"
            }));
            wait(|| job.progress().filter(|progress| progress.done >= 3 && progress.total == 7));
            assert!(!job.start(&ctx, |_| "second"), "one at a time");
            assert_eq!(job.poll(), None);
            let start = Instant::now();
            job.stop();
            assert_eq!(wait(|| job.poll()), Ok("stopped"));
            assert!(!job.is_running() && job.progress().is_none());
            start.elapsed()
        });
    }

    #[test]
    fn a_panic_in_a_job_is_told_and_the_next_job_runs() {
        let (mut job, ctx) = (Job::named("test"), egui::Context::default());
        assert!(job.start(&ctx, |_| panic!("no such piston")));
        let failed = wait(|| job.poll()).unwrap_err();
        assert!(failed.to_string().contains("no such piston"), "{failed}");
        assert!(job.start(&ctx, |_| 5));
        assert_eq!(wait(|| job.poll()), Ok(5));
    }

    #[test]
    fn a_job_that_nobody_waits_for_any_more_ends() {
        let (mut job, ctx) = (Job::named("test"), egui::Context::default());
        let (sender, receiver) = channel();
        assert!(job.start(&ctx, move |monitor| {
            until_stopped(monitor);
            sender.send(()).unwrap();
        }));
        drop(job);
        assert_eq!(receiver.recv_timeout(Duration::from_secs(60)), Ok(()));
    }

    /// Asks for the square of `key`; odd numbers take for ever.
    fn ask(job: &mut LatestJob<u32, u32>, key: u32) -> Option<Outcome<Arc<u32>>> {
        job.ask(&key, &egui::Context::default(), || {
            move |monitor: &Monitor| {
                if key % 2 == 1 {
                    until_stopped(monitor);
                }
                assert!(key != 4, "four");
                key * key
            }
        });
        job.found(&key).cloned()
    }

    #[test]
    fn what_is_asked_for_last_counts() {
        let mut job = LatestJob::named("test");
        assert_eq!(ask(&mut job, 1), None);
        assert_eq!(wait(|| ask(&mut job, 2)), Ok(Arc::new(4)));
        assert_eq!(job.found(&1), None, "the job that was stopped for another one has no result");
        // What is stopped by hand counts as far as it came.
        assert_eq!(ask(&mut job, 3), None);
        job.stop();
        assert_eq!(wait(|| ask(&mut job, 3)), Ok(Arc::new(9)));
        // Asked for, given up, and asked for once more: begun anew.
        assert_eq!(ask(&mut job, 5), None);
        assert_eq!(ask(&mut job, 3), Some(Ok(Arc::new(9))));
        assert_eq!(wait(|| ask(&mut job, 6)), Ok(Arc::new(36)));
    }

    #[test]
    fn a_job_that_follows_keeps_what_it_found_for_an_older_key() {
        let (mut job, ctx) = (LatestJob::following("test"), egui::Context::default());
        let (sender, receiver) = channel();
        job.ask(&1, &ctx, || move |_: &Monitor| receiver.recv().is_ok());
        job.ask(&2, &ctx, || |_: &Monitor| false);
        sender.send(()).unwrap();
        wait(|| {
            job.ask(&2, &ctx, || |_: &Monitor| false);
            job.last().is_some().then_some(())
        });
        assert_eq!(job.last(), Some((&1, &Ok(Arc::new(true)))));
        wait(|| {
            job.ask(&2, &ctx, || |_: &Monitor| false);
            job.found(&2).cloned()
        })
        .unwrap();
    }

    #[test]
    fn a_key_whose_work_panics_is_not_tried_again_until_that_is_asked_for() {
        let mut job = LatestJob::named("test");
        assert!(wait(|| ask(&mut job, 4)).is_err());
        assert!(ask(&mut job, 4).is_some_and(|found| found.is_err()) && job.progress().is_none());
        assert_eq!(wait(|| ask(&mut job, 8)), Ok(Arc::new(64)));
        job.forget();
        assert_eq!(ask(&mut job, 8), None);
    }
}
