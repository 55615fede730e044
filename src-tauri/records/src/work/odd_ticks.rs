//! What to ask before a tick or a crimp check is kept that contradicts what is known.
//!
//! Crews tick in any order, and nothing is refused here: a wire that nobody ticked as cut may have
//! been cut all the same. Changes nothing.

use super::ends_made::{ends_made, pressed};
use super::look::{looked, not_ticked, to_look_at};
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Wire, WireLength};
use crate::model::context::OnPiece;
use crate::model::values::{Act, Length};

/// What to ask before an act is ticked for wires of a run; nothing about wires that have the tick.
#[must_use]
pub fn odd_ticks(job: &Job<'_>, run: &Run, tick: Act, numbers: &[u32]) -> Vec<String> {
    let wires: Vec<&Wire> = of_run(run, numbers).filter(|w| !w.has(tick)).collect();
    match tick {
        Act::Cut => before_trial(run, &wires).into_iter().collect(),
        Act::InsertionMarked => [not_cut(run, &wires), marked_late(run, &wires)]
            .into_iter()
            .flatten()
            .collect(),
        Act::RightEndPressed => [not_cut(run, &wires), not_looked_at(job, run, &wires)]
            .into_iter()
            .flatten()
            .collect(),
        Act::Fitted => [not_cut(run, &wires), not_pressed(run, &wires)]
            .into_iter()
            .flatten()
            .collect(),
        _ => not_cut(run, &wires).into_iter().collect(),
    }
}

/// What to ask before the first reading of a wire is kept: a wire that nobody cut, or pressed at both ends,
/// by the record, shows no tension. One that was read was asked about then.
#[must_use]
pub fn odd_to_read(run: &Run, wire: u32) -> Option<String> {
    let wire = run.wire(wire).filter(|w| !ends_made(run, w));
    let wires: Vec<&Wire> = wire.into_iter().collect();
    not_cut(run, &wires).or_else(|| not_pressed(run, &wires))
}

/// What to ask before the first thread left, or how far a wire is out, is kept of wires that by the record are
/// not cut or not pressed at both ends: it is learned from. Of one that was read so it was asked then.
#[must_use]
pub fn odd_to_read_ends(run: &Run, numbers: &[u32]) -> Option<String> {
    let first = |w: &&Wire| !ends_made(run, w) && !ends_read(w);
    let wires: Vec<&Wire> = of_run(run, numbers).filter(first).collect();
    not_cut(run, &wires).or_else(|| not_pressed(run, &wires))
}

/// Whether the thread of the present piece was read at an end, or how far it is out.
fn ends_read(wire: &Wire) -> bool {
    let of_piece = |fact: &Fact<Length, OnPiece>| {
        let pieces = fact.tips.iter().map(|told| told.with.as_ref());
        let mut pieces = pieces.map(|with| with.map_or(1, |with| with.piece));
        pieces.any(|piece| piece == wire.piece_number)
    };
    wire.thread_left.iter().any(|(_, fact)| of_piece(fact)) || wire.out_by.iter().any(of_piece)
}

/// Wires of a run that were read and of which nobody ticked, or checked a crimp, that both ends are
/// pressed.
#[must_use]
pub fn read_unfitted(run: &Run) -> Vec<u32> {
    let read = |w: &&Wire| w.tensions_now().next().is_some();
    let wires = run.wires.iter().filter(read);
    let open = wires.filter(|w| !ends_made(run, w));
    open.map(|w| w.number).collect()
}

/// What to ask before crimps of wires are called good at a post: at the last one they say that the second
/// ends are pressed, as its tick does.
#[must_use]
pub fn odd_crimps(job: &Job<'_>, run: &Run, post: ItemId, numbers: &[u32]) -> Vec<String> {
    let wires: Vec<&Wire> = of_run(run, numbers).collect();
    let second = run.ends().is_some_and(|(_, last)| last.id == post);
    let unticked = |w: &&Wire| second && !w.has(Act::RightEndPressed) && !w.is_fitted();
    let new: Vec<&Wire> = wires.iter().copied().filter(unticked).collect();
    let asked = [not_cut(run, &wires), not_looked_at(job, run, &new)];
    asked.into_iter().flatten().collect()
}

fn of_run<'a>(run: &'a Run, numbers: &'a [u32]) -> impl Iterator<Item = &'a Wire> {
    numbers.iter().filter_map(|number| run.wire(*number))
}

