//! Every formula of `mechanics` beside a general library: finite elements (`scikit-fem`), roots,
//! least energies, eigenvalues and random draws (`scipy`, `numpy`), regression (`statsmodels`), an
//! exact solver (`highspy`) and a rival for pitch (`librosa`), each at its version in
//! `tests/reference/requirements.txt`.
//!
//! A test puts its cases to one script of `tests/reference`, which works them out by other means,
//! and compares. Each comparison names how far apart the two may lie, and why.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod chains;
mod cut_plans;
mod cutting;
mod gauge;
mod heard;
mod layout;
mod posts;
mod room;
#[path = "../../../src-tauri/mechanics/tests/common/second.rs"]
mod second;
mod strands;
mod strings;
mod tensioning;
mod trials;
mod ways;
mod wires;
