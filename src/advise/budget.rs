//! The budget of a search, and its interruption.

/// Number of nodes between two calls of `stop`.
const ASK_EVERY: u64 = 1 << 16;

/// The budget of a search.
pub struct Budget<'a> {
    left: u64,
    spent: u64,
    next: u64,
    stop: &'a dyn Fn() -> bool,
}

/// Default number of nodes: some seconds of work on a plain laptop, a thousand
/// times what common engines need.
pub const MAX_NODES: u64 = 2_000_000_000;

/// Looks that a call without a window allows: nobody can stop it there. Up to
/// sixteen cylinders and as many thicknesses as a drawer holds it takes what a
/// proof takes; beyond them about a second.
#[must_use]
pub(crate) fn nodes_for(cylinders: usize, kinds: usize) -> u64 {
    if cylinders <= 16 && kinds <= 100 { MAX_NODES } else { MAX_NODES / 100 }
}

impl<'a> Budget<'a> {
    /// Creates a budget of so many nodes, or until `stop` says so.
    #[must_use]
    pub fn new(nodes: u64, stop: &'a dyn Fn() -> bool) -> Self {
        Self { left: nodes, spent: 0, next: ASK_EVERY, stop }
    }

    /// Returns how many nodes were visited.
    #[must_use]
    pub fn spent(&self) -> u64 {
        self.spent
    }

    /// Returns whether the budget is spent: what was not found by now stays
    /// unknown.
    #[must_use]
    pub fn is_spent(&self) -> bool {
        self.spent > self.left
    }

    pub(in crate::advise) fn spend(&mut self, nodes: u64) -> Result<(), Stopped> {
        self.spent += nodes;
        if self.spent > self.left {
            return Err(Stopped);
        }
        if self.spent >= self.next {
            self.next = self.spent + ASK_EVERY;
            if (self.stop)() {
                // Whoever asks again gets the same answer.
                self.left = 0;
                return Err(Stopped);
            }
        }
        Ok(())
    }
}

/// The error of a search that was stopped before its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stopped;
