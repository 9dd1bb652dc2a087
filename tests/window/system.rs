//! The window looks as the system was told, wherever nothing else was chosen
//! in the window itself.

use super::*;
use crowndeck::app::appearance::SystemAppearance;
use crowndeck::app::theme::Theme;

/// Gives the keyboard back to the window.
pub(crate) fn leave_field(h: &mut Tested) {
    h.ctx.memory_mut(egui::Memory::stop_text_input);
    h.run();
}

/// Runs a command by its name in the search, as somebody without its key does.
pub(crate) fn command(h: &mut Tested, name: &str) {
    leave_field(h);
    h.key_press(Key::Slash);
    h.run();
    h.get_by_role_and_label(Role::TextInput, "Search commands and dimensions").type_text(name);
    h.run();
    h.key_press(Key::Enter);
    h.run();
}

#[test]
fn theme_and_movement_follow_the_system_until_something_else_is_chosen() {
    let mut h = window();
    let shows = |h: &mut Tested, appearance: SystemAppearance, theme: Theme| {
        h.state().appearance().update(appearance);
        h.run();
        assert_eq!(h.state().theme_shown(), Some(theme), "{appearance:?}");
    };
    let dark = SystemAppearance { dark: Some(true), ..SystemAppearance::default() };
    shows(&mut h, dark, Theme::Slate);
    shows(&mut h, SystemAppearance { contrast: true, ..dark }, Theme::ContrastDark);
    shows(&mut h, SystemAppearance { contrast: true, ..SystemAppearance::default() }, Theme::ContrastLight);
    shows(&mut h, SystemAppearance::default(), Theme::Paper);
    activate(&mut h, "Slate");
    shows(&mut h, SystemAppearance::default(), Theme::Slate);
    shows(&mut h, SystemAppearance { contrast: true, ..SystemAppearance::default() }, Theme::Slate);
    command(&mut h, "Look as the system asks");
    assert_eq!(h.state().theme_shown(), Some(Theme::ContrastLight));
}

/// With less movement the crank stands between steps
/// of ten degrees, otherwise it goes by less than that with each frame.
#[test]
fn with_less_movement_the_crank_turns_by_steps() {
    let mut h = window();
    h.state().appearance().update(SystemAppearance { still: true, ..SystemAppearance::default() });
    h.run();
    let walk = |h: &mut Tested| {
        let mut moves = Vec::new();
        let mut last = h.state().crank_deg();
        for _ in 0..120 {
            h.step();
            let now = h.state().crank_deg();
            moves.push((now - last).rem_euclid(360.0));
            last = now;
        }
        moves
    };
    h.key_press(Key::Space);
    let moves = walk(&mut h);
    assert!(moves.iter().all(|by| *by == 0.0 || (by - 10.0).abs() < 1e-9), "{moves:?}");
    let steps = moves.iter().filter(|by| **by > 0.0).count();
    assert!((3..=6).contains(&steps), "120 frames of 0.02 s hold 4 steps: {steps}");
    h.key_press(Key::Space);
    h.run();
    command(&mut h, "Turn the crank by steps");
    h.key_press(Key::Space);
    let moves = walk(&mut h);
    assert!(moves.iter().skip(5).all(|by| *by > 0.0 && *by < 9.0), "{moves:?}");
}
