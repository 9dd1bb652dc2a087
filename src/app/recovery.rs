//! What is not saved yet, kept beside its file for the next start after a
//! crash. A thread of its own writes it, so that no frame waits for a disk;
//! saving, or going on without saving, takes the file away.

use super::session::Session;
use crate::project::{self, Project};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// From a change until it is written; a drag is then mostly over. This much
/// work can be lost.
const PAUSE: Duration = Duration::from_secs(2);

enum Task {
    Keep(PathBuf, Arc<Project>),
    Forget(PathBuf),
}

/// Keeps what is not saved.
#[derive(Default)]
pub(super) struct Recovery {
    /// Where a document without a file is kept; none where nothing may be
    /// written outside the person's own folders, as in tests.
    unsaved: Option<PathBuf>,
    /// What was handed over last: where to, and at which revision.
    kept: Option<(PathBuf, u64)>,
    worker: Option<(Sender<Task>, JoinHandle<()>)>,
}

impl Recovery {
    /// Keeps documents that have no file yet in this place.
    #[must_use]
    pub(super) fn new(unsaved: Option<PathBuf>) -> Self {
        Self { unsaved, ..Self::default() }
    }

    /// Where this document is kept while it is not saved.
    #[must_use]
    pub(super) fn place(&self, session: &Session) -> Option<PathBuf> {
        session.path().map(project::recovery_path).or_else(|| self.unsaved.clone())
    }

    /// What an earlier run left behind for this document.
    #[must_use]
    pub(super) fn left_behind(&self, session: &Session) -> Option<PathBuf> {
        self.place(session).filter(|place| place.is_file())
    }

    /// Looks whether the document changed or was saved, once a frame.
    pub(super) fn follow(&mut self, session: &Session) {
        let history = session.history();
        let wanted = if history.is_changed() {
            self.place(session).map(|place| (place, history.revision()))
        } else {
            None
        };
        if wanted == self.kept {
            return;
        }
        if let Some((place, _)) = &self.kept
            && wanted.as_ref().is_none_or(|(wanted, _)| wanted != place)
        {
            let forget = Task::Forget(place.clone());
            self.hand_over(forget);
        }
        if let Some((place, _)) = &wanted {
            let keep = Task::Keep(place.clone(), Arc::clone(session.project()));
            self.hand_over(keep);
        }
        self.kept = wanted;
    }

    /// Takes a kept file away: the person wants to go on without it.
    pub(super) fn forget(&mut self, place: PathBuf) {
        self.kept = None;
        self.hand_over(Task::Forget(place));
    }

    /// The window closes as the person wished: nothing is to be recovered.
    pub(super) fn finish(&mut self) {
        if let Some((place, _)) = self.kept.take() {
            self.hand_over(Task::Forget(place));
        }
        if let Some((sender, worker)) = self.worker.take() {
            drop(sender);
            // A worker that failed left at worst an old file behind.
            let _ = worker.join();
        }
    }

    fn hand_over(&mut self, task: Task) {
        let task = match &self.worker {
            None => task,
            Some((sender, _)) => match sender.send(task) {
                Ok(()) => return,
                // The worker has ended, which it never does by itself: another
                // one goes on.
                Err(unsent) => unsent.0,
            },
        };
        let (sender, receiver) = channel();
        let handed = sender.send(task).is_ok();
        let thread = std::thread::Builder::new().name("recovery".into());
        self.worker = thread.spawn(move || work(&receiver)).ok().map(|worker| (sender, worker));
        if !handed || self.worker.is_none() {
            log_failure("the thread that keeps unsaved work can't begin");
        }
    }
}

fn work(tasks: &Receiver<Task>) {
    let mut pending: Option<(PathBuf, Arc<Project>, Instant)> = None;
    loop {
        let task = match &pending {
            None => tasks.recv().map_err(|_| RecvTimeoutError::Disconnected),
            Some((_, _, due)) => tasks.recv_timeout(due.saturating_duration_since(Instant::now())),
        };
        match task {
            Ok(Task::Keep(place, project)) => {
                let due = pending.as_ref().map_or_else(|| Instant::now() + PAUSE, |(_, _, due)| *due);
                pending = Some((place, project, due));
            }
            Ok(Task::Forget(place)) => {
                pending = pending.filter(|(waiting, _, _)| *waiting != place);
                if let Err(error) = std::fs::remove_file(&place)
                    && error.kind() != std::io::ErrorKind::NotFound
                {
                    log_failure(&format!("{}: {error}", place.display()));
                }
            }
            Err(RecvTimeoutError::Timeout) => keep(pending.take()),
            // The window is gone without a word: what waits is written now.
            Err(RecvTimeoutError::Disconnected) => return keep(pending.take()),
        }
    }
}

fn keep(pending: Option<(PathBuf, Arc<Project>, Instant)>) {
    let Some((place, project, _)) = pending else { return };
    if let Some(folder) = place.parent()
        && let Err(error) = std::fs::create_dir_all(folder)
    {
        return log_failure(&format!("{}: {error}", folder.display()));
    }
    if let Err(error) = project::write(&project, &place) {
        log_failure(&error.to_string());
    }
}

/// The work itself goes on; only its safety net has a hole.
fn log_failure(why: &str) {
    eprintln!("unsaved work is not kept for a crash: {why}");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::{Edit, TextField, demo};

    fn renamed(session: &mut Session, to: &str) {
        session.apply(&Edit::SetText { field: TextField::Title, to: to.into() }, None).unwrap();
    }

    fn kept_beside(folder: &tempfile::TempDir) -> (Session, PathBuf) {
        let file = folder.path().join("engine.ron");
        project::save(&demo(), &file).unwrap();
        (Session::new(project::load(&file).unwrap(), Some(file.clone())), project::recovery_path(&file))
    }

    #[test]
    fn a_window_that_falls_over_leaves_the_last_change_behind() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, place) = kept_beside(&folder);
        let mut recovery = Recovery::default();
        for title in ["one", "two"] {
            renamed(&mut session, title);
            recovery.follow(&session);
        }
        let (sender, worker) = recovery.worker.take().unwrap();
        drop(sender);
        worker.join().unwrap();
        assert_eq!(project::load(&place).unwrap().title, "two");
        assert_eq!(Recovery::default().left_behind(&session), Some(place));
    }

    #[test]
    fn what_was_saved_or_given_up_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, place) = kept_beside(&folder);
        let mut recovery = Recovery::default();
        std::fs::write(&place, "older").unwrap();
        renamed(&mut session, "one");
        recovery.follow(&session);
        session.undo();
        recovery.follow(&session);
        recovery.finish();
        assert!(!place.exists());
        let mut recovery = Recovery::default();
        session.redo();
        recovery.follow(&session);
        recovery.finish();
        assert!(!place.exists());
    }

    #[test]
    fn a_worker_that_ended_is_replaced_by_another_one() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, place) = kept_beside(&folder);
        let mut recovery = Recovery::default();
        let (sender, receiver) = channel();
        drop(receiver);
        recovery.worker = Some((sender, std::thread::spawn(|| {})));
        renamed(&mut session, "one");
        recovery.follow(&session);
        let (sender, worker) = recovery.worker.take().unwrap();
        drop(sender);
        worker.join().unwrap();
        assert_eq!(project::load(&place).unwrap().title, "one");
    }
}
