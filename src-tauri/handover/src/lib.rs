//! Drawings, the handover document, data export and its verification.

pub mod drawing;
mod visible;

pub use drawing::{Drawing, drawing};
