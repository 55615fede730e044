//! The record: entries, chain, claims, journal, index, photos and projections.
//!
//! It owns the binding forms and the one check of the chain. It moves no files between devices
//! (`sync`), computes no engineering (`mechanics`) and makes no documents (`handover`).

pub mod admission;
pub mod book;
pub mod canonical;
pub mod claims;
pub mod clock;
pub mod crew;
pub mod entry;
mod error;
pub mod heads;
pub mod ids;
pub mod in_flight;
mod index;
pub mod job;
pub mod journal;
pub mod keys;
pub mod library;
mod migrate;
pub mod model;
pub mod photos;
pub mod record;
pub mod segment;
pub mod subject;
pub mod survey;
pub mod verify;
pub mod work;

pub use error::{RecordError, what_to_do};
pub use record::Record;
