//! Which readings of a wire stand, and which of them governs.
//!
//! Invariant: in each bay a later reading on the present piece takes an earlier one's place, as
//! `repeats` says; one that no tension gauge told takes the place of none that a gauge told. Over the
//! bays the lowest governs.

use super::{Reading, force};
use crate::ids::Hash;
use crate::job::{Fact, Job, Run, Told};
use crate::model::context::TensionRead;
use crate::model::values::{Force, Method, Stage, ToolKind};
use crate::work::repeats;

/// A reading with the fact that it is of.
pub(super) struct Taken<'w> {
    pub(super) reading: Reading,
    /// The bay as a place.
    pub(super) bay: &'w str,
    pub(super) fact: &'w Fact<Force, TensionRead>,
}

impl Taken<'_> {
    /// Whether it is of this piece of strand and may count against a table.
    pub(super) fn counts_on(&self, piece: u32) -> bool {
        self.reading.piece == piece && self.reading.counts
    }

    /// Whether a tension gauge or a hung mass told it, by all that stands of it.
    pub(super) fn proves(&self, job: &Job<'_>) -> bool {
        let mut told = self.fact.tips.iter().map(|told| told.with.as_ref());
        told.all(|with| with.is_some_and(|w| proves(job, w)))
    }

    fn told(&self) -> Option<&Told<Force, TensionRead>> {
        self.fact.tips.last()
    }
}

/// Whether a tension gauge or a hung mass told a reading: what else is called a gauge shows no tension.
pub(in crate::work) fn proves(job: &Job<'_>, with: &TensionRead) -> bool {
    let gauge = || {
        let tool = job.tools.iter().find(|t| Some(t.id) == with.gauge);
        tool.is_some_and(|t| t.kind == Some(ToolKind::TensionGauge))
    };
    with.method == Method::HungMass || gauge()
}

/// Number of the pass that aims at the set tension, where passes are decided.
pub(in crate::work) fn last_pass(run: &Run) -> Option<u32> {
    let passes = run.tensions.value()?.passes_mn.len();
    u32::try_from(passes).ok()
}

/// Whether a reading was taken with its wire at the set tension: in the final round, or in the last
/// of the passes that were decided. All that asks whether a wire is tensioned asks this.
pub(in crate::work) fn finishes(stage: Stage, pass: Option<u32>, last_pass: Option<u32>) -> bool {
    match stage {
        Stage::Final => true,
        Stage::Pass => pass.is_some() && pass == last_pass,
        Stage::Recheck => false,
    }
}

/// Entries of the readings of a piece that were taken when the run was looked at again: rechecks,
/// and what was read after one, lower passes left out.
pub(super) fn again(
    job: &Job<'_>,
    taken: &[Taken<'_>],
    piece: u32,
    last_pass: Option<u32>,
    anew: &[Hash],
) -> Vec<Hash> {
    // A lower pass is on the way up again, and no look at what was lost.
    let on_the_way = |t: &&Taken<'_>| {
        t.reading.stage == Stage::Pass && !finishes(t.reading.stage, t.reading.pass, last_pass)
    };
    let stands = |t: &&Taken<'_>| t.counts_on(piece) && !anew.contains(&t.reading.entry);
    let here = || taken.iter().filter(stands).filter(|t| !on_the_way(t));
    let rechecks: Vec<_> = here()
        .filter(|t| t.reading.stage == Stage::Recheck)
        .filter_map(Taken::told)
        .collect();
    let after = |t: &Taken<'_>| {
        let follows =
            |old: &&Told<_, _>| t.told().is_some_and(|new| repeats::follows(job, new, *old));
        t.reading.stage == Stage::Recheck || rechecks.iter().any(follows)
    };
    here()
        .filter(|t| after(t))
        .map(|t| t.reading.entry)
        .collect()
}

/// The least that anybody tells of the readings that stand among those that are wanted.
pub(super) fn least(
    job: &Job<'_>,
    taken: &[Taken<'_>],
    piece: u32,
    wanted: impl Fn(&Reading) -> bool,
) -> Option<f64> {
    in_each_bay(job, taken, piece, wanted)
        .into_iter()
        .flat_map(|t| t.fact.values())
        .map(|force| force.as_newtons())
        .min_by(f64::total_cmp)
}

/// The readings of a piece that stand, bay by bay, among those that are wanted.
pub(super) fn in_each_bay<'t, 'w>(
    job: &Job<'_>,
    taken: &'t [Taken<'w>],
    piece: u32,
    wanted: impl Fn(&Reading) -> bool,
) -> Vec<&'t Taken<'w>> {
    let known: Vec<&Taken<'w>> = taken
        .iter()
        .filter(|t| t.counts_on(piece) && wanted(&t.reading))
        .collect();
    let mut bays: Vec<&str> = known.iter().map(|t| t.bay).collect();
    bays.sort_unstable();
    bays.dedup();
    let mut found = Vec::new();
    for bay in bays {
        let here: Vec<&Taken<'w>> = known.iter().filter(|t| t.bay == bay).copied().collect();
        let proven = |t: &Taken<'_>| t.proves(job);
        let of_all = stands(job, here.iter().copied());
        let of_proven = stands(job, here.iter().copied().filter(|t| proven(t)));
        found.extend(here.into_iter().filter(|t| {
            let among = if proven(t) { &of_proven } else { &of_all };
            among.iter().any(|s| std::ptr::eq(*s, t.fact))
        }));
    }
    found
}

