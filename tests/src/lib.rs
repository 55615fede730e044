//! Whole-system tests and benches.
