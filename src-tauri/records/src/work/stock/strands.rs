//! Which strand a delivery is, and what to ask before a wire is ticked as cut from it.

use super::{StockItem, StockState};
use crate::ids::ItemId;
use crate::job::things::Batch;
use crate::job::{Job, Run};
use crate::model::fields;
use crate::subject::{ItemKind, Subject};

/// The strands that runs are made of.
pub(in crate::work) fn strands_in_use(job: &Job<'_>) -> Vec<ItemId> {
    let mut used: Vec<ItemId> = job.runs.iter().filter_map(|run| run.strand).collect();
    used.sort_unstable();
    used.dedup();
    used
}

/// Which strand a delivery is of: as told, else the only one; or why it can't be told.
pub(super) fn strand_of(job: &Job<'_>, batch: &Batch) -> (Option<ItemId>, Option<String>) {
    let subject = Subject::Item(ItemKind::Batch, batch.id);
    if job.reader.blocks(fields::BATCH_STRAND, &subject) {
        return (
            None,
            Some(format!(
                "People differ on which strand {} is. Settle that first.",
                batch.name
            )),
        );
    }
    match (batch.strand, strands_in_use(job).as_slice()) {
        (Some(told), _) => (Some(told), None),
        (None, [] | [_]) => (strands_in_use(job).first().copied(), None),
        (None, _) => (
            None,
            Some(format!(
                "Which strand {} is, is not told, and the job has several. Say it under Deliveries.",
                batch.name
            )),
        ),
    }
}

/// Which strand a kept piece is, that was cut from a delivery for a run: the delivery's, and where nobody told
/// that the run's.
pub(super) fn strand_of_kept(
    job: &Job<'_>,
    batch: &Batch,
    of_run: Option<ItemId>,
) -> (Option<ItemId>, Option<String>) {
    let subject = Subject::Item(ItemKind::Batch, batch.id);
    match job.reader.blocks(fields::BATCH_STRAND, &subject) {
        true => strand_of(job, batch),
        false => (batch.strand.or(of_run), None),
    }
}

/// What a strand is called.
pub(super) fn strand_name<'j>(job: &'j Job<'_>, id: ItemId) -> &'j str {
    let strand = job.strands.iter().find(|strand| strand.id == id);
    strand.map_or("no longer there", |strand| strand.name.as_str())
}

/// What to ask before a wire of a run is ticked as cut from a reel or offcut: that it is another strand
/// than the run is made of, or that by the record it is not there. Nothing where a strand is not told.
#[must_use]
pub fn odd_source(job: &Job<'_>, run: &Run, from: &StockItem) -> Vec<String> {
    let other = match (from.strand, run.strand) {
        (Some(its), Some(own)) if its != own => Some(format!(
            "{} is told as another strand ({}) than run {} is made of ({}). Choose the reel that it was cut \
             from.",
            from.name,
            strand_name(job, its),
            run.name,
            strand_name(job, own)
        )),
        _ => None,
    };
    let not_there = matches!(from.state, StockState::NotCome | StockState::Wrong);
    let why = from.problem.clone().filter(|_| not_there);
    other.into_iter().chain(why).collect()
}
