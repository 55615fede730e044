//! What brought the wires of a run up: their turnings, their passes, and what was read first at their set
//! tension, or in a recheck, after those.
//!
//! Invariant: to read a wire again brings nothing up. Which of it came after something else is what the
//! record's order of cause says, whatever the clocks say.

use super::standing::{finishes, last_pass};
use crate::job::{Job, Run, Told, Wire};
use crate::model::context::TensionRead;
use crate::model::values::Stage;
use crate::work::repeats::{Entry, Line};

/// What brought the wires of a run up, by wire.
pub(in crate::work) struct BroughtUp {
    read: Vec<(u32, Shown)>,
    turned: Vec<(u32, Entry)>,
    /// The last of the passes that were decided.
    set: Option<u32>,
    /// Whether all its wires were read at their set tension.
    pub(super) done: bool,
}

impl BroughtUp {
    pub(in crate::work) fn of(job: &Job<'_>, run: &Run) -> Self {
        let set = last_pass(run);
        let (mut read, mut done) = (Vec::new(), true);
        for wire in &run.wires {
            let all = shown(job, wire, set);
            done &= all.iter().any(|one| one.how != How::OnTheWay);
            let up = all.iter().filter(|one| brings_up(job, one, &all));
            read.extend(up.map(|one| (wire.number, one.clone())));
        }
        let turned = run.wires.iter().flat_map(|wire| {
            let tips = wire.turns.iter().flat_map(|(_, fact)| &fact.tips);
            let by_any =
                tips.filter(|told| told.value.is_some_and(|t| t.turns != 0 || t.flats != 0));
            by_any.map(|told| (wire.number, Entry::of(told)))
        });
        BroughtUp {
            turned: turned.collect(),
            read,
            set,
            done,
        }
    }

    /// The wires that were brought up by a reading or a turning that is not known; each once, rising.
    pub(super) fn unknown(
        &self,
        known: impl Fn(&Line) -> bool,
        known_turn: impl Fn(Entry) -> bool,
    ) -> Vec<u32> {
        self.beyond(|shown| known(&shown.line), known_turn)
    }

    /// The wires that were brought up after one was heard in a round, by all that the record orders so or
    /// leaves open. What a gauge or a mass shows in that round itself proves what was heard; the last pass and the
    /// final round are one.
    pub(in crate::work) fn after_heard(
        &self,
        job: &Job<'_>,
        heard: &Line,
        round: (Stage, Option<u32>),
    ) -> Vec<u32> {
        let at_set = |(stage, pass): (Stage, Option<u32>)| finishes(stage, pass, self.set);
        let one_round = |other: (Stage, Option<u32>)| {
            let ends = [other.0, round.0].contains(&Stage::Final);
            other == round || (ends && at_set(other) && at_set(round))
        };
        let known = |shown: &Shown| one_round(shown.round) || heard.knew_line(job, &shown.line);
        self.beyond(known, |turning| heard.knew(job, turning))
    }

    fn beyond(
        &self,
        known: impl Fn(&Shown) -> bool,
        known_turn: impl Fn(Entry) -> bool,
    ) -> Vec<u32> {
        let read = self.read.iter().filter(|(_, shown)| !known(shown));
        let turned = self.turned.iter().filter(|(_, entry)| !known_turn(*entry));
        let wires = read.map(|(wire, _)| *wire);
        let mut wires: Vec<u32> = wires.chain(turned.map(|(wire, _)| *wire)).collect();
        wires.sort_unstable();
        wires.dedup();
        wires
    }
}

/// With a wire on its way up, at its set tension, or looked at again.
#[derive(Clone, Copy, PartialEq, Eq)]
enum How {
    OnTheWay,
    AtSet,
    Again,
}

#[derive(Clone)]
struct Shown {
    line: Line,
    how: How,
    round: (Stage, Option<u32>),
}

/// What was read with a gauge or hung of a wire's present piece: it pulls, whether or not that is proven.
fn shown(job: &Job<'_>, wire: &Wire, set: Option<u32>) -> Vec<Shown> {
    let of = |line: Line, with: &TensionRead| {
        let how = match with.stage {
            Stage::Recheck => How::Again,
            _ if finishes(with.stage, with.pass, set) => How::AtSet,
            _ => How::OnTheWay,
        };
        let round = (with.stage, with.pass);
        (with.piece == wire.piece_number).then_some(Shown { line, how, round })
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
