//! Readings that other wires were turned after: what they show is gone.
//!
//! Invariant: later is what the record's order of cause says (`repeats`); only between devices that
//! nothing orders do their clocks say it, since to read once more than needed harms nobody. Tells and
//! changes no figure: by how much a wire gave way is read, not computed here.

use super::standing::{Taken, finishes};
use crate::job::{Job, Run, Told};
use crate::model::context::{OnPiece, TensionRead};
use crate::model::values::{Force, Stage, Turns};
use crate::work::repeats::follows;

type Read = Told<Force, TensionRead>;

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
    let read = taken.iter().filter(at_set);
    let Some(last) = read
        .filter_map(|t| t.fact.tips.last())
        .max_by_key(|told| (told.at.ms, told.n))
    else {
        return Vec::new();
    };
    let turned = |told: &Told<Turns, OnPiece>| {
        let by_any = told.value.as_ref();
        by_any.is_some_and(|t| t.turns != 0 || t.flats != 0) && came_after(job, told, last)
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

fn came_after(job: &Job<'_>, turned: &Told<Turns, OnPiece>, read: &Read) -> bool {
    if follows(job, turned, read) {
        return true;
    }
    let apart = turned.device != read.device && !follows(job, read, turned);
    apart && turned.at.ms > read.at.ms
}
