//! What to ask before a tick or a crimp check is kept that contradicts what is known.
//!
//! Crews tick in any order, and nothing is refused here: a wire that nobody ticked as cut may have
//! been cut all the same. Changes nothing.

use super::progress::{is_cut, is_fitted};
use crate::ids::ItemId;
use crate::job::{Run, Wire, WireLength};
use crate::model::values::Act;

/// What to ask before an act is ticked for wires of a run; nothing about wires that have the tick.
#[must_use]
pub fn odd_ticks(run: &Run, tick: Act, numbers: &[u32]) -> Vec<String> {
    let wires: Vec<&Wire> = of_run(run, numbers).filter(|w| !w.has(tick)).collect();
    match tick {
        Act::Cut => before_trial(run, &wires).into_iter().collect(),
        Act::RightEndPressed => [not_cut(run, &wires), not_looked_at(run, &wires)]
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

/// What to ask before crimps of wires are called good.
#[must_use]
pub fn odd_crimps(run: &Run, numbers: &[u32]) -> Vec<String> {
    let wires: Vec<&Wire> = of_run(run, numbers).collect();
    not_cut(run, &wires).into_iter().collect()
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
        .filter(|w| !is_cut(w) && !is_fitted(w) && !read(w))
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
    let ends = run.ends().map(|(first, last)| [first.id, last.id])?;
    let crimped = |w: &Wire, end: ItemId| w.crimps.iter().any(|(at, _)| *at == end);
    let pressed = |w: &Wire| {
        let [left, right] = ends;
        (w.has(Act::LeftEndPressed) || crimped(w, left))
            && (w.has(Act::RightEndPressed) || crimped(w, right))
    };
    let open: Vec<&Wire> = wires
        .iter()
        .copied()
        .filter(|w| is_cut(w) && !pressed(w) && w.tensions_now().next().is_none())
        .collect();
    let (which, are) = named(run, &open)?;
    Some(format!(
        "{which} {are} not ticked as pressed at both ends, and no crimp is checked there."
    ))
}

/// Another wire than the trial wire before that one is fitted, where its release did not say why.
fn before_trial(run: &Run, wires: &[&Wire]) -> Option<String> {
    let trial = run.wire(run.trial_wire)?;
    let read = !trial.thread_left.is_empty() || trial.tensions_now().next().is_some();
    if is_fitted(trial) || read {
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

/// What is looked at before the second ends are pressed, once for a run.
fn not_looked_at(run: &Run, wires: &[&Wire]) -> Option<String> {
    if wires.is_empty() {
        return None;
    }
    let told = run.before_second_end.value().copied().unwrap_or_default();
    let open: Vec<&str> = told
        .answers()
        .into_iter()
        .filter(|(_, answer)| *answer != Some(true))
        .map(|(what, _)| what)
        .collect();
    (!open.is_empty()).then(|| {
        format!(
            "Before the second ends of run {} are pressed, this is not ticked: {}. There is no way \
             back after the press.",
            run.name,
            open.join(", ")
        )
    })
}

/// Wires by name, the first few, and the verb that goes with them; none of none.
fn named(run: &Run, wires: &[&Wire]) -> Option<(String, &'static str)> {
    const SHOWN: usize = 3;
    let names: Vec<String> = wires
        .iter()
        .take(SHOWN)
        .map(|w| format!("{}{}", run.name, w.number))
        .collect();
    let more = wires.len().saturating_sub(SHOWN);
    Some(match (names.as_slice(), more) {
        ([], _) => return None,
        ([one], _) => (format!("Wire {one}"), "is"),
        ([first @ .., last], 0) => (format!("{} and {last}", first.join(", ")), "are"),
        (some, more) => (format!("{} and {more} more", some.join(", ")), "are"),
    })
}
