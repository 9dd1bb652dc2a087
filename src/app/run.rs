//! Opens the window.

use super::output;
use super::window::Window;
use std::path::PathBuf;

/// Which graphics interface draws the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Graphics {
    /// Vulkan, Metal or Direct3D 12.
    #[default]
    Wgpu,
    /// OpenGL, for machines without those.
    Glow,
}

/// Opens the window on a file, or on the built-in example, and comes back
/// when it is closed.
///
/// # Errors
/// A sentence, if no window can be opened.
pub fn run(file: Option<PathBuf>, graphics: Graphics) -> Result<(), String> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("crowndeck")
        .with_app_id("crowndeck")
        .with_inner_size([1440.0, 900.0])
        .with_min_inner_size([1024.0, 640.0])
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions {
        viewport,
        renderer: match graphics {
            Graphics::Wgpu => eframe::Renderer::Wgpu,
            Graphics::Glow => eframe::Renderer::Glow,
        },
        system_font_fallback: false,
        ..Default::default()
    };
    let result = eframe::run_native(
        "crowndeck",
        options,
        Box::new(move |cc| Ok(Box::new(Window::new(cc, file.as_deref())))),
    );
    output::clear();
    result.map_err(|error| {
        let other = match graphics {
            Graphics::Wgpu => "glow",
            Graphics::Glow => "wgpu",
        };
        format!(
            "the window can't be opened ({}); try --renderer {other}",
            without_sources(&error.to_string())
        )
    })
}

/// Leaves out of a message where in the toolkit's own source it arose: "os
/// error at /…/x11/mod.rs:12: no connection" says "no connection".
fn without_sources(message: &str) -> String {
    let is_source = |word: &str| word.contains(".rs:");
    let words: Vec<&str> = message.split_whitespace().collect();
    match words.iter().rposition(|word| is_source(word)) {
        Some(at) if at + 1 < words.len() => words.iter().skip(at + 1).copied().collect::<Vec<_>>().join(" "),
        Some(_) => "the desktop refused".to_owned(),
        None => words.join(" "),
    }
}

#[cfg(test)]
mod tests {
    use super::without_sources;

    #[test]
    fn a_message_names_no_file_of_the_toolkit() {
        let from = "winit EventLoopError: os error at /home/x/registry/src/winit-0.30.13/src/x11/mod.rs:753: no connection";
        assert_eq!(without_sources(from), "no connection");
        assert_eq!(without_sources("os error at /x/a.rs:7:"), "the desktop refused");
        assert_eq!(without_sources("no display"), "no display");
    }
}
