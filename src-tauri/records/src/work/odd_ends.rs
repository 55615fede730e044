//! What to ask about what somebody reads at the ends of a fitted wire, before it is kept, and where
//! what was kept says that too little thread holds.
//!
//! Invariant: a reading is held against the thread, the least engagement and the lock nut of its
//! fitting set and nothing else; where no set is chosen nothing is asked. Engaged is the usable thread
//! less what is left showing. Changes and refuses nothing.

use mechanics::Millimetres;

use super::WorkError;
use super::checked::thread_left;
use super::convert::{ends_of, mm, nm, run_of, terminal_for};
use super::words;
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::context::Terminal;
use crate::model::values::{Hand, Length, Turns};

/// What to ask about the thread left showing at an end: more than the stud there has, so much that
/// less is engaged than holds, or so little that the lock nut finds no room. None where nothing is odd.
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
    let Some((hand, terminal)) = terminal_at(job, run, post) else {
        return Ok(None);
    };
    let thread = nm(terminal.thread_nm);
    if mm(left) > thread {
        return Ok(Some(format!(
            "{} of thread left showing: the {} stud has {thread} of usable thread. Is it right?",
            mm(left),
            words::hand(hand)
        )));
    }
    let doubt = thread_doubt(&terminal, left);
    Ok(doubt.map(|doubt| format!("{doubt}. Is it right?")))
}

/// What to ask about the turns that an end was screwed in by: more than its stud has thread. None where
/// nothing is odd.
///
/// # Errors
/// When the run is unknown.
pub fn odd_turns(
    job: &Job<'_>,
    run: ItemId,
    post: ItemId,
    turns: Turns,
) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let Some((hand, terminal)) = terminal_at(job, run, post) else {
        return Ok(None);
    };
    let sixths = turns.turns.saturating_mul(6).saturating_add(turns.flats);
    let way = terminal.pitch_nm.saturating_mul(sixths) / 6;
    Ok((way > terminal.thread_nm).then(|| {
        format!(
            "{} turns and {} flats are {} of thread: the {} stud has {} of it. Is it right?",
            turns.turns,
            turns.flats,
            nm(way),
            words::hand(hand),
            nm(terminal.thread_nm)
        )
    }))
}

/// Hand and terminal of the end of a run at a post.
fn terminal_at(job: &Job<'_>, run: &Run, post: ItemId) -> Option<(Hand, Terminal)> {
    let ((first, last), ends) = (run.ends()?, ends_of(job, run)?);
    let at = [(first, &ends.first), (last, &ends.last)];
    let (_, end) = at.into_iter().find(|(of, _)| of.id == post)?;
    Some((end.hand, terminal_for(job, run, end.hand)?))
}

/// What is the matter with so much thread left showing; none where enough is engaged and the lock nut
/// has room.
fn thread_doubt(terminal: &Terminal, left: Length) -> Option<String> {
    let (engaged, least) = (
        nm(terminal.thread_nm) - mm(left),
        nm(terminal.least_engagement_nm),
    );
    if engaged < least {
        let engaged = engaged.max(Millimetres::default());
        return Some(format!(
            "{} of thread left showing leaves {engaged} engaged, and the fitting set asks at least \
             {least}",
            mm(left)
        ));
    }
    (left.nm < terminal.lock_nut_nm).then(|| {
        format!(
            "{} of thread left showing leaves no room for the lock nut of {}",
            mm(left),
            nm(terminal.lock_nut_nm)
        )
    })
}

/// An end of a wire whose thread does not hold as its fitting set asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThinThread {
    /// Number of the wire.
    pub wire: u32,
    /// The end's post.
    pub post: ItemId,
    /// The post's name.
    pub post_name: String,
    /// What is the matter, as the beginning of a sentence.
    pub doubt: String,
}

/// Ends of the present pieces of a run that stand with too little thread engaged, or with no room for
/// the lock nut, by whatever anybody reads there.
#[must_use]
pub fn thin_threads(job: &Job<'_>, run: &Run) -> Vec<ThinThread> {
    let of_wire = |wire| thin_at(job, run, wire);
    run.wires.iter().flat_map(of_wire).collect()
}

/// The same of one wire.
pub(super) fn thin_at(job: &Job<'_>, run: &Run, wire: &Wire) -> Vec<ThinThread> {
    if wire.thread_left.is_empty() {
        return Vec::new();
    }
    let ends = run.ends().into_iter().flat_map(|(a, b)| [a, b]);
    ends.filter_map(|end| {
        let (_, terminal) = terminal_at(job, run, end.id)?;
        let left = thread_left(job, wire, end.id);
        let doubt = left
            .iter()
            .find_map(|left| thread_doubt(&terminal, *left))?;
        Some(ThinThread {
            wire: wire.number,
            post: end.id,
            post_name: end.name.clone(),
            doubt,
        })
    })
    .collect()
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
