//! Trials made beside the window: one run at a time; what was asked last
//! counts, and a run for something older is dropped when it ends.

use super::ViewContext;
use crate::reading::{Sample, Trials};
use crate::study::Question;
use crate::study::uncertainty::by_trials;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

/// The seed of the trials in the window: the same engine shows the same
/// digits.
const SEED: u64 = 1;

/// The four figures by trials, or why there are none.
type Found = Result<[Sample; 4], String>;

/// For what trials are made.
struct Asked {
    question: Arc<Question>,
    cylinder: usize,
}

impl Asked {
    fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.question, &other.question) && self.cylinder == other.cylinder
    }
}

/// The run and what came of the last one.
#[derive(Default)]
pub(super) struct TrialsRun {
    running: Option<(Asked, Receiver<Found>)>,
    done: Option<(Asked, Found)>,
    current: bool,
}

impl TrialsRun {
    /// Asks for the trials of the cylinder shown; to be done in each frame
    /// that shows them.
    pub(super) fn ask(&mut self, shown: &ViewContext<'_>, ctx: &egui::Context) {
        let wanted = Asked { question: Arc::clone(shown.session.question()), cylinder: shown.cylinder };
        if let Some((of, answer)) = self.running.take() {
            match answer.try_recv() {
                Ok(found) => self.done = Some((of, found)),
                Err(std::sync::mpsc::TryRecvError::Empty) => self.running = Some((of, answer)),
                Err(std::sync::mpsc::TryRecvError::Disconnected) => {
                    self.done = Some((of, Err("the trials ended without a result".to_owned())));
                }
            }
        }
        self.current = self.done.as_ref().is_some_and(|(of, _)| of.is_same(&wanted));
        if self.current || self.running.is_some() {
            return;
        }
        let Some(solved) = shown.solved() else { return };
        let (question, cylinder, engine) = (Arc::clone(&wanted.question), wanted.cylinder, solved.engine);
        let (send, answer) = channel();
        let ctx = ctx.clone();
        let run = move || {
            let found = match question.cylinders.get(cylinder) {
                None => Err("there is no such cylinder".to_owned()),
                Some(input) => {
                    let (engine, doubts) = input.measured.propagated(&engine);
                    by_trials(&engine, &doubts, Trials::Adaptive, SEED).map_err(|error| error.to_string())
                }
            };
            // Nobody waits any more if the window was closed.
            drop(send.send(found));
            ctx.request_repaint();
        };
        if std::thread::Builder::new().name("trials".to_owned()).spawn(run).is_ok() {
            self.running = Some((wanted, answer));
        }
    }

    /// What the trials gave for the cylinder asked for last; none while they
    /// are made.
    pub(super) fn found(&self) -> Option<&Found> {
        self.done.as_ref().filter(|_| self.current).map(|(_, found)| found)
    }
}
