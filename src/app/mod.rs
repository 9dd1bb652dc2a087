//! The window.

pub mod icons;
pub mod layout;
pub mod theme;
pub mod widgets;