/// Those of readings in one bay that no later one of them takes the place of.
fn stands<'t, 'w: 't>(
    job: &Job<'_>,
    of: impl Iterator<Item = &'t Taken<'w>>,
) -> Vec<&'w Fact<Force, TensionRead>> {
    let facts: Vec<&Fact<Force, TensionRead>> = of.map(|t| t.fact).collect();
    repeats::standing(job, &facts, |told| {
        told.with.as_ref().map(|w| (w.stage, w.pass.unwrap_or(0)))
    })
}

/// The lowest of the readings that stand among those that are wanted.
pub(super) fn lowest(
    job: &Job<'_>,
    taken: &[Taken<'_>],
    piece: u32,
    wanted: impl Fn(&Reading) -> bool,
) -> Option<Reading> {
    in_each_bay(job, taken, piece, wanted)
        .into_iter()
        .map(|t| &t.reading)
        .min_by(|a, b| force(a).total_cmp(&force(b)))
        .cloned()
}

/// Readings that lie closer than this are of one visit: half a day.
const VISIT_MS: i64 = 12 * 3_600_000;

/// Of the readings taken when the run was looked at again (`again`): the lowest that stood at the end of
/// the newest visit before the one of this moment.
pub(super) fn before(
    job: &Job<'_>,
    taken: &[Taken<'_>],
    piece: u32,
    again: &[Hash],
    at_ms: i64,
) -> Option<Reading> {
    let earlier = |r: &Reading| again.contains(&r.entry) && r.at_ms <= at_ms - VISIT_MS;
    let all = taken.iter().filter(|t| t.counts_on(piece));
    let newest = all
        .map(|t| &t.reading)
        .filter(|r| earlier(r))
        .map(|r| r.at_ms)
        .max()?;
    lowest(job, taken, piece, |r| {
        earlier(r) && r.at_ms > newest - VISIT_MS
    })
}

/// Entries of the readings of a piece in a bay after which it was read there in a lower pass: it was brought
/// up anew since, and nothing that it showed there before holds on. A correction is no new pass.
pub(super) fn brought_up_anew(job: &Job<'_>, taken: &[Taken<'_>], piece: u32) -> Vec<Hash> {
    let height = |reading: &Reading| match reading.stage {
        Stage::Pass => reading.pass.unwrap_or(0),
        Stage::Final | Stage::Recheck => u32::MAX,
    };
    let here = || taken.iter().filter(|t| t.counts_on(piece));
    let passed = |old: &Taken<'_>| {
        here()
            .filter(|new| new.reading.stage == Stage::Pass && new.bay == old.bay)
            .filter(|new| {
                let entry = new.told().and_then(|told| job.reader.view.entry(&told.id));
                entry.is_some_and(|entry| entry.body.over.is_empty())
            })
            .filter(|new| height(&new.reading) < height(&old.reading))
            .any(|new| {
                let both = new.told().zip(old.told());
                both.is_some_and(|(new, old)| repeats::follows(job, new, old))
            })
    };
    here()
        .filter(|t| passed(t))
        .map(|t| t.reading.entry)
        .collect()
}

/// Entries of the readings that may govern a wire.
///
/// Lower passes are on the way up by plan; once the wire was read after them, only what aimed at the
/// set tension (`last_pass`) is left to stand, and what was read after all the same.
pub(super) fn in_force(
    job: &Job<'_>,
    taken: &[Taken<'_>],
    piece: u32,
    newest_pass: Option<u32>,
    last_pass: Option<u32>,
    anew: &[Hash],
) -> Vec<Hash> {
    let of_piece = taken.iter().filter(|t| t.counts_on(piece));
    let of_piece = of_piece.filter(|t| !anew.contains(&t.reading.entry));
    let of_piece: Vec<&Taken<'_>> = of_piece.collect();
    let is_pass = |t: &Taken<'_>| t.reading.stage == Stage::Pass;
    let finished: Vec<_> = of_piece
        .iter()
        .filter(|t| !is_pass(t))
        .filter_map(|t| t.told())
        .collect();
    let fell_back = |t: &Taken<'_>| {
        let after =
            |old: &&Told<_, _>| t.told().is_some_and(|new| repeats::follows(job, new, *old));
        finished.iter().any(after)
    };
    let holds = |t: &Taken<'_>| {
        let pass = t.reading.pass;
        if !is_pass(t) {
            true
        } else if finished.is_empty() {
            pass == newest_pass
        } else {
            finishes(t.reading.stage, pass, last_pass) || fell_back(t)
        }
    };
    let held = of_piece.into_iter().filter(|t| holds(t));
    held.map(|t| t.reading.entry).collect()
}
