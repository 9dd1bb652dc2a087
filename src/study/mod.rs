//! The questions: figures, curves, effects, target, limits and cautions.
