//! What to ask about what somebody reads at the ends of a fitted wire, before it is kept.
//!
//! Invariant: a reading is held against the thread that its fitting set has and nothing else; where no
//! set is chosen nothing is asked. Changes and refuses nothing.

use mechanics::Millimetres;

use super::WorkError;
use super::convert::{ends_of, mm, nm, run_of, terminal_for};
use super::words;
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::values::{Hand, Length};

/// What to ask about the thread left showing at an end: more than the stud there has. None where
/// nothing is odd.
///
/// # Errors
/// When the run is unknown.
pub fn odd_thread_left(
    job: &Job<'_>,
    run: ItemId,
    post: ItemId,
    left: Length,
) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let (Some((first, last)), Some(ends)) = (run.ends(), ends_of(job, run)) else {
        return Ok(None);
    };
    let at = [(first, &ends.first), (last, &ends.last)];
    let Some((_, end)) = at.into_iter().find(|(of, _)| of.id == post) else {
        return Ok(None);
    };
    let thread = terminal_for(job, run, end.hand).map(|terminal| nm(terminal.thread_nm));
    Ok(thread.filter(|thread| mm(left) > *thread).map(|thread| {
        format!(
            "{} of thread left showing: the {} stud has {thread} of usable thread. Is it right?",
            mm(left),
            words::hand(end.hand)
        )
    }))
}

/// What to ask about how far a fitted wire is out, too long above zero: more than the thread of both
/// ends together, by which no cut to the sheet misses. None where nothing is odd.
///
/// # Errors
/// When the run is unknown.
pub fn odd_out_by(job: &Job<'_>, run: ItemId, by: Length) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let thread = |hand| terminal_for(job, run, hand).map(|terminal| nm(terminal.thread_nm));
    let both: Option<Millimetres> = thread(Hand::Left)
        .zip(thread(Hand::Right))
        .map(|(left, right)| left + right);
    let way = if by.nm < 0 { "short" } else { "long" };
    Ok(both.filter(|both| mm(by).abs() > *both).map(|both| {
        format!(
            "Too {way} by {} is more than the {both} of thread at both ends together. Is it right, and \
             of this wire?",
            mm(by).abs()
        )
    }))
}
