//! Opens the window.

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
    eframe::run_native(
        "crowndeck",
        options,
        Box::new(move |cc| Ok(Box::new(Window::new(cc, file.as_deref())))),
    )
    .map_err(|error| match graphics {
        Graphics::Wgpu => format!("the window can't be opened ({error}); try --renderer glow"),
        Graphics::Glow => format!("the window can't be opened ({error}); try --renderer wgpu"),
    })
}
