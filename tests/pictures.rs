//! The picture of the window in the README is the window.
//!
//! Refresh it with `UPDATE_SNAPSHOTS=true cargo test --release --test pictures`
//! and look at it.

use crowndeck::app::Window;
use egui::accesskit::Role;
use egui::{Event, Key, vec2};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotOptions};

#[test]
fn the_window_in_the_readme() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sorrendel-f6.ron");
    std::fs::copy("demo-projects/sorrendel-f6.ron", &path).unwrap();
    let mut harness = Harness::builder()
        .with_size(vec2(1440.0, 900.0))
        .with_step_dt(0.02)
        .with_max_steps(20)
        .with_theme(egui::Theme::Light)
        .with_render_cursor(false)
        .build_eframe(move |cc| Window::new(cc, Some(&path)));
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, "Base shim").focus();
    harness.run();
    harness.event(Event::Text("20 thou".into()));
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    // Antialiasing of a few edge pixels may differ between drivers.
    let options = SnapshotOptions::new().output_path("assets").max_failed_pixels(200);
    harness.try_snapshot_options("window", &options).unwrap();
}
