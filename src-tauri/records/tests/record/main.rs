//! The record: its chains, claims, journal, index and what is read from files into it.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    unreachable_pub,
    missing_docs
)]

mod belonging;
#[path = "../common/mod.rs"]
mod common;
mod damaged;
mod first_fields;
mod founding;
mod heads;
mod kept_job;
mod lengths;
mod marks;
mod newer;
mod opening;
mod own_chain;
mod owners;
mod record;
mod rule_files;
mod sheets;
mod survey;
mod survey_ends;
mod survey_offers;
mod terminals;
mod verify;