/// Wires that nobody cut, as far as the record tells; readings tell more than a tick that somebody
/// forgot.
fn not_cut(run: &Run, wires: &[&Wire]) -> Option<String> {
    let read = |w: &Wire| w.tensions_now().next().is_some();
    let uncut: Vec<&Wire> = wires
        .iter()
        .copied()
        .filter(|w| !w.is_cut() && !w.is_fitted() && !read(w))
        .collect();
    let disputed: Vec<&Wire> = uncut
        .iter()
        .copied()
        .filter(|w| matches!(w.length, WireLength::Disputed))
        .collect();
    let (which, are) = named(run, &uncut)?;
    let more = named(run, &disputed).map_or_else(String::new, |(disputed, _)| {
        format!(", and people disagree on the length of {disputed}")
    });
    Some(format!("{which} {are} not ticked as cut{more}."))
}

/// Wires of which nobody ticked that both ends are pressed, or checked a crimp at both; a reading tells as
/// much. What is not cut is asked about as that.
fn not_pressed(run: &Run, wires: &[&Wire]) -> Option<String> {
    let read = |w: &Wire| w.tensions_now().next().is_some();
    let open: Vec<&Wire> = wires
        .iter()
        .copied()
        .filter(|w| w.is_cut() && !pressed(run, w) && !read(w))
        .collect();
    let (which, are) = named(run, &open)?;
    Some(format!(
        "{which} {are} not ticked as pressed at both ends, and no crimp is checked there."
    ))
}

/// Wires that are pressed at both ends: how far the strand goes in is marked before, and can't be seen after.
fn marked_late(run: &Run, wires: &[&Wire]) -> Option<String> {
    let late = |w: &&Wire| pressed(run, w) || w.is_fitted();
    let late: Vec<&Wire> = wires.iter().copied().filter(late).collect();
    let (which, are) = named(run, &late)?;
    Some(format!(
        "{which} {are} pressed or fitted already, by ticks or crimps: how far the strand goes in can't be seen \
         since."
    ))
}

/// Another wire than the trial wire before that one is fitted, where its release did not say why.
fn before_trial(run: &Run, wires: &[&Wire]) -> Option<String> {
    let trial = run.wire(run.trial_wire)?;
    let read = !trial.thread_left.is_empty() || trial.tensions_now().next().is_some();
    if trial.is_fitted() || read {
        return None;
    }
    let why_told = |w: &Wire| {
        let told = w.issued.told().and_then(|told| told.with.as_ref());
        told.is_some_and(|with| with.reason.is_some())
    };
    let others: Vec<&Wire> = wires
        .iter()
        .copied()
        .filter(|w| w.number != trial.number && w.piece_number == 1 && !why_told(w))
        .collect();
    let (which, _) = named(run, &others)?;
    Some(format!(
        "The trial wire {}{} is not fitted yet, and it tells how long {which} should be cut.",
        run.name, trial.number
    ))
}

/// Second ends that are pressed without all of the look before, or with one that was not for these wires.
fn not_looked_at(job: &Job<'_>, run: &Run, wires: &[&Wire]) -> Option<String> {
    if wires.is_empty() {
        return None;
    }
    let open = not_ticked(job, run);
    if !open.is_empty() {
        return Some(format!(
            "Before the second ends of run {} are pressed, this is not ticked: {}. There is no way \
             back after the press.",
            run.name,
            open.join(", ")
        ));
    }
    let unseen = wires.iter().copied().filter(|wire| !looked(job, run, wire));
    let (which, are) = named(run, &unseen.collect::<Vec<_>>())?;
    Some(format!(
        "{which} {are} not among the wires that were ticked as threaded when run {} was looked at before \
         the second ends. {}? There is no way back after the press.",
        run.name,
        to_look_at(job, run)
    ))
}

/// Wires by name, the first few, and the verb that goes with them; none of none.
fn named(run: &Run, wires: &[&Wire]) -> Option<(String, &'static str)> {
    let names = wires.iter().map(|w| format!("{}{}", run.name, w.number));
    few_wires(&names.collect::<Vec<_>>())
}

/// The first few of the names of wires, and the verb that goes with them; none of none.
#[must_use]
pub fn few_wires(names: &[String]) -> Option<(String, &'static str)> {
    const SHOWN: usize = 3;
    let more = names.len().saturating_sub(SHOWN);
    let shown = names.get(..SHOWN).unwrap_or(names);
    Some(match (shown, more) {
        ([], _) => return None,
        ([one], _) => (format!("Wire {one}"), "is"),
        ([first @ .., last], 0) => (format!("{} and {last}", first.join(", ")), "are"),
        (some, more) => (format!("{} and {more} more", some.join(", ")), "are"),
    })
}
