//! Every command as a screen or the command line asks it, one program for them all: each program of
//! tests has all of the product in it. What starts another program stands in one of its own
//! (`cut_plan`): in the moment before that has begun it holds every open lock.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::string_slice,
    clippy::unwrap_used,
    missing_docs
)]

mod anew;
mod boundary;
#[path = "../common/mod.rs"]
mod common;
mod crew;
mod decisions;
mod described;
mod forked;
mod gaps;
mod gates;
mod generated;
mod grounds;
mod heads;
mod heard;
mod hidden;

mod import;
mod kept;
mod laying;
mod long_work;
mod looks;
mod marks;
mod measure;
mod members;
mod nonsense;
mod odd;
mod odd_beside;
mod odd_rounds;
mod off_middle;
mod one_pass;
mod openings;
mod order;
mod own_library;
mod pictures;
#[path = "../common/plucks.rs"]
mod plucks;
mod posts_and_gaps;
mod private;
mod readings;
mod recheck;
mod remembered;
mod second_trial;
mod site_cut;
mod strength;
mod tensioning;
mod to_cut;
mod told;
mod trial;
mod trial_remade;
mod typed;
mod unasked;
mod whose;
