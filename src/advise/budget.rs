//! How much work a search may do, and who can stop it.

/// How often the outside is asked whether to stop, in looks at an option.
const ASK_EVERY: u64 = 1 << 16;

/// How much work may be done.
pub struct Budget<'a> {
    left: u64,
    spent: u64,
    next: u64,
    stop: &'a dyn Fn() -> bool,
}

/// Looks at an option that are allowed by default: some seconds of work on a
/// plain laptop, a thousand times what common engines need.
pub const MAX_NODES: u64 = 2_000_000_000;

impl<'a> Budget<'a> {
    /// So many looks at an option, or until `stop` says so.
    #[must_use]
    pub fn new(nodes: u64, stop: &'a dyn Fn() -> bool) -> Self {
        Self { left: nodes, spent: 0, next: ASK_EVERY, stop }
    }

    /// How many looks were taken.
    #[must_use]
    pub fn spent(&self) -> u64 {
        self.spent
    }

    /// Whether nothing is left: what was not found by now stays unknown.
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

/// The search was stopped before it was through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stopped;
