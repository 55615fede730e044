//! What is looked at before the second ends of wires are pressed, and for which wires it was.
//!
//! Invariant: a look is for the pieces whose threading its word rests on, and no clock plays a part: devices
//! differ, and no way leads back after the press. What the record does not tell was not looked at.

use super::WorkError;
use super::convert::{ends_of, run_of};
use super::ends_made::crimped;
use crate::ids::{Hash, ItemId};
use crate::job::{Job, Run, Wire};
use crate::model::bounds;
use crate::model::values::{Act, BeforeSecondEnd};

/// What is looked at in a run, in words, with the answer.
fn answers(job: &Job<'_>, run: &Run) -> impl Iterator<Item = (&'static str, Option<bool>)> {
    let told = run.before_second_end.value().copied().unwrap_or_default();
    let threaded = ends_of(job, run).is_none_or(|ends| ends.last.kind.has_thread());
    let all = told.answers().into_iter();
    all.filter(move |(what, _)| threaded || !BeforeSecondEnd::OF_THREAD.contains(what))
}

/// What of the look is not ticked, in words; empty where all of it is.
pub(super) fn not_ticked(job: &Job<'_>, run: &Run) -> Vec<&'static str> {
    let open = answers(job, run).filter(|(_, answer)| *answer != Some(true));
    open.map(|(what, _)| what).collect()
}

/// All of the look in one sentence's part: "Sleeves on, wire through all posts".
pub(super) fn to_look_at(job: &Job<'_>, run: &Run) -> String {
    let all: Vec<&str> = answers(job, run).map(|(what, _)| what).collect();
    bounds::capital(&all.join(", "))
}

/// Whether the look that stands was for a wire's present piece: it was threaded by then.
pub(super) fn looked(job: &Job<'_>, run: &Run, wire: &Wire) -> bool {
    // Two devices may each have told one: where they agree, each was for its own wires.
    let mut rests_on = run
        .before_second_end
        .tips
        .iter()
        .flat_map(|told| &told.basis);
    not_ticked(job, run).is_empty() && rests_on.any(|id| wire.threaded_by.contains(id))
}

/// Wires of a run whose second ends are pressed, by ticks or by crimps that were looked at, and that were
/// not looked at before, as far as the record tells.
#[must_use]
pub fn pressed_unseen(job: &Job<'_>, run: &Run) -> Vec<u32> {
    let wires = run.wires.iter();
    let unseen = wires.filter(|wire| second_made(run, wire) && !looked(job, run, wire));
    unseen.map(|wire| wire.number).collect()
}

/// What a look at a run that is told now rests on: the threading of the wires that wait for their second
/// end, and of those that the look before it was for.
///
/// # Errors
/// When the run is unknown.
pub fn look_basis(job: &Job<'_>, run: ItemId) -> Result<Vec<Hash>, WorkError> {
    let run = run_of(job, run)?;
    let wires = run.wires.iter();
    let seen = wires.filter(|wire| !second_made(run, wire) || looked(job, run, wire));
    Ok(seen.flat_map(|wire| wire.threaded_by.clone()).collect())
}

fn second_made(run: &Run, wire: &Wire) -> bool {
    let crimped_there = || run.ends().is_some_and(|(_, last)| crimped(wire, last.id));
    wire.has(Act::RightEndPressed) || wire.has(Act::Fitted) || crimped_there()
}
