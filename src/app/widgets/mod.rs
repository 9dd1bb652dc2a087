//! Widgets that take plain data and give back what the user did. They know no
//! document and compute nothing of an engine.
//!
//! Each is shown in a rectangle that its caller chose, paints with the tokens
//! of the theme, has a name, value and unit for screen readers, can be worked
//! from the keyboard, and shows where the keyboard is.

pub(crate) mod button;
pub(crate) mod choice;
pub(crate) mod clearance_bar;
pub(crate) mod effect_bar;
pub(crate) mod field;
pub(crate) mod grip;
pub(crate) mod key_cap;
pub(crate) mod level_bank;
pub(crate) mod limit_gauge;
pub(crate) mod mark;
pub(crate) mod paint;
pub(crate) mod panel;
pub(crate) mod panel_tab;
pub(crate) mod row;
pub mod slider;
pub(crate) mod steps;
pub(crate) mod text_field;
pub(crate) mod verdict;

#[cfg(test)]
mod behaviour;
#[cfg(test)]
mod gallery;
#[cfg(test)]
mod gallery_right;
