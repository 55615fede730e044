//! What people work from, on the worked job built through the record's own writing.
//!
//! Its figures are a consistency check of the whole chain, not published values ("scenario").
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs,
    unreachable_pub
)]

mod above;
mod anew;
mod asking;
mod bases;
mod beside;
mod built;
mod careful;
#[path = "../common/mod.rs"]
mod common;
mod corners;
mod cuts;
mod decided;
mod differing;
mod disputes;
mod end_kinds;
mod ends;
mod even;
mod evidence;
mod expected;
mod fallen;
mod finished;
mod gates;
mod grounds;
mod in_inches;
mod inches;
mod laid;
mod later;
mod levels;
mod no_longer;
mod off_middle;
mod offered;
mod ordering;
mod others;
mod parts;
mod planned;
mod post_figures;
mod posts;
mod proven;
mod pushed;
mod rails;
mod rake;
mod readings;
mod refusals;
mod released;
mod repeats;
mod sags;
mod said;
mod scene;
mod slips;
mod sphere;
mod stock;
mod supports;
mod threads;
mod walls;

/// Asserts that a figure is the expected one to half a unit of its last printed digit.
pub(crate) fn near(actual: f64, expected: f64, within: f64) {
    assert!(
        (actual - expected).abs() <= within,
        "{actual} is not {expected} ± {within}"
    );
}
