//! Devices, the host for screens in a browser, stored books and benches, whole.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    missing_docs
)]

mod bad_pictures;
mod benched;
#[path = "../devices/mod.rs"]
mod devices;
mod frozen;
mod host;
mod remembered;
#[path = "../../benches/scene/mod.rs"]
mod scene;
mod whole;
