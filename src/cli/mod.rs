//! The same answers without a window.

mod args;
mod check;
mod check_lesson;
mod curves;
mod effects;
mod failure;
mod figures;
mod handout;
mod input;
mod json;
mod json_rings;
mod json_shims;
mod limits;
mod output;
mod rings;
mod sheet;
mod shims;
mod support;
mod uncertainty;

pub(crate) use args::Command;
pub use args::{CommandLine, Renderer};
pub use failure::Failure;

/// Answers a subcommand on standard output, or in the file that it names.
///
/// # Errors
/// Why there is no answer; nothing was written then.
pub fn answer(command: &Command) -> Result<(), Failure> {
    match command {
        Command::Figures(args) => figures::run(args),
        Command::Effects(args) => effects::run(args),
        Command::Curves(args) => curves::run(args),
        Command::Rings(args) => rings::run(args),
        Command::Shims(args) => shims::run(args),
        Command::Limits(args) => limits::run(args),
        Command::Sheet(args) => sheet::run(args),
        Command::Uncertainty(args) => uncertainty::run(args),
        Command::Check(args) => check::run(args),
        Command::Support { kind } => support::run(*kind),
    }
}

/// The names of the subcommands, for a message.
#[must_use]
pub fn subcommands() -> Vec<String> {
    use clap::CommandFactory as _;
    CommandLine::command().get_subcommands().map(|command| command.get_name().to_owned()).collect()
}
