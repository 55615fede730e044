//! The model: what the record can say, as typed fields with their values and contexts.
//!
//! It owns the meaning of kinds. Which claims count and which stand is decided in `claims` and
//! `book`.

pub mod bounds;
pub mod context;
pub mod entered;
pub mod fields;
pub mod members;
mod terminal;
pub mod unfit;
pub mod values;
mod wording;

pub use fields::Field;
pub use terminal::{TERMINAL_FIGURES, TerminalFigure, terminal_figure};
