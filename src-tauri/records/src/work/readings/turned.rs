//! Readings that other wires were turned after: what they show is gone.
//!
//! Invariant: a turning came before a reading only where the record's order of cause says that who
//! read knew of it (`repeats`). Where nothing orders the two it counts as after, whatever the clocks
//! say: to read once more than needed harms nobody. Tells and changes no figure: by how much a wire
//! gave way is read, not computed here.

use super::standing::{Taken, finishes};
use crate::job::{Job, Run, Told};
use crate::model::context::OnPiece;
use crate::model::values::{Stage, Turns};
use crate::work::repeats::knew;

/// Numbers of the other wires of a run that were turned after a wire was last read at its set tension
/// or in a recheck.
pub(super) fn turned_after(
    job: &Job<'_>,
    run: &Run,
    wire: u32,
    taken: &[Taken<'_>],
    piece: u32,
    last_pass: Option<u32>,
) -> Vec<u32> {
    let at_set = |t: &&Taken<'_>| {
        let (stage, pass) = (t.reading.stage, t.reading.pass);
        t.counts_on(piece) && (stage == Stage::Recheck || finishes(stage, pass, last_pass))
    };
    let read: Vec<&Taken<'_>> = taken.iter().filter(at_set).collect();
    if read.is_empty() {
        return Vec::new();
    }
    let before = |told: &Told<Turns, OnPiece>| {
        let known = |t: &&Taken<'_>| t.fact.tips.iter().all(|read| knew(job, read, told));
        read.iter().any(known)
    };
    let turned = |told: &Told<Turns, OnPiece>| {
        let by_any = told.value.as_ref();
        by_any.is_some_and(|t| t.turns != 0 || t.flats != 0) && !before(told)
    };
    run.wires
        .iter()
        .filter(|other| other.number != wire)
        .filter(|other| {
            let mut ends = other.turns.iter().flat_map(|(_, fact)| &fact.tips);
            ends.any(turned)
        })
        .map(|other| other.number)
        .collect()
}
