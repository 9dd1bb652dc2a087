//! The document: its schema, load and save, undo history.
