//! What stands of the checks of a wire's ends: crimps and engagement marks of the present piece.

use super::repeats;
use crate::ids::ItemId;
use crate::job::{Fact, Job, Told, Wire};
use crate::model::context::CrimpRead;
use crate::model::values::{Crimp, CrimpResult, SampleCrimp};

/// Crimps of one end of the present piece that stand.
fn crimps_at<'w>(job: &Job<'_>, wire: &'w Wire, end: ItemId) -> Vec<&'w Fact<Crimp, CrimpRead>> {
    repeats::standing_at(job, &wire.crimps, &end, |told| {
        told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    })
}

/// Whether a crimp of the present piece that stands is a reject.
pub(super) fn is_rejected(job: &Job<'_>, wire: &Wire) -> bool {
    let rejected = |fact: &&Fact<Crimp, CrimpRead>| {
        fact.value()
            .is_some_and(|c| c.result == CrimpResult::Reject)
    };
    wire.crimps
        .iter()
        .any(|(end, _)| crimps_at(job, wire, *end).iter().any(rejected))
}

/// Whether an end of the present piece was checked and all that stands of it is good.
pub(super) fn crimp_is_good(job: &Job<'_>, wire: &Wire, end: ItemId) -> bool {
    let found = crimps_at(job, wire, end);
    let good =
        |f: &&Fact<Crimp, CrimpRead>| f.value().is_some_and(|c| c.result == CrimpResult::Good);
    !found.is_empty() && found.iter().all(good)
}

/// Whether a crimp that stands at an end of the present piece was made since the last good sample
/// and the next sample failed. Where nothing says which came first, it counts as made since.
pub(super) fn sample_failed_since(job: &Job<'_>, wire: &Wire, end: ItemId) -> bool {
    let crimps = crimps_at(job, wire, end);
    crimps
        .iter()
        .flat_map(|f| &f.tips)
        .any(|crimp| doubted(job, crimp))
}

fn doubted(job: &Job<'_>, crimp: &Told<Crimp, CrimpRead>) -> bool {
    type Sample = Told<SampleCrimp, CrimpRead>;
    let of = |result: CrimpResult| -> Vec<&Sample> {
        let tips = job.sample_crimps.iter().flat_map(|f| &f.tips);
        tips.filter(|t| t.value.as_ref().is_some_and(|s| s.result == result))
            .collect()
    };
    let (good, failed) = (of(CrimpResult::Good), of(CrimpResult::Reject));
    let with = crimp.with.as_ref();
    let own = with.and_then(|w| w.sample);
    let own = good.iter().find(|s| Some(s.id) == own);
    let press = |t: &Sample| t.with.as_ref().and_then(|w| w.press);
    let pressed_by = with
        .and_then(|w| w.press)
        .or_else(|| own.and_then(|s| press(s)));
    failed.iter().any(|sample| {
        let other_press = press(sample)
            .zip(pressed_by)
            .is_some_and(|(sample, crimp)| sample != crimp);
        let made_after = repeats::follows(job, crimp, *sample)
            || own.is_some_and(|own| repeats::follows(job, *own, *sample));
        let cleared = good.iter().any(|between| {
            repeats::follows(job, *between, crimp) && repeats::follows(job, *sample, *between)
        });
        !(other_press || made_after || cleared)
    })
}

/// Whether the engagement mark of an end of the present piece is hidden by all that stands of it.
pub(super) fn mark_is_hidden(job: &Job<'_>, wire: &Wire, end: ItemId) -> bool {
    let found = repeats::standing_at(job, &wire.mark_hidden, &end, |told| {
        told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    });
    !found.is_empty() && found.iter().all(|f| f.value() == Some(&true))
}
