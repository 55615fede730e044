//! The day's sample crimps: which of them govern, and which crimps a failed one puts in doubt.
//!
//! Invariant: a sample stands for its own press and die until a later one of the same is pulled; a
//! failed one doubts every crimp since the last good one, and those after it until the next good
//! one. One whose mark moved has failed, whatever it is called, and one that was pulled too little or
//! too shortly is good for nothing. Later is what the record's order of cause says (`repeats`), never a
//! clock: where nothing says which came first, the crimp is in doubt. Whose press or die is not told goes with all.

use super::odd_figures::odd_pressed;
use super::repeats::follows;
use super::words;
use crate::book::Key;
use crate::claims;
use crate::clock;
use crate::entry::At;
use crate::ids::Hash;
use crate::job::{Fact, Job, Told};
use crate::model::context::CrimpRead;
use crate::model::fields;
use crate::model::values::{Crimp, CrimpResult, Length, PressedSize, SampleCrimp};
use crate::subject::Subject;

type Sample = Fact<SampleCrimp, CrimpRead>;

/// Least time that a pull is held, in seconds. From memory, no source: until the gauge stands still.
const LEAST_HOLD_S: i64 = 10;

/// What keeps a sample that is called good from showing anything: a mark that moved, a pull below the
/// greatest upper tension decided, a pull that was hardly held. Each as a clause.
pub(super) fn faults(job: &Job<'_>, sample: &SampleCrimp) -> Vec<String> {
    let mut found = Vec::new();
    if sample.mark_moved_nm > 0 {
        found.push(format!(
            "the mark moved {} under the pull: it slips, and is no good crimp",
            words::mm(sample.mark_moved_nm)
        ));
    }
    // A sample that held less than a wire may ever be pulled to shows nothing of that wire.
    let upper = asked_pull(job).filter(|upper| sample.pull_mn < *upper);
    found.extend(upper.map(|upper| {
        format!(
            "pulled with {}, less than the upper tension of {}",
            words::newtons(sample.pull_mn),
            words::newtons(upper)
        )
    }));
    if sample.held_s < LEAST_HOLD_S {
        found.push(format!(
            "held for {} s, less than the {LEAST_HOLD_S} s in which a slip shows",
            sample.held_s
        ));
    }
    found
}

/// The greatest upper tension decided, in millinewtons; none before one is.
pub(super) fn asked_pull(job: &Job<'_>) -> Option<i64> {
    let decided = job.runs.iter().filter_map(|r| r.tensions.value());
    decided.map(|t| t.upper_mn).max()
}

