//! Widgets that take plain data and give back what the user did. They know no
//! document and compute nothing of an engine.
//!
//! Each is shown in a rectangle that its caller chose, paints with the tokens
//! of the theme, has a name, value and unit for screen readers, can be worked
//! from the keyboard, and shows where the keyboard is.

pub mod button;
pub mod choice;
pub mod clearance_bar;
pub mod effect_bar;
pub mod field;
pub mod grip;
pub mod key_cap;
pub mod level_bank;
pub mod limit_gauge;
pub mod mark;
pub mod paint;
pub mod panel;
pub mod panel_tab;
pub mod row;
pub mod slider;
pub mod steps;
pub mod text_field;
pub mod verdict;

#[cfg(test)]
mod behaviour;
#[cfg(test)]
mod gallery;
#[cfg(test)]
mod gallery_right;
