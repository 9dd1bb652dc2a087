//! The program: picks the command line or the window.

use clap::Parser as _;
use crowndeck::app::{self, Graphics};
use crowndeck::cli::{self, CommandLine, Failure, Renderer};
use std::ffi::OsStr;
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    env_logger::init();
    let line = CommandLine::parse();
    let result = match &line.command {
        Some(command) => cli::answer(command),
        None => window(&line),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            ExitCode::from(failure.exit_code())
        }
    }
}

/// Opens the window.
fn window(line: &CommandLine) -> Result<(), Failure> {
    let subcommands = || cli::subcommands().join(", ");
    if let Some(file) = &line.file
        && !file.exists()
    {
        return Err(if is_bare_word(file) {
            Failure::Call(format!(
                "‘{}’ is neither a subcommand nor a file; the subcommands are: {}",
                file.display(),
                subcommands()
            ))
        } else {
            Failure::engine(format!("{}: there is no such file; name a project file", file.display()))
        });
    }
    if !has_display() {
        return Err(Failure::engine(format!(
            "there is no display for the window (DISPLAY and WAYLAND_DISPLAY are not set); these need none: {}",
            subcommands()
        )));
    }
    let graphics = match line.renderer {
        Renderer::Wgpu => Graphics::Wgpu,
        Renderer::Glow => Graphics::Glow,
    };
    app::run(line.file.clone(), graphics).map_err(Failure::engine)
}

/// Whether it was probably meant as a subcommand.
fn is_bare_word(file: &Path) -> bool {
    file.extension().is_none() && file.components().count() == 1
}

/// Whether a window can be shown. Elsewhere than on the desktops of X11 and
/// Wayland there is always a display, or the window itself says why not.
fn has_display() -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| value.as_os_str() != OsStr::new(""));
    let needs_one = cfg!(all(unix, not(any(target_os = "macos", target_os = "android", target_os = "ios"))));
    !needs_one || set("DISPLAY") || set("WAYLAND_DISPLAY") || set("WAYLAND_SOCKET")
}
