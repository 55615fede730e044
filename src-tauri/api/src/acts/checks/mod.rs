//! Readings and checks: crimps, ends, tensions, gaps.
//!
//! Invariant: a reading is of the piece of strand that was in place, and follows all that was read
//! at that place before, whosever it is: no clock has to say which came last.

pub(crate) mod crimps;
pub(crate) mod ends;
pub(crate) mod gaps;
pub(crate) mod heard;
pub(crate) mod tensions;
