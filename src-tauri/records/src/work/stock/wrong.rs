//! Wires in place whose strand came from a delivery that is told as wrong, or as another strand than their
//! run is made of, since they were cut.
//!
//! Invariant: where people differ on a delivery, or on what a wire was cut from, that is settled first.

use serde_json::Value;

use super::arrived::{Arrived, arrived, is_wrong};
use super::strands::{strand_name, strand_of};
use super::taken::{in_place, named_apart, no_longer_there};
use crate::ids::ItemId;
use crate::job::things::Batch;
use crate::job::{Job, Run};
use crate::model::fields;
use crate::model::values::Arrival;
use crate::subject::{ItemKind, Subject};
use crate::work::words;

/// A delivery from which wires in place were cut that it is not right for.
pub(in crate::work) struct WrongSource {
    pub(in crate::work) batch: ItemId,
    pub(in crate::work) name: String,
    /// Which wires, why, and what to do: sentences.
    pub(in crate::work) sentence: String,
}

const LOOK: &str = "Look at what it is: where that is not so correct it under Deliveries; wires of another strand are made anew.";

/// All of them, in the order of the deliveries; those of deliveries that are taken back last.
pub(in crate::work) fn wrong_sources(job: &Job<'_>) -> Vec<WrongSource> {
    let of = |batch: &Batch| {
        let sentence = wrong_source(job, batch)?;
        Some(WrongSource {
            batch: batch.id,
            name: named_apart(batch),
            sentence,
        })
    };
    let gone = |batch: ItemId| {
        let (wires, were) = cut_from(job, batch, |_| true)?;
        Some(WrongSource {
            batch,
            name: "a delivery that is taken back".to_owned(),
            sentence: format!(
                "{wires} {were} cut from a delivery that is taken back. Say what they were cut from: add it under \
                 Deliveries and correct their cuts, or make them anew."
            ),
        })
    };
    let gone = no_longer_there(job).into_iter().filter_map(gone);
    let there = job.batches.iter().filter_map(of);
    there.chain(gone).collect()
}

/// What wires in place were cut from a delivery that it is not right for; none where there are none.
pub(super) fn wrong_source(job: &Job<'_>, batch: &Batch) -> Option<String> {
    let name = named_apart(batch);
    let arrived = arrived(job, batch, &name, true);
    let why = match (arrived, strand_of(job, batch).0) {
        (Arrived::Wrong(_), _) => {
            let (wires, were) = cut_from(job, batch.id, |_| true)?;
            format!("{wires} {were} cut from {name}, which is told as wrong.")
        }
        (_, strand) => of_another(job, batch.id, &name, strand?)?,
    };
    Some(format!("{why} {LOOK}"))
}

/// What to ask before something is said of a delivery by which wires in place were cut from what is not right
/// for them; none where nothing was.
#[must_use]
pub fn odd_delivery(
    job: &Job<'_>,
    subject: &Subject,
    field: &str,
    value: &Value,
) -> Option<String> {
    let Subject::Item(ItemKind::Batch, id) = subject else {
        return None;
    };
    let batch = job.batches.iter().find(|batch| batch.id == *id)?;
    let name = named_apart(batch);
    let why = if field == fields::BATCH_ARRIVAL.name {
        let arrival: Arrival = serde_json::from_value(value.clone()).ok()?;
        let (wires, were) = cut_from(job, *id, |_| is_wrong(&arrival))?;
        format!("{wires} {were} cut from {name}, which would be told as wrong.")
    } else if field == fields::BATCH_STRAND.name {
        let strand: ItemId = serde_json::from_value(value.clone()).ok()?;
        of_another(job, *id, &name, strand)?
    } else {
        return None;
    };
    Some(format!("{why} Is that so? {LOOK}"))
}

/// Wires in place that were cut from a delivery, and their runs are made of another strand.
fn of_another(job: &Job<'_>, batch: ItemId, name: &str, strand: ItemId) -> Option<String> {
    let other = |run: &Run| run.strand.is_some_and(|own| own != strand);
    let (wires, were) = cut_from(job, batch, other)?;
    let runs: Vec<String> = job
        .runs
        .iter()
        .filter(|run| other(run) && cut_from(job, batch, |one| one.id == run.id).is_some())
        .map(|run| {
            let own = run.strand.map_or("?", |own| strand_name(job, own));
            format!("run {} is made of {own}", run.name)
        })
        .collect();
    Some(format!(
        "{wires} {were} cut from {name}: that is told as {}, and {}.",
        strand_name(job, strand),
        runs.join(", ")
    ))
}

/// "A1–A12 and B3" with "was" or "were", of the runs that are asked for.
fn cut_from(
    job: &Job<'_>,
    batch: ItemId,
    of: impl Fn(&Run) -> bool,
) -> Option<(String, &'static str)> {
    let found = in_place(job, batch);
    let mut named = Vec::new();
    let mut count = 0;
    for run in job.runs.iter().filter(|run| of(run)) {
        let wires: Vec<u32> = found
            .iter()
            .filter(|(id, _)| *id == run.id)
            .map(|(_, wire)| *wire)
            .collect();
        if !wires.is_empty() {
            count += wires.len();
            named.push(format!("{}{}", run.name, words::ranges(&wires)));
        }
    }
    let were = match count {
        0 => return None,
        1 => "was",
        _ => "were",
    };
    Some((named.join(", "), were))
}
