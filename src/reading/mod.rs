//! What was measured: instruments, repeated readings and their uncertainty.
