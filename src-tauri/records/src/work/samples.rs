//! The day's sample crimps: which of them govern, and which crimps a failed one puts in doubt.
//!
//! Invariant: a sample stands for its own press and die until a later one of the same is pulled; a
//! failed one doubts every crimp since the last good one, and those after it until the next good
//! one. Later is what the record's order of cause says (`repeats`), never a clock: where nothing
//! says which came first, the crimp is in doubt. Whose press or die is not told goes with all.

use super::repeats::follows;
use crate::job::{Fact, Job, Told};
use crate::model::context::CrimpRead;
use crate::model::values::{Crimp, CrimpResult, SampleCrimp};

type Sample = Fact<SampleCrimp, CrimpRead>;

/// The samples that no later one of the same press and die took the place of.
pub(super) fn governing<'j>(job: &'j Job<'_>) -> Vec<&'j Sample> {
    let replaced = |old: &Sample| {
        job.sample_crimps.iter().any(|new| {
            new.tips.iter().any(|new| {
                let later = |old: &Told<SampleCrimp, CrimpRead>| {
                    follows(job, new, old) && together(new.with.as_ref(), old.with.as_ref())
                };
                old.tips.iter().all(later)
            })
        })
    };
    job.sample_crimps.iter().filter(|s| !replaced(s)).collect()
}

/// Whether a failed sample puts a crimp in doubt.
#[must_use]
pub fn in_doubt(job: &Job<'_>, crimp: &Fact<Crimp, CrimpRead>) -> bool {
    crimp.tips.iter().any(|told| doubted(job, told))
}

fn doubted(job: &Job<'_>, crimp: &Told<Crimp, CrimpRead>) -> bool {
    let with = crimp.with.as_ref();
    let samples = || {
        let near = |s: &&Sample| s.tips.iter().any(|t| together(t.with.as_ref(), with));
        job.sample_crimps.iter().filter(near)
    };
    // What the crimp says that it refers to came before it.
    let made_after = |sample: &Sample| {
        let named = with.and_then(|w| w.sample);
        let before =
            |s: &Told<SampleCrimp, CrimpRead>| named == Some(s.id) || follows(job, crimp, s);
        sample.tips.iter().all(before)
    };
    let made_before = |sample: &Sample| sample.tips.iter().all(|s| follows(job, s, crimp));
    let after = |new: &Sample, old: &Sample| {
        let later = |old| new.tips.iter().all(|new| follows(job, new, old));
        old.tips.iter().all(later)
    };
    let good = |s: &&Sample| s.value().is_some_and(|s| s.result == CrimpResult::Good);
    samples().filter(|s| failed(s)).any(|failed| {
        !samples().filter(good).any(|good| {
            (made_before(good) && after(failed, good)) || (after(good, failed) && made_after(good))
        })
    })
}

/// Whether somebody who stands uncorrected calls a sample failed.
fn failed(sample: &Sample) -> bool {
    sample.values().any(|s| s.result == CrimpResult::Reject)
}

/// Whether two crimps may be of one press and die: no two different ones are told.
fn together(one: Option<&CrimpRead>, other: Option<&CrimpRead>) -> bool {
    let (Some(one), Some(other)) = (one, other) else {
        return true;
    };
    let alike = |a: Option<_>, b: Option<_>| a.is_none() || b.is_none() || a == b;
    alike(one.press, other.press) && alike(one.die, other.die)
}
