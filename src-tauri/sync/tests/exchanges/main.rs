//! Devices that exchange through a folder, and what can be wrong with it.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::string_slice,
    clippy::unwrap_used
)]

mod bad_folders;
mod bad_segments;
#[path = "../devices/mod.rs"]
mod devices;
mod exchange;
mod false_pieces;
mod folder;
mod heads;
mod laws;
mod looked_over;
mod own_log;
mod verify;
