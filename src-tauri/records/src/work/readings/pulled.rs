//! Readings after which another run that pulls on the same post was brought up: what they show is gone.
//!
//! Invariant: as with turnings, the other run came before a reading only where the record's order of
//! cause says that who read knew of it. Tells and changes no figure: by how much a wire gave way is
//! read. A run that leaves the post square, by an angle that is told, pulls across the wires and not
//! along them.

use super::answer::PulledAfter;
use super::standing::{Taken, finishes, last_pass};
use crate::job::{Job, Run, Told, Wire};
use crate::model::context::TensionRead;
use crate::model::values::{Force, Stage};
use crate::work::posts::{beside, pulls_along, pulls_at};
use crate::work::repeats::{Entry, Line};

/// Another run on an end or corner post of a run.
pub(super) struct Other<'j> {
    run: &'j Run,
    post: String,
    /// What brought its wires up, by wire.
    read: Vec<(u32, Line)>,
    turned: Vec<(u32, Entry)>,
    /// Whether all its wires were read at their set tension.
    done: bool,
}

/// The runs whose pull on a post may take tension from a run's wires, each once.
pub(super) fn others<'j>(job: &'j Job<'_>, run: &Run) -> Vec<Other<'j>> {
    let mut found: Vec<Other<'_>> = Vec::new();
    for at in run.posts.iter().filter(|at| pulls_at(run, at)) {
        for (other, there, place) in beside(job, run, at) {
            let known = found.iter().any(|known| known.run.id == other.id);
            if !known && pulls_along(job, at, there, &place) {
                found.push(Other::of(job, other, at.name.clone()));
            }
        }
    }
    found
}

impl<'j> Other<'j> {
    fn of(job: &Job<'_>, run: &'j Run, post: String) -> Self {
        let wires = || run.wires.iter();
        let read = wires().flat_map(|wire| {
            let up = brought_up(wire).into_iter();
            up.map(|told| (wire.number, Line::of(job, told)))
        });
        let turned = wires().flat_map(|wire| {
            let tips = wire.turns.iter().flat_map(|(_, fact)| &fact.tips);
            let by_any =
                tips.filter(|told| told.value.is_some_and(|t| t.turns != 0 || t.flats != 0));
            by_any.map(|told| (wire.number, Entry::of(told)))
        });
        let set = last_pass(run);
        let at_set = |told: &Told<Force, TensionRead>| {
            let with = told.with.as_ref();
            with.is_some_and(|w| w.stage == Stage::Recheck || finishes(w.stage, w.pass, set))
        };
        let done = |wire: &Wire| on_piece(wire).iter().any(|told| at_set(told));
        Other {
            done: wires().all(done),
            read: read.collect(),
            turned: turned.collect(),
            run,
            post,
        }
    }
}

/// Tension readings of the present piece.
fn on_piece(wire: &Wire) -> Vec<&Told<Force, TensionRead>> {
    let told = wire
        .tensions
        .iter()
        .filter_map(|(_, fact)| fact.tips.last());
    let here = |told: &&Told<Force, TensionRead>| {
        told.with
            .as_ref()
            .is_some_and(|w| w.piece == wire.piece_number)
    };
    told.filter(here).collect()
}

/// Readings by which a wire was brought up: its passes, and the first of all.
fn brought_up(wire: &Wire) -> Vec<&Told<Force, TensionRead>> {
    let of_piece = on_piece(wire);
    let first = of_piece.iter().copied().min_by_key(|told| told.at.ms);
    let pass = |told: &&Told<Force, TensionRead>| {
        told.with.as_ref().is_some_and(|w| w.stage == Stage::Pass)
    };
    of_piece.iter().copied().filter(pass).chain(first).collect()
}

/// The other runs that were brought up after a wire was last read at its set tension or in a recheck
/// (`at_set`).
pub(super) fn pulled_after(
    job: &Job<'_>,
    others: &[Other<'_>],
    at_set: &[&Taken<'_>],
) -> Vec<PulledAfter> {
    if at_set.is_empty() {
        return Vec::new();
    }
    let known = |line: &Line| at_set.iter().any(|own| own.line.knew_line(job, line));
    let known_turn = |turning: Entry| at_set.iter().any(|own| own.line.knew(job, turning));
    let of = |other: &Other<'_>| {
        let read = other.read.iter().filter(|(_, line)| !known(line));
        let turned = other.turned.iter().filter(|(_, told)| !known_turn(*told));
        let wires = read.map(|(wire, _)| *wire);
        let mut wires: Vec<u32> = wires.chain(turned.map(|(wire, _)| *wire)).collect();
        wires.sort_unstable();
        wires.dedup();
        (!wires.is_empty()).then(|| PulledAfter {
            run: other.run.id,
            run_name: other.run.name.clone(),
            post: other.post.clone(),
            wires,
            done: other.done,
        })
    };
    others.iter().filter_map(of).collect()
}