/// What to ask about a sample before it is kept: a size that no pressed shank has, and, where it is
/// called good, what speaks against that. None where nothing is odd.
#[must_use]
pub fn odd_sample(job: &Job<'_>, sample: &SampleCrimp) -> Option<String> {
    let sizes = [sample.left, sample.right].into_iter().flatten();
    let odd = sizes
        .flat_map(|size| [size.first_nm, size.second_nm])
        .filter(|nm| *nm > 0)
        .find_map(|nm| odd_pressed(Length { nm }));
    let mut hands = [("left", sample.left), ("right", sample.right)].into_iter();
    let oval = hands.find_map(|(hand, size)| oval(hand, size?));
    let faults = match sample.result {
        CrimpResult::Reject => Vec::new(),
        CrimpResult::Good => faults(job, sample),
    };
    let faults = (!faults.is_empty())
        .then(|| format!("Called good, and yet {}. Is it right?", faults.join("; ")));
    let all: Vec<String> = faults.into_iter().chain(odd).chain(oval).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// What to ask before crimps are called good that refer to no sample crimp, to one of another day than
/// `now`, or to one after which the same press and die failed; none where nothing is odd.
#[must_use]
pub fn odd_unsampled(job: &Job<'_>, sample: Option<Hash>, now: At) -> Option<String> {
    match sample {
        Some(sample) => odd_referred(job, &sample, now),
        None => Some(unsampled(job)),
    }
}

/// What speaks against a sample that crimps refer to. One that was corrected since goes unasked.
fn odd_referred(job: &Job<'_>, sample: &Hash, now: At) -> Option<String> {
    let of = |s: &&Sample| s.tips.iter().any(|told| told.id == *sample);
    let sample = job.sample_crimps.iter().find(of)?;
    let later_failed = governing(job).into_iter().any(|new| {
        let after = |new: &Told<_, _>, old: &Told<_, _>| {
            follows(job, new, old) && together(new.with.as_ref(), old.with.as_ref())
        };
        let over = |old| new.tips.iter().any(|new| after(new, old));
        failed(new) && sample.tips.iter().all(over)
    });
    let (pulled, today) = (clock::day(sample.tips.first()?.at)?, clock::day(now)?);
    if later_failed {
        return Some(format!(
            "The sample crimp of {pulled} was followed by one that failed: find out why, and press and pull \
             another one first."
        ));
    }
    (pulled != today).then(|| {
        format!(
            "The sample crimp that is referred to is of {pulled}, not of today. One that is pressed and pulled \
             each day shows how press and die close on that day."
        )
    })
}

fn unsampled(job: &Job<'_>) -> String {
    let good = |s: &Sample| s.value().is_some_and(|s| is_good(job, s));
    let known = match (
        job.sample_crimps.is_empty(),
        job.sample_crimps.iter().any(good),
    ) {
        (true, _) => "none is on record",
        (false, false) => "none on record is good",
        (false, true) => "say which of those on record",
    };
    format!(
        "No sample crimp of the day is referred to: {known}. One that is pressed first, measured and pulled \
         shows how the press and die close."
    )
}

/// Whether an entry tells of a sample crimp that stands: what was corrected since counts with its correction, and
/// one that was withdrawn is none.
#[must_use]
pub fn is_sample(job: &Job<'_>, entry: &Hash) -> bool {
    let key = Key {
        subject: Subject::Job(job.id).to_string(),
        field: fields::JOB_SAMPLE_CRIMP.name.to_owned(),
        place: String::new(),
    };
    let state = job.reader.view.key(&key);
    let mut lines = state.into_iter().flat_map(|state| &state.lines);
    lines.any(|line| line.standing != claims::Standing::Withdrawn && line.claims.contains(entry))
}

/// How far the two sizes of a pressed shank, a quarter turn apart, may differ unasked (common practice: a
/// die presses round, or leaves flats of some tenths).
const OVAL: f64 = 1.15;

/// What to ask about a shank that is far from round.
fn oval(hand: &str, size: PressedSize) -> Option<String> {
    let (least, most) = (
        size.first_nm.min(size.second_nm),
        size.first_nm.max(size.second_nm),
    );
    #[allow(clippy::cast_precision_loss)] // millimetres
    let times = most as f64 / least.max(1) as f64;
    (least > 0 && times > OVAL).then(|| {
        format!(
            "The {hand} shank is {} one way and {} a quarter turn on: was the die closed, and both read on \
             the pressed length?",
            words::mm(least),
            words::mm(most)
        )
    })
}

/// Whether a sample is called good and nothing of it speaks against that.
pub(super) fn is_good(job: &Job<'_>, sample: &SampleCrimp) -> bool {
    sample.result == CrimpResult::Good && faults(job, sample).is_empty()
}

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
    let good = |s: &&Sample| s.value().is_some_and(|s| is_good(job, s));
    samples().filter(|s| failed(s)).any(|failed| {
        !samples().filter(good).any(|good| {
            (made_before(good) && after(failed, good)) || (after(good, failed) && made_after(good))
        })
    })
}

/// Whether somebody who stands uncorrected calls a sample failed, or saw its mark move.
fn failed(sample: &Sample) -> bool {
    let failed = |s: &SampleCrimp| s.result == CrimpResult::Reject || s.mark_moved_nm > 0;
    sample.values().any(failed)
}

/// Whether two crimps may be of one press and die: no two different ones are told.
fn together(one: Option<&CrimpRead>, other: Option<&CrimpRead>) -> bool {
    let (Some(one), Some(other)) = (one, other) else {
        return true;
    };
    let alike = |a: Option<_>, b: Option<_>| a.is_none() || b.is_none() || a == b;
    alike(one.press, other.press) && alike(one.die, other.die)
}
