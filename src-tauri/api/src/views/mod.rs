//! Answers: what screens and scripts read of the record.

pub mod facts;
pub mod job;
pub mod overview;
pub mod state;
