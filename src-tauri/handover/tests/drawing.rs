//! A run drawn.
