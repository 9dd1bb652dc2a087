//! The same answers without a window.
