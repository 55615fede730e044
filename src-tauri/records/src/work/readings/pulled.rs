//! Readings after which another run that pulls on the same post was brought up: what they show is gone.
//!
//! Invariant: as with turnings, the other run came before a reading only where the record's order of
//! cause says that who read knew of it. A run is brought up by its turnings, by its passes, and by the
//! first reading at the set tension or in a recheck after them; to read it again brings nothing up, so two runs never
//! ask for each other without end. Tells and changes no figure: by how much a wire gave way is read. A
//! run that leaves the post square, by an angle that is told, pulls across the wires and not along them.

use super::answer::PulledAfter;
use super::standing::{finishes, last_pass};
use crate::job::{Job, Run, Told, Wire};
use crate::model::context::TensionRead;
use crate::model::values::Stage;
use crate::work::posts::pulling_along;
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
    let others = pulling_along(job, run).into_iter();
    others
        .map(|(other, post)| Other::of(job, other, post))
        .collect()
}

impl<'j> Other<'j> {
    fn of(job: &Job<'_>, run: &'j Run, post: String) -> Self {
        let set = last_pass(run);
        let (mut read, mut done) = (Vec::new(), true);
        for wire in &run.wires {
            let all = shown(job, wire, set);
            done &= all.iter().any(|one| one.how != How::OnTheWay);
            let up = all.iter().filter(|one| brings_up(job, one, &all));
            read.extend(up.map(|one| (wire.number, one.line.clone())));
        }
        let turned = run.wires.iter().flat_map(|wire| {
            let tips = wire.turns.iter().flat_map(|(_, fact)| &fact.tips);
            let by_any =
                tips.filter(|told| told.value.is_some_and(|t| t.turns != 0 || t.flats != 0));
            by_any.map(|told| (wire.number, Entry::of(told)))
        });
        Other {
            turned: turned.collect(),
            read,
            run,
            post,
            done,
        }
    }
}

/// With a wire on its way up, at its set tension, or looked at again.
#[derive(Clone, Copy, PartialEq, Eq)]
enum How {
    OnTheWay,
    AtSet,
    Again,
}

struct Shown {
    line: Line,
    how: How,
}

/// What was read with a gauge or hung of a wire's present piece: it pulls, whether or not that is proven.
fn shown(job: &Job<'_>, wire: &Wire, set: Option<u32>) -> Vec<Shown> {
    let of = |line: Line, with: &TensionRead| {
        let how = match with.stage {
            Stage::Recheck => How::Again,
            _ if finishes(with.stage, with.pass, set) => How::AtSet,
            _ => How::OnTheWay,
        };
        (with.piece == wire.piece_number).then_some(Shown { line, how })
    };
    let by_gauge = wire.tensions.iter().filter_map(|(_, fact)| {
        let told = fact.tips.last()?;
        let with = told.with.as_ref()?;
        with.method
            .counts()
            .then(|| of(Line::of(job, told), with))?
    });
    let hung = wire.deflections.iter().filter_map(|(_, fact)| {
        let told: &Told<_, TensionRead> = fact.tips.last()?;
        of(Line::of(job, told), told.with.as_ref()?)
    });
    by_gauge.chain(hung).collect()
}

/// Whether a wire was brought up by what was read so: on its way, or first at its set tension or in a
/// recheck since.
fn brings_up(job: &Job<'_>, one: &Shown, all: &[Shown]) -> bool {
    let knew = |new: &Shown, old: &Shown| new.line.knew_line(job, &old.line);
    let ways = || {
        all.iter()
            .filter(|way| way.how == How::OnTheWay && knew(one, way))
    };
    let read_before = |old: &Shown| {
        // Where nothing orders a raise and what was read, the raise counts as after it.
        let raised = ways().any(|way| !knew(old, way));
        old.how != How::OnTheWay && knew(one, old) && !raised
    };
    match one.how {
        How::OnTheWay => true,
        How::AtSet => !all.iter().any(read_before),
        // A recheck brings nothing up; what was read first after a raise shows all of it.
        How::Again => ways().next().is_some() && !all.iter().any(read_before),
    }
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
        let read = other.read.iter().filter(|(_, line)| !known(line));
        let turned = other
            .turned
            .iter()
            .filter(|(_, turning)| !known_turn(*turning));
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
