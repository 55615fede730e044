//! Readings that other wires were turned after: what they show is gone.
//!
//! Invariant: a turning came before a reading only where the record's order of cause says that who
//! read knew of it (`repeats`). Where nothing orders the two it counts as after, whatever the clocks
//! say: to read once more than needed harms nobody. Tells and changes no figure: by how much a wire
//! gave way is read, not computed here.

use super::standing::Raises;
use crate::job::{Job, Run, Told};
use crate::model::context::OnPiece;
use crate::model::values::Turns;
use crate::work::repeats::{Entry, Line};

/// Numbers of the wires of a run that were turned after a wire was last read at its set tension or in a
/// recheck (`at_set`): others by their turnings, itself by a lower pass that nothing orders.
pub(super) fn turned_after(
    job: &Job<'_>,
    run: &Run,
    wire: u32,
    at_set: &[&Line],
    raises: &Raises,
) -> Vec<u32> {
    if at_set.is_empty() {
        return Vec::new();
    }
    let before = |told: &Told<Turns, OnPiece>| {
        let turning = Entry::of(told);
        at_set.iter().any(|read| read.knew(job, turning))
    };
    let turned = |told: &Told<Turns, OnPiece>| {
        let by_any = told.value.as_ref();
        by_any.is_some_and(|t| t.turns != 0 || t.flats != 0) && !before(told)
    };
    run.wires
        .iter()
        .filter(|other| {
            if other.number == wire {
                return raises.unknown_to(job, at_set);
            }
            let mut ends = other.turns.iter().flat_map(|(_, fact)| &fact.tips);
            ends.any(turned)
        })
        .map(|other| other.number)
        .collect()
}
