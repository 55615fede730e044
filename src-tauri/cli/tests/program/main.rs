//! The command line as it is run: another process, its words and its exit codes.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used
)]

mod command_line;
mod files;
mod folders;
mod heard;
#[allow(dead_code)]
#[path = "../../../api/tests/common/plucks.rs"]
mod plucks;
mod survey;
mod worked;
