//! Readings after which another run that pulls on the same post was brought up: what they show is gone.
//!
//! Invariant: as with turnings, the other run came before a reading only where the record's order of
//! cause says that who read knew of it. A run is brought up by its turnings, by its passes, and by the
//! first reading at the set tension or in a recheck after them; to read it again brings nothing up, so two runs never
//! ask for each other without end. Tells and changes no figure: by how much a wire gave way is read. A
//! run that leaves the post square, by an angle that is told, pulls across the wires and not along them.

use super::answer::PulledAfter;
use super::brought_up::BroughtUp;
use crate::job::{Job, Run};
use crate::work::posts::pulling_along;
use crate::work::repeats::{Entry, Line};

/// Another run on an end or corner post of a run.
pub(super) struct Other<'j> {
    run: &'j Run,
    post: String,
    up: BroughtUp,
}

/// The runs whose pull on a post may take tension from a run's wires, each once.
pub(super) fn others<'j>(job: &'j Job<'_>, run: &Run) -> Vec<Other<'j>> {
    let others = pulling_along(job, run).into_iter();
    others
        .map(|(run, post)| Other {
            run,
            post,
            up: BroughtUp::of(job, run),
        })
        .collect()
}

/// The other runs that were brought up after a wire was last read at its set tension or in a recheck, in
/// any of the bays that are to be read: what took tension took it in all of them. `at_set`: those
/// readings, bay by bay; a bay without any is told as not read.
pub(super) fn pulled_after(
    job: &Job<'_>,
    others: &[Other<'_>],
    at_set: &[Vec<&Line>],
) -> Vec<PulledAfter> {
    let bays = || at_set.iter().filter(|bay| !bay.is_empty());
    let known = |line: &Line| bays().all(|bay| bay.iter().any(|own| own.knew_line(job, line)));
    let known_turn =
        |turning: Entry| bays().all(|bay| bay.iter().any(|own| own.knew(job, turning)));
    let of = |other: &Other<'_>| {
        let wires = other.up.unknown(known, known_turn);
        (!wires.is_empty()).then(|| PulledAfter {
            run: other.run.id,
            run_name: other.run.name.clone(),
            post: other.post.clone(),
            wires,
            done: other.up.done,
        })
    };
    others.iter().filter_map(of).collect()
}
