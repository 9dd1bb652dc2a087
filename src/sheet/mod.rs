//! The binder pages.
