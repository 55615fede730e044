//! What stands of the checks of a wire's ends: crimps and engagement marks of the present piece.

use super::{repeats, samples};
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Told, Wire};
use crate::model::context::{CrimpRead, OnPiece};
use crate::model::values::{Crimp, CrimpResult, Length};

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

/// Whether an end of the present piece was checked, all that stands of it is good and no failed
/// sample puts it in doubt.
pub(super) fn crimp_is_good(job: &Job<'_>, wire: &Wire, end: ItemId) -> bool {
    let found = crimps_at(job, wire, end);
    let good =
        |f: &&Fact<Crimp, CrimpRead>| f.value().is_some_and(|c| c.result == CrimpResult::Good);
    !found.is_empty() && found.iter().all(|f| good(f) && !samples::in_doubt(job, f))
}

/// Whether a crimp of the present piece refers to no sample crimp that stands.
pub(super) fn crimp_is_unsampled(job: &Job<'_>, wire: &Wire) -> bool {
    let sample = |t: &Told<Crimp, CrimpRead>| t.with.as_ref().and_then(|with| with.sample);
    wire.crimps.iter().any(|(end, _)| {
        let found = crimps_at(job, wire, *end);
        let mut told = found.iter().flat_map(|f| &f.tips);
        told.any(|told| !sample(told).is_some_and(|of| samples::is_sample(job, &of)))
    })
}

/// Whether a failed sample puts a crimp of the present piece in doubt.
pub(super) fn crimp_is_doubted(job: &Job<'_>, wire: &Wire) -> bool {
    wire.crimps.iter().any(|(end, _)| {
        let found = crimps_at(job, wire, *end);
        found.iter().any(|f| samples::in_doubt(job, f))
    })
}

/// Whether all that stands of an end of the present piece says that its lock nut is tight.
pub(super) fn nut_is_tight(job: &Job<'_>, wire: &Wire, end: ItemId) -> bool {
    let found = repeats::standing_at(job, &wire.nut_tight, &end, |told| {
        told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    });
    !found.is_empty() && found.iter().all(|f| f.value() == Some(&true))
}

/// How far the end of a wire's present piece stands out of the swage, as far as anybody who stands
/// tells.
pub(super) fn end_out(job: &Job<'_>, wire: &Wire, end: ItemId) -> Option<Length> {
    let found = repeats::standing_at(job, &wire.end_out, &end, |told| {
        told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    });
    found.iter().flat_map(|f| f.values()).max().copied()
}

/// Whether the engagement mark of an end of the present piece is hidden by all that stands of it.
pub(super) fn mark_is_hidden(job: &Job<'_>, wire: &Wire, end: ItemId) -> bool {
    let found = repeats::standing_at(job, &wire.mark_hidden, &end, |told| {
        told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    });
    !found.is_empty() && found.iter().all(|f| f.value() == Some(&true))
}

/// What anybody who stands reads of the thread left showing at an end of the present piece.
pub(super) fn thread_left(job: &Job<'_>, wire: &Wire, end: ItemId) -> Vec<Length> {
    let found = repeats::standing_at(job, &wire.thread_left, &end, |told| {
        told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    });
    found.iter().flat_map(|f| f.values()).copied().collect()
}

/// Most that a wire's end may stand out of its swage: half the strand's diameter; none while that is
/// not told.
#[must_use]
pub fn most_end_out(job: &Job<'_>, run: &Run) -> Option<Length> {
    let strand = job.strands.iter().find(|s| Some(s.id) == run.strand)?;
    let figures = strand.figures.as_ref()?;
    Some(Length {
        nm: figures.diameter_nm / 2,
    })
}

/// Wires of a run of whose present piece anybody who stands says that an end is not as it should be.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EndsAtFault {
    /// The wire's end stands out of the swage by more than half the strand's diameter.
    pub far_out: Vec<u32>,
    /// The lock nut is not tight.
    pub loose_nut: Vec<u32>,
    /// The engagement mark is not hidden.
    pub mark_showing: Vec<u32>,
    /// The witness mark at the swage moved.
    pub mark_moved: Vec<u32>,
}

/// What stands of the ends of a run that is not as it should be.
#[must_use]
pub fn ends_at_fault(job: &Job<'_>, run: &Run) -> EndsAtFault {
    let most = most_end_out(job, run);
    let far = |out: &Length| most.is_some_and(|most| *out > most);
    let named = |at_fault: &dyn Fn(&Wire) -> bool| {
        let wires = run.wires.iter().filter(|w| at_fault(w));
        wires.map(|w| w.number).collect()
    };
    EndsAtFault {
        far_out: named(&|w| any_end(job, w, &w.end_out, far)),
        loose_nut: named(&|w| any_end(job, w, &w.nut_tight, |tight| !tight)),
        mark_showing: named(&|w| any_end(job, w, &w.mark_hidden, |hidden| !hidden)),
        mark_moved: named(&|w| any_end(job, w, &w.mark_moved, |moved| moved.nm > 0)),
    }
}

/// Whether anybody who stands says so of an end of the present piece.
fn any_end<T>(
    job: &Job<'_>,
    wire: &Wire,
    of: &[(ItemId, Fact<T, OnPiece>)],
    says: impl Fn(&T) -> bool,
) -> bool {
    of.iter().any(|(end, _)| {
        let found = repeats::standing_at(job, of, end, |told| {
            told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
        });
        found.iter().flat_map(|f| f.values()).any(&says)
    })
}
