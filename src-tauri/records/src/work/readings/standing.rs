//! Which readings of a wire stand, and which of them governs.
//!
//! Invariant: in each bay a later reading on the present piece takes an earlier one's place, as
//! `repeats` says; one that no tension gauge told takes the place of none that a gauge told. Over the
//! bays the lowest governs. What was read before a wire was let out and brought up anew holds in no bay.

use super::{Reading, ReadingState, force};
use crate::ids::Hash;
use crate::job::{Fact, Job, Run, Told, Wire};
use crate::model::context::TensionRead;
use crate::model::values::{Force, Method, Stage, ToolKind};
use crate::work::repeats::{self, Line};

/// A reading with the fact that it is of.
pub(super) struct Taken<'w> {
    pub(super) reading: Reading,
    /// The bay as a place.
    pub(super) bay: &'w str,
    pub(super) fact: &'w Fact<Force, TensionRead>,
    /// Where it stands in the record's order: where it was taken, whatever corrected it since.
    pub(super) line: Line,
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

    /// Whether it was read knowing of another.
    pub(super) fn knew(&self, job: &Job<'_>, old: &Taken<'_>) -> bool {
        self.line.knew_line(job, &old.line)
    }

    fn finishes(&self, last_pass: Option<u32>) -> bool {
        finishes(self.reading.stage, self.reading.pass, last_pass)
    }

    /// Whether its wire was at the set tension, or was looked at again.
    pub(super) fn at_set(&self, last_pass: Option<u32>) -> bool {
        self.reading.stage == Stage::Recheck || self.finishes(last_pass)
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

/// Whether a reading was taken with its wire at the set tension: in the final round, in the last of the
/// passes that were decided, or in one more after it. All that asks whether a wire is tensioned asks this.
pub(in crate::work) fn finishes(stage: Stage, pass: Option<u32>, last_pass: Option<u32>) -> bool {
    match stage {
        Stage::Final => true,
        Stage::Pass => pass.zip(last_pass).is_some_and(|(pass, last)| pass >= last),
        Stage::Recheck => false,
    }
}

/// Entries of the readings of a piece that were taken when the run was looked at again: rechecks,
/// and what was read after one, lower passes left out. A recheck before the wire was let out (`gone`) is
/// no look at what it was brought to since.
pub(super) fn again(
    job: &Job<'_>,
    taken: &[Taken<'_>],
    piece: u32,
    last_pass: Option<u32>,
    anew: &[Hash],
    gone: &[Hash],
) -> Vec<Hash> {
    // A lower pass is on the way up again, and no look at what was lost.
    let on_the_way = |t: &&Taken<'_>| t.reading.stage == Stage::Pass && !t.finishes(last_pass);
    let stands = |t: &&Taken<'_>| t.counts_on(piece) && !anew.contains(&t.reading.entry);
    let here = || taken.iter().filter(stands).filter(|t| !on_the_way(t));
    let is_recheck =
        |t: &&Taken<'_>| t.reading.stage == Stage::Recheck && !gone.contains(&t.reading.entry);
    let rechecks: Vec<_> = here().filter(is_recheck).collect();
    let after = |t: &&Taken<'_>| is_recheck(t) || rechecks.iter().any(|old| t.knew(job, old));
    here().filter(after).map(|t| t.reading.entry).collect()
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

/// Passes that a gauge or a mass told, by which a wire may have been brought up anew.
pub(super) struct Raises {
    of: Vec<Raise>,
    last_pass: Option<u32>,
}

struct Raise {
    line: Line,
    bay: String,
    pass: Option<u32>,
    hung: bool,
}

/// What was shown in a bay, as a raise may take it.
struct Shown<'s> {
    line: &'s Line,
    bay: &'s str,
    with: &'s TensionRead,
    /// Below what is asked, or over what nothing may exceed.
    bad: bool,
}

impl Raises {
    /// Of the present piece, by its tension readings and by what hung on it.
    pub(super) fn of(
        job: &Job<'_>,
        wire: &Wire,
        taken: &[Taken<'_>],
        last_pass: Option<u32>,
    ) -> Self {
        let raise = |line: Line, bay: &str, with: &TensionRead, hung| {
            (with.piece == wire.piece_number && with.stage == Stage::Pass).then(|| Raise {
                line,
                bay: bay.to_owned(),
                pass: with.pass,
                hung,
            })
        };
        // What neither a gauge nor a mass told takes nothing away.
        let read = taken.iter().filter(|t| t.reading.counts && t.proves(job));
        let read = read.filter_map(|t| {
            let with = t.fact.tips.last()?.with.as_ref()?;
            raise(t.line.clone(), t.bay, with, false)
        });
        let hung = wire.deflections.iter().filter_map(|(bay, fact)| {
            let told = fact.tips.last()?;
            raise(Line::of(job, told), bay, told.with.as_ref()?, true)
        });
        Raises {
            of: read.chain(hung).collect(),
            last_pass,
        }
    }

    /// Whether what was told so was read or hung at the set tension.
    pub(super) fn finishes(&self, with: &TensionRead) -> bool {
        finishes(with.stage, with.pass, self.last_pass)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.of.is_empty()
    }

    /// Whether what a gauge showed in a bay holds no more, since the wire was read in a lower pass after
    /// it.
    ///
    /// In a bay it holds no more whatever lower pass it was. In another bay a pass below the last takes
    /// it too: the wire was let out, and what of its new tension arrives there only another reading
    /// tells. What was bad there at the set tension goes on being told until it is read there again.
    pub(super) fn after_read(&self, job: &Job<'_>, taken: &Taken<'_>) -> bool {
        let with = taken.fact.tips.last().and_then(|told| told.with.as_ref());
        with.is_some_and(|with| {
            let shown = Shown {
                line: &taken.line,
                bay: taken.bay,
                with,
                bad: taken.reading.over || taken.reading.state == ReadingState::Below,
            };
            // What hung in no numbered pass says nothing of a gauge's reading.
            let mut of = self.of.iter().filter(|r| !r.hung || r.pass.is_some());
            of.any(|raise| self.takes(job, raise, &shown))
        })
    }

    /// The same of what hung there; `over`: whether it was over what the table lets it be.
    pub(super) fn after_hung<C>(
        &self,
        job: &Job<'_>,
        told: &Told<C, TensionRead>,
        bay: &str,
        over: bool,
    ) -> bool {
        let Some(with) = told.with.as_ref() else {
            return false;
        };
        let line = Line::of(job, told);
        let shown = Shown {
            line: &line,
            bay,
            with,
            bad: over,
        };
        self.of.iter().any(|raise| self.takes(job, raise, &shown))
    }

    fn takes(&self, job: &Job<'_>, raise: &Raise, shown: &Shown<'_>) -> bool {
        let height = match shown.with.stage {
            Stage::Pass => shown.with.pass.unwrap_or(0),
            Stage::Final | Stage::Recheck => u32::MAX,
        };
        let at_set = shown.with.stage != Stage::Pass || self.finishes(shown.with);
        let elsewhere = self.on_the_way(raise) && !(at_set && shown.bad);
        raise.pass.unwrap_or(0) < height
            && (raise.bay == shown.bay || elsewhere)
            && raise.line.knew_line(job, shown.line)
    }

    fn on_the_way(&self, raise: &Raise) -> bool {
        let last = self.last_pass.unwrap_or(u32::MAX);
        raise.pass.is_some_and(|pass| pass < last)
    }

    /// Whether the wire was let out after what was read or hung, in whatever bay.
    pub(super) fn let_out_after(&self, job: &Job<'_>, shown: &Line) -> bool {
        let mut on_the_way = self.of.iter().filter(|raise| self.on_the_way(raise));
        on_the_way.any(|raise| raise.line.knew_line(job, shown))
    }

    /// Whether the wire was read in a lower pass of which no reading at its set tension knew.
    pub(super) fn unknown_to(&self, job: &Job<'_>, at_set: &[&Line]) -> bool {
        let known = |raise: &Raise| at_set.iter().any(|read| read.knew_line(job, &raise.line));
        let mut on_the_way = self.of.iter().filter(|raise| self.on_the_way(raise));
        on_the_way.any(|raise| !known(raise))
    }
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
    let finished: Vec<_> = of_piece.iter().copied().filter(|t| !is_pass(t)).collect();
    let fell_back = |t: &Taken<'_>| finished.iter().any(|old| t.knew(job, old));
    let holds = |t: &Taken<'_>| {
        if !is_pass(t) {
            true
        } else if finished.is_empty() {
            t.reading.pass == newest_pass
        } else {
            t.finishes(last_pass) || fell_back(t)
        }
    };
    let held = of_piece.into_iter().filter(|t| holds(t));
    held.map(|t| t.reading.entry).collect()
}
