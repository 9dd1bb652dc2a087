//! Why a call gave no answer, and the exit code that says so.

use crate::engine::Fault;
use crate::project::visible;
use crate::schema::bounds::first_messages;
use std::io::Write as _;

/// Why a call gave no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Failure {
    /// The engine or a file is at fault: one message a fault; exit code 1.
    Engine(Vec<String>),
    /// The call is at fault; exit code 2.
    Call(String),
}

impl Failure {
    /// One message about the engine or a file.
    pub fn engine(message: impl Into<String>) -> Self {
        Self::Engine(vec![message.into()])
    }

    /// The exit code.
    #[must_use]
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Engine(_) => 1,
            Self::Call(_) => 2,
        }
    }

    /// Writes the messages to standard error, one a line whatever is in them,
    /// the first hundred of them. An error that nobody can read is no reason
    /// to fail in another way.
    pub fn tell(&self) {
        let mut lines = String::new();
        for message in first_messages(self.messages().to_vec()) {
            lines.push_str(&visible(&message));
            lines.push('\n');
        }
        let mut out = std::io::stderr().lock();
        let _ = out.write_all(lines.as_bytes());
    }

    /// The messages, one a line.
    #[must_use]
    pub fn messages(&self) -> &[String] {
        match self {
            Self::Engine(messages) => messages,
            Self::Call(message) => std::slice::from_ref(message),
        }
    }
}

/// The faults of one cylinder as messages; `label` names it where there are
/// several.
pub(super) fn fault_messages(label: Option<&str>, faults: &[Fault]) -> Vec<String> {
    let place = label.map_or_else(String::new, |label| format!("cylinder {label}: "));
    faults.iter().map(|fault| format!("{place}{fault}")).collect()
}
